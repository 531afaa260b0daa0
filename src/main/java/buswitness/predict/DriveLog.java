package buswitness.predict;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.frames.BitString;
import buswitness.frames.CanFrameBits;
import buswitness.frames.FdFrameBits;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.LogRow;
import buswitness.frames.MessageKey;
import buswitness.simulate.FrameTruth;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * What happened on the bus in one simulated drive, as the frames a dashboard receives and the findings that a perfect
 * {@code prove} would make of them: every frame's sender is known.
 */
final class DriveLog implements TruthSink {
    /** Bits before the payload: ISO 11898-1, base and extended data frame. */
    private static final int BASE_HEADER_BITS = 19;
    private static final int EXTENDED_HEADER_BITS = 39;
    /** Likewise of CAN FD. */
    private static final int FLEXIBLE_BASE_HEADER_BITS = 22;
    private static final int FLEXIBLE_EXTENDED_HEADER_BITS = 41;
    /** Retries of one meeting follow each other; a longer pause is another meeting. */
    private static final double SAME_MEETING_SECONDS = 0.05;

    private final List<String> nodes;
    private final boolean can;
    private final boolean flexible;
    private final boolean switchesRate;
    private final FrameLog frames = new FrameLog();
    private final LogRow row = new LogRow();
    private int[] senderOf = new int[1024];
    private final Map<String, Integer> numbers = new HashMap<>();
    private final Map<Long, TreeSet<Integer>> senders = new TreeMap<>();
    private final Map<Long, int[]> counts = new HashMap<>();
    private int damaged;
    private final int[] mostErrors;
    private final int[] busOffs;
    /** By message, then by node; NaN where nothing of it got through. */
    private final Map<Long, double[]> slowest = new HashMap<>();
    private final List<Meeting> meetings = new ArrayList<>();

    /** One head-on meeting and its retries. */
    private static final class Meeting {
        long key;
        double from;
        double until;
        int bit;
        int counter;
        BitString first;
        BitString second;
        int firstNode;
        int secondNode;
        final List<Integer> frames = new ArrayList<>();
    }

    /** @param bus where a format describes it, what its senders meant is not rebuilt bit by bit */
    DriveLog(List<String> nodes, SharedBus bus) {
        this.nodes = nodes;
        for (int i = 0; i < nodes.size(); i++) numbers.putIfAbsent(nodes.get(i), i);
        can = bus.format() == null;
        flexible = bus.isFlexible();
        switchesRate = bus.dataBitsPerSecond() > bus.bitsPerSecond();
        mostErrors = new int[nodes.size()];
        busOffs = new int[nodes.size()];
    }

    @Override
    public void frame(FrameTruth frame) {
        for (FrameTruth.Sender s : frame.senders()) {
            int node = number(s.node());
            mostErrors[node] = Math.max(mostErrors[node], s.transmitErrors());
            senders.computeIfAbsent(s.key(), k -> new TreeSet<>()).add(node);
        }
        FrameTruth.Sender shown = frame.senders().stream().filter(FrameTruth.Sender::completed).findFirst()
                .orElse(frame.senders().isEmpty() ? null : frame.senders().get(0));
        row.clear();
        row.startPicos = frame.startPicos();
        row.endPicos = frame.endPicos();
        if (shown != null) row.key = shown.key();
        int index = frames.size();
        int from = -1;
        if (frame.whole()) {
            row.dataLength = shown.data().length;
            row.lengthCode = flexible ? FdFrameBits.lengthCode(row.dataLength) : row.dataLength;
            row.flexible = flexible;
            row.switchesRate = switchesRate;
            System.arraycopy(shown.data(), 0, row.data, 0, row.dataLength);
            row.acknowledged = true;
            from = frame.merged() ? -1 : number(shown.node());
            double took = (frame.endPicos() - shown.releasePicos()) * 1e-12;
            double[] of = slowest.computeIfAbsent(shown.key(), k -> {
                double[] none = new double[nodes.size()];
                Arrays.fill(none, Double.NaN);
                return none;
            });
            int node = number(shown.node());
            of[node] = Double.isNaN(of[node]) ? took : Math.max(of[node], took);
        } else {
            // Cut off by the end of the drive, or asked for and not answered: nothing broke.
            boolean cut = frame.senders().size() < 2 && (shown == null || shown.brokeAtBit() < 0);
            row.fault = cut ? FrameFault.CUT : FrameFault.ERROR_FLAG;
            if (shown != null && !cut) broken(frame, shown, index);
            if (!cut) damaged++;
        }
        if (row.key >= 0 && row.fault != FrameFault.CUT) counts.computeIfAbsent(row.key, k -> new int[2])[frame.whole() ? 0 : 1]++;
        frames.add(row);
        if (index == senderOf.length) senderOf = Arrays.copyOf(senderOf, index * 2);
        senderOf[index] = from;
    }

    private int number(String node) {
        return numbers.getOrDefault(node, -1);
    }

