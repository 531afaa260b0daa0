package buswitness.clashes;

import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.senders.ClockGroup;
import buswitness.senders.SenderFindings;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/**
 * The bus's senders: trains of one clock are one sender, the two trains of a clash never are. A train that no clock
 * ties
 * to anything stays without a sender unless its message clashes.
 */
final class Attribution {
    /** A sender before it has its label. */
    private static final class Draft {
        final ClockGroup group;
        final TreeSet<Long> keys = new TreeSet<>();
        final TreeSet<Long> alone = new TreeSet<>();
        double first = Double.POSITIVE_INFINITY;
        String name;
        int index;

        Draft(ClockGroup group) {
            this.group = group;
        }
    }

    private static final int MOST_IN_ONE_GO = 5;
    private static final double IN_ONE_GO_SHARE = 0.8;
    private static final double SAME_PERIOD = 0.001;
    private static final double PAUSED_SHARE = 0.2;
    private final FrameLog log;
    private final double bitSeconds;
    private final SenderFindings findings;
    private final WireMeans wire;
    private final Map<Integer, Draft> ofGroup = new LinkedHashMap<>();
    private final Map<Integer, Draft> ofTrack = new HashMap<>();
    private final Map<Long, Draft> ofMessage = new HashMap<>();
    private final List<Draft> drafts = new ArrayList<>();
    final List<Sender> senders = new ArrayList<>();
    final int[] senderOf;
    final float[] confidence;

    /** @param wire null where the wire was not seen */
    Attribution(FrameLog log, double bitSeconds, SenderFindings findings, WireMeans wire, List<Judgement> judgements,
                List<SharedStops> silences, Layout layout, Map<Integer, String> unpluggedGroups,
                Map<Integer, String> unpluggedTracks) {
        this.wire = wire;
        this.log = log;
        this.bitSeconds = bitSeconds;
        this.findings = findings;
        this.senderOf = new int[log.size()];
        this.confidence = new float[log.size()];
        for (SharedStops s : silences) tie(s, judgements);
        for (Judgement j : judgements) {
            if (j.verdict != Verdict.ONE_SENDER) continue;
            if (j.view.shared == null) one(j);
            else several(j);
        }
        for (Judgement j : judgements) if (j.verdict == Verdict.TWO_SENDERS) two(j);
        drafts.sort(Comparator.comparingDouble(d -> d.first));
        name(layout);
        unpluggedGroups.forEach((group, node) -> name(ofGroup.get(group), node));
        unpluggedTracks.forEach((track, node) -> name(ofTrack.get(track), node));
        for (int i = 0; i < drafts.size(); i++) {
            Draft d = drafts.get(i);
            d.index = i;
            senders.add(new Sender(label(i), d.name, d.group == null ? Double.NaN : d.group.clockPpm(),
                    d.group == null ? Double.NaN : d.group.clockPpmError(), List.copyOf(d.keys)));
        }
        frames(judgements);
    }

    /** A, B, ... Z, AA, AB, ... */
    static String label(int index) {
        String text = "";
        for (int i = index; i >= 0; i = i / 26 - 1) text = (char) ('A' + i % 26) + text;
        return text;
    }

    /** Messages that stop and begin again together are one sender, whatever their short stretches say of its clock. */
    private void tie(SharedStops stops, List<Judgement> judgements) {
        List<Track> mains = new ArrayList<>();
        for (Judgement j : judgements) {
            if (j.verdict == Verdict.ONE_SENDER && stops.keys().contains(j.view.key)) mains.add(SharedStops.rhythm(j.view));
        }
        if (mains.size() < 2) return;
        Draft draft = new Draft(commonClock(mains));
        drafts.add(draft);
        for (Track t : mains) {
            ofMessage.put(t.key(), draft);
            if (t.group() < 0) continue;
            boolean whole = findings.groups().get(t.group()).tracks().stream()
                    .allMatch(i -> stops.keys().contains(findings.tracks().get(i).key()));
            if (whole) ofGroup.put(t.group(), draft);
        }
    }

    /** The clock of several tracks, its error widened by how far they disagree. */
    private static ClockGroup commonClock(List<Track> tracks) {
        double sum = 0;
        double squares = 0;
        double weights = 0;
        int n = 0;
        for (Track t : tracks) {
            if (!(t.clockPpmError() > 0)) continue;
            double w = 1 / (t.clockPpmError() * t.clockPpmError());
            weights += w;
            sum += w * t.clockPpm();
            squares += w * t.clockPpm() * t.clockPpm();
            n++;
        }
        if (n == 0) return null;
        double scatter = n < 2 ? 1 : Math.max(1, (squares - sum * sum / weights) / (n - 1));
        return new ClockGroup(-1, sum / weights, Math.sqrt(scatter / weights), tracks.stream().map(Track::index).toList());
    }

