package buswitness.senders;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.MessageKey;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * Finds the trains of frames in a recording, their clocks, and which frame belongs to which. Entry of the package.
 * Only whole data frames count: remote frames are requests by other nodes, damaged ones say nothing of a schedule.
 */
public final class Senders {
    /** Below this the frame's sender is undetermined. */
    private static final float SURE = MessageSolution.SURE;
    private static final int FEWEST_EVENTS = 3;

    private final FrameLog log;
    private final TickStep tick;
    private final RecordedTime time;
    private final Map<Long, Double> layoutPeriods = new HashMap<>();
    private final List<Track> tracks = new ArrayList<>();
    private final List<ClockGroups.Entry> entries = new ArrayList<>();
    private final List<MessageTiming> timings = new ArrayList<>();
    /** A master asks for each message: its times are the master's, and only the bits tell who answered. */
    private final boolean asked;
    private final Map<Long, Shared> shared;
    private final int[] trackOf;
    private final float[] confidence;
    private final boolean[] freeOfWire;

    private Senders(FrameLog log, BusInfo bus, List<Gap> gaps, Layout layout) {
        this.log = log;
        tick = TickStep.of(log, bus);
        BusFormat format = BusFormats.of(bus.coding(), layout);
        asked = format != null && format.naming().answer() != null;
        shared = SharedAnswers.of(log, format, layout);
        double last = log.size() == 0 ? 0 : log.startSeconds(log.size() - 1);
        time = new RecordedTime(gaps, Math.max(last, bus.durationPicos() * 1e-12));
        trackOf = new int[log.size()];
        confidence = new float[log.size()];
        freeOfWire = new boolean[log.size()];
        Arrays.fill(trackOf, -1);
        if (layout == null) return;
        for (Message m : layout.messages()) layoutPeriods.put(MessageKey.of(m), m.everySeconds());
    }

    /**
     * @param log          finished; frames of several messages in time order
     * @param gaps         stretches that were not recorded
     * @param layoutOrNull nominal periods where it documents them
     */
    public static SenderFindings find(FrameLog log, BusInfo bus, List<Gap> gaps, Layout layoutOrNull) {
        Senders senders = new Senders(log, bus, gaps, layoutOrNull);
        for (MessageFrames m : FrameSplit.split(log, bus)) senders.message(m);
        return senders.findings();
    }

    private void message(MessageFrames frames) {
        double layoutPeriod = layoutPeriods.getOrDefault(frames.key, Double.NaN);
        MessageSolution s = MessageSolution.solve(frames, log, tick, time, layoutPeriod);
        int schedules = s.trains.size();
        double[] nominal = new double[schedules];
        for (int c = 0; c < schedules; c++) nominal[c] = Nominal.of(s.trains.get(c).meanPeriod, layoutPeriod);
        timings.add(new TimingFacts(s, time).gather(tracks.size(), nominal));
        if (asked) {
            heaps(frames, s, nominal);
            return;
        }
        int first = tracks.size();
        int labels = schedules + 2;
        int[] counts = new int[labels];
        int[] free = new int[labels];
        double[] from = new double[labels];
        double[] until = new double[labels];
        for (int i = 0; i < frames.count; i++) {
            if (s.confidence[i] < SURE) continue;
            int c = s.label[i];
            if (counts[c]++ == 0) from[c] = frames.at[i];
            until[c] = frames.at[i];
            if (log.isFreeStart(frames.frame[i])) free[c]++;
        }
        for (int c = 0; c < schedules; c++) {
            Train t = s.trains.get(c);
            Track track = new Track(tracks.size(), frames.key, true, t.meanPeriod, t.periodError(), nominal[c],
                    t.fits.get(0).anchor(), t.jitter, counts[c], free[c], from[c], until[c], t.restarts, -1);
            tracks.add(track);
            entries.add(Double.isNaN(nominal[c]) ? null : new ClockGroups.Entry(frames, t, nominal[c],
                    track.clockPpm(), track.clockPpmError()));
        }
        int[] trackOfLabel = new int[labels];
        for (int c = 0; c < schedules; c++) trackOfLabel[c] = first + c;
        for (int c = schedules; c < labels; c++) {
            boolean events = counts[c] >= FEWEST_EVENTS || schedules == 0 && counts[c] > 0 && c == 0;
            trackOfLabel[c] = events ? tracks.size() : -1;
            if (!events) continue;
            tracks.add(new Track(tracks.size(), frames.key, false, Double.NaN, Double.NaN, Double.NaN, Double.NaN,
                    Double.NaN, counts[c], free[c], from[c], until[c], 0, -1));
            entries.add(null);
        }
        for (int i = 0; i < frames.count; i++) {
            int f = frames.frame[i];
            confidence[f] = s.confidence[i];
            freeOfWire[f] = s.freeOfWire[i];
            if (s.confidence[i] >= SURE) trackOf[f] = trackOfLabel[s.label[i]];
        }
    }

