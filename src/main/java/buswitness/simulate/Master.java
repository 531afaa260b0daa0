package buswitness.simulate;

import buswitness.frames.FormatBits;
import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** The master of a scheduled bus (LIN): whose turn it is, the header that asks, and who has an answer to it. */
final class Master {
    private final Floor floor;
    private final SlotTable table;
    private final Station station;
    private int slot;
    private double nextLocal;

    Master(Floor floor, SlotTable table) {
        this.floor = floor;
        this.table = table;
        Station found = null;
        for (Station each : floor.stations) if (each.behaviour.name().equals(table.master())) found = each;
        // Without its master (unplugged) nobody asks.
        station = found;
        nextLocal = 0;
    }

    Station station() {
        return station;
    }

    /** True start of the next slot. */
    long nextSlot() {
        if (station == null) return Long.MAX_VALUE;
        return Math.round((station.clock.toTrue(nextLocal) + station.delayAt(nextLocal)) * 1e12);
    }

    long key() {
        return table.slots().get(slot).key();
    }

    void advance() {
        nextLocal += table.slots().get(slot).lastsSeconds();
        slot = (slot + 1) % table.slots().size();
    }

    /** The bytes that the master sends itself: all before the answer. */
    byte[] header(long key) {
        FormatBits bits = FormatBits.of(floor.format, MessageKey.identifier(key), java.util.Map.of(), new byte[1],
                false);
        String answer = floor.format.naming().answer();
        byte[] all = bits.bytes();
        return answer == null ? all : Arrays.copyOf(all, bits.from(answer) / 8);
    }

    /** One frame of every node that publishes the message, with its values as they are now. */
    List<Outgoing> answers(long key, long atPicos) {
        List<Outgoing> out = new ArrayList<>();
        for (Station each : floor.stations) {
            if (!Floor.isOn(each)) continue;
            for (Mailbox mailbox : each.mailboxes) {
                if (mailbox.sending.key() != key) continue;
                mailbox.release(atPicos, each.startingUp(atPicos));
                out.add(mailbox.ready);
            }
        }
        return out;
    }
}
