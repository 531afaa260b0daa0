package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import org.junit.jupiter.api.Test;

/** Two nodes on one message: both combs, their drift against the truth, and every frame's sender. */
class TwoSendersTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);

    private static SenderFindings find(FrameLogs.Made made) {
        return Senders.find(made.log(), made.bus(), made.gaps(), null);
    }

    private static FrameLogs.Payload data(int value) {
        return Payloads.slow(4, value, 0.5, true);
    }

    /** Frames of the message whose track is the other node's; and those undetermined. */
    private static int[] wrongAndOpen(FrameLogs.Made made, SenderFindings f) {
        FrameLog log = made.log();
        int[][] votes = new int[f.tracks().size()][8];
        int open = 0;
        int all = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) != KEY || !log.isWhole(i) || made.senderOf()[i] < 0) continue;
            all++;
            if (f.trackOf(i) < 0) open++;
            else votes[f.trackOf(i)][made.senderOf()[i]]++;
        }
        int right = 0;
        for (int[] v : votes) {
            int most = 0;
            for (int n : v) most = Math.max(most, n);
            right += most;
        }
        return new int[] {all - open - right, open};
    }

    @Test
    void driftAgreesWithTheOscillatorsWithinItsError() {
        FrameLogs bus = new FrameLogs(125_000, 40, 3);
        bus.node(41.9, 0.3, 80e-6).every(ID, 0.1, 0.013, data(10));
        bus.node(-33.2, 0.3, 80e-6).every(ID, 0.1, 0.047, data(90));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        CombPair pair = f.timing(KEY).pairs().get(0);
        assertEquals(-75.1, pair.driftPpm(), 1.2, "0.3 ppm of wander each, correlated over half a minute");
        assertTrue(pair.driftSigmas() > 50, pair.toString());
        assertEquals(0, wrongAndOpen(made, f)[0]);
        assertNotEquals(f.tracks(KEY).get(0).group(), f.tracks(KEY).get(1).group());
    }

    @Test
    void nearTwinsOnABusyBusAreSeparated() {
        FrameLogs bus = new FrameLogs(125_000, 60, 4);
        FrameLogs.Node other = bus.node(120);
        for (int i = 0; i < 14; i++) other.every(0x100 + 8 * i, 0.02 * (1 + i % 4), 0.0011 * i, data(5));
        bus.node(42).every(ID, 0.1, 0.013, data(10));
        bus.node(44.5).every(ID, 0.1, 0.047, data(90));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        CombPair pair = f.timing(KEY).pairs().get(0);
        assertEquals(2.5, Math.abs(pair.driftPpm()), 5 * pair.driftPpmError());
        assertTrue(pair.driftSigmas() > 6, pair.toString());
        assertEquals(0, wrongAndOpen(made, f)[0]);
    }

    @Test
    void crossingWithHeadOnBurstsKeepsBothNames() {
        FrameLogs bus = new FrameLogs(125_000, 60, 5);
        FrameLogs.Node other = bus.node(120);
        for (int i = 0; i < 8; i++) other.every(0x100 + 8 * i, 0.02 * (1 + i % 4), 0.0011 * i, data(5));
        bus.node(42, 0.3, 80e-6).every(ID, 0.1, 0.013, data(10));
        bus.node(-131, 0.3, 80e-6).every(ID, 0.1, 0.0155, data(90));
        FrameLogs.Made made = bus.make();
        assertTrue(made.log().size() - made.log().wholeCount() >= 16, "the combs met");
        SenderFindings f = find(made);
        assertEquals(1, f.timing(KEY).pairs().get(0).crossings().size());
        assertEquals(0, wrongAndOpen(made, f)[0]);
    }

    @Test
    void oneSenderTenTimesFaster() {
        FrameLogs bus = new FrameLogs(125_000, 60, 6);
        bus.node(42).every(ID, 0.1, 0.013, data(10));
        bus.node(-31).every(ID, 0.01, 0.0037, data(90));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        assertEquals(73, Math.abs(f.timing(KEY).pairs().get(0).driftPpm()), 2, "against their nominal periods");
        assertTrue(wrongAndOpen(made, f)[0] <= 2);
    }

    @Test
    void differentPeriodsAreNotTakenForTheirCommonMultiple() {
        FrameLogs bus = new FrameLogs(125_000, 60, 7);
        bus.node(42).every(ID, 0.1, 0.013, data(10));
        bus.node(-31).every(ID, 0.15, 0.037, data(90));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        assertEquals(2, f.tracks(KEY).size());
        assertEquals(0, wrongAndOpen(made, f)[0]);
    }

    @Test
    void threeSenders() {
        FrameLogs bus = new FrameLogs(125_000, 60, 8);
        bus.node(42).every(ID, 0.1, 0.013, data(10));
        bus.node(-31).every(ID, 0.1, 0.047, data(90));
        bus.node(110).every(ID, 0.1, 0.081, data(170));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        assertEquals(3, f.tracks(KEY).size());
        assertEquals(3, f.timing(KEY).pairs().size());
        assertEquals(0, wrongAndOpen(made, f)[0]);
    }

    @Test
    void eventsOfAForeignNodeAgainstASchedule() {
        FrameLogs bus = new FrameLogs(125_000, 60, 9);
        bus.node(42).every(ID, 0.1, 0.013, Payloads.constant(1, 2, 3));
        bus.node(-31).onEvent(ID, 2, 0, Payloads.constant(9, 9, 9));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        assertEquals(0, wrongAndOpen(made, f)[0]);
        MessageTiming t = f.timing(KEY);
        assertTrue(t.returns() > 0.95 * t.events() && t.persists() == 0, t.toString());
    }

    @Test
    void frameTableWithoutFreeStarts() {
        FrameLogs bus = new FrameLogs(125_000, 60, 10).table(1e-4);
        bus.node(42).every(ID, 0.02, 0.013, 0.001, data(10));
        bus.node(-31).every(ID, 0.02, 0.0055, 0.001, data(90));
        FrameLogs.Made made = bus.make();
        SenderFindings f = find(made);
        assertEquals(2, f.timing(KEY).combs());
        assertTrue(wrongAndOpen(made, f)[0] <= 3);
    }

    /** Wire traits decide where payloads agree and the combs meet: without them those frames stay undetermined. */
    @Test
    void wireTraitsNameFramesInACrossing() {
        int[] open = new int[2];
        for (int wire = 0; wire < 2; wire++) {
            FrameLogs bus = new FrameLogs(125_000, 60, 11);
            if (wire == 1) bus.tick(2e-8).wire(10e-9);
            bus.node(42).asymmetry(-60).every(ID, 0.1, 0.0130, 0.0005, Payloads.constant(1, 2, 3));
            bus.node(-31).asymmetry(60).every(ID, 0.1, 0.0155, 0.0005, Payloads.constant(1, 2, 3));
            FrameLogs.Made made = bus.make();
            int[] counts = wrongAndOpen(made, find(made));
            open[wire] = counts[1];
            if (wire == 1) assertTrue(counts[0] <= 6, counts[0] + " wrong");
        }
        assertTrue(open[0] > 50 && open[1] < open[0] / 5, open[0] + " open without, " + open[1] + " with the wire");
    }
}
