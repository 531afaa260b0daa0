package buswitness.report.parts;

/** What each remedy asks for and what to mind, in the same words wherever one is named. */
public final class RemedyWords {
    public static final String MIND_LEAVE_OUT =
            "First find out what else it does: whatever it alone provides is gone with it.";
    public static final String MIND_SILENCE = "Only if its maker provides for it; its other messages stay.";
    public static final String MIND_GATEWAY =
            "Each segment must be ended as its bus asks (terminators, pull-up), and the gateway must pass every other message both ways.";
    public static final String MIND_MOVE = "Whoever is to read it must be taught the new identifier, the dashboard too.";
    public static final String MIND_WIRE = "Only where the lamp's own contact can be reached; fuse the wire where it begins.";
    public static final String MIND_PROTECTION = "It warns nobody: the lamp stays dark, and a function that stops a running"
            + " engine can hurt people as surely as a warning that is missing.";

    private RemedyWords() {}

    public static String leaveOut(String unit) {
        return "Leave " + unit + " out: unplug it or do without it.";
    }

    /** @param orIn empty, or which other unit may be silenced instead */
    public static String silence(String messages, String unit, String orIn, boolean one) {
        return "Silence " + messages + " in " + unit + orIn + ": set that unit up so that it no longer sends "
                + (one ? "it" : "them") + ".";
    }

    /** Where more than two units send a message, ending one of them is not enough. */
    public static String leaveToOne(String messages, String units, boolean one) {
        return (one ? "Let" : "For each of " + messages + " let") + " only one of " + units + " send "
                + (one ? messages : "it") + ": set the others up so that they no longer do.";
    }

    /** @param or empty, or which other unit may be set apart instead */
    public static String gateway(String messages, String unit, String or) {
        return "Put " + unit + or + " on a segment of its own behind a filtering gateway (a box with"
                + " two bus connections that passes on only what it is told to) which holds back " + messages + ".";
    }
}
