package buswitness.calibrate;

import buswitness.Analysis;
import buswitness.AnalysisReading;
import buswitness.Findings;
import buswitness.frames.Decoded;
import buswitness.frames.FrameLog;
import buswitness.frames.FrameReader;
import buswitness.frames.MessageKey;
import buswitness.map.BusMap;
import buswitness.map.FieldKind;
import buswitness.map.MapMessage;
import buswitness.map.Maps;
import buswitness.map.PayloadField;
import buswitness.map.Rhythm;
import buswitness.problem.NoticeLog;
import buswitness.problem.Progress;
import buswitness.schema.Signal;
import buswitness.simulate.Scenario;
import buswitness.simulate.Simulations;
import buswitness.simulate.TruthSink;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;

/**
 * One map held against the truth of its bus. Counted are: pairs of messages said to have one sender; schedules; bounds
 * between neighbouring bits that both changed; kinds of the parts that changed. What never changed can show no bound.
 */
final class MapScore {
    private static final double PERIOD = 0.001;

    /** Claimed and right of these; there and met of these. */
    static final class Tally {
        long right;
        long met;
        long claimed;
        long there;

        void add(Tally other) {
            right += other.right;
            met += other.met;
            claimed += other.claimed;
            there += other.there;
        }

        double precision() {
            return claimed == 0 ? Double.NaN : (double) right / claimed;
        }

        double recall() {
            return there == 0 ? Double.NaN : (double) met / there;
        }
    }

    final Tally senders = new Tally();
    final Tally periods = new Tally();
    final Tally bounds = new Tally();
    final Tally edges = new Tally();
    final Tally signs = new Tally();
    final Tally orders = new Tally();
    final Map<FieldKind, Tally> kinds = new EnumMap<>(FieldKind.class);
    /** By confidence in tenths: values claimed, and those with right bounds. */
    final long[][] confidence = new long[11][2];
    int messages;
    int buses;
    private Consumer<String> told = line -> {};

    MapScore() {
        for (FieldKind k : FieldKind.values()) kinds.put(k, new Tally());
    }

    static MapScore run(long seed, Consumer<String> told) {
        MapBus bus = MapBus.of(seed);
        Scenario scenario = bus.scenario();
        NoticeLog notices = new NoticeLog(10);
        FrameReader reader = new FrameReader(
                new FrameReader.Options(null, Double.NaN, scenario.recorder().tickPicos()), 0, notices);
        Simulations.run(scenario, reader, TruthSink.NONE);
        Decoded decoded = reader.finish();
        Findings findings = Analysis.judge(new AnalysisReading(scenario.info(), scenario.recorder().line(), null, false,
                decoded, notices.kept(), notices.seen()), Progress.SILENT);
        MapScore score = new MapScore();
        score.told = told;
        score.buses = 1;
        score.count(bus, Maps.draw(List.of(findings), List.of(), null, null));
        return score;
    }

    void add(MapScore other) {
        senders.add(other.senders);
        periods.add(other.periods);
        bounds.add(other.bounds);
        edges.add(other.edges);
        signs.add(other.signs);
        orders.add(other.orders);
        kinds.forEach((k, t) -> t.add(other.kinds.get(k)));
        for (int i = 0; i < confidence.length; i++) {
            confidence[i][0] += other.confidence[i][0];
            confidence[i][1] += other.confidence[i][1];
        }
        messages += other.messages;
        buses += other.buses;
    }

    private void count(MapBus bus, BusMap map) {
        List<MapMessage> known = map.messages().stream().filter(m -> bus.truth().containsKey(m.key())).toList();
        messages = known.size();
        for (int i = 0; i < known.size(); i++) {
            for (int j = i + 1; j < known.size(); j++) pair(bus, known.get(i), known.get(j));
        }
        for (MapMessage m : known) {
            MapBus.Truth truth = bus.truth().get(m.key());
            if (!Double.isNaN(truth.period())) periods.there++;
            if (m.rhythms().stream().anyMatch(r -> Math.abs(r.periodSeconds() / truth.period() - 1) < PERIOD)) periods.met++;
            for (Rhythm r : m.rhythms()) {
                periods.claimed++;
                boolean right = Math.abs(r.periodSeconds() / truth.period() - 1) < PERIOD;
                if (right) periods.right++;
                else told.accept(bus.scenario().name() + String.format(Locale.ROOT, " %s period %.6f of %.6f, %d frames of %d",
                        MessageKey.text(m.key()),
                        r.periodSeconds(), truth.period(), r.frames(), m.frames()));
            }
            payload(map.first().frames(), m, truth, bus.scenario().name());
        }
    }

