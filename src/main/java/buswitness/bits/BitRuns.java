package buswitness.bits;

/**
 * Runs of equal bits on one line, in time order. Reused by its owner: a sink must not keep it after the call returns.
 * Levels alternate from run to run, across blocks too, except that the first run after a break may have any level.
 */
public final class BitRuns {
    /** Runs a block holds at most. */
    public static final int CAPACITY = 8192;
    /** Longest run that is counted; a longer silence is given as this many bits. */
    public static final int LONGEST = 1 << 24;

    /** Instant of the level change that opens the run, first crossing, picoseconds from time zero. */
    public final long[] edgePicos = new long[CAPACITY];
    /** Bits sampled in the run, 1 to {@link #LONGEST}; 0 where the coding has no bit clock ({@code levels}). */
    public final int[] bits = new int[CAPACITY];
    /** 0 dominant (active), 1 recessive (resting), whatever the recorder's polarity. */
    public final byte[] level = new byte[CAPACITY];
    /** Filtered runs: low 16 bits those at the opening edge (ringing), high 16 bits those inside the run (spikes). */
    public final int[] glitches = new int[CAPACITY];
    /** Valid entries. */
    public int count;

    /** Filtered runs at the opening edge of run {@code i}. */
    public int ringing(int i) {
        return glitches[i] & 0xFFFF;
    }

    /** Filtered runs inside run {@code i}, after its opening edge had settled. */
    public int spikes(int i) {
        return glitches[i] >>> 16;
    }
}
