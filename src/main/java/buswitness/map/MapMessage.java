package buswitness.map;

import java.util.List;

/**
 * A message as the recordings show it.
 *
 * @param key          see {@link buswitness.frames.MessageKey}
 * @param name         from a layout, or null
 * @param frames       whole data frames, over all recordings
 * @param remote       requests for it by other nodes
 * @param length       payload bytes of most frames
 * @param otherLengths frames of another length
 * @param senders      indexes into {@link BusMap#senders()}; several where they clash, none where not settled
 * @param rhythms      schedules in the recording that shows it best
 * @param eventFrames  frames on no schedule there
 * @param firstSeconds first start, in the recording that shows it best
 * @param lastSeconds  last start there
 * @param load         share of that recording's time, 0 to 1; NaN where unknown
 * @param silences     stretches there that are much longer than its pauses
 * @param fields       of its payload
 * @param turns        how often each bit changes from one frame to the next, 0 to 1, in the order sent
 * @param disagree     bits that stand still within each sender's frames and differ between senders or recordings
 * @param seenIn       frames in each recording, in their order
 * @param recording    index of the recording that shows it best
 */
public record MapMessage(long key, String name, int frames, int remote, int length, int otherLengths,
                         List<Integer> senders, Sending sending, List<Rhythm> rhythms, int eventFrames,
                         double firstSeconds, double lastSeconds, double load, List<Span> silences,
                         List<PayloadField> fields, Histogram pauses, List<ValueTrace> traces, List<Double> turns,
                         List<Integer> disagree, List<Integer> seenIn,
                         int recording) {
    public MapMessage {
        senders = List.copyOf(senders);
        rhythms = List.copyOf(rhythms);
        silences = List.copyOf(silences);
        fields = List.copyOf(fields);
        traces = List.copyOf(traces);
        turns = List.copyOf(turns);
        disagree = List.copyOf(disagree);
        seenIn = List.copyOf(seenIn);
    }

    /** Its one schedule, or the one with most frames; null for none. */
    public Rhythm mainRhythm() {
        Rhythm main = null;
        for (Rhythm r : rhythms) if (main == null || r.frames() > main.frames()) main = r;
        return main;
    }
}
