package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.senders.Senders;
import buswitness.testing.FrameLogs.Made;
import java.util.function.LongFunction;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.TestFactory;

/** No innocent bus is accused, true clashes are found; a few seeds each (the rates are measured by ClashRates). */
class ClashesTest {
    private static final long KEY = MessageKey.can(Scenes.ID, false);
    private static final int SEEDS = 3;

    static ClashFindings judge(Made made) {
        return Clashes.judge(made.log(), made.bus(), made.gaps(),
                Senders.find(made.log(), made.bus(), made.gaps(), null), null);
    }

    @TestFactory
    Stream<DynamicTest> noInnocentBusIsAccused() {
        return Scenes.innocent().entrySet().stream().map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
            for (long seed = 1; seed <= SEEDS; seed++) {
                ClashFindings found = judge(e.getValue().apply(seed));
                assertNotEquals(ClashFindings.Answer.YES, found.clash(), "seed " + seed);
                assertTrue(found.collisions().stream().noneMatch(Collision::conclusive), "seed " + seed);
                for (MessageFinding m : found.messages()) {
                    assertNotEquals(Verdict.TWO_SENDERS, m.verdict(), MessageKey.text(m.key()) + " seed " + seed);
                    assertEquals(m.verdict() == Verdict.UNDECIDED, m.wanted() != null);
                    if (m.key() != KEY) assertEquals(Verdict.ONE_SENDER, m.verdict(), MessageKey.text(m.key()));
                }
            }
        }));
    }

    /** Found on every seed but at most one, and there undecided: weak wire evidence may fall short, never turn round. */
    @TestFactory
    Stream<DynamicTest> trueClashesAreFound() {
        return Scenes.clashing().entrySet().stream().map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
            int undecided = 0;
            for (long seed = 1; seed <= SEEDS; seed++) {
                ClashFindings found = judge(e.getValue().apply(seed));
                MessageFinding message = found.message(KEY);
                if (message.verdict() == Verdict.UNDECIDED) {
                    assertEquals(ClashFindings.Answer.UNDECIDED, found.clash(), "seed " + seed);
                    assertFalse(message.wanted() == null, "seed " + seed);
                    undecided++;
                    continue;
                }
                assertEquals(ClashFindings.Answer.YES, found.clash(), "seed " + seed);
                for (MessageFinding m : found.messages()) {
                    assertEquals(m.key() == KEY ? Verdict.TWO_SENDERS : Verdict.ONE_SENDER, m.verdict(),
                            MessageKey.text(m.key()) + " seed " + seed);
                }
                assertEquals(2, message.senders().size(), "seed " + seed);
                assertFalse(message.evidence().isEmpty());
                assertFalse(message.alternatives().isEmpty());
            }
            assertTrue(undecided <= 1, undecided + " of " + SEEDS + " seeds undecided");
        }));
    }
}
