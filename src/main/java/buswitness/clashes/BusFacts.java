package buswitness.clashes;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.MessageKey;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * What the whole bus shows, for the differential diagnosis of each message.
 *
 * @param damaged         frames broken on the wire (not overload, not cut by the recording)
 * @param damagedMessages different messages among them
 * @param unknownDamaged  of {@code damaged}, those whose message could not be read
 * @param breakBits       different bits at which they broke
 */
record BusFacts(BusInfo bus, List<Gap> gaps, int whole, int damaged, int damagedMessages, int unknownDamaged,
                int breakBits, int unacknowledged) {
    static BusFacts of(FrameLog log, BusInfo bus, List<Gap> gaps) {
        int damaged = 0;
        int unknown = 0;
        int unacknowledged = 0;
        Set<Long> keys = new HashSet<>();
        Set<Integer> bits = new HashSet<>();
        for (int i = 0; i < log.size(); i++) {
            FrameFault fault = log.fault(i);
            if (!fault.isDamage()) continue;
            if (fault == FrameFault.ACKNOWLEDGE) {
                unacknowledged++;
                continue;
            }
            damaged++;
            if (log.key(i) == MessageKey.UNKNOWN) unknown++;
            else keys.add(log.key(i));
            if (log.faultBit(i) >= 0) bits.add(log.faultBit(i));
        }
        return new BusFacts(bus, List.copyOf(gaps), log.wholeCount(), damaged, keys.size(), unknown, bits.size(),
                unacknowledged);
    }

    double seconds() {
        return bus.durationPicos() * 1e-12;
    }

    double gapSeconds() {
        double sum = 0;
        for (Gap gap : gaps) sum += (gap.untilPicos() - gap.fromPicos()) * 1e-12;
        return sum;
    }

    /** Damage spread over messages and bits, as interference does it; a collision keeps to its message and bit. */
    boolean disturbed() {
        return damaged >= 5 && (damagedMessages >= 3 || unknownDamaged > damaged / 2) && breakBits >= 4;
    }
}
