package buswitness.map;

import buswitness.frames.BusInfo;
import buswitness.frames.MessageKey;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.Known;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.Signal;
import buswitness.schema.YamlDocument;
import buswitness.schema.YamlEdit;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlText;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;

/**
 * Writes a map as a layout. A layout that exists already is edited, not written anew: names, comments, order and everything
 * given stay; what was measured or guessed is changed where the recordings say otherwise; what was missing is added.
 */
public final class LayoutText {
    private static final double OTHER_PERIOD = 0.005;

    private final BusMap map;
    private final LayoutEntries entries;

    private LayoutText(BusMap map) {
        this.map = map;
        this.entries = new LayoutEntries(map);
    }

    /** A layout from nothing. */
    public static String fresh(BusMap map) {
        return fresh(map, null, "");
    }

    /**
     * A layout from nothing but the description of the bus, where the layout it was read by holds one of the user's own.
     *
     * @param paper  text of that layout, or null
     * @param source its file name, for faults
     * @throws InputFault where no message was read
     */
    public static String fresh(BusMap map, String paper, String source) {
        LayoutText text = new LayoutText(map);
        if (map.messages().stream().noneMatch(LayoutText::worth)) {
            throw new InputFault(Place.file(map.first().recording().source()), "shows no message that could go into a layout",
                    "name the layout that describes this bus with --layout, or leave --layout-out away");
        }
        String layout = text.whole(paper == null ? null : FormatCopy.of(paper, source));
        Layouts.parse(layout, "the layout from the map");
        return layout;
    }

    /**
     * A layout brought up to date.
     *
     * @param old    its text
     * @param source its file name, for faults
     * @throws InputFault where the old text is no layout
     */
    public static String renewed(BusMap map, String old, String source) {
        Layout layout = Layouts.parse(old, source);
        LayoutText text = new LayoutText(map);
        String layoutText = text.edit(old, source, layout);
        Layouts.parse(layoutText, source);
        return layoutText;
    }

    private String whole(Map<String, Object> format) {
        StringBuilder out = new StringBuilder();
        out.append("# From ").append(map.recordings().size() == 1 ? "a recording" : map.recordings().size() + " recordings")
                .append(" by Buswitness. What is marked measured or guessed may change when map runs again;\n"
                        + "# take the mark away, or write given, and it stays as it is. Rename whatever you know.\n");
        BusInfo info = map.first().bus();
        Map<String, Object> bus = new LinkedHashMap<>();
        Map<String, Object> known = new LinkedHashMap<>();
        if (format == null) {
            bus.put("coding", info.coding());
            known.put("coding", Known.MEASURED.text());
        }
        if (!Double.isNaN(info.bitsPerSecond())) {
            bus.put("rate", LayoutEntries.number(info.bitsPerSecond() / 1e3, 6) + " kbit/s");
            known.put("rate", Known.MEASURED.text());
        }
        if (info.dataBitsPerSecond() > 0) {
            bus.put("data rate", LayoutEntries.number(info.dataBitsPerSecond() / 1e3, 6) + " kbit/s");
            known.put("data rate", Known.MEASURED.text());
        }
        if (format != null) bus.put("format", format);
        bus.put(Known.WORD, known);
        out.append(YamlText.block(0, "bus", bus));
        if (!map.senders().isEmpty()) {
            out.append("nodes:\n");
            for (MapSender s : map.senders()) out.append(YamlText.block(2, LayoutEntries.node(s), node(s)));
        }
        out.append("messages:\n");
        for (MapMessage m : map.messages()) {
            if (worth(m)) out.append(YamlText.block(2, LayoutEntries.message(m), entries.entry(m)));
        }
        Map<String, Map<String, Object>> instruments = entries.instruments();
        if (!instruments.isEmpty()) {
            out.append("instruments:\n");
            instruments.forEach((name, words) -> out.append(YamlText.block(2, name, words)));
        }
        return out.toString();
    }

    /** A message seen once may be damage that passed its check. */
    private static boolean worth(MapMessage m) {
        return m.frames() >= 2;
    }

    private static Map<String, Object> node(MapSender s) {
        Map<String, Object> node = new LinkedHashMap<>();
        node.put(Known.WORD, Known.GUESSED.text());
        return node;
    }

