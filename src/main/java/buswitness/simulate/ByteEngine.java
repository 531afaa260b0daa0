package buswitness.simulate;

import buswitness.frames.MessageKey;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.PriorityQueue;

/**
 * A bus of asynchronous bytes. Nobody arbitrates: what two send at once is superposed on the line, each with the bit
 * length of its own clock. Who reads back falls silent after a byte that differs from what it sent. With a schedule
 * (LIN) the master asks for each message in its slot, and nobody tries again before the next.
 */
final class ByteEngine {
    private static final long SAMPLES_MIDDLE = 2;
    private final Floor floor;
    private final LineFormat.Bytes line;
    private final double bitPicos;
    private final Master master;
    private final List<Wakes.Due> wakes;
    private long restsFrom = Long.MIN_VALUE / 4;

    // Who drove the line active from when to when, within the present frame.
    private long[] activeFrom = new long[64];
    private long[] activeUntil = new long[64];
    private int actives;

    /** One node sending bytes. */
    static final class Talker {
        final Station station;
        final byte[] bytes;
        final double bit;
        /** Start of its next byte. */
        long next;
        int sent;
        boolean out;
        /** First byte that the line did not show as sent; -1 for none. */
        int spoilt = -1;
        final boolean reads;

        Talker(Station station, byte[] bytes, double bit, long start) {
            this.station = station;
            this.bytes = bytes;
            this.bit = bit;
            next = start;
            reads = station.behaviour.habits().readsBack();
        }
    }

    private record Event(long atPicos, boolean ends, int order, Talker talker) {}

    ByteEngine(Floor floor, Scenario scenario) {
        this.floor = floor;
        line = (LineFormat.Bytes) floor.format.line();
        bitPicos = 1e12 / scenario.bitsPerSecond();
        master = scenario.bus().slots() == null ? null : new Master(floor, scenario.bus().slots(), scenario.seed());
        wakes = Wakes.of(floor.stations);
    }

    void run() {
        while (true) {
            long slot = master == null ? Long.MAX_VALUE : master.nextSlot();
            long wake = wakes.isEmpty() ? Long.MAX_VALUE : wakes.get(0).atPicos();
            long start = master != null ? dueUntil(slot) : floor.next(this::startOf);
            if (wake <= start && wake < floor.endPicos) {
                wake(wakes.remove(0));
            } else if (start == Long.MAX_VALUE) {
                break;
            } else if (master != null) {
                slot(slot);
            } else if (!disturbed(start)) {
                free(start);
            }
        }
        floor.flush(floor.endPicos);
    }

    /** A bus that sleeps is woken; where it does not, nobody wakes it. */
    private void wake(Wakes.Due due) {
        boolean sleeps = floor.format.sleep() != null;
        if (sleeps && (master == null || !master.isAsleep() || !Floor.isOn(due.station()))) return;
        restsFrom = new Wakes(floor, line, bitPicos).run(due);
        if (!sleeps) return;
        long speaks = master.woken(restsFrom);
        if (speaks != Long.MAX_VALUE) Wakes.again(wakes, due, speaks);
    }

    /** Does what is due before a slot. @return the slot's start, or {@link Long#MAX_VALUE} after the end */
    private long dueUntil(long slot) {
        if (slot >= floor.endPicos) return Long.MAX_VALUE;
        floor.agenda.fireUntil(slot);
        return slot;
    }

    private boolean disturbed(long start) {
        long burst = floor.bursts.firstForcing(restsFrom, start + 1, true, Math.round(bitPicos / SAMPLES_MIDDLE));
        if (burst == Long.MAX_VALUE) return false;
        restsFrom = floor.bursts.quietFrom(burst, burst + 1);
        return true;
    }

    private double bitOf(Station station, long atPicos) {
        return bitPicos * station.clock.secondLength(Math.max(0, atPicos) * 1e-12);
    }

    private long startOf(Station station) {
        double rest = line.restBits() * bitOf(station, restsFrom)
                + station.behaviour.habits().restsSeconds() * 1e12;
        return Floor.startOf(station, restsFrom + Math.round(rest));
    }

