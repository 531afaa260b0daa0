package buswitness.calibrate;

import buswitness.calibrate.Drawing.Mark;
import buswitness.calibrate.Outcome.ClashOutcome;
import buswitness.calibrate.Outcome.Judged;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;

/** The main figures of a run as pictures, each with its exact 95 % interval; nothing is smoothed. */
final class RatePlots {
    private static final int WIDTH = 780;
    /** Edges of the classes of separation, in standard errors. */
    private static final double[] CLASSES = {0, 1, 2, 4, 6, 10, 20, 50, 200, Double.POSITIVE_INFINITY};

    private final List<Outcome> sound;

    private RatePlots(List<Outcome> sound) {
        this.sound = sound;
    }

    /** File names and what goes into them. */
    static Map<String, String> of(Outcome[] outcomes) {
        RatePlots plots = new RatePlots(Arrays.stream(outcomes).filter(o -> o.failure() == null).toList());
        Map<String, String> files = new LinkedHashMap<>();
        files.put("detection.svg", plots.detection());
        files.put("false-accusations.svg", plots.falseAccusations());
        files.put("attribution.svg", plots.attribution());
        return files;
    }

    private List<ClashOutcome> clashes(double fromSeconds) {
        List<ClashOutcome> all = new ArrayList<>();
        for (Outcome o : sound) {
            if (o.bus().scenario().durationSeconds() >= fromSeconds) all.addAll(o.clashes());
        }
        return all;
    }

    // Detection against separation, one panel a kind.

    private String detection() {
        Drawing paper = new Drawing(WIDTH, 676, "Clashes found, by how far the truth sets the senders apart");
        paper.soft(12, 42, "A mark is a share of the clashes in its class, the bar its 95 % interval; below the edges "
                + "of the classes, in", "start");
        paper.soft(12, 58, "standard errors, stands how many clashes lie in each. Target: 99 % found right of the "
                + "dashed line, given 20 s.", "start");
        paper.mark(Mark.DISC, 18, 76, Drawing.BLUE);
        paper.text(28, 80, "found", "start");
        paper.mark(Mark.SQUARE, 98, 76, Drawing.RUST);
        paper.text(108, 80, "called one sender (the rest is undecided)", "start");
        List<ClashOutcome> all = clashes(0);
        panel(paper, 0, "by schedules, whatever the other kinds show", all, c -> c.separation().schedules());
        panel(paper, 1, "by payload, whatever the other kinds show", all, c -> c.separation().payload());
        panel(paper, 2, "on the wire, whatever the other kinds show", all, c -> c.separation().wire());
        panel(paper, 3, "by the clearest kind, 20 s or more", clashes(20), c -> c.separation().best());
        return paper.svg();
    }

    private static void panel(Drawing paper, int which, String name, List<ClashOutcome> all,
                              ToDoubleFunction<ClashOutcome> separation) {
        double left = 56 + which % 2 * 370;
        double wide = 336;
        double top = 120 + which / 2 * 284;
        double bottom = top + 200;
        paper.bold(left, top - 10, name);
        for (int share = 0; share <= 100; share += 25) {
            double y = bottom - (bottom - top) * share / 100;
            paper.line(left, y, left + wide, y, Drawing.FAINT, 1);
            if (which % 2 == 0) paper.soft(left - 8, y + 4, share + " %", "end");
        }
        int classes = CLASSES.length - 1;
        double step = wide / classes;
        for (int i = 0; i < classes; i++) {
            double low = CLASSES[i];
            double high = CLASSES[i + 1];
            List<ClashOutcome> in = all.stream().filter(c -> separation.applyAsDouble(c) >= low
                    && separation.applyAsDouble(c) < high).toList();
            double x = left + (i + 0.5) * step;
            if (low == 6) paper.dashed(x - step / 2, top, x - step / 2, bottom, Drawing.SOFT);
            // The edge of a class stands under its left end.
            paper.soft(x - step / 2, bottom + 16, String.format(Locale.ROOT, "%.0f", low), "middle");
            paper.text(x, bottom + 34, String.valueOf(in.size()), "middle");
            if (in.isEmpty()) continue;
            share(paper, in, Judged.MISSED, x + 4, top, bottom, Mark.SQUARE, Drawing.RUST);
            share(paper, in, Judged.FOUND, x - 4, top, bottom, Mark.DISC, Drawing.BLUE);
        }
    }

    private static void share(Drawing paper, List<ClashOutcome> in, Judged judged, double x, double top, double bottom,
                              Mark mark, String colour) {
        long hits = in.stream().filter(c -> c.judged() == judged).count();
        double high = bottom - top;
        paper.upright(x, bottom - high * Bound.low(hits, in.size()), bottom - high * Bound.high(hits, in.size()),
                colour);
        paper.mark(mark, x, bottom - high * hits / in.size(), colour);
    }

    // False accusations by confounder.

