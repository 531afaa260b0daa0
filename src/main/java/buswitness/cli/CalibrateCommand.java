package buswitness.cli;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.calibrate.Calibration;
import buswitness.calibrate.CalibrationPlan;
import buswitness.calibrate.CleanTraffic;
import buswitness.calibrate.MapScores;
import buswitness.calibrate.ReferenceCalibration;
import buswitness.calibrate.SlowBuses;
import buswitness.capture.ReadOptions;
import buswitness.capture.RecordingWriter;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.simulate.TruthSink;
import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;

/** Measures the product's own error rates. */
@Command(name = "calibrate", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Measure how often prove is right, on random buses with known truth.",
        description = {"",
            "Draws buses from seeds, half of them with one sender for each message and innocent habits that look like"
                    + " a "
                + "second one, half with a real second sender; simulates, decodes and judges each as prove does, and "
                + "counts. Writes tables (buses.csv, rates.csv, error-rates.md) and pictures of them (SVG) into a"
                + " folder. "
                + "The same seed gives the same tables, whatever the number of threads.",
            ""},
        footer = {"",
            "Exit status: 0 nobody was accused wrongly, 1 somebody was, 2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness calibrate --buses 1000 --out rates",
            "  ./buswitness calibrate --without-node --buses 150 --out rates",
            "  ./buswitness calibrate --slow --buses 100 --out rates",
            "  ./buswitness calibrate --map 200 --seed 2",
            "  ./buswitness calibrate --only 1000042 --recording bus.bwl.gz",
            "  ./buswitness calibrate --real clean.csv --columns captures/one-car.columns.yaml"})
