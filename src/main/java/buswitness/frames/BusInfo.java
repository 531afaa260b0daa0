package buswitness.frames;

/**
 * What the wire itself told about the bus.
 *
 * @param coding         {@code can} and later others, as in the JSON
 * @param bitsPerSecond  nominal rate; NaN where none was found or a frame table does not say
 * @param rateConfidence 0 to 1, 1 where it was given
 * @param rateGiven      the rate came from a layout or an option
 * @param idleLevel      recorder's level while the bus rests, 0 or 1
 * @param load           share of watched time that is not idle, 0 to 1; NaN where unknown
 * @param edges          level changes read, glitches included
 * @param glitches       runs filtered as too short
 * @param wire           whether bit timing exists (false for frame tables)
 * @param durationPicos  from time zero to the recording's end
 * @param measuredBitsPerSecond mean rate of everybody who sends, on the recorder's clock; NaN where not measured
 * @param idleConfidence how sure the resting level is, 0.5 to 1; NaN for frame tables
 * @param dataBitsPerSecond CAN FD: the rate after the switch; NaN where there is none
 * @param recognition    which bus it was taken for, and what else it could have been
 */
public record BusInfo(String coding, double bitsPerSecond, double rateConfidence, boolean rateGiven, int idleLevel,
                      double load, long edges, long glitches, boolean wire, long durationPicos,
                      double measuredBitsPerSecond, double idleConfidence, double dataBitsPerSecond, Recognition recognition) {

    /**
     * Ticks in a bit from which frames are lost: a fifth lost none of 16,000 at 250 kbit/s, a quarter up to 4 in 1,000
     * (measured, senders up to 40 ns lopsided).
     */
    private static final double COARSE_SHARE = 0.21;

    /** A bus of which nothing was measured beyond this. */
    public BusInfo(String coding, double bitsPerSecond, double rateConfidence, boolean rateGiven, int idleLevel,
                   double load, long edges, long glitches, boolean wire, long durationPicos) {
        this(coding, bitsPerSecond, rateConfidence, rateGiven, idleLevel, load, edges, glitches, wire, durationPicos,
                Double.NaN, Double.NaN);
    }

    /** A bus that was not recognised from its wire. */
    public BusInfo(String coding, double bitsPerSecond, double rateConfidence, boolean rateGiven, int idleLevel,
                   double load, long edges, long glitches, boolean wire, long durationPicos,
                   double measuredBitsPerSecond, double idleConfidence) {
        this(coding, bitsPerSecond, rateConfidence, rateGiven, idleLevel, load, edges, glitches, wire, durationPicos,
                measuredBitsPerSecond, idleConfidence, Double.NaN, Recognition.unseen(coding));
    }

    /** One bit in picoseconds; NaN where the rate is unknown. */
    public double bitPicos() {
        return 1e12 / bitsPerSecond;
    }

    /**
     * Whether frames may look broken that are not, since a stuff bit shortened by its sender and by the recorder's tick
     * falls short of the sample point.
     */
    public boolean tickTooCoarse(double tickPicos) {
        return wire && coding.startsWith("can") && tickPicos > COARSE_SHARE * bitPicos();
    }
}
