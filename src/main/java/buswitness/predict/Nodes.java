package buswitness.predict;

/** Habits of nodes, and what is assumed where nothing is said. */
final class Nodes {
    /** Common practice for a crystal in a control unit over its temperatures; no source. */
    static final double CLOCK_WITHIN_PPM = 100;
    /** Common practice for a small controller between timer and queue; no source. */
    static final double DELAY_SECONDS = 100e-6;

    private Nodes() {}

    static double clockWithinPpm(SharedBus bus, String node) {
        double said = bus.facts(node).clockWithinPpm();
        return Double.isNaN(said) ? CLOCK_WITHIN_PPM : said;
    }

    static double delaySeconds(SharedBus bus, String node) {
        double said = bus.facts(node).delaySeconds();
        return Double.isNaN(said) ? DELAY_SECONDS : said;
    }
}
