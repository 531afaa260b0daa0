package buswitness.testing;

import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.PriorityQueue;

/**
 * One bus that serves waiting frames by identifier (ISO 11898-1 arbitration), one at a time. Two nodes that start one
 * identifier together with unlike data break each other's frame and both try again, with the transmit error counters of
 * Bosch CAN 2.0 clause 8: plus 8 on an error, minus 1 on success, error passive from 128, off the bus above 255.
 */
final class BusQueue {
    /** Delimiter, acknowledge slot and delimiter, end of frame. */
    private static final int TAIL_BITS = 10;
    private static final int INTERMISSION_BITS = 3;
    private static final int FREE_AFTER_BITS = 12;
    private static final double RETRY_FLAG_BITS = 6 + 8;

    final FrameLog log = new FrameLog();
    double busySeconds;
    private final FrameLogs from;
    private final List<FrameLogs.Node> nodes;
    private final List<double[]> gaps;
    private final LogRow row = new LogRow();
    private final int[] transmitErrors;
    private int[] senders = new int[1024];
    private double lastEnd = -1;

    BusQueue(FrameLogs from, List<FrameLogs.Node> nodes, List<double[]> gaps) {
        this.from = from;
        this.nodes = nodes;
        this.gaps = gaps;
        transmitErrors = new int[nodes.size()];
    }

    void run() {
        List<FrameLogs.Release> all = from.releases;
        all.sort(Comparator.comparingDouble(FrameLogs.Release::at).thenComparingInt(FrameLogs.Release::node));
        PriorityQueue<FrameLogs.Release> waiting = new PriorityQueue<>(Comparator.comparingInt(FrameLogs.Release::id)
                .thenComparingDouble(FrameLogs.Release::at).thenComparingInt(FrameLogs.Release::node));
        double free = 0;
        int next = 0;
        while (next < all.size() || !waiting.isEmpty()) {
            double now = waiting.isEmpty() ? Math.max(free, all.get(next).at()) : free;
            // A node that becomes ready within the start bit still joins the arbitration: count a third of a bit.
            double joins = now + (now > free ? 0.3 * from.bitSeconds : 0);
            while (next < all.size() && all.get(next).at() <= joins) waiting.add(all.get(next++));
            if (now >= from.durationSeconds) return;
            free = serve(now, waiting);
        }
    }

    private double serve(double now, PriorityQueue<FrameLogs.Release> waiting) {
        FrameLogs.Release first = waiting.poll();
        if (transmitErrors[first.node()] > 255) return now;
        FrameLogs.Release other = waiting.peek();
        boolean headOn = other != null && other.id() == first.id() && other.node() != first.node()
                && transmitErrors[other.node()] <= 255;
        if (headOn && Arrays.equals(first.data(), other.data())) {
            waiting.poll();
            return whole(now, first, -1);
        }
        if (headOn) return collide(now, first, waiting.poll(), waiting);
        if (from.damagedShare > 0 && from.random.nextDouble() < from.damagedShare) {
            waiting.add(first);
            BitString bits = bits(first);
            return damaged(now, first, bits, 1 + from.random.nextInt(bits.size() - 1), first.node());
        }
        return whole(now, first, first.node());
    }

    private double collide(double now, FrameLogs.Release one, FrameLogs.Release two,
                           PriorityQueue<FrameLogs.Release> waiting) {
        BitString a = bits(one);
        BitString b = bits(two);
        int at = 0;
        while (a.get(at) == b.get(at)) at++;
        FrameLogs.Release loser = a.get(at) == 1 ? one : two;
        FrameLogs.Release winner = loser == one ? two : one;
        boolean passive = transmitErrors[loser.node()] >= 128;
        transmitErrors[loser.node()] += 8;
        waiting.add(loser);
        if (passive) {
            // The passive flag is recessive: nobody sees it and the other frame goes through.
            return whole(now, winner, winner.node());
        }
        transmitErrors[winner.node()] += 8;
        waiting.add(winner);
        return damaged(now, winner, bits(winner), at, -1);
    }

