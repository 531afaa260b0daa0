package buswitness.simulate;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.List;
import java.util.SplittableRandom;
import org.hipparchus.stat.descriptive.StreamingStatistics;
import org.hipparchus.stat.regression.SimpleRegression;
import org.junit.jupiter.api.Test;

/** Periods, bit lengths and edges of the produced wire against the clocks and drives that were asked for. */
class WireTimingTest {
    private static final double PERIOD = 0.01;
    private static final byte[] DATA = Buses.hex("5AA5 0FF0 1234 5678");

    private static Scenario one(NodeBehaviour node, RecorderBehaviour recorder, double seconds) {
        Sending sending = new Sending(0x2A5, false, false, 8, List.of(new Trigger.Cyclic(PERIOD, 0.001, 0)),
                Buses.fixed(DATA), 0);
        return Buses.bus(seconds, node.withSends(List.of(sending)), NodeBehaviour.named("listener"))
                .withRecorder(recorder.withTick(1));
    }

    /** Starts of frames from the edges alone: falling edges after at least eleven idle bits. */
    private static SimpleRegression starts(WireProbe probe) {
        SimpleRegression line = new SimpleRegression();
        int number = 0;
        for (int i = 0; i < probe.edgeCount(); i++) {
            if (probe.levelAfter(i) != 0 || i > 0 && probe.edge(i) - probe.edge(i - 1) < 11 * Buses.BIT) continue;
            line.addData(number++, probe.edge(i) * 1e-12);
        }
        return line;
    }

    /** A period on the recorder's clock is longer by the node's error and shorter by the recorder's. */
    @Test
    void periodsFollowBothClocks() {
        WireProbe probe = WireProbe.of(one(NodeBehaviour.named("n").withOscillator(Oscillator.of(50, 0)),
                RecorderBehaviour.MICROSECOND.withOscillator(Oscillator.of(-20, 0)), 20));
        SimpleRegression line = starts(probe);
        assertEquals(2000, line.getN(), 1);
        assertEquals(70, (line.getSlope() / PERIOD - 1) * 1e6, 0.05);
        // A free start waits for the next bit of the node's own clock, and for nothing else.
        assertTrue(line.getMeanSquareError() < Math.pow(8e-6, 2));
    }

    /** The last edge before the acknowledge slot lies a whole number of the sender's bits after the start. */
    @Test
    void bitsFollowTheSendersClock() {
        for (double ppm : new double[] {-3000, -40, 0, 75, 4000}) {
            WireProbe probe = WireProbe.of(one(NodeBehaviour.named("n").withOscillator(Oscillator.of(ppm, 0)),
                    RecorderBehaviour.MICROSECOND, 0.1));
            WireFrame frame = WireFrame.of(Buses.message(0x2A5, DATA), DATA);
            int last = frame.changes.length - 1;
            int bits = frame.changes[last];
            double length = (probe.edge(last) - probe.edge(0)) / (double) bits;
            assertEquals(ppm, (length / Buses.BIT - 1) * 1e6, 0.01);
        }
    }

    /** Dominant runs are longer than recessive ones by the asymmetry, whatever their number of bits. */
    @Test
    void asymmetryIsTheDifferenceOfBits() {
        for (double nanos : new double[] {-300, -25, 0, 40, 350}) {
            WireProbe probe = WireProbe.of(one(NodeBehaviour.named("n").withDrive(Drive.CLEAN.withAsymmetry(nanos)),
                    RecorderBehaviour.MICROSECOND, 0.1));
            StreamingStatistics dominant = new StreamingStatistics();
            StreamingStatistics recessive = new StreamingStatistics();
            for (int i = 0; i + 1 < WireFrame.of(Buses.message(0x2A5, DATA), DATA).changes.length; i++) {
                double run = probe.edge(i + 1) - probe.edge(i);
                double over = (run - Math.rint(run / Buses.BIT) * Buses.BIT) * 1e-3;
                (probe.levelAfter(i) == 0 ? dominant : recessive).addValue(over);
            }
            assertEquals(nanos, dominant.getMean() - recessive.getMean(), 0.01);
        }
    }

