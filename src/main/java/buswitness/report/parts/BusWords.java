package buswitness.report.parts;

import buswitness.frames.BusInfo;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.frames.Mark;
import buswitness.frames.Recognition;

/** Which bus a recording was taken for, and how its frames fared, in words. */
public final class BusWords {
    private BusWords() {}

    /** {@code 1,204 whole frames, 3 damaged}, and what is neither. No full stop. */
    public static String frames(FrameLog log) {
        StringBuilder text = new StringBuilder(Figures.count(log.wholeCount(), "whole frame", "whole frames"))
                .append(", ").append(Figures.count(log.damagedCount())).append(" damaged");
        int open = log.count(FrameFault.NO_RESPONSE);
        if (open > 0) text.append(", ").append(Figures.count(open, "request", "requests")).append(" that nobody answered");
        int woken = log.count(FrameFault.FAST_INITIALISATION) + log.count(FrameFault.SLOW_INITIALISATION);
        if (woken > 0) text.append(", ").append(Figures.count(woken, "wake-up pattern", "wake-up patterns"));
        int pulses = log.count(FrameFault.WAKE_UP);
        if (pulses > 0) text.append(", ").append(Figures.count(pulses, "wake-up", "wake-ups"));
        return text.toString();
    }

    /** {@code 500 kbit/s}, and on CAN FD {@code 500 kbit/s, payloads at 2 Mbit/s}. */
    public static String rate(BusInfo bus) {
        boolean second = bus.dataBitsPerSecond() > bus.bitsPerSecond();
        return Figures.rate(bus.bitsPerSecond())
                + (second ? ", payloads at " + Figures.rate(bus.dataBitsPerSecond()) : "");
    }

    /** One or two sentences; empty where the wire was not looked at, or bears out what was told. */
    public static String recognised(BusInfo bus) {
        Recognition r = bus.recognition();
        if (Double.isNaN(r.explained()) || r.given() && r.explained() >= 0.8) return "";
        StringBuilder text = new StringBuilder();
        if (r.given()) {
            text.append("Read as ").append(r.title()).append(", as told: ").append(Figures.percent(r.explained()))
                    .append(" of the first level changes lie in whole frames.");
        } else if (r.confidence() > 0) {
            text.append("Recognised as ").append(r.title()).append(", confidence ").append(Figures.percent(r.confidence()));
            if (r.explained() < 0.9) {
                text.append(" (").append(Figures.percent(r.explained())).append(" of the first level changes make sense)");
            }
            text.append('.');
        } else {
            text.append("No bus that we know explains this recording; it is read as ").append(r.title())
                    .append(" for want of a better guess.");
        }
        if (r.runnerUp() != null && (r.given() || r.confidence() < 0.99)) {
            text.append(" It could be ").append(r.runnerUpTitle()).append(", which would explain ")
                    .append(Figures.percent(r.runnerUpExplained())).append("; --coding ").append(r.runnerUp())
                    .append(" reads it so.");
        } else if (!r.given() && r.confidence() > 0) {
            text.append(r.runnerUp() == null ? " Nothing else fits." : " Next best: " + r.runnerUpTitle() + ", explains "
                    + Figures.percent(r.runnerUpExplained()) + (r.runnerUpExplained() > 0.5 ? ", but fewer checks hold." : "."));
        }
        return text.toString();
    }

    public static String mark(Mark m) {
        return "Marked at " + Figures.moment(m.atPicos() * 1e-12) + ": " + PlainText.name(m.label());
    }

    public static String gap(Gap g) {
        return "Not recorded from " + Figures.moment(g.fromPicos() * 1e-12) + " to "
                + Figures.moment(g.untilPicos() * 1e-12) + ": " + PlainText.foreign(g.why());
    }
}
