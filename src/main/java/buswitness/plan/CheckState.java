package buswitness.plan;

import java.util.ArrayList;
import java.util.Collections;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * How far one unit has come with a plan.
 *
 * @param serial  empty where no unit was named
 * @param fields  what is known of the unit
 * @param missing fields that the plan asks for and nobody has told
 * @param steps   in the plan's order
 * @param units   serials with entries in the evidence file
 */
public record CheckState(Plan plan, Evidence evidence, String serial, Map<String, String> fields,
                         List<String> missing, List<StepState> steps, List<String> units) {
    /** The one field of a unit that reopens nothing. */
    static final String TESTER = "tester";

    public CheckState {
        fields = Collections.unmodifiableMap(new LinkedHashMap<>(fields));
        missing = List.copyOf(missing);
        steps = List.copyOf(steps);
        units = List.copyOf(units);
    }

    /**
     * One step.
     *
     * @param outcome open where a part of it is
     */
    public record StepState(Step step, Outcome outcome, List<PartState> parts) {
        public StepState {
            parts = List.copyOf(parts);
        }
    }

    /**
     * One part of a step.
     *
     * @param result the last one; null where there is none
     * @param stale  what has changed since, such as {@code the step}, so that the part is open again; null for nothing
     */
    public record PartState(Step.Part part, Outcome outcome, Entry.Result result, String stale) {}

    static CheckState of(Plan plan, Evidence evidence, String serial) {
        Map<String, String> fields = new LinkedHashMap<>();
        Map<String, Entry.Result> last = new LinkedHashMap<>();
        Map<Entry.Result, String> altered = new IdentityHashMap<>();
        for (Entry e : evidence.entries()) {
            if (e instanceof Entry.Unit u && u.serial().equals(serial)) {
                String change = change(fields, u.fields());
                if (change != null) for (Entry.Result r : last.values()) altered.putIfAbsent(r, change);
                fields.putAll(u.fields());
            }
            if (e instanceof Entry.Result r && r.serial().equals(serial)) last.put(r.step() + "\n" + r.part(), r);
        }
        List<String> missing = new ArrayList<>();
        for (String f : plan.unitFields()) if (!fields.containsKey(f)) missing.add(f);
        List<StepState> steps = new ArrayList<>();
        for (Step step : plan.steps()) {
            List<PartState> parts = new ArrayList<>();
            Outcome all = null;
            for (Step.Part part : step.parts()) {
                Entry.Result r = last.get(step.name() + "\n" + part);
                String stale = r == null ? null : !r.stepDigest().equals(step.digest()) ? "the step"
                        : !r.layoutDigest().equals(step.bus().layoutDigest()) ? "the layout" : altered.get(r);
                Outcome outcome = r == null || stale != null ? Outcome.OPEN : r.outcome();
                parts.add(new PartState(part, outcome, r, stale));
                all = all == null ? outcome : all.and(outcome);
            }
            steps.add(new StepState(step, all == null ? Outcome.OPEN : all, parts));
        }
        return new CheckState(plan, evidence, serial, fields, missing, steps, evidence.serials());
    }

    /** A unit with another firmware or wiring is another unit; another tester is not. Null where nothing of that changed. */
    private static String change(Map<String, String> known, Map<String, String> told) {
        for (Map.Entry<String, String> f : told.entrySet()) {
            String was = known.get(f.getKey());
            if (was != null && !was.equals(f.getValue()) && !f.getKey().equals(TESTER)) return "the unit's " + f.getKey();
        }
        return null;
    }

    public StepState step(String name) {
        for (StepState s : steps) if (s.step().name().equals(name)) return s;
        return null;
    }

    public List<StepState> with(Outcome outcome) {
        return steps.stream().filter(s -> s.outcome() == outcome).toList();
    }

    /** Passed only where every step has and the unit's record is complete. */
    public Outcome outcome() {
        Outcome all = Outcome.PASS;
        for (StepState s : steps) all = all.and(s.outcome());
        return all == Outcome.PASS && !(missing.isEmpty() && !serial.isEmpty()) ? Outcome.OPEN : all;
    }
}
