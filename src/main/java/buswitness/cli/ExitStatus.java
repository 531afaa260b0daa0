package buswitness.cli;

import buswitness.clashes.ClashFindings;

/** The numbers a script sees. Like {@code diff}, and one more for an honest "could not decide". */
final class ExitStatus {
    /** Finished, nothing wrong was found. */
    static final int NOTHING_FOUND = 0;
    /** Finished and found what the command looks for. */
    static final int FOUND = 1;
    /** Could not do it: bad usage, unreadable or unrecognised input. */
    static final int COULD_NOT = 2;
    /** Finished but could not decide. */
    static final int UNDECIDED = 3;

    private ExitStatus() {}

    static int of(ClashFindings.Answer clash) {
        return switch (clash) {
            case NO -> NOTHING_FOUND;
            case YES -> FOUND;
            case UNDECIDED -> UNDECIDED;
        };
    }
}
