package buswitness.simulate;

import buswitness.capture.EdgeSink;
import buswitness.capture.SampleWriter;
import buswitness.schema.LineFormat;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;

/** Runs scenarios: the package's front door. */
public final class Simulations {
    private Simulations() {}

    /**
     * Reads a scenario file and the layout it names.
     *
     * @throws buswitness.problem.InputFault where either cannot be read or says something wrong
     */
    public static Scenario load(Path file) {
        return ScenarioReader.load(file);
    }

    /**
     * A documented message as a node sends it, with its values.
     *
     * @param bytes    of its payload
     * @param triggers what makes it go out
     * @param onFormat on a bus that a format describes: what CAN does not know; null on CAN
     * @param kind     of frame, on CAN
     * @param values   what each of its signals shows; null for one of which nothing is said: 0 on the wire, or its turn
     *                 of the pages
     */
    public static Sending sending(Message message, int bytes, List<Trigger> triggers, OnFormat onFormat,
                                  FrameKind kind, Function<Signal, ValueSource> values) {
        return new Sending((int) message.identifier(), onFormat == null && message.hexDigits() == 8, false, bytes,
                triggers, SendingReader.fields(message, values, signal -> Double.NaN), 0, onFormat, kind);
    }

    /**
     * A sink that writes the truth as CSV (RFC 4180): one row per frame and sender, in time order, times in seconds of
     * the recorder's clock. Header {@code frame,start_s,end_s,id,request,sender,data,whole,completed,merged,attempt,
     * broke_at_bit,release_s,transmit_errors}. The caller closes {@code out}; a failing one surfaces as
     * {@link java.io.UncheckedIOException}.
     */
    public static TruthSink writeTruthCsv(Appendable out) {
        return new TruthCsv(out);
    }

    /**
     * Makes the recording of a scenario.
     *
     * @param scenario what to simulate
     * @param sink     gets the level changes; line 0 is the bus, the extra lines follow
     * @param truth    gets what really happened; {@link TruthSink#NONE} where nobody asks
     */
    public static void run(Scenario scenario, EdgeSink sink, TruthSink truth) {
        run(scenario, sink, truth, true);
    }

    /** @return samples that {@link #sample} takes */
    public static long sampleCount(Scenario scenario) {
        return Scope.count(scenario.recorder().scope(), scenario.durationSeconds());
    }

    /** Volts that hold every level of the scenario with room to spare. */
    public static double fullScaleVolts(Scenario scenario) {
        double most = Math.abs(scenario.recorder().scope().recessiveVolts());
        for (NodeBehaviour node : scenario.nodes()) {
            NodeLevel level = node.drive().level();
            most = Math.max(most, Math.abs(level.volts()) + Math.abs(level.driftVolts()) + Math.abs(level.loadVolts()));
        }
        double full = 1;
        while (full < 1.6 * most) full *= 2;
        return full;
    }

    /**
     * Makes the recording of a scenario whose recorder samples voltages. It records the bus alone.
     *
     * @param out gets the samples; the caller closes it
     */
    public static void sample(Scenario scenario, SampleWriter out, TruthSink truth) {
        Scope scope = new Scope(scenario.recorder().scope(), out, scenario.durationSeconds(),
                Streams.of(scenario.seed(), "scope"));
        run(scenario, EdgeSink.NOBODY, truth, false, scope);
        scope.finish();
    }

    /** @param shortCuts false takes every frame bit by bit: slow, and the same edges */
    static void run(Scenario scenario, EdgeSink sink, TruthSink truth, boolean shortCuts) {
        run(scenario, sink, truth, shortCuts, null);
    }

    private static void run(Scenario scenario, EdgeSink to, TruthSink truth, boolean shortCuts, Scope scope) {
        RecorderBehaviour recorder = scenario.recorder();
        EdgeSink sink = recorder.marks().isEmpty() ? to : new MarkingSink(to, recorder);
        long seed = scenario.seed();
        ClockPath clock = new ClockPath(recorder.oscillator(), Streams.of(seed, "recorder", "clock"));
        double startLocal = clock.toLocal(recorder.startsAtSeconds());
        double endSeconds = clock.toTrue(startLocal + scenario.durationSeconds());
        long endPicos = Math.round(endSeconds * 1e12);

        List<ExtraRunner> extras = new ArrayList<>();
        for (ExtraLine line : scenario.extraLines()) {
            Tap tap = new Tap(sink, extras.size() + 1, recorder, clock, 0, endPicos,
                    Streams.of(seed, "line", line.name()), at -> { });
            extras.add(new ExtraRunner(line, tap, Streams.of(seed, "value", line.name())));
        }
        // The other lines go ahead of each block of the bus, so that no line of the recording lags far behind.
        Tap bus = new Tap(sink, 0, recorder, clock, recorder.idleLevel(), endPicos, Streams.of(seed, "line"),
                at -> extras.forEach(extra -> extra.advance(at)));
        bus.watch(scope);
        Station[] stations = new Station[scenario.nodes().size()];
        for (int i = 0; i < stations.length; i++) {
            stations[i] = new Station(i, scenario.nodes().get(i), scenario.bitsPerSecond(), scenario.bus(), seed);
        }
        if (scenario.isCan()) {
            new BusEngine(scenario, stations, bus, truth, endPicos, shortCuts).run();
        } else {
            other(scenario, new Floor(scenario, stations, bus, truth, endPicos));
        }
        for (ExtraRunner extra : extras) extra.advance(endPicos);
        bus.finish();
        for (ExtraRunner extra : extras) extra.finish();
        double tick = recorder.tickPicos();
        sink.end(Math.round(Math.floor(scenario.durationSeconds() * 1e12 / tick) * tick));
    }

    private static void other(Scenario scenario, Floor floor) {
        LineFormat line = floor.format.line();
        if (line instanceof LineFormat.Bytes) new ByteEngine(floor, scenario).run();
        else if (line instanceof LineFormat.Stuffed) new StuffedEngine(floor, scenario.bitsPerSecond()).run();
        else new PulseEngine(floor).run();
    }
}
