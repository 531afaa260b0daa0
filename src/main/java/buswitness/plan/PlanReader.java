package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.DocumentKind;
import buswitness.schema.Layouts;
import buswitness.schema.Quantity;
import buswitness.schema.YamlDocument;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Reads a plan, as captures/plan-format.md describes it. */
final class PlanReader {
    static final double LONGEST_SECONDS = 86_400;
    private static final List<String> UNIT_FIELDS =
            List.of("firmware", "wiring revision", "bench or car", "tester");

    private final Path file;
    private final List<PlanBus> buses = new ArrayList<>();
    private final YamlMap root;

    private PlanReader(Path file) {
        this.file = file;
        root = DocumentKind.PLAN.need(YamlDocument.load(file).root()).allow("plan", "harness", "layout", "bus line", "buses",
                "unit", "does not do",
                "cautions", "steps", "note");
        if (!root.has("buses")) {
            YamlValue line = root.get("bus line");
            buses.add(bus("", root.need("layout", "layout: van.layout.yaml"), line == null ? null : line.text()));
            return;
        }
        for (String one : List.of("layout", "bus line")) {
            if (root.has(one)) throw root.fault(one, "stands beside 'buses', which say it for each bus", "leave it out");
        }
        YamlMap map = root.get("buses").map();
        for (String name : map.keys()) {
            YamlMap body = map.get(name).map().allow("layout", "line", "note");
            buses.add(bus(name, body.need("layout", "layout: body.layout.yaml"), body.has("line") ? body.get("line").text()
                    : name));
        }
        if (buses.isEmpty()) throw root.fault("buses", "names no bus", "write 'body bus: {layout: body.layout.yaml}'");
    }

    private PlanBus bus(String name, YamlValue named, String line) {
        Path layoutFile = file.resolveSibling(named.text());
        if (!Files.exists(layoutFile)) {
            throw named.fault("there is no such layout, looked for at " + layoutFile, "name it as seen from the plan");
        }
        return new PlanBus(name, layoutFile, Layouts.load(layoutFile),
                Canonical.digest(YamlDocument.load(layoutFile).root()), line);
    }

    /** The bus that a step names, else the first. */
    private PlanBus on(YamlMap body) {
        if (!body.has("on")) return buses.get(0);
        for (PlanBus b : buses) if (b.name().equals(body.get("on").text())) return b;
        throw body.get("on").unknown("bus", buses.stream().map(PlanBus::name).toList());
    }

    static Plan load(Path file) {
        return new PlanReader(file).read();
    }

    private Plan read() {
        String title = root.need("plan", "plan: gauge harness for the van").text();
        YamlMap steps = root.need("steps", "steps: with a name for each step").map();
        if (steps.keys().isEmpty()) throw root.fault("steps", "has no step", "add one, see captures/plan-format.md");
        List<Step> all = new ArrayList<>();
        for (String name : steps.keys()) {
            if (name.isBlank()) throw new InputFault(steps.keyPlace(name), "has an empty name", "give it a name");
            all.add(step(name, steps.keyPlace(name), steps.get(name).map()));
        }
        List<String> fields = root.has("unit") ? texts(root.get("unit")) : UNIT_FIELDS;
        return new Plan(file.toString(), title, root.has("harness") ? root.get("harness").text() : "", buses,
                fields, texts(root.get("does not do")), texts(root.get("cautions")), all);
    }

    private Step step(String name, Place place, YamlMap body) {
        body.allow("stage", "on", "do", "see", "caution", "cautions", "window", "judge", "calibrate", "note");
        YamlValue stage = body.need("stage", "stage: ignition on");
        if (!Stage.words().contains(stage.text())) throw stage.unknown("stage", Stage.words());
        List<String> cautions = new ArrayList<>(texts(body.get("caution")));
        cautions.addAll(texts(body.get("cautions")));
        PlanBus bus = on(body);
        CriterionReader criteria = new CriterionReader(bus.layout());
        List<Criterion> judges = new ArrayList<>();
        if (body.has("judge")) {
            YamlValue judge = body.get("judge");
            for (YamlValue entry : judge.oneOrMore()) judges.add(criteria.read(entry.map()));
        }
        Calibration calibration = body.has("calibrate")
                ? new CalibrationReader(criteria).read(body.get("calibrate").map()) : null;
        if (judges.isEmpty() && calibration == null) {
            throw new InputFault(place, "step '" + name + "' says nothing about how it is judged",
                    "add 'judge:' or 'calibrate:'");
        }
        if (judges.stream().filter(c -> c instanceof Criterion.Person).count() > 1) {
            throw body.fault("judge", "asks a person twice in one step", "make two steps of it");
        }
        String todo = body.need("do", "do: Turn the key to on.").text();
        return new Step(name, bus, Stage.of(stage.text()), todo, body.has("see") ? body.get("see").text() : "", cautions,
                window(body.get("window")), judges, calibration, Canonical.digest(body));
    }

    private static Window window(YamlValue value) {
        if (value == null) return Window.ALL;
        YamlMap map = value.map().allow("from", "until", "for", "settle", "marks good to");
        String fromMark = null;
        double from = 0;
        String untilMark = null;
        double until = Double.NaN;
        if (map.has("from")) {
            fromMark = mark(map.get("from"));
            if (fromMark == null) from = map.get("from").quantity(Quantity.TIME, 0, LONGEST_SECONDS);
        }
        if (map.has("until")) {
            untilMark = mark(map.get("until"));
            if (untilMark == null) until = map.get("until").quantity(Quantity.TIME, 0, LONGEST_SECONDS);
            if (fromMark == null && untilMark == null && until <= from) {
                throw map.fault("until", "ends before it begins", "write the later time behind 'until'");
            }
        }
        double span = map.has("for") ? map.get("for").quantity(Quantity.TIME, 1e-3, LONGEST_SECONDS) : Double.NaN;
        double settle = map.has("settle") ? map.get("settle").quantity(Quantity.TIME, 0, LONGEST_SECONDS) : 0;
        if (settle >= span) throw map.fault("settle", "leaves nothing of the window", "make it shorter");
        double good = map.has("marks good to")
                ? map.get("marks good to").quantity(Quantity.TIME, 0, 60) : Window.BY_HAND_SECONDS;
        return new Window(fromMark, from, settle, untilMark, until, span, good);
    }

    /** The label of {@code mark ignition on}, or null where it is no mark. */
    private static String mark(YamlValue value) {
        String text = value.text().strip();
        if (!text.startsWith("mark ")) return null;
        String label = text.substring(5).strip();
        if (label.isEmpty()) throw value.fault("names no mark", "write it like 'mark ignition on'");
        return label;
    }

    private static List<String> texts(YamlValue value) {
        List<String> all = new ArrayList<>();
        if (value == null || value.isEmpty()) return all;
        for (YamlValue entry : value.oneOrMore()) all.add(entry.text());
        return all;
    }
}
