package buswitness.report.map;

import buswitness.frames.MessageKey;
import buswitness.map.Answer;
import buswitness.map.BusMap;
import buswitness.map.Dependence;
import buswitness.map.Drift;
import buswitness.map.FieldKind;
import buswitness.map.Learned;
import buswitness.map.Link;
import buswitness.map.MapMessage;
import buswitness.map.MapSender;
import buswitness.map.Order;
import buswitness.map.PayloadField;
import buswitness.map.Rhythm;
import buswitness.map.Span;
import buswitness.map.Together;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Instrument;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Sentences about a map, the same on the screen, on the page and in Markdown. */
final class MapWords {
    private static final int MOST_LISTED = 12;

    final BusMap map;
    private final Map<Long, Message> documented = new HashMap<>();
    private final Layout layout;

    MapWords(BusMap map) {
        this.map = map;
        layout = map.first().layout();
        if (layout != null) for (Message m : layout.messages()) documented.put(MessageKey.of(m), m);
    }

    String message(long key) {
        MapMessage m = map.message(key);
        Message paper = documented.get(key);
        String name = m != null && m.name() != null ? m.name() : paper == null ? null : paper.name();
        String id = MessageKey.text(key);
        return name == null ? id : PlainText.name(name) + " (" + id + ")";
    }

    String messages(List<Long> keys) {
        return Figures.list(keys.stream().map(this::message).toList(), MOST_LISTED);
    }

    String sender(int index) {
        if (index < 0) return "nobody known";
        MapSender s = map.senders().get(index);
        return s.name() == null ? s.label() : s.label() + " (" + PlainText.name(s.name()) + ")";
    }

    String senders(MapMessage m) {
        return m.senders().isEmpty() ? "not settled" : Figures.list(m.senders().stream().map(this::sender).toList());
    }

    /** Instruments of the layout that show a value of a message. */
    List<String> instruments(long key) {
        List<String> all = new ArrayList<>();
        if (layout == null) return all;
        for (Instrument i : layout.instruments()) if (MessageKey.of(i.message()) == key) all.add(i.name());
        return all;
    }

    List<String> allInstruments() {
        return layout == null ? List.of() : layout.instruments().stream().map(Instrument::name).toList();
    }

    /** {@code every 100.0042 ± 0.0002 ms, give or take 0.08 ms}. */
    static String rhythm(Rhythm r) {
        String text = "every " + Figures.withError(r.periodSeconds() * 1e3, r.periodErrorSeconds() * 1e3, false) + "\u00A0ms";
        if (r.jitterSeconds() > 0) text += ", jitter " + Figures.short3(r.jitterSeconds() * 1e3) + "\u00A0ms";
        return text;
    }

    static String when(MapMessage m) {
        Rhythm main = m.mainRhythm();
        String text = m.sending().text();
        if (main != null) text += ", " + rhythm(main);
        if (m.rhythms().size() > 1) text += " (and " + Figures.count(m.rhythms().size() - 1, "further schedule", "further schedules")
                + ")";
        if (m.eventFrames() > 0 && main != null) text += ", " + Figures.count(m.eventFrames()) + " frames in between";
        return text;
    }

    /** What stands still in each sender's frames and yet differs; null where nothing does. */
    static String disagreement(MapMessage m) {
        if (m.disagree().isEmpty()) return null;
        List<String> bits = m.disagree().stream().map(String::valueOf).toList();
        String where = (bits.size() == 1 ? "bit " : "bits ") + Figures.list(bits, MOST_LISTED);
        return m.senders().size() > 1 ? "Constant from each sender, and they disagree in " + where + "."
                : "Constant within each recording, and different between them in " + where + ".";
    }

    String senderLine(int index) {
        MapSender s = map.senders().get(index);
        String text = sender(index) + ": ";
        if (!Double.isNaN(s.clockPpm())) {
            text += "clock " + Figures.withError(s.clockPpm(), s.clockPpmError(), true) + "\u00A0ppm"
                    + (asked() ? " by the length of its bits, " : ", ");
        }
        if (!Double.isNaN(s.edgeNanos())) {
            text += "dominant bits " + Figures.withError(s.edgeNanos(), s.edgeError(), true) + "\u00A0ns longer, ";
        }
        if (!Double.isNaN(s.load())) text += Figures.percent(s.load()) + " of the time, ";
        return text + "sends " + messages(s.keys()) + ". Held together by: " + s.heldBy()
                + (s.name() == null ? "." : "; name " + s.nameKnown() + ".");
    }

    static String place(PayloadField f) {
        return f.width() == 1 ? "bit " + f.firstBit() : "bits " + f.firstBit() + " to " + (f.endBit() - 1);
    }