    private void pair(MapBus bus, MapMessage a, MapMessage b) {
        boolean same = bus.truth().get(a.key()).node().equals(bus.truth().get(b.key()).node());
        boolean said = !a.senders().isEmpty() && a.senders().equals(b.senders());
        if (same) senders.there++;
        if (said) senders.claimed++;
        if (said && same) {
            senders.right++;
            senders.met++;
        }
        if (said && !same) told.accept(bus.scenario().name() + String.format(Locale.ROOT,
                " %s and %s of %s and %s joined", MessageKey.text(a.key()), MessageKey.text(b.key()),
                bus.truth().get(a.key()).node(), bus.truth().get(b.key()).node()));
    }

    private void payload(FrameLog log, MapMessage m, MapBus.Truth truth, String bus) {
        List<byte[]> rows = new ArrayList<>();
        for (int i = 0; i < log.size(); i++) {
            if (log.isWhole(i) && log.key(i) == m.key() && log.dataLength(i) == m.length()) rows.add(log.data(i));
        }
        if (rows.size() < 20) return;
        List<Signal.Page> pages = new ArrayList<>();
        for (MapBus.Part p : truth.parts()) {
            Signal.Page shown = p.signal().page();
            if (shown != null && !pages.contains(shown)) pages.add(shown);
        }
        if (pages.isEmpty()) pages.add(null);
        for (Signal.Page page : pages) page(rows, m, truth, page, page == pages.get(0), bus);
    }

    private void page(List<byte[]> rows, MapMessage m, MapBus.Truth truth, Signal.Page page, boolean first, String bus) {
        int bits = 8 * m.length();
        boolean[] changed = changed(rows, page, bits);
        boolean[] ever = changed(rows, null, bits);
        int[] trueOf = new int[bits];
        int[] foundOf = new int[bits];
        Arrays.fill(trueOf, -1);
        Arrays.fill(foundOf, -1);
        for (int p = 0; p < truth.parts().size(); p++) {
            Signal s = truth.parts().get(p).signal();
            if (s.page() != null && !s.page().equals(page)) continue;
            for (int b = s.firstBit(); b < s.firstBit() + s.width(); b++) trueOf[b] = p;
        }
        for (int f = 0; f < m.fields().size(); f++) {
            PayloadField field = m.fields().get(f);
            boolean shown = field.page() == null || page != null && field.page().value() == page.value();
            if (!shown || field.kind() == FieldKind.CONSTANT) continue;
            for (int b = field.firstBit(); b < field.endBit(); b++) foundOf[b] = f;
        }
        for (int b = 1; b < bits; b++) {
            if (!changed[b - 1] || !changed[b] || trueOf[b - 1] < 0 || trueOf[b] < 0) continue;
            boolean there = trueOf[b - 1] != trueOf[b];
            boolean said = foundOf[b - 1] != foundOf[b];
            Tally t = b % 8 == 0 ? edges : bounds;
            if (there) t.there++;
            if (said) t.claimed++;
            if (said && there) {
                t.right++;
                t.met++;
            }
            if (said != there) {
                told.accept(String.format(Locale.ROOT, "%s %s %s bound at %d of %d rows, truth %s|%s, found %s|%s", bus,
                        MessageKey.text(m.key()), said ? "false" : "missed", b, rows.size(), part(truth, trueOf[b - 1]),
                        part(truth, trueOf[b]), found(m, foundOf[b - 1]), found(m, foundOf[b])));
            }
        }
        for (int p = 0; p < truth.parts().size(); p++) {
            MapBus.Part part = truth.parts().get(p);
            if (page != null && part.signal().page() == null && !first) continue;
            if (part.signal().page() != null && !part.signal().page().equals(page)) continue;
            part(m, part, part.signal().page() == null ? ever : changed, foundOf, bus);
        }
        for (int f = 0; f < m.fields().size(); f++) {
            PayloadField field = m.fields().get(f);
            boolean claims = field.kind() != FieldKind.CONSTANT && field.kind() != FieldKind.UNCLEAR;
            if (!claims || field.page() == null && !first) continue;
            if (field.page() != null && (page == null || field.page().value() != page.value())) continue;
            claimed(field, truth, trueOf, field.page() == null ? ever : changed);
        }
    }