    /** What could be read before it broke, and the meeting it belongs to. */
    private void broken(FrameTruth frame, FrameTruth.Sender shown, int index) {
        row.faultBit = shown.brokeAtBit();
        int header = MessageKey.isExtended(shown.key())
                ? flexible ? FLEXIBLE_EXTENDED_HEADER_BITS : EXTENDED_HEADER_BITS
                : flexible ? FLEXIBLE_BASE_HEADER_BITS : BASE_HEADER_BITS;
        row.dataLength = !can ? 0 : Math.max(0, Math.min(shown.data().length, (shown.brokeAtBit() - header) / 8));
        System.arraycopy(shown.data(), 0, row.data, 0, row.dataLength);
        List<FrameTruth.Sender> both = frame.senders();
        if (both.size() < 2 || both.get(0).key() != both.get(1).key()) return;
        double at = frame.startPicos() * 1e-12;
        Meeting last = null;
        for (Meeting m : meetings) if (m.key == shown.key() && at - m.until < SAME_MEETING_SECONDS) last = m;
        if (last == null) {
            last = new Meeting();
            last.key = shown.key();
            last.from = at;
            last.bit = shown.brokeAtBit();
            last.first = meant(both.get(0));
            last.second = meant(both.get(1));
            last.firstNode = number(both.get(0).node());
            last.secondNode = number(both.get(1).node());
            meetings.add(last);
        }
        last.until = frame.endPicos() * 1e-12;
        last.frames.add(index);
        for (FrameTruth.Sender s : both) last.counter = Math.max(last.counter, s.transmitErrors());
    }

    private BitString meant(FrameTruth.Sender s) {
        if (!can) return null;
        if (flexible) {
            return FdFrameBits.of((int) MessageKey.identifier(s.key()), MessageKey.isExtended(s.key()), switchesRate, false,
                    s.data()).plain();
        }
        return CanFrameBits.unstuffed((int) MessageKey.identifier(s.key()), MessageKey.isExtended(s.key()), s.remote(),
                s.data().length, s.data());
    }

    @Override
    public void befell(long atPicos, String node, String what) {
        if (what.equals("bus-off")) busOffs[number(node)]++;
    }

    FrameLog frames() {
        return frames;
    }

    /** Highest transmit error counter of a node. */
    int mostErrors(int node) {
        return mostErrors[node];
    }

    int busOffs(int node) {
        return busOffs[node];
    }

    /** Damaged frames of all messages; one that the end of the drive cuts off is not damaged. */
    int damaged() {
        return damaged;
    }

    /** Damaged frames of a message. */
    int damaged(long key) {
        return counts.getOrDefault(key, new int[2])[1];
    }

    int meetings(long key) {
        return (int) meetings.stream().filter(m -> m.key == key).count();
    }

    /** Nodes that sent a message, or tried. */
    int senders(long key) {
        return senders.getOrDefault(key, new TreeSet<>()).size();
    }

    /** Messages that two nodes or more sent. */
    List<Long> clashing() {
        return senders.entrySet().stream().filter(e -> e.getValue().size() > 1).map(Map.Entry::getKey).toList();
    }

    /** Longest time from a frame lying ready to its end, of frames that got through; NaN where there was none. */
    double slowestSeconds(String node, long key) {
        double[] of = slowest.get(key);
        return of == null || !numbers.containsKey(node) ? Double.NaN : of[number(node)];
    }

    /** Longest time without a whole frame of a message, between the first and the end. */
    double longestSilence(long key, double endSeconds) {
        double longest = 0;
        double last = Double.NaN;
        for (int i = 0; i < frames.size(); i++) {
            if (frames.key(i) != key || !frames.isWhole(i)) continue;
            if (!Double.isNaN(last)) longest = Math.max(longest, frames.startSeconds(i) - last);
            last = frames.startSeconds(i);
        }
        return Double.isNaN(last) ? endSeconds : Math.max(longest, endSeconds - last);
    }

    ClashFindings findings() {
        List<Sender> labelled = new ArrayList<>();
        for (int n = 0; n < nodes.size(); n++) {
            int node = n;
            labelled.add(new Sender(label(n), nodes.get(n), Double.NaN, Double.NaN, senders.entrySet().stream()
                    .filter(e -> e.getValue().contains(node)).map(Map.Entry::getKey).toList()));
        }
        List<MessageFinding> messages = new ArrayList<>();
        senders.forEach((key, by) -> {
            int[] count = counts.getOrDefault(key, new int[2]);
            messages.add(new MessageFinding(key, count[0], count[1], List.copyOf(by),
                    by.size() > 1 ? Verdict.TWO_SENDERS : Verdict.ONE_SENDER, 0, List.of(), List.of(), List.of(),
                    null));
        });
        List<Collision> collisions = meetings.stream().map(m -> new Collision(m.from, m.until, m.key, m.bit, m.frames,
                m.first, m.second, null, m.firstNode, m.secondNode, m.counter, true, "simulated")).toList();
        return new ClashFindings(clashing().isEmpty() ? ClashFindings.Answer.NO : ClashFindings.Answer.YES, labelled,
                messages, collisions, Arrays.copyOf(senderOf, frames.size()), new float[0]);
    }

    private static String label(int index) {
        String label = "";
        for (int i = index; i >= 0; i = i / 26 - 1) label = (char) ('A' + i % 26) + label;
        return label;
    }
}
