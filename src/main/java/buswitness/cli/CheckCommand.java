package buswitness.cli;

import buswitness.AnalysisOptions;
import buswitness.plan.CheckState;
import buswitness.plan.Entry;
import buswitness.plan.Evidence;
import buswitness.plan.LaterFinding;
import buswitness.plan.Outcome;
import buswitness.plan.Plan;
import buswitness.plan.PlanBus;
import buswitness.plan.Plans;
import buswitness.plan.Step;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.report.check.CheckReports;
import buswitness.report.parts.ScreenStyle;
import buswitness.schema.Layouts;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Clock;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** Does this install pass, step by step, in writing? */
@Command(name = "check", mixinStandardHelpOptions = true, versionProvider = VersionText.class, sortOptions = false,
        header = "Take an install through its plan, step by step, and print the sign-off sheet.",
        description = {"",
            "Without --step it says what failed and what is still open. With --step and --recording, --observed or "
                + "--readings it judges one step and adds the result to the evidence file, which can be resumed at any "
                + "time. --new writes a plan for the instruments of a layout.",
            ""},
        footer = {"",
            "Exit status: 0 all steps passed (with --step: this one), 1 one failed, 2 could not do it, 3 undecided or "
                + "still open.",
            "",
            "Examples:",
            "  ./buswitness check --new van.layout.yaml --out van.plan.yaml",
            "  ./buswitness check van.plan.yaml --unit GT-0012 --set firmware=1.4 --set tester=\"A. Fitter\"",
            "  ./buswitness check van.plan.yaml --unit GT-0012 --step \"bulb check\" --recording key-on.bwr",
            "  ./buswitness check van.plan.yaml --unit GT-0012 --step injector --observed yes --by \"A. Fitter\"",
            "  ./buswitness check van.plan.yaml --unit GT-0012 --html sheet.html",
            "  ./buswitness check van.plan.yaml --unit GT-0012 --later complaint.bwr"})
final class CheckCommand implements Callable<Integer> {
    private final Terminal terminal;
    private final Clock clock;

    @Parameters(paramLabel = "PLAN", arity = "0..1", description = "The plan (YAML), see captures/plan-format.md.")
    private Path planFile;

    @Option(names = "--new", paramLabel = "LAYOUT", description = "Write a new plan for this layout, to --out or to standard "
        + "output.")
    private Path draftOf;

    @Option(names = "--out", paramLabel = "FILE", description = "Where --new writes; never over another file's content "
        + "unless complete.")
    private String out;

    @Option(names = "--unit", paramLabel = "SERIAL", description = "Which unit; one plan serves many. May be left out while "
        + "the evidence holds one only.")
    private String unit;

    @Option(names = "--set", paramLabel = "FIELD=VALUE", description = "Tell something of the unit, such as firmware=1.4; may "
        + "be repeated.")
    private List<String> set = List.of();

    @Option(names = "--step", paramLabel = "NAME", description = "Fill this step. With --later it may be repeated.")
    private List<String> steps = List.of();

    @Option(names = "--recording", paramLabel = "FILE", description = "Judge the step from this recording.")
    private Path recording;

    @Option(names = "--observed", paramLabel = "yes|no", description = "What a person saw, with --by.")
    private String observed;

    @Option(names = "--readings", paramLabel = "FILE", description = "What a person read off the needle of a calibration "
        + "step: CSV with the header way,input,needle.")
    private Path readings;

    @Option(names = "--by", paramLabel = "NAME", description = "Who did it or saw it.")
    private String by = "";

    @Option(names = "--note", paramLabel = "TEXT", description = "A remark for the sheet.")
    private String note = "";

    @Option(names = "--later", paramLabel = "RECORDING", description = "Judge a customer's later recording against the "
        + "unit's record. Adds nothing to it.")
    private Path later;

    @Option(names = "--evidence", paramLabel = "FILE", description = "The evidence file; without it, NAME.evidence.jsonl "
        + "beside the plan NAME.plan.yaml.")
    private Path evidenceFile;

    @Option(names = "--printed", paramLabel = "HASH", description = "Say whether the evidence still holds the state that a "
        + "printed sheet names by this hash; status 1 if not.")
    private String printed;

    @Mixin
    private ReadingOptions reading;

    @Option(names = "--html", paramLabel = "FILE", description = "Write the sign-off sheet, to print on A4.")
    private String html;

    @Option(names = "--json", paramLabel = "FILE", description = "Write how far the check has come, for other programs.")
    private String json;

    CheckCommand(Terminal terminal, Clock clock) {
        this.terminal = terminal;
        this.clock = clock;
    }

