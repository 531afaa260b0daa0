package buswitness.simulate;

/** What makes a node send a message. A message may have several. Seconds of the node's own clock unless said. */
public sealed interface Trigger {

    /**
     * A timer: release k at phase + k * period, so that jitter does not add up.
     *
     * @param periodSeconds greater than 0
     * @param phaseSeconds  of the first release, from the start or the boot; NaN draws one within a period
     * @param jitterSeconds each release moves by up to this either way
     */
    record Cyclic(double periodSeconds, double phaseSeconds, double jitterSeconds) implements Trigger {
        public Cyclic {
            positive(periodSeconds);
        }
    }

    /**
     * No timer: wait, do the work, send, wait again. The period is the sum and its errors add up.
     *
     * @param waitSeconds greater than 0
     * @param work        time the work takes, on top
     */
    record DelayLoop(double waitSeconds, double phaseSeconds, SoftwareDelay work) implements Trigger {
        public DelayLoop {
            positive(waitSeconds);
        }
    }

    /**
     * At given instants of the simulation.
     *
     * @param atSeconds true seconds, ascending
     */
    record AtTimes(double[] atSeconds) implements Trigger {}

    /**
     * At random instants.
     *
     * @param perSecond   mean rate, greater than 0
     * @param taskSeconds moved to the next tick of a task with this period; 0 where sent from an interrupt
     */
    record AtRandom(double perSecond, double taskSeconds) implements Trigger {
        public AtRandom {
            positive(perSecond);
        }
    }

    /**
     * When a value of the message has changed since it was last sent; counters, check sums and page numbers apart.
     *
     * @param pollSeconds   how often the node looks, greater than 0
     * @param taskAligned   the looks fall on the node's task grid (phase 0); else on a phase of their own
     * @param minGapSeconds never sooner than this after the last release of the message
     */
    record OnChange(double pollSeconds, boolean taskAligned, double minGapSeconds) implements Trigger {
        public OnChange {
            positive(pollSeconds);
        }
    }

    /**
     * Passed on from another bus: the timer belongs to a node over there.
     *
     * @param periodSeconds of the foreign timer, on its own clock
     * @param phaseSeconds  NaN draws one
     * @param foreign       that clock
     * @param pollSeconds   the gateway looks this often on its own clock; 0 where it passes on at once
     */
    record Forwarded(double periodSeconds, double phaseSeconds, Oscillator foreign, double pollSeconds)
            implements Trigger {
        public Forwarded {
            positive(periodSeconds);
        }
    }

    /**
     * Answers another message, on buses of bytes and of pulses: so long after each whole frame of it.
     *
     * @param key           of that message
     * @param afterSeconds  from the end of its last byte, on the node's own clock
     */
    record After(long key, double afterSeconds) implements Trigger {}

    private static void positive(double seconds) {
        if (!(seconds > 0)) throw new IllegalArgumentException("must be above 0: " + seconds);
    }
}
