package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.report.finding.FindingReports;
import buswitness.report.parts.ScreenStyle;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Do two senders clash, on which messages, which gauges and lamps suffer? */
@Command(name = "prove", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Say whether two nodes send the same messages, and what the driver sees of it.",
        description = {"",
            "Reads a recording of the wire and prints the verdict, the evidence, the gauges and lamps that suffer, "
                + "and what to do. FILE may be - for standard output, once; the screen text then goes to standard "
                + "error.",
            ""},
        footer = {"",
            "Exit status: 0 no clash, 1 a clash, 2 could not do it, 3 could not decide.",
            "",
            "Examples:",
            "  ./buswitness prove captures/two-translators.bwl.gz",
            "  ./buswitness prove drive.vcd --layout van.yaml --html drive.html",
            "  ./buswitness prove drive.vcd --json - > drive.json",
            "  ./buswitness prove both.vcd --without \"engine unit\"=a.vcd --without \"gauge translator\"=b.vcd",
            "  ./buswitness prove frames.csv --columns frames.columns.yaml"})
final class ProveCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Mixin
    private RecordingOptions recording;

    @Option(names = "--html", paramLabel = "FILE", description = "Write one self-contained page to look at and mail.")
    private String html;

    @Option(names = "--json", paramLabel = "FILE", description = "Write the findings for other programs.")
    private String json;

    @Option(names = "--frames", paramLabel = "FILE", description = "Write every frame with its sender (CSV).")
    private String frames;

    @Option(names = "--without", paramLabel = "NODE=RECORDING", description = "The same bus with that node unplugged and the "
        + "rest left in place; may be repeated. Tells which sender is which node.")
    private List<String> without = List.of();

    ProveCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            recording.protectIn(files);
            files.claim("--html", html);
            files.claim("--json", json);
            files.claim("--frames", frames);

            Progress progress = TerminalProgress.on(terminal);
            AnalysisReading reading;
            Findings findings;
            try {
                reading = Analysis.read(recording.toAnalysis(), progress);
                files.protect(reading.layout() == null ? null : Path.of(reading.layout().source()));
                findings = Analysis.judge(reading, unplugged(files, progress), progress);
            } finally {
                TerminalProgress.end(progress);
            }

            files.write(html, out -> FindingReports.writeHtml(findings, out));
            files.write(json, out -> FindingReports.writeJson(findings, out));
            files.write(frames, out -> FindingReports.writeFramesCsv(findings, out));
            files.commit();
            show(reading, findings, files);
            return ExitStatus.of(findings.clashes().clash());
        }
    }

    private List<Analysis.Unplugged> unplugged(OutputFiles files, Progress progress) {
        List<Analysis.Unplugged> all = new ArrayList<>();
        Set<String> nodes = new HashSet<>();
        for (String pair : without) {
            int at = pair.indexOf('=');
            if (at < 1 || at == pair.length() - 1) {
                throw new InputFault(Place.file("--without " + pair), "is not NODE=RECORDING",
                        "write for instance --without \"engine unit\"=unplugged.vcd");
            }
            String node = pair.substring(0, at).strip();
            if (node.isEmpty() || !nodes.add(node)) {
                throw new InputFault(Place.file("--without " + pair), node.isEmpty() ? "the node has no name"
                        : "the node '" + node + "' is given twice", "give one recording for each node");
            }
            Path file = Path.of(pair.substring(at + 1));
            files.protect(file);
            all.add(new Analysis.Unplugged(node, Analysis.read(recording.toAnalysis().on(file), progress)));
        }
        return all;
    }

    private void show(AnalysisReading reading, Findings findings, OutputFiles files) {
        boolean toOut = !files.usesStandardOutput();
        PrintStream screen = toOut ? terminal.out() : terminal.err();
        FindingReports.writeScreen(findings, screen, new ScreenStyle(terminal.columns(), terminal.colourOn(toOut), true));
        Hints.layout(screen, reading);
        Hints.written(screen, html, json, frames);
        screen.flush();
    }
}
