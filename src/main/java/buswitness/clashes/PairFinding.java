package buswitness.clashes;

import buswitness.clashes.Timing.Relation;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.List;

/**
 * Two trains of one message, seen by each kind of evidence that needs no second recording.
 *
 * @param wire   null where the wire says nothing
 * @param clocks null where the trains are not tied to other messages, see {@link ClockTies}
 */
record PairFinding(Track a, Track b, Timing.Result timing, Contents.Result contents, Evidence wire, Evidence clocks) {
    /** Two nodes may read the same thing: where each train has its node's clock, agreement says little. */
    private static final double LEAST_AGREEMENT = -1;
    private static final double PROVEN_DRIFT = Strength.ofDeviation(Timing.DRIFT_DEVIATIONS);

    static PairFinding of(MessageView view, Track a, Track b, WireMeans wire) {
        Timing.Result timing = Timing.compare(view, a, b);
        if (wire != null && timing.relation() == Relation.DRIFTING && wire.denies(view, a, b, timing.driftPpm())) {
            timing = timing.deniedByTheWire();
        }
        Evidence wireEvidence = wire == null ? null
                : WireReach.told(wire, view, a, b, timing, wire.compare(view, a, b, timing));
        if (view.levels != null) wireEvidence = view.levels.join(wireEvidence, view, a, b);
        return new PairFinding(a, b, timing, Contents.compare(view, a, b), wireEvidence,
                ClockTies.of(view, a, b, timing));
    }

    /** The same pair as if one kind of evidence had not been looked at; its vetoes go with it. */
    PairFinding without(Evidence.Kind kind) {
        return switch (kind) {
            case SCHEDULE -> new PairFinding(a, b, new Timing.Result(Relation.UNRESOLVED, Double.NaN, Double.NaN,
                    timing.sideBySide(), null), contents, wire, null);
            case PAYLOAD -> new PairFinding(a, b, timing, Contents.Result.NOTHING, wire, clocks);
            case WIRE -> new PairFinding(a, b, timing, contents, null, clocks);
            case CLOCKS -> new PairFinding(a, b, timing, contents, wire, null);
            default -> this;
        };
    }

    /** One strength a kind; 0 where a kind says nothing. */
    double schedule() {
        return timing.evidence() == null ? 0 : timing.evidence().strength();
    }

    double payload() {
        return contents.evidence() == null ? 0 : contents.evidence().strength();
    }

    double onWire() {
        return wire == null ? 0 : wire.strength();
    }

    double clocksTied() {
        return clocks == null ? 0 : clocks.strength();
    }

    double total() {
        return schedule() + payload() + onWire() + clocksTied();
    }

    /** Two transmitters side by side: nothing that one node does explains that. */
    boolean provenOnWire() {
        if (wire == null || !wire.conclusive() || timing.relation() == Relation.ONE_AFTER_THE_OTHER) return false;
        // Frames on no comb of their own that fill the teeth which another comb misses: nobody else could time them so.
        return timing.relation() != Relation.ONE_COMB || a.cyclic() && b.cyclic();
    }

    /** One node explains the two trains so well that only proof of another kind can speak against it. */
    boolean vetoed() {
        return Innocence.of(this) != Innocence.NONE;
    }

    int strongKinds() {
        // Without proven drift a task of the same node explains the trains, so the wire must say more.
        boolean weak = timing.relation() == Relation.UNRESOLVED || timing.relation() == Relation.PIECES;
        double wireFrom = weak ? Strength.STRONG + 1 : Strength.STRONG;
        // Six standard errors are what proves a drift.
        boolean drifts = timing.relation() == Relation.DRIFTING && schedule() >= PROVEN_DRIFT;
        return (drifts || schedule() >= Strength.STRONG ? 1 : 0) + (payload() >= Strength.STRONG ? 1 : 0)
                + (onWire() >= wireFrom ? 1 : 0) + (clocksTied() >= Strength.STRONG ? 1 : 0);
    }

    private Evidence agreementOfTwo(Evidence payload) {
        if (clocksTied() < Strength.STRONG || payload.strength() >= LEAST_AGREEMENT || vetoed()) return payload;
        return new Evidence(payload.kind(), payload.says() + " Two nodes that read the same thing do so as well.",
                LEAST_AGREEMENT, payload.fromSeconds(), payload.untilSeconds(), payload.frames(), false, payload.figures());
    }

    List<Evidence> evidence() {
        List<Evidence> all = new ArrayList<>();
        if (timing.evidence() != null) all.add(timing.evidence());
        if (contents.evidence() != null) all.add(agreementOfTwo(contents.evidence()));
        if (wire != null) all.add(wire);
        if (clocks != null) all.add(clocks);
        return all;
    }
}
