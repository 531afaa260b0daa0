package buswitness.report.map;

import buswitness.map.BusMap;
import buswitness.map.Drift;
import buswitness.map.Learned;
import buswitness.map.MapMessage;
import buswitness.map.PayloadField;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;

/** A map as Markdown (CommonMark 0.31 with the tables that most readers know). */
final class MapMarkdown {
    private final BusMap map;
    private final MapWords words;
    private final StringBuilder out = new StringBuilder();

    private MapMarkdown(BusMap map) {
        this.map = map;
        words = new MapWords(map);
    }

    static void write(BusMap map, OutputStream out) throws IOException {
        out.write(new MapMarkdown(map).text().getBytes(StandardCharsets.UTF_8));
        out.flush();
    }

    private String text() {
        line("# " + words.headline());
        for (String s : words.plain()) line(s);
        if (map.drift() != null) list("Layout and recording compared", map.drift().stream().map(this::drift).toList());
        List<String> senders = new ArrayList<>();
        for (int i = 0; i < map.senders().size(); i++) senders.add(words.senderLine(i));
        list("Who sends", senders);
        matrix();
        list("What answers to what was done and seen", map.learned().stream().map(this::learned).toList());
        list("Who depends on whom", map.dependences().stream().flatMap(d -> words.dependence(d).stream()).toList());
        list("Who answers whom", map.answers().stream().map(words::answer).toList());
        list("Values that move together", map.links().stream().map(words::link).toList());
        List<String> sleep = new ArrayList<>(map.rests().stream().map(MapWords::rest).toList());
        sleep.addAll(map.orders().stream().map(words::order).toList());
        list("Sleep, start and stop", sleep);
        list("What disappears together", map.together().stream().map(words::together).toList());
        for (MapMessage m : map.messages()) message(m);
        list("Not known", map.open());
        list("Mind", Cautions.ALL);
        return out.toString();
    }

    private String drift(Drift d) {
        return words.drift(d) + (d.open() ? " (open)" : "");
    }

    private String learned(Learned l) {
        return String.join(" ", words.learned(l));
    }

    private void line(String text) {
        out.append(clean(text)).append("\n\n");
    }

    private void list(String heading, List<String> items) {
        if (items.isEmpty()) return;
        out.append("## ").append(heading).append("\n\n");
        for (String item : items) out.append("- ").append(clean(item)).append('\n');
        out.append('\n');
    }

    private void matrix() {
        out.append("## Messages\n\n| Message | Bytes | When | Sender | Instruments | Load |\n|---|---|---|---|---|---|\n");
        for (MapMessage m : map.messages()) {
            List<String> instruments = words.instruments(m.key()).stream().map(PlainText::name).toList();
            out.append("| ").append(clean(words.message(m.key()))).append(" | ").append(m.length()).append(" | ")
                    .append(clean(MapWords.when(m))).append(" | ").append(clean(words.senders(m))).append(" | ")
                    .append(clean(instruments.isEmpty() ? "" : String.join(", ", instruments))).append(" | ")
                    .append(Double.isNaN(m.load()) ? "" : clean(Figures.percent(m.load()))).append(" |\n");
        }
        out.append('\n');
    }

    private void message(MapMessage m) {
        out.append("## ").append(clean(words.message(m.key()))).append("\n\n");
        out.append(clean(Figures.count(m.frames(), "frame", "frames") + ", first seen at " + Figures.moment(m.firstSeconds())
                + ", last at " + Figures.moment(m.lastSeconds()) + "; " + MapWords.when(m) + "; sender: " + words.senders(m) + "."))
                .append("\n\n");
        if (MapWords.disagreement(m) != null) line(MapWords.disagreement(m));
        if (m.fields().isEmpty()) return;
        out.append("| Part | Where | Seen | Sure | More |\n|---|---|---|---|---|\n");
        for (PayloadField f : m.fields()) {
            String where = MapWords.place(f) + (f.page() == null ? "" : ", page " + f.page().value())
                    + (f.lowByteFirst() ? ", low byte first" : "") + (f.signed() ? ", signed" : "");
            out.append("| ").append(f.kind().text()).append(" | ").append(where).append(" | ").append(f.least())
                    .append(f.least() == f.most() ? "" : " to " + f.most()).append(" | ").append(Figures.percent(f.confidence()))
                    .append(" | ").append(clean(f.detail())).append(" |\n");
        }
        out.append('\n');
    }

    /** Names come from files that anybody can write: nothing in them may become markup. */
    private static String clean(String text) {
        String bare = PlainText.clean(PlainText.bare(text)).replace('\u00A0', ' ');
        StringBuilder safe = new StringBuilder();
        for (char c : bare.toCharArray()) {
            if ("\\`*_[]<>|#~!".indexOf(c) >= 0) safe.append('\\');
            safe.append(c);
        }
        return safe.toString();
    }
}
