package buswitness.simulate;

import buswitness.frames.CanFrameBits;

/**
 * One CAN controller, bit by bit: sending, receiving, error and overload flags, error counters, suspend, bus-off
 * (ISO 11898-1; rule numbers are those of Bosch CAN FD 1.0, 2012, clause 7).
 */
final class Controller {
    enum State {
        OFF, INTEGRATING, IDLE, FRAME, ACTIVE_FLAG, PASSIVE_FLAG, OVERLOAD_FLAG, FLAG_TAIL, DELIMITER, INTERMISSION,
        SUSPEND, BUS_OFF
    }

    /** What the last bit brought. */
    enum Event { NONE, SENT, BROKE, LOST_ARBITRATION, STARTED_LATE }

    private enum Cause { BIT, STUFF_IN_ARBITRATION, ACKNOWLEDGE, STUFF, FORM, CHECK }

    private static final int SUSPEND_BITS = 8;
    private static final int RECOVERY_PAUSES = 128;
    static final int PAUSE_BITS = 11;

    private final boolean acknowledges;
    private final FrameParser parser;
    private State state = State.IDLE;
    private boolean transmitter;
    private WireFrame sending;
    private int position;
    private int transmitErrors;
    private int receiveErrors;
    private int counted;
    private int equalLast;
    private int tailDominant;
    private boolean acknowledgePending;
    private boolean overload;
    private int recessiveRun;
    private int pauses;
    private Event event = Event.NONE;
    private int brokeAt;
    private boolean recovers = true;

    /** @param knowsFlexible it understands frames of CAN FD */
    Controller(boolean acknowledges, boolean knowsFlexible) {
        this.acknowledges = acknowledges;
        parser = new FrameParser(knowsFlexible);
    }

    State state() {
        return state;
    }

    boolean isTransmitting() {
        return state == State.FRAME && transmitter;
    }

    boolean isReceiving() {
        return state == State.FRAME && !transmitter;
    }

    /** Quiet: it lets an idle bus be skipped. */
    boolean isQuiet() {
        return state == State.IDLE || state == State.OFF || state == State.BUS_OFF;
    }

    boolean acknowledges() {
        return acknowledges && state != State.OFF && state != State.BUS_OFF;
    }

    int transmitErrors() {
        return transmitErrors;
    }

    int receiveErrors() {
        return receiveErrors;
    }

    boolean isPassive() {
        return transmitErrors > 127 || receiveErrors > 127;
    }

    /** Position within the frame being sent of the coming bit. */
    int position() {
        return position;
    }

    Event event() {
        return event;
    }

    /** After {@link Event#BROKE}: bit without stuff bits, from start of frame = 0. */
    int brokeAt() {
        return brokeAt;
    }

    /** Index of the coming bit without stuff bits; -1 for a stuff bit or outside a frame. */
    int plainIndex() {
        boolean body = parser.zone() == FrameParser.Zone.STUFFED || parser.zone() == FrameParser.Zone.FIXED_STUFF;
        if (state != State.FRAME || !body) return -1;
        return parser.nextIsStuff() ? -1 : parser.count();
    }

    /** It takes the bus, from its last sample point on, to go at the data rate. */
    boolean isFast() {
        return state == State.FRAME && parser.isFast();
    }

    void powerOff() {
        state = State.OFF;
        transmitter = false;
        transmitErrors = receiveErrors = 0;
    }

    void powerOn() {
        state = State.INTEGRATING;
        recessiveRun = 0;
        transmitErrors = receiveErrors = 0;
    }

    /** Sends from the start of frame; the bus must be idle for it. */
    void startSending(WireFrame frame) {
        state = State.FRAME;
        transmitter = true;
        sending = frame;
        position = 0;
        parser.start();
    }

    /** Another's start bit came at the third bit of its intermission: it sends on from the first identifier bit. */
    void joinAfterStart(WireFrame frame) {
        transmitter = true;
        sending = frame;
        position = 1;
    }

