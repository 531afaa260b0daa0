package buswitness.capture;

/** Evenly spaced samples of one or more channels, read from the first on. */
interface SampleReader {
    /** Samples taken at a time. */
    int CHUNK = 4096;

    /**
     * Reads the next samples.
     *
     * @param into one array a channel, each of {@link #CHUNK}
     * @return how many were read, 0 at the end
     */
    int read(float[][] into);
}
