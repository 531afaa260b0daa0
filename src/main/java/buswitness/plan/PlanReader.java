package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.DocumentKind;
import buswitness.schema.Layout;
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
    private final CriterionReader criteria;
    private final Layout layout;
    private final Path layoutFile;
    private final String layoutDigest;
    private final YamlMap root;

    private PlanReader(Path file) {
        this.file = file;
        root = DocumentKind.PLAN.need(YamlDocument.load(file).root()).allow("plan", "harness", "layout", "bus line", "unit", "does not do",
                "cautions", "steps", "note");
        YamlValue named = root.need("layout", "layout: van.layout.yaml");
        layoutFile = file.resolveSibling(named.text());
        if (!Files.exists(layoutFile)) {
            throw named.fault("there is no such layout, looked for at " + layoutFile, "name it as seen from the plan");
        }
        layout = Layouts.load(layoutFile);
        layoutDigest = Canonical.digest(YamlDocument.load(layoutFile).root());
        criteria = new CriterionReader(layout);
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
        return new Plan(file.toString(), title, root.has("harness") ? root.get("harness").text() : "", layoutFile,
                layout, layoutDigest, root.has("bus line") ? root.get("bus line").text() : null, fields,
                texts(root.get("does not do")), texts(root.get("cautions")), all);
    }

    private Step step(String name, Place place, YamlMap body) {
        body.allow("stage", "do", "see", "caution", "cautions", "window", "judge", "calibrate", "note");
        YamlValue stage = body.need("stage", "stage: ignition on");
        if (!Stage.words().contains(stage.text())) throw stage.unknown("stage", Stage.words());
        List<String> cautions = new ArrayList<>(texts(body.get("caution")));
        cautions.addAll(texts(body.get("cautions")));
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
        return new Step(name, Stage.of(stage.text()), todo, body.has("see") ? body.get("see").text() : "", cautions,
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
