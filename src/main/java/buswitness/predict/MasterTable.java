package buswitness.predict;

import buswitness.simulate.SlotTable;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * A master's schedule for a bus on which nobody sends unasked (LIN). Layouts hold none, so one is made that asks for each
 * message at its period, the one due earliest first; each slot lasts as long as the longest frame may take. The real
 * master's table decides in the end.
 */
final class MasterTable {
    static final String MASTER = "the bus's master";
    /** LIN 2.2A, 2.3.2: header of 34 bits, ten bits a byte of data and check; a frame may take 1.4 times as long. */
    private static final int HEADER_BITS = 34;
    private static final double LONGEST = 1.4;
    private static final int MOST_SLOTS = 2000;
    private static final double LONGEST_SECONDS = 20;

    private final SharedBus bus;
    /** Period and bytes of each message, whoever sends it. */
    private final Map<Long, Double> periods = new LinkedHashMap<>();
    private final Map<Long, Integer> bytes = new HashMap<>();
    private final Map<Long, Double> latest = new HashMap<>();
    private final List<SlotTable.Slot> slots = new ArrayList<>();

    private MasterTable(SharedBus bus) {
        this.bus = bus;
        for (Stream s : bus.streams()) {
            if (Double.isNaN(s.message().everySeconds())) continue;
            periods.merge(s.key(), s.message().everySeconds(), Math::min);
            bytes.merge(s.key(), s.bytes(), Math::max);
        }
    }

    /** Whether a master asks for each message on this bus. */
    static boolean rules(SharedBus bus) {
        return bus.format() != null && bus.format().naming().answer() != null;
    }

    static MasterTable of(SharedBus bus) {
        MasterTable table = new MasterTable(bus);
        table.fill();
        return table;
    }

    static double nominalSeconds(SharedBus bus, int bytes) {
        return (HEADER_BITS + 10.0 * (bytes + 1)) / bus.bitsPerSecond();
    }

    static double longestSeconds(SharedBus bus, int bytes) {
        return LONGEST * nominalSeconds(bus, bytes);
    }

    /** Share of time that the messages' nominal frames take, each message once however many answer. */
    double least() {
        return periods.entrySet().stream().mapToDouble(e -> nominalSeconds(bus, bytes.get(e.getKey())) / e.getValue()).sum();
    }

    /** The same with slots as long as a frame may take: above 1 no table holds them. */
    double most() {
        return LONGEST * least();
    }

    /** From when a message is due to the end of its slot, at worst in this table; infinite where no table holds them. */
    double latestSeconds(long key) {
        return most() > 1 ? Double.POSITIVE_INFINITY : latest.getOrDefault(key, Double.NaN);
    }

    SlotTable slots() {
        return new SlotTable(MASTER, slots);
    }

    private void fill() {
        Map<Long, Double> due = new LinkedHashMap<>();
        for (long key : periods.keySet()) due.put(key, 0.0);
        double loop = loop();
        double now = 0;
        while (!due.isEmpty() && slots.size() < MOST_SLOTS) {
            long next = due.keySet().iterator().next();
            for (Map.Entry<Long, Double> e : due.entrySet()) if (e.getValue() < due.get(next) - 1e-9) next = e.getKey();
            double at = due.get(next);
            if (at >= loop - 1e-9) break;
            if (at > now && !slots.isEmpty()) {
                SlotTable.Slot last = slots.remove(slots.size() - 1);
                slots.add(new SlotTable.Slot(last.key(), last.lastsSeconds() + at - now));
                now = at;
            }
            double lasts = longestSeconds(bus, bytes.get(next));
            slots.add(new SlotTable.Slot(next, lasts));
            now += lasts;
            latest.merge(next, now - at, Math::max);
            due.put(next, at + periods.get(next));
        }
        if (now < loop && !slots.isEmpty()) {
            SlotTable.Slot last = slots.remove(slots.size() - 1);
            slots.add(new SlotTable.Slot(last.key(), last.lastsSeconds() + loop - now));
        }
    }

    /** The shortest time in which each period fits a whole number of times, to the millisecond; bounded. */
    private double loop() {
        long loop = 1;
        for (double period : periods.values()) {
            long millis = Math.max(1, Math.round(period * 1e3));
            loop = loop / gcd(loop, millis) * millis;
            if (loop > LONGEST_SECONDS * 1e3) return LONGEST_SECONDS;
        }
        return loop * 1e-3;
    }

    private static long gcd(long a, long b) {
        return b == 0 ? a : gcd(b, a % b);
    }
}
