package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.CheckFormat;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import java.util.HashMap;
import java.util.HashSet;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;

/**
 * Finds headers that several nodes answer by design. The layout may say so. Without it a header counts as event-triggered
 * where each whole answer begins with the protected identifier of another message of the bus, that message begins with the
 * same byte whenever it is asked for itself, and the lengths agree; all three are rules for such frames (LIN 2.2A,
 * 2.3.3.2, from memory), and a payload of chance keeps the first of them once in 64 / 256 times its own messages / 64.
 */
final class SharedAnswers {
    private static final long SLAVE_ANSWER = 0x3D;
    private static final long FIRST_DIAGNOSTIC = 0x3C;
    private static final int FEWEST_ANSWERS = 2;

    /** Of answers one over the other one in 256 passes its check by chance, and names anybody. */
    private static final double NEARLY_ALL = 0.9;

    /** By message: how often its whole answers begin with each byte. */
    private final Map<Long, TreeMap<Integer, Integer>> firstBytes = new TreeMap<>();
    private final Map<Long, TreeMap<Integer, Integer>> lengths = new HashMap<>();
    private final Map<Long, Integer> answers = new HashMap<>();
    private final Set<Long> asked = new HashSet<>();

    private SharedAnswers(FrameLog log) {
        for (int i = 0; i < log.size(); i++) {
            asked.add(log.key(i));
            if (!log.isWhole(i) || log.isRemote(i) || log.dataLength(i) == 0) continue;
            firstBytes.computeIfAbsent(log.key(i), k -> new TreeMap<>()).merge(log.dataByte(i, 0), 1, Integer::sum);
            lengths.computeIfAbsent(log.key(i), k -> new TreeMap<>()).merge(log.dataLength(i), 1, Integer::sum);
            answers.merge(log.key(i), 1, Integer::sum);
        }
    }

    /** By key; empty on buses that have none. */
    static Map<Long, Shared> of(FrameLog log, BusFormat format, Layout layoutOrNull) {
        Map<Long, Shared> out = new HashMap<>();
        if (format == null || !format.name().equals("lin")) return out;
        SharedAnswers found = new SharedAnswers(log);
        out.put(MessageKey.of(SLAVE_ANSWER, format.nameDigits()), Shared.DIAGNOSIS);
        for (long key : found.firstBytes.keySet()) {
            if (found.isEventTriggered(key, format)) out.put(key, Shared.EVENT_TRIGGERED);
        }
        if (layoutOrNull == null) return out;
        for (Message m : layoutOrNull.messages()) {
            if (!m.eventFor().isEmpty()) out.put(MessageKey.of(m), Shared.EVENT_TRIGGERED);
            else if (MessageKey.identifier(MessageKey.of(m)) < FIRST_DIAGNOSTIC && !m.from().isEmpty()) {
                // Papers that name a sender of its own know it for an unconditional frame.
                out.remove(MessageKey.of(m));
            }
        }
        return out;
    }

    private boolean isEventTriggered(long key, BusFormat format) {
        if (MessageKey.identifier(key) >= FIRST_DIAGNOSTIC || answers.get(key) < FEWEST_ANSWERS) return false;
        int fitting = 0;
        boolean any = false;
        for (Map.Entry<Integer, Integer> first : firstBytes.get(key).entrySet()) {
            long own = MessageKey.of(first.getKey() & 0x3F, format.nameDigits());
            if (own == key || protectedIdentifier(format, first.getKey() & 0x3F) != first.getKey()) continue;
            boolean names = names(key, first.getKey(), own);
            any |= names;
            // One that is asked for but never answers whole, as where two nodes have it, cannot speak against it.
            if (names || asked.contains(own) && !firstBytes.containsKey(own)) fitting += first.getValue();
        }
        return any && fitting >= NEARLY_ALL * answers.get(key);
    }

    /** Whether another message of the bus begins with its own protected identifier, and is as long. */
    private boolean names(long key, int first, long own) {
        return firstBytes.containsKey(own)
                && firstBytes.get(own).getOrDefault(first, 0) >= NEARLY_ALL * answers.get(own)
                && usual(lengths.get(key)) == usual(lengths.get(own));
    }

    private static int usual(Map<Integer, Integer> counts) {
        return counts.entrySet().stream().max(Map.Entry.comparingByValue()).orElseThrow().getKey();
    }

    /** The identifier with its parity, from the format's own parity check. */
    private static int protectedIdentifier(BusFormat format, int identifier) {
        int parity = 0;
        for (CheckFormat check : format.checks()) {
            if (!(check.kind() instanceof CheckFormat.Kind.Parity kind)) continue;
            for (int i = 0; i < kind.masks().size(); i++) {
                int ones = Integer.bitCount(identifier & kind.masks().get(i).intValue());
                parity = parity << 1 | (ones + (kind.inverted().get(i) ? 1 : 0) & 1);
            }
        }
        return parity << 6 | identifier;
    }
}
