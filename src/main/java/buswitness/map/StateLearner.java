package buswitness.map;

import buswitness.frames.FrameLog;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;

/**
 * Bits that answer to something switched on and off. Under "it answers" each switching brings a turn of the bit within a
 * second or so; under "it does not" turns come when they like. The score is the log10 of the likelihood ratio, so that the
 * chance of a score s by accident is at most 10^-s (A. A. Markov's inequality), times the places tried.
 */
final class StateLearner {
    /** People note a switching late rather than early: mean and standard deviation, seconds; common practice, no source. */
    private static final double NOTED_LATE = 0.2;
    private static final double NOTED_SPREAD = 0.5;
    private static final double ANSWERS = 0.95;
    private static final double EXTRA = 0.3;
    private static final int MOST_NUMBERS = 16;
    private static final int WIDEST = 8;

    private record Edge(double at, boolean on) {}

    private final List<Traffic> traffics;
    private final List<List<Edge>> edges = new ArrayList<>();
    private int told;

    StateLearner(List<Traffic> traffics, List<List<Deed>> deeds) {
        this.traffics = traffics;
        for (int r = 0; r < traffics.size(); r++) {
            List<Edge> here = new ArrayList<>();
            for (Deed d : deeds.get(r)) {
                if (d.fromSeconds() > 0) here.add(new Edge(d.fromSeconds(), true));
                if (!Double.isNaN(d.untilSeconds()) && d.untilSeconds() < traffics.get(r).seconds()) {
                    here.add(new Edge(d.untilSeconds(), false));
                }
            }
            edges.add(here);
            told += here.size();
        }
    }

    int told() {
        return told;
    }

    void tryOut(MapMessage m, List<Learned.Candidate> out) {
        for (PayloadField f : m.fields()) {
            if (f.kind() == FieldKind.CONSTANT || f.kind() == FieldKind.CHECK || f.kind() == FieldKind.COUNTER
                    || f.kind() == FieldKind.PAGE) continue;
            if (f.width() > 1 && f.width() <= WIDEST && f.changingBits() <= 5) numbers(m, f, out);
            if (f.lowByteFirst()) continue;
            for (int b = f.firstBit(); b < f.endBit(); b++) {
                PayloadField bit = new PayloadField(FieldKind.FLAG, b, 1, false, false, f.page(), f.confidence(), 1, 0, 1, "");
                consider(m, bit, f.width() == 1, 1, out);
            }
        }
    }

    private void numbers(MapMessage m, PayloadField f, List<Learned.Candidate> out) {
        TreeSet<Long> seen = new TreeSet<>();
        for (Traffic t : traffics) {
            MessageFacts facts = t.messages.get(m.key());
            if (facts == null) continue;
            Signal signal = f.signal("");
            for (int i : facts.frames) {
                byte[] data = t.findings.frames().data(i);
                if (data.length == m.length() && !Double.isNaN(signal.read(data, data.length))) seen.add(signal.raw(data));
                if (seen.size() > MOST_NUMBERS) return;
            }
        }
        if (seen.size() < 2) return;
        for (long v : seen) consider(m, f, true, v, out);
    }

    private void consider(MapMessage m, PayloadField f, boolean found, long when, List<Learned.Candidate> out) {
        double[] score = new double[2];
        int[] matched = new int[2];
        int turns = 0;
        for (int r = 0; r < traffics.size(); r++) {
            MessageFacts facts = traffics.get(r).messages.get(m.key());
            if (facts == null || edges.get(r).isEmpty()) continue;
            List<Edge> turned = turns(facts, f, m.length(), when);
            turns += turned.size();
            for (int inverted = 0; inverted < 2; inverted++) {
                score(edges.get(r), turned, inverted == 1, traffics.get(r).seconds(), facts.usualPause(), score, matched);
            }
        }
        if (turns == 0) return;
        int best = score[1] > score[0] + 1e-9 ? 1 : 0;
        // Of equal answers the single bit is the simpler one.
        double simple = f.width() == 1 && found ? 0.3 : f.width() == 1 ? 0.1 : 0;
        out.add(new Learned.Candidate(m.key(), f, found, when, best == 1, Double.NaN, Double.NaN, Double.NaN, Double.NaN,
                Double.NaN, matched[best], score[best] + simple, -score[best]));
    }

    private static List<Edge> turns(MessageFacts facts, PayloadField f, int length, long when) {
        FrameLog log = facts.findings.frames();
        Signal signal = f.signal("");
        List<Edge> turned = new ArrayList<>();
        int last = -1;
        for (int i : facts.frames) {
            if (log.dataLength(i) != length) continue;
            byte[] data = log.data(i);
            if (Double.isNaN(signal.read(data, length))) continue;
            int now = signal.raw(data) == when ? 1 : 0;
            if (last >= 0 && now != last) turned.add(new Edge(log.startSeconds(i), now == 1));
            last = now;
        }
        return turned;
    }

    private static void score(List<Edge> told, List<Edge> turned, boolean inverted, double seconds, double pause,
                              double[] score, int[] matched) {
        int at = inverted ? 1 : 0;
        boolean[] used = new boolean[turned.size()];
        double spread = Math.hypot(NOTED_SPREAD, Double.isNaN(pause) ? 0 : pause / 2);
        // Turns of each direction a second, at least one in the whole recording.
        double rate = Math.max(1, turned.size() / 2.0) / seconds;
        for (Edge e : told) {
            int best = -1;
            for (int k = 0; k < turned.size(); k++) {
                if (used[k] || (turned.get(k).on == e.on) == inverted) continue;
                if (best < 0 || off(turned.get(k), e) < off(turned.get(best), e)) best = k;
            }
            double density = 0;
            if (best >= 0) {
                double u = (e.at - turned.get(best).at - NOTED_LATE) / spread;
                density = Math.exp(-u * u / 2) / (spread * Math.sqrt(2 * Math.PI));
            }
            double answers = ANSWERS * density + (1 - ANSWERS) * rate;
            score[at] += Math.log10(answers / rate);
            if (ANSWERS * density > (1 - ANSWERS) * rate) {
                used[best] = true;
                matched[at]++;
            }
        }
        for (boolean b : used) if (!b) score[at] += Math.log10(EXTRA);
    }

    private static double off(Edge turn, Edge told) {
        return Math.abs(told.at - turn.at - NOTED_LATE);
    }
}
