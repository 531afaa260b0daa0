package buswitness.map;

/** From one instant to another, seconds from the recording's time zero. */
public record Span(double fromSeconds, double untilSeconds) {
    public double seconds() {
        return untilSeconds - fromSeconds;
    }
}
