package buswitness.map;

import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/** What a recording shows that a layout does not say, and the other way round. */
final class Differences {
    /** A period is another one beyond this; nominal values are good to less. */
    private static final double OTHER_PERIOD = 0.02;
    private static final double EXPECTED_FRAMES = 5;
    private static final int FEWEST_FRAMES = 4;

    private final BusMap map;
    private final List<Drift> found = new ArrayList<>();

    private Differences(BusMap map) {
        this.map = map;
    }

    static List<Drift> find(BusMap map, Layout layout) {
        Differences d = new Differences(map);
        Map<Long, Message> documented = new HashMap<>();
        for (Message m : layout.messages()) documented.put(MessageKey.of(m), m);
        for (MapMessage m : map.messages()) {
            Message paper = documented.get(m.key());
            if (paper == null) d.undocumented(m);
            else d.both(m, paper);
        }
        for (Message paper : layout.messages()) if (map.message(MessageKey.of(paper)) == null) d.unseen(paper);
        d.senders(layout, documented);
        return d.found;
    }

    private void add(Drift.Side side, long key, String subject, boolean open, String says, Object... values) {
        found.add(new Drift(side, key, subject, String.format(Locale.ROOT, says, values), open));
    }

    private void undocumented(MapMessage m) {
        boolean open = m.frames() < FEWEST_FRAMES;
        add(Drift.Side.RECORDING, m.key(), MessageKey.text(m.key()), open, "is sent (%d frames) and not in the layout%s",
                m.frames(), open ? "; so few frames may be damage that passed its check" : "");
    }

    private void unseen(Message paper) {
        double seconds = map.recordings().stream().mapToDouble(f -> f.bus().durationPicos() * 1e-12).sum();
        boolean due = paper.everySeconds() > 0 && seconds >= EXPECTED_FRAMES * paper.everySeconds();
        add(Drift.Side.LAYOUT, MessageKey.of(paper), paper.name(), !due, due
                ? "should come every " + shown(paper.everySeconds()) + " and was never seen in %.3g s"
                : "was not seen in %.3g s, which may be too short or too quiet for it", seconds);
    }

    private void both(MapMessage m, Message paper) {
        if (paper.length() >= 0 && paper.length() != m.length()) {
            add(Drift.Side.BOTH, m.key(), paper.name(), false, "has %d payload bytes, not %d", m.length(), paper.length());
        }
        Rhythm main = m.mainRhythm();
        if (paper.everySeconds() > 0 && main != null) {
            double off = main.periodSeconds() / paper.everySeconds() - 1;
            boolean any = m.rhythms().stream()
                    .anyMatch(r -> Math.abs(r.periodSeconds() / paper.everySeconds() - 1) <= OTHER_PERIOD);
            if (!any) {
                add(Drift.Side.BOTH, m.key(), paper.name(), false, "comes every %s, not every %s (%+.1f %%)",
                        shown(main.periodSeconds()), shown(paper.everySeconds()), off * 100);
            }
        } else if (paper.everySeconds() > 0) {
            boolean open = m.frames() < EXPECTED_FRAMES;
            add(Drift.Side.BOTH, m.key(), paper.name(), open, "keeps no schedule; the layout says every %s",
                    shown(paper.everySeconds()));
        } else if (main != null && paper.onEvent() && m.sending() == Sending.CYCLIC && m.frames() >= 20) {
            add(Drift.Side.BOTH, m.key(), paper.name(), false, "is cyclic, every %s; the layout says on event only",
                    shown(main.periodSeconds()));
        }
        if (paper.everySeconds() > 0 && !paper.onEvent() && m.sending() == Sending.BOTH) {
            add(Drift.Side.RECORDING, m.key(), paper.name(), false, "is sent between its cycles too (%d of %d frames);"
                    + " the layout does not say on event", m.eventFrames(), m.seenIn().get(m.recording()));
        }
        bits(m, paper);
    }

