package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.predict.Conflict.Kind;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.BusFormat;
import buswitness.schema.Course;
import buswitness.schema.Fitting;
import buswitness.schema.Instrument;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Protection;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;

/** Puts layouts on one bus and says where they contradict each other. */
final class Merging {
    /** Two periods that differ by less are one period; common practice, no source. */
    private static final double SAME_PERIOD = 0.005;

    private final List<Layout> layouts;
    private final List<Conflict> conflicts = new ArrayList<>();

    private Merging(List<Layout> layouts) {
        this.layouts = layouts;
    }

    record Merged(SharedBus bus, List<Conflict> conflicts) {}

    /** @throws InputFault where no layout says the bit rate, or two describe one instrument */
    static Merged merge(List<Layout> layouts) {
        return new Merging(layouts).all();
    }

    private Merged all() {
        String name = layouts.stream().map(Layout::busName).filter(n -> !n.isEmpty()).findFirst().orElse("");
        String coding = coding();
        BusFormat format = layouts.stream().map(Layout::format).filter(Objects::nonNull).findFirst().orElse(null);
        double rate = rate();
        Set<String> nodes = new LinkedHashSet<>();
        Map<String, Fitting.NodeFacts> facts = new HashMap<>();
        Map<String, Fitting.Wire> wires = new LinkedHashMap<>();
        List<Protection> protections = new ArrayList<>();
        List<SharedBus.Described> described = new ArrayList<>();
        for (Layout layout : layouts) {
            nodes.addAll(layout.nodes());
            layout.fitting().nodes().forEach((node, f) -> facts.merge(node, f, Merging::together));
            layout.fitting().wires().forEach((i, w) -> wires.merge(i, w, (a, b) -> b.fitted() ? b : a));
            for (Protection p : layout.fitting().protections()) {
                if (protections.stream().noneMatch(q -> q.name().equals(p.name()))) protections.add(p);
            }
            for (Message m : layout.messages()) described.add(new SharedBus.Described(layout.source(), m));
        }
        List<Instrument> instruments = instruments();
        checkWires(wires, instruments);
        List<Stream> streams = streams();
        SharedBus bus = new SharedBus(name, coding, format, rate, dataRate(coding, rate), List.copyOf(nodes), facts,
                streams, described, instruments,
                protections, wires);
        senders(bus);
        descriptions(described);
        return new Merged(bus, conflicts);
    }

    private static Fitting.NodeFacts together(Fitting.NodeFacts a, Fitting.NodeFacts b) {
        return new Fitting.NodeFacts(Double.isNaN(a.clockWithinPpm()) ? b.clockWithinPpm() : a.clockWithinPpm(),
                Double.isNaN(a.delaySeconds()) ? b.delaySeconds() : a.delaySeconds(),
                a.chosen() == null ? b.chosen() : a.chosen());
    }

    private String coding() {
        String coding = null;
        String from = "";
        for (Layout layout : layouts) {
            if (layout.coding() == null) continue;
            if (coding != null && !coding.equals(layout.coding())) {
                conflicts.add(new Conflict(Kind.CODING, MessageKey.UNKNOWN, from, coding, layout.source(),
                        layout.coding()));
            }
            if (coding == null) {
                coding = layout.coding();
                from = layout.source();
            }
        }
        return coding == null ? "can" : coding;
    }

    private double rate() {
        double rate = Double.NaN;
        String from = "";
        for (Layout layout : layouts) {
            if (Double.isNaN(layout.bitsPerSecond())) continue;
            if (rate > 0 && rate != layout.bitsPerSecond()) {
                conflicts.add(new Conflict(Kind.RATE, MessageKey.UNKNOWN, from, bits(rate), layout.source(),
                        bits(layout.bitsPerSecond())));
            }
            if (Double.isNaN(rate)) {
                rate = layout.bitsPerSecond();
                from = layout.source();
            }
        }
        for (Layout layout : layouts) {
            if (Double.isNaN(rate) && layout.format() != null) rate = layout.format().bitsPerSecond();
        }
        if (Double.isNaN(rate)) {
            throw new InputFault(Place.file(layouts.get(0).source()), "no layout says the bit rate",
                    "add 'bus: {rate: 125 kbit/s}' to one of them");
        }
        return rate;
    }

    private double dataRate(String coding, double nominal) {
        if (!coding.equals(OnPaper.CAN_FD)) return Double.NaN;
        double rate = Double.NaN;
        String from = "";
        for (Layout layout : layouts) {
            double said = layout.dataBitsPerSecond();
            if (Double.isNaN(said)) continue;
            if (rate > 0 && rate != said) {
                conflicts.add(new Conflict(Kind.RATE, MessageKey.UNKNOWN, from, bits(rate), layout.source(), bits(said)));
            }
            if (!Double.isNaN(rate)) continue;
            if (said < nominal) {
                throw new InputFault(Place.file(layout.source()), "the data rate of " + bits(said)
                        + " lies below the bit rate of " + bits(nominal), "give a 'data rate' that is not below 'rate'");
            }
            rate = said;
            from = layout.source();
        }
        return Double.isNaN(rate) ? nominal : rate;
    }

