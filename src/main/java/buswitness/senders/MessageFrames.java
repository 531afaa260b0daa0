package buswitness.senders;

import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;

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

    /** Apart by the first payload byte, ascending; for columns of a message that a master asks for. */
    List<MessageFrames> byFirstByte(FrameLog log) {
        TreeMap<Integer, List<Integer>> members = new TreeMap<>();
        for (int i = 0; i < count; i++) {
            int first = log.dataLength(frame[i]) == 0 ? -1 : log.dataByte(frame[i], 0);
            members.computeIfAbsent(first, k -> new ArrayList<>()).add(i);
        }
        List<MessageFrames> out = new ArrayList<>();
        for (List<Integer> rows : members.values()) {
            MessageFrames part = new MessageFrames(key, rows.size(), 0, usesFreeStarts);
            for (int k = 0; k < rows.size(); k++) {
                int i = rows.get(k);
                part.frame[k] = frame[i];
                part.at[k] = at[i];
                part.earliest[k] = earliest[i];
                part.free[k] = free[i];
                part.word[k] = word[i];
                part.length[k] = length[i];
            }
            out.add(part);
        }
        return out;
    }
}
