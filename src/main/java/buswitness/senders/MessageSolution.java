package buswitness.senders;

import buswitness.frames.FrameLog;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;

/** One message solved: its schedules, and for each frame a label (labels after the last schedule: events). */
final class MessageSolution {
    /** A label from here on is taken for certain. */
    static final float SURE = 0.9f;
    private static final float SHARP = 0.95f;
    private static final float MEMBER = 0.8f;
    private static final int FEWEST_MEMBERS = 4;
    private static final double DECIDES = 2;
    private static final int PASSES = 4;

    final MessageFrames frames;
    final List<Train> trains;
    /** Null where the wire shows no two transmitters. */
    private final WireSplit split;
    /** Heap of each train where there are two. */
    private final List<Integer> heaps;
    byte[] label;
    float[] confidence;
    int[] tooth;
    /** The frame's label was sure before the wire was looked at. */
    final boolean[] freeOfWire;

    private MessageSolution(MessageFrames frames, List<Train> trains, WireSplit split, List<Integer> heaps) {
        this.frames = frames;
        this.trains = trains;
        this.split = split;
        this.heaps = heaps;
        freeOfWire = new boolean[frames.count];
    }

    /** @param layoutPeriod NaN where no layout gives one */
    static MessageSolution solve(MessageFrames frames, FrameLog log, TickStep tick, RecordedTime time,
                                 double layoutPeriod) {
        return solve(frames, log, tick, time, layoutPeriod, WireSplit.of(frames, log, tick));
    }

    private static MessageSolution solve(MessageFrames frames, FrameLog log, TickStep tick, RecordedTime time,
                                         double layoutPeriod, WireSplit split) {
        List<Train> trains = new ArrayList<>();
        Map<Train, Integer> heaps = new IdentityHashMap<>();
        for (int heap = 0; heap < (split == null ? 1 : 2); heap++) {
            boolean[] taken = new boolean[frames.count];
            for (int i = 0; i < frames.count && split != null; i++) taken[i] = split.heap[i] != heap;
            List<Train> found = new Separation(frames, time, layoutPeriod).find(taken);
            if (split == null) found = EvenOdd.of(found, frames, log, tick, time);
            for (Train t : found) {
                trains.add(t);
                heaps.put(t, heap);
            }
        }
        trains.sort(Comparator.comparingInt(t -> -t.members()));
        if (trains.size() > Attribution.MOST_TRAINS) {
            trains = new ArrayList<>(trains.subList(0, Attribution.MOST_TRAINS));
        }
        trains.sort(Comparator.comparingDouble(Train::from));
        MessageSolution solution = new MessageSolution(frames, trains, split,
                new ArrayList<>(trains.stream().map(heaps::get).toList()));
        int members = 0;
        for (Train t : trains) members += t.members();
        if (trains.size() == 1 && members == frames.count || trains.isEmpty()) solution.plain();
        else solution.iterate(log, tick, time);
        if (split != null) solution.events();
        return solution;
    }

    /** Frames on no comb by their heap: those of the second get a label of their own. */
    private void events() {
        for (int i = 0; i < frames.count; i++) {
            if (label[i] < trains.size()) continue;
            if (split.heap[i] < 0) confidence[i] = 0;
            else label[i] = (byte) (trains.size() + split.heap[i]);
        }
    }

    private void plain() {
        label = new byte[frames.count];
        confidence = new float[frames.count];
        Arrays.fill(confidence, 1);
        Arrays.fill(freeOfWire, split == null);
        tooth = new int[frames.count];
        if (trains.isEmpty()) return;
        Train t = trains.get(0);
        int hint = 0;
        for (int i = 0; i < frames.count; i++) tooth[i] = hint = t.nearest(frames.at[i], hint);
    }

