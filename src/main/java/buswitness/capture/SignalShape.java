package buswitness.capture;

/**
 * The shape of a sampled line.
 *
 * @param swing       distance of the two levels, in the samples' unit; 0 where the line rests
 * @param edgeSamples samples that an edge takes from level to level, at least 1
 * @param noise       standard deviation of a resting level, in the samples' unit; 0 where the line never rests
 */
record SignalShape(double swing, double edgeSamples, double noise) {
    /** Error left by a straight line between two samples of a smooth edge, in samples; measured on simulated edges. */
    private static final double STRAIGHT_LINE = 0.05;
    /** Below this an edge passes between two samples and nothing tells where. */
    private static final double RESOLVED = 1.25;

    boolean resolved() {
        return edgeSamples >= RESOLVED;
    }

    /** One standard error of an edge's time, in samples. */
    double errorSamples() {
        if (!resolved() || swing <= 0) return 1 / Math.sqrt(12);
        return Math.min(1 / Math.sqrt(12), Math.hypot(STRAIGHT_LINE, noise * edgeSamples / swing));
    }
}
