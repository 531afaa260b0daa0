package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.Payloads;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** Meetings of two schedules, predicted from their clocks and held against the clocks that the bus was made with. */
class PredictionTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);
    private static final double PPM = 2000;

    /** Phases 7.7 ms apart that close at 4000 ppm of the time meet after 1.9 s and every 25 s from then on: 0.1 s / 4e-3. */
    private static Made bus(FrameLogs.Payload one, FrameLogs.Payload two, long seed) {
        FrameLogs bus = new FrameLogs(125_000, 120, seed);
        FrameLogs.Node a = bus.node(PPM).every(ID, 0.1, 0.0132, one);
        FrameLogs.Node b = bus.node(-PPM).every(ID, 0.1, 0.0209, two);
        a.every(0x120, 0.05, 0.031, Payloads.slow(8, 7, 2, true));
        b.every(0x121, 0.05, 0.044, Payloads.slow(8, 7, 2, true));
        for (int i = 0; i < 4; i++) bus.node(30 * i).every(0x60 + i, 0.01, 0.0021 * i, Payloads.constant(1, 2, 3, 4, 5, 6));
        return bus.make();
    }

    private static Evidence prediction(Made made) {
        return ClashesTest.judge(made).message(KEY).evidence().stream().filter(e -> e.kind() == Evidence.Kind.PREDICTION)
                .findFirst().orElse(null);
    }

    @Test
    void theMeetingsAreWhereTheClocksPutThem() {
        Evidence found = prediction(bus(Payloads.constant(0xC8, 1), Payloads.constant(0x28, 1), 1));
        assertNotNull(found);
        List<double[]> told = new ArrayList<>();
        Matcher m = Pattern.compile("(\\d+\\.\\d+) to (\\d+\\.\\d+) s").matcher(found.says());
        while (m.find()) told.add(new double[] {Double.parseDouble(m.group(1)), Double.parseDouble(m.group(2))});
        assertEquals(4, told.size(), found.says());
        for (int i = 0; i < told.size(); i++) {
            double due = 0.0077 / (2 * PPM * 1e-6) + i * 0.1 / (2 * PPM * 1e-6);
            assertTrue(told.get(i)[0] < due && due < told.get(i)[1], due + " in " + found.says());
        }
        // Meetings at 1.9, 26.9, 51.9, 76.9, 101.9 and next at 126.9 s: 6.9 s after the end, less half a stretch.
        m = Pattern.compile("predicted (\\d+) \\+/- (\\d+) s after").matcher(found.says());
        assertTrue(m.find(), found.says());
        assertEquals(6.5, Double.parseDouble(m.group(1)), 1.5, found.says());
        assertTrue(found.says().contains("Damaged frames were found in"), found.says());
    }

    /** Identical frames that start together merge, so at a meeting one frame comes where two were due. */
    @Test
    void identicalFramesAreMissedAtTheMeetings() {
        Evidence found = prediction(bus(Payloads.constant(1, 2), Payloads.constant(1, 2), 2));
        assertNotNull(found);
        assertTrue(found.says().contains("No damaged frame was found"), found.says());
        assertTrue(found.strength() <= 2, "nothing was broken, so nothing is proved: " + found.strength());
        assertTrue(found.says().contains("one frame came where two were due"), found.says());
    }

    /** Twin: one node's timer and delay loop say the same; its controller queues both frames, so none is missing. */
    @Test
    void framesOfOneNodeDoNotMerge() {
        FrameLogs bus = new FrameLogs(125_000, 120, 4);
        FrameLogs.Node a = bus.node(40);
        a.every(ID, 0.1, 0.0132, Payloads.constant(1, 2));
        a.delayLoop(ID, 0.1, 0.0004, 0.00002, Payloads.constant(1, 2));
        for (int i = 0; i < 4; i++) bus.node(30 * i).every(0x60 + i, 0.01, 0.0021 * i, Payloads.constant(1, 2, 3, 4, 5, 6));
        Evidence found = prediction(bus.make());
        assertTrue(found == null || found.strength() < 1, () -> found.says());
    }

    /** What head-on counts and what prediction adds never exceed the odds against the places of the damage. */
    @Test
    void damageOfALoneSenderDoesNotKeepToMeetings() {
        for (long seed = 1; seed <= 4; seed++) {
            Made made = Doctored.marginalBit(Scenes.bus(seed).with(3, f -> {
                f[0].every(ID, 0.1, 0.013, Payloads.slow(8, 200, 0.5, false));
                f[0].delayLoop(ID, 0.1, 0.0021, 0.0004, Payloads.slow(8, 40, 0.5, false));
            }), ID, 19 + (int) seed, 0.1, 5, seed);
            MessageFinding message = ClashesTest.judge(made).message(KEY);
            for (Evidence e : message.evidence()) {
                if (e.kind() == Evidence.Kind.PREDICTION) assertTrue(e.strength() < Strength.STRONG, e.says());
            }
            assertNotEquals(1, message.evidence().stream().filter(Evidence::conclusive).count());
        }
    }

    /** Binomial tails: 56 / 1024 for 8 or more heads of 10, 1 / 2 for 2 or more of 3 (counted out by hand). */
    @Test
    void chanceIsTheBinomialTail() {
        assertEquals(56 / 1024.0, Prediction.tail(10, 8, 0.5), 1e-12);
        assertEquals(0.5, Prediction.tail(3, 2, 0.5), 1e-12);
        assertEquals(1, Prediction.tail(5, 0, 0.2), 1e-12);
        assertEquals(0.008, Prediction.tail(3, 3, 0.2), 1e-12);
    }
}
