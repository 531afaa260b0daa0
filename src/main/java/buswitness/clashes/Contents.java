package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.frames.FrameLog;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.List;

/**
 * Whether what a message carries returns to the old value on the old comb after a frame of the other train. A frame of
 * one train between two of the other is foreign when the two agree where it does not, when a documented value lies off
 * their track, or when their counter goes on as if it were not there. The same question put to three frames of ONE
 * train gives the share that chance, noise and a bad sensor reach by themselves. A value that stays after the extra
 * frame is a change sent by the same node. Beside it: whether a counter runs in one chain or two, and whether both
 * trains compute the payload's own check sum alike. All of it is one kind of evidence, so the loudest counts.
 */
final class Contents {
    /** Bits that change less often than this between frames of one train are steady. */
    private static final double STEADY_FLIPS = 0.25;
    /** Neighbours of a train are neighbours only where none of its frames is missing between them. */
    private static final double NEXT_PERIODS = 1.6;
    private static final double LIKE_PERIODS = 1.5;
    private static final double CHAIN_SHARE = 0.9;
    private static final int FEWEST = 4;
    /**
     * One node may send single frames with a value that it never repeats in its cycle: such a pattern
     * proves little.
     */
    private static final double ONE_SHOT_MOST = 2;

    private final MessageView view;
    private final FrameLog log;
    private long steady = -1L;
    private Pages pages = Pages.NONE;
    private CheckByte check;
    private ValueTracks values;
    private final List<Chain> chains = new ArrayList<>();

    private int asked;
    private int foreign;
    private int foreignCount;
    private int foreignLength;
    private int followed;
    private boolean agreed;
    private long lastAgreed;
    private double firstForeign = Double.NaN;
    private double lastForeign;

    private Contents(MessageView view) {
        this.view = view;
        this.log = view.log;
    }

    /** A counter that steps by the same amount from frame to frame: {@code width} bits from bit {@code first}. */
    private record Chain(int first, int width, int step) {
        int value(long word) {
            return (int) (word >>> 64 - first - width) & (1 << width) - 1;
        }

        boolean steps(long from, long to) {
            return (value(to) - value(from) & (1 << width) - 1) == step;
        }

        /** Whether {@code x} lies on the way from {@code from} to its successor, both ends included. */
        boolean between(long from, long x) {
            int size = 1 << width;
            int offset = value(x) - value(from) & size - 1;
            if (step < size / 2) return offset <= step;
            return step == size / 2 || (size - offset & size - 1) <= size - step;
        }
    }

    /**
     * @param evidence null where the payloads say nothing
     * @param asked    frames that could be judged
     * @param foreign  of which foreign
     * @param noise    the same share within single trains
     * @param chain    decided by a counter or length, not only by steady values
     * @param oneSource the two trains are the work of one program, whatever else was seen
     */
    record Result(Evidence evidence, int asked, int foreign, double noise, int followed, boolean chain,
                  boolean oneSource, Pages pages) {
        static final Result NOTHING = new Result(null, 0, 0, Double.NaN, 0, false, false, Pages.NONE);
    }

    static Result compare(MessageView view, Track a, Track b) {
        Contents contents = new Contents(view);
        int[] framesA = view.framesOf(a);
        int[] framesB = view.framesOf(b);
        boolean firstIsLarge = framesA.length >= framesB.length;
        int[] large = firstIsLarge ? framesA : framesB;
        int[] small = firstIsLarge ? framesB : framesA;
        contents.check = CheckByte.find(view.log, large, Pages.NONE);
        // What a check sum follows is no page.
        long computed = contents.check == null ? 0 : contents.check.mask();
        contents.pages = Pages.find(view.log, large, view.documented, computed);
        if (contents.check == null && contents.pages.width() > 0) {
            contents.check = CheckByte.find(view.log, large, contents.pages);
        }
        if (contents.check != null) contents.steady &= ~contents.check.mask();
        contents.values = ValueTracks.learn(view, contents.pages, large, contents.check);
        boolean swap = b.cyclic() && (!a.cyclic() || b.periodSeconds() < a.periodSeconds());
        Track outer = swap ? b : a;
        int[] fast = swap ? framesB : framesA;
        int[] slow = swap ? framesA : framesB;
        boolean alike = a.cyclic() && b.cyclic() && Math.max(a.periodSeconds(), b.periodSeconds())
                < LIKE_PERIODS * Math.min(a.periodSeconds(), b.periodSeconds());
        // A slow train's bits change more from frame to frame; that makes them no less steady in the fast one.
        contents.learn(fast);
        if (alike) contents.learn(slow);
        contents.learnChains(fast);
        contents.sandwiches(fast, slow, outer);
        if (alike) {
            contents.learnChains(slow);
            contents.sandwiches(slow, fast, swap ? a : b);
        }
        long ignored = contents.check == null ? 0 : contents.check.mask();
        Counters counters = Counters.compare(view.log, large, small, contents.pages, ignored, view.documented);
        Evidence one = Continuity.of(view, a, b, framesA, framesB);
        if (one != null) return contents.oneSource(one, framesA, framesB, counters);
        return contents.result(a, b, framesA, framesB, counters,
                contents.check == null ? null : contents.check.held(view.log, small));
    }

