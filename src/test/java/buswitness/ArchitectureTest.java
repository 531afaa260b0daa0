package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.tngtech.archunit.core.domain.JavaAccess;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.domain.JavaModifier;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;

/** The arrows of DEVELOPERS.md, the package pages and the sizes of files, held by tests. */
class ArchitectureTest {
    private static final Path MAIN = Path.of("src/main/java/buswitness");
    private static final int MOST_LINES = 400;
    private static final int MOST_COLUMNS = 140;

    /** What each package may use of ours. The flow is from left to right; an arrow back is a design fault. */
    private static final Map<String, Set<String>> MAY_USE = Map.ofEntries(
            Map.entry("problem", Set.of()),
            Map.entry("stats", Set.of()),
            Map.entry("schema", Set.of("problem")),
            Map.entry("capture", Set.of("problem", "schema")),
            Map.entry("bits", Set.of("capture", "problem")),
            Map.entry("frames", Set.of("bits", "capture", "schema", "problem")),
            Map.entry("senders", Set.of("frames", "schema", "stats", "problem")),
            Map.entry("clashes", Set.of("frames", "senders", "schema", "stats", "problem")),
            Map.entry("instruments", Set.of("frames", "senders", "clashes", "schema", "stats", "problem")),
            Map.entry("simulate", Set.of("schema", "capture", "frames", "problem", "stats")),
            Map.entry("", Set.of("problem", "stats", "schema", "capture", "bits", "frames", "senders", "clashes",
                    "instruments")),
            Map.entry("map", Set.of("", "capture", "frames", "senders", "clashes", "instruments", "schema", "stats",
                    "problem")),
            Map.entry("calibrate", Set.of("", "map", "simulate", "schema", "capture", "frames", "senders", "clashes", "stats",
                    "problem")),
            Map.entry("live", Set.of("", "capture", "bits", "frames", "schema", "senders", "clashes", "instruments",
                    "problem")),
            Map.entry("predict", Set.of("simulate", "schema", "capture", "frames", "clashes", "instruments", "stats",
                    "problem")),
            Map.entry("plan", Set.of("", "capture", "frames", "senders", "clashes", "instruments", "schema", "stats",
                    "problem")),
            Map.entry("compare", Set.of("", "capture", "frames", "senders", "clashes", "instruments", "schema", "stats",
                    "problem")),
            Map.entry("report", Set.of()),
            Map.entry("report.parts", Set.of("", "capture", "frames", "schema", "senders", "clashes", "instruments", "problem")),
            Map.entry("report.finding", Set.of("report.parts", "", "capture", "frames", "schema", "senders", "clashes",
                    "instruments", "problem")),
            Map.entry("report.map", Set.of("report.parts", "", "map", "capture", "frames", "schema", "problem")),
            Map.entry("report.predict", Set.of("report.parts", "", "predict", "clashes", "frames", "schema", "instruments",
                    "problem")),
            Map.entry("report.check", Set.of("report.parts", "", "plan", "schema", "problem")),
            Map.entry("report.compare", Set.of("report.parts", "", "compare", "problem")),
            Map.entry("report.live", Set.of("report.parts", "", "live", "frames", "clashes", "instruments", "problem")),
            Map.entry("probe", Set.of("capture", "problem")),
            Map.entry("cli", Set.of("probe", "live", "map", "predict", "plan", "compare", "", "simulate", "calibrate",
                    "report.parts", "report.finding", "report.map", "report.predict", "report.check", "report.compare",
                    "report.live", "capture", "frames", "schema", "clashes", "problem")));

    private static JavaClasses scanned;

    @BeforeAll
    static void scan() {
        scanned = new ClassFileImporter().withImportOption(ImportOption.Predefined.DO_NOT_INCLUDE_TESTS)
                .withImportOption(location -> !location.contains("/jte/")).importPackages("buswitness");
    }

    @Test
    void scanReachedTheWholeTree() throws IOException {
        Set<String> classes = new TreeSet<>();
        scanned.stream().filter(c -> !c.isNestedClass()).forEach(c -> classes.add(c.getFullName()));
        for (Path source : sources()) {
            String name = "buswitness." + MAIN.relativize(source).toString().replace('/', '.').replaceFirst("\\.java$", "");
            if (name.endsWith("package-info")) continue;
            assertTrue(classes.contains(name), name + " is a source file but was not scanned; run mvn compile");
        }
        assertTrue(classes.size() >= 60, "only " + classes.size() + " classes were scanned");
    }

