package buswitness.capture;

import java.nio.charset.StandardCharsets;
import java.util.Map;

/**
 * Finds the line of an identifier code without making a string: one table look-up for codes of one character, which
 * most dumps use, open addressing for the rest. Codes are printable ASCII, IEEE 1364-2005 clause 18.2.1.
 */
final class VcdCodes {
    static final int UNDECLARED = -2;

    private final int[] single = new int[128];
    private final byte[][] codes;
    private final int[] lines;
    private final int mask;

    VcdCodes(Map<String, Integer> lineOfCode) {
        int size = Integer.highestOneBit(Math.max(4, lineOfCode.size() * 2)) * 2;
        codes = new byte[size][];
        lines = new int[size];
        mask = size - 1;
        java.util.Arrays.fill(single, UNDECLARED);
        lineOfCode.forEach((code, line) -> {
            byte[] bytes = code.getBytes(StandardCharsets.UTF_8);
            if (bytes.length == 1 && bytes[0] > 0) {
                single[bytes[0]] = line;
                return;
            }
            int slot = hash(bytes, 0, bytes.length) & mask;
            while (codes[slot] != null) slot = (slot + 1) & mask;
            codes[slot] = bytes;
            lines[slot] = line;
        });
    }

    /** @return line, {@link VcdHeader#NOT_A_LINE} or {@link #UNDECLARED} */
    int lineOf(byte[] b, int from, int to) {
        if (to - from == 1 && b[from] > 0) return single[b[from]];
        int slot = hash(b, from, to) & mask;
        while (codes[slot] != null) {
            if (java.util.Arrays.equals(codes[slot], 0, codes[slot].length, b, from, to)) return lines[slot];
            slot = (slot + 1) & mask;
        }
        return UNDECLARED;
    }

    private static int hash(byte[] b, int from, int to) {
        int h = 0;
        for (int i = from; i < to; i++) h = h * 31 + b[i];
        return h ^ h >>> 15;
    }
}
