package buswitness.testing;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/**
 * Makes frame logs of invented buses at the level of frames, with the true sender of each: oscillators that are off and
 * wander, software delay, queueing by priority, head-on retries, events, restarts, gaps. No wire is simulated, so a
 * test that uses it says nothing about the decoder. Deterministic by seed.
 *
 * <pre>{@code
 * FrameLogs bus = new FrameLogs(125_000, 40, 1);
 * bus.node(40).every(0x1D0, 0.1, 0.013, Payloads.constant(10, 20));
 * bus.node(-33).every(0x1D0, 0.1, 0.061, Payloads.constant(90, 20));
 * FrameLogs.Made made = bus.make();
 * }</pre>
 */
public final class FrameLogs {
    final double bitSeconds;
    final double durationSeconds;
    final SplittableRandom random;
    final List<Release> releases = new ArrayList<>();
    private final List<Node> nodes = new ArrayList<>();
    private final List<double[]> gaps = new ArrayList<>();
    double tickSeconds = 1e-6;
    double wireTickSeconds = Double.NaN;
    double damagedShare;
    double stampJitterSeconds = -1;

    /** A frame that a node wants to send from {@code at} on. */
    record Release(double at, int id, int node, byte[] data) {}

    /** What was made. {@code senderOf}: index of the true node; -1 for several at once. */
    public record Made(FrameLog log, BusInfo bus, List<Gap> gaps, int[] senderOf) {}

    /** Payload of the {@code count}-th frame, sent at {@code seconds}. */
    public interface Payload {
        byte[] at(int count, double seconds, SplittableRandom random);
    }

    /** @param bitsPerSecond of the bus; @param durationSeconds of the recording */
    public FrameLogs(double bitsPerSecond, double durationSeconds, long seed) {
        this.bitSeconds = 1 / bitsPerSecond;
        this.durationSeconds = durationSeconds;
        this.random = new SplittableRandom(seed);
    }

    /** Starts are rounded to this. Default one microsecond. */
    public FrameLogs tick(double seconds) {
        tickSeconds = seconds;
        return this;
    }

    /** Gives every whole frame a bit length and an asymmetry as seen with this tick. Default: none. */
    public FrameLogs wire(double tick) {
        wireTickSeconds = tick;
        return this;
    }

    /** A share of frames is broken at a random bit by interference and sent again. */
    public FrameLogs damaged(double share) {
        damagedShare = share;
        return this;
    }

    /** As a frame table without rate or stamp convention: starts carry this jitter, nothing is free. */
    public FrameLogs table(double jitterSeconds) {
        stampJitterSeconds = jitterSeconds;
        return this;
    }

    /** Nothing recorded in between. */
    public FrameLogs gap(double from, double until) {
        gaps.add(new double[] {from, until});
        return this;
    }

    /** A node with a perfectly steady clock off by {@code ppm} and 80 us of software delay at most. */
    public Node node(double ppm) {
        return node(ppm, 0, 80e-6);
    }

    /**
     * @param ppm       mean deviation of its oscillator; positive: periods longer
     * @param wanderPpm standard deviation of its slow wander, correlated over about 30 s
     * @param delay     software delay, even between 0 and this many seconds
     */
    public Node node(double ppm, double wanderPpm, double delay) {
        Node node = new Node(nodes.size(), ppm, wanderPpm, delay);
        nodes.add(node);
        return node;
    }

    public Made make() {
        List<Gap> recorded = new ArrayList<>();
        gaps.sort((a, b) -> Double.compare(a[0], b[0]));
        for (double[] g : gaps) recorded.add(new Gap(Math.round(g[0] * 1e12), Math.round(g[1] * 1e12), "made so"));
        boolean table = stampJitterSeconds >= 0;
        BusQueue queue = new BusQueue(this, nodes, gaps);
        queue.run();
        BusInfo bus = new BusInfo("can", table ? Double.NaN : 1 / bitSeconds, table ? 0 : 1, false, 1,
                table ? Double.NaN : queue.busySeconds / durationSeconds, table ? 0 : queue.log.size() * 60L, 0, !table,
                Math.round(durationSeconds * 1e12));
        return new Made(queue.log, bus, recorded, queue.senders());
    }

