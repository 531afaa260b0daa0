package buswitness.compare;

import buswitness.compare.Change.Standing;
import buswitness.frames.MessageKey;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;

/** Two layouts word by word. A message is the same where its identifier is, whatever its name. */
final class LayoutChanges {
    private final Layout before;
    private final Layout after;
    private final List<Change> out = new ArrayList<>();

    LayoutChanges(Layout before, Layout after) {
        this.before = before;
        this.after = after;
    }

    List<Change> all() {
        word("the bus", "coding", before.coding(), after.coding());
        word("the bus", "name", blank(before.busName()), blank(after.busName()));
        word("the bus", "rate", rate(before.bitsPerSecond()), rate(after.bitsPerSecond()));
        word("the bus", "data rate", rate(before.dataBitsPerSecond()), rate(after.dataBitsPerSecond()));
        if (!Objects.equals(before.format(), after.format())) {
            word("the bus", "format", before.format() == null ? "none of its own" : "as " + before.source() + " describes it",
                    after.format() == null ? "none of its own" : "as " + after.source() + " describes it");
        }
        for (String n : before.nodes()) if (!after.nodes().contains(n)) went("node " + n, "there");
        for (String n : after.nodes()) if (!before.nodes().contains(n)) came("node " + n, "there");
        Map<Long, Message> a = byKey(before);
        Map<Long, Message> b = byKey(after);
        a.forEach((key, m) -> {
            if (!b.containsKey(key)) went(title(m), "sent by " + names(m.from()));
            else message(m, b.get(key));
        });
        b.forEach((key, m) -> {
            if (!a.containsKey(key)) came(title(m), "sent by " + names(m.from()));
        });
        instruments();
        new FittingChanges(before, after, out).add();
        return out;
    }

    private void message(Message a, Message b) {
        String subject = title(b);
        word(subject, "name", a.name(), b.name());
        word(subject, "sent by", names(a.from()), names(b.from()));
        word(subject, "read by", names(a.readBy()), names(b.readBy()));
        word(subject, "every", seconds(a.everySeconds()), seconds(b.everySeconds()));
        word(subject, "on event", String.valueOf(a.onEvent()), String.valueOf(b.onEvent()));
        word(subject, "length", length(a), length(b));
        word(subject, "event for", String.join(", ", a.eventFor()), String.join(", ", b.eventFor()));
        Map<String, Signal> first = new LinkedHashMap<>();
        for (Signal s : a.carries()) first.put(s.name(), s);
        for (Signal s : b.carries()) {
            Signal old = first.remove(s.name());
            if (old == null) came(s.name() + " in " + b.name(), describe(s));
            else word(s.name() + " in " + b.name(), "", describe(old), describe(s));
        }
        first.values().forEach(s -> went(s.name() + " in " + b.name(), describe(s)));
    }

    private void instruments() {
        Map<String, Instrument> first = new LinkedHashMap<>();
        for (Instrument i : before.instruments()) first.put(i.name(), i);
        for (Instrument i : after.instruments()) {
            Instrument old = first.remove(i.name());
            if (old == null) came(i.name(), describe(i));
            else word(i.name(), "", describe(old), describe(i));
        }
        first.values().forEach(i -> went(i.name(), describe(i)));
    }

    private void word(String subject, String what, String a, String b) {
        FittingChanges.word(out, subject, what, a, b);
    }

    private void came(String subject, String text) {
        FittingChanges.add(out, Standing.CAME, subject, "not there", text);
    }

    private void went(String subject, String text) {
        FittingChanges.add(out, Standing.WENT, subject, text, "not there");
    }

    private static Map<Long, Message> byKey(Layout layout) {
        Map<Long, Message> map = new LinkedHashMap<>();
        for (Message m : layout.messages()) map.put(MessageKey.of(m), m);
        return map;
    }

    private static String title(Message m) {
        return m.name() + " (" + MessageKey.text(MessageKey.of(m)) + ")";
    }

    private static String names(List<String> names) {
        return names.isEmpty() ? "nobody named" : String.join(", ", names);
    }

    private static String blank(String text) {
        return text.isEmpty() ? null : text;
    }

    private static String rate(double bits) {
        return Double.isNaN(bits) ? null : Words.exactly(bits / 1000, "kbit/s");
    }

    private static String seconds(double s) {
        return Double.isNaN(s) ? null : Words.exactly(s * 1e3, "ms");
    }

    private static String length(Message m) {
        return m.length() < 0 ? null : m.length() + " bytes";
    }

    private static String describe(Signal s) {
        String text = (s.width() == 1 ? "bit " + s.firstBit() : "bits " + s.firstBit() + ".." + (s.firstBit() + s.width() - 1))
                + (s.lowByteFirst() ? ", low byte first" : "") + (s.signed() ? ", signed" : "") + ", factor "
                + Words.exactly(s.factor(), "") + ", offset " + Words.exactly(s.offset(), s.unit())
                + (Double.isNaN(s.changesAtMostPerSecond()) ? ""
                : ", changes at most " + Words.exactly(s.changesAtMostPerSecond(), s.unit()) + " a second");
        return s.page() == null ? text : text + ", page " + s.page().value() + " of bits " + s.page().firstBit() + ".."
                + (s.page().firstBit() + s.page().width() - 1);
    }

    private static String describe(Instrument i) {
        String shows = "shows " + i.signal().name() + " of " + i.message().name() + ", ";
        if (i instanceof Lamp l) {
            return shows + "lit " + lit(l) + (l.blinksByDesign() ? ", blinks" : "") + (Double.isNaN(l.timeoutSeconds()) ? ""
                    : ", " + (l.litAtTimeout() ? "lit" : "dark") + " after " + Words.exactly(l.timeoutSeconds(), "s") + " without word");
        }
        Gauge g = (Gauge) i;
        String unit = g.signal().unit();
        List<String> points = new ArrayList<>();
        for (int k = 0; k < g.values().length; k++) {
            points.add(Words.exactly(g.values()[k], unit) + " at " + Words.exactly(g.shares()[k] * 100, "%"));
        }
        return shows + "scale " + String.join(", ", points) + ", settles in " + Words.exactly(g.settlesSeconds(), "s")
                + (Double.isNaN(g.travelsAtMostPerSecond()) ? "" : ", travels at most "
                + Words.exactly(g.travelsAtMostPerSecond() * 100, "%") + " a second") + (Double.isNaN(g.timeoutSeconds()) ? ""
                : ", " + (Double.isNaN(g.timeoutShare()) ? "held" : "at " + Words.exactly(g.timeoutShare() * 100, "%")) + " after "
                + Words.exactly(g.timeoutSeconds(), "s") + " without word");
    }

    /** {@code at 1}, {@code not from 3 to 5}. */
    static String lit(Lamp l) {
        String at = l.litFrom() == l.litUntil() ? "at " + Words.exactly(l.litFrom(), "")
                : Double.isInfinite(l.litUntil()) ? "from " + Words.exactly(l.litFrom(), "") + " on"
                : Double.isInfinite(l.litFrom()) ? "up to " + Words.exactly(l.litUntil(), "")
                : "from " + Words.exactly(l.litFrom(), "") + " to " + Words.exactly(l.litUntil(), "");
        return (l.inverted() ? "not " : "") + at;
    }
}