    /** The acknowledge bit comes late by the receiver's loop delay. */
    @Test
    void acknowledgeComesLate() {
        Sending sending = Buses.message(0x2A5, DATA, 1e-3);
        WireProbe probe = WireProbe.of(Buses.bus(0.01, Buses.node("n", sending),
                NodeBehaviour.named("near").withDrive(Drive.CLEAN.withLoopDelay(120)),
                NodeBehaviour.named("far").withDrive(Drive.CLEAN.withLoopDelay(410))));
        int edges = probe.edgeCount();
        double slot = probe.frames.get(0).startPicos()
                + (WireFrame.of(sending, DATA).stuffedSize + 1) * Buses.BIT;
        assertEquals(120e3, probe.edge(edges - 2) - slot, 1);
        assertEquals(410e3 + Buses.BIT, probe.edge(edges - 1) - slot, 1);
    }

    /** Wander: standard deviation of the change after one minute, and root-two times as much after two. */
    @Test
    void wanderGrowsWithTheRootOfTime() {
        StreamingStatistics one = new StreamingStatistics();
        StreamingStatistics two = new StreamingStatistics();
        for (int seed = 0; seed < 2000; seed++) {
            ClockPath clock = new ClockPath(Oscillator.of(10, 3), new SplittableRandom(seed));
            one.addValue((clock.secondLength(60.5) - 1) * 1e6 - 10);
            two.addValue((clock.secondLength(120.5) - 1) * 1e6 - 10);
            assertEquals(77.7, clock.toLocal(clock.toTrue(77.7)), 1e-12);
        }
        // 2000 draws: the standard deviation itself is known to 1.6 %.
        assertEquals(3, one.getStandardDeviation(), 0.2);
        assertEquals(3 * Math.sqrt(2), two.getStandardDeviation(), 0.3);
        assertEquals(0, one.getMean(), 0.3);
    }

    @Test
    void warmingEndsWhereItShould() {
        ClockPath clock = new ClockPath(new Oscillator(5, 0, 8, 30), new SplittableRandom(1));
        assertEquals(5, (clock.secondLength(0.1) - 1) * 1e6, 0.2);
        assertEquals(5 + 8 * (1 - Math.exp(-1)), (clock.secondLength(30) - 1) * 1e6, 0.2);
        assertEquals(13, (clock.secondLength(600) - 1) * 1e6, 0.01);
    }

    /** Jitter and software delay of a timer do not add up; those of a delay loop do. */
    @Test
    void timersKeepTheirGridAndLoopsDoNot() {
        double timer = spread(new Trigger.Cyclic(PERIOD, 0.001, 0.0005));
        double loop = spread(new Trigger.DelayLoop(0.0095, 0.001, new SoftwareDelay(0, 0.001, 0)));
        assertTrue(timer < 0.0004, "timer strays by " + timer);
        // 2000 steps of a uniform 1 ms: the walk's end has a standard deviation of 0.29 ms * sqrt(2000) = 13 ms.
        assertTrue(loop > 0.002, "loop strays by only " + loop);
    }

    private static double spread(Trigger trigger) {
        Sending sending = new Sending(0x2A5, false, false, 8, List.of(trigger), Buses.fixed(DATA), 0);
        SimpleRegression line = starts(WireProbe.of(Buses.bus(20,
                NodeBehaviour.named("n").withSends(List.of(sending)), NodeBehaviour.named("listener"))));
        assertEquals(2000, line.getN(), 8);
        return Math.sqrt(line.getMeanSquareError());
    }

    /** What a gateway passes on keeps the foreign clock, whether at once or on its own task. */
    @Test
    void forwardedFramesKeepTheForeignClock() {
        for (double poll : new double[] {0, 0.005}) {
            Trigger trigger = new Trigger.Forwarded(PERIOD, 0.001, Oscillator.of(200, 0), poll);
            Sending sending = new Sending(0x2A5, false, false, 8, List.of(trigger), Buses.fixed(DATA), 0);
            SimpleRegression line = starts(WireProbe.of(Buses.bus(60, NodeBehaviour.named("gateway")
                    .withOscillator(Oscillator.of(-50, 0)).withSends(List.of(sending)),
                    NodeBehaviour.named("listener"))));
            assertEquals(200, (line.getSlope() / PERIOD - 1) * 1e6, poll == 0 ? 0.1 : 25);
        }
    }
}
