package buswitness.capture;

import java.io.Closeable;

/**
 * Writes a recording while it is made. Takes the calls of {@link EdgeSink} in their usual order; {@link #close} closes
 * the stream under it too, and a recording closed without {@link #end} reads back as cut short. With several lines,
 * call {@link #upTo} now and then, or everything is held in memory until the slowest line moves. A failing stream
 * surfaces as {@link java.io.UncheckedIOException}. Threads: one writer, one thread.
 */
public interface RecordingWriter extends EdgeSink, Closeable {
    /**
     * Hands everything before the last {@link #upTo} to the stream under it, so that it can be read back even where
     * nothing more is ever written. Costs some bytes in a compact recording, where it ends a block.
     */
    void settle() throws java.io.IOException;
}
