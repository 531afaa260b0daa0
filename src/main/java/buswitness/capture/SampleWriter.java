package buswitness.capture;

import java.io.Closeable;

/**
 * Writes one channel of evenly spaced voltages while they are made; {@link #close} closes the stream under it too. A failing
 * stream surfaces as {@link java.io.UncheckedIOException}.
 */
public interface SampleWriter extends Closeable {
    /** The next samples in volts, the first {@code count} entries. */
    void samples(float[] volts, int count);
}
