package buswitness.senders;

import java.util.List;

/**
 * Tracks whose timers agree: most likely one node. A timer's ppm need not be an oscillator's (a delay loop, a gateway).
 *
 * @param clockPpm      common deviation on the recorder's clock, NaN where none is known
 * @param clockPpmError one standard error
 * @param tracks        indexes into {@link SenderFindings#tracks()}
 */
public record ClockGroup(int index, double clockPpm, double clockPpmError, List<Integer> tracks) {
    public ClockGroup {
        tracks = List.copyOf(tracks);
    }
}
