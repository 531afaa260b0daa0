package buswitness.simulate;

import java.util.List;

/**
 * The schedule of a bus whose master asks for each message (LIN).
 *
 * @param master node that sends the headers
 * @param slots  one after the other, then again from the first
 * @param naps   when the bus sleeps, in time order
 */
public record SlotTable(String master, List<Slot> slots, List<Nap> naps) {

    /** What a slot is for (LIN 2.2A, 2.3.3; the rules of event-triggered and sporadic frames from memory). */
    public enum Kind {
        /** One header, answered by whoever has the message. */
        UNCONDITIONAL,
        /** One header for several messages: who has news answers, and after a collision the master asks each. */
        EVENT_TRIGGERED,
        /** The master sends the first of several messages of its own that has news, or leaves the slot empty. */
        SPORADIC
    }

    /**
     * One slot.
     *
     * @param key          message asked for; of a sporadic slot the first one
     * @param lastsSeconds until the next slot, on the master's clock
     * @param of           messages that share an event-triggered header or a sporadic slot; else empty
     */
    public record Slot(long key, double lastsSeconds, Kind kind, List<Long> of) {
        public Slot {
            of = List.copyOf(of);
            if (!(lastsSeconds > 0)) throw new IllegalArgumentException("a slot lasts more than 0 s");
        }

        /** A slot of one unconditional frame. */
        public Slot(long key, double lastsSeconds) {
            this(key, lastsSeconds, Kind.UNCONDITIONAL, List.of());
        }
    }

    /**
     * A time of sleep.
     *
     * @param atSeconds    the next slot after it is the last one
     * @param untilSeconds the master goes on by itself then; positive infinity where only a wake-up ends it
     * @param command      whether the master sends the go-to-sleep command, or merely falls silent
     * @param startsAfterSeconds from a node's wake-up pulse to the master's first header
     */
    public record Nap(double atSeconds, double untilSeconds, boolean command, double startsAfterSeconds) {}

    public SlotTable {
        slots = List.copyOf(slots);
        naps = List.copyOf(naps);
        if (slots.isEmpty()) throw new IllegalArgumentException("a schedule without slots");
    }

    /** A bus that never sleeps. */
    public SlotTable(String master, List<Slot> slots) {
        this(master, slots, List.of());
    }
}
