package buswitness.plan;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Every example of captures/plan-format.md, and the plan of the workshop, mean what the page says. */
class DocumentedPlansTest {
    private static final Path PAGE = Path.of("captures/plan-format.md");

    @TempDir
    Path folder;

    private List<String> examples(String kind) throws IOException {
        List<String> found = new ArrayList<>();
        String[] parts = Files.readString(PAGE).split("(?m)^```");
        for (int i = 1; i < parts.length; i += 2) {
            int end = parts[i].indexOf('\n');
            if (parts[i].substring(0, end).equals(kind)) found.add(parts[i].substring(end + 1));
        }
        return found;
    }

    private Plan load(String text) throws IOException {
        Files.copy(Path.of("captures/tern.layout.yaml"), folder.resolve("tern.layout.yaml"),
                java.nio.file.StandardCopyOption.REPLACE_EXISTING);
        return Plans.load(Files.writeString(folder.resolve("example.plan.yaml"), text));
    }

    @Test
    void everyExampleLoads() throws IOException {
        List<String> all = examples("yaml");
        assertEquals(3, all.size());
        assertEquals(2, load(all.get(0)).steps().size());
        assertEquals(21, load(all.get(1)).steps().get(0).criteria().size(), "every way to judge");
        Step table = load(all.get(2)).steps().get(0);
        String csv = examples("").stream().filter(t -> t.startsWith("way,")).findFirst().orElseThrow();
        List<Judgement> read = new CalibrationJudge(table.calibration()).read(
                ReadingsFile.parse(csv.getBytes(StandardCharsets.UTF_8), "page", table.calibration()));
        assertTrue(read.stream().allMatch(j -> j.outcome() == Outcome.PASS), read.toString());
    }

    @Test
    void thePageNamesEveryWordOfTheReader() throws IOException {
        String page = Files.readString(PAGE);
        for (Stage s : Stage.values()) assertTrue(page.contains("`" + s.text() + "`"), s.text());
        for (String word : List.of("longest pause", "delay at most", "pulses per turn", "marks good to", "hysteresis at most",
                "reads to", "ways", "inverted", "lit for", "does not do", "bus line", "buswitness-evidence/1")) {
            assertTrue(page.contains(word), word);
        }
    }

    @Test
    void theWorkshopsPlanLoads() {
        Plan plan = Plans.load(Path.of("captures/workshop/tern.plan.yaml"));
        assertEquals(9, plan.steps().size());
        assertEquals("tern.evidence.jsonl", Plans.evidenceBeside(Path.of("captures/workshop/tern.plan.yaml")).getFileName().toString());
    }
}
