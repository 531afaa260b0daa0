package buswitness.clashes;

/**
 * What else it could be, and how that stands.
 *
 * @param explanation such as {@code the sender restarts}
 * @param standing    how the recording leaves it
 * @param because     the observation that settles it or leaves it open, one sentence with figures
 */
public record Alternative(String explanation, Standing standing, String because) {
    /** {@code EXCLUDED} by the recording, still {@code POSSIBLE}, or {@code FOUND} to be what happens. */
    public enum Standing { EXCLUDED, POSSIBLE, FOUND }
}
