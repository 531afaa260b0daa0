package buswitness.schema;

/**
 * How bits or bytes lie on the wire. "Active" is the level that wins when two nodes drive at once (dominant), the other
 * is the resting level (passive, recessive). Times in microseconds where a standard gives them so, else in bits.
 */
public sealed interface LineFormat {

    /** Recorder's level at rest, 0 or 1, where the papers say it; -1 open. A probe may turn it round. */
    int idleLevel();

    /**
     * Non-return-to-zero bits with stuffing: a frame begins with one active bit after a rest.
     *
     * @param stuffAfter  equal bits after which an opposite one is put in; 0 none
     * @param stuffedUntil name of the last field that is stuffed
     * @param endBits     resting bits that end a frame (end of frame)
     * @param restBits    resting bits after them before the next frame may begin
     * @param acknowledge whether any receiver drives the second bit after the check active (delimiter, slot, delimiter)
     * @param errorFlags  whether nodes that see a fault drive an error flag of {@code stuffAfter + 1} active bits, and
     *                    the sender tries again
     */
    record Stuffed(int idleLevel, int stuffAfter, String stuffedUntil, int endBits, int restBits, boolean acknowledge,
                   boolean errorFlags) implements LineFormat {}

    /**
     * A level lasts short or long, and levels alternate: short active and long passive mean 1, long active and short
     * passive mean 0 (SAE J1850, variable pulse width).
     *
     * @param shortPulse a short level
     * @param longPulse  a long level
     * @param start      active level that begins a frame
     * @param endOfData  passive level after which a response may begin
     * @param endOfFrame passive level that ends the frame
     * @param restMicros passive level before the next frame may begin, nominal
     * @param breakPulse active level that resets the bus
     */
    record VariablePulse(int idleLevel, Pulse shortPulse, Pulse longPulse, Pulse start, Pulse endOfData,
                         Pulse endOfFrame, double restMicros, Pulse breakPulse) implements LineFormat {}

    /**
     * Every bit begins with an active edge; how long it stays active tells 1 (short) or 0 (long) (SAE J1850, pulse
     * width).
     *
     * @param bit        from active edge to active edge
     * @param one        active part of a 1
     * @param zero       active part of a 0
     * @param start      active part of the start of frame; {@code startTotal} from its edge to the first bit's
     * @param endOfData  from the last bit's active edge to where a response's first bit may begin
     * @param endOfFrame from the last bit's active edge to where the frame has ended
     * @param restMicros from the last bit's active edge to where the next frame may begin, nominal
     * @param breakPulse active level that resets the bus
     */
    record PulseWidth(int idleLevel, Pulse bit, Pulse one, Pulse zero, Pulse start, Pulse startTotal, Pulse endOfData,
                      Pulse endOfFrame, double restMicros, Pulse breakPulse) implements LineFormat {}

    /**
     * Asynchronous bytes: one active start bit, 8 bits, stop bits at rest.
     *
     * @param lowBitFirst  which bit of a byte comes first
     * @param parity       0 none, 1 odd, 2 even
     * @param stopBits     1 or 2
     * @param breakBits    active bits that begin a frame, as sent; 0: a frame begins with its first byte after a rest
     * @param breakEnd     resting bits after the break, at least
     * @param longestGapBits resting bits between two bytes of one frame, at most (from stop bit to start bit)
     * @param restBits     resting bits that end a frame for certain; greater than {@code longestGapBits}
     * @param addressBitsPerSecond rate of an address byte that wakes the bus (ISO 9141-2, 5-baud initialisation); 0 none
     * @param wakeUp       active level that wakes the bus (ISO 14230-2, fast initialisation), or null
     */
    record Bytes(int idleLevel, boolean lowBitFirst, int parity, int stopBits, int breakBits, int breakEnd,
                 double longestGapBits, double restBits, double addressBitsPerSecond, Pulse wakeUp) implements LineFormat {}

    /**
     * A duration in microseconds as a sender makes it and as a receiver must take it.
     *
     * @param nominal sent
     * @param from    shortest a receiver takes as this symbol
     * @param until   longest; positive infinity where open
     */
    record Pulse(double nominal, double from, double until) {
        public Pulse {
            if (!(from <= nominal && nominal <= until)) {
                throw new IllegalArgumentException("a symbol of " + from + " to " + until + " but sent as " + nominal);
            }
        }

        public boolean takes(double micros) {
            return micros >= from && micros <= until;
        }
    }
}
