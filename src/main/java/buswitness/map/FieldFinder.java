package buswitness.map;

import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;

/**
 * Cuts the bits that are no check, counter or page number into flags and values. Neighbours begin apart and are joined, the
 * surest first, where the higher one's turns carry the lower one with them and where the two are written down shorter
 * together than apart; where both are left to chance, as the lowest digits of a noisy number are, flip rates decide: within a
 * number they do not fall from a digit to the next lower one (Marchetti and Stabili 2018).
 */
final class FieldFinder {
    /** log10 of the odds before anything is seen that two neighbours belong together. */
    private static final double IN_BYTE = 0.2;
    private static final double OVER_BYTES = -0.7;
    private static final double BOTH_FAST = 1.0;
    private static final double FAST = 0.38;
    private static final double FAST_IN_NUMBER = 0.2;
    private static final double FALLS = -2;
    private static final double FALL_SIGMAS = 2.5;
    /** Parted by less than this, log10 of odds, two neighbours are left unclear. */
    private static final double SURE_APART = 0.4;
    private static final double FEW_FRAMES = 60;
    private static final double MOST_ODDS = 2.3;
    private static final double LOG2 = Math.log10(2);
    private static final int CROSSES = 4;

    private final PayloadRows rows;
    private final BitFlips flips;
    private final NumberCode code;
    private final boolean[] taken;
    private final Signal.Page page;

    FieldFinder(PayloadRows rows, BitFlips flips, boolean[] taken, Signal.Page page) {
        this.rows = rows;
        this.flips = flips;
        this.code = new NumberCode(rows, rows.before(-1, 0));
        this.taken = taken;
        this.page = page;
    }

    /** Neighbouring bits that belong together so far. */
    private static final class Piece {
        final int first;
        final int last;
        final boolean low;
        final double cost;
        /** Weakest odds, log10, of what holds it together and of what parts it from its neighbours. */
        double odds = MOST_ODDS;

        Piece(int first, int last, boolean low, double cost) {
            this.first = first;
            this.last = last;
            this.low = low;
            this.cost = cost;
        }

        int width() {
            return last - first + 1;
        }
    }

    private record Joint(double odds, boolean low, double cost) {}

    List<PayloadField> find() {
        List<Piece> pieces = new ArrayList<>();
        for (int b = 0; b < flips.bits; b++) {
            if (!taken[b] && flips.changes(b)) pieces.add(new Piece(b, b, false, code.cost(b, 1, false)));
        }
        List<Joint> joints = new ArrayList<>();
        for (int k = 0; k + 1 < pieces.size(); k++) joints.add(joint(pieces.get(k), pieces.get(k + 1)));
        while (true) {
            // Bytes are made whole first: only then can it be told which of two comes first.
            int best = best(pieces, joints, false);
            if (best < 0) best = best(pieces, joints, true);
            if (best < 0) break;
            Joint j = joints.get(best);
            Piece a = pieces.get(best);
            Piece b = pieces.get(best + 1);
            Piece whole = new Piece(a.first, b.last, j.low, j.cost);
            whole.odds = Math.min(Math.min(a.odds, b.odds), j.odds);
            pieces.set(best, whole);
            pieces.remove(best + 1);
            joints.remove(best);
            if (best > 0) joints.set(best - 1, joint(pieces.get(best - 1), whole));
            if (best < joints.size()) joints.set(best, joint(whole, pieces.get(best + 1)));
        }
        for (int k = 0; k < joints.size(); k++) {
            if (joints.get(k) == null) continue;
            double apart = -joints.get(k).odds;
            pieces.get(k).odds = Math.min(pieces.get(k).odds, apart);
            pieces.get(k + 1).odds = Math.min(pieces.get(k + 1).odds, apart);
        }
        List<PayloadField> fields = new ArrayList<>();
        for (int k = 0; k < pieces.size(); ) {
            int from = k;
            while (k < joints.size() && unclear(pieces.get(k), pieces.get(k + 1), joints.get(k))) k++;
            fields.add(k == from ? field(pieces.get(k), false)
                    : field(new Piece(pieces.get(from).first, pieces.get(k).last, false, 0), true));
            k++;
        }
        return fields;
    }

    /** Where frames are few, values move far between them and the carry is seen too seldom to deny that two belong together. */
    private boolean unclear(Piece a, Piece b, Joint joint) {
        double sure = SURE_APART + FEW_FRAMES / Math.max(1, flips.transitions);
        return joint != null && b.first == a.last + 1 && !a.low && !b.low && -joint.odds < sure;
    }

