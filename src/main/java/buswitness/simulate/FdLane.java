package buswitness.simulate;

import java.util.ArrayList;
import java.util.List;

/**
 * A CAN FD bus bit by bit. Nodes that follow one frame go in one group from bit to bit, on the clock of whoever sends. A
 * node that has found an error at the data rate goes on at the nominal rate from its error flag on (Bosch CAN FD 1.0,
 * 2012, clause 6.2) while the others still read at the data rate, so it leaves its group; groups then take their bits
 * each in its own time and read off the one wire, until the next start bit sets all clocks anew.
 */
final class FdLane implements Lane {
    private final BusEngine engine;
    private final Station[] stations;
    private final Sampling sampling;
    private final double samplePoint;
    private final boolean slowAtOnce;
    private final int[] sent;
    private final List<Group> groups = new ArrayList<>();
    private final boolean[] inFrame;
    private final double dataShare;
    private long slowEdgeUntil;

    /** Nodes whose bits begin together. */
    private static final class Group {
        final Station[] members;
        long anchor;
        int index;
        boolean fast;
        /** Start of the present or coming bit. */
        long begins;
        boolean driven;
        double nominal;
        /** Who sends in the present bit, on whose clock it lies. */
        Station sender;
        /** Who did so last. */
        Station lead;
        /** Behind a payload at the data rate bits lie on no one grid with the header's: they go on by this one's count. */
        boolean alongLead;

        Group(int size) {
            members = new Station[size];
        }
    }

    FdLane(BusEngine engine, BusKind bus) {
        this.engine = engine;
        stations = engine.stations;
        sampling = new Sampling(engine);
        samplePoint = bus.samplePoint();
        slowAtOnce = bus.slowAtOnce();
        dataShare = stations.length == 0 ? 1 : stations[0].dataShare;
        sent = new int[stations.length];
        inFrame = new boolean[stations.length];
    }

    @Override
    public long run(long anchorPicos, double bit, long endPicos) {
        return run(everybody(anchorPicos, bit), endPicos);
    }

    @Override
    public long runBehind(Station sender, int bits, long endPicos) {
        Group all = everybody(sender.anchorPicos, sender.bitPicos);
        all.index = bits;
        if (sender.switchesRate()) {
            all.lead = sender;
            all.alongLead = true;
        }
        return run(all, endPicos);
    }

    private Group everybody(long anchorPicos, double bit) {
        groups.clear();
        Group all = new Group(stations.length);
        System.arraycopy(stations, 0, all.members, 0, stations.length);
        all.anchor = anchorPicos;
        all.nominal = bit;
        groups.add(all);
        return all;
    }

    private long run(Group all, long endPicos) {
        double bit = all.nominal;
        all.begins = nextBit(all);
        while (true) {
            Group next = earliest();
            if (!next.driven) {
                begin(next);
                continue;
            }
            boolean ended = sample(next);
            long after = latest();
            if (ended) engine.book.ended(after);
            boolean quiet = engine.allQuiet();
            boolean disturbed = quiet && engine.bursts.touches(after, after + Math.round(bit));
            if (quiet && !disturbed || after >= endPicos) {
                if (!quiet) sampling.cut();
                engine.book.close(after);
                return after;
            }
        }
    }

    /** The group whose next instant, a bit's start or its sample point, comes first. */
    private Group earliest() {
        Group best = groups.get(0);
        for (Group group : groups) if (instant(group) < instant(best)) best = group;
        return best;
    }

    private long instant(Group group) {
        return group.driven ? sampleAt(group) : group.begins;
    }

    private long sampleAt(Group group) {
        return group.begins + Math.round(samplePoint * bit(group));
    }

    private double bit(Group group) {
        return group.fast ? group.nominal * dataShare : group.nominal;
    }

    private long latest() {
        long latest = Long.MIN_VALUE;
        for (Group group : groups) latest = Math.max(latest, group.begins);
        return latest;
    }

    /** Start of the group's coming bit: on the clock of whoever sends in it, on its own where nobody does. */
    private long nextBit(Group group) {
        Station first = sender(group);
        group.sender = first;
        if (first == null && group.alongLead) return group.lead.bitStart(group.index);
        if (first == null) return group.anchor + Math.round(group.index * bit(group));
        group.alongLead = false;
        group.lead = first;
        group.nominal = first.bitPicos;
        group.index = first.controller.position();
        group.anchor = first.anchorPicos;
        return first.bitStart(group.index);
    }

