package buswitness.capture;

/**
 * How high a line stood in one frame, kept in a recording of level changes that was made from one of voltages.
 *
 * @param line       index into {@link RecordingInfo#lines()}
 * @param startPicos the frame's first level change, picoseconds from the recording's time zero
 * @param unit       of all levels: {@code V}, {@code mV}, or {@code FS} for the full scale of a WAV
 * @param dominant   mean level of the dominant bits that one transmitter alone drives
 * @param recessive  of the recessive bits between them
 * @param step       from recessive to dominant, between neighbours, with its sign
 * @param stepError  one standard error of it
 * @param slope      steepness of the edges to dominant, units in a microsecond; NaN where not seen
 */
public record LevelNote(int line, long startPicos, String unit, float dominant, float recessive, float step,
                        float stepError, float slope) {}