    /** What one program plainly wrote, with the figures of both readings of its counter. */
    private Result oneSource(Evidence one, int[] framesA, int[] framesB, Counters counters) {
        int[] noise = noise(framesA);
        int[] more = noise(framesB);
        int all = noise[0] + more[0];
        double share = all == 0 ? Double.NaN : (double) (noise[1] + more[1]) / all;
        String says = one.says() + (counters == null || counters.ratioLog10() > 0 ? ""
                : Say.text(" In figures: %s.", counters.says()));
        Evidence evidence = new Evidence(one.kind(), says, one.strength(), one.fromSeconds(), one.untilSeconds(),
                one.frames(), false);
        return new Result(evidence, asked, foreign, share, followed, false, true, pages);
    }

    private void learn(int[] frames) {
        int[] flips = new int[64];
        int pairs = 0;
        Pages.Memory last = new Pages.Memory(pages);
        for (int frame : frames) {
            long word = log.dataWord(frame);
            Integer before = last.put(log, frame);
            if (before == null) continue;
            pairs++;
            for (long bits = word ^ log.dataWord(before); bits != 0; bits &= bits - 1) {
                flips[63 - Long.numberOfTrailingZeros(bits)]++;
            }
        }
        for (int bit = 0; bit < 64; bit++) if (flips[bit] > STEADY_FLIPS * pairs) steady &= ~(1L << 63 - bit);
    }

    private void learnChains(int[] frames) {
        chains.clear();
        if (frames.length < 2 * FEWEST) return;
        for (int width = 4; width <= 8; width += 4) {
            for (int first = 0; first < 64; first += width) {
                int[] steps = new int[1 << width];
                Chain zero = new Chain(first, width, 0);
                for (int i = 1; i < frames.length; i++) {
                    int step = zero.value(log.dataWord(frames[i])) - zero.value(log.dataWord(frames[i - 1]));
                    steps[step & steps.length - 1]++;
                }
                for (int step = 1; step < steps.length; step++) {
                    boolean isCheck = check != null && first / 8 == check.at();
                    if (!isCheck && steps[step] >= CHAIN_SHARE * (frames.length - 1) && step != steps.length / 2) {
                        chains.add(new Chain(first, width, step));
                    }
                }
            }
        }
    }

    /** Every frame of {@code middle} between two neighbours of {@code outer}. */
    private void sandwiches(int[] outer, int[] middle, Track train) {
        int m = 0;
        double most = train.cyclic() ? NEXT_PERIODS * train.periodSeconds() : Double.POSITIVE_INFINITY;
        for (int k = 0; k + 1 < outer.length; k++) {
            while (m < middle.length && middle[m] < outer[k]) m++;
            if (log.startSeconds(outer[k + 1]) - log.startSeconds(outer[k]) > most) continue;
            for (int i = m; i < middle.length && middle[i] < outer[k + 1]; i++) judge(outer[k], middle[i],
                    outer[k + 1]);
        }
    }

    /** Frames foreign within a single train: what noise alone gives. Returns asked and foreign. */
    private int[] noise(int[] frames) {
        int[] sums = new int[2];
        learnChains(frames);
        for (int k = 0; k + 2 < frames.length; k++) {
            int judged = judgeValues(frames[k], frames[k + 1], frames[k + 2]);
            if (judged < 0) continue;
            sums[0]++;
            sums[1] += judged > 0 ? 1 : 0;
        }
        return sums;
    }

    /** -1 cannot say, 0 at home, 1 foreign; steady bits, and documented values. */
    private int judgeValues(int before, int frame, int after) {
        if (!pages.same(log, before, frame) || !pages.same(log, before, after)) return -1;
        if (values.foreign(before, frame, after)) return 1;
        long was = log.dataWord(before) & steady;
        if (was != (log.dataWord(after) & steady)) return -1;
        return (log.dataWord(frame) & steady) == was ? 0 : 1;
    }