    /** A whole frame has gone by without it being needed to look at each bit. */
    void frameReceived() {
        if (state == State.BUS_OFF) {
            recessiveRun = 0;
            countRecessive(PAUSE_BITS);
        } else if (state == State.IDLE) {
            received();
        }
    }

    /** It has sent a whole frame, likewise, and its intermission is over. */
    void frameSent() {
        if (transmitErrors > 0) transmitErrors--;
        if (isPassive()) {
            state = State.SUSPEND;
            counted = 0;
        }
    }

    /** The bus has been idle for so many bits. */
    void idleBits(long bits) {
        if (state == State.BUS_OFF) countRecessive(bits);
    }

    /** Idle bits until it is back from bus-off; very many where it does not count. */
    long recoveryBits() {
        if (state != State.BUS_OFF || !recovers) return Long.MAX_VALUE / 4;
        return (long) (RECOVERY_PAUSES - pauses) * PAUSE_BITS - recessiveRun;
    }

    /** Whether it counts towards its return from bus-off. */
    void setRecovers(boolean does) {
        recovers = does;
    }

    private void countRecessive(long bits) {
        if (!recovers) return;
        long all = recessiveRun + bits;
        pauses += (int) Math.min(RECOVERY_PAUSES, all / PAUSE_BITS);
        recessiveRun = (int) (all % PAUSE_BITS);
        if (pauses >= RECOVERY_PAUSES) {
            transmitErrors = receiveErrors = 0;
            state = State.IDLE;
        }
    }

    /** The level it puts on the wire for the coming bit: 0 dominant, 1 recessive. */
    int output() {
        return switch (state) {
            case ACTIVE_FLAG, OVERLOAD_FLAG -> 0;
            case FRAME -> {
                if (transmitter) yield sending.bits[position];
                yield parser.zone() == FrameParser.Zone.ACK_SLOT && acknowledges && parser.checkAgrees() ? 0 : 1;
            }
            default -> 1;
        };
    }

    /**
     * The bit is over.
     *
     * @param sent what {@link #output} gave for it
     * @param seen what it read
     */
    void sample(int sent, int seen) {
        event = Event.NONE;
        switch (state) {
            case OFF -> { }
            case BUS_OFF -> {
                if (seen == 0) recessiveRun = 0;
                else countRecessive(1);
            }
            case INTEGRATING -> {
                recessiveRun = seen == 0 ? 0 : recessiveRun + 1;
                if (recessiveRun == PAUSE_BITS) state = State.IDLE;
            }
            case IDLE -> {
                if (seen == 0) startReceiving();
            }
            case FRAME -> frameBit(sent, seen);
            case ACTIVE_FLAG -> activeFlagBit(seen);
            case PASSIVE_FLAG -> passiveFlagBit(seen);
            case OVERLOAD_FLAG -> {
                if (++counted == 6) startTail(true);
            }
            case FLAG_TAIL -> tailBit(seen);
            case DELIMITER -> delimiterBit(seen);
            case INTERMISSION -> intermissionBit(seen);
            case SUSPEND -> {
                if (seen == 0) startReceiving();
                else if (++counted == SUSPEND_BITS) state = State.IDLE;
            }
        }
    }

    private void startReceiving() {
        state = State.FRAME;
        transmitter = false;
        parser.begin();
    }

    private void frameBit(int sent, int seen) {
        FrameParser.Zone zone = parser.zone();
        boolean stuff = parser.nextIsStuff();
        int index = parser.count();
        FrameParser.Outcome outcome = parser.accept(seen);
        if (transmitter) {
            position++;
            if (zone == FrameParser.Zone.ACK_SLOT) {
                if (seen == 1) breakOff(Cause.ACKNOWLEDGE, index);
                return;
            }
            boolean arbitration = zone == FrameParser.Zone.STUFFED
                    && index < CanFrameBits.arbitrationBits(sending.extended);
            if (sent == seen) {
                if (outcome == FrameParser.Outcome.COMPLETE) complete();
                return;
            }
            if (!(arbitration && sent == 1)) {
                breakOff(Cause.BIT, index);
                return;
            }
            if (stuff) {
                breakOff(Cause.STUFF_IN_ARBITRATION, index);
                return;
            }
            transmitter = false;
            event = Event.LOST_ARBITRATION;
        }
        switch (outcome) {
            case GOING_ON -> { }
            case STUFF -> breakOff(Cause.STUFF, index);
            case FORM -> breakOff(Cause.FORM, index);
            case CHECK -> breakOff(Cause.CHECK, index);
            case ACK_SLOT_PASSED -> {
                if (parser.checkAgrees()) received();
            }
            case LATE_DOMINANT -> startOverload();
            case COMPLETE -> startIntermission();
        }
    }