    private String falseAccusations() {
        List<Outcome> single = sound.stream().filter(o -> !RandomBus.isClash(o.seed())).toList();
        int rows = Confounder.values().length + 1;
        Drawing paper = new Drawing(WIDTH, 116 + 18 * rows, "Buses with one sender a message, by innocent habit");
        paper.soft(12, 42, "A bus has one to six habits. Share of the buses with each, and its 95 % interval.",
                "start");
        paper.mark(Mark.TRIANGLE, 18, 60, Drawing.RUST);
        paper.text(28, 64, "falsely accused", "start");
        paper.mark(Mark.DISC, 148, 60, Drawing.SAND);
        paper.text(158, 64, "with an undecided message", "start");
        double left = 430;
        double right = WIDTH - 24;
        double most = 0.05;
        List<Row> all = new ArrayList<>();
        all.add(Row.of("all of them", single, o -> true));
        for (Confounder c : Confounder.values()) {
            all.add(Row.of(c.text, single, o -> o.bus().confounders().contains(c)));
        }
        for (Row r : all) if (r.of > 0) most = Math.max(most, Bound.high(Math.max(r.accused, r.undecided), r.of));
        most = Math.min(1, Math.ceil(most * 10) / 10);
        double bottom = 92 + 18 * rows;
        for (int tick = 0; tick <= 5; tick++) {
            double x = left + (right - left) * tick / 5;
            paper.line(x, 84, x, bottom, Drawing.FAINT, 1);
            paper.soft(x, bottom + 16, String.format(Locale.ROOT, "%.0f %%", 100 * most * tick / 5), "middle");
        }
        for (int i = 0; i < all.size(); i++) {
            Row r = all.get(i);
            double y = 96 + 18 * i;
            if (i == 0) paper.bold(12, y + 4, r.name);
            else paper.text(12, y + 4, PlotWords.cut(r.name, 66), "start");
            paper.soft(left - 8, y + 4, String.valueOf(r.of), "end");
            if (r.of == 0) continue;
            double scale = (right - left) / most;
            row(paper, Mark.DISC, r.undecided, r.of, left, scale, y + 3, Drawing.SAND);
            row(paper, Mark.TRIANGLE, r.accused, r.of, left, scale, y - 3, Drawing.RUST);
        }
        return paper.svg();
    }

    private static void row(Drawing paper, Mark mark, long hits, long of, double left, double scale, double y,
                            String colour) {
        paper.lying(left + scale * Bound.low(hits, of), left + scale * Bound.high(hits, of), y, colour);
        paper.mark(mark, left + scale * hits / of, y, colour);
    }

    private record Row(String name, long accused, long undecided, long of) {
        static Row of(String name, List<Outcome> single, Predicate<Outcome> with) {
            List<Outcome> chosen = single.stream().filter(with).toList();
            return new Row(name, chosen.stream().filter(Outcome::falselyAccused).count(),
                    chosen.stream().filter(o -> o.undecided() > 0).count(), chosen.size());
        }
    }

    // Frames to their senders, in and out of crossings.

    private String attribution() {
        Drawing paper = new Drawing(WIDTH, 330, "Frames of clashes found, given to their senders");
        paper.soft(12, 42, "In a crossing: a frame nearer to one of the other sender than their jitter and a frame's "
                + "length.", "start");
        String[] names = {"to the right sender", "left open", "to the wrong one"};
        String[] colours = {Drawing.BLUE, Drawing.SAND, Drawing.RUST};
        double x = 12;
        for (int i = 0; i < names.length; i++) {
            paper.bar(x, 55, 12, 12, colours[i]);
            paper.text(x + 18, 65, names[i], "start");
            x += 150;
        }
        List<ClashOutcome> all = clashes(0).stream().filter(c -> c.judged() == Judged.FOUND).toList();
        List<ClashOutcome> clear = clashes(20).stream().filter(c -> c.judged() == Judged.FOUND
                && c.separation().best() >= Separation.ENOUGH).toList();
        bars(paper, 96, "separated by 6 or more, 20 s or more (" + clear.size() + " clashes)", clear, colours);
        bars(paper, 206, "all found (" + all.size() + " clashes)", all, colours);
        return paper.svg();
    }

    private static void bars(Drawing paper, double y, String title, List<ClashOutcome> cases, String[] colours) {
        paper.bold(12, y, title);
        long outside = cases.stream().mapToLong(ClashOutcome::outside).sum();
        long right = cases.stream().mapToLong(ClashOutcome::right).sum();
        long open = cases.stream().mapToLong(ClashOutcome::open).sum();
        bar(paper, y + 12, "outside crossings", new long[] {right, open, outside - right - open}, colours);
        long inside = cases.stream().mapToLong(ClashOutcome::inside).sum();
        right = cases.stream().mapToLong(ClashOutcome::insideRight).sum();
        open = cases.stream().mapToLong(ClashOutcome::insideOpen).sum();
        bar(paper, y + 52, "in crossings", new long[] {right, open, inside - right - open}, colours);
    }

    private static void bar(Drawing paper, double y, String name, long[] parts, String[] colours) {
        long all = Arrays.stream(parts).sum();
        paper.text(12, y + 14, name, "start");
        if (all == 0) {
            paper.soft(150, y + 14, "no frames", "start");
            return;
        }
        double x = 150;
        double wide = WIDTH - 24 - x;
        for (int i = 0; i < parts.length; i++) {
            paper.bar(x, y, wide * parts[i] / all, 18, colours[i]);
            x += wide * parts[i] / all;
        }
        paper.soft(150, y + 32, String.format(Locale.ROOT, "%,d frames: %s right, %s open, %s wrong", all,
                PlotWords.percent(parts[0], all), PlotWords.percent(parts[1], all), PlotWords.percent(parts[2], all)),
                "start");
    }
}
