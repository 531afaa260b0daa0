package buswitness.simulate;

import java.util.List;

/**
 * When a node has supply. Times are seconds of the simulation.
 *
 * @param fromSeconds    0 for a node that has been running all along; later, it boots then
 * @param untilSeconds   unplugged from then on; positive infinity for never
 * @param restarts       brown-outs in time order
 * @param bootSeconds    from supply to the first tick of its timers
 * @param startUpSeconds how long after a boot its start-up values are sent
 */
public record Power(double fromSeconds, double untilSeconds, List<Restart> restarts, double bootSeconds,
                    double startUpSeconds) {
    public static final Power ALWAYS = new Power(0, Double.POSITIVE_INFINITY, List.of(), 0.05, 0.5);

    /**
     * One brown-out.
     *
     * @param atSeconds  supply goes
     * @param offSeconds and returns so much later
     */
    public record Restart(double atSeconds, double offSeconds) {
        public Restart {
            if (!(offSeconds > 0)) throw new IllegalArgumentException("a brown-out lasts more than 0 s");
        }
    }

    public Power {
        restarts = List.copyOf(restarts);
        if (!(untilSeconds >= fromSeconds)) throw new IllegalArgumentException("unplugged before it is plugged in");
    }

    public Power withRestarts(List<Restart> more) {
        return new Power(fromSeconds, untilSeconds, more, bootSeconds, startUpSeconds);
    }

    public Power within(double from, double until) {
        return new Power(from, until, restarts, bootSeconds, startUpSeconds);
    }
}