    private static String part(MapBus.Truth t, int p) {
        if (p < 0) return "-";
        Signal s = t.parts().get(p).signal();
        return t.parts().get(p).kind() + "" + s.width() + (s.lowByteFirst() ? "L" : "") + (s.signed() ? "S" : "");
    }

    private static String found(MapMessage m, int f) {
        return f < 0 ? "-" : m.fields().get(f).kind() + "" + m.fields().get(f).width() + (m.fields().get(f).lowByteFirst() ? "L" : "");
    }

    private static boolean[] changed(List<byte[]> rows, Signal.Page page, int bits) {
        boolean[] changed = new boolean[bits];
        byte[] reference = null;
        for (byte[] row : rows) {
            if (page != null && new Signal("", page.firstBit(), page.width(), false, false, 1, 0, "", Double.NaN, null)
                    .raw(row) != page.value()) continue;
            if (reference == null) reference = row;
            for (int b = 0; b < bits; b++) changed[b] |= ((row[b >> 3] ^ reference[b >> 3]) >> 7 - (b & 7) & 1) != 0;
        }
        return changed;
    }

    /** A true part counts where at least one of its bits changed; it is found where the kind of the field there is right. */
    private void part(MapMessage m, MapBus.Part part, boolean[] changed, int[] foundOf, String bus) {
        Signal s = part.signal();
        boolean any = false;
        boolean right = false;
        for (int b = s.firstBit(); b < s.firstBit() + s.width(); b++) {
            if (!changed[b]) continue;
            any = true;
            right |= foundOf[b] >= 0 && m.fields().get(foundOf[b]).kind() == part.kind();
        }
        if (!any) return;
        kinds.get(part.kind()).there++;
        if (right) kinds.get(part.kind()).met++;
        else told.accept(String.format(Locale.ROOT, "%s %s %s at %d width %d not found", bus, MessageKey.text(m.key()),
                part.kind(), s.firstBit(), s.width()));
    }

    /** A field claimed is right in kind where all its changing bits belong to one true part of that kind. */
    private void claimed(PayloadField field, MapBus.Truth truth, int[] trueOf, boolean[] changed) {
        int part = -2;
        boolean one = true;
        for (int b = field.firstBit(); b < field.endBit(); b++) {
            if (!changed[b]) continue;
            if (part == -2) part = trueOf[b];
            one &= part == trueOf[b];
        }
        if (part == -2) return;
        boolean kind = part >= 0 && truth.parts().get(part).kind() == field.kind();
        Tally t = kinds.get(field.kind());
        t.claimed++;
        if (!kind) return;
        t.right++;
        if (field.kind() != FieldKind.VALUE) return;
        Signal s = truth.parts().get(part).signal();
        boolean whole = one;
        for (int b = s.firstBit(); b < s.firstBit() + s.width(); b++) {
            whole &= !changed[b] || b >= field.firstBit() && b < field.endBit();
        }
        int bin = (int) Math.floor(field.confidence() * 10);
        confidence[bin][0]++;
        if (whole) confidence[bin][1]++;
        if (!whole) return;
        if (field.signed()) signs.claimed++;
        if (s.signed()) signs.there++;
        if (s.signed() && field.signed()) {
            signs.right++;
            signs.met++;
        }
        if (s.width() == 16 && field.width() == 16) {
            if (field.lowByteFirst()) orders.claimed++;
            if (s.lowByteFirst()) orders.there++;
            if (field.lowByteFirst() && s.lowByteFirst()) {
                orders.right++;
                orders.met++;
            }
        }
    }
}