    @Override
    public Integer call() {
        if (draftOf != null) return draft();
        if (planFile == null) throw usage("no plan is named", "name one, or write one with --new LAYOUT");
        if (out != null) throw usage("--out belongs to --new", "use --html or --json for results");
        Plan plan = Plans.load(planFile);
        Path file = evidenceFile == null ? Plans.evidenceBeside(planFile) : evidenceFile;
        Evidence evidence = Plans.evidence(file, plan);
        String serial = serial(evidence);
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            for (Path input : new Path[] {planFile, file, recording, readings, later}) files.protect(input);
            reading.protectIn(files);
            for (PlanBus bus : plan.buses()) files.protect(bus.layoutFile());
            files.claim("--html", html);
            files.claim("--json", json);
            if (later != null) return later(plan, evidence, serial, files);
            List<Entry> added = new ArrayList<>(unitEntry(plan, serial));
            Step filled = step(plan);
            if (filled != null) added.addAll(results(plan, filled, serial));
            if (!added.isEmpty()) evidence = Plans.add(file, plan, added);
            CheckState state = Plans.state(plan, evidence, serial);
            files.write(html, sheet -> CheckReports.writeSheet(state, sheet));
            files.write(json, text -> CheckReports.writeJson(state, text));
            files.commit();
            show(state, filled, files);
            if (printed != null && Plans.printedAfter(state.evidence(), printed) == 0) return ExitStatus.FOUND;
            return status(filled == null ? state.outcome() : state.step(filled.name()).outcome());
        }
    }

    private int draft() {
        if (planFile != null || !steps.isEmpty() || recording != null || later != null) {
            throw usage("--new writes a plan and does nothing else", "leave the rest of the command line out");
        }
        try (OutputFiles files = new OutputFiles(terminal.out())) {
            files.protect(draftOf);
            String target = out == null ? "-" : out;
            // A plan is made to be edited: what its owner wrote into it must not go.
            if (!target.equals("-") && Files.exists(Path.of(target))) {
                throw new InputFault(Place.file(target), "exists already and may hold your own changes",
                        "name another file with --out, or take this one away first");
            }
            files.claim("--out", target);
            String seenAs = draftOf.toString();
            if (!target.equals("-")) {
                Path folder = Path.of(target).toAbsolutePath().normalize().getParent();
                Path from = draftOf.toAbsolutePath().normalize();
                seenAs = folder.getRoot().equals(from.getRoot()) ? folder.relativize(from).toString() : from.toString();
            }
            String text = Plans.draft(Layouts.load(draftOf), seenAs.replace('\\', '/'));
            files.write(target, plan -> plan.write(text.getBytes(StandardCharsets.UTF_8)));
            files.commit();
            Hints.written(terminal.out(), target);
            return ExitStatus.NOTHING_FOUND;
        }
    }

    /** The unit named, or the only one the evidence holds. */
    private String serial(Evidence evidence) {
        if (unit != null) {
            if (unit.isBlank()) throw usage("--unit is empty", "name the unit's serial");
            return unit.strip();
        }
        List<String> known = evidence.serials();
        if (known.size() > 1) {
            throw usage("the evidence holds " + known.size() + " units", "say which with --unit: "
                    + String.join(", ", known.stream().map(s -> s.isEmpty() ? "(none)" : s).limit(12).toList()));
        }
        return known.isEmpty() ? "" : known.get(0);
    }

    private List<Entry> unitEntry(Plan plan, String serial) {
        Map<String, String> fields = new LinkedHashMap<>();
        for (String pair : set) {
            int at = pair.indexOf('=');
            if (at < 1 || at == pair.length() - 1) {
                throw usage("--set " + pair + " is not FIELD=VALUE", "write for instance --set firmware=1.4");
            }
            String field = pair.substring(0, at).strip();
            if (!plan.unitFields().contains(field)) {
                throw usage("the plan asks no '" + field + "' of a unit", "it asks: " + String.join(", ", plan.unitFields()));
            }
            fields.put(field, pair.substring(at + 1).strip());
        }
        if (fields.isEmpty()) return List.of();
        if (serial.isEmpty()) throw usage("--set tells something of a unit, and none is named", "add --unit SERIAL");
        return List.of(Plans.unit(serial, fields, clock));
    }

    private Step step(Plan plan) {
        boolean fills = recording != null || observed != null || readings != null;
        if (steps.isEmpty()) {
            if (fills) throw usage("a result belongs to a step, and none is named", "add --step NAME");
            return null;
        }
        if (steps.size() > 1) throw usage("one step is filled at a time", "give --step once");
        Step step = find(plan, steps.get(0));
        if (!fills) throw usage("nothing is said about step '" + step.name() + "'", "add " + wanted(step));
        return step;
    }

    private static String wanted(Step step) {
        List<String> words = new ArrayList<>();
        for (Step.Part p : step.parts()) {
            words.add(switch (p) {
                case RECORDING -> "--recording FILE";
                case PERSON -> "--observed yes|no --by NAME";
                case READINGS -> "--readings FILE --by NAME";
            });
        }
        return String.join(" or ", words);
    }

    private Step find(Plan plan, String name) {
        Step step = plan.step(name);
        if (step != null) return step;
        throw usage("the plan has no step '" + name + "'", "its steps: " + String.join(", ",
                plan.steps().stream().map(Step::name).limit(40).toList()));
    }

    private List<Entry> results(Plan plan, Step step, String serial) {
        List<Entry> all = new ArrayList<>();
        if (recording != null) {
            needs(step, Step.Part.RECORDING, "--recording");
            Progress progress = TerminalProgress.on(terminal);
            try {
                all.add(Plans.fromRecording(plan, step, serial, options(recording), by, note, clock, progress));
            } finally {
                TerminalProgress.end(progress);
            }
        }
        if (readings != null) {
            needs(step, Step.Part.READINGS, "--readings");
            needsName("--readings");
            all.add(Plans.fromReadings(plan, step, serial, readings, by.strip(), note, clock));
        }
        if (observed != null) {
            needs(step, Step.Part.PERSON, "--observed");
            needsName("--observed");
            if (!observed.equals("yes") && !observed.equals("no")) {
                throw usage("--observed " + observed + " is neither yes nor no", "write --observed yes or --observed no");
            }
            all.add(Plans.fromPerson(plan, step, serial, observed.equals("yes"), by.strip(), note, clock));
        }
        return all;
    }

    private void needs(Step step, Step.Part part, String option) {
        if (!step.parts().contains(part)) {
            throw usage("step '" + step.name() + "' takes no " + option, "it takes " + wanted(step));
        }
    }

    private void needsName(String option) {
        if (by.isBlank()) throw usage(option + " needs somebody who saw it", "add --by NAME");
    }

    private AnalysisOptions options(Path file) {
        return reading.of(file, null, false);
    }

    private int later(Plan plan, Evidence evidence, String serial, OutputFiles files) {
        if (recording != null || observed != null || readings != null || !set.isEmpty() || html != null) {
            throw usage("--later only compares", "leave --recording, --observed, --readings, --set and --html out");
        }
        if (serial.isEmpty() || !evidence.serials().contains(serial)) {
            throw usage("the evidence has no record of a unit" + (serial.isEmpty() ? "" : " '" + serial + "'"),
                    "name one with --unit that was checked");
        }
        CheckState state = Plans.state(plan, evidence, serial);
        List<Step> wanted = steps.isEmpty() ? Plans.recorded(plan) : steps.stream().map(s -> find(plan, s)).toList();
        for (Step s : wanted) needs(s, Step.Part.RECORDING, "recording");
        Progress progress = TerminalProgress.on(terminal);
        List<LaterFinding> found;
        try {
            found = Plans.later(state, wanted, !steps.isEmpty(), options(later), progress);
        } finally {
            TerminalProgress.end(progress);
        }
        files.write(json, text -> CheckReports.writeLaterJson(found, state, text));
        files.commit();
        PrintStream screen = files.usesStandardOutput() ? terminal.err() : terminal.out();
        CheckReports.writeLaterScreen(found, state, later.toString(), screen, style(files));
        Hints.written(screen, json);
        screen.flush();
        boolean wrong = found.stream().anyMatch(f -> f.now().outcome() == Outcome.FAIL
                || f.change() == LaterFinding.Change.CHANGED);
        boolean open = found.stream().anyMatch(f -> f.now().outcome() != Outcome.PASS
                || f.change() == LaterFinding.Change.UNCERTAIN);
        return wrong ? ExitStatus.FOUND : open ? ExitStatus.UNDECIDED : ExitStatus.NOTHING_FOUND;
    }

    private void show(CheckState state, Step filled, OutputFiles files) {
        PrintStream screen = files.usesStandardOutput() ? terminal.err() : terminal.out();
        CheckReports.writeScreen(state, filled == null ? null : filled.name(), screen, style(files));
        if (printed != null) {
            int n = Plans.printedAfter(state.evidence(), printed);
            screen.println();
            screen.println(n > 0 ? "The printed hash is that of entry " + n + " of " + state.evidence().entries().size()
                    + ": everything up to it is as it was when that sheet was printed."
                    : "No entry has the printed hash: this is not the file that the sheet was printed from, or it was altered.");
        }
        Hints.written(screen, html, json);
        screen.flush();
    }

    private ScreenStyle style(OutputFiles files) {
        return new ScreenStyle(terminal.columns(), terminal.colourOn(!files.usesStandardOutput()), true);
    }

    private int status(Outcome outcome) {
        return switch (outcome) {
            case PASS -> ExitStatus.NOTHING_FOUND;
            case FAIL -> ExitStatus.FOUND;
            case UNDECIDED, OPEN -> ExitStatus.UNDECIDED;
        };
    }

    private static InputFault usage(String what, String toDo) {
        return new InputFault(Place.file("buswitness check"), what, toDo);
    }
}
