package buswitness.plan;

import buswitness.clashes.MessageFinding;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;

/**
 * Whether a node restarts: all of its cyclic messages stay away together, three periods of its fastest or more, while
 * nothing disturbs the wire. A node is what the layout says sends a message, else the sender that the clock shows. A
 * restart shorter than that does not show; the judgement says how short.
 */
final class RestartJudge {
    private static final double LEAST_PERIODS = 3;
    /** So often a node's fastest message must be due in the window before its presence says anything. */
    private static final double LEAST_DUE = 4;

    private final StepRecording recording;
    private final Span span;
    private final FrameLog log;

    RestartJudge(StepRecording recording, Span span) {
        this.recording = recording;
        this.span = span;
        log = recording.findings().frames();
    }

    private static final class Node {
        final String name;
        double fastest = Double.POSITIVE_INFINITY;
        double last;
        double longest;
        double longestFrom;
        int pauses;

        Node(String name) {
            this.name = name;
        }
    }

    Judgement judge() {
        Map<Long, Node> nodes = nodes();
        List<Node> all = new ArrayList<>(new LinkedHashSet<>(nodes.values()));
        for (Node n : all) n.last = span.from();
        for (int i = 0; i < log.size(); i++) {
            double now = log.startSeconds(i);
            Node node = nodes.get(log.key(i));
            if (node == null || !log.isWhole(i) || now < span.from() || now > span.until()) continue;
            heard(node, now);
        }
        for (Node n : all) heard(n, span.until());
        List<String> away = new ArrayList<>();
        List<String> unsure = new ArrayList<>();
        double first = Double.NaN;
        int pauses = 0;
        double shortest = Double.POSITIVE_INFINITY;
        double longest = 0;
        for (Node n : all) {
            if (LEAST_DUE * n.fastest > span.seconds()) {
                unsure.add(n.name + " sends too seldom for this window");
                continue;
            }
            shortest = Math.min(shortest, LEAST_PERIODS * n.fastest);
            longest = Math.max(longest, LEAST_PERIODS * n.fastest);
            if (n.pauses == 0) continue;
            double from = n.longestFrom;
            if (disturbed(from, from + n.longest)) {
                unsure.add(n.name + " was not heard while the wire was disturbed");
                continue;
            }
            pauses += n.pauses;
            if (Double.isNaN(first) || from < first) first = from;
            away.add(n.name + " stayed away from " + Limits.number(Samples.round(from)) + "\u00A0s for "
                    + Limits.seconds(Samples.round(n.longest)));
        }
        boolean gap = Samples.gapIn(recording.findings(), span.from(), span.until());
        if (gap) unsure.add("part of this time was not recorded");
        if (all.isEmpty()) unsure.add("no node with cyclic messages was heard");
        Outcome outcome = !away.isEmpty() ? Outcome.FAIL : unsure.isEmpty() ? Outcome.PASS : Outcome.UNDECIDED;
        String says = !away.isEmpty() ? BusJudge.some(away) : !unsure.isEmpty() ? BusJudge.some(unsure)
                : "all " + all.size() + " nodes stay on the bus; an absence would show from "
                + Limits.seconds(shortest) + " on" + (longest > shortest ? " for the busiest and from "
                + Limits.seconds(longest) + " on for the quietest" : "");
        return new Judgement("nodes", "none restarts", pauses, 0, pauses == 1 ? "absence" : "absences", outcome,
                away.isEmpty() ? span.from() : first, span.until(), says);
    }

    private void heard(Node node, double now) {
        double pause = now - node.last;
        if (pause > LEAST_PERIODS * node.fastest + 2e-3 && !Samples.gapIn(recording.findings(), node.last, now)) {
            node.pauses++;
            if (pause > node.longest) {
                node.longest = pause;
                node.longestFrom = node.last;
            }
        }
        node.last = now;
    }

    /** More than one damaged frame for ten milliseconds: nobody gets through then. */
    private boolean disturbed(double from, double until) {
        int damaged = 0;
        for (int i = 0; i < log.size(); i++) {
            if (!log.isWhole(i) && log.startSeconds(i) >= from && log.startSeconds(i) <= until) damaged++;
        }
        return damaged > 5 && damaged > (until - from) * 20;
    }

    private Map<Long, Node> nodes() {
        Map<String, Node> byName = new LinkedHashMap<>();
        Map<Long, Node> byKey = new LinkedHashMap<>();
        for (Message m : recording.findings().layout().messages()) {
            if (m.from().size() != 1 || Double.isNaN(m.everySeconds()) || !sent(MessageKey.of(m))) continue;
            add(byName, byKey, m.from().get(0), MessageKey.of(m), m.everySeconds());
        }
        for (MessageFinding m : recording.findings().clashes().messages()) {
            if (byKey.containsKey(m.key()) || m.senders().size() != 1 || m.schedules().size() != 1) continue;
            double period = m.schedules().get(0).periodSeconds();
            if (Double.isNaN(period)) continue;
            String name = recording.findings().clashes().senders().get(m.senders().get(0)).title();
            if (name.length() < 3) name = "sender " + name;
            add(byName, byKey, name, m.key(), period);
        }
        return byKey;
    }

    private static void add(Map<String, Node> byName, Map<Long, Node> byKey, String name, long key, double period) {
        Node node = byName.computeIfAbsent(name, Node::new);
        node.fastest = Math.min(node.fastest, period);
        byKey.put(key, node);
    }

    /** A documented message that nobody sends (an option not fitted) makes no node absent. */
    private boolean sent(long key) {
        for (int i = 0; i < log.size(); i++) if (log.key(i) == key && log.isWhole(i)) return true;
        return false;
    }
}
