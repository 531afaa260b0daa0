package buswitness.plan;

import java.util.Arrays;

/**
 * How long one sampled signal runs behind another that is held from sample to sample.
 *
 * @param seconds    the delay at which the two fit best
 * @param error      standard uncertainty: half the delays that fit as well, as a rectangle
 * @param deviations absolute deviation of each sample at that delay
 */
record Lag(double seconds, double error, double[] deviations) {

    static Lag find(Samples follower, Samples leader, double[] target, double reachSeconds) {
        double step = Math.max(1e-3, Math.min(follower.period(), leader.period()) / 4);
        int steps = (int) Math.min(2000, Math.ceil(reachSeconds / step));
        double[] cost = new double[steps + 1];
        double best = Double.POSITIVE_INFINITY;
        for (int d = 0; d <= steps; d++) {
            cost[d] = Arrays.stream(deviations(follower, leader, target, d * step)).average().orElse(0);
            best = Math.min(best, cost[d]);
        }
        double[] values = Arrays.copyOf(follower.value, follower.count);
        double range = Arrays.stream(values).max().orElse(0) - Arrays.stream(values).min().orElse(0);
        double like = best + Math.max(best * 0.05, range * 1e-3);
        int low = steps;
        int high = 0;
        for (int d = 0; d <= steps; d++) {
            if (cost[d] > like) continue;
            low = Math.min(low, d);
            high = Math.max(high, d);
        }
        double seconds = (low + high) * step / 2;
        double period = Math.hypot(follower.period(), leader.period());
        double error = Math.max((high - low) * step, period) / Math.sqrt(12);
        return new Lag(seconds, error, deviations(follower, leader, target, seconds));
    }

    private static double[] deviations(Samples follower, Samples leader, double[] target, double delay) {
        double[] out = new double[follower.count];
        int n = 0;
        int at = -1;
        for (int i = 0; i < follower.count; i++) {
            while (at + 1 < leader.count && leader.at[at + 1] <= follower.at[i] - delay) at++;
            if (at >= 0) out[n++] = Math.abs(follower.value[i] - target[at]);
        }
        return Arrays.copyOf(out, n);
    }
}
