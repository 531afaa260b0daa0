package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.frames.BitString;
import buswitness.frames.MessageKey;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;

/** What the senders of collided frames meant to say: read from the bits that the clash stage rebuilt. */
final class MeantValues {
    /** Start of frame, 11 identifier bits, RTR, IDE, r0, four length bits (Bosch 2012, clause 3.1.1). */
    private static final int BASE_HEADER_BITS = 19;
    /** The same with SRR, 18 more identifier bits and r1. */
    private static final int EXTENDED_HEADER_BITS = 39;
    private static final int CHECK_BITS = 15;

    private MeantValues() {}

    /** Values of one signal in conclusive collisions, in order of time; what could not be rebuilt is left out. */
    static double[] of(Signal signal, long key, ClashFindings clashes) {
        List<Double> values = new ArrayList<>();
        for (Collision c : clashes.collisions()) {
            // The layout of the bits is that of CAN; on other buses the frames themselves tell the values.
            if (c.key() != key || !c.conclusive() || c.kind() != Collision.Kind.BROKEN) continue;
            for (BitString meant : new BitString[] {c.firstMeant(), c.secondMeant()}) {
                double value = value(signal, meant, MessageKey.isExtended(key));
                if (!Double.isNaN(value)) values.add(value);
            }
        }
        return values.stream().mapToDouble(Double::doubleValue).toArray();
    }

    static double value(Signal signal, BitString meant, boolean extended) {
        int header = extended ? EXTENDED_HEADER_BITS : BASE_HEADER_BITS;
        if (meant == null || meant.size() < header) return Double.NaN;
        int bytes = (int) Math.min(8, meant.number(header - 4, 4));
        if (meant.size() < header + bytes * 8 || meant.size() > header + bytes * 8 + CHECK_BITS) return Double.NaN;
        byte[] data = new byte[bytes];
        for (int i = 0; i < bytes; i++) data[i] = (byte) meant.number(header + 8 * i, 8);
        return signal.read(data, bytes);
    }
}
