package buswitness.calibrate;

import buswitness.Findings;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.MessageKey;
import buswitness.simulate.NodeBehaviour;
import buswitness.simulate.Scenario;
import buswitness.simulate.Sending;
import java.util.Locale;
import java.util.stream.Collectors;

/** Tells of one bus. */
final class Wording {
    private Wording() {}

    /** One line where something went wrong, else null. */
    static String wrong(Outcome outcome) {
        if (outcome.failure() != null) return "bus " + outcome.seed() + ": the program failed: " + outcome.failure();
        if (!outcome.falselyAccused()) return null;
        String what = outcome.accused().isEmpty() ? "the bus was said to clash"
                : "accused " + String.join(", ", outcome.accused());
        return "bus " + outcome.seed() + ": " + what + " (" + confounders(outcome.bus()) + ")";
    }

    static String confounders(RandomBus bus) {
        return bus.confounders().isEmpty() ? "no confounder"
                : bus.confounders().stream().map(c -> c.text).collect(Collectors.joining("; "));
    }

    static String whole(Outcome outcome, Findings findings) {
        StringBuilder out = new StringBuilder();
        RandomBus bus = outcome.bus();
        Scenario scenario = bus.scenario();
        out.append(line("Bus %d: %s, %.0f kbit/s, load %.0f %%, tick %.4g ns, %.1f s, %d frames, %d damaged",
                outcome.seed(), RandomBus.isClash(outcome.seed()) ? "a second sender" : "one sender a message",
                scenario.bitsPerSecond() / 1e3, 100 * outcome.load(), scenario.recorder().tickPicos() / 1e3,
                scenario.durationSeconds(), outcome.frames(), outcome.damaged()));
        out.append("Confounders: ").append(confounders(bus)).append('\n');
        if (bus.style() != null) out.append(line("Second sender: %s, data %s", bus.style(), bus.data()));
        for (NodeBehaviour node : scenario.nodes()) node(out, node, scenario);
        out.append("\nJudged:\n");
        for (MessageFinding message : findings.clashes().messages()) message(out, message, outcome);
        for (Outcome.ClashOutcome clash : outcome.clashes()) clash(out, clash);
        return out.toString();
    }

    private static void node(StringBuilder out, NodeBehaviour node, Scenario scenario) {
        out.append(line("  %s: clock %+.1f ppm (%+.1f to the recorder), wander %.1f ppm a minute, %s, %s", node.name(),
                node.oscillator().ppm(), node.oscillator().ppm() - scenario.recorder().oscillator().ppm(),
                node.oscillator().wanderPpm(), node.delay(), node.power()));
        for (Sending sending : node.sends()) {
            String triggers = sending.triggers().toString();
            if (triggers.length() > 200) triggers = triggers.substring(0, 200) + " ...";
            out.append(line("    %s%s %s", MessageKey.text(sending.key()), sending.remote() ? " request" : "", triggers));
        }
    }

    private static void message(StringBuilder out, MessageFinding message, Outcome outcome) {
        String name = MessageKey.text(message.key());
        out.append(line("  %s: %s, strength %.1f, %d frames, %d damaged%s", name, message.verdict().text(),
                message.strength(), message.frames(), message.damaged(),
                outcome.accused().contains(name) ? "  <-- WRONG" : ""));
        if (message.verdict() == Verdict.ONE_SENDER) return;
        for (Evidence evidence : message.evidence()) {
            out.append(line("      %s %+.1f: %s", evidence.kind().text(), evidence.strength(), evidence.says()));
        }
    }

    private static void clash(StringBuilder out, Outcome.ClashOutcome clash) {
        Separation apart = clash.separation();
        out.append(line("Clash on %s (%s and %s): %s; separation in standard errors: schedules %.1f, payload %.1f, "
                + "wire %.1f", MessageKey.text(clash.clash().key()), clash.clash().nodeA(), clash.clash().nodeB(),
                clash.judged().name().toLowerCase(Locale.ROOT), apart.schedules(), apart.payload(), apart.wire()));
        out.append(line("  %d and %d frames, %d broken head-on; outside crossings %d frames, %d right, %d open; inside %d, "
                + "%d right, %d open", clash.framesA(), clash.framesB(), clash.headOn(), clash.outside(), clash.right(),
                clash.open(), clash.inside(), clash.insideRight(), clash.insideOpen()));
    }

    private static String line(String format, Object... values) {
        return String.format(Locale.ROOT, format, values) + "\n";
    }
}
