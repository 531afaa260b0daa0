package buswitness.predict;

import java.util.List;

/**
 * When the schedules of one message's senders meet head on, and what then becomes of the nodes.
 *
 * @param nodes           its senders, two or more
 * @param pairs           each two of them
 * @param brokenAnyway    ordinary drives in which frames broke
 * @param anyDrives       ordinary drives
 * @param broken          drives in which frames broke although each node takes its own time
 * @param drives          drives made to meet so, by their start phases
 * @param headOn          drives in which both were made to begin in the same bit
 * @param damaged         damaged frames of the message in each of those
 * @param silence         longest time without a whole frame of the message in each of those
 * @param fates           what becomes of each of the nodes
 */
public record MeetingOutlook(long key, List<String> nodes, List<Pair> pairs, int brokenAnyway, int anyDrives, int broken,
                             int drives, int headOn, Spread damaged, Spread silence,
                             List<Fate> fates) {
    public MeetingOutlook {
        nodes = List.copyOf(nodes);
        pairs = List.copyOf(pairs);
        fates = List.copyOf(fates);
    }

    /**
     * Two of the senders.
     *
     * @param rhythmSeconds  they meet each time one has drifted by so much against the other; NaN where they have no common
     *                       rhythm or one of them no period
     * @param every          time between two meetings, with the clocks of the simulated drives; infinite drift left out
     * @param soonestSeconds the same with both clocks at their worst; NaN as above
     */
    public record Pair(String first, String second, double rhythmSeconds, Spread every, double soonestSeconds) {}

    /** The two that may meet soonest. */
    public Pair soonest() {
        Pair best = pairs.get(0);
        for (Pair p : pairs) if (p.soonestSeconds() < best.soonestSeconds() || Double.isNaN(best.soonestSeconds())) best = p;
        return best;
    }

    /**
     * A node in the drives in which both were made to begin in the same bit.
     *
     * @param counter      highest transmit error counter
     * @param errorPassive drives in which it went error passive (counter above 127)
     * @param busOff       drives in which it went bus-off (counter above 255)
     */
    public record Fate(String node, Spread counter, int errorPassive, int busOff) {}
}
