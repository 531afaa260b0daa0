package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.senders.WireMean.Trait;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Two senders half a period apart whose clocks agree make one even comb. Its every second frame then differs on the
 * wire from the others; the places alone say which frames are compared, so nothing is sorted by the wire. Such a comb
 * becomes two.
 */
final class EvenOdd {
    private static final double DIFFERS = 8;
    private static final double HALF_DIFFERS = 4;
    /** What frames of one sender differ by, nanoseconds and ppm, as long as nobody has learnt it. */
    private static final double FLOOR = 0.5;

    private EvenOdd() {}

    /** The trains, those taken apart that the wire takes apart; in order of their first frame. */
    static List<Train> of(List<Train> trains, MessageFrames frames, FrameLog log, TickStep tick, RecordedTime time) {
        List<Train> all = new ArrayList<>();
        for (Train train : trains) {
            boolean one = train.combs.size() == 1 && train.combs.get(0).size >= 2 * WireMean.FEWEST;
            if (one && differs(train, frames, log, tick)) {
                all.add(half(train, 0, frames, time));
                all.add(half(train, 1, frames, time));
            } else {
                all.add(train);
            }
        }
        return all;
    }

    private static boolean differs(Train train, MessageFrames frames, FrameLog log, TickStep tick) {
        int[] even = frames(train.combs.get(0), 0, frames);
        int[] odd = frames(train.combs.get(0), 1, frames);
        double period = 2 * train.meanPeriod;
        for (Trait trait : Trait.values()) {
            WireContrast contrast = WireContrast.of(log, even, odd, trait, tick, tick.dither(log, even, period),
                    tick.dither(log, odd, period));
            if (contrast != null && Math.abs(contrast.deviation(FLOOR)) >= DIFFERS
                    && contrast.halves(FLOOR) >= HALF_DIFFERS) return true;
        }
        return false;
    }

    private static int[] frames(Comb comb, int odd, MessageFrames frames) {
        int[] of = new int[comb.size];
        int n = 0;
        for (int i = 0; i < comb.size; i++) if ((comb.tooth[i] & 1) == odd) of[n++] = frames.frame[comb.member[i]];
        return Arrays.copyOf(of, n);
    }

    private static Train half(Train train, int odd, MessageFrames frames, RecordedTime time) {
        Comb whole = train.combs.get(0);
        Comb comb = new Comb();
        for (int i = 0; i < whole.size; i++) {
            if ((whole.tooth[i] & 1) == odd) comb.add(whole.tooth[i] >> 1, whole.member[i], whole.sharp[i]);
        }
        Train half = new Train();
        half.jitter = train.jitter;
        half.combs.add(comb);
        half.refit(frames, time);
        return half;
    }
}
