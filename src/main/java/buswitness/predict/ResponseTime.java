package buswitness.predict;

/**
 * How long a message may take in the worst case, error-free.
 *
 * @param periodSeconds  nominal
 * @param lengthSeconds  longest transmission, intermission included
 * @param jitterSeconds  assumed between the node's timer and its queue
 * @param responseSeconds from the timer to the end of the frame; infinite where the bus cannot carry it; NaN where it
 *                       was not analysed
 * @param instances      frames in the busy period that were looked at
 * @param notAnalysed    why not, empty where it was
 */
public record ResponseTime(String node, long key, double periodSeconds, double lengthSeconds, double jitterSeconds,
                           double responseSeconds, int instances, String notAnalysed) {
    /** The next one is due before this one is through. */
    public boolean late() {
        return responseSeconds > periodSeconds;
    }
}