final class CalibrateCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Option(names = "--buses", paramLabel = "NUMBER", defaultValue = "1000",
            description = "Buses of each kind (${DEFAULT-VALUE}).")
    private int buses;

    @Option(names = "--seed", paramLabel = "NUMBER", defaultValue = "1",
            description = "Another seed gives other buses (${DEFAULT-VALUE}).")
    private long seed;

    @Option(names = "--out", paramLabel = "FOLDER", description = "Where the tables go.")
    private Path out;

    @Option(names = "--threads", paramLabel = "NUMBER", defaultValue = "1",
            description = "Buses judged side by side (${DEFAULT-VALUE}).")
    private int threads;

    @Option(names = "--most-frames", paramLabel = "NUMBER", defaultValue = "20000",
            description = "A recording that would hold more is made shorter, though never under 5 s"
                    + " (${DEFAULT-VALUE}).")
    private int mostFrames;

    @Option(names = "--stop-after", paramLabel = "MINUTES",
            description = "Begin no bus after that; the tables say how many were run.")
    private Double minutes;

    @Option(names = "--without-node", description = "Measure recordings with a node unplugged instead: right ones and"
            + " ones"
            + " that are not what they are said to be; writes without.md.")
    private boolean withoutNode;

    @Option(names = "--only", paramLabel = "SEED", description = "Draw and judge the bus of one seed and tell all"
            + " about "
            + "it; even seeds have one sender for each message, odd ones a second.")
    private Long only;

    @Option(names = "--recording", paramLabel = "FILE", description = "With --only: write its recording, for prove.")
    private String recording;

    @Option(names = "--real", paramLabel = "FILE", description = "Count false accusations on windows of a recording"
            + " known "
            + "to be clean instead; a folder stands for clean.zip in it.")
    private Path real;

    @Option(names = "--columns", paramLabel = "FILE", description = "With --real: what the columns of a frame table"
            + " hold.")
    private Path columns;

    @Option(names = "--map", paramLabel = "NUMBER", description = "Score map instead, on so many random buses of --seed: "
            + "senders, schedules, bounds and kinds. Writes map-scores.md into --out, else to the screen.")
    private Integer map;

    @Option(names = "--slow", description = "Buses other than CAN instead: --buses with one sender a message and as many with"
            + " a second one, of each kind; writes slow-buses.md and slow-buses.csv.")
    private boolean slow;

    @Option(names = "--coding", paramLabel = "CODING", split = ",", description = "With --slow: which buses, such as"
            + " lin,j1850-vpw; all that are built in where left out.")
    private List<String> codings;

    @Option(names = "--layout", paramLabel = "FILE", description = "With --slow: a layout that describes a bus of its own,"
            + " to be tried as well; may be repeated.")
    private List<Path> layouts;

    CalibrateCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        if (map != null) return map();
        if (real != null) return real();
        if (only != null) return only();
        if (recording != null) throw usage("--recording goes with --only");
        if (!slow && (codings != null || layouts != null)) throw usage("--coding and --layout go with --slow");
        if (out == null) throw usage("nothing says where the tables go; name a folder with --out");
        CalibrationPlan plan;
        try {
            plan = new CalibrationPlan(seed, buses, threads, mostFrames, minutes == null ? Double.POSITIVE_INFINITY
                    : minutes * 60);
        } catch (IllegalArgumentException e) {
            throw usage(e.getMessage() + " is out of range");
        }
        makeFolder();
        if (withoutNode) return references(plan);
        if (slow) return slow(plan);
        Progress progress = TerminalProgress.on(terminal);
        Calibration.Report report;
        try {
            report = Calibration.run(plan, progress, line -> terminal.err().println(line));
        } finally {
            TerminalProgress.end(progress);
        }
        save(report);
        terminal.out().println(String.format(Locale.ROOT, "%d of %d buses run; false accusations on %d.", report.run(),
                report.asked(), report.falseAccusations()));
        return report.falseAccusations() == 0 ? ExitStatus.NOTHING_FOUND : ExitStatus.FOUND;
    }

    private Integer map() {
        if (map < 1 || map > 100_000) throw usage("--map takes 1 to 100000 buses");
        if (threads < 1 || threads > 256) throw usage("--threads takes 1 to 256");
        if (out != null) makeFolder();
        Progress progress = TerminalProgress.on(terminal);
        MapScores.Report report;
        try {
            report = MapScores.run(seed, map, threads, progress, line -> {
                if (terminal.traces()) terminal.err().println(line);
            });
        } finally {
            TerminalProgress.end(progress);
        }
        if (out == null) {
            terminal.out().print(report.text());
        } else {
            try (OutputFiles files = new OutputFiles(terminal.out())) {
                String target = out.resolve("map-scores.md").toString();
                files.claim("--out", target);
                files.write(target, stream -> stream.write(report.text().getBytes(StandardCharsets.UTF_8)));
                files.commit();
            }
            terminal.out().println(report.buses() + " buses mapped; see " + out.resolve("map-scores.md"));
        }
        return report.failed() == 0 ? ExitStatus.NOTHING_FOUND : ExitStatus.FOUND;
    }

    private static InputFault usage(String what) {
        return new InputFault(Place.file("buswitness calibrate"), what, "see 'buswitness calibrate --help'");
    }

    private void makeFolder() {
        try {
            Files.createDirectories(out);
        } catch (IOException e) {
            throw new InputFault(Place.file(out.toString()), "this folder cannot be made", "name another with --out");
        }
    }

    private void save(Calibration.Report report) {
        Map<String, String> texts = new LinkedHashMap<>();
        texts.put("buses.csv", report.buses());
        texts.put("rates.csv", report.rates());
        texts.put("error-rates.md", report.text());
        texts.putAll(report.plots());
        save(texts);
    }

    private void save(Map<String, String> texts) {
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            for (Map.Entry<String, String> text : texts.entrySet()) {
                String target = out.resolve(text.getKey()).toString();
                byte[] bytes = text.getValue().getBytes(StandardCharsets.UTF_8);
                files.claim("--out", target);
                files.write(target, stream -> stream.write(bytes));
            }
            files.commit();
        }
    }

    private Integer slow(CalibrationPlan plan) {
        List<Layout> described = layouts == null ? List.of() : layouts.stream().map(Layouts::load).toList();
        List<String> builtIn = codings != null ? codings : described.isEmpty() ? SlowBuses.codings() : List.of();
        Progress progress = TerminalProgress.on(terminal);
        SlowBuses.Report report;
        try {
            report = SlowBuses.run(plan, builtIn, described, progress, line -> terminal.err().println(line));
        } catch (IllegalArgumentException e) {
            throw usage(e.getMessage() + "; known here: " + String.join(", ", SlowBuses.codings()));
        } finally {
            TerminalProgress.end(progress);
        }
        save(Map.of("slow-buses.md", report.text(), "slow-buses.csv", report.buses()));
        terminal.out().println(String.format(Locale.ROOT, "%d buses run; false accusations on %d.", report.run(),
                report.falseAccusations()));
        return report.falseAccusations() == 0 ? ExitStatus.NOTHING_FOUND : ExitStatus.FOUND;
    }

    private Integer references(CalibrationPlan plan) {
        Progress progress = TerminalProgress.on(terminal);
        ReferenceCalibration.Report report;
        try {
            report = ReferenceCalibration.run(plan, progress);
        } finally {
            TerminalProgress.end(progress);
        }
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            String target = out.resolve("without.md").toString();
            byte[] bytes = report.text().getBytes(StandardCharsets.UTF_8);
            files.claim("--out", target);
            files.write(target, stream -> stream.write(bytes));
            files.commit();
        }
        return report.wrong() == 0 ? ExitStatus.NOTHING_FOUND : ExitStatus.FOUND;
    }

    private Integer only() {
        if (only < 0) throw usage("a seed is 0 or more");
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            files.claim("--recording", recording);
            Calibration.Single single = Calibration.only(only, mostFrames);
            if (recording != null) {
                WrittenForm form = WrittenForm.of(recording);
                files.write(recording, target -> record(form, target));
            }
            files.commit();
            (files.usesStandardOutput() ? terminal.err() : terminal.out()).print(single.text());
            return single.accusedWrongly() ? ExitStatus.FOUND : ExitStatus.NOTHING_FOUND;
        }
    }

    private void record(WrittenForm form, OutputStream target) throws IOException {
        try (RecordingWriter writer = form.writer(recording, target, Calibration.info(only, mostFrames))) {
            Calibration.record(only, mostFrames, writer, TruthSink.NONE);
        } catch (UncheckedIOException e) {
            throw e.getCause();
        }
    }

    private Integer real() {
        Path file = Files.isDirectory(real) ? real.resolve("clean.zip") : real;
        Progress progress = TerminalProgress.on(terminal);
        CleanTraffic.Count count;
        try {
            count = CleanTraffic.count(Analysis.read(new AnalysisOptions(file, null, false, null, Double.NaN,
                    new ReadOptions(null, columns)), progress), progress);
        } finally {
            TerminalProgress.end(progress);
        }
        terminal.out().print(count.text());
        return count.wrong() == 0 ? ExitStatus.NOTHING_FOUND : ExitStatus.FOUND;
    }
}
