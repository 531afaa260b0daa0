package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.frames.FormatBits;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/** What one node means to send on a bus that a format describes. Immutable by convention. */
final class FormatFrame {
    final BusFormat format;
    final long key;
    final byte[] data;
    /** First field to last. */
    final BitString bits;
    final FormatBits fields;
    /** The first bits as a number: the lower one is the more urgent. */
    final long priority;

    private FormatFrame(BusFormat format, Sending sending, byte[] data, int wrong) {
        this.format = format;
        this.data = data;
        key = sending.key();
        fields = FormatBits.of(format, sending.identifier(), sending.onFormat().fields(), data,
                sending.onFormat().secondCheck());
        bits = wrong == 0 ? fields.bits() : spoilt(wrong);
        priority = bits.size() >= 62 ? bits.number(0, 62) : bits.number(0, bits.size()) << 62 - bits.size();
    }

    static FormatFrame of(BusFormat format, Sending sending, byte[] data) {
        return new FormatFrame(format, sending, data, 0);
    }

    /** The same with a check that its sender computed wrongly. @param wrong bits of the check that are turned over */
    static FormatFrame wrong(BusFormat format, Sending sending, byte[] data, int wrong) {
        return new FormatFrame(format, sending, data, wrong);
    }

    private BitString spoilt(int wrong) {
        String check = format.checks().isEmpty() ? null : format.checks().get(format.checks().size() - 1).field();
        BitString right = fields.bits();
        BitString out = new BitString();
        int last = check == null ? 0 : fields.until(check) - 1;
        for (int i = 0; i < right.size(); i++) {
            int turned = i <= last && last - i < 31 ? wrong >>> last - i & 1 : 0;
            out.add(right.get(i) ^ (i >= fields.from(check == null ? format.naming().data() : check) ? turned : 0));
        }
        return out;
    }

    /** Key of a message of a format by its number. */
    static long key(long identifier, int hexDigits) {
        return MessageKey.of(identifier, hexDigits);
    }

    byte[] bytes() {
        byte[] out = new byte[(bits.size() + 7) / 8];
        for (int i = 0; i < bits.size(); i++) if (bits.get(i) != 0) out[i >> 3] |= (byte) (0x80 >> (i & 7));
        return out;
    }

    /** The bytes from a field on; all of them where the field is null. */
    byte[] bytesFrom(String field) {
        byte[] all = bytes();
        int from = field == null ? 0 : fields.from(field);
        return java.util.Arrays.copyOfRange(all, from < 0 ? all.length : from / 8, all.length);
    }

    /** Bits on a stuffed line, start of frame and stuff bits included, to the last bit before the frame's tail. */
    BitString stuffed() {
        return fields.stuffed();
    }
}