    private void judge(int before, int frame, int after) {
        boolean sameLength = log.dataLength(before) == log.dataLength(after);
        boolean oddLength = sameLength && log.dataLength(frame) != log.dataLength(before);
        int values = judgeValues(before, frame, after);
        int counter = -1;
        boolean page = pages.same(log, before, frame) && pages.same(log, before, after);
        for (Chain chain : page ? chains : List.<Chain>of()) {
            if (!chain.steps(log.dataWord(before), log.dataWord(after))) continue;
            boolean between = chain.between(log.dataWord(before), log.dataWord(frame));
            counter = Math.max(counter, between ? 0 : 1);
        }
        if (values < 0 && counter < 0 && !oddLength) {
            long x = log.dataWord(frame) & steady;
            if (pages.same(log, before, after) && pages.same(log, before, frame)
                    && x == (log.dataWord(after) & steady)) {
                followed++;
                asked++;
            }
            return;
        }
        asked++;
        if (values == 0 && counter <= 0 && !oddLength) follow(log.dataWord(frame) & steady);
        if (counter > 0) foreignCount++;
        if (oddLength) foreignLength++;
        if (values > 0 || counter > 0 || oddLength) {
            foreign++;
            if (Double.isNaN(firstForeign)) firstForeign = log.startSeconds(frame);
            lastForeign = log.startSeconds(frame);
        }
    }

    /** A frame that agrees on both sides with a value new since the last such frame: both trains moved together. */
    private void follow(long value) {
        if (agreed && value != lastAgreed) followed++;
        agreed = true;
        lastAgreed = value;
    }

    private Result result(Track a, Track b, int[] framesA, int[] framesB, Counters counters, CheckByte.Other other) {
        String track = values.says();
        int[] noiseA = noise(framesA);
        int[] noiseB = b.cyclic() ? noise(framesB) : new int[2];
        int noiseAsked = noiseA[0] + noiseB[0];
        int noiseForeign = noiseA[1] + noiseB[1];
        double noise = noiseAsked == 0 ? Double.NaN : (double) noiseForeign / noiseAsked;
        boolean hard = foreignCount + foreignLength >= Math.max(FEWEST, 0.3 * asked);
        double returns = asked < FEWEST ? 0 : Strength.ofShare(foreign, asked, noiseForeign, noiseAsked);
        boolean combs = a.cyclic() && b.cyclic() || view.meant.isAsked();
        if (!combs && !hard) returns = Math.min(returns, ONE_SHOT_MOST);
        double chain = counters == null ? 0 : counters.strength();
        double sum = other == null ? 0 : check.strength(other);
        double strength = Math.max(returns, Math.max(chain, sum));
        List<String> said = new ArrayList<>();
        if (returns > 0) said.add(says(noiseAsked, noise, hard, track));
        if (counters != null && (chain > 0 || strength > 0)) said.add(Say.sentence(counters.says()));
        if (other != null && (sum > 0 || strength > 0)) said.add(Say.sentence(check.says() + "; " + check.says(other)));
        Evidence evidence = null;
        if (strength > 0) {
            boolean byReturns = returns >= strength && !Double.isNaN(firstForeign);
            double from = byReturns ? firstForeign : Math.max(a.fromSeconds(), b.fromSeconds());
            double until = byReturns ? lastForeign : Math.min(a.untilSeconds(), b.untilSeconds());
            evidence = new Evidence(Kind.PAYLOAD, String.join(" ", said), strength, from, until, Math.max(asked,
                    framesA.length + framesB.length), false);
        } else if (followed >= 3 && foreign <= 0.1 * asked) {
            evidence = new Evidence(Kind.PAYLOAD, Say.text("The values of both trains change together"
                    + " (%d changes followed, %d frames that disagree): one source of the value.", followed, foreign),
                    -Math.min(3, 0.5 * followed), a.fromSeconds(), a.untilSeconds(), asked, false);
        }
        return new Result(evidence, asked, foreign, noise, followed, hard, false, pages);
    }

    private String says(int noiseAsked, double noise, boolean hard, String track) {
        StringBuilder text = new StringBuilder(Say.text(
                "The payload returns to the old track on the old schedule after %s frames of the other one",
                Say.share(foreign, asked)));
        if (hard && foreignCount > 0) text.append(Say.text("; a counter goes on past %d of them as if they were"
                + " not there", foreignCount));
        if (hard && foreignLength > 0) text.append(Say.text("; %d have another length", foreignLength));
        if (track != null) text.append("; ").append(track);
        if (noiseAsked > 0) text.append(Say.text("; within single schedules values jump and return in %.1f %%",
                100 * noise));
        return text.append('.').toString();
    }
}
