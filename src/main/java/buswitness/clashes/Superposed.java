package buswitness.clashes;

import buswitness.clashes.Evidence.Kind;
import buswitness.clashes.Signature.Meeting;
import buswitness.frames.BitString;
import buswitness.frames.FormatBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.LineFormat;
import buswitness.senders.Shared;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * A bus of bytes on which nobody arbitrates: what two nodes send at once lies one over the other, a bit is at rest only
 * where both leave it so. A damaged frame whose first wrong byte is, bit by bit, the superposition of two payloads that
 * were seen whole nearby, and neither of them alone, was sent by both. Noise would have to hit just that byte.
 */
final class Superposed {
    private static final double NEARBY_SECONDS = 6;
    private static final int MOST_CANDIDATES = 4;
    private static final int MOST_SHIFT = 3;
    /** Stretches of neighbouring bits that one disturbance can pull active in a byte: 8 + 7 + ... + 1. */
    private static final double WAYS_OF_A_BURST = 36;
    private static final double STRENGTH_OF_A_CASE = 1.5;
    private static final int FEWEST = 5;
    private static final double CONCLUSIVE_SHARE = 0.4;
    /** Where many different cases agree a smaller share will do: values that move on between two looks explain the rest. */
    private static final double VARIED_SHARE = 0.2;
    private static final double VARIED_STRENGTH = 7;
    /** Damage of the other messages, against that of this one, from which on the bus is simply disturbed. */
    private static final double DISTURBED_SHARE = 0.2;
    private static final int MOST_WHOLE = 200;
    private static final int MOST_MEETINGS = 2000;
    private static final int FEWEST_OPEN = 8;
    private static final double OPEN_SHARE = 0.1;
    /** Diagnosis (LIN 2.2A, 4.2; from memory): the master's request, and the address that every node listens to. */
    private static final long MASTER_REQUEST = 0x3C;
    private static final int EVERY_NODE = 0x7F;

    private final MessageView view;
    private final FrameLog log;
    private final PairFinding rivals;
    private final LineFormat.Bytes line;
    /** Bits by which one of the two is later, found from the frames themselves. */
    private int shift;
    /** How often a whole frame's byte happens to be two others' laid one over the other. */
    private double byChanceInWhole;
    private int asked;
    private int explained;
    private double chance;
    private final Set<String> cases = new HashSet<>();
    private final List<Meeting> meetings = new ArrayList<>();

    /** A damaged byte explained. */
    private record Explained(int first, int second, boolean secondCheckA, boolean secondCheckB, int at) {}

    Superposed(MessageView view, PairFinding rivals) {
        this.view = view;
        this.log = view.log;
        this.rivals = rivals;
        line = (LineFormat.Bytes) view.meant.format().line();
    }

    Signature signature() {
        boolean open = open(view) && !disturbed(view);
        Evidence grids = TwoGrids.of(view);
        if (view.wholeCount < 2 || view.damagedCount < FEWEST) return new Signature(grids, List.of(), Collision.Kind.SUPERPOSED, open);
        int best = 0;
        int most = -1;
        for (shift = 0; shift <= MOST_SHIFT; shift++) {
            lookAtAll();
            if (explained <= most) continue;
            most = explained;
            best = shift;
        }
        shift = best;
        byChanceInWhole = wholeFramesExplained();
        lookAtAll();
        return new Signature(both(evidence(), grids), meetings, Collision.Kind.SUPERPOSED, open);
    }

    /** Two looks at the same answers: one kind of evidence, and the better one carries it. */
    private static Evidence both(Evidence payloads, Evidence grids) {
        if (payloads == null || grids == null) return payloads == null ? grids : payloads;
        boolean first = payloads.conclusive() != grids.conclusive() ? payloads.conclusive()
                : payloads.strength() >= grids.strength();
        return first ? payloads.and(" " + grids.says(), grids.figures()) : grids.and(" " + payloads.says(), List.of());
    }

    /** Damage beyond what a sound line with one sender shows. */
    static boolean open(MessageView view) {
        int damaged = view.damagedCount - answersToAll(view);
        return damaged >= FEWEST_OPEN && damaged >= OPEN_SHARE * (damaged + view.wholeCount);
    }

    /** Damaged answers to a request of diagnosis that was meant for every node. */
    private static int answersToAll(MessageView view) {
        if (view.shared != Shared.DIAGNOSIS) return 0;
        int n = 0;
        for (int k = 0; k < view.damagedCount; k++) {
            int request = view.damaged[k] - 1;
            while (request >= 0 && MessageKey.identifier(view.log.key(request)) != MASTER_REQUEST) request--;
            boolean all = request >= 0 && view.log.isWhole(request) && view.log.dataLength(request) > 0
                    && view.log.dataByte(request, 0) == EVERY_NODE;
            if (all) n++;
        }
        return n;
    }

    private void lookAtAll() {
        asked = explained = 0;
        chance = 0;
        cases.clear();
        meetings.clear();
        for (int k = 0; k < view.damagedCount; k++) look(view.damaged[k]);
    }

