package buswitness.cli;

import buswitness.capture.ReadOptions;
import buswitness.capture.Recordings;
import buswitness.live.LiveOptions;
import buswitness.probe.Probes;
import buswitness.probe.RecordControl;
import buswitness.probe.RecordOptions;
import buswitness.probe.RecordSummary;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.schema.Layouts;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Callable;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import picocli.CommandLine.Command;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Takes a recording from a serial port. */
@Command(name = "record", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Take a recording from a serial probe.",
        description = {"",
            "Records level changes from a probe that speaks the protocol of captures/probe-protocol.md. The file is whole up to "
                + "the last second whatever happens. At a terminal, a label typed while recording and then Enter sets a mark (with "
                + "--key one letter and Enter; on the page the key alone); 'q' and Enter, or Ctrl-C, ends. It listens only: nothing "
                + "is ever sent to the probe.",
            "",
            "Meanwhile it judges the newest frames as prove does and shows who is heard, whether two senders clash, and "
                + "damaged frames second by second: wiggle a connector and watch. --page shows the same in a browser.",
            ""},
        footer = {"",
            "Exit status: 0 done, 2 could not do it.",
            "",
            "Examples:",
            "  ./buswitness record --list",
            "  ./buswitness record /dev/ttyUSB0 --out drive.bwr --for 600",
            "  ./buswitness record /dev/ttyUSB0 --out drive.bwr --layout van.yaml --note 'engine warm' --page"})
final class RecordCommand implements Callable<Integer> {
    private static final long GOODBYE_MILLIS = 3000;

    private final Terminal terminal;

    @Parameters(arity = "0..1", paramLabel = "PORT", description = "The serial port: its path, or some of the words by which "
            + "--list shows it.")
    private String port;

    @Option(names = "--list", description = "Show the serial ports of this computer.")
    private boolean list;

    @Option(names = "--out", paramLabel = "FILE", description = "The recording (compact, .bwr). It must not exist.")
    private Path out;

    @Option(names = "--port-speed", paramLabel = "BITS", defaultValue = "115200", description = "Speed of the port in "
            + "bit/s; ${DEFAULT-VALUE} unless said.")
    private int portSpeed;

    @Option(names = "--for", paramLabel = "SECONDS", description = "End by itself after so long.")
    private Double seconds;

    @Option(names = "--note", paramLabel = "TEXT", description = "A remark kept in the recording; may be repeated.")
    private List<String> notes = List.of();

    @Option(names = "--key", paramLabel = "KEY=LABEL", description = "A letter or digit that sets this mark, typed alone in a "
            + "line, or pressed on the page; may be repeated.")
    private Map<String, String> keys = Map.of();

    @Option(names = "--layout", paramLabel = "FILE", description = "Names, rate, gauges and lamps for the live view (YAML).")
    private Path layout;

    @Option(names = "--rate", paramLabel = "RATE", converter = ReadingOptions.BitRate.class, description = "Bit rate for the "
            + "live view, instead of finding it.")
    private Double rate;

    @Option(names = "--no-live", description = "Record only; spare an old computer the live view.")
    private boolean withoutLive;

    @Option(names = "--page", arity = "0..1", fallbackValue = "", paramLabel = "NUMBER", description = "Serve the live view as a "
            + "page on this computer alone, at this port or any that is free.")
    private String page;

    @Option(names = "--emulate", paramLabel = "RECORDING", description = "Instead of recording, play this one into --port "
            + "as a probe would, for a test.")
    private Path emulate;

    @Option(names = "--port", paramLabel = "PATH", description = "Where --emulate plays: one end of a pair of pseudo "
            + "terminals.")
    private Path emulatedPort;

    @Option(names = "--speed", paramLabel = "N", defaultValue = "1", description = "Times true speed that --emulate plays.")
    private double speed;

    @Option(names = "--line", paramLabel = "NAME", description = "Line of the recording that --emulate plays.")
    private String line;

    RecordCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public Integer call() {
        if (list) {
            List<String> ports = Probes.list();
            ports.forEach(terminal.out()::println);
            if (ports.isEmpty()) terminal.out().println("No serial port was found; plug the probe in.");
            return ExitStatus.NOTHING_FOUND;
        }
        if (emulate != null) return play();
        int pagePort = pagePort();
        if (port == null) throw usage("names no port", "see record --list");
        if (out == null) throw usage("does not say where to write", "add --out FILE.bwr");
        if (portSpeed < 300) throw usage("has a port speed of " + portSpeed + " bit/s", "give one of 300 or more");
        if (seconds != null && !(seconds > 0)) throw usage("is to last " + seconds + " s", "give a time above 0");
        for (Map.Entry<String, String> key : keys.entrySet()) {
            boolean good = key.getKey().matches("[A-Za-z0-9]") && !key.getKey().equals("q") && !key.getValue().isBlank();
            if (!good) throw usage("cannot take '" + key.getKey() + "' as a key", "write --key LETTER=LABEL, any letter or digit but q");
        }
        return record(pagePort);
    }

    private static InputFault usage(String what, String toDo) {
        return new InputFault(Place.file("record"), what, toDo);
    }

    private int play() {
        if (emulatedPort == null) throw usage("--emulate needs a place to play", "add --port PATH");
        if (!(speed > 0)) throw usage("cannot play at speed " + speed, "give a speed above 0");
        Probes.emulate(Recordings.open(emulate, ReadOptions.NONE), line, emulatedPort, speed);
        return ExitStatus.NOTHING_FOUND;
    }

    /** The page's port: -1 where no page is wanted. A name behind --page, where no PORT was given, is the port to record. */
    private int pagePort() {
        if (page == null) return -1;
        if (page.isEmpty()) return 0;
        if (page.matches("[0-9]{1,5}") && Integer.parseInt(page) < 65_536) return Integer.parseInt(page);
        if (port != null) throw usage("cannot serve a page at '" + page + "'", "give a number from 1 to 65535, or none");
        port = page;
        return 0;
    }

    private LiveOptions liveOptions(int pagePort) {
        if (withoutLive && pagePort < 0) return null;
        return LiveOptions.of(layout == null ? null : Layouts.load(layout), rate == null ? Double.NaN : rate);
    }

    private int record(int pagePort) {
        try (RecordView view = new RecordView(terminal, liveOptions(pagePort), keys)) {
            if (pagePort >= 0) view.serve(pagePort, out);
            return record(view);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private int record(RecordView view) {
        RecordControl control = view.control();
        CountDownLatch over = new CountDownLatch(1);
        Thread goodbye = new Thread(() -> {
            control.stop();
            try {
                over.await(GOODBYE_MILLIS, TimeUnit.MILLISECONDS);
            } catch (InterruptedException e) {
                // Going down anyway; the recording is whole up to the last second.
            }
        });
        Runtime.getRuntime().addShutdownHook(goodbye);
        if (terminal.errIsTerminal()) new Keyboard(System.in, Keyboard::isForeground).listen(view::typed);
        view.start();
        RecordSummary summary;
        try {
            summary = Probes.record(new RecordOptions(port, portSpeed, out,
                    seconds == null ? Double.POSITIVE_INFINITY : seconds, notes), control);
            view.finish();
        } finally {
            over.countDown();
        }
        try {
            Runtime.getRuntime().removeShutdownHook(goodbye);
        } catch (IllegalStateException alreadyGoingDown) {
            // The hook runs or has run.
        }
        terminal.out().println(String.format(Locale.ROOT, "Written: %s: %.3f s, %d changes, %d gaps; %d blocks lost, %d of them "
                + "damaged; the port was at most %.0f %% full.", out, summary.seconds(), summary.changes(), summary.gaps(),
                summary.lostBlocks(), summary.damagedBlocks(), summary.busiestShare() * 100));
        return ExitStatus.NOTHING_FOUND;
    }
}
