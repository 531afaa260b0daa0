package buswitness.compare;

import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Standing;
import buswitness.schema.Course;
import buswitness.schema.Fitting;
import buswitness.schema.Layout;
import buswitness.schema.Protection;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;

/** What two layouts say differently of things that only a forecast uses: habits, drives, protections, wires. */
final class FittingChanges {
    private final Layout before;
    private final Layout after;
    private final List<Change> out;

    FittingChanges(Layout before, Layout after, List<Change> out) {
        this.before = before;
        this.after = after;
        this.out = out;
    }

    void add() {
        Fitting a = before.fitting();
        Fitting b = after.fitting();
        for (String node : after.nodes()) {
            if (!before.nodes().contains(node)) continue;
            Fitting.NodeFacts old = a.node(node);
            Fitting.NodeFacts now = b.node(node);
            word(out, "node " + node, "clock within", figure(old.clockWithinPpm(), "ppm"), figure(now.clockWithinPpm(), "ppm"));
            word(out, "node " + node, "delay", figure(old.delaySeconds() * 1e6, "µs"), figure(now.delaySeconds() * 1e6, "µs"));
            word(out, "node " + node, "messages can be chosen", truth(old.chosen()), truth(now.chosen()));
        }
        each(courses(a), courses(b), "");
        Map<String, String> first = new LinkedHashMap<>();
        Map<String, String> second = new LinkedHashMap<>();
        for (Protection p : a.protections()) first.put(p.name(), describe(p));
        for (Protection p : b.protections()) second.put(p.name(), describe(p));
        each(first, second, "protection ");
        each(wires(a), wires(b), "wire of the ");
    }

    private void each(Map<String, String> first, Map<String, String> second, String kind) {
        Set<String> names = new LinkedHashSet<>(first.keySet());
        names.addAll(second.keySet());
        for (String n : names) {
            String a = first.get(n);
            String b = second.get(n);
            if (a == null) add(out, Standing.CAME, kind + n, "not there", b);
            else if (b == null) add(out, Standing.WENT, kind + n, a, "not there");
            else word(out, kind + n, "", a, b);
        }
    }

    private static Map<String, String> courses(Fitting f) {
        Map<String, String> map = new LinkedHashMap<>();
        for (Fitting.Driving d : f.driving()) {
            map.put(d.signal() + " of " + d.message() + " while driving" + (d.node().isEmpty() ? "" : ", from " + d.node()),
                    describe(d.course()));
        }
        return map;
    }

    private static Map<String, String> wires(Fitting f) {
        Map<String, String> map = new LinkedHashMap<>();
        for (String n : new TreeSet<>(f.wires().keySet())) {
            Fitting.Wire w = f.wires().get(n);
            map.put(n, "from " + w.from() + (w.fitted() ? ", fitted" : ", not fitted"));
        }
        return map;
    }

    private static String describe(Protection p) {
        return "in " + p.node() + ", " + (p.watch() == null ? "wired to " + p.wire() : "watches " + p.watch().signal().name()
                + ", acts when " + LayoutChanges.lit(p.watch())) + ", " + p.does() + " after " + Words.exactly(p.afterSeconds(), "s")
                + (p.standsInFor().isEmpty() ? "" : ", stands in for " + String.join(", ", p.standsInFor()));
    }

    private static String describe(Course c) {
        if (c instanceof Course.Constant k) return Words.exactly(k.value(), "");
        if (c instanceof Course.Between b) return Words.exactly(b.low(), "") + " to " + Words.exactly(b.high(), "");
        if (c instanceof Course.Blinking b) {
            return "blinks every " + Words.exactly(b.periodSeconds(), "s") + ", on for " + Words.exactly(b.share() * 100, "%");
        }
        if (c instanceof Course.Counting k) return "counts to " + k.modulo();
        Course.Points p = (Course.Points) c;
        List<String> points = new ArrayList<>();
        for (int i = 0; i < p.values().length; i++) {
            points.add(Words.exactly(p.values()[i], "") + " at " + Words.exactly(p.atSeconds()[i], "s"));
        }
        return (p.steps() ? "steps: " : "points: ") + String.join(", ", points);
    }

    private static String figure(double value, String unit) {
        return Double.isNaN(value) ? null : Words.exactly(value, unit);
    }

    private static String truth(Boolean said) {
        return said == null ? null : String.valueOf(said);
    }

    /** A word that both layouts may say, differently; null where one does not. */
    static void word(List<Change> out, String subject, String what, String a, String b) {
        if (Objects.equals(a, b)) return;
        add(out, Standing.CHANGED, what.isEmpty() ? subject : subject + ", " + what, a == null ? "not said" : a,
                b == null ? "not said" : b);
    }

    static void add(List<Change> out, Standing standing, String subject, String a, String b) {
        out.add(Change.told(Kind.LAYOUT, subject, "", a, b, standing, ""));
    }
}
