package buswitness.map;

import buswitness.frames.MessageKey;
import buswitness.schema.Known;
import buswitness.schema.YamlText;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** What the map says, as entries of a layout: trees of words and finished YAML text. */
final class LayoutEntries {
    private final BusMap map;
    private final Map<Long, List<Learned>> learned = new HashMap<>();

    LayoutEntries(BusMap map) {
        this.map = map;
        for (Learned l : map.learned()) {
            if (l.candidates().isEmpty() || !l.says().isEmpty()) continue;
            learned.computeIfAbsent(l.candidates().get(0).key(), k -> new ArrayList<>()).add(l);
        }
    }

    /** A part of a payload with its name in a layout. */
    record Named(String name, PayloadField field, Map<String, Object> words) {}

    static String node(MapSender sender) {
        return sender.name() == null ? "sender " + sender.label() : sender.name();
    }

    static String message(MapMessage m) {
        return m.name() == null ? "message " + MessageKey.text(m.key()).substring(2) : m.name();
    }

    /** {@code [A, B]}, {@code A}, or null where no sender is settled. */
    String from(MapMessage m) {
        if (m.senders().isEmpty()) return null;
        List<String> nodes = m.senders().stream().map(i -> YamlText.word(node(map.senders().get(i)))).toList();
        return nodes.size() == 1 ? nodes.get(0) : "[" + String.join(", ", nodes) + "]";
    }

    /** {@code 100 ms}: the round number where there is one. */
    static String every(MapMessage m) {
        Rhythm r = m.mainRhythm();
        if (r == null) return null;
        double seconds = Double.isNaN(r.nominalSeconds()) ? r.periodSeconds() : r.nominalSeconds();
        if (seconds < 1e-4 || seconds > 3600) return null;
        return seconds >= 1 ? number(seconds, 5) + " s" : number(seconds * 1e3, 5) + " ms";
    }

    static boolean onEvent(MapMessage m) {
        return m.sending() == Sending.BOTH || m.sending() == Sending.ON_EVENT;
    }

    /** The whole entry of a message that no layout had. */
    Map<String, Object> entry(MapMessage m) {
        Map<String, Object> entry = new LinkedHashMap<>();
        Map<String, Object> known = new LinkedHashMap<>();
        entry.put("id", MessageKey.text(m.key()));
        known.put("id", Known.MEASURED.text());
        if (from(m) != null) {
            entry.put("from", from(m));
            known.put("from", Known.GUESSED.text());
        }
        if (every(m) != null) {
            entry.put("every", every(m));
            known.put("every", Known.MEASURED.text());
        }
        if (onEvent(m)) {
            entry.put("on event", "true");
            known.put("on event", Known.MEASURED.text());
        }
        entry.put("length", String.valueOf(m.length()));
        known.put("length", Known.MEASURED.text());
        Map<String, Object> carries = new LinkedHashMap<>();
        for (Named n : named(m)) carries.put(n.name, n.words);
        if (!carries.isEmpty()) entry.put("carries", carries);
        entry.put(Known.WORD, known);
        return entry;
    }

    /** Every part worth a name, none overlapping another. What answered to a deed comes first. */
    List<Named> named(MapMessage m) {
        List<Named> all = new ArrayList<>();
        for (Learned l : learned.getOrDefault(m.key(), List.of())) {
            Learned.Candidate c = l.candidates().get(0);
            if (free(all, c.field())) all.add(new Named(valueName(l), c.field(), words(l, c)));
        }
        for (PayloadField f : m.fields()) {
            if (f.kind() == FieldKind.CONSTANT || f.kind() == FieldKind.UNCLEAR || !free(all, f)) continue;
            String page = f.page() == null ? "" : " on page " + f.page().value();
            String name = f.kind() == FieldKind.CHECK || f.kind() == FieldKind.PAGE ? f.kind().text()
                    : f.kind().text() + " at " + f.firstBit() + page;
            all.add(new Named(name, f, words(f, f.detail(), Known.GUESSED.text())));
        }
        return all;
    }

    private static boolean free(List<Named> all, PayloadField f) {
        for (Named n : all) if (overlap(n.field, f)) return false;
        return true;
    }

