package buswitness.frames;

/**
 * Which bus a recording was taken for, and what else it could have been.
 *
 * @param coding     name of the bus, as in {@code coding:} of a layout
 * @param title      as a reader calls it
 * @param confidence 0 to 1: how much better it explains the recording's first changes than anything else; 1 where given
 * @param given      told by a layout or an option
 * @param explained  share of the first changes that lie in whole frames, 0 to 1
 * @param runnerUp   the next best, or null where nothing else explains anything
 * @param runnerUpTitle as a reader calls it, or null
 * @param runnerUpExplained its share, 0 to 1
 */
public record Recognition(String coding, String title, double confidence, boolean given, double explained,
                          String runnerUp, String runnerUpTitle, double runnerUpExplained) {
    /** Of a bus that was not looked at: a frame table, or a log made by hand. */
    public static Recognition unseen(String coding) {
        return new Recognition(coding, title(coding), Double.NaN, true, Double.NaN, null, null, 0);
    }

    private static String title(String coding) {
        return switch (coding) {
            case "can" -> "CAN";
            case "can-fd" -> "CAN FD";
            default -> coding;
        };
    }

    /** Whether a coding that was given explains less than another would. */
    public boolean isDoubtful() {
        return explained < 0.5 && runnerUp != null && runnerUpExplained > explained + 0.2;
    }
}
