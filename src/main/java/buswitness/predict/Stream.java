package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.schema.Course;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.Map;

/**
 * One message as one node sends it.
 *
 * @param message as that node's layout describes it
 * @param source  the layout that says so
 * @param courses what its values do while driving, by signal name
 */
public record Stream(String node, Message message, String source, Map<String, Course> courses) {
    public Stream {
        courses = Map.copyOf(courses);
    }

    public long key() {
        return MessageKey.of(message);
    }

    /** The same under another identifier of the same kind. */
    Stream under(long identifier) {
        Message m = message;
        return new Stream(node, new Message(m.name(), identifier, m.hexDigits(), m.from(), m.readBy(),
                m.everySeconds(), m.onEvent(), m.length(), m.carries()), source, courses);
    }

    /** Payload bytes: documented, or as many as its values need; 8 where neither is known. */
    int bytes() {
        if (message.length() >= 0) return message.length();
        int bits = 0;
        for (Signal s : message.carries()) {
            bits = Math.max(bits, s.firstBit() + s.width());
            if (s.page() != null) bits = Math.max(bits, s.page().firstBit() + s.page().width());
        }
        return bits == 0 ? 8 : (bits + 7) / 8;
    }
}