    /** One node: its clock and what it sends. */
    public final class Node {
        final int index;
        final double ppm;
        double asymmetryNanos;
        private final double delaySeconds;
        private final double[] clock;
        private double aliveFrom = Double.NEGATIVE_INFINITY;
        private double aliveUntil = Double.POSITIVE_INFINITY;

        Node(int index, double ppm, double wanderPpm, double delaySeconds) {
            this.index = index;
            this.ppm = ppm;
            this.delaySeconds = delaySeconds;
            clock = new double[(int) Math.ceil(durationSeconds) + 3];
            double keep = Math.exp(-1 / 30.0);
            double now = wanderPpm * gaussian(random);
            for (int i = 1; i < clock.length; i++) {
                clock[i] = clock[i - 1] + 1 + (ppm + now) * 1e-6;
                now = keep * now + wanderPpm * Math.sqrt(1 - keep * keep) * gaussian(random);
            }
        }

        /** True time at which this node's own clock shows {@code local} seconds. */
        public double trueTime(double local) {
            int i = Math.max(0, Math.min(clock.length - 2, (int) local));
            return clock[i] + (local - i) * (clock[i + 1] - clock[i]);
        }

        /** What is added from here on is sent only between these times. */
        public Node alive(double from, double until) {
            aliveFrom = from;
            aliveUntil = until;
            return this;
        }

        /** Dominant bits longer than recessive ones by this much. */
        public Node asymmetry(double nanos) {
            asymmetryNanos = nanos;
            return this;
        }

        /** Cyclic on a fixed grid; the delay does not accumulate. */
        public Node every(int id, double period, double phase, Payload payload) {
            return every(id, period, phase, 0, payload);
        }

        /** As above, with further jitter of this standard deviation; 1 frame in {@code 1 / missing} left out. */
        public Node every(int id, double period, double phase, double jitter, Payload payload) {
            return every(id, period, phase, jitter, 0, payload);
        }

        public Node every(int id, double period, double phase, double jitter, double missing, Payload payload) {
            int count = 0;
            for (double local = phase; local < durationSeconds; local += period) {
                if (missing > 0 && random.nextDouble() < missing) count++;
                else add(trueTime(local) + jitter * gaussian(random), id, count++, payload);
            }
            return this;
        }

        /**
         * At random, {@code perSecond} on average; on the node's task grid of {@code gridSeconds}, or from an interrupt
         * where that is 0.
         */
        public Node onEvent(int id, double perSecond, double gridSeconds, Payload payload) {
            double local = 0;
            int count = 0;
            while (true) {
                local -= Math.log(1 - random.nextDouble()) / perSecond;
                if (local >= durationSeconds) return this;
                double at = gridSeconds > 0 ? Math.ceil(local / gridSeconds) * gridSeconds : local;
                add(trueTime(at), id, count++, payload);
            }
        }

        /** Waits {@code pause} after its work, which takes {@code work} on average, within {@code spread} of it. */
        public Node delayLoop(int id, double pause, double work, double spread, Payload payload) {
            int count = 0;
            for (double local = pause; local < durationSeconds;) {
                add(trueTime(local), id, count++, payload);
                local += pause + work + spread * (2 * random.nextDouble() - 1);
            }
            return this;
        }

        /** At these true times, software delay added. */
        public Node at(int id, double[] times, Payload payload) {
            for (int i = 0; i < times.length; i++) add(times[i], id, i, payload);
            return this;
        }

        private void add(double time, int id, int count, Payload payload) {
            if (time < Math.max(0, aliveFrom) || time >= Math.min(durationSeconds, aliveUntil)) return;
            double at = time + delaySeconds * random.nextDouble();
            releases.add(new Release(at, id, index, payload.at(count, time, random)));
        }
    }

    /** Standard normal, by the polar method of Marsaglia and Bray (SIAM Review 6, 1964). */
    public static double gaussian(SplittableRandom random) {
        while (true) {
            double u = 2 * random.nextDouble() - 1;
            double v = 2 * random.nextDouble() - 1;
            double s = u * u + v * v;
            if (s > 0 && s < 1) return u * Math.sqrt(-2 * Math.log(s) / s);
        }
    }
}