    private String edit(String old, String source, Layout layout) {
        YamlEdit edit = new YamlEdit(old, source);
        YamlMap root = YamlDocument.parse(old, source).root();
        Map<Long, Message> documented = new HashMap<>();
        for (Message m : layout.messages()) documented.put(MessageKey.of(m), m);
        TreeSet<String> wanted = new TreeSet<>();
        TreeSet<String> taken = new TreeSet<>();
        for (Message m : layout.messages()) taken.add(m.name());
        for (MapMessage m : map.messages()) {
            Message paper = documented.get(m.key());
            if (paper != null) {
                existing(edit, root.get("messages").map().get(paper.name()).map(), m, paper, wanted);
            } else if (worth(m)) {
                String name = LayoutEntries.message(m);
                while (!taken.add(name)) name += " (new)";
                edit.add(List.of("messages"), name, entries.entry(m));
                m.senders().forEach(i -> wanted.add(LayoutEntries.node(map.senders().get(i))));
            }
        }
        nodes(edit, root, layout, wanted);
        instruments(edit, root);
        return edit.text();
    }

    /** Nodes that a new {@code from} names. */
    private static void nodes(YamlEdit edit, YamlMap root, Layout layout, TreeSet<String> wanted) {
        List<String> missing = wanted.stream().filter(n -> !layout.nodes().contains(n)).toList();
        if (missing.isEmpty()) return;
        YamlValue nodes = root.get("nodes");
        Map<String, Object> guessed = Map.of(Known.WORD, Known.GUESSED.text());
        if (nodes == null) {
            Map<String, Object> all = new LinkedHashMap<>();
            missing.forEach(n -> all.put(n, guessed));
            edit.add(List.of(), "nodes", all);
        } else if (nodes.isList()) {
            missing.forEach(n -> edit.addItem(List.of("nodes"), YamlText.word(n)));
        } else {
            missing.forEach(n -> edit.add(List.of("nodes"), n, guessed));
        }
    }

    private void instruments(YamlEdit edit, YamlMap root) {
        Map<String, Map<String, Object>> fresh = entries.instruments();
        YamlMap old = root.has("instruments") ? root.get("instruments").map() : null;
        if (old != null) old.keys().forEach(fresh::remove);
        // An instrument shows a value by its name: only where this run put that name there.
        fresh.values().removeIf(words -> !edit.text().contains(((String) words.get("shows")).replaceFirst(".* / ", "")));
        if (fresh.isEmpty()) return;
        if (old == null) edit.add(List.of(), "instruments", fresh);
        else fresh.forEach((name, words) -> edit.add(List.of("instruments"), name, words));
    }

    private void existing(YamlEdit edit, YamlMap body, MapMessage m, Message paper, TreeSet<String> wanted) {
        List<String> path = List.of("messages", paper.name());
        Map<String, Object> marks = new LinkedHashMap<>();
        String every = LayoutEntries.every(m);
        if (every != null) {
            boolean other = body.has("every") && Math.abs(body.get("every").quantity(Quantity.TIME)
                    / seconds(every) - 1) > OTHER_PERIOD;
            word(edit, path, body, "every", every, other, Known.MEASURED, marks);
        }
        if (LayoutEntries.onEvent(m)) {
            boolean other = body.has("on event") && !body.get("on event").flag();
            word(edit, path, body, "on event", "true", other, Known.MEASURED, marks);
        }
        word(edit, path, body, "length", String.valueOf(m.length()), paper.length() >= 0 && paper.length() != m.length(),
                Known.MEASURED, marks);
        String from = entries.from(m);
        if (from != null) {
            List<String> nodes = m.senders().stream().map(i -> LayoutEntries.node(map.senders().get(i))).toList();
            boolean other = !paper.from().equals(nodes);
            boolean writes = !body.has("from") || other && Known.of(body, "from") != Known.GIVEN;
            if (writes) wanted.addAll(nodes);
            word(edit, path, body, "from", from, other && !paper.from().isEmpty(), Known.GUESSED, marks);
        }
        carries(edit, path, body, m, paper, marks);
        mark(edit, path, body, marks);
    }

