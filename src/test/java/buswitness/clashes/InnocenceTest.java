package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.MessageKey;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.Payloads;
import org.junit.jupiter.api.Test;

/** What one node may do is told from two, and what nothing tells apart stays open. */
class InnocenceTest {
    private static final int ID = 0x1D0;

    private static MessageFinding judge(FrameLogs bus) {
        Made made = bus.make();
        return Clashes.judge(made.log(), made.bus(), made.gaps(),
                Senders.find(made.log(), made.bus(), made.gaps(), null), null).message(MessageKey.can(ID, false));
    }

    private static FrameLogs bus(long seed) {
        return new FrameLogs(125_000, 40, seed).tick(2e-8).wire(2e-8);
    }

    /** Same clock, same values, only the transceivers differ, by six ticks: no rounding does that. */
    @Test
    void twoTransceiversWithOneClockAreTwoNodes() {
        FrameLogs bus = bus(1);
        bus.node(20).asymmetry(60).every(ID, 0.1, 0.013, Payloads.constant(10, 20, 7, 8, 9));
        bus.node(20).asymmetry(-60).every(ID, 0.1, 0.061, Payloads.constant(10, 20, 7, 8, 9));
        MessageFinding found = judge(bus);
        assertEquals(Verdict.TWO_SENDERS, found.verdict());
        assertTrue(found.evidence().stream().anyMatch(e -> e.kind() == Kind.WIRE && e.conclusive()));
    }

    /** Bits of two lengths, frame by frame, in either half: two oscillators made them, whatever else agrees. */
    @Test
    void twoBitLengthsProveTwoNodesThoughTheValuesAgree() {
        FrameLogs bus = bus(1);
        bus.node(20).every(ID, 0.1, 0.013, Payloads.constant(10, 20, 7, 8, 9));
        bus.node(900).every(ID, 0.1, 0.061, Payloads.constant(10, 20, 7, 8, 9));
        MessageFinding found = judge(bus);
        assertEquals(Verdict.TWO_SENDERS, found.verdict());
        assertTrue(found.evidence().stream().anyMatch(e -> e.kind() == Kind.WIRE && e.conclusive()));
    }

    @Test
    void twoTasksOfOneNodeThatSayTheSameAreOneSender() {
        FrameLogs bus = bus(2);
        bus.node(20).asymmetry(60).every(ID, 0.1, 0.013, Payloads.constant(10, 20, 7, 8, 9))
                .every(ID, 0.1, 0.061, Payloads.constant(10, 20, 7, 8, 9));
        assertEquals(Verdict.ONE_SENDER, judge(bus).verdict());
    }

    /** In step within the error, yet each schedule keeps to a value of its own and no page number explains that. */
    @Test
    void valuesThatReturnWithoutAPageLeaveSchedulesInStepOpen() {
        FrameLogs bus = bus(3);
        bus.node(20).every(ID, 0.1, 0.013, Payloads.constant(10, 20, 30)).every(ID, 0.1, 0.044,
                Payloads.constant(10, 20, 90));
        MessageFinding found = judge(bus);
        assertEquals(Verdict.UNDECIDED, found.verdict());
        assertNotEquals(null, found.wanted());
    }

    @Test
    void pagesFromTwoMailboxesAreOneSender() {
        FrameLogs bus = bus(4);
        bus.node(20).every(ID, 0.1, 0.013, Payloads.constant(1, 20, 30)).every(ID, 0.1, 0.044,
                Payloads.constant(2, 44, 90));
        assertEquals(Verdict.ONE_SENDER, judge(bus).verdict());
    }

    /** 12 s show a drift no better than a few ppm: one timer is not shown, two are not proved. */
    @Test
    void twoSchedulesTooShortToCompareAreOpen() {
        FrameLogs bus = new FrameLogs(125_000, 12, 5);
        bus.node(20, 0.3, 2e-3).every(ID, 0.2, 0.013, Payloads.slow(4, 10, 0.5, false));
        bus.node(19, 0.3, 2e-3).every(ID, 0.2, 0.074, Payloads.slow(4, 10, 0.5, false));
        assertEquals(Verdict.UNDECIDED, judge(bus).verdict());
    }

    /** Six frames each, side by side all the time: too few to call them one sender, too few to prove two. */
    @Test
    void twoSchedulesOfSixFramesEachAreOpen() {
        FrameLogs bus = new FrameLogs(125_000, 6, 6);
        bus.node(20, 0.3, 80e-6).every(ID, 1, 0.1, Payloads.slow(4, 10, 0.5, false));
        bus.node(-45, 0.3, 80e-6).every(ID, 1, 0.4, Payloads.slow(4, 10, 0.5, false));
        assertEquals(Verdict.UNDECIDED, judge(bus).verdict());
    }

    /** The same number of frames, one schedule after the other: a restart, or a unit replaced by another. */
    @Test
    void sixFramesAfterSixOthersAreOneSender() {
        FrameLogs bus = new FrameLogs(125_000, 13, 7);
        bus.node(20, 0.3, 80e-6).alive(0, 6).every(ID, 1, 0.1, Payloads.slow(4, 10, 0.5, false))
                .alive(7, 13).every(ID, 1, 0.4, Payloads.slow(4, 10, 0.5, false));
        assertEquals(Verdict.ONE_SENDER, judge(bus).verdict());
    }

    /** Two schedules that always come together, to the millisecond and in either order: their frames are nobody's. */
    @Test
    void schedulesThatAreNeverApartAreOpen() {
        FrameLogs bus = new FrameLogs(125_000, 20, 8);
        bus.node(20, 0.3, 2e-3).every(ID, 0.1, 0.0131, Payloads.constant(10, 20, 7, 8, 9));
        bus.node(20, 0.3, 2e-3).every(ID, 0.1, 0.0133, Payloads.constant(10, 20, 7, 8, 9));
        MessageFinding found = judge(bus);
        assertEquals(Verdict.UNDECIDED, found.verdict());
        assertNotEquals(null, found.wanted());
    }
}
