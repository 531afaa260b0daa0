package buswitness.simulate;

import java.util.Comparator;
import java.util.PriorityQueue;

/** What is due when: releases of frames, and the supply of nodes. */
final class Agenda {
    private enum What { OFF, BOOT, COUNT_AGAIN }

    private record Change(long atPicos, Station station, What what) {}

    private final PriorityQueue<ReleaseTimer> timers = new PriorityQueue<>(
            Comparator.<ReleaseTimer>comparingLong(t -> t.nextPicos).thenComparingInt(t -> t.mailbox.station.index)
                    .thenComparingInt(t -> t.order));
    private final PriorityQueue<Change> changes = new PriorityQueue<>(
            Comparator.comparingLong(Change::atPicos).thenComparingInt(c -> c.station.index)
                    .thenComparing(Change::what));
    private final TruthBook book;

    Agenda(Station[] stations, TruthBook book) {
        this.book = book;
        for (Station station : stations) {
            Power power = station.behaviour.power();
            if (power.fromSeconds() > 0) {
                station.controller.powerOff();
                changes.add(new Change(picos(power.fromSeconds()), station, What.BOOT));
            } else {
                start(station, 0);
            }
            for (Power.Restart restart : power.restarts()) {
                double back = restart.atSeconds() + restart.offSeconds();
                if (restart.atSeconds() < power.fromSeconds() || back > power.untilSeconds()) continue;
                changes.add(new Change(picos(restart.atSeconds()), station, What.OFF));
                changes.add(new Change(picos(back), station, What.BOOT));
            }
            if (power.untilSeconds() < 1e6) changes.add(new Change(picos(power.untilSeconds()), station, What.OFF));
        }
    }

    private static long picos(double seconds) {
        return Math.round(seconds * 1e12);
    }

    private void start(Station station, double atSeconds) {
        for (ReleaseTimer timer : station.timers) {
            timer.startAt(atSeconds);
            if (timer.nextPicos != ReleaseTimer.NEVER) timers.add(timer);
        }
    }

    long nextRelease() {
        return timers.isEmpty() ? ReleaseTimer.NEVER : timers.peek().nextPicos;
    }

    long nextChange() {
        return changes.isEmpty() ? Long.MAX_VALUE : changes.peek().atPicos;
    }

    void fireRelease() {
        ReleaseTimer timer = timers.poll();
        Station station = timer.mailbox.station;
        timer.fire(station.startingUp(timer.nextPicos));
        if (station.controller.state() == Controller.State.BUS_OFF) station.clearReady();
        timer.advance();
        if (timer.nextPicos != ReleaseTimer.NEVER) timers.add(timer);
    }

    void fireChange() {
        Change change = changes.poll();
        Station station = change.station;
        switch (change.what) {
            case OFF -> {
                timers.removeAll(station.timers);
                station.clearReady();
                station.controller.powerOff();
                book.befell(change.atPicos, station, "off");
            }
            case BOOT -> {
                double at = change.atPicos * 1e-12;
                station.boot(at);
                station.controller.powerOn();
                start(station, at + station.behaviour.power().bootSeconds());
                book.befell(change.atPicos, station, "boot");
            }
            case COUNT_AGAIN -> station.controller.setRecovers(true);
        }
    }

    /** Everything due up to an instant, in time order. */
    void fireUntil(long picos) {
        while (true) {
            long release = nextRelease();
            long change = nextChange();
            if (Math.min(release, change) > picos) return;
            if (change <= release) fireChange();
            else fireRelease();
        }
    }

    /** A node has just gone bus-off. */
    void busOff(Station station, long atPicos) {
        station.clearReady();
        book.befell(atPicos, station, "bus-off");
        double waits = station.behaviour.busOffReturnSeconds();
        station.controller.setRecovers(waits <= 0);
        if (waits > 0 && waits < 1e6) changes.add(new Change(atPicos + picos(waits), station, What.COUNT_AGAIN));
    }
}
