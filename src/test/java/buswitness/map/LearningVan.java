package buswitness.map;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.problem.Progress;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** The worked example of captures/learning, read once. */
final class LearningVan {
    static final Path FOLDER = Path.of("captures/learning");
    private static BusMap map;

    private LearningVan() {}

    static synchronized BusMap map() {
        if (map != null) return map;
        AnalysisReading reading = Analysis.read(AnalysisOptions.of(FOLDER.resolve("learning.bwl.gz")), Progress.SILENT);
        Findings findings = Analysis.judge(reading, Progress.SILENT);
        List<Deed> deeds = new ArrayList<>(Deeds.ofMarks(reading.marks()));
        deeds.addAll(Deeds.load(FOLDER.resolve("learning.done.yaml")));
        map = Maps.draw(List.of(findings), List.of(deeds), null, null);
        return map;
    }
}
