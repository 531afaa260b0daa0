package buswitness.plan;

import buswitness.plan.Calibration.Point;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * Judges a calibration table, from a recording with a mark at each point ({@code up 42.5}, {@code down 42.5}) or from
 * what a person read off a needle.
 */
final class CalibrationJudge {
    private final Calibration table;

    CalibrationJudge(Calibration table) {
        this.table = table;
    }

    /** One row of a person's readings. */
    record Reading(String way, double input, double needle) {}

    private record Seen(double value, double error) {}

    /** Whether the recording has the mark of at least one point. */
    boolean fits(StepRecording recording) {
        return table.points().stream().anyMatch(p -> table.ways().stream().anyMatch(w -> mark(recording, w, p) >= 0));
    }

    List<Judgement> recorded(StepRecording recording) {
        if (!fits(recording)) {
            throw new InputFault(Place.file(recording.info().source()), "has no mark of a point, such as 'up "
                    + table.points().get(0).inputText() + "'", "set a mark at each point while recording");
        }
        List<Judgement> out = new ArrayList<>();
        Map<String, Seen> seen = new HashMap<>();
        for (String way : table.ways()) {
            for (Point p : table.points()) {
                if (Double.isNaN(p.bus()) && table.line() == null) continue;
                out.addAll(point(recording, way, p, seen));
            }
        }
        if (table.signal() != null) {
            out.addAll(hysteresis(seen, table.signal().signal().name(), table.signal().signal().unit(), !table.hasNeedle()));
        }
        return out;
    }

    private List<Judgement> point(StepRecording recording, String way, Point p, Map<String, Seen> seen) {
        String at = way + " " + p.inputText() + "\u00A0" + table.inputUnit();
        String name = table.signal() == null ? "input" : table.signal().signal().name();
        String unit = table.signal() == null ? table.inputUnit() : table.signal().signal().unit();
        String tail = unit.isEmpty() ? "" : "\u00A0" + unit;
        String expected = at + ": " + Limits.number(p.bus()) + " within " + Limits.number(p.tolerance()) + tail;
        int mark = mark(recording, way, p);
        if (mark < 0) {
            return List.of(new Judgement(name, expected, Double.NaN, Double.NaN, unit, Outcome.UNDECIDED, Double.NaN,
                    Double.NaN, "the recording has no mark '" + way + " " + p.inputText() + "'"));
        }
        List<StepRecording.Mark> marks = recording.marks();
        double from = marks.get(mark).atSeconds() + table.settleSeconds();
        double until = mark + 1 < marks.size() ? marks.get(mark + 1).atSeconds() : recording.endSeconds();
        Span span = new Span(from, Math.max(from, until), 0);
        String inputSays = "";
        Outcome inputOutcome = Outcome.PASS;
        if (table.line() != null) {
            LineTrace line = recording.lines().get(table.line());
            double[] f = line.frequency(from, until, recording.info().tickPicos() * 1e-12);
            f[1] = Math.hypot(f[1], f[0] * LineTrace.RECORDER_CLOCK);
            inputSays = "input " + (Double.isNaN(f[0]) ? "without pulses" : Limits.text(f[0], f[1], "Hz"));
            double half = Math.abs(p.input()) * table.inputTolerance();
            boolean zero = p.input() == 0 && Double.isNaN(f[0]);
            inputOutcome = zero ? Outcome.PASS : Limits.judge(f[0], f[1], p.input() - half, p.input() + half);
            if (line.hasGap(from, until)) inputOutcome = Outcome.UNDECIDED;
        }
        if (table.signal() == null || Double.isNaN(p.bus())) {
            return List.of(new Judgement("input", at, Double.NaN, Double.NaN, table.inputUnit(),
                    inputOutcome == Outcome.PASS ? Outcome.PASS : Outcome.UNDECIDED, from, until, inputSays));
        }
        Samples s = Samples.of(recording.findings(), table.signal(), span.from(), span.until());
        if (s.count == 0 || span.seconds() <= 0) {
            return List.of(SignalJudge.absent(recording, span, table.signal(), name, expected, s));
        }
        double sum = 0;
        for (int i = 0; i < s.count; i++) sum += s.value[i];
        double mean = sum / s.count;
        double square = 0;
        for (int i = 0; i < s.count; i++) square += Math.pow(s.value[i] - mean, 2);
        double scatter = s.count > 1 ? Math.sqrt(square / (s.count - 1) / s.count) : 0;
        double u = Math.hypot(table.signal().resolution(), scatter);
        seen.put(way + p.inputText(), new Seen(mean, u));
        Outcome outcome = Limits.judge(mean, u, p.bus() - p.tolerance(), p.bus() + p.tolerance());
        String says = "it says " + Limits.text(mean, u, unit) + (inputSays.isEmpty() ? "" : " at " + inputSays);
        double[] away = new double[s.count];
        for (int i = 0; i < s.count; i++) away[i] = Math.abs(s.value[i] - p.bus());
        // A value that swings to and fro can be right on average, and a needle that swings is not.
        if (Limits.judge(Robust.quantile(away, SignalJudge.MOST), table.signal().resolution(), 0, p.tolerance()) == Outcome.FAIL) {
            outcome = Outcome.FAIL;
            says += ", but on average only: it runs from " + Limits.number(Arrays.stream(s.value, 0, s.count).min().orElse(mean))
                    + " to " + Limits.number(Arrays.stream(s.value, 0, s.count).max().orElse(mean))
                    + (unit.isEmpty() ? "" : "\u00A0" + unit);
        }
        if (inputOutcome != Outcome.PASS) {
            outcome = Outcome.UNDECIDED;
            says += ", which is not the input of this point";
        }
        return List.of(new Judgement(name, expected, mean, u, unit, outcome, from, until, says));
    }

