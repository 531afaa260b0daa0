package buswitness.capture;

/**
 * Turns the samples of one line into level changes. It follows the level that the line holds now, however that wanders,
 * and expects the other one a swing away: half-way lies the instant of a change, interpolated between two samples, and a
 * change counts once the samples have gone 0.65 of the swing, so that noise at half-way makes none.
 */
final class Slicer {
    private static final double DECIDED = 0.65;
    private static final double FOLLOWED = 0.25;

    private final int line;
    private final EdgeGatherer out;
    private final double swing;
    private final double gain;
    private final double periodPicos;
    private final boolean resolved;
    /** Null where nobody asks for the levels. */
    private final LevelGauge gauge;
    private double slope = Double.NaN;
    /** +1 while the line is low and may rise, -1 while it is high, 0 before its first change. */
    private int rises;
    private double held;
    private double before = Double.NaN;
    private double crossed = -1;
    private long sample;
    private long lastAt = -1;

    Slicer(int line, SignalShape shape, double periodPicos, EdgeGatherer out) {
        this(line, shape, periodPicos, out, null);
    }

    /** @param levels is told how high the line stands between its changes; may be null */
    Slicer(int line, SignalShape shape, double periodPicos, EdgeGatherer out, LevelSink levels) {
        this.gauge = levels == null ? null : new LevelGauge(shape, levels);
        this.resolved = shape.resolved();
        this.line = line;
        this.out = out;
        this.swing = shape.swing();
        this.gain = 1 / (4 * shape.edgeSamples());
        this.periodPicos = periodPicos;
    }

    void take(float[] samples, int count) {
        if (swing <= 0) {
            sample += count;
            return;
        }
        for (int i = 0; i < count; i++) take(samples[i]);
    }

    private void take(double x) {
        if (Double.isNaN(before)) {
            held = before = x;
        }
        int direction = rises != 0 ? rises : x >= held ? 1 : -1;
        double middle = direction * (held - x) + swing / 2;          // 0 or below: x is beyond half-way
        double middleBefore = direction * (held - before) + swing / 2;
        if (middle <= 0) {
            if (crossed < 0) {
                double part = middleBefore > 0 ? middleBefore / (middleBefore - middle) : 0;
                crossed = Math.max(0, sample - 1 + part);
                slope = resolved ? Math.abs(x - before) / periodPicos * 1e6 : Double.NaN;
            }
            if (middle <= swing / 2 - DECIDED * swing) change(direction);
        } else {
            crossed = -1;
            follow(x, direction);
        }
        if (gauge != null) gauge.sample((float) x);
        before = x;
        sample++;
    }

    private void change(int direction) {
        long at = Math.max(lastAt + 1, Math.round(crossed * periodPicos));
        if (rises == 0) out.level(line, 0, direction > 0 ? 0 : 1);
        if (at == 0) at = 1;
        out.level(line, at, direction > 0 ? 1 : 0);
        if (gauge != null) gauge.change(at, direction > 0 ? 1 : 0, slope);
        lastAt = at;
        held += direction * swing;
        rises = -direction;
        crossed = -1;
    }

    /** Inward only slowly, so that an edge is not followed; outward at once beyond a quarter of the swing. */
    private void follow(double x, int direction) {
        double off = x - held;
        if (Math.abs(off) < FOLLOWED * swing) {
            held += gain * off;
        } else if (rises != 0 && direction * off < 0) {
            held += off + direction * FOLLOWED * swing;
        }
    }

    /** Every change before this instant has been handed over. */
    long sureUntil() {
        double from = crossed >= 0 ? crossed : Math.max(0, sample - 1);
        return Math.max(0, Math.round(from * periodPicos) - 1);
    }

    boolean begun() {
        return rises != 0;
    }
}
