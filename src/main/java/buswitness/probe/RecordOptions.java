package buswitness.probe;

import java.nio.file.Path;
import java.util.List;

/**
 * What to record.
 *
 * @param port          name of the serial port
 * @param bitsPerSecond its speed
 * @param out           the recording; must not exist
 * @param seconds       how long, or infinity
 * @param notes         remarks kept in the recording's header
 */
public record RecordOptions(String port, int bitsPerSecond, Path out, double seconds, List<String> notes) {
    public RecordOptions {
        notes = List.copyOf(notes);
    }

    /** Without remarks. */
    public RecordOptions(String port, int bitsPerSecond, Path out, double seconds) {
        this(port, bitsPerSecond, out, seconds, List.of());
    }
}
