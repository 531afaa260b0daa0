package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.map.BusMap;
import buswitness.map.Deed;
import buswitness.map.Deeds;
import buswitness.map.Drift;
import buswitness.map.LayoutText;
import buswitness.map.Maps;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.report.map.MapReports;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.io.IOException;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What is the layout of this bus? */
@Command(name = "map", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Draw up the layout of a bus from recordings: messages, senders, what the payloads hold.",
        description = {"",
            "Finds messages with their schedules, groups them by sender, takes payloads apart without papers, and finds the "
                + "bits that answer to what was done and seen (marks in the recording, or --done). Several recordings of the "
                + "same bus are put together; times and letters refer to the first. FILE may be - for standard output, once.",
            ""},
        footer = {"",
            "Exit status: 0 done; with --against 1 something differs, 3 the recording is too short or too quiet to tell; "
                + "2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness map captures/learning.bwl.gz --layout-out learned.layout.yaml --html bus.html",
            "  ./buswitness map off.vcd on.vcd running.vcd --no-layout --markdown bus.md",
            "  ./buswitness map base.vcd --without \"door unit\"=nodoor.vcd --done deeds.yaml",
            "  ./buswitness map drive.vcd --against van.yaml"})
final class MapCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Parameters(paramLabel = "RECORDING", arity = "1..*", description = "Recordings of the same bus, as for prove.")
    private List<Path> recordings;

    @Option(names = "--layout", paramLabel = "FILE", description = "Names and what else is known already. Without it the "
            + "existing --layout-out file is used, or the one of --against, or one that lies beside the first recording.")
    private Path layout;

    @Option(names = "--no-layout", description = "Use no layout, whatever lies there.")
    private boolean withoutLayout;

    @Option(names = "--without", paramLabel = "NODE=RECORDING", description = "The same bus with that node unplugged and the "
            + "rest left in place; may be repeated. What falls silent depends on it, and is its own where clock or wire agree.")
    private List<String> without = List.of();

    @Option(names = "--done", paramLabel = "FILE", description = "What was done and seen during the first recording: "
            + "sentences in YAML, or a CSV table (captures/done-format.md). Marks in recordings count without it.")
    private Path done;

    @Option(names = "--against", paramLabel = "LAYOUT", description = "Say where this layout and the recordings differ.")
    private Path against;

    @Option(names = "--layout-out", paramLabel = "FILE", description = "Write the layout; a file that exists is brought up to "
            + "date, and names, comments, order and all that is given stay.")
    private String layoutOut;

    @Mixin
    private ReadingOptions reading;

    @Option(names = "--html", paramLabel = "FILE", description = "Write one self-contained page for the workshop wall.")
    private String html;

    @Option(names = "--markdown", paramLabel = "FILE", description = "Write the same as Markdown.")
    private String markdown;

    @Option(names = "--json", paramLabel = "FILE", description = "Write the map for other programs.")
    private String json;

    MapCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            claim(files);
            String old = oldLayout();
            Path names = namesFrom(old);
            Layout paper = against == null ? null : Layouts.load(against);
            List<Deed> told = done == null ? List.of() : Deeds.load(done);
            Progress progress = TerminalProgress.on(terminal);
            BusMap map;
            AnalysisReading first;
            try {
                List<AnalysisReading> readings = new ArrayList<>();
                for (Path recording : recordings) readings.add(Analysis.read(options(recording, names), progress));
                first = readings.get(0);
                files.protect(first.layoutFound() ? Path.of(first.layout().source()) : null);
                map = draw(readings, told, paper, progress);
            } finally {
                TerminalProgress.end(progress);
            }
            write(files, map, old);
            files.commit();
            show(map, first, files);
            return status(map);
        }
    }

    private void claim(OutputFiles files) {
        for (Path recording : recordings) files.protect(recording);
        if (layout != null && !layout.toString().equals(layoutOut)) files.protect(layout);
        files.protect(done);
        files.protect(against);
        reading.protectIn(files);
        files.claim("--layout-out", layoutOut);
        files.claim("--html", html);
        files.claim("--markdown", markdown);
        files.claim("--json", json);
    }

    private static String source(Findings first) {
        return first.layout() == null ? "" : first.layout().source();
    }

    /** Text of the layout by which a bus of the user's own was read, else null. */
    private static String paper(Findings first) {
        if (first.layout() == null || first.layout().format() == null) return null;
        try {
            return Files.readString(Path.of(source(first)), StandardCharsets.UTF_8);
        } catch (IOException e) {
            throw new InputFault(Place.file(source(first)), "cannot be read any more", "check that the file is still there");
        }
    }

    /** Text of the layout that is brought up to date, null where a new one is written. */
    private String oldLayout() {
        if (layoutOut == null || layoutOut.equals("-") || !Files.isRegularFile(Path.of(layoutOut))) return null;
        try {
            String text = Files.readString(Path.of(layoutOut), StandardCharsets.UTF_8);
            Layouts.parse(text, layoutOut);
            return text;
        } catch (IOException e) {
            throw new InputFault(Place.file(layoutOut), "cannot be read as a layout", "name another file, or check this one");
        }
    }

    private Path namesFrom(String old) {
        if (withoutLayout) return null;
        if (layout != null) return layout;
        if (old != null) return Path.of(layoutOut);
        return against;
    }

    private AnalysisOptions options(Path recording, Path names) {
        return reading.of(recording, names, !withoutLayout && names == null);
    }

    private BusMap draw(List<AnalysisReading> readings, List<Deed> told, Layout paper, Progress progress) {
        List<Findings> findings = new ArrayList<>();
        List<List<Deed>> deeds = new ArrayList<>();
        for (int r = 0; r < readings.size(); r++) {
            AnalysisReading reading = readings.get(r);
            findings.add(Analysis.judge(reading, r == 0 ? unplugged(readings.get(0), progress) : List.of(), progress));
            List<Deed> here = new ArrayList<>(Deeds.ofMarks(reading.marks()));
            if (r == 0) here.addAll(told);
            deeds.add(here);
        }
        progress.at("drawing the map", 0, -1);
        return Maps.draw(findings, deeds, readings.get(0).layout(), paper);
    }

    private List<Analysis.Unplugged> unplugged(AnalysisReading base, Progress progress) {
        List<Analysis.Unplugged> all = new ArrayList<>();
        Set<String> nodes = new HashSet<>();
        for (String pair : without) {
            int at = pair.indexOf('=');
            String node = at < 1 ? "" : pair.substring(0, at).strip();
            if (node.isEmpty() || at == pair.length() - 1) {
                throw new InputFault(Place.file("--without " + pair), "is not NODE=RECORDING",
                        "write for instance --without \"door unit\"=unplugged.vcd");
            }
            if (!nodes.add(node)) {
                throw new InputFault(Place.file("--without " + pair), "the node '" + node + "' is given twice",
                        "give one recording for each node");
            }
            Path names = base.layout() == null ? null : Path.of(base.layout().source());
            all.add(new Analysis.Unplugged(node, Analysis.read(options(Path.of(pair.substring(at + 1)), names), progress)));
        }
        return all;
    }

    private void write(OutputFiles files, BusMap map, String old) {
        if (layoutOut != null) {
            String text = old == null ? LayoutText.fresh(map, paper(map.first()), source(map.first()))
                    : LayoutText.renewed(map, old, layoutOut);
            files.write(layoutOut, out -> out.write(text.getBytes(StandardCharsets.UTF_8)));
        }
        files.write(html, out -> MapReports.writeHtml(map, out));
        files.write(markdown, out -> MapReports.writeMarkdown(map, out));
        files.write(json, out -> MapReports.writeJson(map, out));
    }

    private void show(BusMap map, AnalysisReading first, OutputFiles files) {
        boolean toOut = !files.usesStandardOutput();
        PrintStream screen = toOut ? terminal.out() : terminal.err();
        MapReports.writeScreen(map, screen, new ScreenStyle(terminal.columns(), terminal.colourOn(toOut), true));
        Hints.layout(screen, first);
        Hints.written(screen, layoutOut, html, markdown, json);
        screen.flush();
    }

    private static int status(BusMap map) {
        if (map.drift() == null || map.drift().isEmpty()) return ExitStatus.NOTHING_FOUND;
        return map.drift().stream().allMatch(Drift::open) ? ExitStatus.UNDECIDED : ExitStatus.FOUND;
    }
}
