package buswitness.bits;

/**
 * What one line's edges told about it before any frame was read.
 *
 * @param coding          line coding: {@code nrz}, non-return-to-zero bits on a bit clock, or {@code levels}, whose
 *                        symbols are told by how long a level lasts and are left to the framing
 * @param bitsPerSecond   the usual rate nearest to the measured one where it lies within tolerance, else the measured
 *                        one, or the rate that was given; NaN where none was found
 * @param measuredBitsPerSecond mean rate of everybody who sends, on the recorder's clock; NaN where none was found
 * @param rateConfidence  0 to 1; 1 where the rate was given
 * @param rateGiven       the rate came from outside
 * @param idleLevel       recorder's level while the line rests, 0 or 1
 * @param idleConfidence  0.5 to 1
 * @param asymmetryPicos  how much the usual dominant run is longer than its bits (a recessive one shorter)
 * @param jitterPicos     usual scatter of one run's length, standard deviation, tick and different senders included
 * @param tickPicos       recorder's tick, given or found as the common divisor of all times; 0 where unknown
 * @param runs            runs that the finding rests on
 * @param glitchPicos     runs shorter than this are glitches
 */
public record LineFinding(String coding, double bitsPerSecond, double measuredBitsPerSecond, double rateConfidence,
                          boolean rateGiven, int idleLevel, double idleConfidence, double asymmetryPicos,
                          double jitterPicos, double tickPicos, int runs, double glitchPicos) {
    /** Bit that the line really has, to sample by; NaN where no rate was found. */
    public double bitPicos() {
        return 1e12 / measuredBitsPerSecond;
    }

    /** Bit of the nominal rate, to measure clocks against; NaN where no rate was found. */
    public double nominalBitPicos() {
        return 1e12 / bitsPerSecond;
    }

    /** The same, its rate found and not given. */
    public LineFinding found(double confidence) {
        return new LineFinding(coding, bitsPerSecond, measuredBitsPerSecond, confidence, false, idleLevel, idleConfidence,
                asymmetryPicos, jitterPicos, tickPicos, runs, glitchPicos);
    }
}
