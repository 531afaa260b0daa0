package buswitness.capture;

/**
 * Means of a line's samples between its changes. The samples of an edge count for neither level: those just before a
 * change are held back until it is clear that none follows, those just after it are passed over.
 */
final class LevelGauge {
    private final LevelSink sink;
    private final float[] heldBack;
    private final int passedOver;
    private long next;
    private long settledFrom;
    private double sum;
    private int count;
    private long openedAt;
    private int level = -1;
    private double slope;

    LevelGauge(SignalShape shape, LevelSink sink) {
        this.sink = sink;
        double edge = shape.resolved() ? shape.edgeSamples() : 0.5;
        heldBack = new float[(int) Math.ceil(edge)];
        passedOver = (int) Math.ceil(2 * edge);
    }

    void sample(float x) {
        int slot = (int) (next % heldBack.length);
        if (next - heldBack.length >= settledFrom) {
            sum += heldBack[slot];
            count++;
        }
        heldBack[slot] = x;
        next++;
    }

    /** The line has changed to a level, before the sample that is handed in next. */
    void change(long atPicos, int to, double unitsPerMicro) {
        if (level >= 0) sink.held(openedAt, atPicos, level, count == 0 ? Double.NaN : sum / count, count, slope);
        sum = 0;
        count = 0;
        settledFrom = next + passedOver;
        openedAt = atPicos;
        level = to;
        slope = unitsPerMicro;
    }
}
