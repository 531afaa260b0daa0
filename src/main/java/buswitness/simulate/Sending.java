package buswitness.simulate;

import buswitness.frames.FdFrameBits;
import buswitness.frames.MessageKey;
import java.util.List;

/**
 * A message as one node sends it.
 *
 * @param identifier 0..0x7FF, or 0..0x1FFFFFFF when extended
 * @param remote     a request: no data whatever its length
 * @param length     payload bytes: 0 to 8; on CAN FD also 12, 16, 20, 24, 32, 48 or 64
 * @param triggers   what makes it go out; none for a node that never sends it by itself
 * @param fields     written in this order over the filler, checks last
 * @param filler     value of bytes without a field, 0 to 255
 * @param onFormat   on a bus that a format describes: what CAN does not know; there the identifier is the number that
 *                   names the message. Null on CAN
 * @param kind       of frame, on CAN
 */
public record Sending(int identifier, boolean extended, boolean remote, int length, List<Trigger> triggers,
                      List<Field> fields, int filler, OnFormat onFormat, FrameKind kind) {
    private static final int LONGEST_CAN = 8;
    private static final int LONGEST = 64;

    public Sending {
        triggers = List.copyOf(triggers);
        fields = List.copyOf(fields);
        int highest = onFormat != null ? Integer.MAX_VALUE : extended ? 0x1FFF_FFFF : 0x7FF;
        if (identifier < 0 || identifier > highest) {
            throw new IllegalArgumentException("no such identifier: " + identifier);
        }
        int longest = onFormat != null || kind.isFlexible() ? LONGEST : LONGEST_CAN;
        if (length < 0 || length > longest) {
            throw new IllegalArgumentException("a payload has 0 to " + longest + " bytes: " + length);
        }
        if (kind.isFlexible() && !FdFrameBits.hasLength(length)) {
            throw new IllegalArgumentException("a CAN FD payload has 0 to 8, 12, 16, 20, 24, 32, 48 or 64 bytes: " + length);
        }
        if (kind.isFlexible() && remote) throw new IllegalArgumentException("CAN FD has no remote frames");
        for (Field field : fields) {
            if (field.signal().firstBit() + field.signal().width() > length * 8) {
                throw new IllegalArgumentException("a field lies outside the payload: " + field.signal().name());
            }
        }
    }

    /** A message of classical CAN, or of a bus that a format describes. */
    public Sending(int identifier, boolean extended, boolean remote, int length, List<Trigger> triggers,
                   List<Field> fields, int filler, OnFormat onFormat) {
        this(identifier, extended, remote, length, triggers, fields, filler, onFormat, FrameKind.CLASSICAL);
    }

    /** A message of classical CAN. */
    public Sending(int identifier, boolean extended, boolean remote, int length, List<Trigger> triggers,
                   List<Field> fields, int filler) {
        this(identifier, extended, remote, length, triggers, fields, filler, null);
    }

    /** A base-format data message on a timer with a phase of chance. */
    public static Sending every(double periodSeconds, int identifier, int length, List<Field> fields) {
        return new Sending(identifier, false, false, length,
                List.of(new Trigger.Cyclic(periodSeconds, Double.NaN, 0)), fields, 0);
    }

    public long key() {
        return onFormat != null ? MessageKey.of(identifier, onFormat.hexDigits())
                : MessageKey.can(identifier, extended);
    }

    public Sending withTriggers(List<Trigger> other) {
        return new Sending(identifier, extended, remote, length, other, fields, filler, onFormat, kind);
    }

    public Sending withFields(List<Field> other) {
        return new Sending(identifier, extended, remote, length, triggers, other, filler, onFormat, kind);
    }

    /** The same message on a bus that a format describes. */
    public Sending on(OnFormat other) {
        return new Sending(identifier, extended, remote, length, triggers, fields, filler, other, kind);
    }

    /** The same message in another kind of frame. */
    public Sending in(FrameKind other) {
        return new Sending(identifier, extended, remote, length, triggers, fields, filler, onFormat, other);
    }
}
