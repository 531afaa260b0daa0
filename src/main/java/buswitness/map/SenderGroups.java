package buswitness.map;

import buswitness.Findings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Verdict;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeSet;

/**
 * Messages grouped by clock and wire. Two groups are one where that explains the agreement of their timers, bit lengths and
 * edges clearly better than two nodes drawn from a population of clocks and edges; those that agree best are joined first. A
 * message that is torn between two groups, or too vague for any, has no sender.
 */
final class SenderGroups {
    /** Clocks of unlike nodes differ by so much either way, and edges: broad, so that agreement counts for less. */
    private static final double CLOCK_RANGE_PPM = 160;
    private static final double EDGE_RANGE_NANOS = 110;
    private static final double BIT_FLOOR_PPM = 2;
    private static final double EDGE_FLOOR_NANOS = 3;
    private static final double CLOCK_FLOOR_PPM = 0.1;
    /** log10 of the odds from which two groups are one, below which they are two, and how clearly one must be nearer. */
    private static final double JOINS = 1.6;
    private static final double APART = -0.5;
    private static final double TORN = 1.5;
    /** Errors are themselves uncertain. */
    private static final double STRETCH = 1.25;
    /** A message founds a group where its clock or its edges would tell others apart. */
    private static final double SHARP_PPM = 8;
    private static final double SHARP_NANOS = 12;

    private final Findings findings;
    /** Bit lengths of one node's answers agree within this, tick and payload included; a slave is known where they do. */
    private static final double ANSWER_FLOOR_PPM = 40;
    private static final double SHARP_BITS_PPM = 100;
    /** Slaves' clocks lie within 1.5 % (LIN 2.1, 6.3; from memory). */
    private static final double SLAVE_RANGE_PPM = 10_000;
    private final List<Unit> units = new ArrayList<>();
    /** A master asks for each message (LIN): periods are its own, and a node's clock shows in the length of its bits. */
    private final boolean asked;
    final List<Group> groups = new ArrayList<>();
    final Map<Long, List<Group>> ofMessage = new LinkedHashMap<>();

    /** The frames of one message that one sender sends. */
    private static final class Unit {
        MessageFacts facts;
        int[] frames;
        Track track;
        PhaseBlocks clock;
        WireTrait wire;
        String name;
        int rival = -1;
        Group home;
        int index;
    }

    /** A sender while groups are being made. */
    static final class Group {
        final TreeSet<Long> keys = new TreeSet<>();
        private final List<Unit> units = new ArrayList<>();
        double first = Double.POSITIVE_INFINITY;
        double ppm = Double.NaN;
        double ppmError = Double.NaN;
        WireTrait wire = WireTrait.NONE;
        String name;
        boolean byClock;
        boolean byWire;
    }

    SenderGroups(Traffic traffic) {
        this.findings = traffic.findings;
        BusFormat format = BusFormats.of(findings.bus().coding(), findings.layout());
        asked = format != null && format.naming().answer() != null;
        for (MessageFinding m : findings.clashes().messages()) {
            MessageFacts facts = traffic.messages.get(m.key());
            if (facts == null || m.verdict() == Verdict.UNDECIDED) continue;
            if (m.verdict() == Verdict.TWO_SENDERS) {
                int rival = units.size();
                for (int s : m.senders()) {
                    int[] own = Arrays.stream(facts.frames).filter(f -> findings.clashes().senderOf(f) == s).toArray();
                    if (own.length > 0) unit(facts, own, findings.clashes().senders().get(s).name(), rival);
                }
            } else {
                String name = m.senders().size() == 1 ? findings.clashes().senders().get(m.senders().get(0)).name() : null;
                unit(facts, facts.frames, name, -1);
            }
        }
        group();
        names();
        groups.sort(Comparator.comparingDouble(g -> g.first));
        for (Unit u : units) {
            List<Group> homes = ofMessage.computeIfAbsent(u.facts.key, k -> new ArrayList<>());
            if (u.home != null) homes.add(u.home);
        }
    }

    private void unit(MessageFacts facts, int[] frames, String name, int rival) {
        Unit u = new Unit();
        u.facts = facts;
        u.frames = frames;
        u.name = name;
        u.rival = rival;
        Map<Integer, Integer> count = new HashMap<>();
        for (int f : frames) count.merge(findings.senders().trackOf(f), 1, Integer::sum);
        for (Track t : facts.tracks) {
            if (!t.cyclic() || count.getOrDefault(t.index(), 0) == 0) continue;
            if (u.track == null || count.get(t.index()) > count.get(u.track.index())) u.track = t;
        }
        u.clock = u.track == null || asked ? null : PhaseBlocks.of(findings, u.track, frames);
        u.wire = WireTrait.of(findings.frames(), frames);
        units.add(u);
    }

