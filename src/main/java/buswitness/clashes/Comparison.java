package buswitness.clashes;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.senders.Track;
import buswitness.senders.WireMean;
import buswitness.stats.Robust;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/** The judged recording against one with a node unplugged: whether they fit, what fell silent, whose clock that was. */
final class Comparison {
    private static final double SAME_RATE = 0.02;
    private static final int FEWEST_WHOLE = 50;
    private static final double FEWEST_EXPECTED = 5;
    private static final double SAME_COMB_PPM = 2000;
    /** Clocks wander by a few ppm from one recording to the next. */
    private static final double WANDER_PPM = 1.5;
    private static final double SHIFT_PPM = 4;
    private static final double SPREAD_PPM = 15;
    private static final double AGREES = 3;
    private static final double DIFFERS = 5;
    private static final int FEWEST_OF_A_COMB = 10;
    private static final double NANOS_FLOOR = 2;
    /** Where a master asks: nodes nearer to one another are not told apart, ppm; share of the way that blurring may move. */
    private static final double ASKED_PPM = 1000;
    private static final double BLURRED = 1 / 3.0;
    /** Measured: of names given with more of them than this beside a node's own, two in five were wrong. */
    private static final double UNKNOWN_SHARE = 0.5;

    final Reference reference;
    final List<String> says = new ArrayList<>();
    final List<Long> silent = new ArrayList<>();
    /** Clock group whose every message stops with the node; -1 where there is none, or several. */
    int ownGroup = -1;
    boolean fits = true;
    /** So many messages of unknown clocks fell silent that more than the one node may be missing. */
    private boolean severalMissing;
    private final List<MessageView> views;
    private final Map<Long, Integer> count = new HashMap<>();
    private final Set<Integer> stillThere = new HashSet<>();
    private double shiftPpm;
    private double spreadPpm = WANDER_PPM;
    private boolean clocksCompare;

    /** @param by what told the two schedules apart: clock, wire, payload */
    record Outcome(Track stops, Track goesOn, boolean bothStop, List<String> by) {
        boolean byClockOrWire() {
            return by.contains("clock") || by.contains("bit length") || by.contains("wire");
        }
    }

    private static final Outcome NOTHING = new Outcome(null, null, false, List.of());

