package buswitness.clashes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.frames.MessageKey;
import buswitness.testing.Payloads;
import java.util.Set;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** What each kind of evidence adds: by the rule that two independent strong kinds are needed, none may stand alone. */
class AblationTest {
    private static final long KEY = MessageKey.can(Scenes.ID, false);

    @Test
    void withoutOneOfTwoKindsNothingIsProved() {
        MessageFinding message = ClashesTest.judge(Scenes.clashing().get("two clocks 73 ppm"
                + " apart").apply(1)).message(KEY);
        assertEquals(Verdict.TWO_SENDERS, message.verdict());
        Set<Evidence.Kind> kinds = message.evidence().stream().map(Evidence::kind).collect(Collectors.toSet());
        assertEquals(kinds, message.ablation().stream().map(Ablated::without).collect(Collectors.toSet()));
        for (Ablated a : message.ablation()) {
            double own = message.evidence().stream().filter(e -> e.kind() == a.without())
                    .mapToDouble(Evidence::strength).sum();
            assertEquals(message.strength() - own, a.strength(), 1e-9, "the rest");
            if (kinds.equals(Set.of(Evidence.Kind.SCHEDULE, Evidence.Kind.PAYLOAD))) {
                assertEquals(Verdict.UNDECIDED, a.verdict(), "one kind alone, without " + a.without());
            }
        }
    }

    /** A conclusive collision stands alone, so only its own absence can change the verdict. */
    @Test
    void aConclusiveCollisionNeedsNoOther() {
        MessageFinding message = ClashesTest.judge(HeadOnTest.headOn(Payloads.constant(0xC8, 1, 2, 3),
                Payloads.constant(0x28, 1, 2, 3), 1)).message(KEY);
        assertTrue(message.evidence().stream().anyMatch(Evidence::conclusive));
        assertTrue(message.ablation().size() > 1);
        for (Ablated a : message.ablation()) {
            if (a.without() != Evidence.Kind.HEAD_ON) assertEquals(Verdict.TWO_SENDERS, a.verdict());
        }
    }

    @Test
    void oneSenderNeedsNone() {
        ClashFindings found = ClashesTest.judge(Scenes.innocent().get("a healthy bus").apply(1));
        assertFalse(found.messages().isEmpty());
        for (MessageFinding m : found.messages()) assertTrue(m.ablation().isEmpty());
    }
}
