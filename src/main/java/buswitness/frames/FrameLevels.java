package buswitness.frames;

import java.util.Arrays;

/**
 * How high the line stood in each frame of a recording of voltages, column by column beside a {@link FrameLog}: 28 bytes a
 * frame. Only the part counts that one transmitter alone drives: neither the bits that are arbitrated nor the acknowledge
 * slot. NaN where a frame has too few edges or the recording does not say.
 */
public final class FrameLevels {
    private final String unit;
    private int size;
    private int[] fromNanos = new int[256];
    private int[] untilNanos = new int[256];
    private float[] dominant = new float[256];
    private float[] recessive = new float[256];
    private float[] swing = new float[256];
    private float[] swingError = new float[256];
    private float[] slope = new float[256];

    FrameLevels(String unit) {
        this.unit = unit;
    }

    /** Unit of all levels: {@code V}, {@code mV}, or {@code FS} for the full scale of a WAV. */
    public String unit() {
        return unit;
    }

    void add(LogRow row) {
        if (size == fromNanos.length) grow();
        int i = size++;
        boolean alone = row.aloneFromPicos >= 0;
        fromNanos[i] = alone ? nanos(row.aloneFromPicos - row.startPicos) : 0;
        untilNanos[i] = alone ? nanos(row.aloneUntilPicos - row.startPicos) : 0;
        set(i, Float.NaN, Float.NaN, Float.NaN, Float.NaN, Float.NaN);
    }

    /** A frame of which nothing is known. */
    void addBlank() {
        if (size == fromNanos.length) grow();
        fromNanos[size] = untilNanos[size] = 0;
        set(size++, Float.NaN, Float.NaN, Float.NaN, Float.NaN, Float.NaN);
    }

    private static int nanos(long picos) {
        return (int) Math.max(0, Math.min(Integer.MAX_VALUE, (picos + 500) / 1000));
    }

    void set(int i, double ofDominant, double ofRecessive, double ofSwing, double error, double ofSlope) {
        dominant[i] = (float) ofDominant;
        recessive[i] = (float) ofRecessive;
        swing[i] = (float) ofSwing;
        swingError[i] = (float) error;
        slope[i] = (float) ofSlope;
    }

    private void grow() {
        int more = fromNanos.length + (fromNanos.length >> 1);
        fromNanos = Arrays.copyOf(fromNanos, more);
        untilNanos = Arrays.copyOf(untilNanos, more);
        dominant = Arrays.copyOf(dominant, more);
        recessive = Arrays.copyOf(recessive, more);
        swing = Arrays.copyOf(swing, more);
        swingError = Arrays.copyOf(swingError, more);
        slope = Arrays.copyOf(slope, more);
    }

    int size() {
        return size;
    }

    /** First edge that one transmitter alone drives, nanoseconds from the frame's start. */
    int fromNanos(int i) {
        return fromNanos[i];
    }

    /** Last such edge; not above {@link #fromNanos} where there is none. */
    int untilNanos(int i) {
        return untilNanos[i];
    }

    /** Mean level of the dominant bits. */
    public float dominant(int i) {
        return dominant[i];
    }

    /** Mean level of the recessive bits between them. */
    public float recessive(int i) {
        return recessive[i];
    }

    /** Mean step from a recessive run to the dominant one beside it, with its sign: free of a level that wanders. */
    public float swing(int i) {
        return swing[i];
    }

    /** One standard error of {@link #swing}, from the scatter of the frame's steps. */
    public float swingError(int i) {
        return swingError[i];
    }

    /** Mean steepness of the edges to dominant where they are half-way, units in a microsecond, without sign. */
    public float slope(int i) {
        return slope[i];
    }
}
