package buswitness.simulate;

/**
 * What a controller makes of the bits it samples, one frame at a time (Bosch CAN FD 1.0, 2012, clauses 3.2.1, 5 and
 * 6.1, the classical rules).
 */
final class FrameParser {
    enum Zone { STUFFED, CHECK_DELIMITER, ACK_SLOT, ACK_DELIMITER, END_OF_FRAME }

    enum Outcome { GOING_ON, STUFF, FORM, CHECK, ACK_SLOT_PASSED, LATE_DOMINANT, COMPLETE }

    private Zone zone;
    private int run;
    private int last;
    private int count;
    private int total;
    private int register;
    private int checkRead;
    private boolean extended;
    private boolean remote;
    private int lengthCode;
    private int tail;

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
        total = Integer.MAX_VALUE;
        register = 0;
        checkRead = 0;
        extended = remote = false;
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
        return zone == Zone.STUFFED && run == 5;
    }

    /** Whether the check sequence agreed; meaningful from the check delimiter on. */
    boolean checkAgrees() {
        return checkRead == register;
    }

    Outcome accept(int bit) {
        return switch (zone) {
            case STUFFED -> stuffed(bit);
            case CHECK_DELIMITER -> {
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
        if (run == 5) {
            if (bit == last) return Outcome.STUFF;
            run = 1;
            last = bit;
            if (count == total) zone = Zone.CHECK_DELIMITER;
            return Outcome.GOING_ON;
        }
        run = bit == last ? run + 1 : 1;
        last = bit;
        header(bit);
        if (count < total - 15) {
            int next = bit ^ register >>> 14;
            register = register << 1 & 0x7FFF;
            if (next != 0) register ^= 0x4599;
        } else {
            checkRead = checkRead << 1 | bit;
        }
        count++;
        if (count == total && run < 5) zone = Zone.CHECK_DELIMITER;
        return Outcome.GOING_ON;
    }

    /** Reads the few bits that fix the frame's length. Base: RTR 12, IDE 13, r0 14, DLC 15..18; extended 20 later. */
    private void header(int bit) {
        int at = count;
        if (at == 12) remote = bit == 1;
        if (at == 13) extended = bit == 1;
        if (extended && at == 32) remote = bit == 1;
        int lengthAt = extended ? 35 : 15;
        if (at >= lengthAt && at < lengthAt + 4) {
            lengthCode = lengthCode << 1 | bit;
            if (at == lengthAt + 3) total = at + 1 + (remote ? 0 : 8 * Math.min(lengthCode, 8)) + 15;
        }
    }
}
