package buswitness.simulate;

/** A further line of the same recorder, on the same clock. */
public sealed interface ExtraLine {
    String name();

    /**
     * Pulses at a rate that follows a value.
     *
     * @param hertz what it follows; below 0.01 Hz it stands still
     * @param share of each period at level 1, between 0 and 1
     */
    record PulseTrain(String name, ValueSource hertz, double share) implements ExtraLine {
        public PulseTrain {
            if (!(share > 0 && share < 1)) throw new IllegalArgumentException("a share lies between 0 and 1");
        }
    }

    /**
     * A switch that starts at level 0 and turns over at each instant.
     *
     * @param atSeconds     instants of the simulation, ascending
     * @param bounces       further short pulses after each
     * @param bounceSeconds length of such a pulse and of the pause before it
     */
    record Switch(String name, double[] atSeconds, int bounces, double bounceSeconds) implements ExtraLine {}
}
