package buswitness.senders;

/**
 * The whole data frames of one message, in time order, as columns. A frame's release (the moment its sender wanted to
 * send) lies between {@code earliest} and {@code at}: equal for a free start; for a frame that had to wait, back to
 * the start of the unbroken stretch of traffic that it waited in.
 */
final class MessageFrames {
    final long key;
    final int count;
    final int[] frame;
    final double[] at;
    final double[] earliest;
    final boolean[] free;
    final long[] word;
    final byte[] length;
    final int remote;
    /** Free starts are known and common enough to carry the fits; else every start counts as a release. */
    final boolean usesFreeStarts;

    MessageFrames(long key, int count, int remote, boolean usesFreeStarts) {
        this.key = key;
        this.count = count;
        this.remote = remote;
        this.usesFreeStarts = usesFreeStarts;
        frame = new int[count];
        at = new double[count];
        earliest = new double[count];
        free = new boolean[count];
        word = new long[count];
        length = new byte[count];
    }
}
