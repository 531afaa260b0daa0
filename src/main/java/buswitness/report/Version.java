package buswitness.report;

/** The program as a report names it. */
final class Version {
    /** {@code Buswitness 0.1.0}; from the jar's manifest, so classes run from a build folder say so. */
    static final String TEXT = text(Version.class.getPackage().getImplementationVersion());

    private Version() {}

    private static String text(String version) {
        return version == null ? "Buswitness, unpacked build" : "Buswitness " + version;
    }
}