    private static Station sender(Group group) {
        Station first = null;
        for (Station station : group.members) {
            boolean sends = station != null && station.controller.isTransmitting();
            if (sends && (first == null || station.anchorPicos < first.anchorPicos)) first = station;
        }
        return first;
    }

    private void begin(Group group) {
        long now = group.begins;
        engine.agenda.fireUntil(now);
        if (sampling.startThoseAtRest(group.members, now)) {
            gather(group);
            group.begins = now = nextBit(group);
        }
        engine.wire.flushUntil(now - Math.round(group.nominal / 2));
        engine.bursts.layUntil(now + Math.round(group.nominal), engine.wire);
        for (Station station : group.members) if (station != null) drive(station, now, group);
        group.driven = true;
    }

    /** A start bit sets everybody's clock. */
    private void gather(Group group) {
        for (Group other : groups) {
            if (other == group) continue;
            for (int i = 0; i < other.members.length; i++) {
                if (other.members[i] != null) group.members[i] = other.members[i];
            }
        }
        groups.clear();
        groups.add(group);
    }

    private void drive(Station station, long now, Group group) {
        Controller controller = station.controller;
        int out = controller.output();
        sent[station.index] = out;
        if (out == station.driving) return;
        station.driving = out;
        long at = controller.isTransmitting() ? station.bitStart(controller.position())
                : now + (station == group.lead ? 0 : station.loopDelayPicos);
        if (out == 0) {
            engine.wire.drives(at, station.index);
            return;
        }
        at += station.releaseLagPicos;
        if (controller.isTransmitting() && engine.misreads.hits(station.index, controller.plainIndex(),
                Misreading.Kind.SLOW_EDGE)) {
            at += Math.round(SlowLane.SLOW_EDGE_BITS * bit(group));
            slowEdgeUntil = at;
        }
        engine.wire.letsGo(at, station.index);
    }

    /** @return whether a frame or an error delimiter has ended */
    private boolean sample(Group group) {
        long now = group.begins;
        long at = sampleAt(group);
        int level = 1;
        for (Station station : stations) level &= sent[station.index];
        engine.bursts.touches(now - Math.round(2 * group.nominal), now);
        int seen = engine.bursts.seen(at, at < slowEdgeUntil ? 0 : level);
        boolean fastBefore = group.fast;
        boolean ended = false;
        long after = now + Math.round(bit(group));
        for (Station station : group.members) {
            if (station == null) continue;
            inFrame[station.index] = station.controller.state() == Controller.State.FRAME;
            ended |= sampling.sample(station, sent[station.index], seen, now, after);
        }
        settle(group, fastBefore);
        return ended;
    }

    /** The bit is over for a group: who goes on at another rate than the rest leaves it. */
    private void settle(Group group, boolean fastBefore) {
        long now = group.begins;
        double before = bit(group);
        boolean anyFast = false;
        for (Station station : group.members) anyFast |= station != null && station.controller.isFast();
        group.driven = false;
        group.fast = anyFast;
        double afterError = slowAtOnce ? group.nominal : before;
        if (anyFast) leave(group, now + Math.round(samplePoint * before + (1 - samplePoint) * afterError));
        group.index++;
        boolean steady = !fastBefore && !anyFast;
        Station was = group.sender;
        if (steady && was != null && was.switchesRate() && sender(group) == null) {
            group.alongLead = true;
        } else if (!steady && sender(group) == null) {
            boolean frame = false;
            for (Station station : group.members) {
                frame |= station != null && station.controller.state() == Controller.State.FRAME;
            }
            // At the check delimiter the rate changes at the sample point, with an error at the flag, or earlier.
            double rest = fastBefore && !anyFast && !frame ? afterError : bit(group);
            group.anchor = now + Math.round(samplePoint * before + (1 - samplePoint) * rest);
            group.index = 0;
        }
        group.begins = nextBit(group);
    }

    private void leave(Group group, long next) {
        Group leaving = null;
        for (int i = 0; i < group.members.length; i++) {
            Station station = group.members[i];
            // Nodes that only wait, for the bus or for their return, follow the frame.
            if (station == null || !inFrame[station.index] || station.controller.isFast()) continue;
            if (leaving == null) leaving = new Group(stations.length);
            leaving.members[i] = station;
            group.members[i] = null;
        }
        if (leaving == null) return;
        leaving.nominal = group.nominal;
        leaving.lead = group.lead;
        leaving.anchor = next;
        leaving.begins = next;
        groups.add(leaving);
    }
}
