package buswitness.map;

import java.util.ArrayList;
import java.util.List;

/** Schedules of one sender's message made plain: pieces of one schedule are one. */
final class Rhythms {
    private static final double SAME = 0.002;
    private static final double NEAR = 0.06;
    private static final double FEW = 0.08;
    private static final int MOST_PIECES = 8;

    private Rhythms() {}

    /** @param several senders: then every schedule counts */
    static List<Rhythm> tidy(List<Rhythm> all, MessageFacts facts, boolean several) {
        if (several || all.size() < 2 && !pieces(all, facts)) return all;
        List<Rhythm> kept = new ArrayList<>();
        int frames = facts.frames.length;
        Rhythm most = all.get(0);
        for (Rhythm r : all) if (r.frames() > most.frames()) most = r;
        for (Rhythm r : all) {
            boolean multiple = false;
            for (Rhythm s : all) {
                double times = r.periodSeconds() / s.periodSeconds();
                double whole = Math.rint(times);
                multiple |= s != r && whole >= 2 && Math.abs(times / whole - 1) < SAME;
            }
            boolean few = r != most && r.frames() < FEW * frames;
            if (!multiple && !few) kept.add(r);
        }
        return pieces(kept, facts) ? List.of(whole(kept, facts)) : kept;
    }

    /** Every schedule is the same whole number of usual pauses long: the frames were dealt out over several. */
    private static boolean pieces(List<Rhythm> all, MessageFacts facts) {
        double usual = facts.usualPause();
        if (all.isEmpty() || Double.isNaN(usual)) return false;
        double times = Math.rint(all.get(0).periodSeconds() / usual);
        if (times < 2 || times > MOST_PIECES) return false;
        double due = (facts.last() - facts.first()) / usual + 1;
        if (facts.frames.length < 0.7 * due) return false;
        for (Rhythm r : all) if (Math.abs(r.periodSeconds() / usual / times - 1) > NEAR) return false;
        // Pauses that all last alike, not long and short in turn as two schedules make them.
        double[] pauses = facts.pauses();
        int alike = 0;
        for (double p : pauses) if (Math.abs(p / usual - 1) < NEAR) alike++;
        return alike > 0.7 * pauses.length;
    }

    private static Rhythm whole(List<Rhythm> all, MessageFacts facts) {
        Rhythm r = all.get(0);
        double times = Math.rint(r.periodSeconds() / facts.usualPause());
        int frames = all.stream().mapToInt(Rhythm::frames).sum();
        return new Rhythm(r.sender(), r.periodSeconds() / times, r.periodErrorSeconds() / times, r.nominalSeconds() / times,
                r.jitterSeconds(), frames, r.restarts());
    }
}