    /** Adds a word that is missing, changes one that was not given. */
    private static void word(YamlEdit edit, List<String> path, YamlMap body, String word, String value, boolean other,
                             Known known, Map<String, Object> marks) {
        if (!body.has(word)) {
            edit.add(path, word, value);
            marks.put(word, known.text());
        } else if (other && Known.of(body, word) != Known.GIVEN) {
            edit.set(under(path, word), value);
        }
    }

    private static void mark(YamlEdit edit, List<String> path, YamlMap body, Map<String, Object> marks) {
        if (marks.isEmpty()) return;
        YamlValue old = body.get(Known.WORD);
        if (old == null || old.isEmpty()) {
            if (old == null) edit.add(path, Known.WORD, marks);
            else marks.forEach((word, how) -> edit.add(under(path, Known.WORD), word, how));
        } else if (old.isMap()) {
            marks.forEach((word, how) -> {
                if (!old.map().has(word)) edit.add(under(path, Known.WORD), word, how);
            });
        }
        // One word for the whole entry goes on holding for what is added.
    }

    private void carries(YamlEdit edit, List<String> path, YamlMap body, MapMessage m, Message paper,
                         Map<String, Object> marks) {
        int bits = paper.length() >= 0 && Known.of(body, "length") == Known.GIVEN ? 8 * Math.min(paper.length(), m.length())
                : 8 * m.length();
        List<LayoutEntries.Named> fresh = new ArrayList<>(entries.named(m));
        fresh.removeIf(n -> n.field().endBit() > bits);
        if (!body.has("carries")) {
            Map<String, Object> all = new LinkedHashMap<>();
            for (LayoutEntries.Named n : fresh) all.put(n.name(), n.words());
            if (!all.isEmpty()) edit.add(path, "carries", all);
            return;
        }
        YamlMap old = body.get("carries").map();
        List<String> at = under(path, "carries");
        for (LayoutEntries.Named n : fresh) {
            List<Signal> there = paper.carries().stream().filter(s -> overlaps(s, n.field())).toList();
            if (there.isEmpty()) {
                String name = n.name();
                while (old.has(name)) name += " (new)";
                edit.add(at, name, n.words());
            } else if (there.size() == 1) {
                renew(edit, under(at, there.get(0).name()), old.get(there.get(0).name()).map(), there.get(0), n, paper);
            }
        }
    }

    /** Moves a guessed value's bounds, and gives it the scale that was learned. */
    private static void renew(YamlEdit edit, List<String> path, YamlMap body, Signal there, LayoutEntries.Named n,
                              Message paper) {
        String word = body.has("bits") ? "bits" : "bit";
        boolean same = there.firstBit() == n.field().firstBit() && there.width() == n.field().width();
        if (!same && Known.of(body, word) != Known.GIVEN && alone(there, n.field(), paper) && n.field().width() > 1
                && word.equals("bits") && there.lowByteFirst() == n.field().lowByteFirst()) {
            edit.set(under(path, word), (String) n.words().getOrDefault("bits", ""));
            return;
        }
        if (!same) return;
        Map<String, Object> marks = new LinkedHashMap<>();
        for (String scale : List.of("factor", "offset", "unit")) {
            Object value = n.words().get(scale);
            if (value == null || Known.of(body, word) == Known.GIVEN && !body.has(scale)) continue;
            boolean other = body.has(scale) && !body.get(scale).text().equals(value);
            word(edit, path, body, scale, (String) value, other, Known.MEASURED, marks);
        }
    }

    /** No other value of the message stands in the way of the new bounds. */
    private static boolean alone(Signal moved, PayloadField f, Message paper) {
        for (Signal s : paper.carries()) if (s != moved && overlaps(s, f)) return false;
        return true;
    }

    private static boolean overlaps(Signal s, PayloadField f) {
        boolean apart = s.firstBit() + s.width() <= f.firstBit() || f.endBit() <= s.firstBit();
        boolean turns = s.page() != null && f.page() != null && s.page().firstBit() == f.page().firstBit()
                && s.page().value() != f.page().value();
        return !apart && !turns;
    }

    private static double seconds(String every) {
        double value = Double.parseDouble(every.substring(0, every.indexOf(' ')));
        return every.endsWith(" ms") ? value * 1e-3 : value;
    }

    private static List<String> under(List<String> path, String key) {
        List<String> longer = new ArrayList<>(path);
        longer.add(key);
        return longer;
    }
}