    private void bits(MapMessage m, Message paper) {
        if (paper.carries().isEmpty()) return;
        List<String> spare = new ArrayList<>();
        for (PayloadField f : m.fields()) {
            if (f.kind() == FieldKind.CONSTANT) continue;
            boolean known = paper.carries().stream().anyMatch(s -> touches(s, f));
            if (!known) spare.add(place(f) + " (" + f.kind().text() + ")");
            for (Signal s : paper.carries()) {
                if (f.kind() != FieldKind.VALUE || s.width() < 4 || !touches(s, f) || f.confidence() < 0.9) continue;
                if (s.firstBit() == f.firstBit() && s.lowByteFirst() != f.lowByteFirst() && s.width() == f.width()
                        && s.width() > 8) {
                    add(Drift.Side.BOTH, m.key(), paper.name() + " / " + s.name(), false, "moves as a number with its %s"
                            + " byte first; the layout says the other way round", f.lowByteFirst() ? "low" : "high");
                } else if (s.signed() != f.signed() && f.signed() && s.firstBit() == f.firstBit()) {
                    add(Drift.Side.BOTH, m.key(), paper.name() + " / " + s.name(), false,
                            "passes through zero as a signed number does; the layout says unsigned");
                }
            }
        }
        for (Signal s : paper.carries()) {
            if (s.page() == null && (s.firstBit() + s.width() + 7) / 8 > m.length()) {
                add(Drift.Side.LAYOUT, m.key(), paper.name() + " / " + s.name(), false,
                        "lies outside the %d bytes that are sent", m.length());
            }
        }
        if (!spare.isEmpty()) {
            add(Drift.Side.RECORDING, m.key(), paper.name(), false, "also carries what the layout does not name: %s",
                    String.join(", ", spare));
        }
    }

    private static boolean touches(Signal s, PayloadField f) {
        return s.firstBit() < f.endBit() && f.firstBit() < s.firstBit() + s.width();
    }

    static String place(PayloadField f) {
        return f.width() == 1 ? "bit " + f.firstBit() : "bits " + f.firstBit() + ".." + (f.endBit() - 1);
    }

    /** Messages of one documented node on several clocks, or of several nodes on one. */
    private void senders(Layout layout, Map<Long, Message> documented) {
        Map<String, Set<Integer>> byNode = new HashMap<>();
        for (MapMessage m : map.messages()) {
            Message paper = documented.get(m.key());
            if (paper == null) continue;
            if (m.senders().size() > paper.from().size() && m.senders().size() > 1 && !paper.from().isEmpty()) {
                add(Drift.Side.RECORDING, m.key(), paper.name(), false, "is sent by %d senders; the layout names %d",
                        m.senders().size(), paper.from().size());
            }
            if (m.senders().size() == 1 && paper.from().size() == 1) {
                byNode.computeIfAbsent(paper.from().get(0), k -> new HashSet<>()).add(m.senders().get(0));
            }
        }
        for (String node : layout.nodes()) {
            Set<Integer> all = byNode.getOrDefault(node, Set.of());
            if (all.size() < 2) continue;
            List<String> labels = all.stream().sorted().map(i -> map.senders().get(i).label()).toList();
            add(Drift.Side.BOTH, MessageKey.UNKNOWN, node, false, "is one node in the layout, but its messages come from"
                    + " senders %s, whose clocks or wires differ", String.join(", ", labels));
        }
        for (int i = 0; i < map.senders().size(); i++) {
            Set<String> nodes = new java.util.TreeSet<>();
            for (long key : map.senders().get(i).keys()) {
                Message paper = documented.get(key);
                MapMessage m = map.message(key);
                if (paper != null && paper.from().size() == 1 && m != null && m.senders().size() == 1) nodes.add(paper.from().get(0));
            }
            if (nodes.size() > 1) {
                add(Drift.Side.BOTH, MessageKey.UNKNOWN, "sender " + map.senders().get(i).label(), true, "has one clock, but"
                        + " the layout gives its messages to several nodes: %s; two units may share a clock by chance",
                        String.join(", ", nodes));
            }
        }
    }

    /** {@code 100 ms}, to three digits. */
    static String shown(double seconds) {
        return seconds >= 1 ? String.format(Locale.ROOT, "%.4g s", seconds)
                .replaceAll("(\\.\\d*?)0+ s$", "$1 s").replace(". s", " s")
                : String.format(Locale.ROOT, "%.4g ms", seconds * 1e3).replaceAll("(\\.\\d*?)0+ ms$", "$1 ms").replace(". ms", " ms");
    }
}
