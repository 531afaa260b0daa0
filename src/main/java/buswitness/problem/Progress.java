package buswitness.problem;

/** Hears how far long work has come. Called often: an implementation must be cheap and throttle itself. */
@FunctionalInterface
public interface Progress {
    Progress SILENT = (stage, done, total) -> {};

    /**
     * @param stage what is going on, a few words such as {@code reading}
     * @param done  units done, 0 or more
     * @param total units in all, or -1 where unknown
     */
    void at(String stage, long done, long total);
}
