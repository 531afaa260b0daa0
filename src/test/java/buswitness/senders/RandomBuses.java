package buswitness.senders;

import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import java.util.SplittableRandom;

/**
 * Random small buses around one message, 0x1D0: one sender with an innocent peculiarity, or two senders. Ranges: period
 * 10 to 500 ms, 20 to 120 s, clocks within 150 ppm, wander 0.3 to 5 ppm, software delay 20 us to 2 ms, light to busy.
 */
record RandomBuses(String kind, FrameLogs.Made made, double periodSeconds, double clockDifferencePpm, double jitter) {
    static final int ID = 0x1D0;
    static final String[] INNOCENT = {"plain", "jitter", "tasks", "events from interrupt", "events on the task grid",
        "delay loop", "gateway", "restart", "replaced unit", "recording gap", "missing frames", "interference"};
    private static final double[] PERIODS = {0.01, 0.02, 0.05, 0.1, 0.1, 0.2, 0.5};

    static RandomBuses innocent(long seed) {
        SplittableRandom r = new SplittableRandom(seed);
        String kind = INNOCENT[(int) (seed % INNOCENT.length)];
        double period = PERIODS[r.nextInt(PERIODS.length)];
        double length = Math.max(20 + 100 * r.nextDouble(), 60 * period);
        double delay = 20e-6 * Math.pow(100, r.nextDouble());
        FrameLogs bus = bus(r, seed, length);
        FrameLogs.Node node = bus.node(150 * (2 * r.nextDouble() - 1), wander(r), delay);
        FrameLogs.Payload data = Payloads.slow(4, r.nextInt(200), r.nextDouble() * 2, r.nextBoolean());
        double phase = period * r.nextDouble();
        switch (kind) {
            case "plain" -> node.every(ID, period, phase, data);
            case "jitter" -> node.every(ID, period, phase, period * 0.12 * r.nextDouble(), data);
            case "tasks" -> node.every(ID, period, phase, data)
                    .every(ID, period, phase + period * (0.1 + 0.8 * r.nextDouble()), data);
            case "events from interrupt" -> node.every(ID, period, phase, data)
                    .onEvent(ID, 0.2 + 3 * r.nextDouble(), 0, data);
            case "events on the task grid" -> node.every(ID, period, Math.rint(phase / 5e-3) * 5e-3, data)
                    .onEvent(ID, 0.2 + 3 * r.nextDouble(), 5e-3, data);
            case "delay loop" -> node.delayLoop(ID, period, 0.05 * period * r.nextDouble(),
                    0.02 * period * r.nextDouble(), data);
            case "gateway" -> node.at(ID, forwarded(bus, r, period, phase, length), data);
            case "restart" -> restarts(node, r, period, length, data);
            case "replaced unit" -> {
                double cut = length * (0.3 + 0.4 * r.nextDouble());
                node.alive(0, cut).every(ID, period, phase, data);
                bus.node(150 * (2 * r.nextDouble() - 1), wander(r), delay).alive(cut + 3 * period, length)
                        .every(ID, period, period * r.nextDouble(), data);
            }
            case "recording gap" -> {
                node.every(ID, period, phase, data);
                bus.gap(length * 0.4, length * (0.4 + 0.3 * r.nextDouble()));
            }
            case "missing frames" -> node.every(ID, period, phase, 0, 0.3 * r.nextDouble(), data);
            default -> {
                node.every(ID, period, phase, data);
                bus.damaged(0.1 * r.nextDouble());
            }
        }
        return new RandomBuses(kind, bus.make(), period, 0, delay / Math.sqrt(12));
    }

    /** Two nodes on one period; clocks apart by 0 to 300 ppm; data that differ, or are alike. */
    static RandomBuses two(long seed) {
        SplittableRandom r = new SplittableRandom(seed);
        double period = PERIODS[r.nextInt(PERIODS.length)];
        double length = Math.max(20 + 100 * r.nextDouble(), 60 * period);
        double delay = 20e-6 * Math.pow(100, r.nextDouble());
        FrameLogs bus = bus(r, seed, length);
        double ppm = 150 * (2 * r.nextDouble() - 1);
        double apart = 0.5 * Math.pow(600, r.nextDouble()) * (r.nextBoolean() ? 1 : -1);
        boolean alike = r.nextInt(3) == 0;
        int value = r.nextInt(100);
        bus.node(ppm, wander(r), delay).every(ID, period, period * r.nextDouble(), Payloads.slow(4, value, 0.5, false));
        bus.node(ppm + apart, wander(r), delay).every(ID, period, period * r.nextDouble(),
                Payloads.slow(4, alike ? value : value + 77, 0.5, false));
        return new RandomBuses(alike ? "alike" : "different", bus.make(), period, apart, delay / Math.sqrt(12));
    }

    private static double wander(SplittableRandom r) {
        return 0.3 * Math.pow(5 / 0.3, r.nextDouble());
    }

    private static FrameLogs bus(SplittableRandom r, long seed, double length) {
        FrameLogs bus = new FrameLogs(125_000, length, seed);
        FrameLogs.Node a = bus.node(150 * (2 * r.nextDouble() - 1));
        FrameLogs.Node b = bus.node(150 * (2 * r.nextDouble() - 1));
        int others = r.nextInt(14);
        for (int i = 0; i < others; i++) {
            (i % 2 == 0 ? a : b).every((i % 3 == 0 ? 0x300 : 0x100) + 8 * i, 0.02 * (1 + i % 4), 0.02 * r.nextDouble(),
                    Payloads.slow(8, 5, 1, false));
        }
        return bus;
    }

    private static double[] forwarded(FrameLogs bus, SplittableRandom r, double period, double phase, double length) {
        FrameLogs.Node source = bus.node(150 * (2 * r.nextDouble() - 1), wander(r), 0);
        double[] times = new double[(int) ((length - phase) / period)];
        double cycle = Math.min(0.2 * period, 5e-3 * r.nextDouble());
        for (int i = 0; i < times.length; i++) times[i] = source.trueTime(phase + i * period) + cycle * r.nextDouble();
        return times;
    }

    private static void restarts(FrameLogs.Node node, SplittableRandom r, double period, double length,
                                 FrameLogs.Payload data) {
        double from = 0;
        while (from < length) {
            double until = from + length * (0.15 + 0.3 * r.nextDouble());
            node.alive(from, until).every(ID, period, period * r.nextDouble(), data);
            from = until + 0.3 + r.nextDouble();
        }
    }
}
