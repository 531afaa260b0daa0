package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.compare.Comparison;
import buswitness.compare.Comparisons;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.report.compare.CompareReports;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.Locale;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What changed? */
@Command(name = "compare", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Say what changed between two recordings of a bus, or between two layouts.",
        description = {"",
            "Compares messages, who sends them, periods, clocks, values, damaged frames, load and what gauges and lamps "
                + "did. Only what chance does not explain counts as a difference, all comparisons taken together. Values, "
                + "events and load that another drive changes as well stand apart and alone decide nothing. Two YAML files are "
                + "compared as layouts, word by word.",
            ""},
        footer = {"",
            "Exit status: 0 no difference, 1 a difference, 2 could not do it, 3 could not decide.",
            "",
            "Examples:",
            "  ./buswitness compare captures/healthy.bwl.gz captures/two-translators.bwl.gz",
            "  ./buswitness compare before.vcd after.vcd --layout van.layout.yaml --html changes.html",
            "  ./buswitness compare old.layout.yaml new.layout.yaml"})
final class CompareCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Parameters(index = "0", paramLabel = "BEFORE", description = "A recording, or a layout (YAML).")
    private Path before;

    @Parameters(index = "1", paramLabel = "AFTER", description = "The same bus later, or the other layout.")
    private Path after;

    @Option(names = "--layout", paramLabel = "FILE", description = "Layout of both recordings. Without it the one beside each "
        + "is used.")
    private Path layout;

    @Option(names = "--no-layout", description = "Use no layout.")
    private boolean withoutLayout;

    @Option(names = "--driven-alike", description = "Both were driven or fed alike: values, events and load that differ "
        + "count as differences of the bus.")
    private boolean alike;

    @Mixin
    private ReadingOptions reading;

    @Option(names = "--html", paramLabel = "FILE", description = "Write a page to look at and mail.")
    private String html;

    @Option(names = "--json", paramLabel = "FILE", description = "Write the comparison for other programs.")
    private String json;

    CompareCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        boolean layouts = isYaml(before);
        if (layouts != isYaml(after)) {
            throw new InputFault(Place.file("buswitness compare"), "one of the two is a layout and the other a recording",
                    "give two recordings or two layouts");
        }
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            for (Path input : new Path[] {before, after, layout}) files.protect(input);
            reading.protectIn(files);
            files.claim("--html", html);
            files.claim("--json", json);
            Comparison comparison = layouts ? layouts() : recordings(files);
            files.write(html, page -> CompareReports.writePage(comparison, page));
            files.write(json, text -> CompareReports.writeJson(comparison, text));
            files.commit();
            boolean toOut = !files.usesStandardOutput();
            PrintStream screen = toOut ? terminal.out() : terminal.err();
            CompareReports.writeScreen(comparison, screen, new ScreenStyle(terminal.columns(), terminal.colourOn(toOut), true));
            Hints.written(screen, html, json);
            screen.flush();
            return comparison.differs() ? ExitStatus.FOUND : comparison.undecided() ? ExitStatus.UNDECIDED
                    : ExitStatus.NOTHING_FOUND;
        }
    }

    private Comparison layouts() {
        Layout a = Layouts.load(before);
        return Comparisons.layouts(a, Layouts.load(after));
    }

    private Comparison recordings(OutputFiles files) {
        Progress progress = TerminalProgress.on(terminal);
        try {
            Findings a = Analysis.prove(options(before), progress);
            Findings b = Analysis.prove(options(after), progress);
            for (Findings f : new Findings[] {a, b}) {
                if (f.layout() != null) files.protect(Path.of(f.layout().source()));
            }
            return Comparisons.recordings(a, b, alike);
        } finally {
            TerminalProgress.end(progress);
        }
    }

    private AnalysisOptions options(Path file) {
        return reading.of(file, withoutLayout ? null : layout, !withoutLayout && layout == null);
    }

    private static boolean isYaml(Path file) {
        String name = file.toString().toLowerCase(Locale.ROOT);
        return name.endsWith(".yaml") || name.endsWith(".yml");
    }
}