    static String field(PayloadField f) {
        StringBuilder text = new StringBuilder(f.kind().text()).append(", ").append(place(f));
        if (f.page() != null) text.append(" on page ").append(f.page().value());
        if (f.lowByteFirst()) text.append(", low byte first");
        if (f.signed()) text.append(", signed");
        if (f.kind() == FieldKind.CONSTANT) {
            text.append(", always ").append(f.width() == 1 ? String.valueOf(f.least())
                    : "0x" + Long.toHexString(f.least()).toUpperCase(java.util.Locale.ROOT));
        } else {
            if (f.width() > 1) text.append(", ").append(f.least()).append(" to ").append(f.most());
            if (f.changingBits() < f.width() && f.kind() == FieldKind.VALUE) {
                text.append(", ").append(f.changingBits()).append(" of ").append(f.width()).append(" bits seen to change");
            }
        }
        if (!f.detail().isEmpty()) text.append("; ").append(f.detail());
        return text.append("; ").append(Figures.percent(f.confidence())).append(" sure").toString();
    }

    String answer(Answer a) {
        String asks = a.remote() ? "a request for it" : message(a.asks());
        return message(a.answers()) + " follows " + asks + " after " + Figures.withError(a.delaySeconds() * 1e3,
                a.spreadSeconds() * 1e3, false) + "\u00A0ms (median and scatter): " + Figures.count(a.followed()) + " of "
                + Figures.count(a.frames()) + " frames do, by chance once in 10^" + (int) Math.floor(-a.logChance())
                + " at most; " + Figures.percent(a.asked()) + " of " + (a.remote() ? "the requests" : "the others") + " are followed so.";
    }

    String link(Link l) {
        PayloadField a = map.message(l.firstMessage()).fields().get(l.firstField());
        PayloadField b = map.message(l.secondMessage()).fields().get(l.secondField());
        return place(a) + " of " + message(l.firstMessage()) + " and " + place(b) + " of " + message(l.secondMessage())
                + " move together: the second is " + Figures.withError(l.factor(), l.factorError(), false) + " times the first "
                + (l.offset() < 0 ? "minus " : "plus ") + Figures.short3(Math.abs(l.offset())) + " (correlation of movements "
                + Figures.fixed(l.correlation(), 2) + ", by chance once in 10^" + (int) Math.floor(-l.logChance()) + " at most).";
    }

    static String rest(Span s) {
        return "The whole bus is silent from " + Figures.moment(s.fromSeconds()) + " to " + Figures.moment(s.untilSeconds())
                + " (" + Figures.span(s.seconds()) + ").";
    }

    String order(Order o) {
        List<String> steps = new ArrayList<>();
        for (Order.Step s : o.steps()) {
            if (steps.size() == MOST_LISTED) break;
            steps.add(message(s.key()) + " " + (o.start() ? "+" : "") + Figures.fixed(s.afterSeconds() * 1e3, 1) + "\u00A0ms");
        }
        if (o.steps().size() > MOST_LISTED) steps.add(Figures.count(o.steps().size() - MOST_LISTED) + " more");
        return (o.start() ? "Comes back at " : "Goes silent at ") + Figures.moment(o.atSeconds()) + ": "
                + String.join(", ", steps) + ".";
    }

    String together(Together t) {
        List<String> spans = t.spans().stream().limit(4)
                .map(s -> Figures.moment(s.fromSeconds()) + " to " + Figures.moment(s.untilSeconds())).toList();
        return messages(t.keys()) + " fall silent together " + Figures.count(t.times(), "time", "times") + ": "
                + Figures.list(spans) + (t.times() > 4 ? " and later" : "") + ".";
    }

    List<String> dependence(Dependence d) {
        List<String> all = new ArrayList<>();
        String node = "Without the " + PlainText.name(d.node());
        if (!d.fits()) {
            all.add(node + ": " + PlainText.foreign(String.join(" ", d.says())));
            return all;
        }
        if (!d.own().isEmpty()) all.add(node + " its own messages fall silent: " + messages(d.own()) + ". It is sender "
                + sender(d.sender()) + ".");
        if (!d.depend().isEmpty()) {
            all.add(node + " these fall silent too, though clock and wire do not make them its own: " + messages(d.depend())
                    + ". They depend on it.");
        }
        if (all.isEmpty()) all.add(node + " nothing that could be told falls silent.");
        return all;
    }

