package buswitness.report.finding;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.BitSet;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

/** Property: whatever is left out, no reversal of the whole series is hidden. The reversals are found by other means. */
class TraceThinnerTest {
    private static final long SEED = Long.getLong("fuzz.seed", 20_261_125L);

    @Test
    void everyReversalIsKeptOrCountedInABandThatSpansIt() {
        SplittableRandom random = new SplittableRandom(SEED);
        int banded = 0;
        int kept = 0;
        for (int round = 0; round < 600; round++) {
            Series s = series(random);
            DetailPlan plan = plan(random, s);
            int bins = 1 + random.nextInt(120);
            TraceThinner.Thin thin = TraceThinner.thin(s.at, s.values, plan, s.duration, bins);
            BitSet drawn = new BitSet();
            for (int k : thin.kept()) drawn.set(k);
            int[] counted = new int[thin.bands().size()];
            for (int turn : reversals(s.values)) {
                if (drawn.get(turn)) kept++;
                int band = bandOf(thin, turn);
                assertTrue(drawn.get(turn) || band >= 0, "seed " + SEED + " round " + round + " hides sample " + turn);
                if (band < 0) continue;
                counted[band]++;
                banded++;
                TraceThinner.Band b = thin.bands().get(band);
                assertTrue(s.values[turn] >= b.low() && s.values[turn] <= b.high(), "outside its band");
            }
            for (int b = 0; b < counted.length; b++) assertEquals(counted[b], thin.bands().get(b).turns());
        }
        assertTrue(kept > 10_000 && banded > 10_000, "both ways must have been tried: " + kept + ", " + banded);
    }

    /** What is drawn between the bands turns exactly as often as the whole series does there. */
    @Test
    void withoutBandsTheDrawnLineTurnsJustAsOften() {
        SplittableRandom random = new SplittableRandom(SEED + 1);
        int compared = 0;
        for (int round = 0; round < 400; round++) {
            Series s = series(random);
            TraceThinner.Thin thin = TraceThinner.thin(s.at, s.values, plan(random, s), s.duration, 300);
            if (!thin.bands().isEmpty()) continue;
            float[] drawn = new float[thin.kept().length];
            for (int k = 0; k < drawn.length; k++) drawn[k] = s.values[thin.kept()[k]];
            assertEquals(reversals(s.values).size(), reversals(drawn).size(), "seed " + SEED + " round " + round);
            compared++;
        }
        assertTrue(compared > 40, "too few were compared: " + compared);
    }

    @Test
    void calmIsThinnedAndDetailIsNot() {
        int n = 100_000;
        double[] at = new double[n];
        float[] values = new float[n];
        for (int i = 0; i < n; i++) at[i] = i * 0.01;
        double[] few = {400};
        DetailPlan plan = DetailPlan.choose(1000, at, new double[0], few, 8000);
        values[40_000] = 1;
        TraceThinner.Thin thin = TraceThinner.thin(at, values, plan, 1000, 100);
        assertTrue(thin.kept().length < 8000 + 600, "kept " + thin.kept().length);
        for (int i = 0; i < n; i++) {
            if (plan.covers(at[i])) assertTrue(Arrays.binarySearch(thin.kept(), i) >= 0);
        }
        assertTrue(plan.covers(400), "the reversal has a window");
    }

    private record Series(double[] at, float[] values, double duration) {}

    private static Series series(SplittableRandom random) {
        int n = 2 + random.nextInt(3000);
        double[] at = new double[n];
        float[] values = new float[n];
        int kind = random.nextInt(5);
        double t = 0;
        float level = 0;
        for (int i = 0; i < n; i++) {
            t += 0.001 + random.nextDouble() * 0.1;
            at[i] = t;
            switch (kind) {
                case 0 -> values[i] = i % 2 == 0 ? 62 : 90;
                case 1 -> values[i] = level += random.nextInt(100) < 3 ? random.nextInt(-5, 6) : 0;
                case 2 -> values[i] = random.nextInt(4);
                case 3 -> values[i] = (float) Math.sin(i * 0.01) * 100;
                default -> values[i] = random.nextInt(200) == 0 ? random.nextInt(3) : level;
            }
        }
        return new Series(at, values, t);
    }

    private static DetailPlan plan(SplittableRandom random, Series s) {
        double[] marks = random.doubles(random.nextInt(4)).map(x -> x * s.duration).sorted().toArray();
        return DetailPlan.choose(s.duration, s.at, marks, new double[0], Math.max(1, s.at.length / 5));
    }

    private static int bandOf(TraceThinner.Thin thin, int sample) {
        for (int b = 0; b < thin.bands().size(); b++) {
            if (sample >= thin.bands().get(b).first() && sample <= thin.bands().get(b).last()) return b;
        }
        return -1;
    }

    /** By plateaus: a run of equal values whose neighbours are both lower, or both higher; its last sample. */
    private static List<Integer> reversals(float[] values) {
        List<Integer> out = new ArrayList<>();
        int start = 0;
        while (start < values.length) {
            int end = start;
            while (end + 1 < values.length && values[end + 1] == values[start]) end++;
            if (start > 0 && end + 1 < values.length
                    && (values[start - 1] < values[start]) == (values[end + 1] < values[start])) out.add(end);
            start = end + 1;
        }
        return out;
    }
}