    List<Judgement> read(List<Reading> readings) {
        List<Judgement> out = new ArrayList<>();
        Map<String, Seen> seen = new HashMap<>();
        String unit = table.needleUnit();
        // Read to the nearest step: a rectangle of one step (JCGM 100:2008, 4.3.7).
        double u = table.needleStep() / Math.sqrt(12);
        for (String way : table.ways()) {
            for (Point p : table.points()) {
                if (Double.isNaN(p.needle())) continue;
                String expected = way + " " + p.inputText() + "\u00A0" + table.inputUnit() + ": "
                        + Limits.number(p.needle()) + " within " + Limits.number(p.tolerance()) + "\u00A0" + unit;
                Reading reading = null;
                for (Reading r : readings) if (r.way().equals(way) && r.input() == p.input()) reading = r;
                if (reading == null) {
                    out.add(new Judgement("needle", expected, Double.NaN, Double.NaN, unit, Outcome.UNDECIDED, Double.NaN,
                            Double.NaN, "nobody read this point"));
                    continue;
                }
                seen.put(way + p.inputText(), new Seen(reading.needle(), u));
                out.add(new Judgement("needle", expected, reading.needle(), u, unit, Limits.judge(reading.needle(), u,
                        p.needle() - p.tolerance(), p.needle() + p.tolerance()), Double.NaN, Double.NaN,
                        "it shows " + Limits.text(reading.needle(), u, unit)));
            }
        }
        out.addAll(hysteresis(seen, "needle", unit, true));
        return out;
    }

    /** Up against down at the same input; judged where the plan sets a limit for it, else reported. */
    private List<Judgement> hysteresis(Map<String, Seen> seen, String name, String unit, boolean judged) {
        double worst = Double.NaN;
        double error = Double.NaN;
        String where = "";
        for (Point p : table.points()) {
            Seen up = seen.get("up" + p.inputText());
            Seen down = seen.get("down" + p.inputText());
            if (up == null || down == null) continue;
            double apart = Math.abs(up.value - down.value);
            if (!Double.isNaN(worst) && apart <= worst) continue;
            worst = apart;
            error = Math.hypot(up.error, down.error);
            where = p.inputText() + "\u00A0" + table.inputUnit();
        }
        if (Double.isNaN(worst)) return List.of();
        boolean limit = judged && !Double.isNaN(table.hysteresisAtMost());
        Outcome outcome = limit ? Limits.judge(worst, error, Double.NEGATIVE_INFINITY, table.hysteresisAtMost()) : Outcome.PASS;
        return List.of(new Judgement(name, limit ? "up and down at most " + Limits.number(table.hysteresisAtMost())
                + "\u00A0" + unit + " apart" : "up and down, for the record", worst, error, unit, outcome, Double.NaN, Double.NaN,
                "up and down differ most at " + where + ", by " + Limits.text(worst, error, unit)));
    }

    /** Index of the point's mark, or -1; {@code up 42.5} and {@code UP  42.50} are one. */
    private static int mark(StepRecording recording, String way, Point p) {
        for (int i = 0; i < recording.marks().size(); i++) {
            String[] words = recording.marks().get(i).label().toLowerCase(Locale.ROOT).strip().split("\\s+");
            if (words.length < 2 || !words[0].equals(way)) continue;
            try {
                if (Double.parseDouble(words[1]) == p.input()) return i;
            } catch (NumberFormatException e) {
                // Another mark that happens to begin with the same word.
            }
        }
        return -1;
    }
}
