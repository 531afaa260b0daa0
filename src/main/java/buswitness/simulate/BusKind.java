package buswitness.simulate;

import buswitness.schema.BusFormat;

/**
 * A bus other than classical CAN.
 *
 * @param format            how it speaks; null for CAN FD
 * @param slots             the master's schedule where it has one, else null
 * @param dataBitsPerSecond CAN FD: the rate after the switch, at least the nominal one; NaN on other buses
 * @param samplePoint       CAN FD: where in a bit, at either rate, nodes sample and switch, 0.5 to 0.88
 * @param slowAtOnce        CAN FD: who finds an error in a payload goes back to the nominal rate within that bit, at its
 *                          sample point; else with the error flag behind it
 */
public record BusKind(BusFormat format, SlotTable slots, double dataBitsPerSecond, double samplePoint,
                      boolean slowAtOnce) {
    /** Usual on CAN FD: common practice, no source. */
    static final double USUAL_SAMPLE_POINT = 0.8;

    public BusKind {
        if ((format == null) == Double.isNaN(dataBitsPerSecond)) {
            throw new IllegalArgumentException("a bus has a format, or it is CAN FD with a data rate");
        }
        if (!(samplePoint >= 0.5 && samplePoint <= 0.88)) {
            throw new IllegalArgumentException("no node samples there: " + samplePoint);
        }
    }

    /** A bus that a format describes. */
    public BusKind(BusFormat format, SlotTable slots) {
        this(format, slots, Double.NaN, BusEngine.SAMPLE_POINT, false);
    }

    /** CAN FD with classical frames among them. */
    public static BusKind canFd(double dataBitsPerSecond) {
        return new BusKind(null, null, dataBitsPerSecond, USUAL_SAMPLE_POINT, false);
    }

    /** CAN FD sampled elsewhere. */
    public BusKind sampledAt(double share) {
        return new BusKind(format, slots, dataBitsPerSecond, share, slowAtOnce);
    }

    /** CAN FD whose nodes go back to the nominal rate within the bit that was wrong, so that their flags come later. */
    public BusKind slowAtOnce(boolean does) {
        return new BusKind(format, slots, dataBitsPerSecond, samplePoint, does);
    }
}