    private void look(int damaged) {
        BitString wire = log.wireBits(damaged);
        if (wire == null || !log.fault(damaged).isDamage() || log.fault(damaged) == FrameFault.BREAK) return;
        List<Integer> seen = candidates(damaged);
        int from = answerAt(seen.isEmpty() ? -1 : seen.get(0));
        byte[] bytes = bytes(wire, from);
        if (bytes.length == 0 || seen.size() < 2) return;
        asked++;
        Set<Integer> predicted = new HashSet<>();
        Explained found = null;
        for (int i = 0; i < seen.size() && found == null; i++) {
            for (int j = i + 1; j < seen.size() && found == null; j++) {
                if (rivals(seen.get(i), seen.get(j))) found = pair(bytes, from, seen.get(i), seen.get(j), predicted);
            }
        }
        chance += Math.min(0.5, Math.max(1, predicted.size()) / WAYS_OF_A_BURST);
        if (found == null) return;
        explained++;
        if (meetings.size() < MOST_MEETINGS) meetings.add(meeting(damaged, wire, found, from));
    }

    /** The share of whole frames that would have counted as explained: none of them is a superposition. */
    private double wholeFramesExplained() {
        int looked = 0;
        int hits = 0;
        int step = Math.max(1, view.wholeCount / MOST_WHOLE);
        for (int k = 0; k < view.wholeCount; k += step) {
            int frame = view.whole[k];
            List<Integer> seen = candidates(frame);
            seen.removeIf(f -> java.util.Arrays.equals(log.data(f), log.data(frame)));
            int from = answerAt(frame);
            byte[] bytes = bytes(view.meant(frame), from);
            if (bytes.length == 0 || seen.size() < 2) continue;
            looked++;
            boolean found = false;
            for (int i = 0; i < seen.size() && !found; i++) {
                for (int j = i + 1; j < seen.size() && !found; j++) {
                    found = rivals(seen.get(i), seen.get(j))
                            && pair(bytes, from, seen.get(i), seen.get(j), new HashSet<>()) != null;
                }
            }
            if (found) hits++;
        }
        return looked == 0 ? 0 : (hits + 1.0) / (looked + 2.0);
    }

    /** Two trains that the wire tells apart, or, where it does not, any two payloads. */
    private boolean rivals(int a, int b) {
        int first = view.findings.trackOf(a);
        int second = view.findings.trackOf(b);
        // Two that name themselves differently may both have been asked.
        if (view.shared != null && log.dataByte(a, 0) != log.dataByte(b, 0)) return false;
        return rivals == null || first < 0 || second < 0 || first != second;
    }

    /** Whole frames around it with different payloads, the nearest first. */
    private List<Integer> candidates(int damaged) {
        List<Integer> out = new ArrayList<>();
        Set<String> known = new HashSet<>();
        int after = view.firstWholeAfter(damaged);
        int before = after - 1;
        double at = log.startSeconds(damaged);
        int[] of = new int[2];
        while (before >= 0 || after < view.wholeCount) {
            double back = before >= 0 ? at - log.startSeconds(view.whole[before]) : Double.POSITIVE_INFINITY;
            double on = after < view.wholeCount ? log.startSeconds(view.whole[after]) - at : Double.POSITIVE_INFINITY;
            if (Math.min(back, on) > NEARBY_SECONDS) break;
            int frame = view.whole[back <= on ? before-- : after++];
            int side = rivals != null && view.findings.trackOf(frame) == rivals.b().index() ? 1 : 0;
            if (of[side] >= MOST_CANDIDATES) continue;
            if (known.add(view.findings.trackOf(frame) + java.util.Arrays.toString(log.data(frame)))) {
                out.add(frame);
                of[side]++;
            }
        }
        return out;
    }

    /** First bit that two nodes may both send. */
    private int answerAt(int whole) {
        String answer = view.meant.format().naming().answer();
        return answer == null || whole < 0 ? 0 : view.meant.fields(log, whole, false).from(answer);
    }

    private static byte[] bytes(BitString bits, int from) {
        byte[] out = new byte[Math.max(0, (bits.size() - from) / 8)];
        for (int i = 0; i < out.length; i++) out[i] = (byte) bits.number(from + 8 * i, 8);
        return out;
    }

    /** With either check, where the bus knows two. */
    private Explained pair(byte[] wire, int from, int a, int b, Set<Integer> predicted) {
        for (int variant = 0; variant < 4; variant++) {
            byte[] first = bytes(view.meant.fields(log, a, (variant & 1) != 0).bits(), from);
            byte[] second = bytes(view.meant.fields(log, b, (variant & 2) != 0).bits(), from);
            Explained found = compare(wire, first, second, a, b, variant, predicted);
            if (found != null) return found;
        }
        return null;
    }

