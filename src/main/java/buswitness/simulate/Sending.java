package buswitness.simulate;

import buswitness.frames.MessageKey;
import java.util.List;

/**
 * A message as one node sends it.
 *
 * @param identifier 0..0x7FF, or 0..0x1FFFFFFF when extended
 * @param remote     a request: no data whatever its length
 * @param length     payload bytes, 0 to 8
 * @param triggers   what makes it go out; none for a node that never sends it by itself
 * @param fields     written in this order over the filler, checks last
 * @param filler     value of bytes without a field, 0 to 255
 */
public record Sending(int identifier, boolean extended, boolean remote, int length, List<Trigger> triggers,
                      List<Field> fields, int filler) {
    public Sending {
        triggers = List.copyOf(triggers);
        fields = List.copyOf(fields);
        if (identifier < 0 || identifier > (extended ? 0x1FFF_FFFF : 0x7FF)) {
            throw new IllegalArgumentException("no such identifier: " + identifier);
        }
        if (length < 0 || length > 8) throw new IllegalArgumentException("a payload has 0 to 8 bytes: " + length);
        for (Field field : fields) {
            if (field.signal().firstBit() + field.signal().width() > length * 8) {
                throw new IllegalArgumentException("a field lies outside the payload: " + field.signal().name());
            }
        }
    }

    /** A base-format data message on a timer with a phase of chance. */
    public static Sending every(double periodSeconds, int identifier, int length, List<Field> fields) {
        return new Sending(identifier, false, false, length,
                List.of(new Trigger.Cyclic(periodSeconds, Double.NaN, 0)), fields, 0);
    }

    public long key() {
        return MessageKey.can(identifier, extended);
    }

    public Sending withTriggers(List<Trigger> other) {
        return new Sending(identifier, extended, remote, length, other, fields, filler);
    }

    public Sending withFields(List<Field> other) {
        return new Sending(identifier, extended, remote, length, triggers, other, filler);
    }
}
