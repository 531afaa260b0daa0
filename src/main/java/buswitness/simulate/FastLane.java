package buswitness.simulate;

/** A whole frame that nothing disturbs, laid on the wire at once. */
final class FastLane {
    private final BusEngine engine;
    /** For each contender the first bit it no longer sends. */
    private int[] sendsUntil = new int[8];

    FastLane(BusEngine engine) {
        this.engine = engine;
    }

    boolean takes(Station[] contenders, int count, Station winner, long start) {
        if (engine.misreads.any()) return false;
        WireFrame frame = winner.current.frame;
        for (int i = 0; i < count; i++) {
            WireFrame other = contenders[i].current.frame;
            if (other.priority == frame.priority && other.partsFrom(frame) < Math.max(other.size(), frame.size())) {
                return false;
            }
        }
        long over = winner.bitStart(frame.size() + 5);
        if (engine.agenda.nextChange() <= over || engine.endPicos <= over) return false;
        if (engine.bursts.touches(start - Math.round(winner.bitPicos), over)) return false;
        boolean acknowledged = false;
        for (Station station : engine.stations) {
            // One that comes back from bus-off with this frame may have dropped what was released during it.
            if (station.controller.recoveryBits() <= Controller.PAUSE_BITS) return false;
            acknowledged |= receives(station, frame) && station.controller.acknowledges();
        }
        return acknowledged;
    }

    private static boolean receives(Station station, WireFrame frame) {
        return station.controller.state() == Controller.State.IDLE
                && (station.current == null || station.current.frame.priority != frame.priority);
    }

    /** @return start of the first idle bit */
    long run(Station[] contenders, int count, Station winner, long start) {
        WireFrame frame = winner.current.frame;
        if (sendsUntil.length < count) sendsUntil = new int[count];
        int shared = 0;
        for (int i = 0; i < count; i++) {
            WireFrame other = contenders[i].current.frame;
            sendsUntil[i] = other.priority == frame.priority ? Integer.MAX_VALUE : other.partsFrom(frame);
            if (contenders[i] != winner) shared = Math.max(shared, sendsUntil[i]);
        }
        edges(contenders, count, winner, shared);
        acknowledge(winner);
        engine.book.open(start);
        long over = winner.bitStart(frame.size());
        for (int i = 0; i < count; i++) {
            Station station = contenders[i];
            if (sendsUntil[i] < Integer.MAX_VALUE) station.current = null;
        }
        for (Station station : engine.stations) {
            if (station.current != null) {
                station.controller.frameSent();
                engine.book.sent(station.current);
                station.sent();
            } else {
                station.controller.frameReceived();
            }
        }
        engine.book.ended(over);
        engine.book.close(over);
        return winner.bitStart(frame.size() + 3);
    }

    private void edges(Station[] contenders, int count, Station winner, int shared) {
        WireFrame frame = winner.current.frame;
        short[] changes = frame.changes;
        Wire wire = engine.wire;
        for (int c = 0; c < changes.length; c++) {
            int n = changes[c];
            boolean falls = (c & 1) == 0;
            long at = winner.bitStart(n);
            int last = winner.index;
            if (!falls) at += winner.releaseLagPicos;
            if (n < shared) {
                for (int i = 0; i < count; i++) {
                    Station other = contenders[i];
                    if (other == winner || sendsUntil[i] <= n) continue;
                    long theirs = other.bitStart(n) + (falls ? 0 : other.releaseLagPicos);
                    if (falls) {
                        at = Math.min(at, theirs);
                    } else if (theirs > at || theirs == at && other.index > last) {
                        at = theirs;
                        last = other.index;
                    }
                }
            }
            if (falls) wire.fall(at);
            else wire.rise(at, last);
        }
    }

    private void acknowledge(Station winner) {
        WireFrame frame = winner.current.frame;
        long slot = winner.bitStart(frame.stuffedSize + 1);
        long after = winner.bitStart(frame.stuffedSize + 2);
        long from = Long.MAX_VALUE;
        long until = Long.MIN_VALUE;
        int last = -1;
        for (Station station : engine.stations) {
            if (!receives(station, frame) || !station.controller.acknowledges()) continue;
            from = Math.min(from, slot + station.loopDelayPicos);
            long lets = after + station.loopDelayPicos + station.releaseLagPicos;
            if (lets >= until) {
                until = lets;
                last = station.index;
            }
        }
        engine.wire.fall(from);
        engine.wire.rise(until, last);
    }
}
