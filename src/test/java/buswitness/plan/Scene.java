package buswitness.plan;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.frames.Decoded;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.testing.FrameLogs;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.function.DoubleUnaryOperator;

/** An invented bus at the level of frames, with marks and further lines, judged by one step of a plan. */
final class Scene {
    static final String LAYOUT = """
            bus: {name: invented bus, coding: can, rate: 125 kbit/s}
            nodes: [translator, engine, panel]
            messages:
              state:
                id: 0x1D0
                from: translator
                every: 100 ms
                carries:
                  coolant: {bits: 0..7, offset: -40, unit: °C, changes at most: 3 per s}
                  oil low: {bit: 8}
                  left turn: {bit: 9}
              shown:
                id: 0x1A0
                from: translator
                every: 50 ms
                carries:
                  speed shown: {bits: 0..15, factor: 0.25, unit: rpm}
                  road speed: {bits: 16..31, factor: 0.01, unit: km/h}
              engine:
                id: 0x0D0
                from: engine
                every: 20 ms
                carries:
                  speed: {bits: 0..15, factor: 0.25, unit: rpm}
              panel: {id: 0x320, from: panel, every: 100 ms}
            instruments:
              coolant gauge: {shows: coolant, from: 50, to: 130}
              oil lamp: {shows: oil low, lit when: 1, time-out: {after: 3 s, then: lit}}
              turn lamp: {shows: left turn, lit when: 1, blinks: true}
            """;

    private final double seconds;
    private final FrameLogs bus;
    private final FrameLogs.Node translator;
    private final FrameLogs.Node engine;
    private final FrameLogs.Node panel;
    private final List<StepRecording.Mark> marks = new ArrayList<>();
    private final Map<String, LineTrace> lines = new HashMap<>();
    private final List<double[]> damage = new ArrayList<>();

    Scene(double seconds) {
        this.seconds = seconds;
        bus = new FrameLogs(125_000, seconds, 11);
        translator = bus.node(38);
        engine = bus.node(-31);
        panel = bus.node(4);
    }

    /** The panel speaks, so that the bus is alive. */
    Scene panel() {
        panel.every(0x320, 0.1, 0.071, (n, t, r) -> new byte[] {(byte) n});
        return this;
    }

    Scene panelUntil(double end) {
        panel.alive(0, end);
        return panel();
    }

    /** {@code state}: coolant in degrees Celsius, oil and turn as 0 or 1, all functions of time. */
    Scene state(DoubleUnaryOperator coolant, DoubleUnaryOperator oil, DoubleUnaryOperator turn) {
        translator.every(0x1D0, 0.1, 0.013, (n, t, r) -> new byte[] {(byte) (int) Math.rint(coolant.applyAsDouble(t) + 40),
            (byte) ((int) oil.applyAsDouble(t) << 7 | (int) turn.applyAsDouble(t) << 6), 0});
        return this;
    }

    Scene alive(double from, double until) {
        translator.alive(from, until);
        return this;
    }

    Scene engineAlive(double from, double until) {
        engine.alive(from, until);
        return this;
    }

    /** A second node sends {@code state} too. */
    Scene secondState(double coolant) {
        engine.every(0x1D0, 0.1, 0.063, (n, t, r) -> new byte[] {(byte) (int) (coolant + 40), 0, 0});
        return this;
    }

    Scene shown(DoubleUnaryOperator rpm, DoubleUnaryOperator kmh) {
        translator.every(0x1A0, 0.05, 0.021, (n, t, r) -> {
            int a = (int) Math.rint(rpm.applyAsDouble(t) * 4);
            int b = (int) Math.rint(kmh.applyAsDouble(t) * 100);
            return new byte[] {(byte) (a >> 8), (byte) a, (byte) (b >> 8), (byte) b};
        });
        return this;
    }

    Scene engine(DoubleUnaryOperator rpm) {
        engine.every(0x0D0, 0.02, 0.004, (n, t, r) -> {
            int a = (int) Math.rint(rpm.applyAsDouble(t) * 4);
            return new byte[] {(byte) (a >> 8), (byte) a};
        });
        return this;
    }

    Scene gap(double from, double until) {
        bus.gap(from, until);
        return this;
    }

