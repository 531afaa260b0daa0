package buswitness.simulate;

import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * How a tester wakes a bus of bytes: an address byte at a slow rate, answered by the sync byte and two key bytes
 * (ISO 9141-2), or a wake-up pattern (ISO 14230-2). Pauses within their usual windows, from memory.
 */
final class Wakes {
    private static final int SYNC = 0x55;
    private static final int KEY_BYTE = 0x08;
    private static final double BEFORE_SYNC = 0.1;
    private static final double BETWEEN = 0.01;
    private static final double BEFORE_ECHO = 0.03;
    /** A node that wakes a LIN bus in vain repeats its pulse twice, and after a longer pause begins anew (2.2A, 2.6.2). */
    private static final double REPEATS_AFTER = 0.2;
    private static final double BEGINS_ANEW_AFTER = 1.5;
    private static final int PULSES = 3;
    private final Floor floor;
    private final LineFormat.Bytes line;
    private final double bitPicos;

    /** One waking to come. */
    record Due(long atPicos, Station station, Habits.Wake wake) {}

    Wakes(Floor floor, LineFormat.Bytes line, double bitPicos) {
        this.floor = floor;
        this.line = line;
        this.bitPicos = bitPicos;
    }

    static List<Due> of(Station[] stations) {
        List<Due> all = new ArrayList<>();
        for (Station station : stations) {
            for (Habits.Wake wake : station.behaviour.habits().wakes()) {
                all.add(new Due(Math.round(wake.atSeconds() * 1e12), station, wake));
            }
        }
        all.sort(Comparator.comparingLong(Due::atPicos));
        return all;
    }

    /** The pulses that follow one that nobody has answered yet. */
    static void again(List<Due> wakes, Due first, long speaksPicos) {
        long at = first.atPicos;
        for (int n = 1;; n++) {
            at += picos(n % PULSES == 0 ? BEGINS_ANEW_AFTER : REPEATS_AFTER);
            if (at >= speaksPicos) break;
            wakes.add(new Due(at, first.station, first.wake));
        }
        wakes.sort(Comparator.comparingLong(Due::atPicos));
    }

    /** @return when the bus may talk */
    long run(Due due) {
        Station station = due.station;
        double clock = station.clock.secondLength(due.atPicos * 1e-12);
        floor.book.befell(due.atPicos, station, "wakes the bus");
        if (due.wake.address() < 0) {
            double active = line.wakeUp() == null ? 25_000 : line.wakeUp().nominal();
            if (due.wake.lastsSeconds() > 0) active = due.wake.lastsSeconds() * 1e6;
            long until = due.atPicos + Math.round(active * 1e6 * clock);
            floor.flush(due.atPicos);
            floor.drives(station, due.atPicos, until);
            floor.flush(until);
            // As long again at rest where the pattern is twice its active part (ISO 14230-2).
            return floor.format.sleep() != null ? until : until + (until - due.atPicos);
        }
        double slow = line.addressBitsPerSecond() > 0 ? line.addressBitsPerSecond() : 5;
        long at = send(station, due.atPicos, due.wake.address(), 1e12 / slow * clock);
        Station answers = null;
        for (Station each : floor.stations) if (each.behaviour.name().equals(due.wake.by())) answers = each;
        if (answers == null || !Floor.isOn(answers)) return at;
        double theirs = bitPicos * answers.clock.secondLength(at * 1e-12);
        at = send(answers, at + picos(BEFORE_SYNC), SYNC, theirs);
        at = send(answers, at + picos(BETWEEN), KEY_BYTE, theirs);
        at = send(answers, at + picos(BETWEEN), KEY_BYTE, theirs);
        at = send(station, at + picos(BEFORE_ECHO), ~KEY_BYTE & 0xFF, bitPicos * clock);
        return send(answers, at + picos(BEFORE_ECHO), ~due.wake.address() & 0xFF, theirs);
    }

    private static long picos(double seconds) {
        return Math.round(seconds * 1e12);
    }

    private long send(Station station, long start, int value, double bit) {
        floor.flush(start);
        for (int n = 0; n < 9; n++) {
            int level = n == 0 ? 0 : value >>> n - 1 & 1;
            if (level == 1) continue;
            int end = n + 1;
            while (end < 9 && (value >>> end - 1 & 1) == 0) end++;
            floor.drives(station, start + Math.round(n * bit), start + Math.round(end * bit));
            n = end - 1;
        }
        long until = start + Math.round(10 * bit);
        floor.flush(until);
        return until;
    }
}
