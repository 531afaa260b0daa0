package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.CheckFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * The bits a sender means on a bus that a {@link BusFormat} describes: fields in the order sent, each number highest
 * bit first, counts and checks filled in; without start of frame, stuff bits and framing of bytes. Used to rebuild what a
 * sender meant and by the simulator; the decoders do not use it, so that the two can check each other.
 */
public final class FormatBits {
    private final BusFormat format;
    private final Map<String, Long> values = new HashMap<>();
    private final byte[] data;
    private final boolean secondCheck;
    private BitString bits = new BitString();
    /** First bit of each field, -1 where it is absent; and the bit after its last. */
    private final int[] from;
    private final int[] until;

    private FormatBits(BusFormat format, Map<String, Long> given, byte[] data, boolean secondCheck) {
        this.format = format;
        this.data = data;
        this.secondCheck = secondCheck;
        values.putAll(given);
        from = new int[format.fields().size()];
        until = new int[from.length];
    }

    /**
     * Encodes one frame.
     *
     * @param name        number of the message, {@code naming().message()} joined
     * @param others      values of fields that neither name the message nor are counts, checks, constants or data; 0
     *                    where left out
     * @param data        payload, as many bytes as the format can carry
     * @param secondCheck where two checks of one field are alternatives, the second of them
     * @throws IllegalArgumentException where the format cannot carry it
     */
    public static FormatBits of(BusFormat format, long name, Map<String, Long> others, byte[] data,
                                boolean secondCheck) {
        FormatBits frame = null;
        List<String> present = format.naming().message();
        // Which fields are there may depend on those that name the message: as often as there are such fields.
        for (int pass = 0; pass <= format.naming().message().size(); pass++) {
            Map<String, Long> given = new HashMap<>(others);
            long rest = name;
            for (int i = present.size() - 1; i >= 0; i--) {
                int width = format.field(present.get(i)).bits();
                given.put(present.get(i), rest & mask(width));
                rest >>>= width;
            }
            if (rest != 0) throw new IllegalArgumentException("no such message: " + name);
            frame = new FormatBits(format, given, data, secondCheck);
            frame.counts();
            List<String> there = frame.lay();
            if (there.equals(present)) break;
            present = there;
        }
        frame.checks();
        return frame;
    }

    /** Values of {@link FrameLog#otherFields} by name, for {@link #of}; a field that was absent has 0. */
    public static Map<String, Long> others(BusFormat format, long joined) {
        return OtherFields.values(format, joined);
    }

    /** What a check over some bits says, for a field of that width. */
    public static long check(CheckFormat.Kind kind, BitString covered, int width) {
        return SenderChecks.of(kind, covered, width);
    }

    /** First field to last. */
    public BitString bits() {
        return bits;
    }

    /** First bit of a field; -1 where it is absent. */
    public int from(String field) {
        return from[index(field)];
    }

    /** The bit after a field's last. */
    public int until(String field) {
        return until[index(field)];
    }

    /** Bits to the last of those that name the message. */
    public int namedUntil() {
        int last = 0;
        for (String field : format.naming().message()) if (from(field) >= 0) last = Math.max(last, until(field));
        return last;
    }

    /** The bits as bytes; only for a format whose fields fill whole bytes. */
    public byte[] bytes() {
        byte[] out = new byte[(bits.size() + 7) / 8];
        for (int i = 0; i < bits.size(); i++) if (bits.get(i) != 0) out[i >> 3] |= (byte) (0x80 >> (i & 7));
        return out;
    }

    /** On a line of stuffed bits: start bit and stuff bits included, to the last bit before the frame's tail. */
    public BitString stuffed() {
        LineFormat.Stuffed line = (LineFormat.Stuffed) format.line();
        BitString out = new BitString();
        int stuffUntil = line.stuffAfter() <= 0 ? 0
                : 1 + (line.stuffedUntil() == null ? bits.size() : until(line.stuffedUntil()));
        int run = 0;
        int last = -1;
        for (int i = 0; i <= bits.size(); i++) {
            int bit = i == 0 ? 0 : bits.get(i - 1);
            out.add(bit);
            run = bit == last ? run + 1 : 1;
            last = bit;
            if (i < stuffUntil && run == line.stuffAfter()) {
                last = 1 - bit;
                out.add(last);
                run = 1;
            }
        }
        return out;
    }

