package buswitness.map;

import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;

/** What is not known, said plainly, with what would tell. */
final class OpenQuestions {
    private static final double DOUBTFUL = 0.75;
    private static final int MOST_NAMED = 12;

    private OpenQuestions() {}

    static List<String> of(BusMap map) {
        List<String> open = new ArrayList<>();
        List<Long> noSender = map.messages().stream().filter(m -> m.senders().isEmpty()).map(MapMessage::key).toList();
        if (!noSender.isEmpty()) {
            open.add("Whose these messages are: " + named(noSender) + ". A longer recording shows their clocks better; one with"
                    + " a unit unplugged shows what falls silent with it.");
        }
        List<String> unnamed = map.senders().stream().filter(s -> s.name() == null).map(MapSender::label).toList();
        if (!unnamed.isEmpty()) {
            open.add("Which unit is behind " + (unnamed.size() == 1 ? "sender " : "senders ") + String.join(", ", unnamed)
                    + ". A recording with one unit unplugged names it (--without).");
        }
        List<Long> still = new ArrayList<>();
        List<Long> doubtful = new ArrayList<>();
        for (MapMessage m : map.messages()) {
            boolean changes = m.fields().stream().anyMatch(f -> f.kind() != FieldKind.CONSTANT);
            if (m.length() > 0 && !changes && m.disagree().isEmpty()) still.add(m.key());
            if (m.fields().stream().anyMatch(f -> f.kind() == FieldKind.VALUE && f.confidence() < DOUBTFUL)) doubtful.add(m.key());
        }
        if (!still.isEmpty()) {
            open.add("What these messages mean, for nothing in them changed: " + named(still)
                    + ". Record while everything on the dashboard is used.");
        }
        if (!doubtful.isEmpty()) {
            open.add("Where the values in these messages begin and end: " + named(doubtful)
                    + ". Their bits changed too seldom, or all alike.");
        }
        List<Long> few = map.messages().stream().filter(m -> m.sending() == Sending.UNKNOWN).map(MapMessage::key).toList();
        if (!few.isEmpty()) open.add("When these messages are sent, for they came too seldom: " + named(few) + ".");
        long values = map.messages().stream().flatMap(m -> m.fields().stream())
                .filter(f -> f.kind() == FieldKind.VALUE || f.kind() == FieldKind.FLAG).count();
        int learned = (int) map.learned().stream().filter(l -> !l.candidates().isEmpty() && l.says().isEmpty()).count();
        if (values > learned) {
            open.add(String.format(Locale.ROOT, "What %d of the %d values and flags stand for, and their scales. Mark what you do"
                    + " and what the gauges show while recording, or write it down (--done).", values - learned, values));
        }
        return open;
    }

    private static String named(List<Long> keys) {
        String text = keys.stream().limit(MOST_NAMED).map(MessageKey::text).collect(Collectors.joining(", "));
        return keys.size() > MOST_NAMED ? text + " and " + (keys.size() - MOST_NAMED) + " more" : text;
    }
}
