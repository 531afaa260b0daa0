package buswitness.clashes;

import buswitness.clashes.Burst.Due;
import buswitness.clashes.Burst.Match;
import buswitness.frames.BitString;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.schema.LineFormat;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Finds bursts of damaged frames and asks whether two payloads that were really seen explain where they broke. Rules:
 * Bosch CAN FD 1.0 (2012) clauses 6.1 (a transmitter that sends recessive outside arbitration and reads dominant has a
 * bit error), 6.2 (the flag starts at the next bit) and 3.2.3 (flags superpose to 6 to 12 dominant bits).
 */
final class HeadOn {
    /**
     * Idle bits before a retry: intermission 3 and suspend 8; and 6 of a delimiter, where a loser whose passive flag
     * only
     * ended in the winner's end of frame starts again. Anything longer was no retry.
     */
    static final double RETRY_IDLE_BITS = 19;
    /** Flags are one bit longer than stuffing allows; of several nodes they superpose; one late by a bit lengthens them. */
    private static final int LATE_BITS = 2;
    private static final int SLACK_BITS = 2;
    /**
     * Two nodes with fresh error counters break 16 frames (128 / 8, Bosch 2012 clause 7) and then both get past; a lone
     * sender's tries end at any number, at just this one in fewer than one case of ten.
     */
    private static final int FULL_BURST = 16;
    private static final double FULL_BURST_STRENGTH = 1;
    private static final double QUEUE_BITS = 260;
    private static final int NEARBY_FRAMES = 2;
    private static final double NEARBY_SECONDS = 10;
    private static final double FITS_SHARE = 0.75;

    private final FrameLog log;
    private final double bitSeconds;
    private final boolean flexible;
    /** Whether senders count their errors, and turn quiet by them. */
    private final boolean counts;
    private final int stuffRun;
    private final double retryIdleBits;
    /** Data rate over nominal rate; 1 on classical CAN. */
    private final double ratio;
    private final double queueSeconds;

    HeadOn(FrameLog log, BusInfo bus, Meant meant) {
        this.log = log;
        this.bitSeconds = bus.bitPicos() * 1e-12;
        LineFormat.Stuffed line = meant.stuffedLine();
        flexible = meant.isFlexible();
        counts = line == null;
        stuffRun = line == null ? WireRead.CAN_STUFF_RUN : line.stuffAfter();
        retryIdleBits = line == null ? RETRY_IDLE_BITS : line.restBits() + line.endBits() + SLACK_BITS;
        double data = bus.dataBitsPerSecond();
        ratio = flexible && data > bus.bitsPerSecond() ? data / bus.bitsPerSecond() : 1;
        queueSeconds = flexible ? 2 * longestFrame() : QUEUE_BITS * bitSeconds;
    }

