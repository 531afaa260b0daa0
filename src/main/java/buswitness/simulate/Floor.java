package buswitness.simulate;

import buswitness.schema.BusFormat;
import java.util.function.ToLongFunction;

/** What the engines of buses other than CAN share: who is there, what is due when, the line, and what disturbs it. */
final class Floor {
    final BusFormat format;
    final Station[] stations;
    final Agenda agenda;
    final Bursts bursts;
    final Wire wire;
    final TruthBook book;
    final long endPicos;

    Floor(Scenario scenario, Station[] stations, Tap tap, TruthSink truth, long endPicos) {
        format = scenario.bus().format();
        this.stations = stations;
        this.endPicos = endPicos;
        wire = new Wire(tap, stations, scenario.recorder().idleLevel());
        book = new TruthBook(truth, tap);
        agenda = new Agenda(stations, book);
        bursts = new Bursts(scenario, endPicos * 1e-12);
    }

    static boolean isOn(Station station) {
        return station.controller.state() != Controller.State.OFF;
    }

    /**
     * Does all that is due before anybody starts.
     *
     * @param startOf when a station would start if the line stays at rest; {@link Long#MAX_VALUE} for never
     * @return the first start, {@link Long#MAX_VALUE} where none comes before the end
     */
    long next(ToLongFunction<Station> startOf) {
        while (true) {
            long first = Long.MAX_VALUE;
            for (Station station : stations) {
                if (isOn(station)) first = Math.min(first, startOf.applyAsLong(station));
            }
            long release = agenda.nextRelease();
            long change = agenda.nextChange();
            long due = Math.min(release, change);
            if (due <= first && due < endPicos) {
                if (change <= release) agenda.fireChange();
                else agenda.fireRelease();
            } else if (first >= endPicos) {
                return Long.MAX_VALUE;
            } else {
                return first;
            }
        }
    }

    /** Start of what waits longest in a station once the line has rested until {@code restedAt}. */
    static long startOf(Station station, long restedAt) {
        long release = station.earliestReady();
        return release == ReleaseTimer.NEVER ? Long.MAX_VALUE : Math.max(release, restedAt);
    }

    /** An attempt broke: it is told, and given up after as many as the node makes. */
    void broke(Station station, int bit) {
        Outgoing outgoing = station.current;
        outgoing.broken++;
        book.broke(outgoing, bit);
        if (outgoing.broken >= station.behaviour.habits().tries()) {
            station.sent();
        } else {
            station.current = null;
        }
    }

    /** Its frame reached the line otherwise than it was meant, and it has not noticed. */
    void spoilt(Station station, int bit) {
        station.current.broken++;
        book.broke(station.current, bit);
        station.sent();
    }

    /** A whole frame has ended: who answers it has its answer ready a while later. */
    void answer(long key, long endPicos) {
        for (Station station : stations) {
            if (!isOn(station)) continue;
            for (Mailbox mailbox : station.mailboxes) {
                for (Trigger trigger : mailbox.sending.triggers()) {
                    if (!(trigger instanceof Trigger.After after) || after.key() != key) continue;
                    double second = station.clock.secondLength(endPicos * 1e-12);
                    long ready = endPicos + Math.round(after.afterSeconds() * second * 1e12);
                    mailbox.release(ready, station.startingUp(ready));
                }
            }
        }
    }

    void sent(Station station) {
        book.sent(station.current);
        station.current.mailbox.told(station.current);
        station.sent();
    }

    /** Lays what disturbs the line until an instant, and passes on all before it. */
    void flush(long untilPicos) {
        bursts.layUntil(untilPicos, wire);
        wire.flushUntil(untilPicos);
    }

    /** A station drives the line active for a while. */
    void drives(Station station, long fromPicos, long untilPicos) {
        if (untilPicos <= fromPicos) return;
        wire.drives(fromPicos, station.index);
        wire.letsGo(untilPicos, station.index);
    }
}
