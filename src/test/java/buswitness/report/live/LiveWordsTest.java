package buswitness.report.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.ClashFindings.Answer;
import buswitness.frames.MessageKey;
import buswitness.live.LiveState;
import buswitness.live.LiveState.Earlier;
import buswitness.live.RecorderState;
import buswitness.report.parts.ScreenStyle;
import java.util.List;
import org.junit.jupiter.api.Test;

/** What was proven stays said, with when it was last seen; and what the person at the bench must know stands out. */
class LiveWordsTest {
    private static LiveState state(Answer now, List<Earlier> earlier, double portShare, LiveState.Behind behind) {
        return new LiveState(LiveState.Phase.READING, "bus", 1530, "can", 125_000, 90_000, 12,
                new LiveState.Seconds(0, new int[0], new int[0], new float[0]), List.of(), List.of(), behind,
                new LiveState.Judgement(900, 1528, 60_000, 1, null, now, List.of(), List.of(), List.of(), earlier),
                new RecorderState(true, portShare, 0, 0, "", 0));
    }

    /** A probe that fell silent says nothing of the line: neither "none damaged" nor "heard now" may stand there. */
    @Test
    void aSilentProbeIsSaidAndNothingIsClaimedMeanwhile() {
        LiveState.SenderNow sender = new LiveState.SenderNow("A", null, 3, 0.1, List.of(), false, 0.1);
        for (RecorderState r : List.of(new RecorderState(true, 0, 0, 0, "", 7.4), new RecorderState(false, 0, 0, 0, "", 7.4))) {
            LiveState s = new LiveState(LiveState.Phase.READING, "bus", 40, "can", 125_000, 90, 0, new LiveState.Seconds(38,
                    new int[] {9, 9}, new int[] {0, 0}, new float[] {0.1f, 0.1f}), List.of(), List.of(), IN_TIME,
                    state(Answer.NO, List.of(), 0, IN_TIME).judgement(), r);
            LiveWords words = new LiveWords(s);
            assertEquals(List.of(r.connected() ? "Nothing has come from the probe for 7 s: check its supply and its plug. What is "
                    + "shown is as it was; a gap stays." : "The port is gone. The recording goes on when it comes back; a gap stays."),
                    words.warnings().stream().map(w -> w.replace('\u00A0', ' ')).toList());
            assertEquals(-1, words.damagedNow());
            assertEquals(-1, words.wholeNow());
            assertEquals("unknown", words.load());
            assertEquals("not known now", words.heard(sender));
            String line = LiveReports.liveLine(s, new ScreenStyle(80, false, false));
            assertTrue(line.contains("Damaged frames in the last 10 s: not recorded now; load unknown;"), line);
        }
    }

    /** Without the marks that keep a name's direction to itself. */
    private static String bare(String text) {
        return text.replaceAll("[\u2068\u2069]", "");
    }

    private static final LiveState.Behind IN_TIME = new LiveState.Behind(0, 0);
    private static final List<Earlier> PROVEN = List.of(new Earlier(MessageKey.can(0x1D0, false), "engine state", 12, 2, 312));

    @Test
    void aClashOfTwentyMinutesAgoIsStillTheVerdict() {
        LiveWords words = new LiveWords(state(Answer.NO, PROVEN, 0.1, IN_TIME));
        assertEquals("yes", words.tone());
        assertEquals("Two senders clash: engine state (0x1D0); last seen at 0:05:12, none since.", bare(words.headline()));
        assertTrue(words.plain().stream().anyMatch(p -> bare(p).startsWith("Proven earlier: two senders on engine state")
                && p.contains("20 min 18 s ago")), words.plain().toString());
        String line = LiveReports.liveLine(state(Answer.UNDECIDED, PROVEN, 0.1, IN_TIME), new ScreenStyle(80, false, false));
        assertTrue(line.contains("last seen at 0:05:12, not settled since."), line);
    }

    @Test
    void nothingProvenIsSaidAsThat() {
        LiveWords words = new LiveWords(state(Answer.NO, List.of(), 0.1, IN_TIME));
        assertEquals("no", words.tone());
        assertEquals("No clash so far.", words.headline());
        assertEquals(List.of(), words.warnings());
    }

    @Test
    void aFullPortAndAViewThatLagsAreWarnedOf() {
        assertEquals(List.of("The port is 85\u00A0% full: beyond that the probe misses changes."),
                new LiveWords(state(Answer.NO, List.of(), 0.85, IN_TIME)).warnings());
        assertEquals(List.of("This view is 7\u00A0s behind the bus; the recording is not."),
                new LiveWords(state(Answer.NO, List.of(), 0.1, new LiveState.Behind(0, 7))).warnings());
        assertEquals(List.of("This computer cannot keep up: 5,000 level changes were not looked at here. The recording itself"
                + " is whole."), new LiveWords(state(Answer.NO, List.of(), 0.1, new LiveState.Behind(5000, 0))).warnings());
    }
}
