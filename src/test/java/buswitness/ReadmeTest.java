package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.cli.Main;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.junit.jupiter.api.io.TempDir;

/**
 * Every example in the documents is tried: its words must be understood, and where its inputs lie in the project it must
 * end with the status the document states ({@code # status 1: ...}; none means 0).
 */
class ReadmeTest {
    private static final List<Path> DOCUMENTS = List.of(Path.of("README.md"), Path.of("captures/README.md"));
    private static final Pattern STATUS = Pattern.compile("#\\s*status ([0-3])\\b.*$");
    private static final Pattern WORD = Pattern.compile("(?:\"[^\"]*\"|'[^']*'|[^\\s\"'])+");
    private static final List<String> OUTPUTS = List.of("--out", "--truth", "--html", "--json", "--frames", "--layout-out",
            "--markdown");
    /** {@code check} keeps its evidence beside the plan: its examples run one after another on a copy of this folder. */
    private static final String WORKSHOP = "captures/workshop/";

    @TempDir
    Path folder;

    private record Example(String line, List<String> words, int status) {}

    @TestFactory
    Stream<DynamicTest> everyExampleDoesWhatItSays() throws IOException {
        List<Example> examples = new ArrayList<>();
        for (Path document : DOCUMENTS) examples.addAll(examples(document));
        copyTheWorkshop();
        assertTrue(examples.size() >= 8, "only " + examples.size() + " examples were found");
        assertTrue(examples.stream().anyMatch(e -> e.status == 1), "no example finds a clash");
        assertTrue(examples.stream().anyMatch(ReadmeTest::inputsExist), "no example can be run");
        return examples.stream().map(e -> DynamicTest.dynamicTest(e.line, () -> tryOut(e)));
    }

    private void copyTheWorkshop() throws IOException {
        Path copy = Files.createDirectories(folder.resolve("workshop"));
        try (Stream<Path> files = Files.list(Path.of(WORKSHOP))) {
            // What somebody wrote there while trying the examples stays out.
            for (Path file : files.filter(f -> Files.isRegularFile(f) && !f.toString().contains("tern.evidence")).toList()) {
                Files.copy(file, copy.resolve(file.getFileName()));
            }
        }
    }

    private static boolean isOutput(List<String> words, int at) {
        String option = words.get(at - 1);
        return OUTPUTS.contains(option) || option.equals("--recording") && words.get(0).equals("calibrate");
    }

    private void tryOut(Example example) {
        boolean runs = inputsExist(example);
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        PrintStream out = new PrintStream(PrintStream.nullOutputStream());
        int status = Main.run(elsewhere(example.words).toArray(String[]::new), out,
                new PrintStream(err, true, StandardCharsets.UTF_8), Map.of());
        String says = err.toString(StandardCharsets.UTF_8);
        if (runs) {
            assertEquals(example.status, status, says);
        } else {
            // An invented file name: the words are understood, and only the file is missing.
            assertEquals(2, status, says);
            assertTrue(says.contains("there is no such file") || says.contains("there is no such port"), says);
        }
    }

    /** Outputs go to a scratch folder; their names are kept, since their endings matter. */
    private List<String> elsewhere(List<String> words) {
        List<String> moved = new ArrayList<>(words);
        for (int i = 1; i < moved.size(); i++) {
            if (isOutput(words, i) && !moved.get(i).equals("-")) {
                moved.set(i, folder.resolve(Path.of(moved.get(i)).getFileName()).toString());
            } else if (moved.get(0).equals("check") && moved.get(i).startsWith(WORKSHOP)) {
                moved.set(i, folder.resolve("workshop").resolve(moved.get(i).substring(WORKSHOP.length())).toString());
            }
            // The words are what is tried here; an hour of random buses is for whoever wants the figures.
            if (moved.get(i - 1).equals("--buses")) moved.set(i, "2");
        }
        boolean draws = moved.get(0).equals("calibrate") && !moved.contains("--real");
        if (draws) moved.addAll(List.of("--most-frames", "300"));
        return moved;
    }

    private static boolean inputsExist(Example example) {
        List<String> words = example.words;
        for (int i = 1; i < words.size(); i++) {
            boolean output = isOutput(words, i);
            boolean file = words.get(i).matches("[\\w./-]+\\.(vcd|csv|yaml|gz|zip|bwl|bwr)");
            if (words.get(i).startsWith("/dev/tty")) return false;
            if (file && !output && !Files.exists(Path.of(words.get(i)))) return false;
        }
        return true;
    }

    private static List<Example> examples(Path document) throws IOException {
        List<Example> found = new ArrayList<>();
        for (String line : Files.readAllLines(document)) {
            Matcher command = Pattern.compile("(?:^|[(`])\\s*\\./buswitness ([^`)]*)").matcher(line.strip());
            if (!command.find()) continue;
            String rest = command.group(1);
            if (rest.startsWith("COMMAND")) continue;
            Matcher status = STATUS.matcher(rest);
            int expected = status.find() ? Integer.parseInt(status.group(1)) : 0;
            String words = rest.replaceFirst("\\s+#.*$", "").replaceFirst("\\s[|>].*$", "");
            found.add(new Example(line.strip(), split(words), expected));
        }
        return found;
    }

    private static List<String> split(String line) {
        List<String> words = new ArrayList<>();
        Matcher word = WORD.matcher(line);
        while (word.find()) {
            words.add(word.group().replaceAll("[\"']", ""));
        }
        return words;
    }

    @Test
    void theTwoDocumentsExistAndStateTheMainCommand() throws IOException {
        for (Path document : DOCUMENTS) assertTrue(Files.exists(document), document + " is missing");
        assertTrue(Files.readString(DOCUMENTS.get(0)).contains("./buswitness prove captures/"));
    }
}
