package buswitness.compare;

import buswitness.Findings;
import buswitness.compare.Change.Kind;
import buswitness.compare.Change.Origin;
import buswitness.compare.Change.Standing;

/**
 * How often something happens in two recordings. The exact test of two counts takes events as independent of each other;
 * they come in flurries too (a bad joint on a bumpy road), so the counts of stretches are compared as well, and the more
 * doubtful answer of the two stands.
 */
final class Rates {
    /** Stretches that each recording is cut into. */
    private static final int STRETCHES = 16;

    private Rates() {}

    /** Events of one recording: how many, and when, in seconds from its start, as far as that is known. */
    record Counted(int count, double[] atSeconds, Findings recording) {
        double seconds() {
            return RecordingPair.seconds(recording);
        }

        double aMinute() {
            return count * 60 / seconds();
        }

        private double poissonError() {
            return 60 * Math.sqrt(Math.max(1, count)) / seconds();
        }

        /**
         * How much more the counts of stretches scatter than independent events would: their variance over their mean (R. A.
         * Fisher, H. G. Thornton and W. A. Mackenzie, Annals of Applied Biology 9, 1922), 1 at least.
         */
        private double scatter() {
            double length = RecordingPair.end(recording) / STRETCHES;
            double[] each = new double[STRETCHES];
            for (double t : atSeconds) each[(int) Math.max(0, Math.min(STRETCHES - 1, t / length))]++;
            double mean = (double) atSeconds.length / STRETCHES;
            if (mean == 0) return 1;
            double square = 0;
            for (double n : each) square += (n - mean) * (n - mean);
            return Math.max(1, square / (STRETCHES - 1) / mean);
        }

        String words() {
            return count + " in " + Words.with(seconds(), "s");
        }
    }

    /** Where neither instrument nor message has better words than the count. */
    static Change compared(Kind kind, String subject, String message, Counted a, Counted b, String unit, Origin origin) {
        return compared(kind, subject, message, a, b, unit, origin, a.words(), b.words());
    }

    static Change compared(Kind kind, String subject, String message, Counted a, Counted b, String unit, Origin origin,
                           String before, String after) {
        double d = b.aMinute() - a.aMinute();
        double error = Math.hypot(a.poissonError() * Math.sqrt(a.scatter()), b.poissonError() * Math.sqrt(b.scatter()));
        double chance = Chance.counts(a.count, a.seconds(), b.count, b.seconds());
        if (a.scatter() > 1 || b.scatter() > 1) chance = Math.max(chance, Chance.student(d, error, STRETCHES - 1));
        return new Change(kind, subject, message, before, after, d, error, unit, chance, Standing.CHANGED, origin,
                "counts; what comes in flurries counts for less");
    }
}
