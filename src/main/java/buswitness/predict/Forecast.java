package buswitness.predict;

import buswitness.instruments.Symptom;
import java.util.List;

/**
 * What will happen on the shared bus.
 *
 * @param sources       the layouts, as named
 * @param notSimulated  why no drive was simulated; empty where drives were
 * @param senders       names of the nodes, as traces number them
 * @param remedies      best first; empty where nothing needs one
 */
public record Forecast(SharedBus bus, List<String> sources, PredictOptions options, List<Conflict> conflicts,
                       List<Supply> supplies, BusLoad load, List<ResponseTime> responses, String notSimulated,
                       List<String> senders, List<InstrumentOutlook> instruments,
                       List<ProtectionOutlook> protections, List<MeetingOutlook> meetings, List<Tried> remedies) {
    public Forecast {
        sources = List.copyOf(sources);
        conflicts = List.copyOf(conflicts);
        supplies = List.copyOf(supplies);
        responses = List.copyOf(responses);
        senders = List.copyOf(senders);
        instruments = List.copyOf(instruments);
        protections = List.copyOf(protections);
        meetings = List.copyOf(meetings);
        remedies = List.copyOf(remedies);
    }

    /** The words are those of the JSON. */
    public enum Answer {
        FITS("fits"), DOES_NOT_FIT("does not fit"), UNDECIDED("undecided");

        private final String text;

        Answer(String text) {
            this.text = text;
        }

        public String text() {
            return text;
        }
    }

    /** Whether these nodes get along. Undecided where nothing speaks against it but not everything could be tried. */
    public Answer answer() {
        boolean wrong = !conflicts.isEmpty() || supplies.stream().anyMatch(Supply::missing)
                || responses.stream().anyMatch(ResponseTime::late)
                || instruments.stream().anyMatch(i -> i.worst() != Symptom.NONE)
                || protections.stream().anyMatch(p -> p.acts() > 0 || p.carriers().isEmpty()
                        || p.carriers().size() + p.others().size() > 1);
        if (wrong) return Answer.DOES_NOT_FIT;
        return notSimulated.isEmpty() ? Answer.FITS : Answer.UNDECIDED;
    }

    /** Messages with two senders or more. */
    public List<Long> clashing() {
        return bus.clashing();
    }
}
