package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** One sender, however it behaves, must not come out as two combs that drift at the same time. */
class InnocentSchedulesTest {
    private static final int ID = 0x1D0;
    private static final long KEY = MessageKey.can(ID, false);

    private final FrameLogs bus = new FrameLogs(125_000, 60, 7);
    private final FrameLogs.Node node = bus.node(42, 0.3, 80e-6);

    private SenderFindings find() {
        FrameLogs.Made made = bus.make();
        return Senders.find(made.log(), made.bus(), made.gaps(), null);
    }

    private static FrameLogs.Payload data() {
        return Payloads.slow(4, 10, 0.5, true);
    }

    @Test
    void severalTasksOfOneNodeHaveSeveralCombsThatDoNotDrift() {
        node.every(ID, 0.1, 0.013, data()).every(ID, 0.1, 0.047, data());
        SenderFindings f = find();
        assertEquals(2, f.timing(KEY).combs());
        CombPair pair = f.timing(KEY).pairs().get(0);
        assertTrue(pair.driftSigmas() < 3, pair.toString());
        assertEquals(f.tracks(KEY).get(0).group(), f.tracks(KEY).get(1).group(), "one clock");
    }

    @Test
    void jitteredMessageIsOneComb() {
        node.every(ID, 0.02, 0.013, 0.0015, data());
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertEquals(0, f.timing(KEY).splitGaps());
        assertEquals(0.0015, f.tracks(KEY).get(0).jitterSeconds(), 0.0001);
    }

    @Test
    void eventsOnTheTaskGridAreKnownByTheirGrid() {
        node.every(ID, 0.1, 0.010, data()).onEvent(ID, 3, 0.01, data());
        MessageTiming t = find().timing(KEY);
        assertEquals(1, t.combs());
        assertTrue(t.gridLock() > 0.99 && t.gridLog10Chance() < -10, t.toString());
        assertEquals(0.01, t.gridSeconds(), 1e-12);
    }

    @Test
    void eventsFromAnInterruptAreEventsWithoutAGrid() {
        node.every(ID, 0.1, 0.013, data()).onEvent(ID, 1, 0, data());
        MessageTiming t = find().timing(KEY);
        assertEquals(1, t.combs());
        assertEquals(t.frames() - 600, t.events(), "all that the schedule did not send");
        assertTrue(t.gridLog10Chance() > -2, t.toString());
    }

    @Test
    void newValueThatPersistsIsToldFromAnOldOneThatReturns() {
        node.every(ID, 0.1, 0.013, Payloads.square(4, 0, 255, 4)).at(ID, new double[] {2.005, 4.005, 6.005, 8.005},
                Payloads.square(4, 0, 255, 4));
        MessageTiming t = find().timing(KEY);
        assertEquals(4, t.persists(), t.toString());
        assertEquals(0, t.returns());
    }

    @Test
    void delayLoopIsOneCombWhosePhaseWalks() {
        node.delayLoop(ID, 0.1, 0.002, 0.001, data());
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertTrue(f.timing(KEY).gapCorrelation() > -0.2, "deviations add up: " + f.timing(KEY));
        assertTrue(Double.isNaN(f.tracks(KEY).get(0).nominalSeconds()), "102 ms is no round number");
    }

    @Test
    void forwardedByAGatewayIsOneComb() {
        SplittableRandom random = new SplittableRandom(1);
        double[] times = new double[590];
        for (int i = 0; i < times.length; i++) times[i] = node.trueTime(0.05 + 0.1 * i) + 0.005 * random.nextDouble();
        bus.node(90).at(ID, times, data());
        assertEquals(1, find().tracks(KEY).size());
    }

    @Test
    void restartsAreCountedAndLeaveOneTrack() {
        node.alive(0, 20).every(ID, 0.1, 0.013, data());
        node.alive(21, 35).every(ID, 0.1, 0.047, data());
        node.alive(36.5, 60).every(ID, 0.1, 0.087, data());
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertEquals(2, f.tracks(KEY).get(0).restarts());
        assertEquals(0, f.timing(KEY).overlapSeconds());
    }

    @Test
    void replacedUnitFollowsAndNeverOverlaps() {
        node.alive(0, 25).every(ID, 0.1, 0.013, data());
        bus.node(-200).alive(33, 60).every(ID, 0.1, 0.047, data());
        SenderFindings f = find();
        assertEquals(2, f.tracks(KEY).size());
        assertEquals(0, f.timing(KEY).overlapSeconds());
        assertTrue(f.tracks(KEY).get(0).untilSeconds() < f.tracks(KEY).get(1).fromSeconds());
    }

    @Test
    void recordingGapIsNeitherRestartNorMissingTeeth() {
        node.every(ID, 0.1, 0.013, data());
        bus.gap(20, 27);
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertEquals(0, f.tracks(KEY).get(0).restarts());
        assertEquals(0, f.timing(KEY).extraFrames(), "teeth in the gap are not expected");
    }

    @Test
    void retriesAfterInterferenceAreLateAndNoSecondComb() {
        node.every(ID, 0.1, 0.013, data());
        bus.damaged(0.1);
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertEquals(42, f.tracks(KEY).get(0).clockPpm(), 2);
    }

    @Test
    void missingFramesLeaveOneComb() {
        node.every(ID, 0.1, 0.013, 0, 0.2, data());
        SenderFindings f = find();
        assertEquals(1, f.tracks(KEY).size());
        assertTrue(f.timing(KEY).extraFrames() < -80, f.timing(KEY).toString());
    }

    @ParameterizedTest
    @ValueSource(ints = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 20, 21, 22, 23})
    void randomInnocentBusShowsNoDrift(int offset) {
        RandomBuses made = RandomBuses.innocent(5000 + offset);
        SenderFindings f = Senders.find(made.made().log(), made.made().bus(), made.made().gaps(), null);
        assertFalse(SenderErrorRates.drifting(f, KEY), made.kind() + " " + f.timing(KEY));
    }
}
