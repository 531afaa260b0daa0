package buswitness.simulate;

import buswitness.frames.FormatBits;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Deque;
import java.util.List;
import java.util.Map;

/** The master of a scheduled bus (LIN): whose turn it is, the header that asks, and who has an answer to it. */
final class Master {
    private static final long MASTER_REQUEST = 0x3C;
    private static final long SLAVE_ANSWER = 0x3D;
    /** Node address that every slave listens to. */
    private static final int BROADCAST = 0x7F;
    private static final int REQUEST_BYTES = 8;

    private final Floor floor;
    private final SlotTable table;
    private final Station station;
    private final Mailbox sleepCommand;
    private final boolean asksNodes;
    private final Deque<SlotTable.Slot> polls = new ArrayDeque<>();
    private int slot;
    private double nextLocal;
    private int nap;
    private boolean asleep;
    private long wokenPicos = Long.MAX_VALUE;
    private int asked = -1;

    /** Who answers, and with which bytes. */
    record Reply(Outgoing outgoing, byte[] bytes) {}

    /**
     * One turn.
     *
     * @param key of the header
     */
    record Turn(long key, List<Reply> replies) {}

    Master(Floor floor, SlotTable table, long seed) {
        this.floor = floor;
        this.table = table;
        Station found = null;
        for (Station each : floor.stations) if (each.behaviour.name().equals(table.master())) found = each;
        // Without its master (unplugged) nobody asks.
        station = found;
        BusFormat.Sleep sleep = floor.format.sleep();
        sleepCommand = sleep == null || station == null ? null : new Mailbox(new Sending((int) sleep.message(), false,
                false, REQUEST_BYTES, List.of(), List.of(Field.of(0, 8, new ValueSource.Constant(sleep.firstByte()))),
                0xFF, new OnFormat(floor.format.nameDigits(), Map.of(), true)), station, seed);
        asksNodes = isLin() && table.slots().stream().anyMatch(s -> s.key() == key(MASTER_REQUEST)
                || s.of().contains(key(MASTER_REQUEST)));
        for (SlotTable.Slot each : table.slots()) {
            if (each.kind() == SlotTable.Kind.EVENT_TRIGGERED) for (long key : each.of()) marked(key);
        }
    }

    private boolean isLin() {
        return floor.format.name().equals("lin");
    }

    private long key(long identifier) {
        return MessageKey.of(identifier, floor.format.nameDigits());
    }

    /** Messages that share a header carry their own protected identifier in the first byte, however they are asked. */
    private void marked(long key) {
        int first = header(key)[1] & 0xFF;
        for (Station each : floor.stations) {
            for (Mailbox mailbox : each.mailboxes) if (mailbox.sending.key() == key) mailbox.firstByte = first;
        }
    }

    Station station() {
        return station;
    }

    /** True start of the next slot; {@link Long#MAX_VALUE} while nothing ends a sleep. */
    long nextSlot() {
        if (station == null) return Long.MAX_VALUE;
        if (asleep) return Math.min(wokenPicos, picos(table.naps().get(nap).untilSeconds()));
        return Math.round((station.clock.toTrue(nextLocal) + station.delayAt(nextLocal)) * 1e12);
    }

    private static long picos(double seconds) {
        return seconds > 9e6 ? Long.MAX_VALUE : Math.round(seconds * 1e12);
    }

    boolean isAsleep() {
        return asleep;
    }

    /** A node's pulse has ended. @return when the master will speak; {@link Long#MAX_VALUE} where it had heard one before */
    long woken(long atPicos) {
        if (wokenPicos != Long.MAX_VALUE) return Long.MAX_VALUE;
        wokenPicos = atPicos + picos(table.naps().get(nap).startsAfterSeconds());
        return wokenPicos;
    }

