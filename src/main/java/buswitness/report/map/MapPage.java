package buswitness.report.map;

import buswitness.frames.MessageKey;
import buswitness.map.BusMap;
import buswitness.map.Drift;
import buswitness.map.FieldKind;
import buswitness.map.Learned;
import buswitness.map.MapMessage;
import buswitness.map.PayloadField;
import buswitness.map.ValueTrace;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.Sentence;
import buswitness.report.parts.WebPage;
import gg.jte.Content;
import gg.jte.ContentType;
import gg.jte.TemplateEngine;
import gg.jte.output.StringOutput;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;

/** The page of a map: one file that fetches nothing and runs nothing; a sheet for each message. */
final class MapPage {
    private static final int MOST_COLUMNS = 16;
    private static final int MOST_TRACES = 8;
    private static final int[] POINTS = {400, 160, 60, 0};

    private final BusMap map;
    private final MapWords words;

    private MapPage(BusMap map) {
        this.map = map;
        words = new MapWords(map);
    }

    static void write(BusMap map, OutputStream out) throws IOException {
        MapPage page = new MapPage(map);
        TemplateEngine engine = TemplateEngine.createPrecompiled(ContentType.Html);
        byte[] bytes = {};
        for (int points : POINTS) {
            StringOutput text = new StringOutput();
            engine.render("map.jte", page.model(points), text);
            bytes = text.toString().getBytes(StandardCharsets.UTF_8);
            if (bytes.length <= WebPage.MOST_BYTES) break;
        }
        out.write(bytes);
        out.flush();
    }

    private MapPageModel model(int points) {
        String style = WebPage.resource("page.css") + WebPage.resource("map.css");
        List<MapPageModel.Part> drift = new ArrayList<>();
        String tone = "";
        String headline = words.headline() + ".";
        if (map.drift() != null) {
            boolean sure = map.drift().stream().anyMatch(d -> !d.open());
            tone = sure ? "yes" : map.drift().isEmpty() ? "no" : "undecided";
            headline = sure ? "The layout and the recording differ." : map.drift().isEmpty()
                    ? "The layout and the recording agree." : "Whether the layout is right cannot be told.";
            drift(drift, "The recording shows, the layout does not say", Drift.Side.RECORDING);
            drift(drift, "The layout says, the recording does not show", Drift.Side.LAYOUT);
            drift(drift, "Both say, but otherwise", Drift.Side.BOTH);
        }
        List<MapPageModel.Leaf> leaves = map.messages().stream().map(m -> leaf(m, points)).toList();
        String source = map.first().recording().source();
        return new MapPageModel(WebPage.policy(style, ""), WebPage.element("<style>", style, "</style>"),
                "Bus map, " + PlainText.clean(source), new Sentence(PlainText.name(source)), tone, new Sentence(headline),
                sentences(words.plain()), drift, MapPictures.raw(MapPictures.bus(map, words)), senderLines(), columns(), rows(),
                parts(), leaves, sentences(map.open()), sentences(Cautions.ALL), points > 0);
    }

    private void drift(List<MapPageModel.Part> parts, String heading, Drift.Side side) {
        List<String> items = map.drift().stream().filter(d -> d.side() == side)
                .map(d -> words.drift(d) + (d.open() ? " (open)" : "")).toList();
        if (!items.isEmpty()) parts.add(new MapPageModel.Part(heading, sentences(items)));
    }

    private static List<Sentence> sentences(List<String> all) {
        return all.stream().map(Sentence::new).toList();
    }

    private List<Sentence> senderLines() {
        List<Sentence> all = new ArrayList<>();
        for (int i = 0; i < map.senders().size(); i++) all.add(new Sentence(words.senderLine(i)));
        return all;
    }

    private List<MapPageModel.Column> columns() {
        List<MapPageModel.Column> all = new ArrayList<>();
        for (int i = 0; i < Math.min(MOST_COLUMNS, map.senders().size()); i++) {
            all.add(new MapPageModel.Column(MapPictures.raw(MapPictures.mark(i)), new Sentence(words.sender(i))));
        }
        for (String name : shownInstruments()) {
            all.add(new MapPageModel.Column(MapPictures.raw(""), new Sentence(PlainText.name(name))));
        }
        return all;
    }

    private List<String> shownInstruments() {
        return words.allInstruments().stream().limit(MOST_COLUMNS).toList();
    }

    private List<MapPageModel.Row> rows() {
        List<MapPageModel.Row> all = new ArrayList<>();
        for (MapMessage m : map.messages()) {
            List<Content> cells = new ArrayList<>();
            for (int i = 0; i < Math.min(MOST_COLUMNS, map.senders().size()); i++) {
                cells.add(MapPictures.raw(m.senders().contains(i) ? MapPictures.mark(i) : ""));
            }
            List<String> shown = words.instruments(m.key());
            for (String name : shownInstruments()) cells.add(MapPictures.raw(shown.contains(name) ? "\u25CB" : ""));
            String every = m.mainRhythm() == null ? m.sending().text()
                    : Figures.short3(m.mainRhythm().periodSeconds() * 1e3) + "\u00A0ms"
                    + (m.eventFrames() > 0 && m.sending() == buswitness.map.Sending.BOTH ? ", events" : "");
            all.add(new MapPageModel.Row(new Sentence(words.message(m.key())), anchor(m), every,
                    Double.isNaN(m.load()) ? "" : Figures.percent(m.load()), cells));
        }
        return all;
    }