    /** By timing and payload, or by heap; last, where frames are not sorted by heap, the wire has its say too. */
    private void iterate(FrameLog log, TickStep tick, RecordedTime time) {
        double events = frames.count;
        for (Train t : trains) events -= t.members();
        Attribution.EmissionTerms terms = (i, c) -> 0;
        for (int pass = 0; pass < PASSES; pass++) {
            Attribution.EmissionTerms heap = split == null ? (i, c) -> 0 : this::heapCost;
            if (pass > 0) {
                PayloadTerm payload = new PayloadTerm(frames, trains.size() + 1, label, confidence);
                CheckTerm check = new CheckTerm(frames, log, trains.size(), label, confidence);
                terms = (i, c) -> payload.cost(i, c) + heap.cost(i, c) + check.cost(i, c);
            } else {
                terms = heap;
            }
            events = attribute(time, events, terms);
            if (pass + 1 == PASSES) break;
            if (split == null && new CrossingRepair(frames, trains, label, confidence).run()) {
                for (Train t : trains) t.refit(frames, time);
            } else {
                rebuild(time);
            }
        }
        doubt(terms);
        if (split != null) return;
        for (int i = 0; i < frames.count; i++) freeOfWire[i] = confidence[i] >= SURE;
        WireTerm wire = new WireTerm(frames, log, tick, trains.size(), label, confidence);
        if (!wire.tells()) return;
        byte[] before = label;
        Attribution.EmissionTerms free = terms;
        Attribution.EmissionTerms all = (i, c) -> free.cost(i, c) + wire.cost(i, c);
        attribute(time, events, all);
        doubt(all);
        for (int i = 0; i < frames.count; i++) freeOfWire[i] &= label[i] == before[i];
    }

    /** Labels every frame. @return how many are on no comb */
    private double attribute(RecordedTime time, double events, Attribution.EmissionTerms terms) {
        Attribution a = new Attribution(frames, trains, time, events, terms);
        a.run();
        label = a.label;
        confidence = a.confidence;
        tooth = a.tooth;
        int off = 0;
        for (int i = 0; i < frames.count; i++) if (label[i] == trains.size()) off++;
        return off;
    }

    private double heapCost(int i, int c) {
        return c < trains.size() ? split.cost(i, heaps.get(c)) : 0;
    }

    /** Where two combs meet their timing names nobody: a frame there keeps its label only if payload or wire decide. */
    private void doubt(Attribution.EmissionTerms terms) {
        for (int a = 0; a < trains.size(); a++) {
            for (int b = a + 1; b < trains.size(); b++) {
                Train first = trains.get(a);
                Train second = trains.get(b);
                double close = TimingFacts.CROSSING * Math.hypot(first.jitter, second.jitter);
                int ha = 0;
                int hb = 0;
                for (int i = 0; i < frames.count; i++) {
                    ha = first.nearest(frames.at[i], ha);
                    hb = second.nearest(frames.at[i], hb);
                    boolean apart = Math.abs(first.tooth[ha] - second.tooth[hb]) > close;
                    if (apart || label[i] != a && label[i] != b) continue;
                    boolean decided = Math.abs(terms.cost(i, a) - terms.cost(i, b)) >= DECIDES;
                    if (!decided) confidence[i] = Math.min(0.5f, confidence[i]);
                }
            }
        }
    }

    /** Members as now attributed; a schedule that lost its frames goes, and the labels close up. */
    private void rebuild(RecordedTime time) {
        for (int c = trains.size() - 1; c >= 0; c--) {
            Train t = trains.get(c);
            List<Comb> anew = new ArrayList<>();
            for (Comb old : t.combs) {
                Comb comb = new Comb();
                comb.rangeFirst = old.layFirst();
                comb.rangeLast = old.layLast();
                anew.add(comb);
            }
            for (int i = 0; i < frames.count; i++) {
                if (label[i] != c || confidence[i] < MEMBER || tooth[i] < 0) continue;
                Comb comb = anew.get(t.combOf[tooth[i]]);
                int number = t.numberOf[tooth[i]];
                if (comb.size > 0 && number <= comb.lastTooth()) continue;
                comb.add(number, i, frames.free[i] && confidence[i] >= SHARP);
            }
            anew.removeIf(comb -> comb.size < FEWEST_MEMBERS);
            if (anew.isEmpty()) {
                trains.remove(c);
                heaps.remove(c);
                for (int i = 0; i < frames.count; i++) {
                    if (label[i] == c) label[i] = (byte) trains.size();
                    else if (label[i] > c) label[i]--;
                }
                continue;
            }
            t.restarts = Math.min(t.restarts, anew.size() - 1);
            t.combs.clear();
            t.combs.addAll(anew);
            t.refit(frames, time);
        }
    }

    /** The schedule with most frames, or -1. */
    int main() {
        int[] n = new int[trains.size() + 2];
        for (byte b : label) n[b]++;
        int best = -1;
        for (int c = 0; c < trains.size(); c++) if (best < 0 || n[c] > n[best]) best = c;
        return best;
    }
}
