package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.frames.BitString;
import buswitness.frames.BusInfo;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.function.DoubleFunction;

/** Frames written down by hand with the sender that the clash stage would have named. No decoder, no clash stage. */
final class HandMadeBus {
    private record Entry(double at, long key, byte[] data, FrameFault fault, int sender) {}

    private final double seconds;
    private final List<Entry> entries = new ArrayList<>();
    private final List<Gap> gaps = new ArrayList<>();
    private final List<Collision> collisions = new ArrayList<>();
    private final Map<Long, Verdict> verdicts = new TreeMap<>();
    private final Map<Long, Double> strengths = new TreeMap<>();
    private final Map<Integer, String> names = new TreeMap<>();
    private SplittableRandom naming;
    private double wrongNames;
    private double noNames;

    HandMadeBus(double seconds) {
        this.seconds = seconds;
    }

    double lasts() {
        return seconds;
    }

    /** From now on this share of frames gets the other sender's name, and that share none. */
    HandMadeBus badNames(double wrong, double none, SplittableRandom how) {
        wrongNames = wrong;
        noNames = none;
        naming = how;
        return this;
    }

    HandMadeBus frame(double at, int id, int sender, int... bytes) {
        return frame(at, id, sender, FrameFault.NONE, bytes);
    }

    HandMadeBus frame(double at, int id, int sender, FrameFault fault, int... bytes) {
        byte[] data = new byte[bytes.length];
        for (int i = 0; i < bytes.length; i++) data[i] = (byte) bytes[i];
        int named = sender;
        if (naming != null && sender >= 0) {
            double u = naming.nextDouble();
            if (u < noNames) named = -1;
            else if (u < noNames + wrongNames) named = 1 - sender;
        }
        entries.add(new Entry(at, MessageKey.can(id, false), data, fault, named));
        return this;
    }

    HandMadeBus every(int id, int sender, double period, double phase, DoubleFunction<int[]> data) {
        return every(id, sender, period, phase, 0, seconds, data);
    }

    HandMadeBus every(int id, int sender, double period, double phase, double from, double until,
                      DoubleFunction<int[]> data) {
        for (int k = 0; ; k++) {
            double at = phase + k * period;
            if (at >= Math.min(until, seconds)) return this;
            if (at >= from) frame(at, id, sender, data.apply(at));
        }
    }

    HandMadeBus without(double from, double until, int id) {
        entries.removeIf(e -> e.at >= from && e.at < until && e.key == MessageKey.can(id, false));
        return this;
    }

    HandMadeBus gap(double from, double until) {
        entries.removeIf(e -> e.at >= from && e.at < until);
        gaps.add(new Gap(Math.round(from * 1e12), Math.round(until * 1e12), "made so"));
        return this;
    }

    HandMadeBus collision(int id, double from, double until) {
        return collision(id, from, until, new byte[0], new byte[0]);
    }

    HandMadeBus collision(int id, double from, double until, byte[] first, byte[] second) {
        collisions.add(new Collision(from, until, MessageKey.can(id, false), 20, List.of(), meant(id, first),
                meant(id, second), new BitString(), 0, 1, 128, true, "made so"));
        return this;
    }

    private static BitString meant(int id, byte[] data) {
        return CanFrameBits.unstuffed(id, false, false, data.length, data);
    }

    /** How much speaks for two senders, whatever the verdict. */
    HandMadeBus strength(int id, double strength) {
        strengths.put(MessageKey.can(id, false), strength);
        return this;
    }

    HandMadeBus verdict(int id, Verdict verdict) {
        verdicts.put(MessageKey.can(id, false), verdict);
        return this;
    }

    HandMadeBus name(int sender, String name) {
        names.put(sender, name);
        return this;
    }

    InstrumentFindings replay(Layout layout) {
        entries.sort(Comparator.comparingDouble(Entry::at));
        FrameLog log = new FrameLog();
        LogRow row = new LogRow();
        int[] senderOf = new int[entries.size()];
        Map<Long, TreeSet<Integer>> sendersOf = new TreeMap<>();
        for (int i = 0; i < entries.size(); i++) {
            Entry e = entries.get(i);
            row.clear();
            row.startPicos = Math.round(e.at * 1e12);
            row.endPicos = row.startPicos + 1_000_000_000L;
            row.key = e.key;
            row.fault = e.fault;
            row.dataLength = e.data.length;
            row.lengthCode = e.data.length;
            System.arraycopy(e.data, 0, row.data, 0, e.data.length);
            log.add(row);
            senderOf[i] = e.sender;
            sendersOf.computeIfAbsent(e.key, k -> new TreeSet<>()).add(e.sender);
        }
        BusInfo bus = new BusInfo("can", 125_000, 1, true, 1, 0.1, 0, 0, true, Math.round(seconds * 1e12));
        return Instruments.replay(log, bus, gaps, clashes(senderOf, sendersOf), layout);
    }

    private ClashFindings clashes(int[] senderOf, Map<Long, TreeSet<Integer>> sendersOf) {
        List<Sender> senders = new ArrayList<>();
        for (int s = 0; s < 4; s++) {
            int sender = s;
            List<Long> keys = sendersOf.entrySet().stream().filter(e -> e.getValue().contains(sender))
                    .map(Map.Entry::getKey).toList();
            senders.add(new Sender(String.valueOf((char) ('A' + s)), names.get(s), Double.NaN, Double.NaN, keys));
        }
        List<MessageFinding> messages = new ArrayList<>();
        sendersOf.forEach((key, set) -> {
            List<Integer> known = set.stream().filter(s -> s >= 0).toList();
            Verdict verdict = verdicts.getOrDefault(key, known.size() > 1 ? Verdict.TWO_SENDERS : Verdict.ONE_SENDER);
            messages.add(new MessageFinding(key, 0, 0, verdict == Verdict.UNDECIDED ? List.of() : known, verdict,
                    strengths.getOrDefault(key, 0.0), List.of(), List.of(), List.of(), null));
        });
        ClashFindings.Answer answer = verdicts.containsValue(Verdict.TWO_SENDERS) ? ClashFindings.Answer.YES
                : ClashFindings.Answer.NO;
        return new ClashFindings(answer, senders, messages, collisions, senderOf, new float[senderOf.length]);
    }
}