    static boolean overlap(PayloadField a, PayloadField b) {
        boolean apart = a.endBit() <= b.firstBit() || b.endBit() <= a.firstBit();
        boolean turns = a.page() != null && b.page() != null && a.page().value() != b.page().value();
        return !apart && !turns;
    }

    private static String valueName(Learned l) {
        return l.what().endsWith("gauge") || l.what().endsWith("meter") || l.what().endsWith("lamp") ? l.what() + " value"
                : l.what();
    }

    private static Map<String, Object> words(PayloadField f, String note, String known) {
        Map<String, Object> words = new LinkedHashMap<>();
        if (f.width() == 1) words.put("bit", String.valueOf(f.firstBit()));
        else words.put("bits", f.firstBit() + ".." + (f.endBit() - 1));
        if (f.signed()) words.put("signed", "true");
        if (f.lowByteFirst()) words.put("low byte first", "true");
        if (f.page() != null) {
            Map<String, Object> page = new LinkedHashMap<>();
            page.put("bits", f.page().firstBit() + ".." + (f.page().firstBit() + f.page().width() - 1));
            page.put("is", String.valueOf(f.page().value()));
            words.put("page", page);
        }
        if (!note.isEmpty()) words.put("note", YamlText.word(note));
        words.put(Known.WORD, known);
        return words;
    }

    private Map<String, Object> words(Learned l, Learned.Candidate c) {
        String note = l.state() ? (c.when() == 1 && c.field().width() == 1 ? c.inverted() ? "1 while off" : ""
                : (c.inverted() ? "anything but " : "") + c.when() + " while on") : "";
        Map<String, Object> words = words(c.field(), note, Known.MEASURED.text());
        words.remove(Known.WORD);
        words.putAll(scale(l, c));
        words.put(Known.WORD, Known.MEASURED.text());
        return words;
    }

    /** Factor, offset and unit of a reading; round numbers where they lie within the error. */
    static Map<String, Object> scale(Learned l, Learned.Candidate c) {
        Map<String, Object> words = new LinkedHashMap<>();
        if (l.state()) return words;
        words.put("factor", number(round(c.factor(), c.factorError()), 4));
        words.put("offset", number(round(c.offset(), c.offsetError()), 4));
        if (!l.unit().isEmpty()) words.put("unit", YamlText.word(l.unit()));
        return words;
    }

    /** The roundest number within one standard error: fewest significant digits. */
    static double round(double value, double error) {
        if (!(error > 0) || value == 0) return value;
        if (Math.abs(value) <= error) return 0;
        for (int digits = 1; digits < 6; digits++) {
            double rounded = new BigDecimal(value).round(new MathContext(digits)).doubleValue();
            if (Math.abs(rounded - value) <= error && rounded != 0) return rounded;
        }
        return value;
    }

    /** Gauges and lamps that were learned by name: entries of {@code instruments:}. */
    Map<String, Map<String, Object>> instruments() {
        Map<String, Map<String, Object>> all = new LinkedHashMap<>();
        learned.forEach((key, list) -> {
            MapMessage m = map.message(key);
            for (Learned l : list) {
                Learned.Candidate c = l.candidates().get(0);
                Map<String, Object> words = new LinkedHashMap<>();
                words.put("shows", YamlText.word(message(m) + " / " + valueName(l)));
                boolean gauge = !l.state() && l.unit().equals("%") && l.what().endsWith("gauge");
                if (gauge) {
                    words.put("from", "0");
                    words.put("to", "100");
                } else if (l.state() && l.what().endsWith("lamp")) {
                    words.put("lit when", c.inverted() ? "not " + c.when() : String.valueOf(c.when()));
                } else {
                    continue;
                }
                words.put(Known.WORD, Known.GUESSED.text());
                all.put(l.what(), words);
            }
        });
        return all;
    }

    static String number(double value, int digits) {
        if (value == 0 || Double.isNaN(value)) return "0";
        BigDecimal d = new BigDecimal(value).round(new MathContext(digits)).stripTrailingZeros();
        return d.toPlainString();
    }
}
