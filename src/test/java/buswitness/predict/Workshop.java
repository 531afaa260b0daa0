package buswitness.predict;

import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The worked example and small buses for the tests of this package. */
final class Workshop {
    static final Path FOLDER = Path.of("captures/workshop");
    static final List<String> AS_DELIVERED = List.of("dashboard", "engine-unit", "gauge-translator");
    static final List<String> SET_UP = List.of("dashboard", "engine-unit-set-up", "gauge-translator", "oil-lamp-wire");
    static final PredictOptions SHORT = new PredictOptions(6, 20, 1);

    private Workshop() {}

    static List<Layout> layouts(List<String> names) {
        List<Layout> out = new ArrayList<>();
        for (String name : names) out.add(Layouts.load(FOLDER.resolve(name + ".layout.yaml")));
        return out;
    }

    static Merging.Merged merged(String... texts) {
        List<Layout> out = new ArrayList<>();
        for (int i = 0; i < texts.length; i++) out.add(Layouts.parse(texts[i], (char) ('a' + i) + ".yaml"));
        return Merging.merge(out);
    }
}