    Scene mark(double at, String label) {
        marks.add(new StepRecording.Mark(at, label));
        return this;
    }

    /** Damaged frames: this many, evenly between the two times. */
    Scene damaged(int count, double from, double until) {
        damage.add(new double[] {count, from, until});
        return this;
    }

    /** A line that rests at 0 and turns over at these times. */
    Scene line(String name, double... at) {
        LineTrace trace = new LineTrace(name, "scene");
        trace.begin(0, 0);
        for (int i = 0; i < at.length; i++) trace.add(Math.round(at[i] * 1e12), 1 - i % 2);
        lines.put(name, trace);
        return this;
    }

    /** Pulses of a steady frequency. */
    Scene pulses(String name, double hertz, double from, double until) {
        List<Double> at = new ArrayList<>();
        for (int k = 0; from + k / hertz < until; k++) {
            // The recorder's tick of one microsecond.
            at.add(Math.rint((from + k / hertz) * 1e6) / 1e6);
            at.add(Math.rint((from + (k + 0.5) / hertz) * 1e6) / 1e6);
        }
        return line(name, at.stream().mapToDouble(Double::doubleValue).toArray());
    }

    Scene lineGap(String name, double from, double until) {
        lines.get(name).gap(Math.round(from * 1e12), Math.round(until * 1e12));
        return this;
    }

    StepRecording made() {
        FrameLogs.Made made = bus.make();
        Layout layout = Layouts.parse(LAYOUT, "invented.layout.yaml");
        RecordingInfo info = new RecordingInfo("scene.bwl", "bit-timed log", "00", 1e6, List.of("bus"), List.of());
        Findings findings = Analysis.judge(new AnalysisReading(info, "bus", layout, false,
                new Decoded(made.bus(), withDamage(made.log()), made.gaps()), List.of(), 0), Progress.SILENT);
        return new StepRecording(info, findings, marks, lines, seconds);
    }

    private FrameLog withDamage(FrameLog log) {
        if (damage.isEmpty()) return log;
        List<Long> at = new ArrayList<>();
        for (double[] d : damage) {
            for (int i = 0; i < d[0]; i++) at.add(Math.round((d[1] + (d[2] - d[1]) * i / d[0]) * 1e12));
        }
        FrameLog out = new FrameLog();
        LogRow row = new LogRow();
        int k = 0;
        for (int i = 0; i <= log.size(); i++) {
            while (k < at.size() && (i == log.size() || at.get(k) <= log.startPicos(i))) {
                row.clear();
                row.startPicos = at.get(k++);
                row.endPicos = row.startPicos + 200_000_000L;
                row.key = MessageKey.can(0x1D0, false);
                row.fault = FrameFault.ERROR_FLAG;
                row.faultBit = 30;
                out.add(row);
            }
            if (i == log.size()) break;
            row.clear();
            row.startPicos = log.startPicos(i);
            row.endPicos = log.endPicos(i);
            row.key = log.key(i);
            row.freeStart = log.isFreeStart(i);
            row.dataLength = log.dataLength(i);
            row.lengthCode = log.lengthCode(i);
            System.arraycopy(log.data(i), 0, row.data, 0, log.dataLength(i));
            out.add(row);
        }
        return out;
    }

    /** A plan with one step, {@code judge:} or the rest of its body as given. */
    static Step step(Path folder, String body) throws IOException {
        return plan(folder, "  the step:\n    stage: running\n    do: Look.\n" + body.indent(4)).steps().get(0);
    }

    static Plan plan(Path folder, String steps) throws IOException {
        Files.writeString(folder.resolve("invented.layout.yaml"), LAYOUT);
        Path file = folder.resolve("invented.plan.yaml");
        Files.writeString(file, "plan: invented\nlayout: invented.layout.yaml\nsteps:\n" + steps);
        return Plans.load(file);
    }

    /** The judgements of one step that is judged by this one entry. */
    List<Judgement> judge(Path folder, String entry) throws IOException {
        return StepJudge.judge(step(folder, "judge: [" + entry + "]"), made());
    }

    List<Judgement> judge(Path folder, String window, String entry) throws IOException {
        return StepJudge.judge(step(folder, "window: " + window + "\njudge: [" + entry + "]"), made());
    }
}
