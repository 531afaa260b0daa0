package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import org.junit.jupiter.api.Test;

/** What a recording could have shown, and how long one would have to be, is said in words and figures. */
class PowerTest {
    private static final int ID = 0x1D0;

    /** The error of a slope through N even points falls with N^-1.5 (least squares; from memory). */
    @Test
    void lengthGrowsWithThePowerTwoThirdsOfTheErrorWanted() {
        assertEquals(10 * Math.pow(8, 1 / 1.5), Power.seconds(10, 8 * 10.0 / 6, 10), 1e-9);
        assertEquals(10, Power.seconds(10, 0.5, 40), 1e-9);
        assertEquals(Power.seconds(10, 4, 5), Power.seconds(10, 4, 0.1), 1e-9);
    }

    private static MessageFinding judge(double seconds, double secondPpm, double delay) {
        FrameLogs bus = new FrameLogs(125_000, seconds, 5);
        bus.node(20, 0.3, delay).every(ID, 0.2, 0.013, Payloads.slow(4, 10, 0.5, false));
        bus.node(secondPpm, 0.3, delay).every(ID, 0.2, 0.074, Payloads.slow(4, 10, 0.5, false));
        return ClashesTest.judge(bus.make()).message(MessageKey.can(ID, false));
    }

    private static double figure(MessageFinding found, String name) {
        Evidence e = found.evidence().stream().filter(x -> x.kind() == Kind.SCHEDULE).findFirst().orElseThrow();
        return e.figures().stream().filter(f -> f.name().equals(name)).mapToDouble(Figure::value).findFirst()
                .orElseThrow();
    }

    /** The length told for a drift is enough for it: the same two nodes, recorded for twice as long, are told apart. */
    @Test
    void theLengthToldIsAbleToShowTheDrift() {
        MessageFinding found = judge(12, 60, 2e-3);
        assertEquals(Verdict.UNDECIDED, found.verdict());
        double wanted = figure(found, "side_by_side_needed_s");
        assertTrue(wanted > 12 && wanted < 3600, "seconds: " + wanted);
        MessageFinding longer = judge(2 * wanted, 60, 2e-3);
        assertTrue(longer.evidence().stream().anyMatch(e -> e.kind() == Kind.SCHEDULE && e.strength() >= 2.5),
                () -> longer.evidence().toString());
    }

    @Test
    void oneTimerSaysWhatWouldLookTheSame() {
        MessageFinding found = judge(120, 20, 80e-6);
        Evidence schedule = found.evidence().stream().filter(e -> e.kind() == Kind.SCHEDULE).findFirst().orElseThrow();
        assertTrue(schedule.says().contains("A second node whose clock agrees to"), schedule.says());
        assertTrue(figure(found, "drift_shown_from_ppm") < 10);
    }
}