    @Test
    void packagesUseOnlyWhatStandsBeforeThem() {
        Set<String> wrong = new TreeSet<>();
        for (JavaClass user : scanned) {
            String from = stage(user);
            Set<String> allowed = MAY_USE.get(from);
            assertTrue(allowed != null, "package of " + user.getFullName() + " is not in the table");
            user.getDirectDependenciesFromSelf().forEach(d -> {
                JavaClass used = d.getTargetClass();
                if (!used.getPackageName().startsWith("buswitness")) return;
                String to = stage(used);
                if (!to.equals(from) && !allowed.contains(to)) wrong.add(user.getFullName() + " -> " + used.getFullName());
            });
        }
        assertEquals(Set.of(), wrong);
    }

    /** The rule above sees a wrong arrow when there is one. */
    @Test
    void aWrongArrowWouldBeSeen() {
        JavaClass cli = scanned.get("buswitness.cli.Main");
        assertFalse(MAY_USE.get("problem").contains(stage(cli)));
        assertEquals("", stage(scanned.get("buswitness.Findings")));
    }

    @Test
    void onlyMainEndsTheProcess() {
        assertEquals(Set.of("buswitness.cli.Main"), callers("java.lang.System", "exit"));
        assertEquals(Set.of(), callers("java.lang.Runtime", "halt"));
        assertEquals(Set.of(), callers("java.lang.Runtime", "exit"));
    }

    @Test
    void onlyTheCommandLineTouchesTheStandardStreams() {
        Set<String> wrong = new TreeSet<>();
        for (JavaClass user : scanned) {
            for (JavaAccess<?> access : user.getFieldAccessesFromSelf()) {
                String name = access.getTargetOwner().getFullName() + "." + access.getTarget().getName();
                if (name.equals("java.lang.System.out") || name.equals("java.lang.System.err")) wrong.add(user.getFullName());
            }
        }
        wrong.removeIf(name -> name.startsWith("buswitness.cli."));
        assertEquals(Set.of(), wrong);
        assertEquals(Set.of(), callers("java.lang.Throwable", "printStackTrace", "buswitness.cli.CommandLines"));
    }

    @Test
    void noMutableGlobalState() {
        Set<String> wrong = new TreeSet<>();
        for (JavaClass owner : scanned) {
            owner.getFields().stream()
                    .filter(f -> f.getModifiers().contains(JavaModifier.STATIC)
                            && !f.getModifiers().contains(JavaModifier.FINAL)
                            && !f.getModifiers().contains(JavaModifier.SYNTHETIC))
                    .forEach(f -> wrong.add(f.getFullName()));
        }
        assertEquals(Set.of(), wrong);
    }

    @Test
    void everyPackageHasItsPage() throws IOException {
        List<String> missing = new ArrayList<>();
        try (Stream<Path> folders = Files.walk(MAIN).filter(Files::isDirectory)) {
            for (Path folder : folders.toList()) {
                Path page = folder.resolve("package-info.java");
                if (!Files.exists(page) || !Files.readString(page).contains("/**")) missing.add(folder.toString());
            }
        }
        assertEquals(List.of(), missing);
    }

    @Test
    void filesStaySmall() throws IOException {
        Map<String, Long> tooLong = new TreeMap<>();
        List<String> tooWide = new ArrayList<>();
        for (Path source : sources()) {
            List<String> lines = Files.readAllLines(source);
            if (lines.size() >= MOST_LINES) tooLong.put(source.toString(), (long) lines.size());
            for (int i = 0; i < lines.size(); i++) {
                if (lines.get(i).length() > MOST_COLUMNS) tooWide.add(source + ":" + (i + 1));
                if (lines.get(i).indexOf('\t') >= 0) tooWide.add(source + ":" + (i + 1) + " (tab)");
            }
        }
        assertEquals(Map.of(), tooLong);
        assertEquals(List.of(), tooWide);
    }

    private static Set<String> callers(String owner, String method, String... except) {
        Set<String> found = new TreeSet<>();
        for (JavaClass user : scanned) {
            user.getMethodCallsFromSelf().stream()
                    .filter(c -> c.getTarget().getName().equals(method) && c.getTargetOwner().isAssignableTo(owner))
                    .forEach(c -> found.add(user.getFullName()));
        }
        found.removeAll(Set.of(except));
        return found;
    }

    private static List<Path> sources() throws IOException {
        try (Stream<Path> files = Files.walk(MAIN)) {
            return files.filter(p -> p.toString().endsWith(".java")).sorted().toList();
        }
    }

    /** The package below ours, a part of {@code report} by both its names; empty for the root. */
    private static String stage(JavaClass javaClass) {
        String name = javaClass.getPackageName();
        return name.equals("buswitness") ? "" : name.substring("buswitness.".length());
    }
}
