package buswitness.simulate;

/** What every lane does at a station's sample point, and with a frame that begins in the middle of things. */
final class Sampling {
    private final BusEngine engine;

    Sampling(BusEngine engine) {
        this.engine = engine;
    }

    /**
     * One station has sampled the bus.
     *
     * @param sent  what it sent in this bit
     * @param seen  what was there to be read
     * @param now   start of the bit
     * @param after its end
     * @return whether a frame or an error delimiter has ended with this bit
     */
    boolean sample(Station station, int sent, int seen, long now, long after) {
        Controller controller = station.controller;
        int own = engine.misreads.any() ? misread(station, sent, seen) : seen;
        boolean transmitted = controller.isTransmitting();
        Controller.State before = controller.state();
        boolean off = before == Controller.State.BUS_OFF;
        if (before == Controller.State.IDLE && own == 0 && !engine.book.isOpen()) engine.book.open(now);
        controller.sample(sent, own);
        if (controller.event() != Controller.Event.NONE) heed(station, transmitted, now);
        if (controller.state() == Controller.State.BUS_OFF && !off) {
            station.returning = true;
            engine.agenda.busOff(station, after);
        }
        engine.noteReturn(station, after, off);
        return controller.state() == Controller.State.INTERMISSION && before != Controller.State.INTERMISSION;
    }

    private int misread(Station station, int sent, int seen) {
        Controller controller = station.controller;
        int index = controller.plainIndex();
        if (controller.isReceiving() && engine.misreads.hits(station.index, index, Misreading.Kind.RECEIVER)) {
            return 1 - seen;
        }
        boolean sender = controller.isTransmitting() && sent == 1
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
        station.setBits(now);
        station.anchorPicos = now + station.loopDelayPicos;
        station.controller.joinAfterStart(ready.frame);
    }

    /** Whoever rests and has something ready starts, unless a start bit is under way. @return whether anybody did */
    boolean startThoseAtRest(Station[] candidates, long now) {
        Station winner = null;
        boolean lead = true;
        for (Station station : engine.stations) {
            if (!station.controller.isTransmitting()) continue;
            // Who takes part in a start bit has been settled already.
            if (station.controller.position() == 0) return false;
            lead = false;
        }
        for (Station station : candidates) {
            if (station == null || station.controller.state() != Controller.State.IDLE) continue;
            Outgoing ready = station.choose(now);
            if (ready == null) continue;
            if (winner == null) engine.book.open(now);
            station.current = ready;
            station.setBits(now);
            station.anchorPicos = now + (lead && winner == null ? 0 : station.loopDelayPicos);
            station.controller.startSending(ready.frame);
            if (winner == null || ready.frame.priority < winner.current.frame.priority) winner = station;
        }
        if (winner != null) engine.misreads.draw(winner.current.frame, winner.index);
        return winner != null;
    }

    /** The recording ends within a frame: its senders are told all the same, as not having completed it. */
    void cut() {
        for (Station station : engine.stations) {
            if (!station.controller.isTransmitting() || station.current == null) continue;
            station.current.broken++;
            engine.book.broke(station.current, -1);
        }
    }
}
