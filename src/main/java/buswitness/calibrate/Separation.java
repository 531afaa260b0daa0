package buswitness.calibrate;

import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.Scenario;
import java.util.Arrays;

/**
 * How far apart two senders of a message are, in standard errors, worked out from the truth and never from findings.
 *
 * @param schedules drift between the two combs over the error with which a straight line through their true starts
 *                  gives it; NaN where one of them has no comb
 * @param clocks    the same with the true difference of the two oscillators in place of the fitted one, and both
 *                  oscillators' wander in the error: starts that queue behind the same traffic slope without any clock;
 *                  NaN as above. Told beside, never used to choose cases
 * @param payload   square root of how often another value comes in between and the old one returns
 * @param wire      difference of bit lengths, or of asymmetries, over the error of its mean at this tick
 * @param nearSeconds frames nearer than this to one of the other sender are in a crossing: three standard deviations
 *                  of both combs and a frame's length
 */
record Separation(double schedules, double clocks, double payload, double wire, double nearSeconds) {
    static final double ENOUGH = 6;

    double best() {
        double most = Math.max(payload, wire);
        return Double.isNaN(schedules) ? most : Math.max(most, schedules);
    }

    /** Frames of one sender, by true start in seconds. */
    static double[] starts(TruthLog truth, long key, int node) {
        double[] at = new double[truth.size()];
        int count = 0;
        for (int i = 0; i < truth.size(); i++) {
            boolean theirs = truth.node(i) == node || truth.node(i) == TruthLog.SEVERAL;
            if (truth.whole(i) && truth.key(i) == key && theirs) at[count++] = truth.startPicos(i) * 1e-12;
        }
        return Arrays.copyOf(at, count);
    }

    static Separation of(Scenario scenario, RandomBus.Clash clash, TruthLog truth, int nodeA, int nodeB) {
        double[] a = starts(truth, clash.key(), nodeA);
        double[] b = starts(truth, clash.key(), nodeB);
        Line lineA = Line.through(a, clash.periodA());
        Line lineB = Line.through(b, clash.periodB());
        double schedules = Double.NaN;
        double clocks = Double.NaN;
        if (lineA != null && lineB != null) {
            double error = Math.hypot(lineA.ppmError, lineB.ppmError);
            schedules = Math.abs(lineA.ppm - lineB.ppm) / error;
            clocks = clocks(scenario, clash, error);
        }
        double spread = Math.hypot(lineA == null ? 0 : lineA.deviation, lineB == null ? 0 : lineB.deviation);
        double frame = 125 / scenario.bitsPerSecond();
        return new Separation(schedules, clocks, Math.sqrt(returns(truth, clash.key(), nodeA, nodeB)),
                wire(scenario, clash, a.length, b.length), 3 * spread + frame);
    }

    private static double clocks(Scenario scenario, RandomBus.Clash clash, double error) {
        NodeBehaviour a = node(scenario, clash.nodeA());
        NodeBehaviour b = node(scenario, clash.nodeB());
        // The mean of a random walk over a time has a third of the variance that the walk reaches.
        double wander = Math.hypot(a.oscillator().wanderPpm(), b.oscillator().wanderPpm())
                * Math.sqrt(scenario.durationSeconds() / 60 / 3);
        return Math.abs(a.oscillator().ppm() - b.oscillator().ppm()) / Math.hypot(error, wander);
    }

    /** Times at which one sender's value is followed by another of the other and then comes back unchanged. */
    private static int returns(TruthLog truth, long key, int nodeA, int nodeB) {
        int count = 0;
        int before = -1;
        int middle = -1;
        for (int i = 0; i < truth.size(); i++) {
            if (!truth.whole(i) || truth.key(i) != key) continue;
            if (truth.node(i) != nodeA && truth.node(i) != nodeB) continue;
            if (before >= 0 && truth.node(before) == truth.node(i) && truth.node(middle) != truth.node(i)
                    && truth.data(before) == truth.data(i) && truth.data(middle) != truth.data(i)) {
                count++;
            }
            before = middle;
            middle = i;
        }
        return count;
    }

    private static double wire(Scenario scenario, RandomBus.Clash clash, int framesA, int framesB) {
        if (framesA < 2 || framesB < 2) return 0;
        NodeBehaviour a = node(scenario, clash.nodeA());
        NodeBehaviour b = node(scenario, clash.nodeB());
        // Each edge is off by up to a tick: a twelfth of its square is the variance. Some 100 bits, 40 edges a frame.
        double edgeSeconds = scenario.recorder().tickPicos() * 1e-12 / Math.sqrt(12);
        double bits = 100;
        double edges = 40;
        double spanSeconds = bits / scenario.bitsPerSecond();
        double framePpm = 1e6 * edgeSeconds * Math.sqrt(12 / edges) / spanSeconds;
        double share = Math.sqrt(1.0 / framesA + 1.0 / framesB);
        double wander = Math.hypot(a.oscillator().wanderPpm(), b.oscillator().wanderPpm())
                * Math.sqrt(scenario.durationSeconds() / 60);
        double length = Math.abs(a.oscillator().ppm() - b.oscillator().ppm()) / Math.hypot(framePpm * share, wander);
        double edgePair = 2e9 * edgeSeconds * 2 / Math.sqrt(edges);
        double skew = Math.abs(a.drive().asymmetryNanos() - b.drive().asymmetryNanos()) / (edgePair * share);
        return Math.max(length, skew);
    }

    private static NodeBehaviour node(Scenario scenario, String name) {
        return scenario.nodes().stream().filter(n -> n.name().equals(name)).findFirst().orElseThrow();
    }

    /** A comb by least squares through true starts. */
    private record Line(double ppm, double ppmError, double deviation) {
        static Line through(double[] at, double period) {
            if (Double.isNaN(period) || at.length < 4) return null;
            double[] slot = new double[at.length];
            for (int i = 1; i < at.length; i++) {
                slot[i] = slot[i - 1] + Math.max(1, Math.rint((at[i] - at[i - 1]) / period));
            }
            double n = at.length;
            double meanX = Arrays.stream(slot).sum() / n;
            double meanY = Arrays.stream(at).sum() / n;
            double xx = 0;
            double xy = 0;
            for (int i = 0; i < at.length; i++) {
                xx += (slot[i] - meanX) * (slot[i] - meanX);
                xy += (slot[i] - meanX) * (at[i] - meanY);
            }
            double slope = xy / xx;
            double rest = 0;
            for (int i = 0; i < at.length; i++) {
                double off = at[i] - meanY - slope * (slot[i] - meanX);
                rest += off * off;
            }
            double deviation = Math.sqrt(rest / (n - 2));
            return new Line((slope / period - 1) * 1e6, Math.max(1e-6, 1e6 * deviation / Math.sqrt(xx) / period), deviation);
        }
    }
}
