package buswitness.report.parts;

import buswitness.instruments.Trace;
import buswitness.schema.Gauge;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeMap;
import java.util.function.DoubleUnaryOperator;
import java.util.function.IntFunction;

/**
 * The lines and marks of a {@link CloseUp}: the samples {@code first} to {@code last} of a trace.
 */
public record TraceDrawing(Trace trace, int first, int last, PictureScale across, PictureScale up) {
    /** Samples in one picture, at most. */
    public static final int SAMPLES = 26;
    private static final int LEFT = 64;
    private static final int TOP = 12;
    private static final int BOTTOM = 208;
    /** Labels nearer to each other than this would touch. */
    private static final int LEAST_APART = 14;

    /** @param low the value at the lower end, {@code high} that at the upper one */
    public static TraceDrawing of(Trace trace, int first, double low, double high) {
        int last = Math.min(trace.atSeconds().length, first + SAMPLES) - 1;
        return new TraceDrawing(trace, first, last, new PictureScale(trace.atSeconds()[first], trace.atSeconds()[last], LEFT + 8,
                CloseUp.WIDTH - 14), new PictureScale(low, high, BOTTOM - 10, TOP + 10));
    }

    public double seconds() {
        return trace.atSeconds()[last] - trace.atSeconds()[first];
    }

    /** What the instrument was told, by sender. */
    public List<CloseUp.Mark> marks(DoubleUnaryOperator height, IntFunction<String> label) {
        TreeMap<Integer, StringBuilder> paths = new TreeMap<>();
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(trace.told()[k])) continue;
            int mark = trace.sender()[k];
            paths.computeIfAbsent(mark, m -> new StringBuilder()).append(Shapes.path(mark, across.at(trace.atSeconds()[k]),
                    up.at(height.applyAsDouble(trace.told()[k])), 4.5));
        }
        List<CloseUp.Mark> marks = new ArrayList<>();
        paths.forEach((mark, path) -> marks.add(new CloseUp.Mark(Shapes.style(mark), Shapes.path(mark, 8, 8, 5),
                path.toString(), new Sentence(label.apply(mark)))));
        return marks;
    }

    /** Marks of a gauge's own scale, those left out that would touch. */
    public List<PictureScale.Tick> scale(Gauge gauge) {
        String unit = gauge.signal().unit().isEmpty() ? "" : "\u00A0" + PlainText.clean(gauge.signal().unit());
        List<PictureScale.Tick> ticks = new ArrayList<>();
        double before = Double.NaN;
        for (int k = 0; k < gauge.values().length; k++) {
            double y = up.at(gauge.shares()[k]);
            if (Math.abs(y - before) < LEAST_APART) continue;
            before = y;
            ticks.add(new PictureScale.Tick(Shapes.n(y), Figures.short3(gauge.values()[k]) + unit));
        }
        return ticks;
    }

    /** Where a gauge's needle stood. */
    public String needle() {
        StringBuilder path = new StringBuilder();
        for (int k = first; k <= last; k++) {
            if (Float.isNaN(trace.shown()[k])) continue;
            path.append(path.length() == 0 ? 'M' : 'L').append(Shapes.n(across.at(trace.atSeconds()[k]))).append(' ')
                    .append(Shapes.n(up.at(trace.shown()[k])));
        }
        return path.toString();
    }

    /** When a lamp was lit. */
    public String bars() {
        StringBuilder path = new StringBuilder();
        for (int k = first; k < last; k++) {
            if (trace.shown()[k] < 0.5) continue;
            double x = across.at(trace.atSeconds()[k]);
            double w = across.at(trace.atSeconds()[k + 1]) - x;
            path.append('M').append(Shapes.n(x)).append(' ').append(TOP + 70).append('h').append(Shapes.n(w))
                    .append("v60h").append(Shapes.n(-w)).append('z');
        }
        return path.toString();
    }
}
