package buswitness.probe;

import java.nio.file.Path;

/**
 * What to record.
 *
 * @param port          name of the serial port
 * @param bitsPerSecond its speed
 * @param out           the recording; must not exist
 * @param seconds       how long, or infinity
 */
public record RecordOptions(String port, int bitsPerSecond, Path out, double seconds) {}
