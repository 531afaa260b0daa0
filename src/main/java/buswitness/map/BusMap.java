package buswitness.map;

import buswitness.Findings;
import java.util.List;

/**
 * All that is known of a bus.
 *
 * @param recordings the first is the one that senders and times refer to
 * @param messages   ascending by key
 * @param rests      when the whole bus was silent, in the first recording
 * @param drift      differences from a layout; null where none was to be compared
 * @param open       what is not known, one sentence each
 */
public record BusMap(List<Findings> recordings, List<MapSender> senders, List<MapMessage> messages, List<Answer> answers,
                     List<Link> links, List<Span> rests, List<Order> orders, List<Together> together,
                     List<Learned> learned, List<Dependence> dependences, List<Drift> drift, List<String> open) {
    public BusMap {
        recordings = List.copyOf(recordings);
        senders = List.copyOf(senders);
        messages = List.copyOf(messages);
        answers = List.copyOf(answers);
        links = List.copyOf(links);
        rests = List.copyOf(rests);
        orders = List.copyOf(orders);
        together = List.copyOf(together);
        learned = List.copyOf(learned);
        dependences = List.copyOf(dependences);
        drift = drift == null ? null : List.copyOf(drift);
        open = List.copyOf(open);
    }

    /** The message, or null. */
    public MapMessage message(long key) {
        for (MapMessage m : messages) if (m.key() == key) return m;
        return null;
    }

    public Findings first() {
        return recordings.get(0);
    }
}
