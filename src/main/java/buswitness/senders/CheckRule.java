package buswitness.senders;

/**
 * How a byte of a payload may be computed from others, but for a start value: what a sender mixes in besides (an
 * initial value, a final inversion, an identifier that is not sent) shifts the result of a sum, an exclusive or or a
 * CRC over bytes of one length by a constant, so the constant alone need be learned. CRC-8 is taken high bit first;
 * polynomials: 0x1D (SAE J1850), 0x2F (the stronger one of body and chassis electronics), 0x07 (the plain one of ITU-T
 * I.432).
 */
public enum CheckRule {
    SUM("a sum"), NEGATIVE_SUM("a negative sum"), XOR("an exclusive or"), CRC_1D("a CRC-8 with polynomial 0x1D"),
    CRC_2F("a CRC-8 with polynomial 0x2F"), CRC_07("a CRC-8 with polynomial 0x07");

    private static final int[][] TABLES = {table(0x1D), table(0x2F), table(0x07)};

    /** What it is called. */
    public final String text;

    CheckRule(String text) {
        this.text = text;
    }

    private static int[] table(int polynomial) {
        int[] table = new int[256];
        for (int value = 0; value < 256; value++) {
            int rest = value;
            for (int bit = 0; bit < 8; bit++) rest = rest << 1 ^ ((rest & 0x80) != 0 ? polynomial : 0);
            table[value] = rest & 0xFF;
        }
        return table;
    }

    /** Over {@code data[first..until)} without the byte {@code but}, begun at nought; 0 to 255. */
    public int over(byte[] data, int first, int until, int but) {
        int value = 0;
        int[] table = ordinal() < CRC_1D.ordinal() ? null : TABLES[ordinal() - CRC_1D.ordinal()];
        for (int i = first; i < until; i++) {
            if (i == but) continue;
            int next = data[i] & 0xFF;
            if (table != null) value = table[value ^ next];
            else if (this == XOR) value ^= next;
            else value += this == SUM ? next : -next;
        }
        return value & 0xFF;
    }

    /** The start value that makes {@code check} right. */
    public int start(int check, int over) {
        return this == SUM || this == NEGATIVE_SUM ? check - over & 0xFF : check ^ over;
    }
}
