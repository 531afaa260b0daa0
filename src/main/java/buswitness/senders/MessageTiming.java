package buswitness.senders;

import java.util.List;

/**
 * What the times of one message's frames show, for {@code clashes} to weigh. Facts, no verdict.
 *
 * @param key             message
 * @param frames          whole data frames
 * @param remoteFrames    requests by other nodes, kept out of all else here
 * @param combs           cyclic tracks
 * @param events          whole data frames on no comb
 * @param periodSeconds   period of the main comb (the one with most frames); median gap where there is no comb
 * @param jitterSeconds   standard deviation of its releases about the comb
 * @param gaps            gaps between consecutive frames looked at, those over a recording gap left out
 * @param splitGaps       pairs of consecutive gaps that together make one period while each is clearly shorter: one
 *                        comb alone cannot do that. 0 where the jitter exceeds a fifth of the period
 * @param teeth           places on the main comb within recorded time while it ran
 * @param extraFrames     frames beyond one a tooth of the main comb while it ran (the census): can be negative
 * @param gridLock        R, 0 to 1: how well the events' distances from the main comb share one phase of a task grid;
 *                        NaN with fewer than 3 events or no comb sharp enough for a grid
 * @param gridSeconds     the grid that gives R; NaN with it
 * @param gridEvents      events it rests on
 * @param gridLog10Chance log10 of the probability of such an R by chance, number of grids tried included; NaN with R
 * @param gapCorrelation  lag-1 correlation of the main comb's gaps: about -0.5 on a timer's fixed grid, about 0 for a
 *                        delay loop whose deviations add up; NaN where too few
 * @param restarts        phase jumps of one comb that went on with the same period, all tracks together
 * @param alike           frames off the main track whose slowly changing bits equal the main track's before and after
 * @param returns         frames off the main track that carry another value while the main track's next frame shows
 *                        the old one again: what a second source of the value looks like
 * @param persists        as above, but the main track's next frame shows the new value too: what a send on change
 *                        looks like
 * @param separable       whether timing is sharp enough to see a second comb at all (jitter within a fifth of a period)
 * @param pairs           every two combs of the message
 */
public record MessageTiming(long key, int frames, int remoteFrames, int combs, int events, double periodSeconds,
                            double jitterSeconds, int gaps, int splitGaps, int teeth, int extraFrames,
                            double gridLock, double gridSeconds, int gridEvents, double gridLog10Chance,
                            double gapCorrelation, int restarts, int alike, int returns, int persists,
                            boolean separable, List<CombPair> pairs) {
    public MessageTiming {
        pairs = List.copyOf(pairs);
    }

    /** Most seconds that two combs of this message ran at once. */
    public double overlapSeconds() {
        return pairs.stream().mapToDouble(CombPair::overlapSeconds).max().orElse(0);
    }
}
