package buswitness.simulate;

import java.util.Arrays;

/**
 * The wire: dominant while anybody drives it, unless interference holds it recessive. Takes who drives when, nearly in
 * time order, and gives the level changes to the tap.
 */
final class Wire {
    private static final int NOBODY = -1;
    private final Tap tap;
    private final Station[] stations;
    private final int dominantLevel;
    private long[] at = new long[32];
    private int[] what = new int[32];
    private int[] who = new int[32];
    private int count;
    /** Null where level changes are recorded, not voltages. */
    private final Scope scope;
    private final int[] drivers;
    private int driving;
    private int holding;
    private boolean dominant;

    // What an event does; where two fall together the lower one comes first, so that no pulse of no length appears.
    private static final int DRIVES = 0;
    private static final int FREES = 1;
    private static final int LETS_GO = 2;
    private static final int HOLDS = 3;

    Wire(Tap tap, Station[] stations, int idleLevel) {
        this.tap = tap;
        this.stations = stations;
        dominantLevel = 1 - idleLevel;
        scope = tap.scope();
        drivers = new int[stations.length + 1];
    }

    void drives(long atPicos, int station) {
        insert(atPicos, DRIVES, station);
    }

    void letsGo(long atPicos, int station) {
        insert(atPicos, LETS_GO, station);
    }

    /** Interference from one instant to another. */
    void forced(long fromPicos, long untilPicos, boolean toDominant) {
        insert(fromPicos, toDominant ? DRIVES : HOLDS, NOBODY);
        insert(untilPicos, toDominant ? LETS_GO : FREES, NOBODY);
    }

    private void insert(long atPicos, int event, int station) {
        if (count == at.length) {
            at = Arrays.copyOf(at, count * 2);
            what = Arrays.copyOf(what, count * 2);
            who = Arrays.copyOf(who, count * 2);
        }
        int i = count++;
        while (i > 0 && (at[i - 1] > atPicos || at[i - 1] == atPicos && what[i - 1] > event)) {
            at[i] = at[i - 1];
            what[i] = what[i - 1];
            who[i] = who[i - 1];
            i--;
        }
        at[i] = atPicos;
        what[i] = event;
        who[i] = station;
    }

    /** Passes on everything before an instant; nothing earlier may follow. */
    void flushUntil(long horizonPicos) {
        int done = 0;
        while (done < count && at[done] < horizonPicos) {
            switch (what[done]) {
                case DRIVES -> driving++;
                case FREES -> holding--;
                case LETS_GO -> driving--;
                default -> holding++;
            }
            boolean now = driving > 0 && holding == 0;
            if (scope != null) voltage(at[done], what[done], who[done]);
            if (now != dominant) {
                if (now) fall(at[done]);
                else rise(at[done], who[done]);
            }
            done++;
        }
        if (done == 0) return;
        count -= done;
        System.arraycopy(at, done, at, 0, count);
        System.arraycopy(what, done, what, 0, count);
        System.arraycopy(who, done, who, 0, count);
    }

    private void voltage(long atPicos, int event, int station) {
        int driver = station == NOBODY ? stations.length : station;
        if (event == DRIVES) drivers[driver]++;
        if (event == LETS_GO) drivers[driver]--;
        scope.drive(tap.onClock(atPicos), atPicos * 1e-12, stations, drivers, holding > 0);
    }

    /** Straight to dominant, where nobody else is about. */
    void fall(long atPicos) {
        dominant = true;
        tap.change(atPicos, dominantLevel);
    }

    /** Straight back to recessive. */
    void rise(long atPicos, int station) {
        dominant = false;
        if (station == NOBODY) tap.change(atPicos, 1 - dominantLevel);
        else tap.changeAndRing(atPicos, 1 - dominantLevel, stations[station].behaviour.drive());
    }
}