    private static String bits(double rate) {
        return String.format(Locale.ROOT, "%.0f bit/s", rate);
    }

    private List<Instrument> instruments() {
        Map<String, String> seen = new HashMap<>();
        List<Instrument> out = new ArrayList<>();
        for (Layout layout : layouts) {
            for (Instrument i : layout.instruments()) {
                String first = seen.putIfAbsent(i.name(), layout.source());
                if (first != null) {
                    throw new InputFault(Place.file(layout.source()), "describes the instrument '" + i.name()
                            + "', which " + first + " describes already", "keep it in one of the two");
                }
                out.add(i);
            }
        }
        return out;
    }

    private void checkWires(Map<String, Fitting.Wire> wires, List<Instrument> instruments) {
        List<String> names = instruments.stream().map(Instrument::name).toList();
        for (Layout layout : layouts) {
            for (String wire : layout.fitting().wires().keySet()) check(layout, wire, names, "a wire feeds");
            for (Protection p : layout.fitting().protections()) {
                for (String lamp : p.standsInFor()) {
                    if (!names.isEmpty()) check(layout, lamp, names, "'" + p.name() + "' stands in for");
                }
            }
        }
    }

    private static void check(Layout layout, String wanted, List<String> names, String who) {
        if (names.contains(wanted)) return;
        throw new InputFault(Place.file(layout.source()), who + " '" + wanted + "', but no layout given has an"
                + " instrument of that name", names.isEmpty() ? "give the dashboard's layout as well"
                : "name one of: " + String.join(", ", names));
    }

    private List<Stream> streams() {
        List<Stream> streams = new ArrayList<>();
        for (Layout layout : layouts) {
            for (Message m : layout.messages()) {
                for (String node : m.from()) {
                    long key = MessageKey.of(m);
                    if (streams.stream().anyMatch(s -> s.key() == key && s.node().equals(node))) continue;
                    Map<String, Course> courses = new HashMap<>();
                    for (Signal s : m.carries()) {
                        Course course = layout.fitting().course(m.name(), s.name(), node);
                        if (course != null) courses.put(s.name(), course);
                    }
                    streams.add(new Stream(node, m, layout.source(), courses));
                }
            }
        }
        return streams;
    }

    private void senders(SharedBus bus) {
        for (long key : bus.clashing()) {
            List<Stream> senders = bus.senders(key);
            for (int i = 1; i < senders.size(); i++) {
                Stream a = senders.get(0);
                Stream b = senders.get(i);
                conflicts.add(new Conflict(Kind.TWO_SENDERS, key, a.node(), a.message().name(), b.node(),
                        b.message().name()));
            }
        }
    }

    private void descriptions(List<SharedBus.Described> described) {
        for (int i = 0; i < described.size(); i++) {
            for (int j = i + 1; j < described.size(); j++) {
                SharedBus.Described a = described.get(i);
                SharedBus.Described b = described.get(j);
                if (MessageKey.of(a.message()) == MessageKey.of(b.message())) compare(a, b);
            }
        }
    }

    private void compare(SharedBus.Described a, SharedBus.Described b) {
        Message m = a.message();
        Message n = b.message();
        long key = MessageKey.of(m);
        double longer = Math.max(m.everySeconds(), n.everySeconds());
        if (Math.abs(m.everySeconds() - n.everySeconds()) > SAME_PERIOD * longer) {
            add(new Conflict(Kind.PERIOD, key, a.source(), millis(m), b.source(), millis(n)));
        }
        if (m.length() >= 0 && n.length() >= 0 && m.length() != n.length()) {
            add(new Conflict(Kind.LENGTH, key, a.source(), m.length() + " bytes", b.source(), n.length() + " bytes"));
        }
        for (Signal s : m.carries()) {
            for (Signal t : n.carries()) {
                if (!Meaning.overlap(s, t) || Meaning.same(s, t)) continue;
                add(new Conflict(Kind.TWO_MEANINGS, key, a.source(), Meaning.text(s), b.source(), Meaning.text(t)));
            }
        }
    }

    /** Three layouts that say two things need one conflict, not two. */
    private void add(Conflict c) {
        for (Conflict d : conflicts) {
            boolean same = d.firstSays().equals(c.firstSays()) && d.secondSays().equals(c.secondSays())
                    || d.firstSays().equals(c.secondSays()) && d.secondSays().equals(c.firstSays());
            if (d.kind() == c.kind() && d.key() == c.key() && same) return;
        }
        conflicts.add(c);
    }

    private static String millis(Message m) {
        return "every " + new java.math.BigDecimal(m.everySeconds() * 1000).round(new java.math.MathContext(6))
                .stripTrailingZeros().toPlainString() + " ms";
    }
}
