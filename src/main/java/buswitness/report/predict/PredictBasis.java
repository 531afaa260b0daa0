package buswitness.report.predict;

import buswitness.predict.Forecast;
import buswitness.predict.PredictOptions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.schema.Fitting;
import java.util.ArrayList;
import java.util.List;

/** What a forecast rests on, and where it ends. */
final class PredictBasis {
    private static final String RESPONSES = "Worst case from a node's timer to the end of the frame, on a bus without errors and"
            + " with the longest frames: after Davis, Burns, Bril and Lukkien, Real-Time Systems 35 (2007) 239-272."
            + " A node's delay counts as jitter, and its clock is taken as fast as its layout allows.";

    private static final String ASKED = "From when a message is due to the end of its slot. Layouts hold no master's schedule, so"
            + " one was made: it asks for each message at its period, the one due earliest first, in slots of 1.4 times the"
            + " nominal length (LIN 2.2A, 2.3.2). Your master's table decides.";

    private PredictBasis() {}

    /** How response times were worked out. */
    static String responses(Forecast forecast) {
        if (new PredictWords(forecast).asked()) return ASKED;
        boolean events = forecast.bus().streams().stream().anyMatch(s -> s.message().onEvent());
        return RESPONSES + (events ? " Frames sent on events come on top: they are not counted, save as one frame that is"
                + " already on the wire." : "");
    }

    static List<String> of(Forecast forecast) {
        List<String> out = new ArrayList<>();
        out.add("Layouts: " + Figures.list(PredictWords.names(forecast.sources()), 12) + ".");
        PredictOptions o = forecast.options();
        if (forecast.notSimulated().isEmpty()) {
            int arranged = forecast.meetings().stream().mapToInt(m -> m.drives()).sum();
            out.add(Figures.count(o.drives(), "simulated drive", "simulated drives") + " of " + Figures.span(o.seconds())
                    + ", each with clocks and start phases drawn anew (seed " + o.seed() + "); a range in brackets is"
                    + " from the least to the most of them, the figure before it their median."
                    + (arranged > 0 ? " More drives let the two schedules of each message meet." : "")
                    + (forecast.remedies().isEmpty() ? "" : " Each remedy was driven "
                    + forecast.remedies().get(0).drives() + " times for "
                    + Figures.span(forecast.remedies().get(0).driveSeconds()) + "."));
            out.add("Assumed: " + habits(forecast) + " Clocks are drawn evenly within their bounds and wander by 0.3 ppm a"
                    + " minute; a range such as 84..91 is gone through slowly; a value of which nothing is said stays at"
                    + " 0 on the wire.");
        }
        out.add("A forecast is as good as the layouts. It knows nothing of messages, values and functions that they leave"
                + " out, of wiring faults and disturbances, or of what a node does when a message stays away. Record the"
                + " finished bus and let 'prove' look at it.");
        return out;
    }

    private static String habits(Forecast forecast) {
        List<String> said = new ArrayList<>();
        boolean all = true;
        for (String node : forecast.bus().nodes()) {
            Fitting.NodeFacts f = forecast.bus().facts(node);
            List<String> parts = new ArrayList<>();
            if (!Double.isNaN(f.clockWithinPpm())) parts.add("clock within " + Figures.short3(f.clockWithinPpm()) + "\u00A0ppm");
            if (!Double.isNaN(f.delaySeconds())) {
                parts.add("delay up to " + Figures.short3(f.delaySeconds() * 1e6) + "\u00A0µs");
            }
            if (parts.size() < 2) all = false;
            if (!parts.isEmpty()) said.add(PlainText.name(node) + " " + String.join(", ", parts));
        }
        String rest = all ? "" : (said.isEmpty() ? "" : "for what is not said, ") + "clocks within 100\u00A0ppm and delays up"
                + " to 100\u00A0µs (common practice, no source).";
        return said.isEmpty() ? rest : "from the layouts, " + String.join("; ", said) + (rest.isEmpty() ? "." : "; " + rest);
    }
}