    private void one(Judgement j) {
        Track main = null;
        for (Track t : j.view.tracks) {
            if (t.group() >= 0 && (main == null || t.frames() > main.frames())) main = t;
        }
        Draft tied = ofMessage.get(j.view.key);
        if (main == null && tied == null) return;
        Draft draft = tied != null ? tied : group(main.group());
        ofMessage.put(j.view.key, draft);
        draft.keys.add(j.view.key);
        draft.alone.add(j.view.key);
        draft.first = Math.min(draft.first, j.view.firstSeconds());
    }

    /** A header that several nodes answer by design: each train is its node's. */
    private void several(Judgement j) {
        for (Track t : j.view.tracks) {
            if (t.group() < 0) continue;
            Draft home = group(t.group());
            ofTrack.put(t.index(), home);
            home.keys.add(j.view.key);
            home.first = Math.min(home.first, t.fromSeconds());
        }
    }

    private Draft group(int index) {
        return ofGroup.computeIfAbsent(index, i -> {
            Draft draft = new Draft(findings.groups().get(i));
            drafts.add(draft);
            return draft;
        });
    }

    /** Rivals get different senders even where their clocks could not be told apart. */
    private void two(Judgement j) {
        PairFinding pair = j.rivals;
        if (pair == null) return;
        Track a = pair.a();
        Track b = pair.b();
        boolean sameGroup = a.group() >= 0 && a.group() == b.group();
        Draft first = a.group() >= 0 ? draft(a, false) : inOneGo(j.view, a);
        Draft second = b.group() >= 0 ? draft(b, sameGroup) : inOneGo(j.view, b);
        if (first == null || first == second) first = draft(a, true);
        if (second == null) second = draft(b, true);
        for (Track t : j.view.tracks) {
            boolean third = t.group() != a.group() && t.group() != b.group() && ClockTies.ties(j.view, t);
            int like = t == a || t == b || third ? 0 : like(j.view, t, a, b);
            Draft home = t == a || like < 0 ? first : t == b || like > 0 ? second : t.group() < 0 ? null
                    : t.group() == a.group() ? first : t.group() == b.group() ? second : draft(t, false);
            if (home == null) continue;
            ofTrack.put(t.index(), home);
            home.keys.add(j.view.key);
            home.first = Math.min(home.first, t.fromSeconds());
        }
    }

    /** Whose a third train is: -1 the first's, 1 the second's, 0 not known. */
    private int like(MessageView view, Track t, Track a, Track b) {
        int byWire = wire == null ? 0 : wire.like(view, t, a, b);
        if (byWire != 0 || !t.cyclic() || !a.cyclic() || !b.cyclic()) return byWire;
        // A comb that fills the other's pause while this one runs on: with two senders it is the other's.
        boolean besideFirst = runs(view, a, t);
        boolean besideSecond = runs(view, b, t);
        if (besideFirst == besideSecond) return 0;
        Track paused = besideFirst ? b : a;
        if (Math.abs(paused.periodSeconds() / t.periodSeconds() - 1) > SAME_PERIOD) return 0;
        return besideFirst ? 1 : -1;
    }

    /** Whether the track has about a frame for each of the other's while the other runs; a pause has hardly any. */
    private static boolean runs(MessageView view, Track track, Track other) {
        int frames = 0;
        for (int f : view.framesOf(track)) {
            double at = view.log.startSeconds(f);
            if (at >= other.fromSeconds() && at <= other.untilSeconds()) frames++;
        }
        return frames * track.periodSeconds() > PAUSED_SHARE * (other.untilSeconds() - other.fromSeconds());
    }

