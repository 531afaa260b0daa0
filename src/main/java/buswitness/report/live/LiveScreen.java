package buswitness.report.live;

import buswitness.frames.Mark;
import buswitness.live.LiveState;
import buswitness.live.LiveState.SenderNow;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** A live state on a terminal: a screen of few lines that stay where they are, or one line for a log. */
final class LiveScreen {
    private static final int MOST_SENDERS = 6;
    private static final int MOST_INSTRUMENTS = 3;
    private static final int STRIP_CELLS = 60;
    /** One sign for 1, 2, 4, 8, 16, 32, 64 and more damaged frames. */
    private static final String BARS = "▁▂▃▄▅▆▇█";
    private static final String ASCII_BARS = "1248abcd";

    private final LiveState state;
    private final LiveWords words;
    private final ScreenStyle style;
    private final ByteArrayOutputStream bytes = new ByteArrayOutputStream();
    private final ScreenLines lines;

    LiveScreen(LiveState state, ScreenStyle style) {
        this.state = state;
        this.words = new LiveWords(state);
        this.style = style;
        lines = new ScreenLines(new PrintStream(bytes, true, StandardCharsets.UTF_8), style);
    }

    /** @param most lines at most */
    List<String> lines(int most) {
        ScreenLines.Tone tone = switch (words.tone()) {
            case "yes" -> ScreenLines.Tone.BAD;
            case "no" -> ScreenLines.Tone.GOOD;
            default -> ScreenLines.Tone.OPEN;
        };
        fit(ScreenLines.Tone.QUIET, LiveWords.time(state.nowSeconds()) + "  " + words.bus() + ", load " + words.load() + ", "
                + words.recorder());
        lines.paragraph(0, 2, tone, words.headline());
        for (String s : words.plain()) lines.text(s);
        for (String s : words.warnings()) lines.paragraph(0, 2, ScreenLines.Tone.BAD, s);
        lines.blank();
        strip();
        senders();
        List<String> sick = words.instruments();
        for (String s : sick.subList(0, Math.min(MOST_INSTRUMENTS, sick.size()))) fit(ScreenLines.Tone.PLAIN, s);
        if (sick.size() > MOST_INSTRUMENTS) fit(ScreenLines.Tone.PLAIN, (sick.size() - MOST_INSTRUMENTS) + " more gauges or lamps");
        marks();
        if (!words.basis().isEmpty()) fit(ScreenLines.Tone.QUIET, words.basis());
        List<String> all = new ArrayList<>(List.of(bytes.toString(StandardCharsets.UTF_8).split("\n")));
        return all.size() > most ? all.subList(0, most) : all;
    }

    private void fit(ScreenLines.Tone tone, String text) {
        lines.paragraph(0, 0, tone, PlainText.cut(PlainText.bare(text), style.columns()));
    }

    private void strip() {
        int now = words.damagedNow();
        fit(ScreenLines.Tone.HEADING, "Damaged frames: " + (now < 0 ? "not recorded" : Figures.count(now)) + " in the last second, "
                + Figures.count(state.damaged()) + " of " + Figures.count(state.damaged() + state.whole()) + " in all");
        int[] d = state.seconds().damaged();
        int cells = Math.min(STRIP_CELLS, style.columns() - 8);
        int each = Math.max(1, (int) Math.ceil(120.0 / cells));
        StringBuilder row = new StringBuilder();
        for (int cell = cells; cell > 0; cell--) {
            int from = d.length - cell * each;
            if (from + each <= 0) continue;
            int most = -2;
            for (int i = Math.max(0, from); i < from + each; i++) most = Math.max(most, d[i]);
            row.append(sign(most));
        }
        fit(ScreenLines.Tone.PLAIN, row + " now");
        fit(ScreenLines.Tone.QUIET, String.format(Locale.ROOT, "each sign is %d s; %s none, %s 1, %s 8, %s 64 or more a second,"
                + " ? not recorded", each, sign(0), sign(1), sign(8), sign(64)));
    }

    private char sign(int damaged) {
        if (damaged < 0) return '?';
        if (damaged == 0) return style.unicode() ? '·' : '.';
        int level = Math.min(BARS.length() - 1, damaged >= 64 ? BARS.length() - 1 : 31 - Integer.numberOfLeadingZeros(damaged));
        return (style.unicode() ? BARS : ASCII_BARS).charAt(level);
    }

    private void senders() {
        List<SenderNow> all = words.senders();
        if (all.isEmpty()) return;
        lines.blank();
        for (SenderNow s : all.subList(0, Math.min(MOST_SENDERS, all.size()))) {
            fit(words.silent(s) ? ScreenLines.Tone.OPEN : ScreenLines.Tone.PLAIN, LiveWords.sender(s) + ": " + words.heard(s)
                    + (s.clashing() ? ", in the clash" : "") + "; clock " + LiveWords.clock(s) + "; sends "
                    + Figures.count(s.keys().size(), "message", "messages"));
        }
        if (all.size() > MOST_SENDERS) fit(ScreenLines.Tone.PLAIN, (all.size() - MOST_SENDERS) + " more senders");
    }

    private void marks() {
        List<Mark> marks = state.marks();
        if (marks.isEmpty()) return;
        List<String> last = new ArrayList<>();
        for (Mark m : marks.subList(Math.max(0, marks.size() - 3), marks.size())) {
            last.add(LiveWords.time(m.atPicos() * 1e-12) + " " + PlainText.name(m.label()));
        }
        fit(ScreenLines.Tone.PLAIN, "Marks: " + String.join("; ", last));
    }

    String line() {
        int[] d = state.seconds().damaged();
        long ten = 0;
        for (int i = Math.max(0, d.length - 10); i < d.length; i++) ten += Math.max(0, d[i]);
        String text = LiveWords.time(state.nowSeconds()) + "  " + words.headline() + " Damaged frames in the last 10 s: "
                + (words.damagedNow() < 0 ? "not recorded now" : Figures.count(ten)) + "; load " + words.load() + "; "
                + words.recorder() + "."
                + (words.instruments().isEmpty() ? "" : " " + String.join(" ", words.instruments()))
                + (words.warnings().isEmpty() ? "" : " " + String.join(" ", words.warnings()));
        String clean = PlainText.clean(PlainText.bare(text)).replace('\u00A0', ' ');
        return style.unicode() ? clean : PlainText.ascii(clean);
    }
}
