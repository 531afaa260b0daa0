package buswitness.calibrate;

import buswitness.calibrate.ReferenceTrial.Message;
import buswitness.calibrate.ReferenceTrial.Result;
import buswitness.problem.Progress;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;

/** Measures what recordings with a node unplugged are worth: right ones, and ones that are not what they seem. */
public final class ReferenceCalibration {
    private static final double STRONG = 3;

    private ReferenceCalibration() {}

    /**
     * @param text  tables as Markdown
     * @param wrong names given to the wrong sender by true references, and innocent messages accused by any
     */
    public record Report(String text, int wrong) {}

    /** Every bus of the plan with one reference of each kind; one thread. */
    public static Report run(CalibrationPlan plan, Progress progress) {
        List<Result> results = new ArrayList<>();
        int asked = 2 * plan.buses();
        int run = 0;
        long began = System.nanoTime();
        for (int k = 0; k < asked && (System.nanoTime() - began) * 1e-9 < plan.stopAfterSeconds(); k++) {
            progress.at("judging with references", k, asked);
            ReferenceTrial trial = new ReferenceTrial(plan.seedOf(k), plan.mostFrames());
            for (ReferenceKind kind : ReferenceKind.values()) {
                Result result = trial.run(kind, plan.mostFrames(), plan.seedOf(k) + 400_001);
                if (result != null) results.add(result);
            }
            run++;
        }
        String head = String.format(Locale.ROOT, "# Recordings with a node unplugged, as measured\n\nSeeds %d to %d,"
                + " at most "
                + "about %d frames a recording: %d buses of %d, half of them with a second sender, each with one"
                + " reference "
                + "of each kind. Bounds are exact at 95 %% (Clopper and Pearson, 1934).\n", plan.seedOf(0),
                plan.seedOf(asked - 1), plan.mostFrames(), run, asked);
        int wrong = (int) results.stream().filter(r -> r.kind().isTrue() && r.named() < 0).count()
                + messages(results, m -> !m.two() && m.accused()).size();
        return new Report(head + names(results) + strengths(results), wrong);
    }

    private static List<Message> messages(List<Result> results, Predicate<Message> which) {
        return results.stream().flatMap(r -> r.messages().stream()).filter(which).toList();
    }

    private static String names(List<Result> results) {
        StringBuilder out = new StringBuilder("\n## Names\n\nA name is wrong where most frames of the sender that got"
                + " it are "
                + "another node's. With another node unplugged than the one named no program can know better.\n\n"
                + "| what the recording really is | recordings | taken as fitting | right name | wrong name | wrong,"
                + " upper "
                + "bound |\n|---|--:|--:|--:|--:|--:|\n");
        for (ReferenceKind kind : ReferenceKind.values()) {
            List<Result> of = results.stream().filter(r -> r.kind() == kind).toList();
            long wrong = of.stream().filter(r -> r.named() < 0).count();
            out.append(String.format(Locale.ROOT, "| %s | %d | %d | %d | %d | %.2f %% |\n", kind.text, of.size(),
                    of.stream().filter(Result::fits).count(), of.stream().filter(r -> r.named() > 0).count(), wrong,
                    100 * Bound.upper(wrong, of.size())));
        }
        return out.toString();
    }

    private static String strengths(List<Result> results) {
        StringBuilder out = new StringBuilder("\n## Strengths\n\nMessages with two schedules, by how strongly the"
                + " recording "
                + "speaks for two senders: two-sender messages against one-sender messages. The ratio is the smallest"
                + " that "
                + "the bounds allow (lower bound of the one share over upper bound of the other), as a power of"
                + " ten.\n\n"
                + "| reference | strength | of two senders | of one sender | least ratio | schedule that falls silent:"
                + " right "
                + "| wrong |\n|---|---|--:|--:|--:|--:|--:|\n");
        rows(out, "true", results.stream().filter(r -> r.kind().isTrue()).toList());
        rows(out, "not what it is said to be", results.stream().filter(r -> !r.kind().isTrue()).toList());
        out.append("\n| reference | messages of one sender with two schedules | accused |\n|---|--:|--:|\n");
        for (ReferenceKind kind : ReferenceKind.values()) {
            List<Message> innocent = messages(results.stream().filter(r -> r.kind() == kind).toList(), m -> !m.two());
            out.append(String.format(Locale.ROOT, "| %s | %d | %d |\n", kind.text, innocent.size(),
                    innocent.stream().filter(Message::accused).count()));
        }
        return out.toString();
    }

    private static void rows(StringBuilder out, String name, List<Result> results) {
        List<Message> two = messages(results, Message::two);
        List<Message> one = messages(results, m -> !m.two());
        row(out, name, "3 and more", two, one, m -> m.strength() >= STRONG);
        row(out, name, "1.5 to 3", two, one, m -> m.strength() >= 1.5 && m.strength() < STRONG);
        row(out, name, "0 to 1.5", two, one, m -> m.strength() >= 0 && m.strength() < 1.5);
        row(out, name, "below 0", two, one, m -> m.strength() < 0);
        row(out, name, "none", two, one, m -> Double.isNaN(m.strength()));
    }

    private static void row(StringBuilder out, String name, String strength, List<Message> two, List<Message> one,
                            Predicate<Message> in) {
        long hits = two.stream().filter(in).count();
        long chance = one.stream().filter(in).count();
        double ratio = Math.log10(Bound.low(hits, two.size()) / Bound.upper(chance, one.size()));
        out.append(String.format(Locale.ROOT, "| %s | %s | %d of %d | %d of %d | %s | %d | %d |\n", name, strength, hits,
                two.size(), chance, one.size(), Double.isNaN(ratio) || Double.isInfinite(ratio) ? ""
                        : String.format(Locale.ROOT, "%.1f", ratio),
                two.stream().filter(in).filter(m -> m.direction() > 0).count(),
                two.stream().filter(in).filter(m -> m.direction() < 0).count()));
    }
}
