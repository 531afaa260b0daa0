package buswitness.report;

import buswitness.Findings;
import buswitness.clashes.Sender;
import buswitness.frames.MessageKey;
import buswitness.schema.Message;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** What things are called: the layout's names where there is one, the wire's identifiers where there is none. */
final class Names {
    private final Map<Long, Message> documented = new HashMap<>();
    private final List<Sender> senders;

    Names(Findings findings) {
        senders = findings.clashes().senders();
        if (findings.layout() != null) {
            for (Message m : findings.layout().messages()) documented.putIfAbsent(MessageKey.of(m), m);
        }
    }

    /** The documented message, or null. */
    Message documented(long key) {
        return documented.get(key);
    }

    /** {@code engine state (0x1D0)}, or {@code 0x1D0} alone. */
    String message(long key) {
        Message m = documented.get(key);
        String id = MessageKey.text(key);
        return m == null || m.name() == null || m.name().isBlank() ? id : PlainText.name(m.name()) + " (" + id + ")";
    }

    List<String> messages(List<Long> keys) {
        return keys.stream().map(this::message).toList();
    }

    /** {@code A (engine unit)}; {@code an undetermined sender} for -1. */
    String sender(int index) {
        if (index < 0 || index >= senders.size()) return "an undetermined sender";
        Sender s = senders.get(index);
        return s.name() == null ? s.label() : s.label() + " (" + PlainText.name(s.name()) + ")";
    }

    List<String> senders(List<Integer> indexes) {
        return indexes.stream().map(this::sender).toList();
    }

    /** Label alone, null where undetermined. */
    String label(int index) {
        return index < 0 || index >= senders.size() ? null : senders.get(index).label();
    }
}
