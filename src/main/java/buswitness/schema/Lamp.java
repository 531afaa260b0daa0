package buswitness.schema;

/**
 * A lamp.
 *
 * @param litFrom        lit when the value lies in [litFrom, litUntil]
 * @param litUntil       see {@code litFrom}; equal to it for a single value
 * @param inverted       lit when the value lies outside instead
 * @param blinksByDesign a turn signal and its like
 * @param timeoutSeconds NaN where it holds for ever
 * @param litAtTimeout   whether it comes on at its time-out
 */
public record Lamp(String name, Message message, Signal signal, double litFrom, double litUntil, boolean inverted,
                   boolean blinksByDesign, double timeoutSeconds, boolean litAtTimeout) implements Instrument {

    public boolean isLit(double value) {
        return (value >= litFrom && value <= litUntil) != inverted;
    }
}