    private double longestFrame() {
        long longest = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i)) longest = Math.max(longest, log.endPicos(i) - log.startPicos(i));
        }
        return longest * 1e-12;
    }

    List<Burst> bursts(MessageView view) {
        List<Burst> bursts = new ArrayList<>();
        List<Integer> frames = new ArrayList<>();
        for (int k = 0; k < view.damagedCount; k++) {
            int frame = view.damaged[k];
            if (!frames.isEmpty() && !follows(frames.get(frames.size() - 1), frame, view)) {
                bursts.add(burst(view, frames));
                frames = new ArrayList<>();
            }
            frames.add(frame);
        }
        if (!frames.isEmpty()) bursts.add(burst(view, frames));
        return bursts;
    }

    /** Whether the bus was never idle longer than a retry waits, and no whole frame of the message came between. */
    private boolean follows(int earlier, int later, MessageView view) {
        int next = view.firstWholeAfter(earlier);
        if (next < view.wholeCount && view.whole[next] < later) return false;
        return busyBetween(earlier, later);
    }

    private boolean busyBetween(int earlier, int later) {
        for (int i = earlier; i < later; i++) {
            if ((log.startPicos(i + 1) - log.endPicos(i)) * 1e-12 > retryIdleBits * bitSeconds) return false;
        }
        return true;
    }

    private Burst burst(MessageView view, List<Integer> frames) {
        int first = frames.get(0);
        int last = frames.get(frames.size() - 1);
        int next = view.firstWholeAfter(last);
        boolean retried = frames.size() > 1 || next < view.wholeCount && busyBetween(last, view.whole[next]);
        BitString wire = log.wireBits(first);
        WireRead read = wire == null ? null : new WireRead(wire, flexible, stuffRun);
        int brokenAt = read == null || next >= view.wholeCount ? -1
                : read.firstDifference(view.meantFromStart(view.whole[next]));
        Match match = read == null || !retried ? null : match(view, frames, next);
        if (match != null) brokenAt = match.breakBit();
        return new Burst(frames, log.startSeconds(first), log.endPicos(last) * 1e-12,
                read == null ? new BitString() : read.bits(), brokenAt, match, retried);
    }

    /** A payload that might have been meant, and where it was seen. */
    private record Candidate(int frame, int track, boolean after) {}

    private Match match(MessageView view, List<Integer> frames, int next) {
        List<Candidate> seen = candidates(view, frames, next);
        List<WireRead> reads = new ArrayList<>();
        for (int frame : frames) {
            BitString wire = log.wireBits(frame);
            if (wire != null) reads.add(new WireRead(wire, flexible, stuffRun));
        }
        Match best = null;
        Set<Integer> tried = new HashSet<>();
        for (int i = 0; i < seen.size(); i++) {
            for (int j = i + 1; j < seen.size(); j++) {
                if (!rivals(view, seen.get(i), seen.get(j), log.startSeconds(frames.get(0)))) continue;
                Match match = compare(view, frames.get(0), seen.get(i), seen.get(j), reads, tried);
                if (match != null && (best == null || match.fits() > best.fits()
                        || match.fits() == best.fits() && match.due() == Due.BOTH
                                && best.due() != Due.BOTH)) best = match;
            }
        }
        if (best == null) return null;
        // By chance a break falls on one of the bits tried, of all that follow the arbitration.
        double bits = Math.max(10, view.meantFromStart(best.dominantFrame()).size()
                - view.meant.arbitrationBits(log, best.dominantFrame()));
        double rarity = best.due() == Due.BOTH ? dueStrength(view, best) : 0;
        double strength = Math.log10(bits / Math.max(1, tried.size())) + rarity
                + (counts && frames.size() == FULL_BURST && bothGotPast(best, frames) ? FULL_BURST_STRENGTH : 0);
        return new Match(best.breakBit(), best.dominantFrame(), best.recessiveFrame(), best.dominantTrack(),
                best.recessiveTrack(), best.fits(), Math.max(0, strength), rarity, best.due(), best.fast());
    }

    /** Both trains seen, or the two frames that got past one after the other when the burst ended. */
    private boolean rivals(MessageView view, Candidate a, Candidate b, double at) {
        boolean twoTrains = a.track() >= 0 && b.track() >= 0 && a.track() != b.track()
                && running(view.track(a.track()), at) && running(view.track(b.track()), at);
        return twoTrains || a.after() && b.after() && busyBetween(a.frame(), b.frame());
    }

    /** A train that has ended, or not begun, has no part in a collision. */
    private static boolean running(Track track, double at) {
        double slack = track.cyclic() ? 3 * track.periodSeconds() : 1;
        return at >= track.fromSeconds() - slack && at <= track.untilSeconds() + slack;
    }

    /** Both meanings are frames that followed the burst without a pause of the bus. */
    private boolean bothGotPast(Match match, List<Integer> frames) {
        int last = frames.get(frames.size() - 1);
        int first = Math.min(match.dominantFrame(), match.recessiveFrame());
        int second = Math.max(match.dominantFrame(), match.recessiveFrame());
        return first > last && busyBetween(last, second);
    }

    private Match compare(MessageView view, int first, Candidate a, Candidate b, List<WireRead> reads,
                          Set<Integer> tried) {
        BitString meantA = view.meantFromStart(a.frame());
        BitString meantB = view.meantFromStart(b.frame());
        int at = 0;
        int until = Math.min(meantA.size(), meantB.size());
        while (at < until && meantA.get(at) == meantB.get(at)) at++;
        if (at == until) return null;
        tried.add(at);
        boolean dominantA = meantA.get(at) == 0;
        int fits = 0;
        boolean fast = false;
        for (WireRead read : reads) fast |= read.isFast(at);
        for (WireRead read : reads) if (fits(read, dominantA ? meantA : meantB, at)) fits++;
        if (fits < Math.max(1, FITS_SHARE * reads.size())) return null;
        Candidate dominant = dominantA ? a : b;
        Candidate recessive = dominantA ? b : a;
        return new Match(at, dominant.frame(), recessive.frame(), dominant.track(), recessive.track(), fits, 0, 0,
                due(view, first, a, b), fast);
    }

    /**
     * Same bits as both up to the break, dominant there, an error flag from the next bit on. In a payload at the data rate
     * the flag comes within one nominal bit, since who finds the error goes back to the nominal rate for it; what is on the
     * wire until then is what the dominant sender goes on to send.
     */
    private boolean fits(WireRead read, BitString dominant, int at) {
        BitString bits = read.bits();
        if (bits.size() <= at || bits.get(at) != 0) return false;
        int skipped = flexible ? WireRead.stateBit(dominant) : -1;
        for (int i = 0; i < at; i++) if (i != skipped && bits.get(i) != dominant.get(i)) return false;
        if (!read.isFast(at)) {
            int flag = read.dominantAfter(at);
            return flag > stuffRun && flag <= 2 * (stuffRun + 1) + LATE_BITS;
        }
        int between = read.bitsBeforeFlag(at);
        if (between > ratio) return false;
        for (int i = at + 1; i <= at + between && i < dominant.size(); i++) {
            if (bits.get(i) != dominant.get(i)) return false;
        }
        double flag = read.flagBits(at, ratio);
        // Where the run began and ended is known to a sample: of the nominal rate behind, of the data rate before.
        return flag >= stuffRun && flag <= 2 * (stuffRun + 1) + LATE_BITS;
    }

    /** The frames of each train nearest to the burst, those that got past right after it first. */
    private List<Candidate> candidates(MessageView view, List<Integer> frames, int next) {
        List<Candidate> seen = new ArrayList<>();
        collect(view, frames, next, 1, seen);
        collect(view, frames, next - 1, -1, seen);
        return seen;
    }

    private void collect(MessageView view, List<Integer> frames, int from, int step, List<Candidate> seen) {
        Map<Integer, Integer> taken = new HashMap<>();
        double at = log.startSeconds(frames.get(0));
        for (int k = from; k >= 0 && k < view.wholeCount; k += step) {
            int frame = view.whole[k];
            if (Math.abs(log.startSeconds(frame) - at) > NEARBY_SECONDS || seen.size() > 8 * NEARBY_FRAMES) return;
            int track = view.findings.trackOf(frame);
            if (taken.merge(track, 1, Integer::sum) <= NEARBY_FRAMES) seen.add(new Candidate(frame, track, step > 0));
            if (Math.abs(k - from) > 60) return;
        }
    }

    private Due due(MessageView view, int first, Candidate a, Candidate b) {
        if (a.track() < 0 || b.track() < 0) return Due.UNKNOWN;
        double lateA = late(view, first, view.track(a.track()));
        double lateB = late(view, first, view.track(b.track()));
        if (Double.isNaN(lateA) || Double.isNaN(lateB)) return Due.UNKNOWN;
        return lateA <= tolerance(view.track(a.track())) && lateB <= tolerance(view.track(b.track()))
                ? Due.BOTH : Due.NOT_BOTH;
    }

    /** Distance of the burst's beginning from the train's nearest tooth, counted from its last frame before. */
    private double late(MessageView view, int first, Track track) {
        if (!track.cyclic()) return Double.NaN;
        for (int k = view.firstWholeAfter(first) - 1; k >= 0; k--) {
            int frame = view.whole[k];
            if (view.findings.trackOf(frame) != track.index()) continue;
            double since = log.startSeconds(first) - log.startSeconds(frame);
            double teeth = Math.rint(since / track.periodSeconds());
            if (teeth > 20) return Double.NaN;
            return teeth < 1 ? Double.POSITIVE_INFINITY : Math.abs(since - teeth * track.periodSeconds());
        }
        return Double.NaN;
    }

    /** Jitter of two starts, and up to two long frames that may have been on the wire before. */
    private double tolerance(Track track) {
        return 5 * track.jitterSeconds() + queueSeconds;
    }

    /** How rarely both trains are due together: never oftener than by chance where they drift, always in one task. */
    private double dueStrength(MessageView view, Match match) {
        Track track = view.track(match.dominantTrack());
        double within = tolerance(track);
        int[] own = view.framesOf(track);
        int[] other = view.framesOf(view.track(match.recessiveTrack()));
        int together = 0;
        int k = 0;
        for (int frame : own) {
            double at = log.startSeconds(frame);
            while (k < other.length && log.startSeconds(other[k]) < at - within) k++;
            if (k < other.length && log.startSeconds(other[k]) <= at + within) together++;
        }
        double share = own.length == 0 ? 1 : (double) together / own.length;
        return -Math.log10(Math.min(1, Math.max(share, 2 * within / track.periodSeconds())));
    }
}