    /**
     * One track for each heap of bit lengths; where there is one heap, the schedule that the master gives it. Where
     * several nodes answer by design each names itself in the first byte, and the heaps of each are looked for apart.
     */
    private void heaps(MessageFrames frames, MessageSolution s, double[] nominal) {
        if (shared.containsKey(frames.key)) {
            for (MessageFrames one : frames.byFirstByte(log)) heaps(one, null);
        } else {
            Train only = s.trains.size() == 1 ? s.trains.get(0) : null;
            heaps(frames, only == null ? null : new Only(only, nominal[0]));
        }
    }

    /** The one schedule of a message. */
    private record Only(Train train, double nominalSeconds) {}

    private void heaps(MessageFrames frames, Only schedule) {
        AnswerSplit split = AnswerSplit.of(frames, log);
        int first = tracks.size();
        for (int h = 0; h < (split == null ? 1 : 2); h++) {
            int n = 0;
            double from = Double.NaN;
            double until = Double.NaN;
            for (int i = 0; i < frames.count; i++) {
                int heap = split == null ? 0 : split.heap[i];
                if (heap != h) continue;
                if (n++ == 0) from = frames.at[i];
                until = frames.at[i];
                trackOf[frames.frame[i]] = first + h;
                confidence[frames.frame[i]] = split == null ? 1 : split.confidence[i];
            }
            if (n == 0) continue;
            Train t = split == null && schedule != null ? schedule.train() : null;
            tracks.add(t == null ? new Track(first + h, frames.key, false, Double.NaN, Double.NaN, Double.NaN,
                    Double.NaN, Double.NaN, n, n, from, until, 0, -1)
                    : new Track(first + h, frames.key, true, t.meanPeriod, t.periodError(), schedule.nominalSeconds(),
                            t.fits.get(0).anchor(), t.jitter, n, n, from, until, t.restarts, -1));
        }
    }

    private SenderFindings findings() {
        if (asked) return WireGroups.of(tracks, timings, trackOf, confidence, log, shared);
        ClockGroups groups = new ClockGroups(entries);
        List<List<Integer>> members = new ArrayList<>();
        for (int g = 0; g < groups.clocks.size(); g++) members.add(new ArrayList<>());
        List<Track> grouped = new ArrayList<>();
        for (Track t : tracks) {
            int g = groups.groupOf[t.index()];
            if (g >= 0) members.get(g).add(t.index());
            grouped.add(new Track(t.index(), t.key(), t.cyclic(), t.periodSeconds(), t.periodErrorSeconds(),
                    t.nominalSeconds(), t.anchorSeconds(), t.jitterSeconds(), t.frames(), t.freeStarts(),
                    t.fromSeconds(), t.untilSeconds(), t.restarts(), g));
        }
        List<ClockGroup> clocks = new ArrayList<>();
        for (int g = 0; g < members.size(); g++) {
            clocks.add(new ClockGroup(g, groups.clocks.get(g)[0], groups.clocks.get(g)[1], members.get(g)));
        }
        return new SenderFindings(grouped, clocks, timings, trackOf, confidence, Map.of()).freeOfWire(freeOfWire);
    }
}
