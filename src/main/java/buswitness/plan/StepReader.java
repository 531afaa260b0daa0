package buswitness.plan;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.Recording;
import buswitness.capture.RecordingInfo;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/** Reads a recording for some steps: the bus through the whole analysis, marks and the lines they name beside it. */
final class StepReader {
    private StepReader() {}

    /** @param on the bus that all of the steps are about */
    static StepRecording read(PlanBus on, Collection<Step> steps, AnalysisOptions options, Progress progress) {
        Recording recording = Recordings.open(options.recording(), options.read());
        Set<String> wanted = new TreeSet<>();
        boolean bus = false;
        for (Step step : steps) bus |= collect(step, wanted);
        if (recording.isFrameTable()) {
            if (!wanted.isEmpty()) {
                throw new InputFault(Place.file(options.recording().toString()), "a table of frames has no lines, and "
                        + "the step looks at line '" + wanted.iterator().next() + "'", "give a bit-timed recording");
            }
            Findings findings = Analysis.prove(options.withLayout(on.layoutFile()), progress);
            return new StepRecording(findings.recording(), findings, List.of(), Map.of(),
                    findings.bus().durationPicos() * 1e-12);
        }
        int several = recording.info().lines().size();
        Gather gather = new Gather(several);
        for (String name : wanted) {
            int line = recording.chooseLine(name);
            gather.traces[line] = new LineTrace(name, options.recording().toString());
        }
        Findings findings = null;
        if (bus) {
            String line = options.line() == null && several > 1 ? on.line() : options.line();
            findings = Analysis.prove(new AnalysisOptions(options.recording(), on.layoutFile(), false, line,
                    options.bitsPerSecond(), options.coding(), options.read()), progress);
            findings.mustBeReadable();
        }
        RecordingInfo info = recording.read(gather, progress);
        Map<String, LineTrace> lines = new HashMap<>();
        for (LineTrace t : gather.traces) if (t != null) lines.put(t.name, t);
        return new StepRecording(info, findings, gather.marks, lines, gather.endPicos * 1e-12);
    }

    /** Whether a recording with these lines has all that a step names beside the bus. */
    static boolean hasLines(Step step, List<String> lines) {
        Set<String> wanted = new TreeSet<>();
        collect(step, wanted);
        return lines.containsAll(wanted);
    }

    /** Adds the lines that a step names; tells whether it needs the bus. */
    private static boolean collect(Step step, Set<String> lines) {
        boolean bus = step.calibration() != null && step.calibration().signal() != null;
        if (step.calibration() != null && step.calibration().line() != null) lines.add(step.calibration().line());
        for (Criterion c : step.criteria()) {
            if (c instanceof Criterion.LineFollows f) {
                lines.add(f.line());
                lines.add(f.other());
            } else if (!(c instanceof Criterion.Person)) {
                bus = true;
            }
            if (c instanceof Criterion.Counts counts) lines.add(counts.line());
        }
        return bus;
    }

    private static final class Gather implements EdgeSink {
        final LineTrace[] traces;
        final List<StepRecording.Mark> marks = new ArrayList<>();
        long endPicos;

        Gather(int lines) {
            traces = new LineTrace[lines];
        }

        @Override
        public void begin(int line, long atPicos, int level) {
            if (traces[line] != null) traces[line].begin(atPicos, level);
        }

        @Override
        public void edges(EdgeBlock block) {
            LineTrace trace = traces[block.line];
            if (trace == null) return;
            for (int i = 0; i < block.count; i++) trace.add(block.atPicos[i], block.level[i]);
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            for (int i = 0; i < traces.length; i++) {
                if (traces[i] != null && (line == -1 || line == i)) traces[i].gap(fromPicos, untilPicos);
            }
        }

        @Override
        public void mark(long atPicos, String label) {
            marks.add(new StepRecording.Mark(atPicos * 1e-12, label.strip()));
        }

        @Override
        public void end(long atPicos) {
            endPicos = atPicos;
        }
    }
}
