package buswitness.live;

import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import java.util.Arrays;

/** Frames counted by the second they began in, for the last two minutes. One thread. */
final class SecondTally {
    static final int SHOWN = 120;
    private static final long SECOND = 1_000_000_000_000L;

    private final int[] whole = new int[SHOWN];
    private final int[] damaged = new int[SHOWN];
    private final double[] busyPicos = new double[SHOWN];
    private final boolean[] holed = new boolean[SHOWN];
    private long now;
    long allWhole;
    long allDamaged;

    /** Time has come so far. */
    void reach(long atPicos) {
        long second = atPicos / SECOND;
        if (second - now >= SHOWN) {
            clear(0, SHOWN);
        } else {
            for (long s = now + 1; s <= second; s++) clear((int) (s % SHOWN), (int) (s % SHOWN) + 1);
        }
        now = Math.max(now, second);
    }

    private void clear(int from, int until) {
        Arrays.fill(whole, from, until, 0);
        Arrays.fill(damaged, from, until, 0);
        Arrays.fill(busyPicos, from, until, 0);
        Arrays.fill(holed, from, until, false);
    }

    /** @param spacePicos rest that follows a frame and belongs to it */
    void count(FrameLog log, int frame, double spacePicos) {
        long at = log.startPicos(frame);
        reach(at);
        // A frame that a gap cut off was not damaged on the wire.
        if (log.fault(frame) == FrameFault.CUT) return;
        if (log.isWhole(frame)) allWhole++;
        else allDamaged++;
        if (at / SECOND <= now - SHOWN) return;
        int slot = (int) (at / SECOND % SHOWN);
        if (log.isWhole(frame)) whole[slot]++;
        else damaged[slot]++;
        busyPicos[slot] += log.endPicos(frame) - at + spacePicos;
    }

    void gap(long fromPicos, long untilPicos) {
        reach(untilPicos);
        for (long s = Math.max(now - SHOWN + 1, fromPicos / SECOND); s <= untilPicos / SECOND; s++) {
            if (s >= 0) holed[(int) (s % SHOWN)] = true;
        }
    }

    LiveState.Seconds seconds() {
        int n = (int) Math.min(SHOWN, now + 1);
        long first = now - n + 1;
        int[] w = new int[n];
        int[] d = new int[n];
        float[] load = new float[n];
        for (int i = 0; i < n; i++) {
            int slot = (int) ((first + i) % SHOWN);
            w[i] = whole[slot];
            d[i] = holed[slot] && damaged[slot] == 0 && whole[slot] == 0 ? -1 : damaged[slot];
            load[i] = (float) Math.min(1, busyPicos[slot] / SECOND);
        }
        return new LiveState.Seconds(first, w, d, load);
    }
}
