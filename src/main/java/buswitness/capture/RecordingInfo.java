package buswitness.capture;

import java.util.List;

/**
 * What a recording says of itself.
 *
 * @param source    file name as the user gave it
 * @param form      its form in our words, such as {@code bit-timed log} or {@code VCD}
 * @param sha256    of the file's bytes as stored, lower-case hexadecimal; empty until the file has been read whole
 * @param tickPicos the recorder's tick in picoseconds, greater than 0; may be fractional (72 MHz is 13888.9)
 * @param lines     names of the lines it holds, in file order
 * @param notes     free notes from its header
 */
public record RecordingInfo(String source, String form, String sha256, double tickPicos, List<String> lines,
                            List<String> notes) {
    public RecordingInfo {
        lines = List.copyOf(lines);
        notes = List.copyOf(notes);
    }
}
