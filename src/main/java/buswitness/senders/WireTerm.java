package buswitness.senders;

import buswitness.frames.FrameLog;
import buswitness.stats.Robust;
import java.util.Arrays;

/**
 * How well a frame's bit length and asymmetry fit those of a label's sure frames, each with its own error. Where the
 * tick is so coarse that a frame's error hides the labels' difference, the term is flat by itself.
 */
final class WireTerm implements Attribution.EmissionTerms {
    private static final int FEWEST = 8;
    private static final double CEILING = 8;

    private final MessageFrames frames;
    private final FrameLog log;
    private final double[] ppm;
    private final double[] ppmSpread;
    private final double[] asymmetry;
    private final double[] asymmetrySpread;
    /** Every schedule has enough frames with wire timing; else the term says nothing. */
    private final boolean known;
    /**
     * The labels lie further apart than rounding sets frames of one sender; else they would be sorted by their
     * rounding.
     */
    private final boolean ppmTells;
    private final boolean asymmetryTells;

    /** @param schedules labels below this are schedules; the event label is compared only where it is known too */
    WireTerm(MessageFrames frames, FrameLog log, TickStep tick, int schedules, byte[] label,
             float[] confidence) {
        this.frames = frames;
        this.log = log;
        int labels = schedules + 1;
        ppm = new double[labels];
        ppmSpread = new double[labels];
        asymmetry = new double[labels];
        asymmetrySpread = new double[labels];
        boolean all = true;
        for (int c = 0; c < labels; c++) {
            double[] p = new double[frames.count];
            double[] a = new double[frames.count];
            double[] pe = new double[frames.count];
            double[] ae = new double[frames.count];
            int n = 0;
            for (int i = 0; i < frames.count; i++) {
                int f = frames.frame[i];
                if (label[i] != c || confidence[i] < PayloadTerm.SURE || Float.isNaN(log.bitPpm(f))
                        || Float.isNaN(log.asymmetryNanos(f))) continue;
                p[n] = log.bitPpm(f);
                pe[n] = log.bitPpmError(f);
                a[n] = log.asymmetryNanos(f);
                ae[n++] = log.asymmetryErrorNanos(f);
            }
            if (n < FEWEST) {
                ppm[c] = asymmetry[c] = Double.NaN;
                if (c < schedules) all = false;
                continue;
            }
            ppm[c] = Robust.median(p, n);
            asymmetry[c] = Robust.median(a, n);
            ppmSpread[c] = excess(Robust.spread(p, n, ppm[c]), Robust.median(pe, n));
            asymmetrySpread[c] = excess(Robust.spread(a, n, asymmetry[c]), Robust.median(ae, n));
        }
        known = all;
        double bits = frames.count == 0 ? 0 : tick.bits(log, frames.frame[frames.count / 2]);
        boolean inStep = tick.inStep(Double.isNaN(ppm[0]) ? 0 : ppm[0], bits);
        ppmTells = !inStep || range(ppm) > tick.mostRounding(WireMean.Trait.BIT_PPM, bits);
        asymmetryTells = !inStep || range(asymmetry) > tick.mostRounding(WireMean.Trait.ASYMMETRY_NANOS, bits);
    }

    private static double range(double[] of) {
        return Arrays.stream(of).filter(v -> !Double.isNaN(v)).max().orElse(0)
                - Arrays.stream(of).filter(v -> !Double.isNaN(v)).min().orElse(0);
    }

    /** Spread beyond what a frame's own error explains: drift within the recording, temperature. */
    private static double excess(double spread, double error) {
        return Math.sqrt(Math.max(0, spread * spread - error * error));
    }

    boolean tells() {
        return known && (ppmTells || asymmetryTells);
    }

    @Override
    public double cost(int i, int c) {
        if (!tells()) return 0;
        int f = frames.frame[i];
        double p = log.bitPpm(f);
        double a = log.asymmetryNanos(f);
        if (Double.isNaN(p) || Double.isNaN(a)) return 0;
        // An event label that is not known on its own is nobody's: as dear as a middling fit.
        if (Double.isNaN(ppm[c])) return 2;
        return Math.min(CEILING, (ppmTells ? part(p, ppm[c], log.bitPpmError(f), ppmSpread[c]) : 0)
                + (asymmetryTells ? part(a, asymmetry[c], log.asymmetryErrorNanos(f), asymmetrySpread[c]) : 0));
    }

    private static double part(double value, double mean, double error, double spread) {
        double sd = Math.max(1e-9, Math.hypot(error, spread));
        double u = (value - mean) / sd;
        return u * u / 2 + Math.log(sd / Math.max(1e-9, error));
    }
}
