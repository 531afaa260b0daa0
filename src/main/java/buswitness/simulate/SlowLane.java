package buswitness.simulate;

/** The bus bit by bit, every controller for itself, until all of them rest. */
final class SlowLane implements Lane {
    /** How late, in bits, a slow edge lets the line go: beyond any sample point. */
    static final double SLOW_EDGE_BITS = 0.9;
    private final BusEngine engine;
    private final Station[] stations;
    private final Sampling sampling;
    private final int[] sent;
    private long gridAnchor;
    private double gridBit;
    private int gridIndex;
    private int reference;
    private boolean slowEdge;

    SlowLane(BusEngine engine) {
        this.engine = engine;
        stations = engine.stations;
        sampling = new Sampling(engine);
        sent = new int[stations.length];
    }

    @Override
    public long run(long anchorPicos, double bit, long endPicos) {
        return run(anchorPicos, bit, 0, endPicos);
    }

    @Override
    public long runBehind(Station sender, int bits, long endPicos) {
        return run(sender.anchorPicos, sender.bitPicos, bits, endPicos);
    }

    private long run(long anchorPicos, double bit, int index, long endPicos) {
        gridAnchor = anchorPicos;
        gridBit = bit;
        gridIndex = index;
        reference = -1;
        while (true) {
            long now = nextBit();
            engine.agenda.fireUntil(now);
            sampling.startThoseAtRest(stations, now);
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
                if (!quiet) sampling.cut();
                engine.book.close(after);
                return after;
            }
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
                engine.wire.drives(at, station.index);
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
            ended |= sampling.sample(station, sent[station.index], seen, now, after);
            quiet &= station.controller.isQuiet();
        }
        if (ended) engine.book.ended(after);
        return quiet;
    }
}
