package buswitness.clashes;

import buswitness.clashes.Evidence.Figure;
import buswitness.clashes.Evidence.Kind;
import buswitness.frames.BusInfo;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * Evidence from recordings of the same bus with one node unplugged. A schedule that stops with the node is that node's only
 * where its clock is that of messages which only this node sends: partners and forwarded messages fall silent too.
 */
final class Unplugged {
    // Strengths as measured on random buses; see analysis-notes/without.md.
    /** A schedule with the clock of the node's own messages stops while the other goes on. */
    private static final double OWN = 2;
    /** It stops, but nothing ties it to the node: so it does for one sender in ten whose schedule was taken apart. */
    private static final double STOPS = 0.5;
    private static final double BY_PAYLOAD = 1;
    private static final double BOTH_STOP = -1;
    private static final double MOST = 4;
    private static final double MOST_UNTIED = 1.5;

    private final List<Comparison> comparisons = new ArrayList<>();

    Unplugged(List<Reference> references, List<MessageView> views, BusInfo bus) {
        for (Reference r : references) comparisons.add(new Comparison(r, views, bus));
    }

    /** Null where no reference says anything about the two trains. */
    Evidence evidence(MessageView view, PairFinding pair) {
        if (pair == null) return null;
        boolean asked = view.meant.isAsked();
        if (!asked && (!pair.a().cyclic() || !pair.b().cyclic())) return null;
        double strength = 0;
        boolean own = false;
        Map<Integer, String> stopped = new LinkedHashMap<>();
        StringBuilder says = new StringBuilder();
        List<Figure> figures = new ArrayList<>();
        for (Comparison c : comparisons) {
            if (!c.fits) continue;
            Comparison.Outcome o = c.outcome(view, pair);
            if (o.stops() == null) {
                if (o.bothStop()) {
                    strength += BOTH_STOP;
                    says.append(Say.text("With the %s unplugged both %s fall silent. ", c.reference.node(),
                            asked ? "answers" : "schedules"));
                }
                continue;
            }
            boolean mine = c.ownGroup >= 0 && o.stops().group() == c.ownGroup && o.byClockOrWire();
            own |= mine;
            strength += mine ? OWN : o.byClockOrWire() ? STOPS : BY_PAYLOAD;
            String before = stopped.put(o.stops().index(), c.reference.node());
            if (asked) {
                says.append(Say.text("With the %s unplugged one of the two answers falls silent, seen %d times with it, and"
                        + " the other goes on (told by %s). ", c.reference.node(), o.stops().frames(),
                        String.join(" and ", o.by())));
            } else {
                figures.add(new Figure("falls_silent_period_s", o.stops().periodSeconds()));
                figures.add(new Figure("goes_on_period_s", o.goesOn().periodSeconds()));
                says.append(Say.text("With the %s unplugged the schedule of every %s falls silent%s, and the one of every"
                        + " %s goes on (told by %s). ", c.reference.node(), Say.period(o.stops().periodSeconds()), mine
                        ? ", as do the messages of the same clock that only this node sends" : "",
                        Say.period(o.goesOn().periodSeconds()), String.join(" and ", o.by())));
            }
            if (before != null) {
                strength = Math.min(strength, BY_PAYLOAD);
                own = false;
                says.append(Say.text("It also falls silent without the %s, so one of the two only wakes it. ", before));
            }
        }
        if (says.length() == 0) return null;
        strength = Math.min(own ? MOST : MOST_UNTIED, strength);
        return new Evidence(Kind.WITHOUT, says.toString().strip(), strength, view.firstSeconds(), view.lastSeconds(),
                view.wholeCount, false, figures);
    }

    /** Node names by clock group, where a reference settles them; a name given twice settles nothing. */
    Map<Integer, String> namesOfGroups(List<Judgement> judgements) {
        Map<Integer, String> names = new LinkedHashMap<>();
        for (Comparison c : comparisons) {
            int group = c.fits ? c.group(judgements) : -1;
            if (group < 0) continue;
            names.merge(group, c.reference.node(), (x, y) -> x.equals(y) ? x : "");
        }
        names.values().removeIf(String::isEmpty);
        return names;
    }

    /** Node names by track, where no clock ties it to a group; a name or track given twice settles nothing. */
    Map<Integer, String> namesOfTracks(List<Judgement> judgements) {
        Map<Integer, String> names = new LinkedHashMap<>();
        for (Comparison c : comparisons) {
            int track = c.fits ? c.track(judgements) : -1;
            if (track >= 0) names.merge(track, c.reference.node(), (x, y) -> x.equals(y) ? x : "");
        }
        names.values().removeIf(String::isEmpty);
        return names;
    }

    List<ReferenceFinding> findings(List<Judgement> judgements, Attribution attribution) {
        List<ReferenceFinding> all = new ArrayList<>();
        for (Comparison c : comparisons) {
            int group = c.fits ? c.group(judgements) : -1;
            int sender = group >= 0 || !c.fits ? attribution.senderOfGroup(group)
                    : attribution.senderOfTrack(c.track(judgements));
            boolean named = sender >= 0 && c.reference.node().equals(attribution.senders.get(sender).name());
            all.add(new ReferenceFinding(c.reference.node(), c.reference.source(), c.fits, c.says, c.silent,
                    named ? sender : -1));
        }
        return all;
    }
}
