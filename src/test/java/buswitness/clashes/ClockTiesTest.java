package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs.Made;
import buswitness.testing.FrameLogs.Payload;
import buswitness.testing.Payloads;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * Two schedules that say the same prove two nodes where each has the clock of other messages; one node's own timers and
 * loops do not. Buses are invented, truth is how they were made.
 */
class ClockTiesTest {
    private static final int MORE = 0x1D8;

    private static Payload same() {
        return Payloads.square(8, 10, 90, 7);
    }

    private static MessageFinding judge(Made made) {
        return ClashesTest.judge(made).message(MessageKey.can(Scenes.ID, false));
    }

    private static boolean tied(MessageFinding found) {
        return found.evidence().stream().anyMatch(e -> e.kind() == Kind.CLOCKS);
    }

    @ParameterizedTest
    @ValueSource(longs = {1, 3, 4, 6})
    void twoNodesThatAgreeAreToldByTheirOtherMessages(long seed) {
        MessageFinding found = judge(Scenes.bus(seed).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, same());
            f[1].every(Scenes.ID, 0.1, 0.038, same());
        }));
        assertTrue(tied(found), () -> found.evidence().toString());
        assertEquals(Verdict.TWO_SENDERS, found.verdict());
    }

    /** The second node sends nothing else: two timers are proved, two nodes are not. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void aClockThatTimesNothingElseStaysOpen(long seed) {
        MessageFinding found = judge(Scenes.bus(seed).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, same());
            f[3].every(Scenes.ID, 0.1, 0.038, same());
        }));
        assertFalse(tied(found));
        assertEquals(Verdict.UNDECIDED, found.verdict());
    }

    /** One node's timer and one node's loop; the loop sends a second message, which a task sends as well. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void aLoopThatSendsSeveralMessagesIsNoNode(long seed) {
        MessageFinding found = judge(Scenes.bus(seed).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, same());
            f[0].delayLoop(Scenes.ID, 0.1, 0.0004, 0.00001, same());
            f[0].every(MORE, 0.1, 0.033, same());
            f[0].delayLoop(MORE, 0.1, 0.0004, 0.00001, same());
        }));
        assertFalse(tied(found), () -> found.evidence().toString());
        assertNotEquals(Verdict.TWO_SENDERS, found.verdict());
    }

    /** A second message that only the loop sends ties its train to another message: a loop it is all the same. */
    @ParameterizedTest
    @ValueSource(longs = {1, 2, 3, 4, 5, 6})
    void aLoopWithAMessageOfItsOwnIsNoNode(long seed) {
        MessageFinding found = judge(Scenes.bus(seed).with(3, f -> {
            f[0].every(Scenes.ID, 0.1, 0.013, same());
            f[0].delayLoop(Scenes.ID, 0.1, 0.0004, 0.00001, same());
            f[0].delayLoop(MORE, 0.1, 0.0004, 0.00001, same());
        }));
        assertFalse(tied(found), () -> found.evidence().toString());
        assertNotEquals(Verdict.TWO_SENDERS, found.verdict());
    }
}
