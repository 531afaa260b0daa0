package buswitness.calibrate;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import java.util.Locale;

/** Counts false accusations on windows of a recording known to have one sender a message. */
public final class CleanTraffic {
    private static final double[] WINDOW_SECONDS = {10, 30, 60};

    private CleanTraffic() {}

    /**
     * @param text  a Markdown table, and a line for each wrong accusation
     * @param wrong windows with at least one
     */
    public record Count(String text, int wrong) {}

    /** Judges every window of 10, 30 and 60 s, one after the other without overlap, and the whole. */
    public static Count count(AnalysisReading clean, Progress progress) {
        StringBuilder table = new StringBuilder("| window | windows | with a false accusation | upper bound | messages "
                + "judged | accused | undecided |\n|---|--:|--:|--:|--:|--:|--:|\n");
        StringBuilder accusations = new StringBuilder();
        double seconds = clean.decoded().bus().durationPicos() * 1e-12;
        int wrong = 0;
        for (double length : WINDOW_SECONDS) {
            int windows = (int) (seconds / length);
            if (windows > 0) wrong += row(clean, length, windows, table, accusations, progress);
        }
        wrong += row(clean, seconds, 1, table, accusations, progress);
        return new Count(table + (accusations.isEmpty() ? "" : "\n" + accusations), wrong);
    }

    private static int row(AnalysisReading clean, double length, int windows, StringBuilder table,
                           StringBuilder accusations, Progress progress) {
        int wrong = 0;
        long messages = 0;
        long accused = 0;
        long undecided = 0;
        for (int i = 0; i < windows; i++) {
            progress.at("judging windows", i, windows);
            long from = Math.round(i * length * 1e12);
            Findings findings = Analysis.judge(window(clean, from, from + Math.round(length * 1e12)), Progress.SILENT);
            boolean bad = false;
            for (MessageFinding message : findings.clashes().messages()) {
                messages++;
                if (message.verdict() == Verdict.UNDECIDED) undecided++;
                if (message.verdict() != Verdict.TWO_SENDERS) continue;
                accused++;
                bad = true;
                accusations.append(String.format(Locale.ROOT, "- %s accused from %.0f s to %.0f s, strength %.1f: %s\n",
                        MessageKey.text(message.key()), i * length, (i + 1) * length, message.strength(),
                        message.evidence().isEmpty() ? "" : message.evidence().get(0).says()));
            }
            if (bad) wrong++;
        }
        table.append(String.format(Locale.ROOT, "| %.0f s | %d | %d | %.2f %% | %d | %d | %d |\n", length, windows, wrong,
                100 * Bound.upper(wrong, windows), messages, accused, undecided));
        return wrong;
    }

    /** The frames that begin in a stretch, as a recording of their own that begins with it. */
    static AnalysisReading window(AnalysisReading whole, long fromPicos, long untilPicos) {
        return new AnalysisReading(whole.recording(), whole.line(), whole.layout(), whole.layoutFound(),
                whole.decoded().between(fromPicos, untilPicos), whole.notices(), whole.noticesSeen());
    }
}