    private double whole(double now, FrameLogs.Release frame, int sender) {
        BitString bits = bits(frame);
        double length = (CanFrameBits.stuffed(bits).size() + TAIL_BITS) * from.bitSeconds;
        if (sender >= 0) transmitErrors[sender] = Math.max(0, transmitErrors[sender] - 1);
        start(now, now + length, frame);
        row.fault = FrameFault.NONE;
        row.faultBit = -1;
        row.acknowledged = true;
        if (sender >= 0 && from.wireTickSeconds > 0) wire(nodes.get(sender), bits.size());
        write(now, now + length, sender);
        return now + length + INTERMISSION_BITS * from.bitSeconds;
    }

    private double damaged(double now, FrameLogs.Release frame, BitString bits, int at, int sender) {
        int onWire = CanFrameBits.stuffed(bits.slice(0, at + 1)).size();
        double length = (onWire + RETRY_FLAG_BITS) * from.bitSeconds;
        start(now, now + length, frame);
        row.fault = FrameFault.ERROR_FLAG;
        row.faultBit = at;
        row.acknowledged = false;
        int dataFrom = 19;
        row.dataLength = Math.max(0, Math.min(row.dataLength, (at - dataFrom) / 8));
        if (at < dataFrom) row.key = MessageKey.UNKNOWN;
        row.wireBits = CanFrameBits.stuffed(bits.slice(0, at + 1));
        row.wireBits.addBits(0, 6);
        row.wireBits.addBits(0xFF, 8);
        write(now, now + length, sender);
        return now + length + INTERMISSION_BITS * from.bitSeconds;
    }

    private void start(double now, double end, FrameLogs.Release frame) {
        row.clear();
        double stamp = now;
        if (from.stampJitterSeconds > 0) stamp += from.stampJitterSeconds * from.random.nextDouble();
        long tick = Math.max(1, Math.round(from.tickSeconds * 1e12));
        row.startPicos = Math.round(stamp * 1e12) / tick * tick;
        if (log.size() > 0) row.startPicos = Math.max(row.startPicos, log.startPicos(log.size() - 1));
        row.endPicos = row.startPicos + Math.round((end - now) * 1e12);
        row.key = MessageKey.can(frame.id(), frame.id() > 0x7FF);
        row.freeStart = from.stampJitterSeconds < 0 && now - lastEnd > FREE_AFTER_BITS * from.bitSeconds;
        row.lengthCode = row.dataLength = frame.data().length;
        System.arraycopy(frame.data(), 0, row.data, 0, frame.data().length);
    }

    /** Errors as a straight line over n dithered edges has them: tick / sqrt(12) each. */
    private void wire(FrameLogs.Node node, int bits) {
        int edges = Math.max(4, bits / 3);
        double edgeError = from.wireTickSeconds / Math.sqrt(12);
        row.bitPpmError = (float) (edgeError * Math.sqrt(12.0 / edges) / (bits * from.bitSeconds) * 1e6);
        row.bitPpm = (float) (node.ppm + row.bitPpmError * FrameLogs.gaussian(from.random));
        row.asymmetryErrorNanos = (float) (edgeError * 2 / Math.sqrt(edges) * 1e9);
        row.asymmetryNanos = (float) (node.asymmetryNanos
                + row.asymmetryErrorNanos * FrameLogs.gaussian(from.random));
    }

    private void write(double now, double end, int sender) {
        lastEnd = end;
        busySeconds += end - now;
        for (double[] gap : gaps) {
            if (end > gap[0] && now < gap[1]) return;
        }
        if (log.size() == senders.length) senders = Arrays.copyOf(senders, senders.length * 2);
        senders[log.size()] = sender;
        log.add(row);
    }

    int[] senders() {
        return Arrays.copyOf(senders, log.size());
    }

    private static BitString bits(FrameLogs.Release frame) {
        return CanFrameBits.unstuffed(frame.id(), frame.id() > 0x7FF, false, frame.data().length, frame.data());
    }
}
