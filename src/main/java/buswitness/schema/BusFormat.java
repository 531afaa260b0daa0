package buswitness.schema;

import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * How a bus speaks: its line coding, the fields of a frame in the order sent, where senders arbitrate, what protects a
 * frame and which fields say what it is. Described in {@code bus: format:} of a layout; the built-in buses are written
 * in the same words (captures/bus-format.md).
 *
 * @param name          short, as in {@code coding:} and in the JSON, such as {@code lin}
 * @param title         as a reader calls it
 * @param bitsPerSecond usual rate; NaN where a bus has no usual one
 * @param line          how bits or bytes lie on the wire
 * @param fields        in the order sent; first the first after the start of frame
 * @param arbitration   where senders that start together are told apart by the wire
 * @param checks        what protects a frame; may be empty. Two checks of one field are alternatives: either may hold
 * @param response      a reply within the frame by another node, or null
 * @param naming        which fields say what
 * @param sleep         how the bus goes to sleep, or null where it never does
 */
public record BusFormat(String name, String title, double bitsPerSecond, LineFormat line, List<FieldFormat> fields,
                        Arbitration arbitration, List<CheckFormat> checks, ResponseFormat response, Naming naming,
                        Sleep sleep) {

    /**
     * How a bus goes to sleep; {@link LineFormat.Bytes#wakeUp} wakes it.
     *
     * @param message      number of the message that sends it to sleep
     * @param firstByte    of its payload, which makes it that command
     * @param afterSeconds it also sleeps after so long a rest
     */
    public record Sleep(long message, int firstByte, double afterSeconds) {}

    /** Where two senders that start together are told apart without damage. */
    public enum Arbitration {
        /** Through the fields that name the message; a difference after them breaks the frame (ISO 11898-1). */
        IDENTIFIER,
        /** Through the whole frame: the loser falls silent and sends again (SAE J1850). */
        WHOLE_FRAME,
        /** Nowhere: what two send at once is superposed. */
        NONE
    }

    /**
     * Which fields say what; each name is one of {@link BusFormat#fields}.
     *
     * @param message  joined in this order, the first highest, to the number that names a message; 48 bits at most
     * @param sender   says who sends, or null
     * @param receiver says for whom, or null
     * @param data     the payload
     * @param answer   first field that another node sends, asked by what stands before it (LIN: the first data byte);
     *                 it may stay out. Null where one node sends the whole frame
     */
    public record Naming(List<String> message, String sender, String receiver, String data, String answer) {
        public Naming {
            message = List.copyOf(message);
        }
    }

    public BusFormat {
        fields = List.copyOf(fields);
        checks = List.copyOf(checks);
        Set<String> names = new HashSet<>();
        for (FieldFormat field : fields) {
            if (!names.add(field.name())) throw new IllegalArgumentException("two fields named " + field.name());
        }
    }

    /** The field of that name. @throws IllegalArgumentException where there is none */
    public FieldFormat field(String wanted) {
        for (FieldFormat field : fields) if (field.name().equals(wanted)) return field;
        throw new IllegalArgumentException("no field named " + wanted);
    }

    /** Bits of the number that names a message. */
    public int nameBits() {
        int bits = 0;
        for (String field : naming.message()) bits += field(field).bits();
        return bits;
    }

    /** Hexadecimal digits a message's name is written with where all fields that name it are present. */
    public int nameDigits() {
        return nameDigits(nameBits());
    }

    /** Digits for a name of so many bits. Eight digits mean an extended CAN identifier, so that others take nine. */
    public int nameDigits(int bits) {
        int digits = Math.max(1, (bits + 3) / 4);
        return digits == 8 && !isCan() ? 9 : digits;
    }

    /** Most payload bytes a frame can have. */
    public int mostDataBytes() {
        FieldFormat data = field(naming.data());
        if (data.length() instanceof FieldFormat.Length.Rest rest) return rest.most();
        if (!(data.length() instanceof FieldFormat.Length.Counted counted)) return data.bits() / 8;
        int most = 0;
        for (int entry : counted.table()) most = Math.max(most, entry);
        if (counted.table().isEmpty()) {
            for (String counter : counted.fields()) {
                most = Math.max(most, (int) Math.min(255, (1L << Math.min(30, field(counter).bits())) - 1));
            }
        }
        return Math.min(255, Math.max(0, most + counted.plus()));
    }

    /** Classical CAN or CAN FD: messages are named by base and extended identifiers. */
    public boolean isCan() {
        return name.equals("can") || name.equals("can-fd");
    }
}
