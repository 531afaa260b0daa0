package buswitness.simulate;

import java.util.List;

/**
 * The schedule of a bus whose master asks for each message (LIN).
 *
 * @param master node that sends the headers
 * @param slots  one after the other, then again from the first
 */
public record SlotTable(String master, List<Slot> slots) {

    /** One slot: the message asked for, and how long until the next, on the master's clock. */
    public record Slot(long key, double lastsSeconds) {
        public Slot {
            if (!(lastsSeconds > 0)) throw new IllegalArgumentException("a slot lasts more than 0 s");
        }
    }

    public SlotTable {
        slots = List.copyOf(slots);
        if (slots.isEmpty()) throw new IllegalArgumentException("a schedule without slots");
    }
}
