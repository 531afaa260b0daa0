package buswitness.instruments;

import buswitness.clashes.ClashFindings;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.schema.Instrument;
import java.util.List;

/**
 * What is known of one instrument before it is judged.
 *
 * @param hiddenPage first bit of a half byte that behaves like an undocumented page number, -1 without
 * @param meant      the signal's values in frames that collided, as far as rebuilt
 */
record Facts(Instrument instrument, SignalSeries series, Replay.Played played, Silences silences, Jumps jumps,
             SenderChange change, int hiddenPage, double[] meant, ClashFindings clashes, double endSeconds) {
    /** With fewer reversals than this a verdict of two senders shows nothing yet. */
    private static final double MOST_TAIL = 1e-3;
    private static final double LEAST_SHARE = 0.8;
    private static final double RESTART_WINDOW_SECONDS = 2;
    /** Ten times better explained by two senders than by one. */
    private static final double SUSPECTED_STRENGTH = 1;

    Verdict verdict() {
        MessageFinding finding = clashes.message(series.key);
        return finding == null ? Verdict.UNDECIDED : finding.verdict();
    }

    double reversalsPerMinute() {
        double watched = series.watchedSeconds();
        return watched > 0 ? jumps.reversals * 60 / watched : 0;
    }

    /**
     * Whether the sudden turns are the senders' doing: the verdict says two senders, turns come with a change of sender
     * beyond chance, and the value each time returns to where that sender was.
     */
    boolean turnsFollowSenders() {
        return verdict() == Verdict.TWO_SENDERS && change.share() >= LEAST_SHARE && change.tail() <= MOST_TAIL
                && change.returning() >= LEAST_SHARE;
    }

    Cause causeOfTurns() {
        if (verdict() == Verdict.UNDECIDED) return Cause.UNDECIDED;
        if (verdict() == Verdict.TWO_SENDERS) {
            if (turnsFollowSenders()) return Cause.TWO_SENDERS;
            // Turns within the frames of one sender, no more than chance puts on a change: its reading jumps.
            boolean within = change.known() > 0 && change.tail() > MOST_TAIL && change.share() < LEAST_SHARE;
            return within ? Cause.OWN_READING : Cause.UNDECIDED;
        }
        int afterRestart = 0;
        for (int k : jumps.at) {
            if (silences.follows(Cause.RESTARTS, series.at[k], RESTART_WINDOW_SECONDS)) afterRestart++;
        }
        if (afterRestart >= LEAST_SHARE * jumps.at.length) return Cause.RESTARTS;
        return hiddenPage >= 0 || suspected() ? Cause.UNDECIDED : Cause.OWN_READING;
    }

    /** Whether something speaks for a second sender, though too little for the verdict: then no sensor is blamed either. */
    private boolean suspected() {
        MessageFinding finding = clashes.message(series.key);
        return finding != null && finding.strength() >= SUSPECTED_STRENGTH;
    }

    /** What to say where the cause is undecided. */
    String undecidedBecause() {
        if (verdict() == Verdict.ONE_SENDER && hiddenPage >= 0) {
            return "; they follow bits " + hiddenPage + ".." + (hiddenPage + 3) + " of the same message, which take "
                    + "turns like a page number: if they are one, say so in the layout, else the reading itself jumps";
        }
        return "; whether two senders cause it is undecided";
    }

    /** Silences long enough that an instrument visibly stands still. */
    List<Silences.Silence> longSilences() {
        double least = Math.max(10 * silences.periodSeconds, 1);
        return silences.list.stream().filter(s -> s.seconds() >= least).toList();
    }

    List<Silences.Silence> silencesBeyondTimeOut() {
        return silences.list.stream().filter(s -> s.seconds() > instrument.timeoutSeconds()).toList();
    }

    /** Sender's share etc. may be quoted only where the message's verdict stands. */
    InstrumentFinding finding(boolean lamp, Symptom symptom, Cause cause, List<Double> levels, double swing,
                              double litShare, String says) {
        boolean quote = verdict() != Verdict.UNDECIDED && change.known() > 0;
        return new InstrumentFinding(instrument.name(), lamp, instrument.signal().name(), instrument.signal().unit(),
                series.key, symptom, cause, jumps.reversals, reversalsPerMinute(),
                quote ? change.share() : Double.NaN, quote ? change.chance() : Double.NaN,
                quote ? change.error() : Double.NaN, levels, swing, litShare, says, played.trace());
    }
}
