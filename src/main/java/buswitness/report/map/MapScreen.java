package buswitness.report.map;

import buswitness.map.BusMap;
import buswitness.map.Drift;
import buswitness.map.FieldKind;
import buswitness.map.Learned;
import buswitness.map.MapMessage;
import buswitness.map.PayloadField;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.ScreenLines;
import buswitness.report.parts.ScreenStyle;
import java.io.PrintStream;
import java.util.List;

/** A map for a terminal. */
final class MapScreen {
    private static final int MOST_MESSAGES = 60;
    private static final int MOST = 12;

    private final BusMap map;
    private final MapWords words;
    private final ScreenLines lines;

    MapScreen(BusMap map, PrintStream out, ScreenStyle style) {
        this.map = map;
        words = new MapWords(map);
        lines = new ScreenLines(out, style);
    }

    void write() {
        if (map.drift() != null) drift();
        lines.paragraph(0, 0, ScreenLines.Tone.HEADING, words.headline() + ".");
        for (String sentence : words.plain()) lines.text(sentence);
        senders();
        messages();
        if (!map.learned().isEmpty()) {
            lines.heading("What answers to what was done and seen");
            for (Learned l : map.learned()) {
                List<String> says = words.learned(l);
                lines.item(says.get(0));
                says.stream().skip(1).limit(3).forEach(lines::under);
            }
        }
        list("Who depends on whom", map.dependences().stream().flatMap(d -> words.dependence(d).stream()).toList());
        list("Who answers whom", map.answers().stream().map(words::answer).toList());
        list("Values that move together", map.links().stream().map(words::link).toList());
        list("Sleep, start and stop", java.util.stream.Stream.concat(map.rests().stream().map(MapWords::rest),
                map.orders().stream().map(words::order)).toList());
        list("What disappears together", map.together().stream().map(words::together).toList());
        list("Not known", map.open());
        list("Mind", Cautions.ALL);
    }

    private void drift() {
        boolean sure = map.drift().stream().anyMatch(d -> !d.open());
        lines.paragraph(0, 0, sure ? ScreenLines.Tone.BAD : map.drift().isEmpty() ? ScreenLines.Tone.GOOD : ScreenLines.Tone.OPEN,
                map.drift().isEmpty() ? "The layout and the recording agree in all that can be compared."
                        : sure ? "The layout and the recording differ." : "The recording cannot tell whether the layout is right.");
        drift("The recording shows, the layout does not say", Drift.Side.RECORDING);
        drift("The layout says, the recording does not show", Drift.Side.LAYOUT);
        drift("Both say, but otherwise", Drift.Side.BOTH);
        lines.blank();
    }

    private void drift(String heading, Drift.Side side) {
        List<Drift> all = map.drift().stream().filter(d -> d.side() == side).toList();
        if (all.isEmpty()) return;
        lines.heading(heading);
        for (Drift d : all) lines.item(words.drift(d) + (d.open() ? " (open)" : ""));
    }

    private void senders() {
        if (map.senders().isEmpty()) return;
        lines.heading("Who sends");
        lines.text("Messages with one clock and one wire come from one unit, most likely. How far a clock runs from nominal is given"
                + " in parts per million (ppm), give or take one standard error.");
        for (int i = 0; i < map.senders().size(); i++) lines.item(words.senderLine(i));
    }

    private void messages() {
        lines.heading("Messages");
        int shown = 0;
        for (MapMessage m : map.messages()) {
            if (shown++ == MOST_MESSAGES) {
                lines.text(Figures.count(map.messages().size() - MOST_MESSAGES) + " more; --html and --json have them all.");
                break;
            }
            lines.item(words.message(m.key()) + ": " + m.length() + " bytes, " + MapWords.when(m) + "; "
                    + Figures.count(m.frames(), "frame", "frames") + ", " + Figures.moment(m.firstSeconds()) + " to "
                    + Figures.moment(m.lastSeconds()) + "; sender: " + words.senders(m)
                    + (Double.isNaN(m.load()) ? "" : "; " + Figures.percent(m.load()) + " of the time") + ".");
            if (MapWords.disagreement(m) != null) lines.under(MapWords.disagreement(m));
            for (PayloadField f : m.fields()) if (f.kind() != FieldKind.CONSTANT) lines.under(MapWords.field(f) + ".");
        }
    }

    private void list(String heading, List<String> all) {
        if (all.isEmpty()) return;
        lines.heading(heading);
        all.stream().limit(MOST).forEach(lines::item);
        if (all.size() > MOST) lines.text(Figures.count(all.size() - MOST) + " more; --html and --json have them all.");
    }
}
