package buswitness.senders;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** One schedule of a message: one comb after another that can be the same timer, restarted or recorded in parts. */
final class Train {
    final List<Comb> combs = new ArrayList<>();
    final List<CombSmoother> smooth = new ArrayList<>();
    final List<ClockFit> fits = new ArrayList<>();
    int restarts;
    double meanPeriod;
    double walk;
    double jitter;
    double gapCorrelation = Double.NaN;
    /** Every tooth in recorded time, ascending, margins before and after included. */
    double[] tooth = {};
    float[] toothError = {};
    /** Comb and tooth number that a tooth's index stands for. */
    int[] combOf = {};
    int[] numberOf = {};

    /** Period and error over all its combs, weighted by their errors. */
    double period() {
        double sum = 0;
        double weights = 0;
        for (ClockFit f : fits) {
            double error = error(f);
            double w = error > 0 ? 1 / (error * error) : 1e-6;
            sum += w * f.period();
            weights += w;
        }
        return sum / weights;
    }

    double periodError() {
        double weights = 0;
        for (ClockFit f : fits) if (error(f) > 0) weights += 1 / (error(f) * error(f));
        return weights > 0 ? Math.sqrt(1 / weights) : Double.NaN;
    }

    private double error(ClockFit f) {
        return fits.size() == 1 ? f.periodError() : f.errorAmong(jitter);
    }

    double from() {
        CombSmoother s = smooth.get(0);
        return s.timeOf(combs.get(0).firstTooth());
    }

    double until() {
        int last = combs.size() - 1;
        return smooth.get(last).timeOf(combs.get(last).lastTooth());
    }

    int members() {
        int n = 0;
        for (Comb c : combs) n += c.size;
        return n;
    }

    /** Teeth between its first and last member that lie in recorded time. */
    int teethWithin() {
        double from = from() - 1e-9;
        double until = until() + 1e-9;
        int n = 0;
        for (double t : tooth) if (t >= from && t <= until) n++;
        return n;
    }

    /** Index of the tooth nearest to a time; {@code hint} is one at or before it, 0 to search from scratch. */
    int nearest(double time, int hint) {
        int i = hint;
        if (i == 0) {
            int found = Arrays.binarySearch(tooth, time);
            i = found >= 0 ? found : Math.max(0, -found - 2);
        }
        while (i + 1 < tooth.length && tooth[i + 1] <= time) i++;
        if (i + 1 < tooth.length && tooth[i + 1] - time < time - tooth[i]) i++;
        return i;
    }

    /** Fits, smooths and lays out the teeth anew from the combs' members. */
    void refit(MessageFrames frames, RecordedTime time) {
        Comb longest = combs.get(0);
        for (Comb c : combs) if (c.size > longest.size) longest = c;
        GapShape shape = new GapShape(frames, longest);
        gapCorrelation = shape.correlation;
        walk = shape.walk;
        fits.clear();
        smooth.clear();
        double assumed = jitter;
        double squares = 0;
        int weight = 0;
        for (Comb c : combs) {
            ClockFit fit = ClockFit.of(frames, c, walk);
            fits.add(fit);
            CombSmoother s = new CombSmoother(frames, c, fit.period(), assumed, walk);
            smooth.add(s);
            double j = s.jitter();
            squares += c.size * j * j;
            weight += c.size;
        }
        jitter = Math.sqrt(squares / weight);
        meanPeriod = period();
        layOut(time);
    }

    private void layOut(RecordedTime time) {
        int most = 0;
        for (CombSmoother s : smooth) most += s.at.length;
        double[] at = new double[most];
        float[] error = new float[most];
        int[] comb = new int[most];
        int[] number = new int[most];
        int n = 0;
        for (int c = 0; c < combs.size(); c++) {
            CombSmoother s = smooth.get(c);
            float[] errors = s.errors();
            double period = fits.get(c).period();
            double next = c + 1 < combs.size() ? smooth.get(c + 1).timeOf(combs.get(c + 1).layFirst()) : 1e300;
            int lastMember = combs.get(c).layLast();
            for (int t = 0; t < s.at.length; t++) {
                boolean margin = s.firstTooth + t < combs.get(c).layFirst() || s.firstTooth + t > lastMember;
                if (n > 0 && s.at[t] < at[n - 1] + (margin ? period / 2 : 0)) continue;
                if (margin && s.at[t] > next - period / 2 || !time.recorded(s.at[t])) continue;
                at[n] = s.at[t];
                error[n] = errors[t];
                comb[n] = c;
                number[n++] = s.firstTooth + t;
            }
        }
        tooth = Arrays.copyOf(at, n);
        toothError = Arrays.copyOf(error, n);
        combOf = Arrays.copyOf(comb, n);
        numberOf = Arrays.copyOf(number, n);
    }
}