    /** What happens in the slot that begins now, and on to the next; null where nothing is sent. */
    Turn turn(long atPicos) {
        if (asleep) {
            asleep = false;
            wokenPicos = Long.MAX_VALUE;
            nap++;
            slot = 0;
            nextLocal = station.clock.toLocal(atPicos * 1e-12);
        }
        if (nap < table.naps().size() && atPicos >= picos(table.naps().get(nap).atSeconds())) {
            asleep = true;
            polls.clear();
            if (!table.naps().get(nap).command() || sleepCommand == null) return null;
            sleepCommand.release(atPicos, false);
            return new Turn(sleepCommand.sending.key(), List.of(reply(sleepCommand.ready)));
        }
        SlotTable.Slot now = polls.isEmpty() ? table.slots().get(slot) : polls.poll();
        boolean polled = now != table.slots().get(slot);
        nextLocal += now.lastsSeconds();
        if (!polled) slot = (slot + 1) % table.slots().size();
        return switch (now.kind()) {
            case UNCONDITIONAL -> new Turn(now.key(), replies(now.key(), atPicos));
            case EVENT_TRIGGERED -> event(now, atPicos);
            case SPORADIC -> sporadic(now, atPicos);
        };
    }

    /** The bytes that the master sends itself: all before the answer. */
    byte[] header(long key) {
        FormatBits bits = FormatBits.of(floor.format, MessageKey.identifier(key), Map.of(), new byte[1], false);
        String answer = floor.format.naming().answer();
        byte[] all = bits.bytes();
        return answer == null ? all : Arrays.copyOf(all, bits.from(answer) / 8);
    }

    private Reply reply(Outgoing outgoing) {
        return new Reply(outgoing, outgoing.other.bytesFrom(floor.format.naming().answer()));
    }

    /** One frame of every node that publishes the message, with its values as they are now. */
    private List<Reply> replies(long key, long atPicos) {
        List<Reply> out = new ArrayList<>();
        for (Mailbox mailbox : mailboxes(List.of(key))) {
            Outgoing ready = released(mailbox, atPicos);
            if (asksNodes && key == key(SLAVE_ANSWER) && !addressed(ready)) continue;
            if (asksNodes && key == key(MASTER_REQUEST)) asked = ready.data()[0] & 0xFF;
            out.add(reply(ready));
        }
        if (key == key(SLAVE_ANSWER)) asked = -1;
        return out;
    }

    /** Diagnosis: only the node that was asked answers, by its address in the first byte. */
    private boolean addressed(Outgoing answer) {
        return asked == BROADCAST || asked == (answer.data()[0] & 0xFF);
    }

    private List<Mailbox> mailboxes(List<Long> keys) {
        List<Mailbox> out = new ArrayList<>();
        for (long key : keys) {
            for (Station each : floor.stations) {
                if (!Floor.isOn(each)) continue;
                for (Mailbox mailbox : each.mailboxes) if (mailbox.sending.key() == key) out.add(mailbox);
            }
        }
        return out;
    }

    private static Outgoing released(Mailbox mailbox, long atPicos) {
        mailbox.release(atPicos, mailbox.station.startingUp(atPicos));
        return mailbox.ready;
    }

    /** Who has news answers the shared header; where more than one did the master asks each, once. */
    private Turn event(SlotTable.Slot now, long atPicos) {
        List<Reply> out = new ArrayList<>();
        for (Mailbox mailbox : mailboxes(now.of())) {
            Outgoing ready = released(mailbox, atPicos);
            if (!mailbox.isNews(ready)) continue;
            Sending own = mailbox.sending;
            FormatFrame frame = FormatFrame.of(floor.format, new Sending((int) MessageKey.identifier(now.key()), false,
                    false, own.length(), List.of(), List.of(), 0, own.onFormat()), ready.data());
            mailbox.ready = new Outgoing(mailbox, frame, atPicos);
            out.add(reply(mailbox.ready));
        }
        if (out.size() > 1) for (long key : now.of()) polls.add(new SlotTable.Slot(key, now.lastsSeconds()));
        return new Turn(now.key(), out);
    }

    private Turn sporadic(SlotTable.Slot now, long atPicos) {
        for (Mailbox mailbox : mailboxes(now.of())) {
            Outgoing ready = released(mailbox, atPicos);
            if (mailbox.station != station || !mailbox.isNews(ready)) continue;
            if (mailbox.sending.key() == key(MASTER_REQUEST)) asked = ready.data()[0] & 0xFF;
            return new Turn(mailbox.sending.key(), List.of(reply(ready)));
        }
        return null;
    }
}
