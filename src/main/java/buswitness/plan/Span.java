package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.util.List;

/** A window laid on a recording: seconds, and the standard uncertainty of its beginning. */
record Span(double from, double until, double fromError) {
    double seconds() {
        return until - from;
    }

    /** Whether the recording has the marks that the window names. */
    static boolean fits(Window window, StepRecording recording) {
        return (window.fromMark() == null || find(recording.marks(), window.fromMark(), -1) != null)
                && (window.untilMark() == null || find(recording.marks(), window.untilMark(), -1) != null);
    }

    /** @throws InputFault where a mark is missing, or nothing of the recording is left */
    static Span of(Window window, StepRecording recording) {
        double from = window.fromSeconds();
        double error = 0;
        if (window.fromMark() != null) {
            from = need(recording, window.fromMark(), -1);
            error = window.markSeconds();
        }
        double until = recording.endSeconds();
        if (window.untilMark() != null) until = Math.min(until, need(recording, window.untilMark(), from));
        if (!Double.isNaN(window.untilSeconds())) until = Math.min(until, window.untilSeconds());
        if (!Double.isNaN(window.forSeconds())) until = Math.min(until, from + window.forSeconds());
        from += window.settleSeconds();
        if (!(from < until)) {
            throw new InputFault(Place.file(recording.info().source()), "holds nothing of the step's window, which runs from "
                    + Limits.seconds(from) + " to " + Limits.seconds(until), "record longer, or correct the window");
        }
        return new Span(from, until, error);
    }

    private static double need(StepRecording recording, String label, double after) {
        StepRecording.Mark mark = find(recording.marks(), label, after);
        if (mark != null) return mark.atSeconds();
        List<String> there = recording.marks().stream().map(StepRecording.Mark::label).distinct().limit(12).toList();
        throw new InputFault(Place.file(recording.info().source()), "has no mark '" + label + "'"
                + (after >= 0 ? " after the window's beginning" : ""),
                there.isEmpty() ? "set marks while recording (type a label and Enter), or give the window in seconds"
                        : "its marks are: " + String.join(", ", there));
    }

    static StepRecording.Mark find(List<StepRecording.Mark> marks, String label, double after) {
        for (StepRecording.Mark m : marks) {
            if (m.atSeconds() > after && m.label().equalsIgnoreCase(label)) return m;
        }
        return null;
    }
}