    /** Without a master: whoever finds the line at rest sends. */
    private void free(long start) {
        actives = 0;
        floor.flush(start);
        floor.book.open(start);
        List<Talker> talkers = new ArrayList<>();
        for (Station station : floor.stations) {
            if (!Floor.isOn(station)) continue;
            long own = startOf(station);
            // Until the first edge has reached it, it takes the line for resting.
            if (own > start + station.loopDelayPicos) continue;
            station.current = station.choose(own);
            if (station.current == null) continue;
            double bit = bitOf(station, own);
            long first = own;
            if (line.breakBits() > 0) first = pulse(station, own, line.breakBits(), bit, line.breakEnd());
            talkers.add(new Talker(station, station.current.other.bytes(), bit, first));
        }
        long key = talkers.isEmpty() ? MessageKey.UNKNOWN : talkers.get(0).station.current.other.key;
        long end = talk(talkers);
        // Nobody replies to a frame that he could not read.
        boolean whole = talkers.stream().anyMatch(t -> !t.out && t.spoilt < 0);
        settle(talkers);
        close(whole ? replies(key, end) : end);
        if (whole) floor.answer(key, end);
    }

    /** One slot of the master: header, then all who have an answer to it. */
    private void slot(long start) {
        actives = 0;
        floor.flush(start);
        floor.book.open(start);
        Station asks = master.station();
        double bit = bitOf(asks, start);
        Master.Turn turn = master.turn(start);
        if (turn == null || !Floor.isOn(asks)) {
            close(start + Math.round(bit));
            return;
        }
        byte[] header = master.header(turn.key());
        long first = pulse(asks, start, line.breakBits(), bit, line.breakEnd());
        Talker head = new Talker(asks, header, bit, first);
        long end = talk(List.of(head));
        if (head.out) {
            close(end);
            return;
        }
        List<Talker> talkers = new ArrayList<>();
        for (Master.Reply answer : turn.replies()) {
            Station station = answer.outgoing().mailbox.station;
            station.current = answer.outgoing();
            long begins = end + Math.round(station.behaviour.habits().answersAfterSeconds() * 1e12)
                    + (station == asks ? 0 : station.loopDelayPicos);
            talkers.add(new Talker(station, answer.bytes(), bitOf(station, end), begins));
        }
        if (!talkers.isEmpty()) end = talk(talkers);
        settle(talkers);
        close(end);
    }

    private void close(long end) {
        restsFrom = Math.max(restsFrom, end);
        floor.book.ended(Math.min(end, floor.endPicos));
        floor.book.close(Math.min(end, floor.endPicos));
    }

    /** Who sent all of it and who fell silent. */
    private void settle(List<Talker> talkers) {
        for (Talker talker : talkers) {
            if (talker.spoilt >= 0 && !talker.reads) {
                // It knows nothing of it and does not try again.
                floor.spoilt(talker.station, 8 * talker.spoilt);
            } else if (talker.spoilt >= 0 || talker.out) {
                floor.broke(talker.station, 8 * Math.max(talker.spoilt, 0));
            } else {
                floor.sent(talker.station);
            }
        }
    }

    /** An active level and the rest after it. @return where the first byte starts */
    private long pulse(Station station, long start, double bits, double bit, double restBits) {
        long until = start + Math.round(bits * bit);
        active(station, start, until);
        return until + Math.round(restBits * bit);
    }

    private void active(Station station, long from, long until) {
        if (actives == activeFrom.length) {
            activeFrom = Arrays.copyOf(activeFrom, actives * 2);
            activeUntil = Arrays.copyOf(activeUntil, actives * 2);
        }
        activeFrom[actives] = from;
        activeUntil[actives++] = until + station.releaseLagPicos;
        floor.drives(station, from, until + station.releaseLagPicos);
    }

