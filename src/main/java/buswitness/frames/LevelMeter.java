package buswitness.frames;

import buswitness.capture.LevelSink;

/**
 * Second look at a recording of voltages: gives each frame of a log the levels of the part that one transmitter alone
 * drives. Takes the stretches between changes in time order; {@link #finish} once. The log must keep levels.
 */
public final class LevelMeter implements LevelSink {
    /** A step is one value; fewer say nothing of their own scatter. */
    private static final int FEWEST_STEPS = 4;

    private final FrameLog log;
    private final FrameLevels levels;
    private final int idleLevel;
    private int frame;
    private final Sum dominant = new Sum();
    private final Sum recessive = new Sum();
    private final Sum step = new Sum();
    private final Sum slope = new Sum();
    private double lastMean = Double.NaN;
    private long lastUntil = Long.MIN_VALUE;

    private static final class Sum {
        private int count;
        private double total;
        private double squares;

        void add(double x) {
            if (Double.isNaN(x)) return;
            count++;
            total += x;
            squares += x * x;
        }

        double mean() {
            return count == 0 ? Double.NaN : total / count;
        }

        double error() {
            double mean = total / count;
            return Math.sqrt(Math.max(0, squares / count - mean * mean) / (count - 1));
        }

        void clear() {
            count = 0;
            total = squares = 0;
        }
    }

    /** @param idleLevel recorder's level while the bus rests, 0 or 1 */
    public LevelMeter(FrameLog log, int idleLevel) {
        this.log = log;
        this.levels = log.levels();
        this.idleLevel = idleLevel;
    }

    @Override
    public void held(long fromPicos, long untilPicos, int level, double mean, int samples, double unitsPerMicro) {
        while (frame < log.size() && until(frame) < untilPicos) close();
        if (frame == log.size() || fromPicos < from(frame)) {
            lastMean = Double.NaN;
            return;
        }
        boolean isDominant = level != idleLevel;
        (isDominant ? dominant : recessive).add(mean);
        if (isDominant) slope.add(unitsPerMicro);
        if (lastUntil == fromPicos) step.add(isDominant ? mean - lastMean : lastMean - mean);
        lastMean = mean;
        lastUntil = untilPicos;
    }

    private long from(int i) {
        // Windows are kept to the nearest nanosecond.
        return log.startPicos(i) + levels.fromNanos(i) * 1000L - 1000;
    }

    private long until(int i) {
        return log.startPicos(i) + levels.untilNanos(i) * 1000L + 1000;
    }

    private void close() {
        if (step.count >= FEWEST_STEPS) {
            levels.set(frame, dominant.mean(), recessive.mean(), step.mean(), step.error(), slope.mean());
        }
        dominant.clear();
        recessive.clear();
        step.clear();
        slope.clear();
        lastMean = Double.NaN;
        frame++;
    }

    /** The recording is over. */
    public void finish() {
        while (frame < log.size()) close();
    }
}
