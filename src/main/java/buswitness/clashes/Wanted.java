package buswitness.clashes;

import buswitness.clashes.Timing.Relation;
import buswitness.frames.BusInfo;

/** Which recording would decide an undecided message, from the figures at hand. */
final class Wanted {
    private static final double SEE_PPM = 5;
    private static final double LONGEST = 3600;

    private Wanted() {}

    static String of(Judgement judgement, BusInfo bus) {
        double seconds = bus.durationPicos() * 1e-12;
        String unplug = "the same bus with one of the two suspected nodes unplugged and the rest left in place"
                + " (unplug only with the ignition off)";
        if (judgement.scatter != null) {
            return Say.text("A recording with less traffic, in which frames need not wait and schedules show; or one with"
                    + " a tick of %s or finer, which tells single frames; or %s.", tick(bus), unplug);
        }
        PairFinding pair = judgement.rivals;
        if (pair == null && judgement.headOn == null && !judgement.view.meant.isAsked()) {
            return Say.text("A recording of at least %s with a tick of %s or finer, in which the schedules of this message"
                    + " drift apart, or %s.", Say.ask(Math.max(60, 3 * seconds)), tick(bus), unplug);
        }
        if (pair == null || judgement.headOn != null && judgement.headOn.strength() > pair.total()) {
            if (judgement.view.meant.isAsked()) {
                return "The same bus with one of the two suspected nodes unplugged and the rest left in place (unplug only"
                        + " with the ignition off): answers that are then never damaged, and other values than before,"
                        + " would decide.";
            }
            return Say.text("A recording of at least %s that catches %s more such damaged frames at the bit"
                    + " level, or %s.",
                    Say.ask(Math.max(60, 3 * seconds)), "several", unplug);
        }
        if (pair.timing().relation() == Relation.UNRESOLVED) return longer(pair, bus, seconds, unplug);
        if (!bus.wire()) {
            return "A bit-timed recording (level changes, tick 1 us or finer) instead of a table of frames, or"
                    + " " + unplug + ".";
        }
        return Say.text("A recording of at least %s with a tick of %s or finer, so that the two schedules can be"
                + " compared on the wire, while the values in it change; or %s.", Say.ask(Math.max(60, 2 * seconds)),
                tick(bus), unplug);
    }

    /** The error of a drift falls with the power 1.5 of the length (white jitter), until clock wander sets a floor. */
    private static String longer(PairFinding pair, BusInfo bus, double seconds, String unplug) {
        double error = pair.timing().driftErrorPpm();
        double drift = Math.max(SEE_PPM, Math.abs(pair.timing().driftPpm()));
        double wanted = Double.isNaN(error) ? 120 : Power.seconds(pair.timing().sideBySide(), error, drift);
        wanted = Math.min(LONGEST, Math.max(Math.max(60, 1.5 * seconds), wanted));
        String finer = bus.wire() ? Say.text(" with a tick of %s or finer", tick(bus))
                : " of level changes (tick 1 us or finer)";
        return Say.text("A recording of at least %s%s (this one: %.0f s): it would show whether the two"
                + " schedules drift by"
                + " %.0f ppm; or %s.", Say.ask(wanted), finer, seconds, drift, unplug);
    }

    /** A tick that resolves 1 % of a bit, in round figures. */
    private static String tick(BusInfo bus) {
        double bitMicros = bus.bitPicos() * 1e-6;
        return !(bitMicros < 50) ? "1 us" : bitMicros > 5 ? "100 ns" : "10 ns";
    }
}
