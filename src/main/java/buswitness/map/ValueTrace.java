package buswitness.map;

/**
 * A field over time, thinned to what a drawing can show.
 *
 * @param field   index into {@link MapMessage#fields()}
 * @param seconds ascending
 * @param raw     numbers on the wire, as many
 */
public record ValueTrace(int field, double[] seconds, double[] raw) {}
