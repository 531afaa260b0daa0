package buswitness.frames;

/**
 * When the bits of a CAN FD line are sampled: set anew by each edge to dominant, and at two rates. Where in the bit the nodes
 * of a bus switch is theirs to choose (their sample point), so the bit that switches is sampled early, in the middle of a
 * nominal one, and its length is learned from the edge that follows it in the frames of error active senders.
 */
final class FdClock {
    /** Late enough for bits of far nodes to have arrived. */
    static final double NOMINAL_SHARE = 0.75;
    /** In a payload one node sends, so that the middle is best: both a coarse tick and late edges back to recessive fit. */
    private static final double FAST_SHARE = 0.6;
    /** Nodes sample behind the middle of a bit. */
    private static final double SWITCH_SHARE = 0.5;
    /** Where nodes usually sample: common practice, no source. */
    private static final double USUAL_SAMPLE_POINT = 0.8;
    private static final int MOST_LEARNED = 32;

    private final double nominalPicos;
    private final double dataPicos;
    private double next;
    private boolean atSwitch;
    private double switchStart = Double.NaN;
    private double switchPicos;
    private int learned;

    FdClock(double nominalPicos, double dataPicos) {
        this.nominalPicos = nominalPicos;
        this.dataPicos = dataPicos;
        switchPicos = USUAL_SAMPLE_POINT * nominalPicos + (1 - USUAL_SAMPLE_POINT) * dataPicos;
    }

    /** Instant at which the coming bit is sampled. */
    double next() {
        return next;
    }

    /** The line rests: nothing is sampled before the next edge. */
    void rest(long at) {
        next = at;
        atSwitch = false;
    }

    /** The line went dominant. @param fast bits go at the data rate */
    void edge(long at, boolean fast) {
        if (fast && !Double.isNaN(switchStart)) learn(at - switchStart);
        switchStart = Double.NaN;
        next = at + (fast ? FAST_SHARE * dataPicos : NOMINAL_SHARE * nominalPicos);
    }

    private void learn(double length) {
        if (length < SWITCH_SHARE * nominalPicos || length > nominalPicos + 0.5 * dataPicos) return;
        learned = Math.min(MOST_LEARNED, learned + 1);
        switchPicos += (length - switchPicos) / learned;
    }

    /**
     * A bit has been sampled.
     *
     * @param fast         the coming bit goes at the data rate
     * @param switchIsNext the coming bit is the one that may switch the rate
     */
    void step(boolean fast, boolean switchIsNext) {
        // Only the first edge behind the bit that switches tells its length.
        switchStart = Double.NaN;
        if (switchIsNext) {
            next += (1 - NOMINAL_SHARE + SWITCH_SHARE) * nominalPicos;
            atSwitch = true;
        } else if (atSwitch) {
            atSwitch = false;
            if (fast) {
                switchStart = next - SWITCH_SHARE * nominalPicos;
                next = switchStart + switchPicos + FAST_SHARE * dataPicos;
            } else {
                next += (1 + NOMINAL_SHARE - SWITCH_SHARE) * nominalPicos;
            }
        } else {
            next += fast ? dataPicos : nominalPicos;
        }
    }
}