    /** Merges the two groups that agree best, again and again, while one node explains them clearly better than two. */
    private void group() {
        int n = units.size();
        PhaseBlocks.Apart[][] apart = new PhaseBlocks.Apart[n][n];
        for (int i = 0; i < n; i++) {
            units.get(i).index = i;
            for (int j = 0; j < i; j++) {
                PhaseBlocks a = units.get(i).clock;
                PhaseBlocks b = units.get(j).clock;
                if (a != null && b != null) apart[i][j] = a.against(b);
            }
        }
        for (Unit u : units) {
            Group g = new Group();
            groups.add(g);
            put(g, u);
        }
        double[][] odds = new double[n][n];
        for (int i = 0; i < n; i++) for (int j = 0; j < i; j++) odds[i][j] = odds[j][i] = odds(groups.get(i), groups.get(j), apart);
        while (true) {
            int[] pair = best(odds);
            if (pair == null) break;
            Group into = groups.get(pair[0]);
            Group from = groups.get(pair[1]);
            for (Unit u : List.copyOf(from.units)) put(into, u);
            from.units.clear();
            for (int k = 0; k < n; k++) {
                if (k != pair[0]) odds[pair[0]][k] = odds[k][pair[0]] = odds(into, groups.get(k), apart);
                odds[pair[1]][k] = odds[k][pair[1]] = Double.NEGATIVE_INFINITY;
            }
        }
        dissolve(odds);
    }

    /** The pair that agrees best and is not torn between two groups that differ; null where none is left. */
    private int[] best(double[][] odds) {
        int n = odds.length;
        int[] best = null;
        double most = JOINS;
        for (int i = 0; i < n; i++) {
            for (int j = 0; j < i; j++) {
                if (odds[i][j] < most || groups.get(i).units.isEmpty() || groups.get(j).units.isEmpty()) continue;
                if (torn(odds, i, j) || torn(odds, j, i)) continue;
                most = odds[i][j];
                best = new int[] {i, j};
            }
        }
        return best;
    }

    private boolean torn(double[][] odds, int a, int b) {
        for (int c = 0; c < odds.length; c++) {
            if (c == a || c == b || groups.get(c).units.isEmpty()) continue;
            if (odds[a][c] > odds[a][b] - TORN && odds[a][c] > 0 && odds[b][c] < APART) return true;
        }
        return false;
    }

    /** A message alone is a sender of its own where it clearly differs from every other; else nobody knows. */
    private void dissolve(double[][] odds) {
        for (int i = 0; i < odds.length; i++) {
            Group g = groups.get(i);
            if (g.units.size() != 1 || g.units.get(0).rival >= 0) continue;
            boolean own = sharp(g.units.get(0));
            for (int k = 0; k < odds.length && own; k++) {
                own = k == i || groups.get(k).units.isEmpty() || odds[i][k] < APART;
            }
            if (own) continue;
            g.units.get(0).home = null;
            g.units.clear();
        }
        groups.removeIf(g -> g.units.isEmpty());
    }

    private boolean sharp(Unit u) {
        if (asked) return u.wire.known() && u.wire.ppmError() <= SHARP_BITS_PPM;
        return u.clock != null && u.track.clockPpmError() <= SHARP_PPM || u.wire.known() && u.wire.nanosError() <= SHARP_NANOS;
    }

