package buswitness.simulate;

import buswitness.frames.FdFrameBits;

/**
 * What a controller makes of the bits it samples, one frame at a time (Bosch CAN FD 1.0, 2012, clauses 3.2.1, 5 and
 * 6.1; stuff count and the register's first value as ISO 11898-1:2015 has them).
 */
final class FrameParser {
    enum Zone { STUFFED, FIXED_STUFF, CHECK_DELIMITER, ACK_SLOT, ACK_DELIMITER, END_OF_FRAME }

    enum Outcome { GOING_ON, STUFF, FORM, CHECK, ACK_SLOT_PASSED, LATE_DOMINANT, COMPLETE }

    private static final int STUFF_RUN = 5;
    private static final int CRC_15 = 0x4599;
    private static final int CRC_17 = 0x1685B;
    private static final int CRC_21 = 0x102899;
    private static final int MOST_BYTES_OF_17 = 16;
    private static final int STUFF_COUNT_BITS = 4;
    private static final int FIXED_EVERY = 4;
    /** Stuff count modulo 8 to Gray code and even parity: the table of ISO 11898-1:2015. */
    private static final String[] STUFF_COUNTS = {"0000", "0011", "0110", "0101", "1100", "1111", "1010", "1001"};

    /** Whether the node knows CAN FD; on a classical bus the reserved bit may have either level. */
    private final boolean knowsFlexible;
    private Zone zone;
    private int run;
    private int last;
    private int count;
    private int total;
    private int register;
    private int register17;
    private int register21;
    private int checkRead;
    private int stuffBits;
    private int fieldRead;
    private boolean stuffCountWrong;
    private boolean extended;
    private boolean remote;
    private boolean flexible;
    private boolean fast;
    private int lengthCode;
    private int dataEnd;
    private int tail;

    FrameParser(boolean knowsFlexible) {
        this.knowsFlexible = knowsFlexible;
    }

    /** Starts a frame whose dominant start bit has just been sampled. */
    void begin() {
        start();
        accept(0);
    }

    /** Starts a frame before its start bit. */
    void start() {
        zone = Zone.STUFFED;
        run = 0;
        last = -1;
        count = 0;
        total = dataEnd = Integer.MAX_VALUE;
        register = 0;
        register17 = 1 << 16;
        register21 = 1 << 20;
        checkRead = stuffBits = fieldRead = 0;
        stuffCountWrong = extended = remote = flexible = fast = false;
        lengthCode = 0;
        tail = 0;
    }

    Zone zone() {
        return zone;
    }

    /** Bits read without stuff bits: the index of the coming bit, unless that is a stuff bit. */
    int count() {
        return count;
    }

    boolean nextIsStuff() {
        return zone == Zone.STUFFED && run == STUFF_RUN || zone == Zone.FIXED_STUFF && fieldRead % (FIXED_EVERY + 1) == 0;
    }

    /** The coming bit, from the last sample point on, goes at the data rate. */
    boolean isFast() {
        return fast;
    }

    /** Whether the check sequence agreed; meaningful from the check delimiter on. */
    boolean checkAgrees() {
        if (!flexible) return checkRead == register;
        return !stuffCountWrong && checkRead == (crcBits() == 17 ? register17 : register21);
    }

    Outcome accept(int bit) {
        return switch (zone) {
            case STUFFED -> stuffed(bit);
            case FIXED_STUFF -> fixed(bit);
            case CHECK_DELIMITER -> {
                fast = false;
                zone = Zone.ACK_SLOT;
                yield bit == 0 ? Outcome.FORM : Outcome.GOING_ON;
            }
            case ACK_SLOT -> {
                zone = Zone.ACK_DELIMITER;
                yield Outcome.ACK_SLOT_PASSED;
            }
            case ACK_DELIMITER -> {
                zone = Zone.END_OF_FRAME;
                yield bit == 0 ? Outcome.FORM : checkAgrees() ? Outcome.GOING_ON : Outcome.CHECK;
            }
            case END_OF_FRAME -> {
                tail++;
                if (tail < 7) yield bit == 0 ? Outcome.FORM : Outcome.GOING_ON;
                yield bit == 0 ? Outcome.LATE_DOMINANT : Outcome.COMPLETE;
            }
        };
    }

