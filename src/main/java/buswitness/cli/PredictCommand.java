package buswitness.cli;

import buswitness.predict.Forecast;
import buswitness.predict.PredictOptions;
import buswitness.predict.Predictions;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.report.predict.PredictReports;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** What will happen when these nodes share one bus, and which remedy works? */
@Command(name = "predict", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Say before the soldering whether nodes will get along on one bus, and what cures it.",
        description = {"",
            "Puts layouts on one bus: what the dashboard needs and what each node sends. Finds messages with two senders,"
                + " instruments with none, bits with two meanings, load and worst-case response times; simulates drives"
                + " and says what a driver would see; tries each remedy in the simulator and ranks them. Prints the answer"
                + " and what to do; --all all that it rests on. FILE may be -"
                + " for standard output, once; the screen text then goes to standard error.",
            ""},
        footer = {"",
            "Exit status: 0 they get along, 1 they do not, 2 could not do it, 3 could not decide.",
            "",
            "Examples:",
            "  ./buswitness predict dashboard.yaml engine-unit.yaml translator.yaml --html forecast.html",
            "  ./buswitness predict van.yaml --drives 50 --seconds 120 --json -"})
final class PredictCommand implements Callable<Integer> {
    private final Terminal terminal;

    @Parameters(paramLabel = "LAYOUT", arity = "1..*", description = "Layouts of what shares the bus.")
    private List<Path> layouts;

    @Option(names = "--drives", paramLabel = "NUMBER", defaultValue = "30",
            description = "Simulated drives, each with other clocks and start phases (${DEFAULT-VALUE}).")
    private int drives;

    @Option(names = "--seconds", paramLabel = "NUMBER", defaultValue = "60",
            description = "Length of a drive (${DEFAULT-VALUE}).")
    private double seconds;

    @Option(names = "--seed", paramLabel = "NUMBER", defaultValue = "1",
            description = "Another seed draws other drives (${DEFAULT-VALUE}).")
    private long seed;

    @Option(names = "--html", paramLabel = "FILE", description = "Write one self-contained page to look at, print and mail.")
    private String html;

    @Option(names = "--json", paramLabel = "FILE", description = "Write the forecast for other programs.")
    private String json;

    @Option(names = "--all", description = "Print all that the answer rests on, not only what to do about it.")
    private boolean all;

    PredictCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            for (Path layout : layouts) files.protect(layout);
            files.claim("--html", html);
            files.claim("--json", json);
            PredictOptions options = options();
            List<Layout> read = new ArrayList<>();
            for (Path layout : layouts) {
                if (read.stream().anyMatch(l -> l.source().equals(layout.toString()))) {
                    throw new InputFault(Place.file(layout.toString()), "is given twice", "name each layout once");
                }
                read.add(Layouts.load(layout));
            }
            Progress progress = TerminalProgress.on(terminal);
            Forecast forecast;
            try {
                forecast = Predictions.of(read, options, progress);
            } finally {
                TerminalProgress.end(progress);
            }
            files.write(html, out -> PredictReports.writeHtml(forecast, out));
            files.write(json, out -> PredictReports.writeJson(forecast, out));
            files.commit();
            boolean toOut = !files.usesStandardOutput();
            PrintStream screen = toOut ? terminal.out() : terminal.err();
            PredictReports.writeScreen(forecast, screen, new ScreenStyle(terminal.columns(), terminal.colourOn(toOut), true),
                    all);
            Hints.written(screen, html, json);
            screen.flush();
            return switch (forecast.answer()) {
                case FITS -> ExitStatus.NOTHING_FOUND;
                case DOES_NOT_FIT -> ExitStatus.FOUND;
                case UNDECIDED -> ExitStatus.UNDECIDED;
            };
        }
    }

    private PredictOptions options() {
        try {
            return new PredictOptions(drives, seconds, seed);
        } catch (IllegalArgumentException e) {
            throw new InputFault(Place.file("buswitness predict"), e.getMessage(), "see 'buswitness predict --help'");
        }
    }
}
