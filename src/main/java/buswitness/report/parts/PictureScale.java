package buswitness.report.parts;

import java.util.ArrayList;
import java.util.List;

/** Straight scale with round marks: 1, 2 or 5 times a power of ten apart. */
public final class PictureScale {
    /** A mark on an axis. */
    public record Tick(String at, String label) {}

    private final double low;
    private final double high;
    private final double start;
    private final double end;

    /** Values {@code low..high} onto {@code start..end}. */
    public PictureScale(double low, double high, double start, double end) {
        this.low = low;
        this.high = high > low ? high : low + 1;
        this.start = start;
        this.end = end;
    }

    public double at(double value) {
        return start + (value - low) / (high - low) * (end - start);
    }

    public List<Tick> ticks(int about, String unit) {
        double rough = (high - low) / Math.max(1, about);
        double power = Math.pow(10, Math.floor(Math.log10(rough)));
        double step = rough / power < 1.5 ? power : rough / power < 3.5 ? 2 * power : rough / power < 7.5 ? 5 * power
                : 10 * power;
        int decimals = (int) Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
        List<Tick> ticks = new ArrayList<>();
        for (long k = (long) Math.ceil(low / step - 1e-9); k * step <= high + step * 1e-9; k++) {
            ticks.add(new Tick(Shapes.n(at(k * step)), Figures.fixed(k * step, decimals) + unit));
        }
        return ticks;
    }
}
