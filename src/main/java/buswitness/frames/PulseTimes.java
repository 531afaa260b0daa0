package buswitness.frames;

import buswitness.bits.LineFinding;

/**
 * Times the one node that sends a frame of pulses: its edges against the nominal lengths, in microseconds, by
 * {@link WireFit}. A clock error grows along the frame, a late passive or active edge does not.
 */
final class PulseTimes {
    private static final double MICRO = 1e6;

    private final WireFit fit;
    private long zeroPicos;
    private double nominalMicros;
    private long aloneFromPicos;
    private long aloneUntilPicos;

    PulseTimes(LineFinding line) {
        fit = new WireFit(MICRO, MICRO, line.tickPicos());
    }

    void begin(long atPicos) {
        fit.clear();
        zeroPicos = atPicos;
        nominalMicros = 0;
        aloneFromPicos = aloneUntilPicos = -1;
    }

    /**
     * An edge that the sender made.
     *
     * @param micros nominal time since the edge before it
     * @param counts whether the sender alone drove it
     */
    void edge(boolean endsActive, double micros, long atPicos, boolean counts) {
        nominalMicros += micros;
        if (!counts) return;
        if (aloneFromPicos < 0) aloneFromPicos = atPicos;
        aloneUntilPicos = atPicos;
        fit.add(endsActive, (int) Math.rint(nominalMicros), atPicos - zeroPicos - nominalMicros * MICRO);
    }

    /** Writes bit error, the part that the sender alone drove, and asymmetry into the row where there were edges enough. */
    void solve(LogRow row) {
        row.aloneFromPicos = aloneFromPicos;
        row.aloneUntilPicos = aloneUntilPicos;
        if (!fit.solve()) return;
        row.bitPpm = (float) (1e6 * fit.bitExcessPicos() / MICRO);
        row.bitPpmError = (float) (1e6 * fit.bitErrorPicos() / MICRO);
        row.asymmetryNanos = (float) (2 * fit.shiftPicos() * 1e-3);
        row.asymmetryErrorNanos = (float) (2 * fit.shiftErrorPicos() * 1e-3);
    }
}
