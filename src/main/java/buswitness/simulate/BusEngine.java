package buswitness.simulate;

/**
 * The bus from frame to frame: while it rests, nodes start at the bits of their own clocks; whoever starts within a
 * quarter of a bit of the first one takes part in arbitration. A frame that nothing disturbs goes through
 * {@link FastLane} in one piece; everything else through {@link SlowLane} bit by bit. Both give the same edges.
 */
final class BusEngine {
    /** Where a bit is sampled, from its start; common practice for body buses, no source. */
    static final double SAMPLE_POINT = 0.75;

    final Station[] stations;
    final Agenda agenda;
    final Bursts bursts;
    final Misreads misreads;
    final Wire wire;
    final TruthBook book;
    private final FastLane fast;
    private final Lane slow;
    private final boolean shortCuts;
    final long endPicos;
    private final double bitPicos;
    private final Station[] contenders;
    private int contenderCount;
    private long idleFrom;
    private double idleCounted;

    /** @param shortCuts false sends every frame bit by bit, to check the fast lane */
    BusEngine(Scenario scenario, Station[] stations, Tap tap, TruthSink truth, long endPicos, boolean shortCuts) {
        this.stations = stations;
        this.endPicos = endPicos;
        this.shortCuts = shortCuts;
        bitPicos = 1e12 / scenario.bitsPerSecond();
        wire = new Wire(tap, stations, scenario.recorder().idleLevel());
        book = new TruthBook(truth, tap);
        agenda = new Agenda(stations, book);
        bursts = new Bursts(scenario, endPicos * 1e-12);
        misreads = new Misreads(scenario, stations);
        fast = new FastLane(this);
        slow = scenario.bus() == null ? new SlowLane(this) : new FdLane(this, scenario.bus());
        contenders = new Station[stations.length];
    }

    void run() {
        while (idleFrom < endPicos && idle()) {
            if (!allQuiet()) goSlow(idleFrom, bitPicos);
        }
        wire.flushUntil(endPicos);
    }

    boolean allQuiet() {
        for (Station station : stations) if (!station.controller.isQuiet()) return false;
        return true;
    }

    private void goSlow(long anchor, double bit) {
        setIdleFrom(slow.run(anchor, bit, endPicos));
    }

    private void setIdleFrom(long picos) {
        idleFrom = picos;
        idleCounted = picos;
    }

    /** The bus rests from {@link #idleFrom}: takes the next thing that happens. @return false at the end */
    private boolean idle() {
        while (true) {
            long start = earliestStart();
            long change = agenda.nextChange();
            long burst = bursts.nextFrom();
            long recovery = recoveryAt();
            long next = Math.min(Math.min(start, change), Math.min(burst, recovery));
            if (agenda.nextRelease() <= Math.min(next, endPicos)) {
                agenda.fireRelease();
            } else if (next >= endPicos) {
                return false;
            } else if (next == start) {
                begin(start);
                return true;
            } else if (next == change) {
                countIdle(change);
                agenda.fireChange();
                if (!allQuiet()) {
                    setIdleFrom(Math.max(idleFrom, change));
                    return true;
                }
            } else if (next == burst) {
                if (bursts.nextStartsFrame(Math.round(SAMPLE_POINT * bitPicos))) {
                    countIdle(burst);
                    misreads.none();
                    goSlow(burst, bitPicos);
                    return true;
                }
                wire.flushUntil(burst);
                bursts.layUntil(burst + 1, wire);
            } else {
                countIdle(recovery);
                for (Station station : stations) noteReturn(station, recovery, true);
            }
        }
    }

    private void countIdle(long untilPicos) {
        long bits = (long) ((untilPicos - idleCounted) / bitPicos + 1e-6);
        if (bits <= 0) return;
        idleCounted += bits * bitPicos;
        for (Station station : stations) {
            boolean off = station.controller.state() == Controller.State.BUS_OFF;
            station.controller.idleBits(bits);
            noteReturn(station, untilPicos, off);
        }
    }

    void noteReturn(Station station, long atPicos, boolean wasOff) {
        if (wasOff && station.returning && station.controller.state() != Controller.State.BUS_OFF) {
            station.returning = false;
            book.befell(atPicos, station, "back on the bus");
        }
    }

    private long recoveryAt() {
        long earliest = Long.MAX_VALUE;
        for (Station station : stations) {
            if (station.controller.state() != Controller.State.BUS_OFF) continue;
            double at = idleCounted + station.controller.recoveryBits() * bitPicos;
            if (at < 9e18) earliest = Math.min(earliest, (long) Math.ceil(at));
        }
        return earliest;
    }

    private long earliestStart() {
        long earliest = Long.MAX_VALUE;
        for (Station station : stations) {
            if (station.controller.state() == Controller.State.IDLE) {
                earliest = Math.min(earliest, startOf(station));
            }
        }
        return earliest;
    }

    /** First bit of its own at which the station may send what lies ready, if the bus stays idle. */
    private long startOf(Station station) {
        long release = station.earliestReady();
        if (release == ReleaseTimer.NEVER) return Long.MAX_VALUE;
        if (release <= idleFrom) return idleFrom;
        double bit = station.bitPicosAt(release);
        // A release on the very boundary, which a timer of whole bits makes, must not slip a bit by rounding.
        double bits = Math.ceil((release - idleFrom) / bit - 1e-6);
        return Math.max(release, idleFrom + Math.round(bits * bit));
    }

    private void begin(long start) {
        long limit = start + Math.round((1 - SAMPLE_POINT) * bitPicos);
        // Whoever starts at this very instant has begun: a release right after it comes too late to replace its frame.
        for (Station station : stations) {
            station.begins = station.controller.state() == Controller.State.IDLE && startOf(station) == start;
            if (station.begins) station.current = station.choose(start);
        }
        while (agenda.nextRelease() <= limit) agenda.fireRelease();
        countIdle(start);
        contenderCount = 0;
        Station leader = null;
        for (Station station : stations) {
            if (station.controller.state() != Controller.State.IDLE) continue;
            long own = station.begins ? start : startOf(station);
            if (own > limit) continue;
            if (!station.begins) station.current = station.choose(own);
            station.setBits(own);
            contenders[contenderCount++] = station;
            if (leader == null && own == start) leader = station;
        }
        // A later release of the same message, within that quarter of a bit, may have taken the place of the one frame.
        if (contenderCount == 0) return;
        for (int i = 0; i < contenderCount; i++) {
            Station station = contenders[i];
            station.anchorPicos = start + (station == leader ? 0 : station.loopDelayPicos);
        }
        Station winner = winner();
        misreads.draw(winner.current.frame, winner.index);
        wire.flushUntil(start);
        if (shortCuts && fast.takes(contenders, contenderCount, winner, start)) {
            int bits = winner.current.frame.size() + 3;
            setIdleFrom(fast.run(contenders, contenderCount, winner, start));
            if (allQuiet()) return;
            setIdleFrom(slow.runBehind(winner, bits, endPicos));
            return;
        }
        book.open(start);
        for (int i = 0; i < contenderCount; i++) {
            contenders[i].controller.startSending(contenders[i].current.frame);
        }
        goSlow(start, winner.bitPicos);
    }

    private Station winner() {
        Station best = contenders[0];
        for (int i = 1; i < contenderCount; i++) {
            if (contenders[i].current.frame.priority < best.current.frame.priority) best = contenders[i];
        }
        return best;
    }
}