    private Explained compare(byte[] wire, byte[] a, byte[] b, int first, int second, int variant,
                              Set<Integer> predicted) {
        // A check that is wrong alone may be its one sender's mistake: the bytes before it must tell.
        int until = Math.min(wire.length, Math.max(a.length, b.length) - 1);
        for (int k = 0; k < until; k++) {
            int x = k < a.length ? a[k] & 0xFF : 0xFF;
            int y = k < b.length ? b[k] & 0xFF : 0xFF;
            int w = wire[k] & 0xFF;
            if (x == y) {
                if (w != x) return null;
                continue;
            }
            if (fits(w, x, y, predicted) || shift > 0 && fits(w, y, x, predicted)) {
                cases.add(x + "," + y + "," + w);
                return new Explained(first, second, (variant & 1) != 0, (variant & 2) != 0, k);
            }
            // One of the two alone: the other has fallen silent, or had nothing to say against it.
            if (w != x && w != y) return null;
        }
        return null;
    }

    /** Whether the byte is what both make together, {@code y} later by whole bits, and neither alone. */
    private boolean fits(int w, int x, int y, Set<Integer> predicted) {
        int both = onWire(x) & (onWire(y) >>> shift | ~(0x1FF >>> shift) & 0x1FF);
        int value = fromWire(both);
        if (value == x || value == y) return false;
        predicted.add(value);
        return value == w;
    }

    /** Start bit and data bits in the order of the wire, the first the highest of nine. */
    private int onWire(int value) {
        return line.lowBitFirst() ? Integer.reverse(value) >>> 24 : value;
    }

    private int fromWire(int bits) {
        int value = bits & 0xFF;
        return line.lowBitFirst() ? Integer.reverse(value) >>> 24 : value;
    }

    private Meeting meeting(int damaged, BitString wire, Explained e, int from) {
        FormatBits first = view.meant.fields(log, e.first(), e.secondCheckA());
        FormatBits second = view.meant.fields(log, e.second(), e.secondCheckB());
        int bit = Signature.firstDifference(first.bits(), second.bits());
        int x = (int) first.bits().number(from + 8 * e.at(), 8);
        int y = (int) second.bits().number(from + 8 * e.at(), 8);
        int w = (int) wire.number(from + 8 * e.at(), 8);
        String late = shift == 0 ? "" : Say.text(", one of them later by %d bit%s", shift, shift == 1 ? "" : "s");
        return new Meeting(log.startSeconds(damaged), log.endPicos(damaged) * 1e-12, List.of(damaged), first.bits(),
                second.bits(), wire, bit, view.findings.trackOf(e.first()), view.findings.trackOf(e.second()),
                Say.text("Byte %d on the wire is 0x%02X: 0x%02X and 0x%02X one over the other%s, as two nodes sent them"
                        + " whole at %.3f s and %.3f s.", e.at() + 1, w, x, y, late, log.startSeconds(e.first()),
                        log.startSeconds(e.second())));
    }

    /** Other messages are damaged nearly as often. */
    static boolean disturbed(MessageView view) {
        FrameLog log = view.log;
        int damaged = 0;
        int all = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.key(i) == view.key) continue;
            all++;
            if (log.fault(i).isDamage()) damaged++;
        }
        double own = (double) view.damagedCount / (view.damagedCount + view.wholeCount);
        return all > 0 && (double) damaged / all > DISTURBED_SHARE * own;
    }

    private Evidence evidence() {
        if (explained < FEWEST) return null;
        double share = Math.min(0.999, (double) explained / asked);
        // What one node's own values do among themselves: neighbours in a noisy reading are often each other's overlap.
        double base = Math.max(chance / asked, byChanceInWhole);
        if (share <= base) return null;
        double ratio = share * Math.log10(share / base) + (1 - share) * Math.log10((1 - share) / (1 - base));
        boolean disturbed = disturbed(view);
        double strength = Math.min(Math.min(Strength.MOST, STRENGTH_OF_A_CASE * cases.size()), 0.5 * asked * ratio);
        // Which of the shifts fits best was chosen after the fact.
        strength = Math.max(0, strength - Math.log10(1 + MOST_SHIFT));
        if (disturbed) strength = Math.min(1, strength);
        boolean conclusive = !disturbed && strength >= Strength.STRONG + 1 && (share >= CONCLUSIVE_SHARE
                || share >= VARIED_SHARE && strength >= VARIED_STRENGTH);
        boolean asks = view.meant.isAsked();
        String says = Say.text("%d of %d damaged %s carry, at the byte where they break, two payloads seen whole nearby laid one"
                        + " over the other, to the bit, and neither of them alone (%d different cases; chance would give"
                        + " %.0f %%)%s%s.", explained, asked, asks ? "answers" : "frames", cases.size(), 100 * base,
                asks ? "; nobody tries again before the next turn" : "",
                disturbed ? "; but other messages are damaged nearly as often" : "");
        return new Evidence(Kind.HEAD_ON, says, strength, meetings.get(0).atSeconds(),
                meetings.get(meetings.size() - 1).untilSeconds(), explained, conclusive);
    }
}
