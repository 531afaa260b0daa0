package buswitness.plan;

import buswitness.schema.Lamp;
import buswitness.schema.Message;

/** One way in which a step is judged. Times in seconds, shares 0 to 1, signals in their unit. */
public sealed interface Criterion {

    /** Every frame of the window shows a value from {@code low} to {@code high}. */
    record Between(Reference signal, double low, double high, boolean single) implements Criterion {}

    /** From the beginning to the end of the window it moves by {@code by} at least. */
    record Moves(Reference signal, boolean up, double by) implements Criterion {}

    /** {@code signal = ratio * other + offset} within the tolerance, so long behind at most (NaN: any up to a second). */
    record Follows(Reference signal, Reference other, double ratio, double offset, double tolerance,
                   double delayAtMost) implements Criterion {}

    /**
     * A speed made from pulses on another line.
     *
     * @param pulses      pulses for one kilometre, or for one turn
     * @param unitsPerHertz what one pulse a second stands for, in the signal's unit: 3600 / pulses km/h or 60 / pulses rpm
     * @param tolerance   share of the value
     */
    record Counts(Reference signal, String line, double pulses, boolean kilometre, double unitsPerHertz,
                  double tolerance) implements Criterion {}

    /** Something that is on or off: a lamp of the layout, or else a signal that is not 0. One of the two is null. */
    record Switch(Lamp lamp, Reference signal) {
        boolean isOn(double value) {
            return lamp == null ? value != 0 : lamp.isLit(value);
        }

        Reference reference() {
            return lamp == null ? signal : new Reference(lamp.message(), lamp.signal());
        }

        String name() {
            return lamp == null ? signal.signal().name() : lamp.name();
        }
    }

    /** On or off throughout. */
    record Is(Switch subject, boolean on) implements Criterion {}

    /** Blinks; shares are NaN where any will do. */
    record Blinks(Switch subject, double lowPerMinute, double highPerMinute, double lowShare, double highShare)
            implements Criterion {}

    /** Goes on (or off) within the time from the window's beginning, and stays so to its end. */
    record Turns(Switch subject, boolean on, double withinSeconds) implements Criterion {}

    /** Its mean period; tolerance as a share. No single pause longer than {@code longestSeconds} (NaN: any). */
    record Every(Message message, double periodSeconds, double tolerance, double longestSeconds)
            implements Criterion {}

    /** One sender; {@code message} null for each message of the bus. */
    record OneSender(Message message) implements Criterion {}

    /** No damaged frame. */
    record NoDamage() implements Criterion {}

    /** No gauge swings and no lamp flickers; {@code instrument} null for all. */
    record NothingFlaps(String instrument) implements Criterion {}

    /** No node restarts. */
    record NoRestart() implements Criterion {}

    /** The last frame comes within the time from the window's beginning; then nothing for {@code forSeconds}. */
    record FallsSilent(double withinSeconds, double forSeconds) implements Criterion {}

    /**
     * A line follows another.
     *
     * @param lowDelay  of each change behind the other's; NaN where only the ratio counts
     * @param ratio     pulses of this line for one of the other; NaN where only the delay counts
     * @param tolerance share of the ratio
     */
    record LineFollows(String line, String other, boolean inverted, double lowDelay, double highDelay, double ratio,
                       double tolerance) implements Criterion {}

    /** What a person is to see, hear or feel. */
    record Person(String question) implements Criterion {}
}