    /** Rule 8. */
    private void received() {
        if (receiveErrors > 127) receiveErrors = 127;
        else if (receiveErrors > 0) receiveErrors--;
    }

    /** Rule 7. */
    private void complete() {
        if (transmitErrors > 0) transmitErrors--;
        event = Event.SENT;
        startIntermission();
    }

    private void breakOff(Cause cause, int index) {
        event = Event.BROKE;
        brokeAt = index;
        // The error that makes a node passive still sends an active flag (rule 9).
        boolean passive = isPassive();
        acknowledgePending = false;
        if (!transmitter) receiveErrors = Math.min(255, receiveErrors + 1);
        else if (cause == Cause.ACKNOWLEDGE && passive) acknowledgePending = true;
        else if (cause != Cause.STUFF_IN_ARBITRATION) transmitErrors += 8;
        if (wentBusOff()) return;
        state = passive ? State.PASSIVE_FLAG : State.ACTIVE_FLAG;
        counted = 0;
        equalLast = -1;
    }

    private boolean wentBusOff() {
        if (transmitErrors < 256) return false;
        state = State.BUS_OFF;
        transmitter = false;
        pauses = 0;
        recessiveRun = 0;
        return true;
    }

    /** Rules 2, 4, 5 and 6. */
    private void eightMore() {
        if (transmitter) transmitErrors += 8;
        else receiveErrors = Math.min(255, receiveErrors + 8);
        wentBusOff();
    }

    private void activeFlagBit(int seen) {
        counted++;
        if (counted == 6) startTail(false);
        if (seen == 1) eightMore();
    }

    private void passiveFlagBit(int seen) {
        if (acknowledgePending && seen == 0) {
            // Rule 3, exception 1, no longer holds: somebody was there.
            acknowledgePending = false;
            transmitErrors += 8;
            if (wentBusOff()) return;
        }
        counted = seen == equalLast ? counted + 1 : 1;
        equalLast = seen;
        if (counted == 6) startTail(false);
    }

    private void startTail(boolean afterOverload) {
        state = State.FLAG_TAIL;
        overload = afterOverload;
        tailDominant = 0;
    }

    private void tailBit(int seen) {
        if (seen == 1) {
            state = State.DELIMITER;
            counted = 1;
            return;
        }
        tailDominant++;
        if (tailDominant == 1 && !transmitter && !overload) eightMore();
        if (tailDominant % 8 == 0 && state == State.FLAG_TAIL) eightMore();
    }

    private void delimiterBit(int seen) {
        counted++;
        if (seen == 0) {
            if (counted == 8) startOverload();
            else breakOff(Cause.FORM, -1);
        } else if (counted == 8) {
            startIntermission();
        }
    }

    private void startOverload() {
        state = State.OVERLOAD_FLAG;
        counted = 0;
    }

    private void startIntermission() {
        state = State.INTERMISSION;
        counted = 0;
    }

    private void intermissionBit(int seen) {
        counted++;
        if (seen == 0) {
            if (counted < 3) {
                startOverload();
            } else {
                startReceiving();
                event = Event.STARTED_LATE;
            }
        } else if (counted == 3) {
            boolean suspended = transmitter && isPassive();
            state = suspended ? State.SUSPEND : State.IDLE;
            counted = 0;
            transmitter = false;
        }
    }
}
