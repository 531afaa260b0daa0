package buswitness.simulate;

import java.util.SplittableRandom;

/** One trigger at work: knows its next instant. Instants are true picoseconds. */
final class ReleaseTimer {
    static final long NEVER = Long.MAX_VALUE;
    final Mailbox mailbox;
    /** Makes the order of equal instants certain. */
    final int order;
    private final Trigger trigger;
    private final Station station;
    private final SplittableRandom random;
    private final ClockPath foreign;
    private final double phaseSeconds;
    private long step;
    private double originLocal;
    private double loopLocal;
    private double randomAt;
    long nextPicos = NEVER;

    ReleaseTimer(Mailbox mailbox, int order, Trigger trigger, long seed) {
        this.mailbox = mailbox;
        this.order = order;
        this.trigger = trigger;
        station = mailbox.station;
        String name = station.behaviour.name();
        random = Streams.of(seed, name, "timer", Long.toHexString(mailbox.sending.key()), Integer.toString(order));
        foreign = trigger instanceof Trigger.Forwarded forwarded
                ? new ClockPath(forwarded.foreign(), Streams.of(seed, name, "foreign clock", Integer.toString(order)))
                : null;
        phaseSeconds = phase(random.nextDouble());
    }

    private double phase(double share) {
        if (trigger instanceof Trigger.Cyclic cyclic) {
            return Double.isNaN(cyclic.phaseSeconds()) ? share * cyclic.periodSeconds() : cyclic.phaseSeconds();
        }
        if (trigger instanceof Trigger.DelayLoop loop) {
            return Double.isNaN(loop.phaseSeconds()) ? share * loop.waitSeconds() : loop.phaseSeconds();
        }
        if (trigger instanceof Trigger.OnChange change) return change.taskAligned() ? 0 : share * change.pollSeconds();
        if (trigger instanceof Trigger.Forwarded forwarded) {
            return Double.isNaN(forwarded.phaseSeconds()) ? share * forwarded.periodSeconds()
                    : forwarded.phaseSeconds();
        }
        return 0;
    }

    /** Begins at the node's start or boot. */
    void startAt(double trueSeconds) {
        originLocal = station.clock.toLocal(trueSeconds);
        step = 0;
        loopLocal = originLocal + phaseSeconds;
        randomAt = trueSeconds;
        nextPicos = NEVER;
        if (foreign != null) {
            double passed = foreign.toLocal(trueSeconds) - phaseSeconds;
            step = Math.max(0, (long) Math.ceil(passed / ((Trigger.Forwarded) trigger).periodSeconds()));
        }
        advance(trueSeconds, Long.MIN_VALUE);
    }

    void stop() {
        nextPicos = NEVER;
    }

    /** Moves on to the instant after the present one. */
    void advance() {
        advance(nextPicos * 1e-12, nextPicos);
    }

    private void advance(double nowSeconds, long afterPicos) {
        double at;
        if (trigger instanceof Trigger.Cyclic cyclic) {
            double local = originLocal + phaseSeconds + step++ * cyclic.periodSeconds();
            double jitter = cyclic.jitterSeconds() > 0 ? cyclic.jitterSeconds() * (2 * random.nextDouble() - 1) : 0;
            at = station.clock.toTrue(local + jitter) + station.delayAt(local);
        } else if (trigger instanceof Trigger.DelayLoop loop) {
            at = station.clock.toTrue(loopLocal);
            loopLocal += loop.waitSeconds() + loop.work().draw(random);
        } else if (trigger instanceof Trigger.OnChange change) {
            double local = originLocal + phaseSeconds + step++ * change.pollSeconds();
            at = station.clock.toTrue(local) + (change.taskAligned() ? station.delayAt(local) : 0);
        } else if (trigger instanceof Trigger.Forwarded forwarded) {
            at = forwarded(forwarded);
        } else if (trigger instanceof Trigger.AtRandom chance) {
            randomAt = Math.max(randomAt, nowSeconds) + random.nextExponential() / chance.perSecond();
            at = toTask(randomAt, chance.taskSeconds());
        } else {
            double[] times = ((Trigger.AtTimes) trigger).atSeconds();
            while (step < times.length && times[(int) step] < nowSeconds) step++;
            if (step >= times.length) {
                nextPicos = NEVER;
                return;
            }
            at = times[(int) step++];
        }
        nextPicos = Math.max(afterPicos + 1, Math.round(at * 1e12));
    }

    private double forwarded(Trigger.Forwarded forwarded) {
        double here = foreign.toTrue(phaseSeconds + step++ * forwarded.periodSeconds());
        if (forwarded.pollSeconds() > 0) return toTask(here, forwarded.pollSeconds());
        return here + station.delayAt(station.clock.toLocal(here));
    }

    /** The next tick of a task of the node at or after an instant, its delay included. */
    private double toTask(double trueSeconds, double taskSeconds) {
        if (!(taskSeconds > 0)) return trueSeconds;
        double local = originLocal + Math.ceil((station.clock.toLocal(trueSeconds) - originLocal) / taskSeconds)
                * taskSeconds;
        return station.clock.toTrue(local) + station.delayAt(local);
    }

    /** Does what is due now. */
    void fire(boolean startingUp) {
        if (trigger instanceof Trigger.OnChange change) {
            boolean soon = nextPicos - mailbox.lastReleasePicos < change.minGapSeconds() * 1e12;
            if (soon || !mailbox.hasChanged(nextPicos * 1e-12, startingUp)) return;
        }
        mailbox.release(nextPicos, startingUp);
    }
}