    Comparison(Reference reference, List<MessageView> views, BusInfo bus) {
        this.reference = reference;
        this.views = views;
        FrameLog log = reference.log();
        int unacknowledged = 0;
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i) && !log.isRemote(i)) count.merge(log.key(i), 1, Integer::sum);
            if (log.fault(i) == FrameFault.ACKNOWLEDGE) unacknowledged++;
        }
        if (unacknowledged >= 10 && unacknowledged > log.wholeCount()) {
            misfit(Say.text("Only one node was left: %d frames have no acknowledgement and are repeated without end."
                    + " Leave at"
                    + " least one other node on the bus.", unacknowledged));
        } else if (Math.abs(reference.bus().bitsPerSecond() / bus.bitsPerSecond() - 1) > SAME_RATE) {
            misfit(Say.text("Its bit rate is %.0f bit/s, not %.0f bit/s: another bus.", reference.bus().bitsPerSecond(),
                    bus.bitsPerSecond()));
        } else if (log.wholeCount() < FEWEST_WHOLE) {
            misfit(Say.text("It holds only %d whole frames; at least %d are needed.", log.wholeCount(), FEWEST_WHOLE));
        }
        if (!fits) return;
        clocks();
        silence(bus);
        ownership();
    }

    private void misfit(String why) {
        fits = false;
        says.add("It does not fit. " + why);
    }

    private static List<Track> combs(List<Track> tracks) {
        int most = tracks.stream().filter(Track::cyclic).mapToInt(Track::frames).max().orElse(0);
        return tracks.stream().filter(t -> t.cyclic() && t.frames() >= Math.max(FEWEST_OF_A_COMB, most / 5)).toList();
    }

    /** The trains of a message: its schedules, or where a master asks for it the nodes that answer. */
    private static List<Track> trains(MessageView view, List<Track> tracks) {
        return view.meant.isAsked() ? tracks.stream().filter(t -> t.frames() >= FEWEST_OF_A_COMB).toList() : combs(tracks);
    }

    /** How far all clocks moved together, from messages with one schedule in both recordings. */
    private void clocks() {
        List<Double> moved = new ArrayList<>();
        for (MessageView view : views) {
            List<Track> here = combs(view.tracks);
            List<Track> there = combs(reference.senders().tracks(view.key));
            if (here.size() != 1 || there.size() != 1) continue;
            double ppm = (there.get(0).periodSeconds() / here.get(0).periodSeconds() - 1) * 1e6;
            if (Math.abs(ppm) < SAME_COMB_PPM) moved.add(ppm);
        }
        if (moved.isEmpty()) return;
        double[] values = moved.stream().mapToDouble(d -> d).toArray();
        shiftPpm = Robust.median(values);
        double spread = Robust.spread(values);
        spreadPpm = Math.max(WANDER_PPM, spread);
        clocksCompare = spread <= SPREAD_PPM;
        if (!clocksCompare) {
            says.add(Say.text("The clocks of the senders moved by unlike amounts (spread %.0f ppm): another"
                    + " temperature, so"
                    + " clocks are not compared.", spread));
        } else if (Math.abs(shiftPpm) > SHIFT_PPM && values.length > 1) {
            says.add(Say.text("All clocks are moved by %+.1f ppm (spread %.1f ppm): another recorder or another"
                    + " temperature;"
                    + " this is taken out before clocks are compared.", shiftPpm, spread));
        }
        if (clocksCompare && spread > SHIFT_PPM) {
            says.add(Say.text("The clocks of the senders moved by unlike amounts (spread %.0f ppm): another temperature,"
                    + " so clocks are compared to no better than that.", spread));
        }
    }

    private void silence(BusInfo bus) {
        double scale = (double) reference.bus().durationPicos() / bus.durationPicos();
        Set<Long> known = new HashSet<>();
        for (MessageView view : views) {
            known.add(view.key);
            if (count.getOrDefault(view.key, 0) > 0) {
                List<Track> here = combs(view.tracks);
                if (here.size() == 1) stillThere.add(here.get(0).group());
            } else if (view.wholeCount * scale >= FEWEST_EXPECTED) silent.add(view.key);
        }
        List<String> more = new TreeSet<>(count.keySet()).stream().filter(k -> !known.contains(k) && count.get(k) >= 3)
                .map(MessageKey::text).toList();
        if (!more.isEmpty()) {
            says.add("It holds messages that the recording with both lacks (" + String.join(", ", more)
                    + "): the bus was in another state.");
        }
    }

    private void ownership() {
        TreeSet<Integer> gone = new TreeSet<>();
        int unknown = 0;
        List<String> own = new ArrayList<>();
        List<String> borrowed = new ArrayList<>();
        for (MessageView view : views) {
            if (!silent.contains(view.key)) continue;
            List<Track> here = combs(view.tracks);
            int group = here.size() == 1 ? here.get(0).group() : -1;
            boolean mine = group >= 0 && !stillThere.contains(group);
            if (mine) gone.add(group);
            if (group < 0) unknown++;
            (mine ? own : borrowed).add(view.title());
        }
        if (gone.size() > 1) {
            misfit(Say.text("Messages of %d clocks fell silent (%s): more than the %s is missing, or partners that"
                    + " fall silent"
                    + " with it and send nothing else.", gone.size(), String.join(", ", own), reference.node()));
            return;
        }
        String other = another();
        if (other != null) {
            misfit(Say.text("What fell silent (%s) is the %s's by the layout, and the %s's own messages go on: was the %s"
                    + " unplugged?", String.join(", ", own), other, reference.node(), other));
            return;
        }
        if (gone.size() == 1) {
            ownGroup = gone.first();
            says.add(Say.text("Silent without the %s, all on one clock: %s. These are its own.", reference.node(),
                    String.join(", ", own)));
        }
        severalMissing = unknown > UNKNOWN_SHARE * own.size();
        if (severalMissing) {
            says.add(Say.text("%s fell silent whose clock this recording does not show: the %s may not be all that is"
                    + " missing,"
                    + " so no sender is named after it. A longer recording with all nodes would show their clocks.",
                    unknown == 1 ? "A message" : unknown + " messages", reference.node()));
        }
        if (!borrowed.isEmpty()) {
            says.add("Silent too, but on the clock of a sender that is still there, or on none that is known: "
                    + String.join(", ", borrowed) + ". A partner or a forwarding unit may fall silent with it; not"
                            + " counted.");
        }
        boolean combGone = views.stream().anyMatch(v -> trains(v, v.tracks).size() > 1
                && trains(v, reference.senders().tracks(v.key)).size() == 1);
        if (silent.isEmpty() && !combGone) {
            misfit(Say.text("Nothing fell silent: the %s is still there, or sends nothing.", reference.node()));
        }
    }

    /** The one node that by the layout sends all that fell silent, while what the named one sends goes on; else null. */
    private String another() {
        Set<String> nodes = new HashSet<>();
        boolean goesOn = false;
        for (MessageView view : views) {
            if (view.documented == null || view.documented.from().size() != 1) continue;
            String from = view.documented.from().get(0);
            if (silent.contains(view.key)) nodes.add(from);
            else goesOn |= from.equals(reference.node()) && combs(view.tracks).size() == 1;
        }
        return goesOn && nodes.size() == 1 && !nodes.contains(reference.node()) ? nodes.iterator().next() : null;
    }

    /** Which of two schedules of a message stopped with the node. */
    Outcome outcome(MessageView view, PairFinding pair) {
        if (silent.contains(view.key)) return new Outcome(null, null, true, List.of());
        List<Track> there = trains(view, reference.senders().tracks(view.key));
        if (there.size() != 1) return NOTHING;
        Track left = there.get(0);
        Map<String, Integer> votes = new HashMap<>();
        if (view.meant.isAsked()) {
            double[] like = bits(view, pair, left);
            vote(votes, "bit length", like[0], like[1]);
        }
        vote(votes, "clock", clock(left, pair.a()), clock(left, pair.b()));
        double[] stays = wire(view, pair, left);
        vote(votes, "wire", stays[0], stays[1]);
        stays = payload(view, pair, left);
        vote(votes, "payload", stays[0], stays[1]);
        boolean first = votes.containsValue(1);
        boolean second = votes.containsValue(2);
        if (first == second) return NOTHING;
        List<String> by = List.of("clock", "bit length", "wire", "payload").stream().filter(votes::containsKey).toList();
        return first ? new Outcome(pair.b(), pair.a(), false, by) : new Outcome(pair.a(), pair.b(), false, by);
    }

    /** 1: the first schedule goes on; 2: the second. Deviations NaN or of middling size say nothing. */
    private static void vote(Map<String, Integer> votes, String kind, double first, double second) {
        if (first < AGREES && second > DIFFERS) votes.put(kind, 1);
        if (second < AGREES && first > DIFFERS) votes.put(kind, 2);
    }

    private double clock(Track left, Track here) {
        if (!clocksCompare) return Double.NaN;
        double ppm = (left.periodSeconds() / here.periodSeconds() - 1) * 1e6 - shiftPpm;
        double errors = Math.hypot(left.periodErrorSeconds() / left.periodSeconds(),
                here.periodErrorSeconds() / here.periodSeconds()) * 1e6;
        return Math.abs(ppm) / Math.hypot(errors, spreadPpm);
    }

    /**
     * Where a master asks, nodes time their bits by poor clocks of their own, thousands of ppm apart. Two that begin an
     * answer together blur each other's bits, which moves both means inwards: the one left lies by its own or beyond it.
     */
    private double[] bits(MessageView view, PairFinding pair, Track left) {
        WireMean a = WireMean.of(view.log, view.framesOf(pair.a()), WireMean.Trait.BIT_PPM, null, 0);
        WireMean b = WireMean.of(view.log, view.framesOf(pair.b()), WireMean.Trait.BIT_PPM, null, 0);
        WireMean there = WireMean.of(reference.log(), frames(reference, left), WireMean.Trait.BIT_PPM, null, 0);
        double[] like = {Double.NaN, Double.NaN};
        if (a == null || b == null || there == null || Math.abs(a.value() - b.value()) < ASKED_PPM) return like;
        double first = Math.abs(there.value() - a.value());
        double second = Math.abs(there.value() - b.value());
        if (Math.min(first, second) > Math.max(first, second) * BLURRED) return like;
        like[0] = first < second ? 0 : 2 * DIFFERS;
        like[1] = first < second ? 2 * DIFFERS : 0;
        return like;
    }

    /** Asymmetry only: a bit's length moves with the recorder's clock. */
    private double[] wire(MessageView view, PairFinding pair, Track left) {
        WireMean there = mean(reference.log(), frames(reference, left));
        WireMean a = mean(view.log, view.framesOf(pair.a()));
        WireMean b = mean(view.log, view.framesOf(pair.b()));
        if (there == null || a == null || b == null) return new double[] {Double.NaN, Double.NaN};
        return new double[] {Math.abs(there.deviation(a, NANOS_FLOOR)), Math.abs(there.deviation(b, NANOS_FLOOR))};
    }

    private static WireMean mean(FrameLog log, int[] frames) {
        return WireMean.of(log, frames, WireMean.Trait.ASYMMETRY_NANOS, null, 0);
    }

    /** How many of its payloads were seen on each schedule: 0 for most of them, 10 for few. */
    private double[] payload(MessageView view, PairFinding pair, Track left) {
        double[] unlike = new double[2];
        int[] frames = frames(reference, left);
        for (int side = 0; side < 2; side++) {
            Set<Long> words = new HashSet<>();
            for (int f : view.framesOf(side == 0 ? pair.a() : pair.b())) words.add(view.log.dataWord(f));
            int seen = 0;
            for (int f : frames) if (words.contains(reference.log().dataWord(f))) seen++;
            double share = frames.length == 0 ? 0.5 : (double) seen / frames.length;
            unlike[side] = share > 0.8 ? 0 : share < 0.1 ? 10 : 4;
        }
        return unlike;
    }

    private static int[] frames(Reference r, Track track) {
        int[] frames = new int[r.log().size()];
        int n = 0;
        for (int i = 0; i < frames.length; i++) {
            if (r.log().isWhole(i) && r.senders().trackOf(i) == track.index()) frames[n++] = i;
        }
        return Arrays.copyOf(frames, n);
    }

    /** Where nothing has a clock: the train that stopped in the only message of which one did; -1 where there is none. */
    int track(List<Judgement> judgements) {
        if (severalMissing || ownGroup >= 0) return -1;
        TreeSet<Integer> tracks = new TreeSet<>();
        for (Judgement j : judgements) {
            if (j.rivals == null || !j.view.meant.isAsked()) continue;
            Outcome o = outcome(j.view, j.rivals);
            if (o.stops() != null && o.byClockOrWire() && o.stops().group() < 0) tracks.add(o.stops().index());
        }
        return tracks.size() == 1 ? tracks.first() : -1;
    }

    /**
     * The node's clock group; where it sends nothing alone, that of the schedule that stopped, if nobody left has it.
     */
    int group(List<Judgement> judgements) {
        if (severalMissing) return -1;
        if (ownGroup >= 0) return ownGroup;
        TreeSet<Integer> groups = new TreeSet<>();
        for (Judgement j : judgements) {
            if (j.rivals == null || !j.rivals.a().cyclic() || !j.rivals.b().cyclic()) continue;
            Outcome o = outcome(j.view, j.rivals);
            if (o.stops() != null && o.byClockOrWire()) groups.add(o.stops().group());
        }
        return groups.size() == 1 && !stillThere.contains(groups.first()) ? groups.first() : -1;
    }
}
