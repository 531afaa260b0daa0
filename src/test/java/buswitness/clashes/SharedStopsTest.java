package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Node;
import buswitness.testing.Payloads;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;

/** Messages that fall silent and begin again together: one sender that restarts, and what only looks so. */
class SharedStopsTest {
    private static final FrameLogs.Payload DATA = Payloads.slow(8, 7, 2, true);
    private static final double[][] ALIVE = {{0, 4.3}, {5.1, 9.02}, {9.83, 13.9}, {14.71, 19.3}, {20.2, 24.4}, {25.3, 30}};

    private static final List<int[]> OWN = List.of(new int[] {0x1A0, 50}, new int[] {0x1D0, 500}, new int[] {0x1D8, 200},
            new int[] {0x1E4, 500});

    private static Made bus(long seed, double secondPpm, boolean othersGoOn) {
        FrameLogs bus = new FrameLogs(125_000, 30, seed);
        restarting(bus.node(-18.2, 0.4, 80e-6), OWN);
        if (!Double.isNaN(secondPpm)) {
            restarting(bus.node(secondPpm, 0.4, 80e-6), List.of(new int[] {0x2C0, 50}, new int[] {0x2C4, 100}));
        }
        Node calm = bus.node(12, 0.4, 80e-6);
        for (double[] alive : othersGoOn ? new double[][] {{0, 30}} : ALIVE) {
            calm.alive(alive[0], alive[1]).every(0x2A0, 0.1, 0.021, DATA).every(0x2B0, 0.2, 0.083, DATA);
        }
        return bus.make();
    }

    /** Each start gives every message another phase. */
    private static void restarting(Node node, List<int[]> messages) {
        int start = 0;
        for (double[] alive : ALIVE) {
            double phase = 0.0037 + 0.0043 * start++;
            node.alive(alive[0], alive[1]);
            for (int[] m : messages) node.every(m[0], m[1] * 1e-3, phase, DATA);
        }
    }

    private static ClashFindings judge(Made m) {
        return Clashes.judge(m.log(), m.bus(), m.gaps(), Senders.find(m.log(), m.bus(), m.gaps(), null), null);
    }

    private static Set<Integer> senders(ClashFindings found, List<int[]> messages) {
        Set<Integer> all = new TreeSet<>();
        for (int[] m : messages) all.addAll(found.message(MessageKey.can(m[0], false)).senders());
        return all;
    }

    private static Alternative restarts(ClashFindings found, int id) {
        return found.message(MessageKey.can(id, false)).alternatives().stream()
                .filter(a -> a.explanation().equals("the sender restarts")).findFirst().orElse(null);
    }

    @Test
    void allMessagesOfAUnitThatRestartsAreOneSender() {
        for (long seed = 1; seed <= 5; seed++) {
            ClashFindings found = judge(bus(seed, Double.NaN, true));
            assertEquals(1, senders(found, OWN).size(), "seed " + seed);
            Sender unit = found.senders().get(senders(found, OWN).iterator().next());
            assertEquals(OWN.size(), unit.keys().size(), unit.toString());
            assertEquals(-18.2, unit.clockPpm(), 5 * unit.clockPpmError(), unit.toString());
            for (int[] m : OWN) {
                Alternative cause = restarts(found, m[0]);
                assertEquals(Alternative.Standing.FOUND, cause.standing());
                assertTrue(cause.because().startsWith("It falls silent 5 times"), cause.because());
            }
            assertEquals(null, restarts(found, 0x2A0));
        }
    }

    /** Two units on one supply restart together; where their clocks tell them apart they stay two. */
    @Test
    void clocksFarApartAreNotTied() {
        for (long seed = 1; seed <= 5; seed++) {
            Set<Integer> first = senders(judge(bus(seed, 180, true)), List.of(new int[] {0x1A0, 50}));
            Set<Integer> second = senders(judge(bus(seed, 180, true)), List.of(new int[] {0x2C0, 50}));
            assertFalse(first.equals(second), "seed " + seed + ": " + first);
        }
    }

    /** A bus that sleeps stops altogether: no unit restarts. */
    @Test
    void aBusThatSleepsIsNoRestart() {
        ClashFindings found = judge(bus(1, 180, false));
        for (int id : new int[] {0x1A0, 0x2A0}) {
            Alternative cause = restarts(found, id);
            assertFalse(cause != null && cause.because().contains("falls silent"), String.valueOf(cause));
        }
    }
}
