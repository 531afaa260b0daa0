package buswitness.frames;

import java.util.Arrays;

/** A growable row of bits, first sent first; 0 dominant, 1 recessive. One writer; safe to share once filled. */
public final class BitString {
    private long[] words = new long[3];
    private int size;

    /** Parses {@code 0} and {@code 1}; blanks are skipped. */
    public static BitString of(CharSequence text) {
        BitString bits = new BitString();
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == '0' || c == '1') bits.add(c - '0');
            else if (c != ' ') throw new IllegalArgumentException("not a bit: " + c);
        }
        return bits;
    }

    public void add(int bit) {
        if (size >>> 6 == words.length) words = Arrays.copyOf(words, words.length * 2);
        // A set bit sits at the high end of its word so that printing a word reads in sent order.
        if (bit != 0) words[size >>> 6] |= 1L << (63 - (size & 63));
        size++;
    }

    /** Appends the low {@code width} bits of {@code value}, most significant first; width 0 to 64. */
    public void addBits(long value, int width) {
        for (int i = width - 1; i >= 0; i--) add((int) (value >>> i) & 1);
    }

    public int get(int index) {
        if (index < 0 || index >= size) throw new IndexOutOfBoundsException("bit " + index + " of " + size);
        return (int) (words[index >>> 6] >>> (63 - (index & 63))) & 1;
    }

    public int size() {
        return size;
    }

    /** Bits {@code from} inclusive to {@code until} exclusive. */
    public BitString slice(int from, int until) {
        BitString part = new BitString();
        for (int i = from; i < until; i++) part.add(get(i));
        return part;
    }

    /** {@code width} bits from {@code from} as an unsigned number, most significant first; width 0 to 63. */
    public long number(int from, int width) {
        long value = 0;
        for (int i = 0; i < width; i++) value = value << 1 | get(from + i);
        return value;
    }

    @Override
    public boolean equals(Object other) {
        if (!(other instanceof BitString that) || that.size != size) return false;
        for (int i = 0; i <= (size - 1) >>> 6 && size > 0; i++) if (words[i] != that.words[i]) return false;
        return true;
    }

    @Override
    public int hashCode() {
        int hash = size;
        for (int i = 0; i < (size + 63) >>> 6; i++) hash = 31 * hash + Long.hashCode(words[i]);
        return hash;
    }

    @Override
    public String toString() {
        StringBuilder text = new StringBuilder(size);
        for (int i = 0; i < size; i++) text.append((char) ('0' + get(i)));
        return text.toString();
    }
}
