package buswitness.simulate;

import java.util.List;

/**
 * The recorder at the tap: it listens only.
 *
 * @param line             name of the bus line
 * @param tickPicos        its tick in picoseconds, greater than 0, may be fractional
 * @param oscillator       its own clock; longer seconds make everything look shorter
 * @param startsAtSeconds  it starts so long after the simulation's start
 * @param idleLevel        what it calls the resting level, 0 or 1
 * @param glitchesPerSecond short pulses that only the recorder sees
 * @param glitchNanos      their length
 * @param gaps             stretches it misses
 * @param marks            labels that somebody sets while it runs, in time order
 * @param namesLayout      whether the recording says which layout belongs to it
 * @param scope            how it samples voltages; null for one that notes level changes
 */
public record RecorderBehaviour(String line, double tickPicos, Oscillator oscillator, double startsAtSeconds,
                                int idleLevel, double glitchesPerSecond, double glitchNanos, List<Missed> gaps,
                                List<Mark> marks, boolean namesLayout, ScopeBehaviour scope) {
    public static final RecorderBehaviour MICROSECOND =
            new RecorderBehaviour("bus", 1e6, Oscillator.TRUE, 0, 1, 0, 100, List.of());

    /** Seconds of the recording. */
    public record Mark(double atSeconds, String label) {}

    /**
     * Seconds of the recording.
     */
    public record Missed(double fromSeconds, double untilSeconds) {
        public Missed {
            if (!(fromSeconds > 0 && untilSeconds > fromSeconds)) {
                throw new IllegalArgumentException("a gap starts above 0 s and ends after it starts");
            }
        }
    }

    public RecorderBehaviour {
        gaps = List.copyOf(gaps);
        marks = List.copyOf(marks);
        for (int i = 1; i < marks.size(); i++) {
            if (marks.get(i).atSeconds() < marks.get(i - 1).atSeconds()) {
                throw new IllegalArgumentException("marks stand in order of time");
            }
        }
        if (!(tickPicos > 0)) throw new IllegalArgumentException("a tick is above 0: " + tickPicos);
        if (idleLevel != 0 && idleLevel != 1) throw new IllegalArgumentException("a level is 0 or 1");
        if (!(startsAtSeconds >= 0)) throw new IllegalArgumentException("starts before the simulation");
        for (int i = 1; i < gaps.size(); i++) {
            if (gaps.get(i).fromSeconds() <= gaps.get(i - 1).untilSeconds()) {
                throw new IllegalArgumentException("gaps must follow each other");
            }
        }
    }

    /** One that notes level changes. */
    public RecorderBehaviour(String line, double tickPicos, Oscillator oscillator, double startsAtSeconds, int idleLevel,
                             double glitchesPerSecond, double glitchNanos, List<Missed> gaps) {
        this(line, tickPicos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond, glitchNanos, gaps, List.of(), true,
                null);
    }

    public RecorderBehaviour withScope(ScopeBehaviour other) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, gaps, marks, namesLayout, other);
    }

    public RecorderBehaviour withTick(double picos) {
        return new RecorderBehaviour(line, picos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, gaps, marks, namesLayout, scope);
    }

    public RecorderBehaviour withOscillator(Oscillator other) {
        return new RecorderBehaviour(line, tickPicos, other, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, gaps, marks, namesLayout, scope);
    }

    public RecorderBehaviour withStart(double seconds) {
        return new RecorderBehaviour(line, tickPicos, oscillator, seconds, idleLevel, glitchesPerSecond, glitchNanos,
                gaps, marks, namesLayout, scope);
    }

    public RecorderBehaviour withIdleLevel(int level) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, level, glitchesPerSecond,
                glitchNanos, gaps, marks, namesLayout, scope);
    }

    public RecorderBehaviour withGlitches(double perSecond, double nanos) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, idleLevel, perSecond, nanos, gaps,
                marks, namesLayout, scope);
    }

    public RecorderBehaviour withGaps(List<Missed> other) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, other, marks, namesLayout, scope);
    }

    public RecorderBehaviour withMarks(List<Mark> other) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, gaps, other, namesLayout, scope);
    }

    public RecorderBehaviour withLayoutNamed(boolean named) {
        return new RecorderBehaviour(line, tickPicos, oscillator, startsAtSeconds, idleLevel, glitchesPerSecond,
                glitchNanos, gaps, marks, named, scope);
    }
}
