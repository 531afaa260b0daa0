package buswitness.senders;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs;
import buswitness.testing.Payloads;
import java.util.HashSet;
import java.util.Set;
import org.junit.jupiter.api.Test;

/** Clocks of messages that always wait behind another of the same task. */
class PhaseDifferenceTest {
    private static final FrameLogs.Payload DATA = Payloads.slow(8, 7, 2, true);

    /**
     * One task sends a fast message and behind it now and then a slow one. Where the slow one's first or last frame waited
     * longer than the others its clock must not seem to drift.
     */
    @Test
    void messagesOfOneTaskAreOneClock() {
        int split = 0;
        for (long seed = 1; seed <= 20; seed++) {
            FrameLogs bus = new FrameLogs(125_000, 12, seed);
            bus.node(-31, 0.3, 12e-6).every(0x1A0, 0.05, 0.0171, DATA).every(0x1D0, 0.5, 0.0171, DATA)
                    .every(0x1E4, 0.5, 0.0172, DATA);
            bus.node(52, 0.3, 12e-6).every(0x0D0, 0.02, 0.0063, DATA);
            bus.node(17, 0.3, 12e-6).every(0x2A0, 0.1, 0.0442, DATA);
            FrameLogs.Made made = bus.make();
            SenderFindings f = Senders.find(made.log(), made.bus(), made.gaps(), null);
            Set<Integer> groups = new HashSet<>();
            for (int id : new int[] {0x1A0, 0x1D0, 0x1E4}) {
                for (Track t : f.tracks(MessageKey.can(id, false))) if (t.group() >= 0) groups.add(t.group());
            }
            if (groups.size() > 1) split++;
            assertTrue(f.tracks(MessageKey.can(0x0D0, false)).get(0).group()
                    != f.tracks(MessageKey.can(0x1A0, false)).get(0).group());
        }
        assertEquals(0, split, "buses of 20 on which one clock was taken for several");
    }
}
