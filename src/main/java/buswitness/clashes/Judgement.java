package buswitness.clashes;

import buswitness.clashes.Burst.Due;
import buswitness.clashes.Burst.Match;
import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Timing.Relation;
import buswitness.senders.MessageTiming;
import buswitness.senders.Shared;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Objects;
import java.util.Set;
import java.util.stream.Stream;

/**
 * The verdict on one message. Two senders need a conclusive head-on collision, or two independent kinds of evidence
 * that
 * are each strong and together exceed a threshold that grows with the number of messages judged (so that the chance
 * of any
 * false accusation on the bus stays bounded, as Bonferroni has it), and nothing innocent that explains them.
 */
final class Judgement {
    private static final int MOST_TRACKS = 8;
    private static final int FEWEST_FRAMES = 4;
    private static final double BASE_THRESHOLD = 6;
    private static final int LONG_BURST = 8;
    /** A head-on strength from here on is a hint that must not be passed over. */
    private static final double HINT = 1.5;
    private static final double CONTRADICTED_SHARE = 0.25;
    private static final double PROVEN_RANK = 100;
    private static final int MANY_FITS = 3;
    private static final double VALUES_RETURN = 1.5;

    final MessageView view;
    final List<Burst> bursts;
    final List<PairFinding> pairs;
    /** The pair that speaks loudest; null with fewer than two trains. */
    final PairFinding rivals;
    final Evidence headOn;
    /** What two nodes leave on a bus other than CAN. */
    final Signature signature;
    /** From the meetings of the two schedules, and from recordings with a node unplugged; may be empty. */
    final List<Evidence> further;
    final int contradicting;
    final boolean loneMarginalBit;
    final Verdict verdict;
    final double strength;
    final List<Evidence> evidence;
    final List<Ablated> ablation;
    /** Why it is not said to have one sender although nothing else speaks for two; null elsewhere. */
    final Evidence scatter;

    private Judgement(MessageView view, List<Burst> bursts, List<PairFinding> pairs, WireMeans wire, Stray stray,
                      int messages, Unplugged unplugged) {
        this.view = view;
        this.bursts = bursts;
        this.pairs = pairs;
        this.contradicting = contradicting(bursts);
        this.rivals = rivals(pairs, bursts);
        this.signature = view.shared == Shared.EVENT_TRIGGERED ? Signature.NOTHING : Signature.of(view, rivals);
        this.headOn = signature.evidence() != null ? signature.evidence()
                : headOn(bursts, contradicting, stray, drifting(bursts, pairs));
        this.further = Stream.of(Prediction.of(view, rivals, bursts), unplugged.evidence(view, rivals))
                .filter(Objects::nonNull).toList();
        this.loneMarginalBit = (headOn == null || !headOn.conclusive()) && sameBitAgain(bursts);
        this.evidence = evidence();
        this.strength = evidence.stream().mapToDouble(Evidence::strength).sum();
        double threshold = BASE_THRESHOLD + Math.log10(Math.max(1, messages));
        Verdict decided = decide(threshold, null);
        this.scatter = decided == Verdict.ONE_SENDER ? WireScatter.of(view, wire) : null;
        if (scatter != null) evidence.add(scatter);
        boolean open = scatter != null || signature.open();
        this.verdict = decided == Verdict.ONE_SENDER && open ? Verdict.UNDECIDED : decided;
        this.ablation = ablation(threshold);
    }

    /**
     * Bursts on the whole bus that no collision explains.
     *
     * @param longBursts of which of several frames: what strikes once by chance does not strike so
     */
    record Stray(int bursts, int longBursts) {
        static final int LONG = 3;

        static Stray of(List<List<Burst>> all) {
            int bursts = 0;
            int longBursts = 0;
            for (List<Burst> message : all) {
                for (Burst b : message) {
                    if (fits(b)) continue;
                    bursts++;
                    if (b.frames().size() >= LONG) longBursts++;
                }
            }
            return new Stray(bursts, longBursts);
        }
    }

