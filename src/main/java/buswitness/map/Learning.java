package buswitness.map;

import buswitness.Findings;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/** Finds the bits that answer to what was done or seen, and ranks them. */
final class Learning {
    private static final int MOST_SHOWN = 6;
    private static final double SURE = -1;

    private final List<Learned> learned = new ArrayList<>();

    private Learning() {}

    /** @param deeds for each recording; what has the same name in several is one thing */
    static List<Learned> learn(List<Findings> recordings, List<List<Deed>> deeds, List<MapMessage> messages) {
        Learning learning = new Learning();
        Map<String, List<List<Deed>>> things = new LinkedHashMap<>();
        for (int r = 0; r < recordings.size(); r++) {
            List<Deed> here = r < deeds.size() ? deeds.get(r) : List.of();
            for (Deed d : here) {
                List<List<Deed>> all = things.computeIfAbsent((d.state() ? "s" : "r") + d.what(), k -> new ArrayList<>());
                while (all.size() < recordings.size()) all.add(new ArrayList<>());
                all.get(r).add(d);
            }
        }
        if (things.isEmpty()) return List.of();
        List<Traffic> traffics = recordings.stream().map(Traffic::new).toList();
        for (List<List<Deed>> thing : things.values()) learning.thing(traffics, thing, messages);
        return learning.learned;
    }

    private void thing(List<Traffic> traffics, List<List<Deed>> deeds, List<MapMessage> messages) {
        Deed example = deeds.stream().flatMap(List::stream).findFirst().orElseThrow();
        if (example.state()) {
            StateLearner learner = new StateLearner(traffics, deeds);
            List<Learned.Candidate> all = new ArrayList<>();
            for (MapMessage m : messages) learner.tryOut(m, all);
            add(example, true, learner.told(), all);
        } else {
            ReadingLearner learner = new ReadingLearner(traffics, deeds);
            List<Learned.Candidate> all = new ArrayList<>();
            for (MapMessage m : messages) learner.tryOut(m, all);
            add(example, false, learner.told(), all);
        }
    }

    /** The score travels in {@code logOdds} until the candidates are compared here. */
    private void add(Deed deed, boolean state, int told, List<Learned.Candidate> all) {
        int tries = all.size();
        all.sort(Comparator.comparingDouble((Learned.Candidate c) -> -c.logOdds())
                .thenComparingLong(Learned.Candidate::key).thenComparingInt(c -> c.field().firstBit()));
        dropTwins(all);
        List<Learned.Candidate> ranked = new ArrayList<>();
        double best = all.isEmpty() ? 0 : all.get(0).logOdds();
        double second = all.size() < 2 ? 0 : all.get(1).logOdds();
        for (Learned.Candidate c : all) {
            if (ranked.size() == MOST_SHOWN) break;
            double odds = ranked.isEmpty() ? best - second : c.logOdds() - best;
            ranked.add(new Learned.Candidate(c.key(), c.field(), c.found(), c.when(), c.inverted(), c.factor(),
                    c.factorError(), c.offset(), c.offsetError(), c.scatter(), c.matched(), odds,
                    Math.min(0, c.logChance() + Math.log10(Math.max(1, tries)))));
        }
        String says = "";
        if (ranked.isEmpty()) says = "No bit changed in step with it.";
        else if (ranked.get(0).logChance() > SURE) {
            says = state ? "Nothing answers beyond chance: switch it on and off three times, ten seconds apart, and note each."
                    : told < 3 ? "Two readings fit any number that moved: note three or more, spread over the scale."
                    : "Nothing answers beyond chance: note more readings, spread over the scale.";
        } else if (ranked.get(0).logOdds() < 1) {
            says = "Others answer about as well: do it again, apart from everything else.";
        }
        learned.add(new Learned(deed.what(), deed.unit(), state, told, ranked, says));
    }

    /** The same bits with or without a sign, or with a byte that stood still, tell the same: the best of them stays. */
    private static void dropTwins(List<Learned.Candidate> all) {
        List<Learned.Candidate> kept = new ArrayList<>();
        for (Learned.Candidate c : all) {
            boolean twin = false;
            for (Learned.Candidate k : kept) {
                twin |= k.key() == c.key() && LayoutEntries.overlap(k.field(), c.field())
                        && Math.abs(k.scatter() - c.scatter()) <= 1e-6 * Math.abs(k.scatter());
            }
            if (!twin) kept.add(c);
        }
        all.clear();
        all.addAll(kept);
    }
}
