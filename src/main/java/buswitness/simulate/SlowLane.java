package buswitness.simulate;

/** The bus bit by bit, every controller for itself, until all of them rest. */
final class SlowLane {
    /** How late, in bits, a slow edge lets the line go: beyond any sample point. */
    private static final double SLOW_EDGE_BITS = 0.9;
    private final BusEngine engine;
    private final Station[] stations;
    private final int[] sent;
    private long gridAnchor;
    private double gridBit;
    private int gridIndex;
    private int reference;
    private boolean slowEdge;

    SlowLane(BusEngine engine) {
        this.engine = engine;
        stations = engine.stations;
        sent = new int[stations.length];
    }

    /**
     * @param anchorPicos start of a bit on the grid that holds where nobody sends
     * @param bit         length of its bits
     * @param index       bits from there to the first bit to be run
     * @return start of the first bit in which all rest
     */
    long run(long anchorPicos, double bit, int index, long endPicos) {
        gridAnchor = anchorPicos;
        gridBit = bit;
        gridIndex = index;
        reference = -1;
        while (true) {
            long now = nextBit();
            engine.agenda.fireUntil(now);
            startThoseAtRest(now);
            engine.wire.flushUntil(now - Math.round(gridBit / 2));
            engine.bursts.layUntil(now + Math.round(gridBit), engine.wire);
            int level = drive(now);
            long sampleAt = now + Math.round(BusEngine.SAMPLE_POINT * gridBit);
            engine.bursts.touches(now - Math.round(gridBit), now);
            int seen = engine.bursts.seen(sampleAt, slowEdge ? 0 : level);
            gridIndex++;
            long after = gridAnchor + Math.round(gridIndex * gridBit);
            boolean quiet = sample(seen, now, after);
            boolean disturbed = quiet && engine.bursts.touches(after, after + Math.round(gridBit));
            if (quiet && !disturbed || after >= endPicos) {
                if (!quiet) cut();
                engine.book.close(after);
                return after;
            }
        }
    }

    /** The recording ends within a frame: its senders are told all the same, as not having completed it. */
    private void cut() {
        for (Station station : stations) {
            if (!station.controller.isTransmitting() || station.current == null) continue;
            station.current.broken++;
            engine.book.broke(station.current, -1);
        }
    }

    /** Start of the bit now beginning: on the clock of whoever sends, of whoever sent last otherwise. */
    private long nextBit() {
        Station first = null;
        for (Station station : stations) {
            if (station.controller.isTransmitting() && (first == null || station.anchorPicos < first.anchorPicos)) {
                first = station;
            }
        }
        if (first != null) {
            gridAnchor = first.anchorPicos;
            gridBit = first.bitPicos;
            gridIndex = first.controller.position();
            reference = first.index;
        }
        return gridAnchor + Math.round(gridIndex * gridBit);
    }

    private void startThoseAtRest(long now) {
        Station winner = null;
        boolean lead = true;
        for (Station station : stations) {
            if (!station.controller.isTransmitting()) continue;
            // Who takes part in a start bit has been settled already.
            if (station.controller.position() == 0) return;
            lead = false;
        }
        for (Station station : stations) {
            if (station.controller.state() != Controller.State.IDLE) continue;
            Outgoing ready = station.choose(now);
            if (ready == null) continue;
            if (winner == null) engine.book.open(now);
            station.current = ready;
            station.bitPicos = station.bitPicosAt(now);
            station.anchorPicos = now + (lead && winner == null ? 0 : station.loopDelayPicos);
            station.controller.startSending(ready.frame);
            if (winner == null || ready.frame.priority < winner.current.frame.priority) winner = station;
        }
        if (winner != null) engine.misreads.draw(winner.current.frame, winner.index);
    }

    private int drive(long now) {
        int level = 1;
        slowEdge = false;
        for (Station station : stations) {
            Controller controller = station.controller;
            int out = controller.output();
            sent[station.index] = out;
            level &= out;
            if (out == station.driving) continue;
            station.driving = out;
            long at = controller.isTransmitting() ? station.bitStart(controller.position())
                    : now + (station.index == reference ? 0 : station.loopDelayPicos);
            if (out == 0) {
                engine.wire.drives(at);
            } else {
                at += station.releaseLagPicos;
                if (controller.isTransmitting() && engine.misreads.hits(station.index, controller.plainIndex(),
                        Misreading.Kind.SLOW_EDGE)) {
                    slowEdge = true;
                    at += Math.round(SLOW_EDGE_BITS * gridBit);
                }
                engine.wire.letsGo(at, station.index);
            }
        }
        return level;
    }

    /** @return whether all rest */
    private boolean sample(int seen, long now, long after) {
        boolean quiet = true;
        boolean ended = false;
        for (Station station : stations) {
            Controller controller = station.controller;
            int own = seen;
            if (engine.misreads.any()) own = misread(station, seen);
            boolean transmitted = controller.isTransmitting();
            Controller.State before = controller.state();
            boolean off = before == Controller.State.BUS_OFF;
            if (before == Controller.State.IDLE && own == 0 && !engine.book.isOpen()) engine.book.open(now);
            controller.sample(sent[station.index], own);
            if (controller.event() != Controller.Event.NONE) heed(station, transmitted, now);
            if (controller.state() == Controller.State.BUS_OFF && !off) {
                station.returning = true;
                engine.agenda.busOff(station, after);
            }
            engine.noteReturn(station, after, off);
            ended |= controller.state() == Controller.State.INTERMISSION && before != Controller.State.INTERMISSION;
            quiet &= controller.isQuiet();
        }
        if (ended) engine.book.ended(after);
        return quiet;
    }

    private int misread(Station station, int seen) {
        Controller controller = station.controller;
        int index = controller.plainIndex();
        if (controller.isReceiving() && engine.misreads.hits(station.index, index, Misreading.Kind.RECEIVER)) {
            return 1 - seen;
        }
        boolean sender = controller.isTransmitting() && sent[station.index] == 1
                && engine.misreads.hits(station.index, index, Misreading.Kind.SENDER);
        return sender ? 0 : seen;
    }

    private void heed(Station station, boolean transmitted, long now) {
        Controller controller = station.controller;
        switch (controller.event()) {
            case SENT -> {
                engine.book.sent(station.current);
                station.sent();
            }
            case BROKE -> {
                if (!transmitted || station.current == null) return;
                station.current.broken++;
                engine.book.broke(station.current, controller.brokeAt());
                station.current = null;
            }
            case LOST_ARBITRATION -> station.current = null;
            case STARTED_LATE -> joinLate(station, now);
            default -> { }
        }
    }

    private void joinLate(Station station, long now) {
        if (!engine.book.isOpen()) engine.book.open(now);
        Outgoing ready = station.choose(now);
        if (ready == null) return;
        station.current = ready;
        station.bitPicos = station.bitPicosAt(now);
        station.anchorPicos = now + station.loopDelayPicos;
        station.controller.joinAfterStart(ready.frame);
    }
}
