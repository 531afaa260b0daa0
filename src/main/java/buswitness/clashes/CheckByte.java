package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.senders.CheckRule;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * A byte of the payload that is computed from the others. It is searched for on half of the different payloads of a
 * train and believed only where the other half keeps it too.
 *
 * @param at      the byte, from 0
 * @param first   first byte it is computed over
 * @param until   one past the last; the byte itself is left out
 * @param length  of the payloads it was learned from, bytes
 * @param pages   pages that have a start value each
 * @param starts  start value for each page (page 0 where there are no pages)
 * @param kept    payloads of the held-back half that keep it
 * @param held    payloads held back
 * @param chanceLog10 log10 of the chance that any of the bytes and rules tried fits so well if the byte were random
 */
record CheckByte(CheckRule rule, int at, int first, int until, int length, Pages pages, Map<Integer, Integer> starts,
                 int kept, int held, double chanceLog10) {
    private static final int MOST_PAYLOADS = 240;
    private static final int FEWEST_HELD = 8;
    private static final int FEWEST_VALUES = 8;
    private static final double SHARE = 0.9;
    private static final double LEAST_CHANCE = -6;
    private static final int LONGEST = 16;
    private static final int FEWEST_OTHER = 4;

    /** How the frames of another train stand to it, counted over different payloads. */
    record Other(int same, int otherStart, int start, int not) {
        int all() {
            return same + otherStart + not;
        }
    }

    /** A payload and the page it shows. */
    private record Payload(byte[] data, int page) {}

    /** Null where no byte is shown to be one. */
    static CheckByte find(FrameLog log, int[] frames, Pages pages) {
        int length = length(log, frames);
        if (length < 2 || length > LONGEST) return null;
        List<Payload> all = payloads(log, frames, pages, length);
        if (all.size() < 2 * FEWEST_HELD) return null;
        List<CheckByte> found = new ArrayList<>();
        int tried = 0;
        for (int at = length - 1; at >= 0; at--) {
            boolean varies = values(all, at) >= FEWEST_VALUES;
            for (CheckRule rule : CheckRule.values()) {
                int[][] ranges = {{0, length}, {0, at}, {at + 1, length}};
                for (int r = 0; r < ranges.length; r++) {
                    // At either end the part before or after the byte is all the rest.
                    if (r == 1 && (at == length - 1 || at < 2) || r == 2 && (at == 0 || at > length - 3)) continue;
                    tried++;
                    CheckByte byteOf = varies ? of(rule, at, ranges[r], length, pages, all) : null;
                    if (byteOf != null) found.add(byteOf);
                }
            }
        }
        return best(found, tried, all);
    }

    private static CheckByte of(CheckRule rule, int at, int[] range, int length, Pages pages, List<Payload> all) {
        Map<Integer, int[]> counts = new HashMap<>();
        for (int i = 0; i < all.size(); i += 2) {
            Payload p = all.get(i);
            counts.computeIfAbsent(p.page, k -> new int[256])[start(rule, at, range[0], range[1], p.data)]++;
        }
        Map<Integer, Integer> starts = new HashMap<>();
        int learned = 0;
        int fits = 0;
        for (Map.Entry<Integer, int[]> page : counts.entrySet()) {
            int mode = 0;
            for (int k = 0; k < 256; k++) {
                learned += page.getValue()[k];
                if (page.getValue()[k] > page.getValue()[mode]) mode = k;
            }
            starts.put(page.getKey(), mode);
            fits += page.getValue()[mode];
        }
        if (fits < SHARE * learned) return null;
        int kept = 0;
        int held = 0;
        for (int i = 1; i < all.size(); i += 2) {
            Payload p = all.get(i);
            Integer known = starts.get(p.page);
            if (known == null) continue;
            held++;
            if (known == start(rule, at, range[0], range[1], p.data)) kept++;
        }
        if (held < FEWEST_HELD || kept < SHARE * held) return null;
        return new CheckByte(rule, at, range[0], range[1], length, pages, starts, kept, held, 0);
    }

    private static int start(CheckRule rule, int at, int first, int until, byte[] data) {
        return rule.start(data[at] & 0xFF, rule.over(data, first, until, at));
    }

    /**
     * An exclusive or, and a sum that comes to nothing, hold for each byte they cover: then the check is the byte that
     * takes most values and counts not, the last one of several.
     */
    private static CheckByte best(List<CheckByte> found, int tried, List<Payload> all) {
        CheckByte best = null;
        double most = Double.NEGATIVE_INFINITY;
        for (CheckByte c : found) {
            double rank = (double) c.kept / c.held * 100 + Math.min(40, values(all, c.at)) * 0.05
                    - (counts(all, c.at) ? 3 : 0);
            if (rank > most + 1e-9) {
                most = rank;
                best = c;
            }
        }
        if (best == null) return null;
        int missed = best.held - best.kept;
        double chance = Math.log10(tried) + Strength.logChoices(best.held, missed) - best.kept * Math.log10(256);
        if (chance > LEAST_CHANCE) return null;
        return new CheckByte(best.rule, best.at, best.first, best.until, best.length, best.pages,
                Map.copyOf(best.starts), best.kept, best.held, chance);
    }

    private static int values(List<Payload> all, int at) {
        boolean[] seen = new boolean[256];
        int count = 0;
        for (Payload p : all) {
            if (!seen[p.data[at] & 0xFF]) count++;
            seen[p.data[at] & 0xFF] = true;
        }
        return count;
    }

    /** Whether the byte, or the half of it that moves, steps by one and the same amount from payload to payload. */
    private static boolean counts(List<Payload> all, int at) {
        for (int mask : new int[] {0xFF, 0x0F, 0xF0}) {
            int[] steps = new int[256];
            int most = 0;
            for (int i = 1; i < all.size(); i++) {
                int step = (all.get(i).data[at] & mask) - (all.get(i - 1).data[at] & mask) & mask;
                if (step != 0) most = Math.max(most, ++steps[step]);
            }
            if (most >= 0.8 * (all.size() - 1)) return true;
        }
        return false;
    }

    private static int length(FrameLog log, int[] frames) {
        Map<Integer, Integer> counts = new HashMap<>();
        int best = -1;
        for (int frame : frames) {
            int length = log.dataLength(frame);
            int n = counts.merge(length, 1, Integer::sum);
            if (best < 0 || n > counts.get(best)) best = length;
        }
        return best;
    }

    /** Different payloads of one length, in order of first appearance. */
    private static List<Payload> payloads(FrameLog log, int[] frames, Pages pages, int length) {
        Map<ByteBuffer, Payload> all = new LinkedHashMap<>();
        for (int frame : frames) {
            if (log.dataLength(frame) != length) continue;
            byte[] data = log.data(frame);
            all.putIfAbsent(ByteBuffer.wrap(data), new Payload(data, pages.page(log, frame)));
            if (all.size() == MOST_PAYLOADS) break;
        }
        return new ArrayList<>(all.values());
    }

    /** How another train's payloads stand to this check; those of another length or page are left out. */
    Other held(FrameLog log, int[] frames) {
        int[] shift = new int[256];
        int same = 0;
        int all = 0;
        for (Payload p : payloads(log, frames, pages, length)) {
            Integer known = starts.get(p.page);
            if (known == null) continue;
            all++;
            int start = start(rule, at, first, until, p.data);
            if (start == known) same++;
            else shift[start]++;
        }
        int mode = 0;
        for (int k = 1; k < 256; k++) if (shift[k] > shift[mode]) mode = k;
        return new Other(same, shift[mode], mode, all - same - shift[mode]);
    }

    /** For two sources, where the other train's payloads do not keep the check as they should. */
    double strength(Other other) {
        int bad = other.otherStart + other.not;
        return other.all() < FEWEST_OTHER ? 0 : Strength.ofShare(bad, other.all(), held - kept, held);
    }

    /** What {@link #held} found. */
    String says(Other other) {
        if (other.all() < FEWEST_OTHER) return "the other schedule shows too few payloads to compare";
        if (other.same >= SHARE * other.all()) return "the other schedule computes it alike, which tells nothing";
        if (other.otherStart >= SHARE * other.all()) {
            return Say.text("the other schedule computes it from another start value (apart by 0x%02X, in %s payloads),"
                    + " as another program does", apart(other), Say.share(other.otherStart, other.all()));
        }
        return Say.text("the other schedule keeps it in %s payloads only", Say.share(other.same, other.all()));
    }

    private int apart(Other other) {
        int own = starts.values().iterator().next();
        return rule == CheckRule.SUM || rule == CheckRule.NEGATIVE_SUM ? other.start - own & 0xFF : other.start ^ own;
    }

    /** Bits of the first eight bytes that the check occupies, highest bit first. */
    long mask() {
        return at > 7 ? 0 : 0xFFL << 56 - 8 * at;
    }

    /** {@code byte 7 is a CRC-8 ... over bytes 0 to 6}. */
    String says() {
        String over = first == 0 && until == length ? "the others" : until - first == 1 ? Say.text("byte %d", first)
                : Say.text("bytes %d to %d", first, until - 1);
        return Say.text("byte %d is a check sum of the payload's own (%s over %s; found on half of the different"
                + " payloads and kept by %d of %d held back, chance 1e%.0f)", at, rule.text, over, kept, held,
                Math.max(-300, chanceLog10));
    }
}
