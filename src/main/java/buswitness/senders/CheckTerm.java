package buswitness.senders;

import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * How well a frame keeps a check sum inside the payload that one label's frames keep and another's do not: another start
 * value, another rule or none. The rule is searched for on half of a label's different payloads and believed where the
 * other half keeps it. Flat where no label keeps one, or all keep the same.
 */
final class CheckTerm implements Attribution.EmissionTerms {
    private static final int MOST_PAYLOADS = 240;
    private static final int FEWEST_HELD = 8;
    private static final int FEWEST_VALUES = 8;
    private static final double KEPT = 0.9;
    private static final double NOT_KEPT = 0.2;
    private static final double LEAST = 1.0 / 256;
    private static final double CEILING = 6;

    private final FrameLog log;
    private final MessageFrames frames;
    /** For each frame; null where the term says nothing. */
    private final boolean[] kept;
    /** Cost of keeping and of breaking it, for each label. */
    private final double[] keeps;
    private final double[] breaks;

    /** @param length bytes of the payloads it holds for */
    private record Check(CheckRule rule, int at, int until, int start, int length) {
        boolean kept(byte[] data) {
            return data.length == length && rule.start(data[at] & 0xFF, rule.over(data, 0, until, at)) == start;
        }
    }

    /** @param schedules labels below this are schedules */
    CheckTerm(MessageFrames frames, FrameLog log, int schedules, byte[] label, float[] confidence) {
        this.frames = frames;
        this.log = log;
        keeps = new double[schedules + 1];
        breaks = new double[schedules + 1];
        List<List<byte[]>> payloads = new ArrayList<>();
        for (int c = 0; c < schedules; c++) payloads.add(payloads(c, label, confidence));
        Check found = null;
        for (int c = 0; c < schedules && found == null; c++) {
            Check own = find(payloads.get(c));
            if (own != null && divides(own, payloads)) found = own;
        }
        kept = found == null ? null : new boolean[frames.count];
        for (int i = 0; found != null && i < frames.count; i++) kept[i] = found.kept(log.data(frames.frame[i]));
    }

    /** Different payloads of the label's sure frames, in order of first appearance. */
    private List<byte[]> payloads(int c, byte[] label, float[] confidence) {
        Set<Long> seen = new HashSet<>();
        List<byte[]> all = new ArrayList<>();
        for (int i = 0; i < frames.count && all.size() < MOST_PAYLOADS; i++) {
            boolean sure = label[i] == c && confidence[i] >= PayloadTerm.SURE;
            if (sure && frames.length[i] >= 2 && frames.length[i] <= 8 && seen.add(frames.word[i])) {
                all.add(log.data(frames.frame[i]));
            }
        }
        return all;
    }

    private static Check find(List<byte[]> payloads) {
        if (payloads.size() < 2 * FEWEST_HELD) return null;
        int length = payloads.get(payloads.size() / 2).length;
        for (int at = length - 1; at >= 0; at--) {
            if (values(payloads, at) < FEWEST_VALUES) continue;
            for (CheckRule rule : CheckRule.values()) {
                for (int until : new int[] {length, at}) {
                    Check check = until < 1 ? null : of(payloads, rule, at, until, length);
                    if (check != null) return check;
                }
            }
        }
        return null;
    }

    private static int values(List<byte[]> payloads, int at) {
        Set<Byte> seen = new HashSet<>();
        for (byte[] p : payloads) if (at < p.length) seen.add(p[at]);
        return seen.size();
    }

    private static Check of(List<byte[]> payloads, CheckRule rule, int at, int until, int length) {
        int[] starts = new int[256];
        int learned = 0;
        int mode = 0;
        for (int i = 0; i < payloads.size(); i += 2) {
            byte[] p = payloads.get(i);
            if (p.length != length) continue;
            learned++;
            int start = rule.start(p[at] & 0xFF, rule.over(p, 0, until, at));
            if (++starts[start] > starts[mode]) mode = start;
        }
        if (starts[mode] < KEPT * learned) return null;
        Check check = new Check(rule, at, until, mode, length);
        int held = 0;
        int kept = 0;
        for (int i = 1; i < payloads.size(); i += 2) {
            held++;
            if (check.kept(payloads.get(i))) kept++;
        }
        return held >= FEWEST_HELD && kept >= KEPT * held ? check : null;
    }

    /** Whether some label keeps it and some other does not; then the costs are set. */
    private boolean divides(Check check, List<List<byte[]>> payloads) {
        double least = 1;
        double most = 0;
        for (int c = 0; c < payloads.size(); c++) {
            int kept = 0;
            for (byte[] p : payloads.get(c)) if (check.kept(p)) kept++;
            int all = payloads.get(c).size();
            double share = Math.max(LEAST, Math.min(1 - LEAST, (kept + 0.5) / (all + 1)));
            keeps[c] = Math.min(CEILING, -Math.log(share));
            breaks[c] = Math.min(CEILING, -Math.log(1 - share));
            if (all < FEWEST_HELD) continue;
            least = Math.min(least, share);
            most = Math.max(most, share);
        }
        // Frames on no comb may be anybody's.
        keeps[payloads.size()] = breaks[payloads.size()] = Math.log(2);
        return most >= KEPT && least <= NOT_KEPT;
    }

    @Override
    public double cost(int i, int c) {
        if (kept == null) return 0;
        return kept[i] ? keeps[c] : breaks[c];
    }
}
