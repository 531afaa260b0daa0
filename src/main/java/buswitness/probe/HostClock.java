package buswitness.probe;

/** The computer's clock as a recording needs it. */
interface HostClock {
    /** Nanoseconds from some instant on, never going back. Time in which the computer slept counts, once it was noticed. */
    long nanos();

    /** Looks whether the computer has slept since the last look. @return for how many nanoseconds, usually 0 */
    long slept();

    /** Waits. */
    void rest(long millis) throws InterruptedException;
}
