package buswitness.clashes;

import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Payload;
import buswitness.testing.Payloads;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.LongFunction;

/**
 * Invented buses with one thing in each that might be taken for a clash, and buses with a true one. Frames only, no
 * wire:
 * the decoder has no part in it. Message 0x1D0 is the one in question; five others of three nodes stand around it.
 */
final class Scenes {
    static final int ID = 0x1D0;
    private static final double SECONDS = 40;

    private Scenes() {}

    /** Two payloads that agree in nothing but their length; the first byte moves slowly. */
    private static Payload hot() {
        return Payloads.slow(8, 200, 0.5, false);
    }

    private static Payload cold() {
        return Payloads.slow(8, 40, 0.5, false);
    }

    /** The innocent: name to bus by seed. */
    static Map<String, LongFunction<Made>> innocent() {
        Map<String, LongFunction<Made>> all = new LinkedHashMap<>();
        all.put("a healthy bus", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, f[0].phase(), hot())));
        all.put("several tasks of one node, same value", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, Payloads.square(8, 10, 90, 7));
            f[0].every(ID, 0.1, 0.051, Payloads.square(8, 10, 90, 7));
        }));
        all.put("several tasks of one node, each with its value", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, hot());
            f[0].every(ID, 0.1, 0.051, cold());
        }));
        all.put("two tasks of unlike periods", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, hot());
            f[0].every(ID, 0.25, 0.051, cold());
        }));
        all.put("jitter", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013, 0.008, hot())));
        all.put("on-change frames on the task grid", seed -> bus(seed).with(3, f -> changing(f[0], 0.01, seed)));
        all.put("on-change frames from an interrupt", seed -> bus(seed).with(3, f -> changing(f[0], 0, seed)));
        all.put("events only", seed -> bus(seed).with(3, f -> f[0].onEvent(ID, 4, 0, Payloads.random(8))));
        all.put("single event frames with a value of their own", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, Payloads.constant(0, 0, 0, 0));
            f[0].onEvent(ID, 2, 0, Payloads.constant(1, 0, 0, 0));
        }));
        all.put("a delay loop", seed -> bus(seed).with(3, f -> f[0].delayLoop(ID, 0.1, 0.0021, 0.0004, hot())));
        all.put("a timer and a delay loop of one node, same value", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, Payloads.square(8, 10, 90, 7));
            f[0].delayLoop(ID, 0.1, 0.0021, 0.0004, Payloads.square(8, 10, 90, 7));
        }));
        all.put("a timer and a delay loop of one node, seen on the wire", seed -> bus(seed).wire(1e-7).with(3, f -> {
            f[0].every(ID, 0.1, 0.013, Payloads.square(8, 10, 90, 7));
            f[0].delayLoop(ID, 0.1, 0.0021, 0.0004, Payloads.square(8, 10, 90, 7));
        }));
        all.put("a gateway's forwarding", seed -> bus(seed).with(3, f -> {
            // The gateway is the third node; what it forwards keeps the time of a node on another bus.
            f[3].every(ID, 0.1, 0.013, 0.0005, hot());
        }));
        all.put("a gateway that also repeats on its own timer", seed -> bus(seed).with(3, f -> {
            f[3].every(ID, 0.1, 0.013, 0.0005, Payloads.square(8, 10, 90, 7));
            f[2].every(ID, 1.0, 0.613, Payloads.square(8, 10, 90, 7));
        }));
        all.put("restarts", seed -> bus(seed).with(3, f -> {
            f[0].alive(0, 12).every(ID, 0.1, 0.013, hot());
            f[0].alive(13.4, 25).every(ID, 0.1, 0.047, hot());
            f[0].alive(26.1, SECONDS).every(ID, 0.1, 0.082, hot());
        }));
        all.put("an unplugged unit replaced by another", seed -> bus(seed).with(3, f -> {
            f[0].alive(0, 17).every(ID, 0.1, 0.013, hot());
            f[3].alive(20, SECONDS).every(ID, 0.1, 0.047, cold());
        }));
        all.put("a lone sender that breaks the same bit", seed -> Doctored.marginalBit(
                bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013, hot())), ID, 19 + (int) (seed % 40), 0.1,
                        seed % 2 == 0 ? 16 : 5, seed));
        all.put("two tasks of one node and a marginal bit", seed -> Doctored.marginalBit(
                bus(seed).with(3, f -> {
                    f[0].every(ID, 0.1, 0.013, hot());
                    f[0].every(ID, 0.1, 0.051, cold());
                }), ID, 19 + (int) (seed % 40), 0.1, 5, seed));
        all.put("two tasks in one go and a marginal bit", seed -> Doctored.marginalBit(
                bus(seed).with(3, f -> {
                    f[0].every(ID, 0.1, 0.013, hot());
                    f[0].every(ID, 0.1, 0.0131, cold());
                }), ID, 19 + (int) (seed % 40), 0.1, seed % 2 == 0 ? 16 : 5, seed));
        all.put("nobody to acknowledge", seed -> Doctored.alone(
                new Bus(seed).with(1, f -> f[0].every(ID, 0.1, 0.013, hot()))));
        all.put("interference", seed -> bus(seed).damaged(0.02).with(3, f -> f[0].every(ID, 0.1, 0.013, hot())));
        all.put("gaps in the recording", seed -> bus(seed).gap(9, 11.03).gap(21, 22.017)
                .with(3, f -> f[0].every(ID, 0.1, 0.013, hot())));
        all.put("pages", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013, (count, t, random) ->
                new byte[] {(byte) (count % 3), (byte) (count % 3 * 77), 5, 6})));
        all.put("pages from two tasks", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.2, 0.013, Payloads.constant(0, 10, 20, 30));
            f[0].every(ID, 0.2, 0.113, Payloads.constant(1, 99, 98, 97));
        }));
        all.put("a bad sensor", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013, (count, t, random) ->
                new byte[] {(byte) (random.nextInt(3) == 0 ? 30 : 120), 1, 2, 3})));
        all.put("a lamp that blinks by design", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013,
                Payloads.square(8, 0, 1, 0.7))));
        all.put("frames missing", seed -> bus(seed).with(3, f -> f[0].every(ID, 0.1, 0.013, 0, 0.1, hot())));
        return all;
    }

    /** The true clashes. */
    static Map<String, LongFunction<Made>> clashing() {
        Map<String, LongFunction<Made>> all = new LinkedHashMap<>();
        all.put("two clocks 73 ppm apart", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, f[0].phase(), hot());
            f[1].every(ID, 0.1, f[0].phase(), cold());
        }));
        all.put("two counters", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, f[0].phase(), Payloads.slow(8, 100, 0.5, true));
            f[1].every(ID, 0.1, f[0].phase(), Payloads.slow(8, 100, 0.5, true));
        }));
        all.put("two nodes that agree, told apart on the wire", seed -> bus(seed).wire(1e-7).with(3, f -> {
            f[0].every(ID, 0.1, f[0].phase(), Payloads.square(8, 10, 90, 7));
            f[1].every(ID, 0.1, f[0].phase(), Payloads.square(8, 10, 90, 7));
        }));
        all.put("unlike periods", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, f[0].phase(), hot());
            f[1].every(ID, 0.25, f[0].phase(), cold());
        }));
        all.put("two schedules that meet", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.1, 0.0130, hot());
            f[3].every(ID, 0.1, 0.0145, cold());
        }));
        all.put("replayed frames with a stale counter", seed -> bus(seed).with(3, f -> {
            f[0].every(ID, 0.02, f[0].phase(), 0.0008, Payloads.slow(8, 100, 0.5, true));
            f[1].onEvent(ID, 1.5, 0, Payloads.constant(100, 0, 0, 0, 0, 0, 0, 7));
        }));
        return all;
    }

    static Bus bus(long seed) {
        return new Bus(seed);
    }

    /** What a scene does with the bus's nodes. */
    interface Act {
        void on(Unit[] nodes);
    }

    /** A node, with a phase of its own for each use. */
    static final class Unit {
        private final FrameLogs.Node node;
        private final SplittableRandom random;

        Unit(FrameLogs.Node node, SplittableRandom random) {
            this.node = node;
            this.random = random;
        }

        double phase() {
            return 0.1 * random.nextDouble();
        }

        Unit alive(double from, double until) {
            node.alive(from, until);
            return this;
        }

        void every(int id, double period, double phase, Payload payload) {
            node.every(id, period, phase, payload);
        }

        void every(int id, double period, double phase, double jitter, Payload payload) {
            node.every(id, period, phase, jitter, payload);
        }

        void every(int id, double period, double phase, double jitter, double missing, Payload payload) {
            node.every(id, period, phase, jitter, missing, payload);
        }

        void onEvent(int id, double perSecond, double grid, Payload payload) {
            node.onEvent(id, perSecond, grid, payload);
        }

        void delayLoop(int id, double pause, double work, double spread, Payload payload) {
            node.delayLoop(id, pause, work, spread, payload);
        }

        void at(int id, double[] times, Payload payload) {
            node.at(id, times, payload);
        }
    }

    /** Three nodes with five messages and a fourth without any; clocks and phases by seed. */
    static final class Bus {
        private final FrameLogs logs;
        private final SplittableRandom random;

        Bus(long seed) {
            logs = new FrameLogs(125_000, SECONDS, seed);
            random = new SplittableRandom(seed * 7919 + 17);
        }

        /** Bit timing seen with this tick; dominant bits 0, 25, 50 and 75 ns longer than recessive ones. */
        Bus wire(double tick) {
            logs.wire(tick);
            return this;
        }

        Bus damaged(double share) {
            logs.damaged(share);
            return this;
        }

        Bus gap(double from, double until) {
            logs.gap(from, until);
            return this;
        }

        Made with(int others, Act act) {
            double[] ppm = {40, -33, 12, -70};
            Unit[] nodes = new Unit[4];
            for (int i = 0; i < 4; i++) {
                FrameLogs.Node node = logs.node(ppm[i] + 6 * random.nextDouble(), 0.3, 80e-6).asymmetry(25 * i);
                nodes[i] = new Unit(node, random);
                if (i >= others || others < 3) continue;
                node.every(0x120 + i, 0.05, 0.05 * random.nextDouble(), Payloads.slow(8, 7, 2, true));
                if (i < 2) node.every(0x2A0 + i, 0.2, 0.2 * random.nextDouble(), Payloads.slow(4, 9, 1, false));
            }
            act.on(nodes);
            return logs.make();
        }
    }

    /** A cycle of 100 ms with the current value, and a frame at once at each change of it. */
    private static void changing(Unit node, double grid, long seed) {
        SplittableRandom random = new SplittableRandom(seed + 99);
        double[] times = new double[60];
        double at = 0;
        for (int i = 0; i < times.length; i++) {
            at += 0.2 + 0.9 * random.nextDouble();
            times[i] = grid > 0 ? Math.ceil(at / grid) * grid + 0.003 : at;
        }
        Payload value = (count, t, r) -> {
            int changes = 0;
            while (changes < times.length && times[changes] <= t) changes++;
            return new byte[] {(byte) (changes * 37 + 5), 1, 2, 3};
        };
        node.every(ID, 0.1, 0.013, value);
        node.at(ID, times, value);
    }
}
