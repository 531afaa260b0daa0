package buswitness.predict;

import buswitness.frames.MessageKey;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Load and response times of a bus as described. */
final class OnPaper {
    private static final String CAN = "can";
    static final String CAN_FD = "can-fd";

    private OnPaper() {}

    static boolean isCan(SharedBus bus) {
        return bus.coding().equals(CAN) || bus.coding().equals(CAN_FD);
    }

    static BusLoad load(SharedBus bus) {
        if (MasterTable.rules(bus)) {
            MasterTable table = MasterTable.of(bus);
            return new BusLoad(table.least(), table.most(), bus.streams().stream()
                    .filter(s -> Double.isNaN(s.message().everySeconds())).map(s -> s.message().name() + " from " + s.node()).toList());
        }
        List<String> left = new ArrayList<>();
        double least = 0;
        double most = 0;
        for (Stream s : bus.streams()) {
            if (Double.isNaN(s.message().everySeconds())) {
                left.add(s.message().name() + " from " + s.node());
                continue;
            }
            boolean extended = MessageKey.isExtended(s.key());
            least += CanLength.leastSeconds(bus, extended, s.bytes()) / s.message().everySeconds();
            most += CanLength.mostSeconds(bus, extended, s.bytes()) / s.message().everySeconds();
        }
        if (!isCan(bus)) return new BusLoad(Double.NaN, Double.NaN, left);
        return new BusLoad(least, most, left);
    }

    /**
     * Of every message, highest priority first. A message with two senders is not analysed: the analysis gives each
     * priority to one message, and two senders that meet break each other's frames. Its frames count for the others.
     */
    static List<ResponseTime> responses(SharedBus bus) {
        if (MasterTable.rules(bus)) return asked(bus);
        List<Stream> ordered = new ArrayList<>(bus.streams());
        ordered.sort(Comparator.comparingLong(s -> priority(s.key())));
        double bit = 1 / bus.bitsPerSecond();
        List<Schedulability.Task> tasks = new ArrayList<>();
        for (Stream s : ordered) {
            double length = CanLength.mostSeconds(bus, MessageKey.isExtended(s.key()), s.bytes());
            double every = s.message().everySeconds();
            // A fast clock shortens the period; one without a period can only be counted as blocking.
            double period = Double.isNaN(every) ? Double.POSITIVE_INFINITY
                    : every * (1 - Nodes.clockWithinPpm(bus, s.node()) * 1e-6);
            tasks.add(new Schedulability.Task(length, period, Nodes.delaySeconds(bus, s.node())));
        }
        List<ResponseTime> out = new ArrayList<>();
        for (int m = 0; m < ordered.size(); m++) {
            Stream s = ordered.get(m);
            Schedulability.Task task = tasks.get(m);
            String why = !isCan(bus) ? "the analysis is for CAN and CAN FD, not for " + bus.coding()
                    : Double.isNaN(s.message().everySeconds()) ? "no period is documented"
                    : bus.senders(s.key()).size() > 1 ? "two senders break each other's frames" : "";
            Schedulability.Response r = why.isEmpty() ? Schedulability.of(tasks, m, bit) : null;
            out.add(new ResponseTime(s.node(), s.key(), s.message().everySeconds(),
                    isCan(bus) ? task.length() : Double.NaN, task.jitter(), r == null ? Double.NaN : r.response(),
                    r == null ? 0 : r.instances(), why));
        }
        return out;
    }

    /** From when each message is due in the table to the end of its slot: {@link MasterTable}. */
    private static List<ResponseTime> asked(SharedBus bus) {
        MasterTable table = MasterTable.of(bus);
        List<ResponseTime> out = new ArrayList<>();
        for (Stream s : bus.streams()) {
            double every = s.message().everySeconds();
            String why = Double.isNaN(every) ? "no period is documented" : bus.senders(s.key()).size() > 1
                    ? "two nodes answer one header" : "";
            out.add(new ResponseTime(s.node(), s.key(), every, MasterTable.longestSeconds(bus, s.bytes()), 0,
                    why.isEmpty() ? table.latestSeconds(s.key()) : Double.NaN, why.isEmpty() ? 1 : 0, why));
        }
        return out;
    }

    /**
     * Smaller goes first. The first eleven bits decide; among equals a base frame, whose next bit is dominant (ISO
     * 11898-1, arbitration field).
     */
    static long priority(long key) {
        long id = MessageKey.identifier(key);
        return MessageKey.isExtended(key) ? id >>> 18 << 19 | 1L << 18 | id & 0x3FFFF : id << 19;
    }
}
