package buswitness.map;

import buswitness.Findings;
import buswitness.clashes.ReferenceFinding;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;

/** Draws the map of a bus: entry of the package. */
public final class Maps {
    private static final int FEWEST_EVENTS = 3;
    private static final double FEW_EVENTS = 0.01;
    private static final int TRACE_POINTS = 400;

    private final List<Traffic> traffics = new ArrayList<>();
    private final List<SenderGroups> groups = new ArrayList<>();
    private final SenderUnion union;
    private final Map<Long, String> names = new HashMap<>();

    private Maps(List<Findings> recordings, Layout layout) {
        for (Findings f : recordings) {
            Traffic t = new Traffic(f);
            traffics.add(t);
            groups.add(new SenderGroups(t));
        }
        union = new SenderUnion(groups);
        if (layout != null) for (Message m : layout.messages()) names.put(MessageKey.of(m), m.name());
    }

    /**
     * Draws the map.
     *
     * @param recordings of the same bus, judged; at least one; the first is the one to which times refer
     * @param deeds      what was done or seen during each recording, as many lists
     * @param layout     names where there is one, else null
     * @param against    layout to compare with, or null
     */
    public static BusMap draw(List<Findings> recordings, List<List<Deed>> deeds, Layout layout, Layout against) {
        Maps maps = new Maps(recordings, layout);
        List<MapMessage> messages = maps.messages();
        List<MapSender> senders = maps.senders();
        Traffic first = maps.traffics.get(0);
        Habits habits = new Habits(first, messages);
        List<Learned> learned = Learning.learn(recordings, deeds, messages);
        List<Answer> answers = Answers.find(first, messages);
        BusMap map = new BusMap(recordings, senders, messages, answers, Links.find(first, messages), habits.rests,
                habits.orders, habits.together, learned, maps.dependences(messages), null, List.of());
        List<Drift> drift = against == null ? null : Differences.find(map, against);
        return new BusMap(recordings, senders, messages, answers, map.links(), map.rests(), map.orders(), map.together(),
                learned, map.dependences(), drift, OpenQuestions.of(map));
    }

    private List<MapMessage> messages() {
        TreeSet<Long> keys = new TreeSet<>();
        for (Traffic t : traffics) keys.addAll(t.messages.keySet());
        List<MapMessage> all = new ArrayList<>();
        for (long key : keys) all.add(message(key));
        return all;
    }

    private MapMessage message(long key) {
        int best = 0;
        int most = -1;
        List<Integer> seenIn = new ArrayList<>();
        int frames = 0;
        int remote = 0;
        List<PayloadRows.Stream> streams = new ArrayList<>();
        for (int r = 0; r < traffics.size(); r++) {
            MessageFacts facts = traffics.get(r).messages.get(key);
            seenIn.add(facts == null ? 0 : facts.frames.length);
            if (facts == null) continue;
            frames += facts.frames.length;
            remote += facts.remote;
            streams.addAll(facts.streams(groups.get(r).ofMessage.getOrDefault(key, List.of()).size() > 1));
            if (facts.frames.length > most) {
                most = facts.frames.length;
                best = r;
            }
        }
        MessageFacts facts = traffics.get(best).messages.get(key);
        PayloadRows rows = PayloadRows.of(streams);
        List<PayloadField> fields = PayloadStructure.of(rows);
        List<Rhythm> rhythms = new ArrayList<>();
        int events = 0;
        for (Track t : facts.tracks) {
            if (!t.cyclic()) {
                events += t.frames();
                continue;
            }
            SenderGroups.Group g = groups.get(best).of(key, t);
            rhythms.add(new Rhythm(g == null ? -1 : union.indexOf(best, g), t.periodSeconds(), t.periodErrorSeconds(),
                    t.nominalSeconds(), t.jitterSeconds(), t.frames(), t.restarts()));
        }
        rhythms = Rhythms.tidy(rhythms, facts, union.sendersOf(key, best, groups.get(best)).size() > 1);
        return new MapMessage(key, names.get(key), frames, remote, rows.length, rows.otherLengths,
                union.sendersOf(key, best, groups.get(best)), sending(rhythms, events, facts.frames.length), rhythms, events,
                facts.first(), facts.last(), facts.load(), facts.silences(), fields, facts.histogram(),
                Traces.of(facts, fields, rows.length, TRACE_POINTS), turns(rows), disagree(rows),
                seenIn, best);
    }