    private int index(String field) {
        for (int i = 0; i < from.length; i++) if (format.fields().get(i).name().equals(field)) return i;
        throw new IllegalArgumentException("no field named " + field);
    }

    private static long mask(int width) {
        return width >= 64 ? -1 : (1L << width) - 1;
    }

    /** Fields that count others get the number that says so; of several the first that can hold it. */
    private void counts() {
        for (FieldFormat field : format.fields()) {
            if (!(field.length() instanceof FieldFormat.Length.Counted counted)) continue;
            int elements = field.name().equals(format.naming().data()) ? data.length : 0;
            boolean said = false;
            for (String counter : counted.fields()) {
                if (values.containsKey(counter)) continue;
                long value = said ? 0 : countOf(counted, elements, format.field(counter).bits());
                if (value >= 0) said = true;
                values.put(counter, Math.max(0, value));
            }
            boolean given = counted.fields().stream().allMatch(values::containsKey);
            if (!said && !given) {
                throw new IllegalArgumentException("no way to say " + elements + " elements of " + field.name());
            }
        }
    }

    private static long countOf(FieldFormat.Length.Counted counted, int elements, int width) {
        if (!counted.table().isEmpty()) return counted.table().indexOf(elements);
        long value = elements - counted.plus();
        return value < 0 || value > mask(width) ? -1 : value;
    }

    /** Lays out all fields, checks as 0. @return the fields that name the message and are there */
    private List<String> lay() {
        List<String> naming = new ArrayList<>();
        Map<String, Long> earlier = new HashMap<>();
        for (int i = 0; i < from.length; i++) {
            FieldFormat field = format.fields().get(i);
            from[i] = -1;
            if (!field.isPresent(name -> earlier.getOrDefault(name, -1L))) continue;
            from[i] = bits.size();
            if (field.name().equals(format.naming().data())) {
                for (byte b : data) bits.addBits(b & 0xFF, field.bits());
            } else if (field.length() instanceof FieldFormat.Length.One) {
                long value = field.isConstant() ? field.constant() : values.getOrDefault(field.name(), 0L);
                if ((value & ~mask(field.bits())) != 0) {
                    throw new IllegalArgumentException(value + " does not fit into " + field.name());
                }
                bits.addBits(value, field.bits());
                earlier.put(field.name(), value);
            }
            until[i] = bits.size();
        }
        for (String field : format.naming().message()) if (from(field) >= 0) naming.add(field);
        return naming;
    }

    private void checks() {
        List<CheckFormat> left = new ArrayList<>(chosen());
        while (!left.isEmpty()) {
            CheckFormat next = left.get(0);
            for (CheckFormat each : left) {
                if (left.stream().noneMatch(other -> other != each && covers(each, other.field()))) {
                    next = each;
                    break;
                }
            }
            left.remove(next);
            put(next);
        }
    }

    /** One check a field. */
    private List<CheckFormat> chosen() {
        List<CheckFormat> out = new ArrayList<>();
        for (CheckFormat check : format.checks()) {
            int before = -1;
            for (int i = 0; i < out.size(); i++) if (out.get(i).field().equals(check.field())) before = i;
            if (before < 0) out.add(check);
            else if (secondCheck) out.set(before, check);
        }
        return out;
    }

    private boolean covers(CheckFormat check, String field) {
        int at = index(field);
        return at >= index(check.from()) && at <= index(check.until());
    }

    private void put(CheckFormat check) {
        int at = index(check.field());
        if (from[at] < 0) return;
        int first = Integer.MAX_VALUE;
        int last = 0;
        for (int i = index(check.from()); i <= index(check.until()); i++) {
            if (from[i] < 0) continue;
            first = Math.min(first, from[i]);
            last = Math.max(last, until[i]);
        }
        BitString span = first > last ? new BitString() : bits.slice(first, last);
        long value = SenderChecks.of(check.kind(), span, until[at] - from[at]);
        BitString whole = bits;
        bits = new BitString();
        for (int i = 0; i < whole.size(); i++) {
            bits.add(i >= from[at] && i < until[at] ? (int) (value >>> until[at] - 1 - i) & 1 : whole.get(i));
        }
    }
}
