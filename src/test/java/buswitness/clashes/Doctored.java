package buswitness.clashes;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import java.util.SplittableRandom;
import java.util.function.IntPredicate;

/** Puts faults of a lone sender into a made log: frames that break at one bit, or find nobody to acknowledge. */
final class Doctored {
    private Doctored() {}

    /**
     * Before a share of the frames of {@code id}: {@code tries} frames of it broken at {@code bit} (only where the
     * frame
     * has the recessive bit there), each followed by a flag of six bits stretched by the others' to twelve.
     */
    static FrameLogs.Made marginalBit(FrameLogs.Made made, int id, int bit, double share, int tries, long seed) {
        long key = MessageKey.can(id, false);
        return before(made, seed, share, tries, frame -> {
            if (made.log().key(frame) != key) return false;
            BitString meant = meant(made.log(), frame);
            return bit < meant.size() && meant.get(bit) == 1;
        }, bit);
    }

    private static FrameLogs.Made before(FrameLogs.Made made, long seed, double share, int tries, IntPredicate which,
                                         int bit) {
        FrameLog from = made.log();
        FrameLog to = new FrameLog();
        SplittableRandom random = new SplittableRandom(seed);
        LogRow row = new LogRow();
        long bitPicos = Math.round(made.bus().bitPicos());
        for (int i = 0; i < from.size(); i++) {
            long shift = 0;
            if (which.test(i) && random.nextDouble() < share) {
                BitString wire = broken(meant(from, i), bit);
                long step = (wire.size() + 3) * bitPicos;
                long room = i + 1 < from.size() ? from.startPicos(i + 1) - from.endPicos(i) - 4 * bitPicos : 0;
                int fit = (int) Math.min(tries, Math.max(0, room / step));
                for (int n = 0; n < fit; n++) {
                    copy(from, i, row);
                    row.startPicos += n * step;
                    row.endPicos = row.startPicos + wire.size() * bitPicos;
                    row.fault = FrameFault.ERROR_FLAG;
                    row.faultBit = bit;
                    row.acknowledged = false;
                    row.freeStart = row.freeStart && n == 0;
                    row.dataLength = Math.max(0, Math.min(row.dataLength, (bit - 19) / 8));
                    row.wireBits = wire;
                    to.add(row);
                }
                shift = fit * step;
            }
            copy(from, i, row);
            row.startPicos += shift;
            row.endPicos += shift;
            if (shift > 0) row.freeStart = false;
            to.add(row);
        }
        return new FrameLogs.Made(to, made.bus(), made.gaps(), new int[to.size()]);
    }

    /** The wire as all see it: dominant from the break on, until twelve dominant bits in a row have passed. */
    static BitString broken(BitString meant, int bit) {
        BitString until = CanFrameBits.stuffed(meant.slice(0, bit));
        BitString wire = until.size() > 0 ? until : new BitString();
        int run = 0;
        for (int i = wire.size() - 1; i >= 0 && wire.get(i) == 0; i--) run++;
        for (; run < 12; run++) wire.add(0);
        wire.addBits(0xFF, 8);
        return wire;
    }

    /** Every frame of the log unacknowledged, sent again and again: a node alone on the bus. */
    static FrameLogs.Made alone(FrameLogs.Made made) {
        FrameLog to = new FrameLog();
        LogRow row = new LogRow();
        for (int i = 0; i < made.log().size(); i++) {
            copy(made.log(), 0, row);
            long step = row.endPicos - row.startPicos + Math.round(28 * made.bus().bitPicos());
            row.startPicos += i * step;
            row.endPicos += i * step;
            row.acknowledged = false;
            row.freeStart = i == 0;
            row.fault = FrameFault.ACKNOWLEDGE;
            row.faultBit = 19 + 8 * row.dataLength + 16;
            row.wireBits = CanFrameBits.stuffed(meant(made.log(), 0));
            row.wireBits.addBits(0b11, 2);
            row.wireBits.addBits(0, 6);
            to.add(row);
        }
        return new FrameLogs.Made(to, made.bus(), made.gaps(), new int[to.size()]);
    }

    static BitString meant(FrameLog log, int frame) {
        return CanFrameBits.unstuffed((int) MessageKey.identifier(log.key(frame)), log.isExtended(frame), false,
                log.lengthCode(frame), log.data(frame));
    }

    private static void copy(FrameLog log, int i, LogRow row) {
        row.clear();
        row.startPicos = log.startPicos(i);
        row.endPicos = log.endPicos(i);
        row.key = log.key(i);
        row.freeStart = log.isFreeStart(i);
        row.acknowledged = log.isAcknowledged(i);
        row.lengthCode = log.lengthCode(i);
        row.dataLength = log.dataLength(i);
        for (int k = 0; k < row.dataLength; k++) row.data[k] = (byte) log.dataByte(i, k);
        row.fault = log.fault(i);
        row.faultBit = log.faultBit(i);
        row.bitPpm = log.bitPpm(i);
        row.bitPpmError = log.bitPpmError(i);
        row.asymmetryNanos = log.asymmetryNanos(i);
        row.asymmetryErrorNanos = log.asymmetryErrorNanos(i);
        row.wireBits = log.wireBits(i);
    }
}