    List<String> learned(Learned l) {
        List<String> all = new ArrayList<>();
        String what = PlainText.capital(PlainText.name(l.what()));
        if (l.candidates().isEmpty()) {
            all.add(what + ": " + l.says());
            return all;
        }
        for (int i = 0; i < l.candidates().size(); i++) {
            Learned.Candidate c = l.candidates().get(i);
            String text = i == 0 ? what + ": " : "rival: ";
            text += place(c.field()) + (c.field().page() == null ? "" : " on page " + c.field().page().value()) + " of "
                    + message(c.key());
            if (c.field().lowByteFirst()) text += ", low byte first";
            text += l.state() ? state(c) : reading(l, c);
            text += "; " + c.matched() + " of " + l.told() + (l.state() ? " switchings" : " readings") + " fit";
            if (i == 0) {
                text += l.candidates().size() > 1 ? "; " + odds(c.logOdds()) + " ahead of the next" : "";
                text += c.logChance() < 0 ? ", by chance once in 10^" + Figures.fixed(-c.logChance(), 1) + " at most" : "";
            } else {
                text += "; " + odds(-c.logOdds()) + " behind";
            }
            all.add(text + ".");
        }
        if (!l.says().isEmpty()) all.set(0, all.get(0) + " Not settled: " + l.says());
        return all;
    }

    private static String state(Learned.Candidate c) {
        if (c.field().width() == 1) return c.inverted() ? ", 0 while on" : ", 1 while on";
        return (c.inverted() ? ", anything but " : ", number ") + c.when() + " while on";
    }

    private static String reading(Learned l, Learned.Candidate c) {
        String unit = l.unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(l.unit());
        String text = ": value = number × " + factor(c.factor(), c.factorError()) + (c.offset() < 0 ? " − " : " + ")
                + factor(Math.abs(c.offset()), c.offsetError()) + unit;
        return Double.isNaN(c.scatter()) ? text : text + ", readings scatter by " + Figures.short3(c.scatter()) + unit;
    }

    private static String factor(double value, double error) {
        return error > 0 ? "(" + Figures.withError(value, error, false) + ")" : Figures.short3(value);
    }

    private static String odds(double log) {
        double times = Math.pow(10, Math.max(0, Math.min(6, log)));
        return times < 1.5 ? "hardly" : times >= 1e6 ? "more than a million times" : Figures.short3(times < 10 ? times
                : Math.rint(times)) + " times";
    }

    String drift(Drift d) {
        String name = d.key() == MessageKey.UNKNOWN ? PlainText.name(d.subject())
                : d.subject().startsWith("0x") ? d.subject() : PlainText.name(d.subject()) + " (" + MessageKey.text(d.key()) + ")";
        return PlainText.capital(name) + " " + PlainText.foreign(d.says()) + ".";
    }

    String headline() {
        if (map.senders().isEmpty()) {
            return Figures.count(map.messages().size(), "message", "messages") + "; the recording does not tell their senders apart";
        }
        return Figures.count(map.messages().size(), "message", "messages") + " from "
                + Figures.count(map.senders().size(), "sender", "senders") + " that can be told apart";
    }

    /** A master asks for each message (LIN). */
    private boolean asked() {
        BusFormat format = BusFormats.of(map.first().bus().coding(), map.first().layout());
        return format != null && format.naming().answer() != null;
    }

    List<String> plain() {
        List<String> all = new ArrayList<>();
        var bus = map.first().bus();
        String rate = Double.isNaN(bus.bitsPerSecond()) ? "" : " at " + Figures.rate(bus.bitsPerSecond());
        all.add("Read from " + (map.recordings().size() == 1 ? "one recording" : Figures.count(map.recordings().size())
                + " recordings") + ", the first " + Figures.span(bus.durationPicos() * 1e-12) + " long: "
                + bus.recognition().title() + rate
                + (Double.isNaN(bus.load()) ? "" : ", in use for " + Figures.percent(bus.load()) + " of the time") + ".");
        long fields = map.messages().stream().flatMap(m -> m.fields().stream()).filter(f -> f.kind() != FieldKind.CONSTANT).count();
        all.add("Their payloads hold " + Figures.count(fields, "part that changes", "parts that change") + ": "
                + Figures.list(kinds()) + ".");
        if (asked()) {
            all.add("A master asks for each message, so that the periods are its own; a sender's clock is the length of its bits.");
        }
        return all;
    }

    private List<String> kinds() {
        List<String> all = new ArrayList<>();
        for (FieldKind k : FieldKind.values()) {
            if (k == FieldKind.CONSTANT) continue;
            long n = map.messages().stream().flatMap(m -> m.fields().stream()).filter(f -> f.kind() == k).count();
            if (n > 0) all.add(k == FieldKind.UNCLEAR ? Figures.count(n) + " unclear" : Figures.count(n, k.text(), k.text() + "s"));
        }
        return all;
    }
}
