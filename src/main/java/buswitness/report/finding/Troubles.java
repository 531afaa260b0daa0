package buswitness.report.finding;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.Symptom;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.Names;
import buswitness.report.parts.PlainText;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Gauges and lamps that misbehave, those told together that do the same for the same reason. */
final class Troubles {
    private static final int MOST_NAMED = 8;

    private final Names names;
    private final List<Group> groups = new ArrayList<>();

    /** @param sender whose message it is where one sends it and the cause lies with it; else -1 */
    private record Group(Symptom symptom, Cause cause, boolean lamp, int sender, List<String> which) {}

    Troubles(Findings findings, Names names, List<InstrumentFinding> suffering) {
        this.names = names;
        Map<List<Object>, Group> all = new LinkedHashMap<>();
        for (InstrumentFinding i : suffering) {
            MessageFinding m = findings.clashes().message(i.key());
            boolean own = i.cause() == Cause.OWN_READING || i.cause() == Cause.RESTARTS || i.cause() == Cause.MISSING_FRAMES;
            int sender = own && m != null && m.senders().size() == 1 ? m.senders().get(0) : -1;
            boolean lamp = i.lamp() && i.symptom() == Symptom.FLAPPING;
            all.computeIfAbsent(List.of(i.symptom(), i.cause(), lamp, sender), k -> new Group(i.symptom(), i.cause(), lamp, sender,
                    new ArrayList<>())).which().add(PlainText.name(i.name()));
        }
        groups.addAll(all.values());
    }

    boolean isEmpty() {
        return groups.isEmpty();
    }

    /** What they do and why, one sentence for each cause and the unit it lies with. */
    List<String> sentences() {
        Map<List<Object>, List<Group>> byCause = new LinkedHashMap<>();
        for (Group g : groups) byCause.computeIfAbsent(List.of(g.cause(), g.sender()), k -> new ArrayList<>()).add(g);
        List<String> out = new ArrayList<>();
        for (List<Group> same : byCause.values()) {
            List<String> clauses = same.stream().map(g -> the(g.which()) + " " + (g.which().size() == 1
                    ? FindingWords.symptom(g.symptom(), g.lamp()) : FindingWords.symptoms(g.symptom(), g.lamp()))).toList();
            String why = why(same.get(0));
            int last = clauses.size() - 1;
            out.add(PlainText.capital(last == 0 ? clauses.get(0) : String.join(", ", clauses.subList(0, last)) + ", and "
                    + clauses.get(last) + (why.startsWith(",") ? "" : ",")) + why + ".");
        }
        return out;
    }

    /** {@code the oil lamp and the charge lamp}. */
    private static String the(List<String> which) {
        return Figures.list(which.stream().map(n -> "the " + n).toList(), MOST_NAMED);
    }

    private String why(Group g) {
        String who = g.sender() < 0 ? "" : names.sender(g.sender());
        if (who.isEmpty()) return FindingWords.why(g.cause());
        return switch (g.cause()) {
            case OWN_READING -> " because of what " + who + " itself reads (sensor, wire or ground), not because of a clash";
            case RESTARTS -> " because the sender, " + who + ", restarts";
            case MISSING_FRAMES -> " because messages of " + who + " are missing";
            default -> FindingWords.why(g.cause());
        };
    }

    /** What to do about those that no remedy against a clash cures, one sentence for each cause and unit. */
    List<String> cures() {
        Map<List<Object>, List<String>> which = new LinkedHashMap<>();
        Map<List<Object>, Group> first = new LinkedHashMap<>();
        for (Group g : groups) {
            which.computeIfAbsent(List.of(g.cause(), g.sender()), k -> new ArrayList<>()).addAll(g.which());
            first.putIfAbsent(List.of(g.cause(), g.sender()), g);
        }
        List<String> out = new ArrayList<>();
        first.forEach((key, g) -> {
            String cure = cure(g.cause(), g.sender() < 0 ? "" : names.sender(g.sender()), which.get(key));
            if (!cure.isEmpty()) out.add(cure);
        });
        return out;
    }

    private static String cure(Cause cause, String unit, List<String> which) {
        boolean one = which.size() == 1;
        return switch (cause) {
            case OWN_READING -> "Look at the " + (one ? "sensor" : "sensors") + " behind " + the(which) + ", at "
                    + (one ? "its plug, wire and ground" : "their plugs, wires and grounds") + "; the bus carries faithfully what "
                    + (unit.isEmpty() ? "their units read" : unit + " reads") + ".";
            case RESTARTS -> "Look at the supply and ground of " + (unit.isEmpty() ? "the unit behind " + the(which) : unit)
                    + "; it starts afresh again and again.";
            case DISTURBANCE -> "Look at terminators, shields, grounds and joints of the bus; frames of many messages are damaged.";
            case MISSING_FRAMES -> "Find out why the " + (one ? "message" : "messages") + " behind " + the(which)
                    + (one ? " stays" : " stay") + " away" + (unit.isEmpty() ? "" : ", sent by " + unit)
                    + ": a loose plug, a gateway, a unit that sleeps or is not there.";
            default -> "";
        };
    }
}
