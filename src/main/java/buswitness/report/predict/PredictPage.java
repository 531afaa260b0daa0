package buswitness.report.predict;

import buswitness.instruments.Symptom;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.predict.ResponseTime;
import buswitness.predict.Supply;
import buswitness.predict.Tried;
import buswitness.report.parts.CloseUp;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.WebPage;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** The page of a forecast: one file that fetches nothing and runs nothing. */
final class PredictPage {
    private static final int MOST_PICTURES = 4;
    private static final int MOST_ROWS = 300;

    private final Forecast forecast;
    private final PredictWords words;
    private final PredictRemedies remedies;

    private PredictPage(Forecast forecast) {
        this.forecast = forecast;
        words = new PredictWords(forecast);
        remedies = new PredictRemedies(forecast);
    }

    static void write(Forecast forecast, OutputStream out) throws IOException {
        StringOutput page = new StringOutput();
        TemplateEngine.createPrecompiled(ContentType.Html).render("predict.jte", new PredictPage(forecast).model(), page);
        out.write(page.toString().getBytes(StandardCharsets.UTF_8));
        out.flush();
    }

    private PredictPageModel model() {
        String style = WebPage.resource("page.css");
        String tone = switch (forecast.answer()) {
            case FITS -> "no";
            case DOES_NOT_FIT -> "yes";
            case UNDECIDED -> "undecided";
        };
        boolean analysed = forecast.responses().stream().anyMatch(r -> r.notAnalysed().isEmpty());
        List<Sentence> standIns = sentences(remedies.standIns());
        return new PredictPageModel(WebPage.policy(style, ""), WebPage.element("<style>", style, "</style>"),
                words.headline() + " " + String.join(", ", forecast.sources().stream().map(PlainText::clean).toList()),
                new Sentence(Figures.list(PredictWords.names(forecast.sources()), 12)), tone,
                new Sentence(words.headline()), sentences(words.plain()), best(), pictures(), instruments(),
                sentences(forecast.conflicts().stream().map(c -> PlainText.capital(c.kind().text()) + ". "
                        + words.conflict(c)).toList()),
                sentences(forecast.protections().stream().map(p -> PlainText.capital(words.protection(p))).toList()),
                whenTheyMeet(),
                forecast.meetings().stream().map(m -> sentences(words.meeting(m))).toList(), remedyRows(),
                new Sentence(PredictRemedies.HOW_RANKED), standIns,
                standIns.isEmpty() ? null : new Sentence(PredictRemedies.WARNING_LAMPS), new Sentence(words.load()),
                analysed ? PredictBasis.responses(forecast) : "", responses(), sentences(remedies.cautions()),
                sentences(PredictBasis.of(forecast)));
    }

    /** By how the bus settles who goes first (ISO 11898-1; SAE J1850; a plain line superposes). */
    private String whenTheyMeet() {
        buswitness.schema.BusFormat format = forecast.bus().format();
        if (format == null) {
            return "When two units start the same message in the same bit, each breaks off the other's frame at the first"
                    + " bit in which they differ, and both try again until one of them has become so cautious that both"
                    + " get past.";
        }
        return switch (format.arbitration()) {
            case WHOLE_FRAME -> "When two units start the same message together, the one that loses at the first difference"
                    + " falls silent and sends again a moment later: no frame is damaged, and both values arrive.";
            case IDENTIFIER -> "When two units start the same message together, the frame breaks at the first difference"
                    + " behind its name.";
            case NONE -> "When two units send at the same time, the wire carries the stronger level of the two, bit by bit. A"
                    + " unit that listens to itself falls silent at the first difference; one that does not damages the"
                    + " frame.";
        };
    }

    private static List<Sentence> sentences(List<String> texts) {
        return texts.stream().map(Sentence::new).toList();
    }

    /** The remedy to look at first, where one does something for the clash or the dark instruments. */
    private Sentence best() {
        if (forecast.remedies().isEmpty()) return null;
        Tried t = forecast.remedies().get(0);
        return new Sentence("Looks best: " + remedies.action(t) + " " + remedies.effect(t));
    }

    /** The misbehaving instruments, needles first. */
    private List<CloseUp> pictures() {
        List<InstrumentOutlook> shown = new ArrayList<>();
        for (boolean lamp : new boolean[] {false, true}) {
            for (InstrumentOutlook i : forecast.instruments()) {
                // What was never told anything leaves nothing to draw.
                if (i.worst() != Symptom.NONE && i.lamp() == lamp) shown.add(i);
            }
        }
        List<CloseUp> out = new ArrayList<>();
        for (InstrumentOutlook i : shown) {
            CloseUp picture = out.size() < MOST_PICTURES ? PredictTrace.of(forecast, i) : null;
            if (picture != null) out.add(picture);
        }
        return out;
    }

    private List<PredictPageModel.InstrumentRow> instruments() {
        List<PredictPageModel.InstrumentRow> out = new ArrayList<>();
        for (Supply s : forecast.supplies()) {
            InstrumentOutlook outlook = forecast.instruments().stream()
                    .filter(i -> i.instrument().equals(s.instrument())).findFirst().orElse(null);
            boolean suffers = s.missing() || outlook != null && outlook.worst() != Symptom.NONE;
            String seen = outlook == null ? "Not on the bus, or not simulated." : words.seen(s, outlook);
            out.add(new PredictPageModel.InstrumentRow(new Sentence(PlainText.capital(PlainText.name(
                    s.instrument().name()))), new Sentence(words.supply(s)), new Sentence(seen), suffers));
        }
        return out;
    }

    private List<PredictPageModel.RemedyRow> remedyRows() {
        List<PredictPageModel.RemedyRow> out = new ArrayList<>();
        for (Tried t : forecast.remedies()) {
            List<Tried.Reader> readers = new ArrayList<>(t.losing());
            String lose = t.losing().isEmpty() && t.following().isEmpty() ? "nobody"
                    : (t.losing().isEmpty() ? "" : PredictRemedies.readers(readers))
                    + (t.following().isEmpty() ? "" : (t.losing().isEmpty() ? "" : "; ") + "to be taught anew: "
                    + PredictRemedies.readers(t.following()));
            String not = (t.unserved().isEmpty() ? "" : "not the " + Figures.list(PredictWords.names(t.unserved()), 8))
                    + (t.litAlong().isEmpty() ? "" : (t.unserved().isEmpty() ? "" : "; ") + "lit throughout: the "
                    + Figures.list(PredictWords.names(t.litAlong()), 8));
            out.add(new PredictPageModel.RemedyRow(String.valueOf(out.size() + 1), new Sentence(remedies.action(t)),
                    t.clashesLeft() + " of " + t.clashesBefore(), t.served() + " of " + t.wanted(), new Sentence(not),
                    new Sentence(lose), String.valueOf(t.effort()), String.valueOf(t.risk()),
                    new Sentence(remedies.mind(t)), !Boolean.FALSE.equals(t.possible())));
        }
        return out;
    }

    private List<PredictPageModel.ResponseRow> responses() {
        List<PredictPageModel.ResponseRow> out = new ArrayList<>();
        for (ResponseTime r : forecast.responses().subList(0, Math.min(MOST_ROWS, forecast.responses().size()))) {
            out.add(new PredictPageModel.ResponseRow(new Sentence(words.message(r.key())),
                    new Sentence(PlainText.name(r.node())), PredictWords.millis(r.periodSeconds()),
                    PredictWords.millis(r.jitterSeconds()), words.response(r), r.late()));
        }
        return out;
    }
}
