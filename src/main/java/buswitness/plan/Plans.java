package buswitness.plan;

import buswitness.AnalysisOptions;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.Clock;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/** Plans, their evidence and how steps are judged. Entry of the package; stateless. */
public final class Plans {
    private Plans() {}

    /** @throws InputFault where the plan or its layout cannot be used, with line and column */
    public static Plan load(Path file) {
        return PlanReader.load(file);
    }

    /** A new plan for the instruments of a layout, as text to be edited; {@code seenAs}: the layout from the plan. */
    public static String draft(Layout layout, String seenAs) {
        return new PlanDraft(layout, seenAs).text();
    }

    /** {@code van.evidence.jsonl} beside {@code van.plan.yaml}. */
    public static Path evidenceBeside(Path plan) {
        String name = plan.getFileName().toString().replaceFirst("(?i)(\\.plan)?\\.ya?ml$", "");
        return plan.resolveSibling(name + ".evidence.jsonl");
    }

    /** @throws InputFault where the chain is broken, or the evidence is of another plan */
    public static Evidence evidence(Path file, Plan plan) {
        Evidence evidence = EvidenceFile.read(file);
        if (!evidence.entries().isEmpty() && evidence.entries().get(0) instanceof Entry.Begun begun
                && !begun.plan().equals(plan.title())) {
            throw new InputFault(Place.file(file.toString()), "holds evidence of another plan, '" + begun.plan() + "'",
                    "name another file with --evidence");
        }
        return evidence;
    }

    /** Adds entries under a lock, by one atomic rename; what other runs added meanwhile stays. */
    public static Evidence add(Path file, Plan plan, List<Entry> entries) {
        evidence(file, plan);
        return EvidenceFile.append(file, plan.title(), entries);
    }

    public static CheckState state(Plan plan, Evidence evidence, String serial) {
        return CheckState.of(plan, evidence, serial);
    }

    /**
     * @return number of the entry, from 1, after which a hash was printed; 0 where no entry of this file has it
     */
    public static int printedAfter(Evidence evidence, String hash) {
        return evidence.chain().indexOf(hash.strip().toLowerCase(Locale.ROOT)) + 1;
    }

    /** What a unit is. */
    public static Entry.Unit unit(String serial, Map<String, String> fields, Clock clock) {
        return new Entry.Unit(serial, fields, now(clock));
    }

    /** Judges the recorded part of a step. */
    public static Entry.Result fromRecording(Plan plan, Step step, String serial, AnalysisOptions options, String by,
                                             String note, Clock clock, Progress progress) {
        StepRecording recording = StepReader.read(step.bus(), List.of(step), options, progress);
        List<Judgement> judgements = StepJudge.judge(step, recording);
        return result(step, serial, Step.Part.RECORDING, fileName(options.recording()), recording.info().sha256(),
                judgements, by, note, clock);
    }

    /** Judges what a person read off the needle. */
    public static Entry.Result fromReadings(Plan plan, Step step, String serial, Path readings, String by, String note,
                                            Clock clock) {
        byte[] bytes;
        try {
            bytes = Files.readAllBytes(readings);
        } catch (NoSuchFileException e) {
            throw new InputFault(Place.file(readings.toString()), "there is no such file", "check its name and folder");
        } catch (IOException e) {
            throw new InputFault(Place.file(readings.toString()), "cannot be read (" + e.getMessage() + ")",
                    "check the file and its permissions");
        }
        List<Judgement> judgements = new CalibrationJudge(step.calibration())
                .read(ReadingsFile.parse(bytes, readings.toString(), step.calibration()));
        return result(step, serial, Step.Part.READINGS, fileName(readings), Canonical.sha256(bytes), judgements, by,
                note, clock);
    }

    /** What a person saw. */
    public static Entry.Result fromPerson(Plan plan, Step step, String serial, boolean yes, String by, String note,
                                          Clock clock) {
        Judgement seen = new Judgement("seen by a person", step.person().question(), Double.NaN, Double.NaN, "",
                yes ? Outcome.PASS : Outcome.FAIL, Double.NaN, Double.NaN, (yes ? "yes" : "no") + ", says " + by
                + (note.isEmpty() ? "" : ": " + note));
        return result(step, serial, Step.Part.PERSON, "", "", List.of(seen), by, note, clock);
    }

    private static Entry.Result result(Step step, String serial, Step.Part part, String file, String sha256,
                                       List<Judgement> judgements, String by, String note, Clock clock) {
        Outcome all = judgements.isEmpty() ? Outcome.UNDECIDED : Outcome.PASS;
        for (Judgement j : judgements) all = all.and(j.outcome());
        return new Entry.Result(serial, step.name(), part, step.digest(), step.bus().layoutDigest(), now(clock), by, file,
                sha256, all, judgements, note);
    }

    /** Judges a later recording by the steps it can speak to, beside the unit's record. */
    public static List<LaterFinding> later(CheckState state, List<Step> steps, boolean named, AnalysisOptions options,
                                           Progress progress) {
        return new LaterJudge(state).judge(steps, named, options, progress);
    }

    private static String now(Clock clock) {
        return Instant.now(clock).truncatedTo(ChronoUnit.SECONDS).toString();
    }

    private static String fileName(Path file) {
        return file.getFileName().toString();
    }

    /** Steps whose recording part there is. */
    public static List<Step> recorded(Plan plan) {
        List<Step> out = new ArrayList<>();
        for (Step s : plan.steps()) if (s.parts().contains(Step.Part.RECORDING)) out.add(s);
        return out;
    }
}