    private int levelAt(long at) {
        int level = 1;
        for (int i = Math.max(0, actives - 200); i < actives; i++) {
            if (activeFrom[i] <= at && at < activeUntil[i]) level = 0;
        }
        return floor.bursts.seen(at, level);
    }

    /** All bytes of all who send, in time order. @return end of the last byte */
    private long talk(List<Talker> talkers) {
        PriorityQueue<Event> events = new PriorityQueue<>(Comparator.comparingLong(Event::atPicos)
                .thenComparing(Event::ends).thenComparingInt(Event::order));
        int order = 0;
        for (Talker talker : talkers) events.add(new Event(talker.next, false, order++, talker));
        long end = 0;
        while (!events.isEmpty()) {
            Event event = events.poll();
            Talker talker = event.talker;
            if (!event.ends) {
                if (event.atPicos >= floor.endPicos) {
                    talker.out = true;
                    continue;
                }
                floor.flush(event.atPicos);
                long ends = lay(talker);
                end = Math.max(end, ends);
                events.add(new Event(ends, true, event.order, talker));
                continue;
            }
            if (talker.spoilt < 0 && !agrees(talker, talker.next)) talker.spoilt = talker.sent;
            talker.sent++;
            if (talker.spoilt >= 0 && talker.reads) {
                talker.out = true;
            } else if (talker.sent < talker.bytes.length) {
                talker.next = event.atPicos
                        + Math.round(talker.station.behaviour.habits().betweenBytesSeconds() * 1e12);
                events.add(new Event(talker.next, false, event.order, talker));
            }
        }
        return end;
    }

    private int bitsOfByte() {
        return 1 + 8 + (line.parity() == 0 ? 0 : 1);
    }

    /** Start bit, data, parity; the stop bits are at rest. */
    private int bit(int value, int n) {
        if (n == 0) return 0;
        if (n <= 8) return value >>> (line.lowBitFirst() ? n - 1 : 8 - n) & 1;
        return Integer.bitCount(value) + (line.parity() == 1 ? 1 : 0) & 1;
    }

    /** Lays the next byte on the line. @return its end */
    private long lay(Talker talker) {
        int value = talker.bytes[talker.sent] & 0xFF;
        int bits = bitsOfByte();
        int since = -1;
        for (int n = 0; n <= bits; n++) {
            int bit = n < bits ? bit(value, n) : 1;
            if (bit == 0 && since < 0) since = n;
            if (bit == 0 || since < 0) continue;
            active(talker.station, talker.next + Math.round(since * talker.bit),
                    talker.next + Math.round(n * talker.bit));
            since = -1;
        }
        return talker.next + Math.round((bits + line.stopBits()) * talker.bit);
    }

    /** Whether the line showed, in the middle of each bit, what was sent. */
    private boolean agrees(Talker talker, long start) {
        int value = talker.bytes[talker.sent] & 0xFF;
        int bits = bitsOfByte();
        long until = start + Math.round(bits * talker.bit);
        floor.bursts.touches(start, until);
        for (int n = 0; n <= bits; n++) {
            long middle = start + Math.round((n + 0.5) * talker.bit);
            if (levelAt(middle) != (n < bits ? bit(value, n) : 1)) return false;
        }
        return true;
    }

    /** Bytes after a rest longer than within the frame and shorter than between frames. */
    private long replies(long key, long end) {
        if (floor.format.response() == null || key == MessageKey.UNKNOWN) return end;
        List<Talker> talkers = new ArrayList<>();
        double rest = (line.longestGapBits() + line.restBits()) / 2;
        for (Station station : floor.stations) {
            if (!Floor.isOn(station)) continue;
            for (Habits.Answer answer : station.behaviour.habits().answers()) {
                if (answer.key() != key) continue;
                double bit = bitOf(station, end);
                double waits = station.behaviour.habits().answersAfterSeconds() * 1e12;
                long begins = end + Math.round(waits > 0 ? waits : rest * bit);
                talkers.add(new Talker(station, Replies.bytes(floor.format.response(), answer), bit, begins));
            }
        }
        return talkers.isEmpty() ? end : talk(talkers);
    }
}