    /** log10 of how much better one node explains the agreement than two drawn at random; rivals are never one. */
    private double odds(Group a, Group b, PhaseBlocks.Apart[][] all) {
        if (a.units.isEmpty() || b.units.isEmpty()) return Double.NEGATIVE_INFINITY;
        double sum = 0;
        double weights = 0;
        for (Unit u : a.units) {
            for (Unit v : b.units) {
                if (u.rival >= 0 && u.rival == v.rival) return Double.NEGATIVE_INFINITY;
                PhaseBlocks.Apart apart = all[Math.max(u.index, v.index)][Math.min(u.index, v.index)];
                if (apart == null || !(apart.error() > 0)) continue;
                double w = 1 / square(apart.error());
                sum += w * apart.ppm() * (u.index > v.index ? 1 : -1);
                weights += w;
            }
        }
        int na = a.units.size();
        int nb = b.units.size();
        double each = 1.0 / na + 1.0 / nb;
        double odds = 0;
        // Pairs share their members' errors: of na * nb differences only na + nb errors are free.
        if (weights > 0) {
            odds += agreement(sum / weights, Math.sqrt((na + nb) / 2.0 / weights + square(CLOCK_FLOOR_PPM)), CLOCK_RANGE_PPM);
        }
        if (a.wire.known() && b.wire.known()) {
            double floor = asked ? ANSWER_FLOOR_PPM : BIT_FLOOR_PPM;
            double bits = Math.sqrt(square(a.wire.ppmError()) + square(b.wire.ppmError()) + each * square(floor));
            odds += agreement(a.wire.ppm() - b.wire.ppm(), bits, asked ? SLAVE_RANGE_PPM : CLOCK_RANGE_PPM);
            double edges = Math.sqrt(square(a.wire.nanosError()) + square(b.wire.nanosError()) + each * square(EDGE_FLOOR_NANOS));
            odds += agreement(a.wire.nanos() - b.wire.nanos(), edges, EDGE_RANGE_NANOS);
        }
        return odds;
    }

    /** Density of the difference for one node over that for two, log10; a vague difference says nothing. */
    private static double agreement(double difference, double error, double range) {
        double sd = STRETCH * error;
        double u = difference / sd;
        double two = 1 / Math.hypot(range, sd * Math.sqrt(2 * Math.PI));
        double one = -u * u / 2 / Math.log(10) - Math.log10(sd * Math.sqrt(2 * Math.PI));
        // Now and then an error is far too small.
        return Math.max(one - Math.log10(two), -6);
    }

    private void put(Group g, Unit u) {
        g.units.add(u);
        u.home = g;
        refresh(g);
    }

    private void refresh(Group g) {
        g.keys.clear();
        g.wire = WireTrait.NONE;
        g.first = Double.POSITIVE_INFINITY;
        double sum = 0;
        double weights = 0;
        int clocks = 0;
        int wires = 0;
        for (Unit u : g.units) {
            g.keys.add(u.facts.key);
            g.first = Math.min(g.first, u.facts.findings.frames().startSeconds(u.frames[0]));
            g.wire = g.wire.with(u.wire);
            if (u.wire.known()) wires++;
            if (u.clock == null || !(u.track.clockPpmError() > 0)) continue;
            double w = 1 / square(u.track.clockPpmError());
            sum += w * u.track.clockPpm();
            weights += w;
            clocks++;
        }
        g.ppm = weights > 0 ? sum / weights : Double.NaN;
        g.ppmError = weights > 0 ? Math.sqrt(1 / weights) : Double.NaN;
        if (asked && g.wire.known()) {
            g.ppm = g.wire.ppm();
            g.ppmError = Math.hypot(g.wire.ppmError(), ANSWER_FLOOR_PPM / Math.sqrt(Math.max(1, wires)));
        }
        g.byClock = clocks > 1;
        g.byWire = wires > 1;
    }

    /** A group takes the name that most of its messages have; a name goes to the group with most of it. */
    private void names() {
        Map<String, Group> taken = new HashMap<>();
        Map<String, Integer> votes = new HashMap<>();
        for (Group g : groups) {
            Map<String, Integer> count = new LinkedHashMap<>();
            for (Unit u : g.units) if (u.name != null) count.merge(u.name, 1, Integer::sum);
            for (Map.Entry<String, Integer> e : count.entrySet()) {
                if (2 * e.getValue() <= g.units.size() - (g.units.size() - count.values().stream().mapToInt(i -> i).sum())
                        || e.getValue() <= votes.getOrDefault(e.getKey(), 0)) continue;
                Group before = taken.put(e.getKey(), g);
                if (before != null) before.name = null;
                votes.put(e.getKey(), e.getValue());
                g.name = e.getKey();
            }
        }
    }

    /** The group of one schedule of a message; null where not settled. */
    Group of(long key, Track track) {
        List<Group> homes = ofMessage.getOrDefault(key, List.of());
        if (homes.size() == 1) return homes.get(0);
        for (Unit u : units) if (u.facts.key == key && u.track != null && u.track.index() == track.index()) return u.home;
        MessageFinding m = findings.clashes().message(key);
        if (m == null || homes.size() < 2) return null;
        for (Schedule s : m.schedules()) {
            int at = m.senders().indexOf(s.sender());
            if (s.track() == track.index() && at >= 0 && at < homes.size()) return homes.get(at);
        }
        return null;
    }

    private static double square(double v) {
        return v * v;
    }
}