    private static int best(List<Piece> pieces, List<Joint> joints, boolean overBytes) {
        int best = -1;
        for (int k = 0; k < joints.size(); k++) {
            Joint j = joints.get(k);
            if (j == null || j.odds <= 0 || (pieces.get(k + 1).first / 8 > pieces.get(k).last / 8) != overBytes) continue;
            if (best < 0 || j.odds > joints.get(best).odds) best = k;
        }
        return best;
    }

    /** What speaks for one number; null where the two are no neighbours. */
    private Joint joint(Piece a, Piece b) {
        boolean neighbours = b.first == a.last + 1;
        Joint high = a.low || b.low || !neighbours ? null : joint(a, b, a.last, b.first, false);
        // The top of the higher byte may never have changed.
        boolean lowFits = b.first / 8 == a.last / 8 + 1 && b.last == b.first / 8 * 8 + 7 && !b.low && a.first % 8 == 0
                && a.last % 8 == 7 && (a.low || a.width() == 8);
        for (int bit = b.first / 8 * 8; lowFits && bit < b.first; bit++) lowFits = free(bit);
        Joint low = lowFits ? joint(a, b, b.last, a.low ? a.last - 7 : a.first, true) : null;
        if (high == null || low != null && low.odds > high.odds) return low;
        return high;
    }

    private Joint joint(Piece a, Piece b, int high, int low, boolean lowFirst) {
        double cost = code.cost(a.first, b.last - a.first + 1, lowFirst);
        double shorter = (a.cost + b.cost - cost) * LOG2;
        double odds = Math.max(-30, Math.min(30, shorter)) + flips.carry(high, low);
        Piece upper = lowFirst ? b : a;
        double fast = upper.width() > 1 ? FAST_IN_NUMBER : FAST;
        if (flips.rate(high) >= fast && flips.rate(low) >= fast) odds = BOTH_FAST + Math.max(odds, 0);
        else if (falls(high, low) && shorter < 3) odds += FALLS;
        return new Joint(odds + (b.first / 8 > a.last / 8 ? OVER_BYTES : IN_BYTE), lowFirst, cost);
    }

    private boolean falls(int high, int low) {
        int h = flips.flips[high];
        int l = flips.flips[low];
        return h - l > FALL_SIGMAS * Math.sqrt(h + l);
    }

    private PayloadField field(Piece piece, boolean unclear) {
        int first = piece.first;
        int last = piece.last;
        boolean low = piece.low;
        int changing = 0;
        for (int b = first; b <= last; b++) if (flips.changes(b)) changing++;
        if (low) {
            // The highest byte stands last; its upper bits may never have changed.
            first = first / 8 * 8;
            last = last / 8 * 8 + 7;
        } else if (changing >= 3 && !unclear) {
            while (first % 8 != 0 && free(first - 1)) first--;
        }
        FieldKind kind = unclear ? FieldKind.UNCLEAR : changing == 1 ? FieldKind.FLAG : FieldKind.VALUE;
        int width = last - first + 1;
        boolean signed = kind == FieldKind.VALUE && changing >= CROSSES && width == changing && signed(first, width, low);
        Signal signal = new Signal("", first, width, low, signed, 1, 0, "", Double.NaN, null);
        long least = Long.MAX_VALUE;
        long most = Long.MIN_VALUE;
        for (byte[] row : rows.data) {
            long v = signal.raw(row);
            least = Math.min(least, v);
            most = Math.max(most, v);
        }
        return new PayloadField(kind, first, width, low, signed, page, unclear ? 0.5 : confidence(piece.odds),
                changing, least, most, "");
    }

    /** As measured on simulated buses: the odds are less sure than they look. */
    private static double confidence(double odds) {
        return 0.38 + 0.56 * Math.max(0, 2 / (1 + Math.pow(10, -odds)) - 1);
    }

    private boolean free(int bit) {
        return !taken[bit] && !flips.changes(bit);
    }

    /** Two's complement makes a step through zero small where plain numbers jump over most of their range. */
    private boolean signed(int first, int width, boolean low) {
        if (width > 48) return false;
        Signal plain = new Signal("", first, width, low, false, 1, 0, "", Double.NaN, null);
        Signal signed = new Signal("", first, width, low, true, 1, 0, "", Double.NaN, null);
        double span = Math.scalb(1.0, width);
        int[] before = rows.before(-1, 0);
        int plainJumps = 0;
        int signedJumps = 0;
        for (int i = 0; i < before.length; i++) {
            if (before[i] < 0) continue;
            if (Math.abs(plain.raw(rows.data[i]) - plain.raw(rows.data[before[i]])) > span * 0.6) plainJumps++;
            if (Math.abs(signed.raw(rows.data[i]) - signed.raw(rows.data[before[i]])) > span * 0.6) signedJumps++;
        }
        return plainJumps >= 2 && signedJumps == 0;
    }
}
