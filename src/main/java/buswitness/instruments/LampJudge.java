package buswitness.instruments;

import buswitness.clashes.Verdict;
import buswitness.schema.Lamp;
import buswitness.stats.Robust;
import java.util.Arrays;
import java.util.List;

/** Symptom, cause and sentence for a lamp. */
final class LampJudge {
    private static final int LEAST_HASTY = 6;
    private static final int LEAST_DAMAGED_LIT = 3;

    private final Lamp lamp;
    private final Facts facts;
    private final SignalSeries series;

    LampJudge(Lamp lamp, Facts facts) {
        this.lamp = lamp;
        this.facts = facts;
        series = facts.series();
    }

    InstrumentFinding judge() {
        if (series.samples == 0) return never();
        Dwells dwells = new Dwells(series, facts.jumps().at, lamp::isLit);
        Dwells.Blinking blinking = dwells.blinking(lamp.blinksByDesign());
        if (facts.turnsFollowSenders()) return flapping(Cause.TWO_SENDERS);
        boolean onPurpose = blinking != null
                && (facts.verdict() == Verdict.ONE_SENDER || lamp.blinksByDesign());
        if (!onPurpose && dwells.hasty() >= LEAST_HASTY) return flapping(facts.causeOfTurns());
        int dropped = visibleTimeOuts();
        if (dropped > 0) {
            Cause cause = Absence.causeOfTimeOuts(facts);
            String shows = lamp.litAtTimeout() ? "came on" : "went dark";
            return finding(Symptom.DROPPED_OUT, cause, Absence.timedOut(facts, dropped, shows, cause));
        }
        List<Silences.Silence> silences = facts.longSilences();
        if (!silences.isEmpty()) {
            Cause cause = Silences.mainCause(silences);
            return finding(Symptom.HELD, cause, Absence.held(facts, silences, cause));
        }
        InstrumentFinding lost = litOnlyInDamaged();
        if (lost != null) return lost;
        if (onPurpose) return finding(Symptom.NONE, Cause.BLINKING, blinks(blinking));
        return finding(Symptom.NONE, Cause.NONE, calm());
    }

    private InstrumentFinding finding(Symptom symptom, Cause cause, String says) {
        List<Double> levels = levels();
        return facts.finding(true, symptom, cause, levels, levels.size() == 2 ? 1 : 0, facts.played().litShare(), says);
    }

    /** Median value while dark and while lit, ascending; empty where it never changed. */
    private List<Double> levels() {
        if (facts.jumps().at.length == 0) return List.of();
        double[] dark = new double[series.samples];
        double[] lit = new double[series.samples];
        int darks = 0;
        int lits = 0;
        for (int k = 0; k < series.samples; k++) {
            if (lamp.isLit(series.value[k])) lit[lits++] = series.value[k];
            else dark[darks++] = series.value[k];
        }
        double a = Robust.median(Arrays.copyOf(dark, darks));
        double b = Robust.median(Arrays.copyOf(lit, lits));
        return a <= b ? List.of(a, b) : List.of(b, a);
    }

    private InstrumentFinding never() {
        boolean quiet = series.arrivals == 0 && series.damaged == 0 && lamp.message().onEvent();
        if (quiet) return finding(Symptom.NONE, Cause.NONE, Absence.neverTold(facts));
        boolean comesOn = !Double.isNaN(lamp.timeoutSeconds()) && lamp.litAtTimeout();
        return finding(comesOn ? Symptom.DROPPED_OUT : Symptom.NEVER_LIT, Absence.causeOfNever(facts),
                Absence.neverTold(facts));
    }

    /** Whole frames never light it, but damaged ones would have: somebody tries to and does not get through. */
    private InstrumentFinding litOnlyInDamaged() {
        for (int k = 0; k < series.samples; k++) if (lamp.isLit(series.value[k])) return null;
        int wouldLight = 0;
        for (int i = 0; i < series.damaged; i++) {
            double value = series.damagedValue[i];
            if (!Double.isNaN(value) && lamp.isLit(value)) wouldLight++;
        }
        boolean two = facts.verdict() == Verdict.TWO_SENDERS;
        int meantLit = 0;
        for (double value : facts.meant()) if (lamp.isLit(value)) meantLit++;
        if (two && meantLit > 0) {
            return finding(Symptom.NEVER_LIT, Cause.DAMAGED_BY_TWO_SENDERS, "The " + lamp.name() + " was never lit:"
                    + " all " + series.samples + " whole frames of " + Words.message(series.key) + " say dark, but in "
                    + (meantLit == 1 ? "a collision" : meantLit + " collisions")
                    + " one of its two senders meant it lit.");
        }
        if (wouldLight < LEAST_DAMAGED_LIT) return null;
        return finding(Symptom.NEVER_LIT, two ? Cause.DAMAGED_BY_TWO_SENDERS : Cause.UNDECIDED, "The " + lamp.name()
                + " was never lit: all " + series.samples + " whole frames of " + Words.message(series.key)
                + " say dark, but " + wouldLight + " damaged ones read as lit before they broke; "
                + (two ? "two senders of this message damage each other's frames."
                : "damaged frames cannot be trusted, so this is undecided."));
    }

    private InstrumentFinding flapping(Cause cause) {
        SenderChange change = facts.change();
        String text = "The " + lamp.name() + " changed " + facts.jumps().reversals + " times in "
                + Words.seconds(series.watchedSeconds()) + " (" + Words.number(facts.reversalsPerMinute())
                + " a minute), lit for " + Words.percent(facts.played().litShare()) + " of the time";
        String why = switch (cause) {
            case TWO_SENDERS -> "; " + Words.percent(change.share()) + " of the changes come with a change of sender, "
                    + "where chance would give " + Words.percent(change.chance(), change.error());
            case RESTARTS -> "; the changes follow restarts of its one sender";
            case OWN_READING -> "; the changes lie within the frames of one sender, whose own reading jumps";
            default -> facts.undecidedBecause();
        };
        return finding(Symptom.FLAPPING, cause, text + why + ".");
    }

    private int visibleTimeOuts() {
        Trace trace = facts.played().trace();
        int count = 0;
        for (int i = 1; i < trace.told().length; i++) {
            if (Float.isNaN(trace.told()[i]) && !Float.isNaN(trace.shown()[i])
                    && trace.shown()[i] != trace.shown()[i - 1]
                    && !facts.silences().asleepAt(trace.atSeconds()[i])) count++;
        }
        return count;
    }

    private String blinks(Dwells.Blinking blinking) {
        return "The " + lamp.name() + " blinks steadily, " + Words.number(blinking.perMinute())
                + " times a minute and lit " + Words.percent(blinking.duty()) + " of each time, "
                + "as a lamp does that is meant to blink.";
    }

    private String calm() {
        int changes = facts.jumps().reversals;
        double share = facts.played().litShare();
        if (changes == 0) {
            return "The " + lamp.name() + " was " + (share > 0.5 ? "lit" : "dark") + " throughout, as it was told.";
        }
        return "The " + lamp.name() + " changed " + Words.times(changes) + " in "
                + Words.seconds(series.watchedSeconds()) + ", no faster than a switch or a real state would, lit for "
                + Words.percent(share) + " of the time.";
    }
}
