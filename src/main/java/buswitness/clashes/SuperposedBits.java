package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Signature.Meeting;
import buswitness.frames.BitString;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * A described bus of stuffed bits without error flags, on which nodes do not read back what they send: two frames that
 * start together lie one over the other, a bit is at rest only where both leave it so, stuff bits included. A damaged frame
 * that is, bit by bit, the superposition of two frames seen whole nearby, and neither alone, was sent by both. One of the
 * two may fall silent on the way; then the rest is the other's.
 */
final class SuperposedBits {
    private static final double NEARBY_SECONDS = 6;
    private static final int MOST_CANDIDATES = 4;
    private static final double STRENGTH_OF_A_CASE = 1.5;
    private static final int FEWEST = 5;
    private static final double CONCLUSIVE_SHARE = 0.4;
    private static final int MOST_MEETINGS = 2000;
    /** A superposition read so far behind the first difference cannot be one turned bit. */
    private static final int FEWEST_BITS_ON = 8;

    private final MessageView view;
    private final FrameLog log;
    private final PairFinding rivals;
    private int asked;
    private int explained;
    private double chance;
    private final Set<String> cases = new HashSet<>();
    private final List<Meeting> meetings = new ArrayList<>();

    /** @param rivals the pair that speaks loudest, or null: then any two payloads are tried */
    SuperposedBits(MessageView view, PairFinding rivals) {
        this.view = view;
        this.log = view.log;
        this.rivals = rivals;
    }

    Signature signature() {
        boolean open = Superposed.open(view) && !Superposed.disturbed(view);
        if (view.wholeCount >= 2 && view.damagedCount >= FEWEST) {
            for (int k = 0; k < view.damagedCount; k++) look(view.damaged[k]);
        }
        return new Signature(evidence(), meetings, Collision.Kind.SUPERPOSED, open);
    }

    private void look(int damaged) {
        BitString wire = log.wireBits(damaged);
        if (wire == null || !log.fault(damaged).isDamage() || log.fault(damaged) == FrameFault.NOISE) return;
        List<Integer> seen = candidates(damaged);
        if (seen.size() < 2) return;
        asked++;
        int tried = 0;
        boolean found = false;
        for (int i = 0; i < seen.size() && !found; i++) {
            for (int j = i + 1; j < seen.size() && !found; j++) {
                if (!rivals(seen.get(i), seen.get(j))) continue;
                tried++;
                found = explains(damaged, wire, seen.get(i), seen.get(j));
            }
        }
        // By chance a disturbance of one frame begins on the one bit at which a pair tried would part.
        chance += Math.min(0.5, (double) Math.max(1, tried) / Math.max(10, wire.size() / 2));
        if (found) explained++;
    }

    private boolean rivals(int a, int b) {
        int first = view.findings.trackOf(a);
        int second = view.findings.trackOf(b);
        return rivals == null || first < 0 || second < 0 || first != second;
    }

    /** Whole frames around it with different payloads, the nearest first. */
    private List<Integer> candidates(int damaged) {
        List<Integer> out = new ArrayList<>();
        Set<String> known = new HashSet<>();
        int after = view.firstWholeAfter(damaged);
        int before = after - 1;
        double at = log.startSeconds(damaged);
        while (out.size() < 2 * MOST_CANDIDATES && (before >= 0 || after < view.wholeCount)) {
            double back = before >= 0 ? at - log.startSeconds(view.whole[before]) : Double.POSITIVE_INFINITY;
            double on = after < view.wholeCount ? log.startSeconds(view.whole[after]) - at : Double.POSITIVE_INFINITY;
            if (Math.min(back, on) > NEARBY_SECONDS) break;
            int frame = view.whole[back <= on ? before-- : after++];
            if (known.add(view.findings.trackOf(frame) + Arrays.toString(log.data(frame)))) out.add(frame);
        }
        return out;
    }

    private boolean explains(int damaged, BitString wire, int a, int b) {
        BitString first = view.meant.fields(log, a, false).stuffed();
        BitString second = view.meant.fields(log, b, false).stuffed();
        int until = Math.min(wire.size(), Math.max(first.size(), second.size()));
        int parts = 0;
        while (parts < until && bit(first, parts) == bit(second, parts)) parts++;
        if (until - parts < FEWEST_BITS_ON || !superposed(wire, first, second, until)) return false;
        cases.add(first + "," + second);
        if (meetings.size() < MOST_MEETINGS) meetings.add(meeting(damaged, a, b));
        return true;
    }

    private static int bit(BitString bits, int at) {
        return at < bits.size() ? bits.get(at) : 1;
    }

    /** Both together, perhaps one of them alone from some bit on; and neither alone from the start. */
    private static boolean superposed(BitString wire, BitString first, BitString second, int until) {
        boolean notFirst = false;
        boolean notSecond = false;
        int both = 0;
        while (both < until && wire.get(both) == (bit(first, both) & bit(second, both))) {
            notFirst |= wire.get(both) != bit(first, both);
            notSecond |= wire.get(both) != bit(second, both);
            both++;
        }
        if (!notFirst || !notSecond) return false;
        boolean restFirst = true;
        boolean restSecond = true;
        for (int i = both; i < until; i++) {
            restFirst &= wire.get(i) == bit(first, i);
            restSecond &= wire.get(i) == bit(second, i);
        }
        return restFirst || restSecond;
    }

    private Meeting meeting(int damaged, int a, int b) {
        BitString first = view.meant(a);
        BitString second = view.meant(b);
        BitString wire = log.wireBits(damaged);
        return new Meeting(log.startSeconds(damaged), log.endPicos(damaged) * 1e-12, List.of(damaged), first, second,
                over(first, second), Signature.firstDifference(first, second), view.findings.trackOf(a),
                view.findings.trackOf(b), Say.text("All %d bits on the wire, stuff bits included, are those of the frames at"
                        + " %.4f s and %.4f s one over the other.", wire.size(), log.startSeconds(a), log.startSeconds(b)));
    }

    /** What the two make together as long as neither's stuff bits part from the other's. */
    private static BitString over(BitString first, BitString second) {
        BitString out = new BitString();
        int bit = Signature.firstDifference(first, second);
        for (int i = 0; i <= bit && i < Math.min(first.size(), second.size()); i++) out.add(first.get(i) & second.get(i));
        return out;
    }

    private Evidence evidence() {
        if (explained < FEWEST) return null;
        double share = Math.min(0.999, (double) explained / asked);
        double base = chance / asked;
        if (share <= base) return null;
        double ratio = share * Math.log10(share / base) + (1 - share) * Math.log10((1 - share) / (1 - base));
        boolean disturbed = Superposed.disturbed(view);
        double strength = Math.min(Math.min(Strength.MOST, STRENGTH_OF_A_CASE * cases.size()), 0.5 * asked * ratio);
        // Where nobody arbitrates, frames of unlike names damage each other too: that alone takes nothing from a fit to the
        // bit, but is no bus on which to convict by it alone.
        boolean conclusive = !disturbed && strength >= Strength.STRONG + 1 && share >= CONCLUSIVE_SHARE;
        String says = Say.text("%d of %d damaged frames are, bit by bit and stuff bits included, two frames seen whole nearby"
                        + " laid one over the other, and neither of them alone (%d different cases; chance would give"
                        + " %.0f %%)%s.", explained, asked, cases.size(), 100 * base,
                disturbed ? "; but other messages are damaged nearly as often" : "");
        return new Evidence(Kind.HEAD_ON, says, strength, meetings.get(0).atSeconds(),
                meetings.get(meetings.size() - 1).untilSeconds(), explained, conclusive);
    }
}
