package buswitness.simulate;

/**
 * How a node's transceiver shows on the wire.
 *
 * @param asymmetryNanos how much longer its dominant bit is than its recessive bit; negative where shorter
 * @param loopDelayNanos how late its bits follow an edge that another node made (acknowledge, flags, shared start)
 * @param ringPulses     short dominant pulses after each of its dominant-to-recessive edges that rings
 * @param ringNanos      length of such a pulse and of the pause before it
 * @param ringShare      share of those edges that ring, 0 to 1
 * @param level          where it puts the line, for a recorder of voltages
 */
public record Drive(double asymmetryNanos, double loopDelayNanos, int ringPulses, double ringNanos, double ringShare,
                    NodeLevel level) {
    public static final Drive CLEAN = new Drive(0, 150, 0, 0, 0);

    public Drive {
        if (!(loopDelayNanos >= 0)) throw new IllegalArgumentException("loop delay below 0: " + loopDelayNanos);
        if (ringPulses < 0 || !(ringNanos >= 0) || !(ringShare >= 0 && ringShare <= 1)) {
            throw new IllegalArgumentException("ringing out of range");
        }
    }

    /** A drive at the usual level. */
    public Drive(double asymmetryNanos, double loopDelayNanos, int ringPulses, double ringNanos, double ringShare) {
        this(asymmetryNanos, loopDelayNanos, ringPulses, ringNanos, ringShare, NodeLevel.USUAL);
    }

    public Drive withAsymmetry(double nanos) {
        return new Drive(nanos, loopDelayNanos, ringPulses, ringNanos, ringShare, level);
    }

    public Drive withLoopDelay(double nanos) {
        return new Drive(asymmetryNanos, nanos, ringPulses, ringNanos, ringShare, level);
    }

    public Drive withRinging(int pulses, double nanos, double share) {
        return new Drive(asymmetryNanos, loopDelayNanos, pulses, nanos, share, level);
    }

    public Drive withLevel(NodeLevel other) {
        return new Drive(asymmetryNanos, loopDelayNanos, ringPulses, ringNanos, ringShare, other);
    }
}
