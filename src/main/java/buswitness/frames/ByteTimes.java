package buswitness.frames;

/**
 * Times the node that sends bytes. Each byte begins anew with its start bit, so only edges within a byte are compared:
 * {@code edge = start + n * bit + shift * [ends an active run]}, least squares with one start a byte (analysis of
 * covariance; N. R. Draper and H. Smith, Applied Regression Analysis, 3rd ed. 1998, clause 14). Sums only.
 */
final class ByteTimes {
    private static final int FEWEST_EDGES = 6;
    /** Bytes follow one another at whole ticks where the spacing of their starts varies less, in ticks squared. */
    private static final double IN_STEP = 0.12;
    private static final int FEWEST_SPACINGS = 3;
    /** Scatter in ticks squared beyond which edges have jitter enough of their own to part them from the tick. */
    private static final double DITHERED = 0.5;
    private static final double LONGEST_SPACING_BITS = 12.5;

    private final double nominalPicos;
    private final double tickPicos;

    /** Edges of the byte that is open. */
    private int count;
    private double x;
    private double d;
    private double y;
    private double xx;
    private double xd;
    private double dd;
    private double xy;
    private double dy;
    private double yy;
    /** Pooled over bytes, each about its own mean. */
    private int edges;
    private int bytes;
    private double sxx;
    private double sxd;
    private double sdd;
    private double sxy;
    private double sdy;
    private double syy;
    /** Spacings of bytes that follow one another at once, in ticks. */
    private long lastStart;
    private int spacings;
    private double spacing;
    private double spacingSquares;
    private long aloneFromPicos;
    private long aloneUntilPicos;
    private double lastEdge;

    ByteTimes(double nominalPicos, double tickPicos) {
        this.nominalPicos = nominalPicos;
        this.tickPicos = tickPicos;
    }

    void clear() {
        edges = bytes = 0;
        sxx = sxd = sdd = sxy = sdy = syy = 0;
        spacings = 0;
        spacing = spacingSquares = 0;
        lastStart = Long.MIN_VALUE / 2;
        aloneFromPicos = aloneUntilPicos = -1;
        beginByte();
    }

    void beginByte() {
        count = 0;
        x = d = y = xx = xd = dd = xy = dy = yy = 0;
    }

    /** @param n whole bits since the start edge @param sincePicos time since it */
    void edge(boolean endsActive, int n, double sincePicos) {
        lastEdge = sincePicos;
        double miss = sincePicos - n * nominalPicos;
        double ends = endsActive ? 1 : 0;
        count++;
        x += n;
        d += ends;
        y += miss;
        xx += (double) n * n;
        xd += n * ends;
        dd += ends;
        xy += n * miss;
        dy += ends * miss;
        yy += miss * miss;
    }

    /** The open byte counts; it began at that instant. */
    void endByte(long startPicos) {
        if (tickPicos > 0 && startPicos - lastStart < LONGEST_SPACING_BITS * nominalPicos) {
            double ticks = (startPicos - lastStart) / tickPicos;
            spacings++;
            spacing += ticks;
            spacingSquares += ticks * ticks;
        }
        lastStart = startPicos;
        if (aloneFromPicos < 0) aloneFromPicos = startPicos;
        aloneUntilPicos = startPicos + Math.round(lastEdge);
        if (count >= 2) {
            edges += count;
            bytes++;
            sxx += xx - x * x / count;
            sxd += xd - x * d / count;
            sdd += dd - d * d / count;
            sxy += xy - x * y / count;
            sdy += dy - d * y / count;
            syy += yy - y * y / count;
        }
        beginByte();
    }

    private boolean inStep() {
        if (!(tickPicos > 0)) return false;
        return spacings < FEWEST_SPACINGS
                || spacingSquares / spacings - spacing / spacings * (spacing / spacings) < IN_STEP;
    }

    /** Writes the part that one node drove, and bit error and asymmetry into the row where there were edges enough. */
    void solve(LogRow row) {
        row.aloneFromPicos = aloneFromPicos;
        row.aloneUntilPicos = aloneUntilPicos;
        int freedom = edges - bytes - 2;
        double determinant = sxx * sdd - sxd * sxd;
        if (edges < FEWEST_EDGES || freedom < 3 || !(determinant > 1e-9 * sxx * sdd)) return;
        double slope = (sxy * sdd - sdy * sxd) / determinant;
        double shift = (sdy * sxx - sxy * sxd) / determinant;
        double left = Math.max(0, syy - slope * sxy - shift * sdy);
        double variance = Math.max(left / Math.max(1, freedom - 2), tickPicos * tickPicos / 12);
        // Bytes in step with the tick all err alike: no better than one of them.
        if (inStep() && variance < DITHERED * tickPicos * tickPicos) variance *= bytes;
        row.bitPpm = (float) (1e6 * slope / nominalPicos);
        row.bitPpmError = (float) (1e6 * Math.sqrt(variance * sdd / determinant) / nominalPicos);
        row.asymmetryNanos = (float) (2e-3 * shift);
        row.asymmetryErrorNanos = (float) (2e-3 * Math.sqrt(variance * sxx / determinant));
    }
}