    /**
     * The sender whose frames go right before this train's, most of the time, and whose clock is as fast within the
     * errors:
     * one task sends both in one go. Null where there is none.
     */
    private Draft inOneGo(MessageView view, Track track) {
        if (!track.cyclic() || Double.isNaN(bitSeconds) || Double.isNaN(track.clockPpm())) return null;
        Map<Draft, Integer> before = new LinkedHashMap<>();
        int[] frames = view.framesOf(track);
        for (int frame : frames) {
            Set<Draft> seen = new LinkedHashSet<>();
            for (int i = frame; i > 0 && i > frame - MOST_IN_ONE_GO; i--) {
                if ((log.startPicos(i) - log.endPicos(i - 1)) * 1e-12 > HeadOn.RETRY_IDLE_BITS * bitSeconds) break;
                Draft draft = ofMessage.get(log.key(i - 1));
                if (draft == null) draft = ofTrack.get(findings.trackOf(i - 1));
                if (draft != null && draft.group != null) seen.add(draft);
            }
            for (Draft draft : seen) before.merge(draft, 1, Integer::sum);
        }
        for (Map.Entry<Draft, Integer> e : before.entrySet()) {
            ClockGroup group = e.getKey().group;
            double apart = Math.abs(track.clockPpm() - group.clockPpm());
            double error = Math.hypot(track.clockPpmError(), group.clockPpmError());
            if (e.getValue() >= IN_ONE_GO_SHARE * frames.length && apart <= 3 * error) return e.getKey();
        }
        return null;
    }

    private Draft draft(Track track, boolean own) {
        if (track.group() >= 0 && !own) return group(track.group());
        Draft draft = new Draft(null);
        drafts.add(draft);
        return draft;
    }

    /** Only where every documented, unclashed message of a sender names the same single node; no node twice. */
    private void name(Layout layout) {
        if (layout == null) return;
        Map<Long, Message> documented = new HashMap<>();
        for (Message m : layout.messages()) documented.put(MessageKey.of(m), m);
        Map<String, Draft> taken = new HashMap<>();
        for (Draft d : drafts) {
            String name = null;
            boolean agree = true;
            for (long key : d.alone) {
                Message m = documented.get(key);
                if (m == null || m.from().isEmpty()) continue;
                if (m.from().size() > 1 || name != null && !name.equals(m.from().get(0))) agree = false;
                name = m.from().get(0);
            }
            if (name == null || !agree) continue;
            Draft other = taken.get(name);
            if (other != null && other.alone.size() >= d.alone.size()) continue;
            if (other != null) other.name = null;
            d.name = name;
            taken.put(name, d);
        }
    }

    /** What falls silent with a node is that node, whatever the layout says; no node twice. */
    private void name(Draft draft, String node) {
        if (draft == null) return;
        for (Draft d : drafts) if (node.equals(d.name)) d.name = null;
        draft.name = node;
    }

    /** Sender of a clock group, -1 where it has none. */
    int senderOfGroup(int group) {
        Draft d = ofGroup.get(group);
        return d == null ? -1 : d.index;
    }

    private void frames(List<Judgement> judgements) {
        Arrays.fill(senderOf, -1);
        for (Judgement j : judgements) {
            MessageView view = j.view;
            Draft message = ofMessage.get(view.key);
            for (int k = 0; k < view.wholeCount; k++) {
                int frame = view.whole[k];
                if (message != null) {
                    senderOf[frame] = message.index;
                    confidence[frame] = 1;
                } else {
                    Draft home = ofTrack.get(findings.trackOf(frame));
                    if (home == null) continue;
                    senderOf[frame] = home.index;
                    confidence[frame] = findings.confidence(frame);
                }
            }
            // One sender's damaged frames are its own; two nodes broke those of a clash together.
            for (int k = 0; message != null && k < view.damagedCount; k++) {
                senderOf[view.damaged[k]] = message.index;
                confidence[view.damaged[k]] = 0.9f;
            }
        }
    }

    /** Sender of a track of a clashing message, -1 where undetermined. */
    int senderOfTrack(int track) {
        Draft d = ofTrack.get(track);
        return d == null ? -1 : d.index;
    }

    List<Integer> senders(Judgement j) {
        if (j.verdict == Verdict.UNDECIDED) return List.of();
        Draft message = ofMessage.get(j.view.key);
        if (message != null) return List.of(message.index);
        return j.view.tracks.stream().map(t -> senderOfTrack(t.index())).filter(s -> s >= 0).distinct().sorted()
                .toList();
    }

    List<Schedule> schedules(Judgement j) {
        Draft message = ofMessage.get(j.view.key);
        List<Schedule> all = new ArrayList<>();
        for (Track t : j.view.tracks) {
            int sender = message != null ? message.index : j.verdict == Verdict.TWO_SENDERS || j.view.shared != null
                    ? senderOfTrack(t.index()) : -1;
            all.add(new Schedule(sender, t.index(), t.periodSeconds(), t.periodErrorSeconds(), t.frames()));
        }
        return all;
    }
}
