package buswitness.report.predict;

import buswitness.predict.Forecast;
import buswitness.predict.Supply;
import buswitness.predict.Tried;
import buswitness.report.parts.Cautions;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.report.parts.RemedyWords;
import buswitness.schema.Fitting;
import buswitness.schema.Lamp;
import buswitness.schema.Protection;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** Remedies that were tried, and what stands in for a lamp that nobody sends, in words. */
final class PredictRemedies {
    static final String HOW_RANKED = "Each was tried in the simulator. They stand in order of clashes left, instruments"
            + " served, readers that lose what they read, and the sum of effort and risk; what cannot be done comes last. Effort and"
            + " risk are marks from 1, little, to 5, much: common practice of the trade, nothing measured.";
    static final String WARNING_LAMPS = "A missing oil-pressure warning can hurt people: an engine without oil seizes,"
            + " and a car whose engine seizes or is stopped on the road has no power steering, little brake assistance"
            + " and other traffic behind it. So can a function that stops a running engine, above all where it acts on"
            + " a false reading. Decide with whoever is licensed for this work, try both on the stand, tell the"
            + " driver, and write it on the sheet that goes with the car.";
    private static final int MOST_NAMED = 5;

    private final Forecast forecast;
    private final PredictWords words;

    PredictRemedies(Forecast forecast) {
        this.forecast = forecast;
        words = new PredictWords(forecast);
    }

    /** What to do, one sentence a step. */
    String action(Tried t) {
        List<String> steps = new ArrayList<>();
        for (Tried.Step s : t.steps()) steps.add(step(s));
        return String.join(" ", steps);
    }

    private String step(Tried.Step s) {
        String unit = "the " + PlainText.name(s.node());
        String keys = Figures.list(s.keys().stream().map(k -> words.message(k, s.node())).toList(), MOST_NAMED);
        return switch (s.kind()) {
            case SILENCE -> RemedyWords.silence(keys, unit, "", s.keys().size() == 1);
            case LEAVE_OUT -> RemedyWords.leaveOut(unit);
            case GATEWAY -> RemedyWords.gateway(keys, unit, "");
            case MOVE -> "Move " + keys + " as sent by " + unit + " to " + (s.moved().size() == 1 ? "a free identifier: "
                    : "free identifiers: ") + Figures.list(s.moved().stream()
                    .map(buswitness.frames.MessageKey::text).toList(), MOST_NAMED) + ".";
            case WIRE -> "Feed the " + PlainText.name(s.instrument()) + " by a wire of its own"
                    + (s.detail().isEmpty() ? "" : " from the " + PlainText.name(s.detail())) + ".";
            case PROTECTION -> s.detail().isEmpty() ? "Let a function that protects the engine stand in for the "
                    + PlainText.name(s.instrument()) + ": the layouts name none." : "Let the "
                    + PlainText.name(s.detail()) + " of " + unit + " stand in for the " + PlainText.name(s.instrument())
                    + ".";
        };
    }

    /** The remedy to look at first, with what it leaves and what to mind. */
    String best() {
        Tried t = forecast.remedies().get(0);
        return action(t) + " " + effect(t) + " " + marks(t) + " " + mind(t);
    }

    /** A few words for a table. */
    String brief(Tried t) {
        List<String> steps = new ArrayList<>();
        for (Tried.Step s : t.steps()) {
            String unit = "the " + PlainText.name(s.node());
            String messages = s.keys().size() > 2 ? Figures.count(s.keys().size()) + " messages" : Figures.list(s.keys().stream()
                    .map(k -> PlainText.name(forecast.bus().nameOf(k, s.node()))).toList(), 2);
            steps.add(switch (s.kind()) {
                case SILENCE -> "silence " + messages + " in " + unit;
                case LEAVE_OUT -> "leave " + unit + " out";
                case GATEWAY -> "filtering gateway before " + unit;
                case MOVE -> "move " + messages + " of " + unit + " to free identifiers";
                case WIRE -> "wire for the " + PlainText.name(s.instrument());
                case PROTECTION -> "a function that protects instead of the " + PlainText.name(s.instrument());
            });
        }
        return (Boolean.FALSE.equals(t.possible()) ? "(cannot be done) " : "") + String.join("; ", steps);
    }

    /** What it leaves, one sentence or two. */
    String effect(Tried t) {
        StringBuilder text = new StringBuilder(Figures.count(t.clashesLeft(), "clash", "clashes")).append(" left of ")
                .append(t.clashesBefore()).append("; ").append(t.served()).append(" of ")
                .append(Figures.count(t.wanted(), "instrument", "instruments")).append(" served");
        if (!t.unserved().isEmpty()) {
            text.append(", not the ").append(Figures.list(PredictWords.names(t.unserved()), MOST_NAMED));
        }
        if (!t.litAlong().isEmpty()) {
            text.append("; lit throughout: the ").append(Figures.list(PredictWords.names(t.litAlong()), MOST_NAMED));
        }
        text.append(". ").append(readers(t));
        return text.toString().strip();
    }

