package buswitness.report.parts;

import buswitness.Findings;
import buswitness.clashes.Sender;
import buswitness.frames.MessageKey;
import buswitness.schema.Message;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/** What things are called: the layout's names where there is one, the wire's identifiers where there is none. */
public final class Names {
    /** No recording compares two clocks better. */
    private static final double LEAST_PPM = 0.2;
    private static final double KIN_ERRORS = 2;
    /** Common practice, no source: crystals of control units lie within 100 ppm, both ways. */
    private static final double CRYSTAL_SPREAD_PPM = 200;
    private static final double KIN_CHANCE = 0.05;

    private final Map<Long, Message> documented = new HashMap<>();
    private final List<Sender> senders;

    public Names(Findings findings) {
        senders = findings.clashes().senders();
        if (findings.layout() != null) {
            for (Message m : findings.layout().messages()) documented.putIfAbsent(MessageKey.of(m), m);
        }
    }

    /** The documented message, or null. */
    public Message documented(long key) {
        return documented.get(key);
    }

    /** {@code engine state (0x1D0)}, or {@code 0x1D0} alone. */
    public String message(long key) {
        Message m = documented.get(key);
        String id = MessageKey.text(key);
        return m == null || m.name() == null || m.name().isBlank() ? id : PlainText.name(m.name()) + " (" + id + ")";
    }

    public List<String> messages(List<Long> keys) {
        return keys.stream().map(this::message).toList();
    }

    /** {@code A (engine unit)}; {@code an undetermined sender} for -1. */
    public String sender(int index) {
        if (index < 0 || index >= senders.size()) return "an undetermined sender";
        Sender s = senders.get(index);
        return s.name() == null ? s.label() : s.label() + " (" + PlainText.name(s.name()) + ")";
    }

    public List<String> senders(List<Integer> indexes) {
        return indexes.stream().map(this::sender).toList();
    }

    /**
     * Which unit a sender of a clash may be beside what it sends there: another sender whose clock agrees within two
     * standard errors, with the chance of that; or that nothing else has its clock. Empty where the layout names it, it
     * sends other messages too, or its clock is not known.
     */
    public String kin(int index, Set<Long> clashing) {
        Sender s = senders.get(index);
        if (s.name() != null || !(s.clockPpmError() > 0) || !clashing.containsAll(s.keys())) return "";
        for (int i = 0; i < senders.size(); i++) {
            Sender other = senders.get(i);
            if (i == index || !(other.clockPpmError() > 0) || other.keys().stream().anyMatch(s.keys()::contains)) continue;
            double error = Math.hypot(Math.hypot(s.clockPpmError(), other.clockPpmError()), LEAST_PPM);
            double unrelated = 2 * KIN_ERRORS * error / CRYSTAL_SPREAD_PPM;
            if (Math.abs(s.clockPpm() - other.clockPpm()) > KIN_ERRORS * error || unrelated > KIN_CHANCE) continue;
            return "Its clock agrees with that of " + sender(i) + " within the error; of crystals that lie within"
                    + " ±100\u00A0ppm one in " + Figures.count(Math.round(1 / unrelated)) + " would by chance. It may be the"
                    + " same unit: unplug that one with the ignition off, and see.";
        }
        return "Nothing else in this recording has its clock.";
    }

    /** Label alone, null where undetermined. */
    public String label(int index) {
        return index < 0 || index >= senders.size() ? null : senders.get(index).label();
    }
}