    static Judgement of(MessageView view, List<Burst> bursts, WireMeans wire, Stray stray, int messages,
                        Unplugged unplugged) {
        List<Track> tracks = new ArrayList<>(view.tracks);
        tracks.sort(Comparator.comparingInt(Track::frames).reversed().thenComparingInt(Track::index));
        tracks.removeIf(t -> t.frames() < FEWEST_FRAMES);
        List<Track> kept = tracks.subList(0, Math.min(MOST_TRACKS, tracks.size()));
        List<PairFinding> pairs = new ArrayList<>();
        for (int i = 0; i < kept.size(); i++) {
            for (int j = i + 1; j < kept.size(); j++) {
                if (view.byDesign(kept.get(i), kept.get(j))) continue;
                if (!partOfAnother(view, kept, kept.get(i)) && !partOfAnother(view, kept, kept.get(j))) {
                    pairs.add(PairFinding.of(view, kept.get(i), kept.get(j), wire));
                }
            }
        }
        return new Judgement(view, bursts, pairs, wire, stray, messages, unplugged);
    }

    private static boolean partOfAnother(MessageView view, List<Track> tracks, Track track) {
        if (track.cyclic()) return false;
        return tracks.stream().anyMatch(t -> t.cyclic() && Timing.partOf(view, track, t));
    }

    private static PairFinding rivals(List<PairFinding> pairs, List<Burst> bursts) {
        PairFinding best = null;
        for (PairFinding pair : pairs) {
            if (best == null || rank(pair, bursts) > rank(best, bursts)) best = pair;
        }
        return best;
    }

    private static double rank(PairFinding pair, List<Burst> bursts) {
        double rank = (pair.vetoed() ? -1000 : 0) + (pair.provenOnWire() ? PROVEN_RANK : 0) + pair.total();
        for (Burst burst : bursts) {
            Match m = burst.match();
            if (m == null) continue;
            if (m.between(pair)) rank += m.strength();
        }
        return rank;
    }

    /** Breaks at a bit that also explained a collision, where no second payload or no second train was due. */
    private static int contradicting(List<Burst> bursts) {
        Set<Integer> bits = new HashSet<>();
        for (Burst b : bursts) if (fits(b)) bits.add(b.match().breakBit());
        int count = 0;
        for (Burst b : bursts) if (!fits(b) && b.brokenAt() >= 0 && bits.contains(b.brokenAt())) count++;
        return count;
    }

    /** The three conditions hold and the two trains do not deny that they met. */
    static boolean fits(Burst burst) {
        return burst.match() != null && burst.match().due() != Due.NOT_BOTH;
    }

    private static boolean drifting(List<Burst> bursts, List<PairFinding> pairs) {
        for (PairFinding pair : pairs) {
            if (pair.timing().relation() != Relation.DRIFTING || pair.vetoed()) continue;
            if (bursts.stream().anyMatch(b -> fits(b) && b.frames().size() > 1 && b.match().between(pair))) return true;
        }
        return false;
    }