    private static String anchor(MapMessage m) {
        return "m-" + MessageKey.text(m.key());
    }

    private List<MapPageModel.Part> parts() {
        List<MapPageModel.Part> all = new ArrayList<>();
        for (Learned l : map.learned()) {
            all.add(new MapPageModel.Part("Done and seen: " + PlainText.clean(l.what()), sentences(words.learned(l))));
        }
        part(all, "Who depends on whom", map.dependences().stream().flatMap(d -> words.dependence(d).stream()));
        part(all, "Who answers whom", map.answers().stream().map(words::answer));
        part(all, "Values that move together", map.links().stream().map(words::link));
        part(all, "Sleep, start and stop", Stream.concat(map.rests().stream().map(MapWords::rest),
                map.orders().stream().map(words::order)));
        part(all, "What disappears together", map.together().stream().map(words::together));
        return all;
    }

    private static void part(List<MapPageModel.Part> all, String heading, Stream<String> items) {
        List<Sentence> sentences = items.map(Sentence::new).toList();
        if (!sentences.isEmpty()) all.add(new MapPageModel.Part(heading, sentences));
    }

    private MapPageModel.Leaf leaf(MapMessage m, int points) {
        List<Sentence> facts = new ArrayList<>();
        facts.add(new Sentence(PlainText.capital(MapWords.when(m)) + ". Sent by: " + words.senders(m) + "."));
        facts.add(new Sentence(Figures.count(m.frames(), "frame", "frames") + " of " + Figures.count(m.length(), "byte", "bytes")
                + (m.otherLengths() > 0 ? " (" + Figures.count(m.otherLengths()) + " of another length)" : "") + ", first at "
                + Figures.moment(m.firstSeconds()) + ", last at " + Figures.moment(m.lastSeconds())
                + (Double.isNaN(m.load()) ? "" : "; takes " + Figures.percent(m.load()) + " of the bus's time")
                + (m.remote() > 0 ? "; asked for " + Figures.count(m.remote(), "time", "times") : "") + "."));
        List<String> instruments = words.instruments(m.key());
        if (!instruments.isEmpty()) {
            facts.add(new Sentence("Shown by: " + Figures.list(instruments.stream().map(PlainText::name).toList()) + "."));
        }
        if (MapWords.disagreement(m) != null) facts.add(new Sentence(MapWords.disagreement(m)));
        if (!m.silences().isEmpty()) {
            facts.add(new Sentence("Silent: " + Figures.list(m.silences().stream().map(s -> Figures.moment(s.fromSeconds()) + " to "
                    + Figures.moment(s.untilSeconds())).toList(), 6) + "."));
        }
        if (map.recordings().size() > 1) {
            List<String> counts = m.seenIn().stream().map(n -> Figures.count(n)).toList();
            facts.add(new Sentence("Frames in each recording: " + String.join(", ", counts) + "."));
        }
        List<MapPageModel.FieldRow> fields = m.fields().stream().map(MapPage::fieldRow).toList();
        List<MapPageModel.Trace> traces = new ArrayList<>();
        for (ValueTrace t : m.traces()) {
            if (points == 0 || traces.size() == MOST_TRACES || m.fields().get(t.field()).kind() == FieldKind.PAGE) continue;
            PayloadField f = m.fields().get(t.field());
            String picture = MapPictures.trace(t, f, points);
            if (!picture.isEmpty()) {
                traces.add(new MapPageModel.Trace(PlainText.capital(MapWords.place(f))
                        + (f.page() == null ? "" : " on page " + f.page().value()), MapPictures.raw(picture)));
            }
        }
        return new MapPageModel.Leaf(anchor(m), new Sentence(words.message(m.key())), facts,
                MapPictures.raw(MapPictures.bits(m)), fields, m.pauses() != null, MapPictures.raw(MapPictures.pauses(m.pauses())), traces);
    }

    private static MapPageModel.FieldRow fieldRow(PayloadField f) {
        String where = MapWords.place(f) + (f.page() == null ? "" : ", page " + f.page().value())
                + (f.lowByteFirst() ? ", low byte first" : "") + (f.signed() ? ", signed" : "");
        String seen = f.least() == f.most() ? String.valueOf(f.least()) : f.least() + " to " + f.most();
        return new MapPageModel.FieldRow(f.kind().text(), where, seen.replace('-', '\u2212'), Figures.percent(f.confidence()),
                new Sentence(PlainText.foreign(f.detail())));
    }
}
