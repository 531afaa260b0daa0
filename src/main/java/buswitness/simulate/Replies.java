package buswitness.simulate;

import buswitness.frames.BitString;
import buswitness.frames.FormatBits;
import buswitness.schema.ResponseFormat;

/** What a reply within a frame looks like. */
final class Replies {
    private Replies() {}

    /** Its bits, the check included, each number highest bit first. */
    static BitString bits(ResponseFormat format, Habits.Answer answer) {
        byte[] bytes = answer.bytes();
        BitString bits = new BitString();
        for (byte b : bytes) bits.addBits(b & 0xFF, 8);
        if (answer.checked() && format.check() != null && bytes.length + 1 <= format.mostBytes()) {
            bits.addBits(FormatBits.check(format.check(), bits, 8), 8);
        }
        return bits;
    }

    static byte[] bytes(ResponseFormat format, Habits.Answer answer) {
        BitString bits = bits(format, answer);
        byte[] out = new byte[bits.size() / 8];
        for (int i = 0; i < out.length; i++) out[i] = (byte) bits.number(8 * i, 8);
        return out;
    }
}