    private Outcome stuffed(int bit) {
        if (run == STUFF_RUN) {
            if (bit == last) return Outcome.STUFF;
            run = 1;
            last = bit;
            stuffBits++;
            wide(bit);
            if (count == total) zone = Zone.CHECK_DELIMITER;
            return Outcome.GOING_ON;
        }
        run = bit == last ? run + 1 : 1;
        last = bit;
        if (!header(bit)) return Outcome.FORM;
        wide(bit);
        if (count < total - 15) {
            register = next(register, bit, 15, CRC_15);
        } else {
            checkRead = checkRead << 1 | bit;
        }
        count++;
        if (flexible && count == dataEnd) {
            // A stuff bit that is due here is not sent: the first fixed one stands in its place.
            zone = Zone.FIXED_STUFF;
            checkRead = 0;
        } else if (count == total && run < STUFF_RUN) {
            zone = Zone.CHECK_DELIMITER;
        }
        return Outcome.GOING_ON;
    }

    private void wide(int bit) {
        if (!knowsFlexible) return;
        register17 = next(register17, bit, 17, CRC_17);
        register21 = next(register21, bit, 21, CRC_21);
    }

    private static int next(int register, int bit, int width, int polynomial) {
        int next = bit ^ register >>> width - 1;
        int shifted = register << 1 & (1 << width) - 1;
        return next != 0 ? shifted ^ polynomial : shifted;
    }

    private int crcBits() {
        return FdFrameBits.bytes(lengthCode) <= MOST_BYTES_OF_17 ? 17 : 21;
    }

    private Outcome fixed(int bit) {
        boolean stuff = nextIsStuff();
        fieldRead++;
        boolean wrong = stuff && bit == last;
        last = bit;
        if (stuff) return wrong ? Outcome.FORM : Outcome.GOING_ON;
        int place = count++ - dataEnd;
        if (place < STUFF_COUNT_BITS) {
            stuffCountWrong |= STUFF_COUNTS[stuffBits % 8].charAt(place) - '0' != bit;
            wide(bit);
        } else {
            checkRead = checkRead << 1 | bit;
            if (place == STUFF_COUNT_BITS + crcBits() - 1) zone = Zone.CHECK_DELIMITER;
        }
        return Outcome.GOING_ON;
    }

    /**
     * Reads the few bits that fix the frame's kind and length. Base: RTR 12, IDE 13, r0 or FDF 14; extended 19 later. Behind
     * FDF: reserved, BRS, ESI.
     *
     * @return false where the reserved bit of an FD frame is recessive
     */
    private boolean header(int bit) {
        int at = count;
        if (at == 12) remote = bit == 1;
        if (at == 13) extended = bit == 1;
        if (extended && at == 32) remote = bit == 1;
        int kindAt = extended ? 33 : 14;
        if (knowsFlexible && at == kindAt) flexible = bit == 1;
        if (flexible && at == kindAt + 1 && bit == 1) return false;
        if (flexible && at == kindAt + 2) fast = bit == 1;
        int lengthAt = flexible ? kindAt + 4 : extended ? 35 : 15;
        if (at >= lengthAt && at < lengthAt + 4) {
            lengthCode = lengthCode << 1 | bit;
            if (at == lengthAt + 3 && flexible) dataEnd = at + 1 + 8 * FdFrameBits.bytes(lengthCode);
            else if (at == lengthAt + 3) total = at + 1 + (remote ? 0 : 8 * Math.min(lengthCode, 8)) + 15;
        }
        return true;
    }
}
