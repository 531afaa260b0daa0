package buswitness.senders;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Sorts a log into messages and works out since when each frame can have been waiting. */
final class FrameSplit {
    /** Below this share of free starts the fits use all starts: too few free ones to see every part of a recording. */
    private static final double FEWEST_FREE = 0.2;
    /** Intermission 3 + suspended transmission 8 + 1 (ISO 11898-1): longer idle holds no sender back. */
    private static final double HELD_BITS = 12;
    /**
     * After an error a loser whose passive flag only ended in the winner's end of frame adds up to 6 bits of delimiter:
     * it was seen to start again after 17 idle bits.
     */
    private static final double HELD_BITS_AFTER_ERROR = 19;

    private FrameSplit() {}

    /** Messages ascending by key; frames whose identifier could not be read are left out. */
    static List<MessageFrames> split(FrameLog log, BusInfo bus) {
        int size = log.size();
        Map<Long, int[]> counts = new HashMap<>();
        for (int i = 0; i < size; i++) {
            if (log.key(i) == MessageKey.UNKNOWN) continue;
            int[] c = counts.computeIfAbsent(log.key(i), k -> new int[3]);
            if (log.isRemote(i)) c[1]++;
            else if (log.isWhole(i)) {
                c[0]++;
                if (log.isFreeStart(i)) c[2]++;
            }
        }
        Long[] keys = counts.keySet().toArray(new Long[0]);
        Arrays.sort(keys);
        Map<Long, MessageFrames> byKey = new HashMap<>();
        List<MessageFrames> all = new ArrayList<>();
        for (Long key : keys) {
            int[] c = counts.get(key);
            MessageFrames m = new MessageFrames(key, c[0], c[1], c[2] >= Math.max(4, FEWEST_FREE * c[0]));
            byKey.put(key, m);
            all.add(m);
            c[0] = 0;
        }
        fill(log, bus, counts, byKey);
        return all;
    }

    private static void fill(FrameLog log, BusInfo bus, Map<Long, int[]> filled, Map<Long, MessageFrames> byKey) {
        double bit = bus.wire() && bus.bitsPerSecond() > 0 ? 1 / bus.bitsPerSecond() : 0;
        double busySince = 0;
        double lastEnd = Double.NEGATIVE_INFINITY;
        for (int i = 0; i < log.size(); i++) {
            double start = log.startSeconds(i);
            boolean afterError = i > 0 && !log.isWhole(i - 1);
            double held = (afterError ? HELD_BITS_AFTER_ERROR : HELD_BITS) * bit;
            boolean free = log.isFreeStart(i) && (!afterError || start - lastEnd > held);
            if (start - lastEnd > held || free) busySince = start;
            lastEnd = Math.max(lastEnd, log.endPicos(i) * 1e-12);
            if (log.key(i) == MessageKey.UNKNOWN || log.isRemote(i) || !log.isWhole(i)) continue;
            MessageFrames m = byKey.get(log.key(i));
            int k = filled.get(log.key(i))[0]++;
            m.frame[k] = i;
            m.at[k] = start;
            m.free[k] = free || !m.usesFreeStarts;
            m.earliest[k] = m.free[k] ? start : Math.min(start, busySince);
            m.word[k] = log.dataWord(i);
            m.length[k] = (byte) log.dataLength(i);
        }
    }
}
