package buswitness.report.predict;

import buswitness.instruments.Symptom;
import buswitness.predict.Conflict;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.predict.MeetingOutlook;
import buswitness.predict.ProtectionOutlook;
import buswitness.predict.ResponseTime;
import buswitness.predict.Supply;
import buswitness.predict.Tried;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import java.io.PrintStream;
import java.util.List;

/** A forecast for a terminal: the answer in a screenful, what to mind, and on wish all that it rests on. */
final class PredictScreen {
    private static final int MOST_REMEDIES = 12;
    /** Where the words of a row begin: what stands before them is 37 wide, behind an indent of 2 and a blank. */
    private static final int REMEDY_COLUMN = 40;
    private static final int MOST_CONFLICTS = 20;
    private static final int MOST_RESPONSES = 40;

    private final Forecast forecast;
    private final PredictWords words;
    private final PredictRemedies remedies;
    private final ScreenLines lines;

    PredictScreen(Forecast forecast, PrintStream out, ScreenStyle style) {
        this.forecast = forecast;
        words = new PredictWords(forecast);
        remedies = new PredictRemedies(forecast);
        lines = new ScreenLines(out, style);
    }

    /** @param all with everything it rests on */
    void write(boolean all) {
        lines.paragraph(0, 0, switch (forecast.answer()) {
            case FITS -> ScreenLines.Tone.GOOD;
            case DOES_NOT_FIT -> ScreenLines.Tone.BAD;
            case UNDECIDED -> ScreenLines.Tone.OPEN;
        }, words.headline());
        for (String sentence : words.plain()) lines.text(sentence);
        if (!forecast.remedies().isEmpty()) {
            lines.heading("What to do first");
            lines.text(remedies.best());
            table();
        }
        standIns();
        if (all) {
            conflicts();
            instruments();
            protections();
            meetings();
            remedies();
            responses();
        } else {
            lines.heading("Load and response times");
            lines.text(words.load());
            if (!words.slowest().isEmpty()) lines.text(words.slowest());
        }
        lines.heading("Mind");
        for (String caution : remedies.cautions()) lines.item(caution);
        if (all) {
            basis();
        } else {
            lines.blank();
            lines.paragraph(0, 0, ScreenLines.Tone.QUIET, "--all prints what this rests on: conflicts on paper, each gauge and"
                    + " lamp, head-on meetings, each remedy's effect, response times; --html FILE draws it.");
        }
    }

    /** One line a remedy; the detail is in {@link #remedies}. */
    private void table() {
        List<Tried> all = forecast.remedies();
        lines.heading("All remedies, best first");
        lines.paragraph(2, 2, ScreenLines.Tone.QUIET, row("", "clashes", "served", "lose", "effort", "risk") + "\u00A0remedy");
        for (int i = 0; i < Math.min(MOST_REMEDIES, all.size()); i++) {
            Tried t = all.get(i);
            lines.paragraph(2, REMEDY_COLUMN, ScreenLines.Tone.PLAIN, row(i + 1 + ".", t.clashesLeft() + "/" + t.clashesBefore(),
                    t.served() + "/" + t.wanted(), String.valueOf(t.losing().size() + t.following().size()),
                    String.valueOf(t.effort()), String.valueOf(t.risk())) + "\u00A0" + remedies.brief(t));
        }
        if (all.size() > MOST_REMEDIES) {
            lines.text(Figures.count(all.size() - MOST_REMEDIES) + " more; --html FILE lists them all.");
        }
        lines.paragraph(2, 2, ScreenLines.Tone.QUIET, "clashes: left of those before; served: instruments with one sender that"
                + " behave; lose: readers that lose a message or must be taught; effort and risk: from 1, little, to 5, much"
                + " (common practice, nothing measured).");
    }

    /** Columns of fixed width, held together by blanks that do not break. */
    private static String row(String rank, String clashes, String served, String lose, String effort, String risk) {
        return String.format(java.util.Locale.ROOT, "%3s %7s %7s %5s %6s %4s", rank, clashes, served, lose, effort, risk)
                .replace(' ', '\u00A0');
    }

    private void conflicts() {
        List<Conflict> all = forecast.conflicts();
        if (all.isEmpty()) return;
        lines.heading("What does not go together on paper");
        for (Conflict c : all.subList(0, Math.min(MOST_CONFLICTS, all.size()))) {
            lines.item(PlainText.capital(c.kind().text()) + ". " + words.conflict(c));
        }
        if (all.size() > MOST_CONFLICTS) {
            lines.item(Figures.count(all.size() - MOST_CONFLICTS) + " more; --json FILE lists them all.");
        }
    }

    private void instruments() {
        if (forecast.supplies().isEmpty()) return;
        lines.heading("Gauges and lamps, as a driver would see them");
        for (Supply s : forecast.supplies()) {
            lines.item(PlainText.capital(PlainText.name(s.instrument().name())) + ": " + words.supply(s));
            for (InstrumentOutlook i : forecast.instruments()) {
                if (!i.instrument().equals(s.instrument())) continue;
                if (i.worst() != Symptom.NONE || s.missing()) lines.under(words.seen(s, i));
            }
        }
    }

    private void protections() {
        if (forecast.protections().isEmpty()) return;
        lines.heading("Functions that protect and watch the bus");
        for (ProtectionOutlook p : forecast.protections()) lines.item(PlainText.capital(words.protection(p)));
    }

    private void meetings() {
        if (forecast.meetings().isEmpty()) return;
        lines.heading("When two schedules meet head on");
        for (MeetingOutlook m : forecast.meetings()) {
            List<String> sentences = words.meeting(m);
            lines.item(sentences.get(0));
            for (String more : sentences.subList(1, sentences.size())) lines.under(more);
        }
    }

    private void remedies() {
        List<Tried> all = forecast.remedies();
        if (!all.isEmpty()) {
            lines.heading("Each remedy and its effect");
            lines.text(PredictRemedies.HOW_RANKED);
            for (int i = 0; i < Math.min(MOST_REMEDIES, all.size()); i++) {
                Tried t = all.get(i);
                lines.item((i + 1) + ". " + remedies.action(t));
                lines.under(remedies.effect(t) + " " + PredictRemedies.marks(t) + " " + remedies.mind(t));
            }
            if (all.size() > MOST_REMEDIES) {
                lines.item(Figures.count(all.size() - MOST_REMEDIES) + " more; --html FILE lists them all.");
            }
        }
    }

    private void standIns() {
        List<String> standIns = remedies.standIns();
        if (standIns.isEmpty()) return;
        lines.heading("Lamps that nobody sends");
        for (String s : standIns) lines.item(s);
        lines.text(PredictRemedies.WARNING_LAMPS);
    }

    private void responses() {
        lines.heading("How full the bus is, and how late a message can come");
        lines.text(words.load());
        if (forecast.responses().stream().anyMatch(r -> r.notAnalysed().isEmpty())) {
            lines.text(PredictBasis.responses(forecast));
        }
        List<ResponseTime> all = forecast.responses();
        for (ResponseTime r : all.subList(0, Math.min(MOST_RESPONSES, all.size()))) {
            lines.item(words.message(r.key()) + " from the " + PlainText.name(r.node()) + ", every "
                    + PredictWords.millis(r.periodSeconds()) + ": " + words.response(r) + ".");
        }
        if (all.size() > MOST_RESPONSES) lines.item(Figures.count(all.size() - MOST_RESPONSES) + " more.");
    }

    private void basis() {
        lines.heading("What this rests on");
        for (String sentence : PredictBasis.of(forecast)) lines.text(sentence);
    }
}
