package buswitness.schema;

import java.util.List;

/**
 * A documented message.
 *
 * @param identifier   the identifier, or the header that names the message
 * @param hexDigits    how it is written: 3 base CAN, 8 extended CAN
 * @param from         nodes documented to send it; several where the papers themselves clash; may be empty
 * @param readBy       nodes documented to use it; may be empty
 * @param everySeconds nominal period, NaN where it has none or it is not known
 * @param onEvent      also (or only) sent on change
 * @param length       documented payload bytes, -1 where not known
 * @param carries      its signals
 * @param eventFor     names of the messages that share this header, each sent under it when it has news (LIN,
 *                     event-triggered frame); else empty
 */
public record Message(String name, long identifier, int hexDigits, List<String> from, List<String> readBy,
                      double everySeconds, boolean onEvent, int length, List<Signal> carries, List<String> eventFor) {
    public Message {
        from = List.copyOf(from);
        readBy = List.copyOf(readBy);
        carries = List.copyOf(carries);
        eventFor = List.copyOf(eventFor);
    }

    /** A message with a header of its own. */
    public Message(String name, long identifier, int hexDigits, List<String> from, List<String> readBy,
                   double everySeconds, boolean onEvent, int length, List<Signal> carries) {
        this(name, identifier, hexDigits, from, readBy, everySeconds, onEvent, length, carries, List.of());
    }
}