    private static List<Double> turns(PayloadRows rows) {
        BitFlips flips = new BitFlips(rows, rows.before(-1, 0));
        List<Double> turns = new ArrayList<>();
        for (int b = 0; b < flips.bits; b++) turns.add(flips.rate(b));
        return turns;
    }

    private static List<Integer> disagree(PayloadRows rows) {
        BitFlips flips = new BitFlips(rows, rows.before(-1, 0));
        List<Integer> bits = new ArrayList<>();
        for (int b = 0; b < flips.bits; b++) {
            boolean differs = false;
            for (int i = 1; i < rows.size() && !flips.changes(b); i++) differs |= rows.bit(i, b) != rows.bit(0, b);
            if (differs) bits.add(b);
        }
        return bits;
    }

    private static Sending sending(List<Rhythm> rhythms, int events, int frames) {
        boolean some = events >= FEWEST_EVENTS && events > FEW_EVENTS * frames;
        if (!rhythms.isEmpty()) return some ? Sending.BOTH : Sending.CYCLIC;
        return some ? Sending.ON_EVENT : Sending.UNKNOWN;
    }

    private List<MapSender> senders() {
        List<MapSender> all = new ArrayList<>();
        for (int i = 0; i < union.entries.size(); i++) {
            SenderUnion.Entry e = union.entries.get(i);
            SenderGroups.Group g = e.best();
            String name = null;
            for (SenderGroups.Group in : e.in) if (in != null && name == null) name = in.name;
            double load = Double.NaN;
            boolean byClock = false;
            boolean byWire = false;
            for (SenderGroups.Group in : e.in) {
                if (in == null) continue;
                byClock |= in.byClock;
                byWire |= in.byWire;
            }
            for (long key : e.keys) {
                MessageFacts facts = traffics.get(0).messages.get(key);
                if (facts == null || groups.get(0).ofMessage.getOrDefault(key, List.of()).size() > 1) continue;
                double own = facts.load();
                if (!Double.isNaN(own)) load = Double.isNaN(load) ? own : load + own;
            }
            String held = e.keys.size() == 1 ? "one message only" : byClock && byWire ? "clock and wire" : byWire ? "wire"
                    : "clock";
            all.add(new MapSender(label(i), name, name == null ? "" : nameKnown(name), g.ppm, g.ppmError, g.wire.ppm(),
                    g.wire.ppmError(), g.wire.nanos(), g.wire.nanosError(), List.copyOf(e.keys), load, held));
        }
        return all;
    }

    private String nameKnown(String name) {
        for (ReferenceFinding r : traffics.get(0).findings.clashes().references()) {
            if (r.fits() && r.node().equals(name) && r.sender() >= 0) return "from the recording without it";
        }
        return "from the layout";
    }

    /** A, B, ... Z, AA, AB, ... */
    static String label(int index) {
        String text = "";
        for (int i = index; i >= 0; i = i / 26 - 1) text = (char) ('A' + i % 26) + text;
        return text;
    }

    private List<Dependence> dependences(List<MapMessage> messages) {
        List<Dependence> all = new ArrayList<>();
        for (ReferenceFinding r : traffics.get(0).findings.clashes().references()) {
            int sender = -1;
            TreeSet<Long> own = new TreeSet<>();
            for (int i = 0; i < union.entries.size(); i++) {
                SenderGroups.Group g = union.entries.get(i).in[0];
                if (g != null && r.node().equals(g.name)) sender = i;
            }
            TreeSet<Long> depend = new TreeSet<>(r.silent());
            if (sender >= 0) {
                for (long key : r.silent()) if (union.entries.get(sender).keys.contains(key)) own.add(key);
                depend.removeAll(own);
            }
            all.add(new Dependence(r.node(), r.source(), r.fits(), List.copyOf(own), List.copyOf(depend), sender, r.says()));
        }
        return all;
    }
}
