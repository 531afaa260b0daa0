package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A mark set and a note written while recording appear on every timeline that is made of the recording. */
class MarksTest {
    @TempDir
    Path folder;

    private Path marked;

    /** A demo recording with a note in its header and a mark at 3 s. */
    @BeforeEach
    void mark() throws IOException {
        Path plain = folder.resolve("plain.bwl");
        assertEquals(0, CommandRun.of("convert", "captures/head-on.bwl.gz", plain.toString()).status());
        List<String> lines = new ArrayList<>(Files.readAllLines(plain));
        lines.add(lines.indexOf("changes:"), "note: heater on full");
        int at = lines.indexOf("changes:") + 1;
        while (Double.parseDouble(lines.get(at).split(" ")[0]) < 3e6) at++;
        lines.add(at, "3000000 mark wiggled plug C <b>");
        marked = Files.write(folder.resolve("marked.bwl"), lines);
    }

    @Test
    void onTheScreenTheListingTheJsonAndThePage() throws IOException {
        Path json = folder.resolve("f.json");
        Path html = folder.resolve("f.html");
        CommandRun proof = CommandRun.of("prove", marked.toString(), "--no-layout", "--json", json.toString(), "--html",
                html.toString());
        assertTrue(proof.out().contains("Marked at 3.000 s: wiggled plug C <b>"), proof.out());
        assertTrue(proof.out().contains("Note: heater on full"), proof.out());
        assertTrue(Files.readString(json).replaceAll("\\s", "").contains(
                "\"marks\":[{\"time_s\":3,\"label\":\"wiggledplugC<b>\"}]"), "JSON");
        String page = Files.readString(html);
        assertTrue(page.contains("\"marks\":[[3000000,\"wiggled plug C \\u003cb>\"]]"), "facts of the drawings");
        assertTrue(page.contains("heater on full") && !page.contains("plug C <b>"), "listed, and escaped");
        List<String> listing = CommandRun.of("decode", marked.toString()).out().lines().toList();
        int at = listing.indexOf("-- Marked at 3.000 s: wiggled plug C <b>");
        assertTrue(at > 0, "the listing holds the mark");
        assertTrue(time(listing.get(at - 1)) < 3 && time(listing.get(at + 1)) >= 3, "at its place");
    }

    private static double time(String row) {
        return Double.parseDouble(row.strip().split(" ")[0]);
    }
}
