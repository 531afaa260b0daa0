package buswitness.map;

/**
 * How long the pauses between frames last, start to start.
 *
 * @param fromSeconds  lower end of the first bar
 * @param widthSeconds of a bar
 * @param counts       pauses in each bar
 * @param outside      pauses beyond both ends
 */
public record Histogram(double fromSeconds, double widthSeconds, int[] counts, int outside) {}
