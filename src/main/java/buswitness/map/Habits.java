package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** When the bus rests, who wakes and leaves first, what falls silent together. */
final class Habits {
    private static final double REST_SECONDS = 1;
    /** Who went and who came: looked at for so long before and after a rest. */
    private static final double AROUND_SECONDS = 5;
    private static final int MOST_RESTS = 20;
    /** Silences that begin and end within so many usual pauses of each other, or this long, are one. */
    private static final double SAME_PAUSES = 2.5;
    private static final double SAME_SECONDS = 0.05;

    final List<Span> rests = new ArrayList<>();
    final List<Order> orders = new ArrayList<>();
    final List<Together> together = new ArrayList<>();
    private final Traffic traffic;
    private final List<MapMessage> messages;

    Habits(Traffic traffic, List<MapMessage> messages) {
        this.traffic = traffic;
        this.messages = messages;
        rests();
        orders();
        together();
    }

    private void rests() {
        FrameLog log = traffic.findings.frames();
        if (log.size() == 0) return;
        // On a bus of slow messages a second without any is nothing.
        double least = REST_SECONDS;
        for (MapMessage m : messages) {
            MessageFacts facts = traffic.messages.get(m.key());
            if (facts != null) least = Math.max(least, 1.5 * fastest());
        }
        double last = 0;
        for (int i = 0; i <= log.size(); i++) {
            double at = i == log.size() ? traffic.seconds() : log.startSeconds(i);
            if (at - last > least && !gap(last, at)) rests.add(new Span(last, at));
            if (i < log.size()) last = log.endPicos(i) * 1e-12;
        }
    }

    private double fastest() {
        double least = Double.POSITIVE_INFINITY;
        for (MessageFacts f : traffic.messages.values()) {
            double pause = f.usualPause();
            if (f.frames.length >= 5 && pause < least) least = pause;
        }
        return least < 1e9 ? least : 0;
    }

    private boolean gap(double from, double until) {
        for (Gap g : traffic.findings.gaps()) {
            if (g.fromPicos() * 1e-12 < until && g.untilPicos() * 1e-12 > from) return true;
        }
        return false;
    }

    private void orders() {
        for (int i = 0; i < rests.size() && i < MOST_RESTS; i++) {
            Span rest = rests.get(i);
            if (rest.fromSeconds() > 0) orders.add(order(false, rest.fromSeconds()));
            if (rest.untilSeconds() < traffic.seconds()) orders.add(order(true, rest.untilSeconds()));
        }
    }

    private Order order(boolean start, double at) {
        List<Order.Step> steps = new ArrayList<>();
        for (MapMessage m : messages) {
            MessageFacts facts = traffic.messages.get(m.key());
            if (facts == null) continue;
            double best = Double.NaN;
            for (int k = 0; k < facts.frames.length; k++) {
                double after = facts.start(k) - at;
                if (start && after >= -1e-9 && after <= AROUND_SECONDS && Double.isNaN(best)) best = after;
                if (!start && after <= 0 && after >= -AROUND_SECONDS) best = after;
            }
            if (!Double.isNaN(best)) steps.add(new Order.Step(m.key(), m.senders().size() == 1 ? m.senders().get(0) : -1, best));
        }
        steps.sort(Comparator.comparingDouble(Order.Step::afterSeconds));
        return new Order(start, at, steps);
    }

    private record Silent(long key, Span span, double slack) {}

    private void together() {
        List<Silent> all = new ArrayList<>();
        for (MapMessage m : messages) {
            MessageFacts facts = traffic.messages.get(m.key());
            if (facts == null) continue;
            double slack = Math.max(SAME_SECONDS, SAME_PAUSES * facts.usualPause());
            for (Span s : facts.silences()) if (!isRest(s, slack)) all.add(new Silent(m.key(), s, slack));
        }
        all.sort(Comparator.comparingDouble(s -> s.span.fromSeconds()));
        Map<List<Long>, List<Span>> sets = new LinkedHashMap<>();
        boolean[] used = new boolean[all.size()];
        for (int i = 0; i < all.size(); i++) {
            if (used[i]) continue;
            List<Long> keys = new ArrayList<>(List.of(all.get(i).key));
            Span span = all.get(i).span;
            for (int j = i + 1; j < all.size(); j++) {
                Silent b = all.get(j);
                double slack = Math.max(all.get(i).slack, b.slack);
                boolean same = Math.abs(b.span.fromSeconds() - span.fromSeconds()) <= slack
                        && Math.abs(b.span.untilSeconds() - span.untilSeconds()) <= slack;
                if (used[j] || !same || keys.contains(b.key)) continue;
                used[j] = true;
                keys.add(b.key);
            }
            if (keys.size() < 2) continue;
            keys.sort(null);
            sets.computeIfAbsent(keys, k -> new ArrayList<>()).add(span);
        }
        sets.forEach((keys, spans) -> together.add(new Together(keys, spans, spans.size())));
    }

    private boolean isRest(Span s, double slack) {
        for (Span r : rests) {
            if (s.fromSeconds() >= r.fromSeconds() - slack && s.untilSeconds() <= r.untilSeconds() + slack) return true;
        }
        return false;
    }
}