    private static Evidence headOn(List<Burst> bursts, int contradicting, Stray stray, boolean drifting) {
        double strength = 0;
        int fitting = 0;
        int frames = 0;
        int fits = 0;
        int due = 0;
        double from = Double.NaN;
        double until = Double.NaN;
        double firstOfBit = 0;
        Set<Integer> bits = new HashSet<>();
        for (Burst burst : bursts) {
            if (!fits(burst)) continue;
            Match m = burst.match();
            fitting++;
            frames += burst.frames().size();
            fits += m.fits();
            if (m.due() == Due.BOTH) due++;
            if (Double.isNaN(from)) from = burst.fromSeconds();
            until = burst.untilSeconds();
            // The same bit again is no new coincidence unless two trains that seldom meet were due again.
            double again = Math.min(1, m.rarity());
            strength += bits.add(m.breakBit()) ? m.strength() : again;
        }
        if (fitting == 0) return null;
        // Of many bursts some break at such a bit by chance: in how many ways could so many have been chosen?
        boolean allLong = bursts.stream().filter(Judgement::fits).allMatch(b -> b.frames().size() >= Stray.LONG);
        int others = allLong ? stray.longBursts() : stray.bursts();
        strength = Math.max(0, Math.min(Strength.MOST, strength - Strength.logChoices(others + fitting, fitting)));
        // Trains that drift against each other are already no two tasks of one node: then one good fit is enough.
        boolean conclusive = strength >= (drifting ? HINT : Strength.STRONG)
                && contradicting <= CONTRADICTED_SHARE * fitting;
        if (!conclusive) strength = Math.min(strength, Strength.STRONG - 0.5);
        Match first = bursts.stream().filter(Judgement::fits).findFirst().orElseThrow().match();
        String flag = first.fast() ? "an error flag at the nominal rate follows within one nominal bit"
                : "an error flag starts at the next bit";
        String says = Say.text("%d damaged frames in %d burst%s break at the first bit where two payloads seen nearby"
                        + " differ (first at bit %d), the wire carries the dominant one and %s"
                        + " (%d frames show all of it)%s%s.", frames, fitting, fitting == 1 ? "" : "s",
                first.breakBit(), flag, fits, due == 0 ? "" : fitting == 1 ? "; both schedules were due when it began"
                        : Say.text("; both schedules were due at the beginning of %d of the %d bursts", due, fitting),
                contradicting == 0 ? "" : Say.text("; but %d breaks at such a bit have no second frame to explain them",
                        contradicting));
        return new Evidence(Kind.HEAD_ON, says, strength, from, until, frames, conclusive);
    }

    /** Frames broken many times in a row beside a second train, not for want of an acknowledge. */
    private boolean longBursts() {
        return view.unacknowledged * 2 < view.damagedCount
                && bursts.stream().anyMatch(b -> b.frames().size() >= LONG_BURST);
    }

    /** Among the bursts that no two payloads explain; where most bursts are explained it is no lone sender's bit. */
    private static boolean sameBitAgain(List<Burst> bursts) {
        if (bursts.stream().filter(Judgement::fits).count() * 2 > bursts.size()) return false;
        int[] count = new int[1024];
        int known = 0;
        int most = 0;
        for (Burst b : bursts) {
            if (b.brokenAt() < 0 || b.brokenAt() >= count.length) continue;
            known += b.frames().size();
            count[b.brokenAt()] += b.frames().size();
            most = Math.max(most, count[b.brokenAt()]);
        }
        return known >= 3 && most >= 0.8 * known;
    }

    private List<Evidence> evidence() {
        List<Evidence> all = new ArrayList<>();
        if (rivals != null) all.addAll(rivals.evidence());
        if (headOn != null) all.add(headOn);
        all.addAll(further);
        all.sort(Comparator.comparingDouble(Evidence::strength).reversed());
        return all;
    }

    /** The verdict again, without each kind in turn; the frames stay divided into trains as they are. */
    private List<Ablated> ablation(double threshold) {
        if (verdict == Verdict.ONE_SENDER) return List.of();
        List<Ablated> all = new ArrayList<>();
        for (Kind kind : Kind.values()) {
            if (evidence.stream().noneMatch(e -> e.kind() == kind)) continue;
            double left = evidence.stream().filter(e -> e.kind() != kind).mapToDouble(Evidence::strength).sum();
            Verdict decided = decide(threshold, kind);
            boolean open = scatter != null && kind != Kind.WIRE && decided == Verdict.ONE_SENDER;
            all.add(new Ablated(kind, open ? Verdict.UNDECIDED : decided, left));
        }
        return all;
    }

    private boolean strong(Kind kind, Kind ignored) {
        return kind != ignored && further.stream().anyMatch(e -> e.kind() == kind && e.strength() >= Strength.STRONG);
    }