    private String readers(Tried t) {
        String lose = t.losing().isEmpty() ? "" : "Lose what they read: " + readers(t.losing()) + ". ";
        return lose + (t.following().isEmpty() ? "" : "Must be taught the new identifier: " + readers(t.following())
                + ". ");
    }

    /** {@code dashboard (engine state), ...}; empty where there are none. */
    static String readers(List<Tried.Reader> readers) {
        if (readers.isEmpty()) return "none";
        return Figures.list(readers.stream().map(r -> PlainText.name(r.node()) + " (" + PlainText.name(r.message()) + ")")
                .toList(), MOST_NAMED);
    }

    /** What to mind, one sentence for each kind of step. */
    String mind(Tried t) {
        List<String> minds = new ArrayList<>();
        if (Boolean.FALSE.equals(t.possible())) minds.add("Its layout says that its messages cannot be chosen.");
        for (Tried.Step s : t.steps()) {
            String mind = switch (s.kind()) {
                case SILENCE -> Boolean.TRUE.equals(t.possible()) ? "Its layout says that this can be done."
                        : RemedyWords.MIND_SILENCE;
                case LEAVE_OUT -> RemedyWords.MIND_LEAVE_OUT;
                case GATEWAY -> RemedyWords.MIND_GATEWAY;
                case MOVE -> RemedyWords.MIND_MOVE;
                case WIRE -> (shared(s.detail()) ? "The " + PlainText.name(s.detail()) + " serves a protective function"
                        + " already: fit a second one, so that one broken wire does not take both. " : "") + RemedyWords.MIND_WIRE;
                case PROTECTION -> RemedyWords.MIND_PROTECTION;
            };
            boolean never = s.kind() == Tried.Kind.SILENCE && Boolean.FALSE.equals(t.possible());
            if (!never && !minds.contains(mind)) minds.add(mind);
        }
        return String.join(" ", minds);
    }

    /** For each lamp that nobody sends, what stands in for it; empty where there is no such lamp. */
    List<String> standIns() {
        List<String> out = new ArrayList<>();
        for (Supply s : forecast.supplies()) {
            if (s.missing() && s.instrument() instanceof Lamp lamp) out.add(standIn(lamp));
        }
        return out;
    }

    private String standIn(Lamp lamp) {
        List<String> ways = new ArrayList<>();
        Fitting.Wire wire = forecast.bus().wires().get(lamp.name());
        if (wire != null) {
            boolean shared = shared(wire.from());
            ways.add("a wire of its own from the " + PlainText.name(wire.from()) + (shared ? " (which serves a protective"
                    + " function already: fit a second one, so that one broken wire does not take both)" : ""));
        }
        for (Protection p : forecast.bus().protections()) {
            if (!p.standsInFor().contains(lamp.name())) continue;
            String after = p.afterSeconds() > 0 ? " after " + Figures.span(p.afterSeconds()) : "";
            String source = p.watch() == null ? ", which has a wire of its own from the " + PlainText.name(p.wire())
                    : ", which watches " + PlainText.name(p.watch().signal().name()) + " on the bus";
            ways.add("the " + PlainText.name(p.name()) + " of the " + PlainText.name(p.node()) + source + " and "
                    + PlainText.name(p.does()) + after + " (it protects, but warns nobody beforehand)");
        }
        String name = PlainText.capital("the " + PlainText.name(lamp.name()));
        if (ways.isEmpty()) {
            return name + " has no sender and the layouts name nothing that stands in for it. Fit a separate warning,"
                    + " with its own sensor and its own lamp or buzzer, before the car is used.";
        }
        return name + " has no sender. What can stand in for it: " + String.join("; or ", ways) + ". Until one of these"
                + " is fitted and proved, nothing warns the driver.";
    }

    /** What to mind of this very bus, before what holds of any: functions that act, and stop an engine above all. */
    List<String> cautions() {
        List<String> out = new ArrayList<>();
        for (Protection p : forecast.bus().protections()) {
            String after = p.afterSeconds() > 0 ? " after " + Figures.span(p.afterSeconds()) : "";
            String source = p.watch() == null ? "on its wire from the " + PlainText.name(p.wire())
                    : "on " + PlainText.name(p.watch().signal().name()) + " as the bus tells it";
            out.add("The " + PlainText.name(p.name()) + " of the " + PlainText.name(p.node()) + " " + PlainText.name(p.does()) + after
                    + ", " + source + ". " + (p.does().toLowerCase(Locale.ROOT).contains("stop") ? "A function that stops a running"
                    + " engine can kill on the road: try it standing, tell the driver in writing that it is fitted, and check"
                    + " local codes." : "Try it standing, and tell the driver."));
        }
        out.addAll(Cautions.FORECAST);
        return out;
    }

    /** Whether a protective function hangs on the same sensor. */
    private boolean shared(String sensor) {
        return forecast.bus().protections().stream().anyMatch(p -> !sensor.isEmpty() && sensor.equals(p.wire()));
    }

    static String marks(Tried t) {
        return "Effort " + t.effort() + ", risk " + t.risk() + ".";
    }
}
