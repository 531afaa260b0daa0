package buswitness.clashes;

import buswitness.frames.MessageKey;
import buswitness.testing.FrameLogs.Made;
import java.util.Map;
import java.util.function.LongFunction;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;

/** Error rates scene by scene: {@code mvn -q test -Dtest=ClashRates -Dbuswitness.rates=100}. */
@EnabledIfSystemProperty(named = "buswitness.rates", matches = "\\d+")
class ClashRates {
    @Test
    void table() {
        int seeds = Integer.getInteger("buswitness.rates");
        System.out.println("scene | two senders | undecided | one sender | other messages not 'one sender'");
        run(Scenes.innocent(), seeds);
        run(Scenes.clashing(), seeds);
    }

    private static void run(Map<String, LongFunction<Made>> scenes, int seeds) {
        String only = System.getProperty("buswitness.scene", "");
        scenes.forEach((name, scene) -> {
            if (!name.contains(only)) return;
            int[] counts = new int[3];
            int others = 0;
            StringBuilder odd = new StringBuilder();
            for (long seed = 1001; seed <= 1000 + seeds; seed++) {
                ClashFindings found = ClashesTest.judge(scene.apply(seed));
                for (MessageFinding m : found.messages()) {
                    if (m.key() == MessageKey.can(Scenes.ID, false)) {
                        counts[m.verdict().ordinal()]++;
                        if (!only.isEmpty()) odd.append("\n  ").append(seed).append(' ').append(m.verdict()).append(' ')
                                .append(m.evidence());
                    } else if (m.verdict() != Verdict.ONE_SENDER) {
                        others++;
                        odd.append("\n  other ").append(seed).append(' ').append(m);
                    }
                }
            }
            System.out.println(name + " | " + counts[1] + " | " + counts[2] + " | " + counts[0] + " | " + others + odd);
        });
    }
}