    /** @param ignored kind of evidence to leave out, or null */
    private Verdict decide(double threshold, Kind ignored) {
        Evidence headOn = ignored == Kind.HEAD_ON ? null : this.headOn;
        PairFinding rivals = this.rivals == null || ignored == null ? this.rivals : this.rivals.without(ignored);
        double strength = evidence.stream().filter(e -> e.kind() != ignored).mapToDouble(Evidence::strength).sum();
        if (headOn != null && headOn.conclusive()) return Verdict.TWO_SENDERS;
        boolean damageOpen = ignored != Kind.HEAD_ON && (longBursts() || manyFits());
        boolean hint = headOn != null && headOn.strength() >= HINT && !loneMarginalBit;
        boolean turns = ignored != Kind.SCHEDULE && view.regularity.takesTurns();
        // With one train a long burst is interference or a marginal bit; breaks that two payloads explain are neither.
        boolean fits = ignored != Kind.HEAD_ON && manyFits();
        boolean apart = ignored == Kind.SCHEDULE || !neverApart(view);
        if (rivals == null) return hint || fits || turns || !apart ? Verdict.UNDECIDED : Verdict.ONE_SENDER;
        if (rivals.provenOnWire()) return Verdict.TWO_SENDERS;
        boolean unplugged = strong(Kind.WITHOUT, ignored);
        Innocence innocence = Innocence.of(rivals);
        if (innocence != Innocence.NONE) {
            boolean open = hint || damageOpen || unplugged || innocence.contradicted(rivals, view);
            return open ? Verdict.UNDECIDED : Verdict.ONE_SENDER;
        }
        // Head-on and prediction look at the same damage, so they are one kind between them.
        boolean damage = hint && headOn.strength() >= 2 || strong(Kind.PREDICTION, ignored);
        boolean oneNode = rivals.payload() >= Strength.STRONG
                && (Innocence.pageOnALoop(rivals, view) || Innocence.fewFramesDrift(rivals));
        int kinds = rivals.strongKinds() - (oneNode ? 1 : 0) + (damage ? 1 : 0) + (unplugged ? 1 : 0);
        if (kinds >= 2 && strength >= threshold) return Verdict.TWO_SENDERS;
        return hint || unplugged || damageOpen || openByTrains(view, rivals) ? Verdict.UNDECIDED : Verdict.ONE_SENDER;
    }

    /**
     * Two schedules were found whose frames can be given to neither, since they always come together, and all frames
     * are not one schedule either.
     */
    private static boolean neverApart(MessageView view) {
        int given = view.tracks.stream().filter(Track::cyclic).mapToInt(Track::frames).sum();
        return !view.regularity.regular() && view.tracks.stream().filter(Track::cyclic).count() > 1
                && 2 * given < view.wholeCount;
    }

    /** Two trains that nothing explains and nothing proves to come from two nodes. */
    private static boolean openByTrains(MessageView view, PairFinding pair) {
        if (pair.payload() >= Strength.STRONG || pair.onWire() >= Strength.STRONG) return true;
        return switch (pair.timing().relation()) {
            case DRIFTING -> true;
            // Two combs and no word on their drift; bits that are alike to a few ppm speak for one crystal.
            case UNRESOLVED -> pair.onWire() > -1;
            case COMB_AND_EVENTS, INPUT_RHYTHM -> pair.payload() >= VALUES_RETURN || withoutNews(view);
            default -> false;
        };
    }

    /** Breaks that two payloads explain, again and again, however they may be counted against chance. */
    private boolean manyFits() {
        long fitting = bursts.stream().filter(Judgement::fits).count();
        return !loneMarginalBit && fitting >= MANY_FITS && contradicting <= CONTRADICTED_SHARE * fitting;
    }

    /**
     * Extra frames that say what the schedule says, none with news: no send on change, and nobody asked for them by a
     * remote request.
     */
    private static boolean withoutNews(MessageView view) {
        MessageTiming t = view.timing;
        return t != null && t.remoteFrames() == 0 && t.persists() == 0 && t.returns() == 0 && t.alike() >= FEWEST_FRAMES
                && !(t.gridLog10Chance() < -2);
    }
}
