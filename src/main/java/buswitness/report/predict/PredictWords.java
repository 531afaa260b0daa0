package buswitness.report.predict;

import buswitness.frames.MessageKey;
import buswitness.instruments.Symptom;
import buswitness.predict.Conflict;
import buswitness.predict.Forecast;
import buswitness.predict.InstrumentOutlook;
import buswitness.predict.MeetingOutlook;
import buswitness.predict.ProtectionOutlook;
import buswitness.predict.ResponseTime;
import buswitness.predict.Spread;
import buswitness.predict.Stream;
import buswitness.predict.Supply;
import buswitness.report.parts.Figures;
import buswitness.report.parts.PlainText;
import buswitness.schema.Gauge;
import buswitness.schema.Lamp;
import java.util.ArrayList;
import java.util.List;

/** A forecast in sentences, for screen and page alike. */
final class PredictWords {
    private static final int MOST_OTHERS = 3;
    private static final int MOST_NAMED = 6;
    /** Instruments told of one by one before the answer is no longer short. */
    private static final int MOST_SEEN = 4;

    private final Forecast forecast;

    PredictWords(Forecast forecast) {
        this.forecast = forecast;
    }

    String message(long key) {
        String name = forecast.bus().nameOf(key);
        return name.isBlank() ? MessageKey.text(key) : PlainText.name(name) + " (" + MessageKey.text(key) + ")";
    }

    /** As one of its senders calls it. */
    String message(long key, String node) {
        String name = forecast.bus().nameOf(key, node);
        return name.isBlank() ? MessageKey.text(key) : PlainText.name(name) + " (" + MessageKey.text(key) + ")";
    }

    List<String> messages(List<Long> keys) {
        return keys.stream().map(this::message).toList();
    }

    static List<String> names(List<String> names) {
        return names.stream().map(PlainText::name).toList();
    }

    /** {@code 240 (238 to 241)}; one figure where all drives agree. */
    static String range(Spread spread, String unit) {
        if (spread.drives() == 0) return "unknown";
        String tail = unit.isEmpty() ? "" : "\u00A0" + unit;
        String low = Figures.short3(spread.least());
        String high = Figures.short3(spread.most());
        String middle = Figures.short3(spread.median());
        if (low.equals(high)) return middle + tail;
        return middle + tail + " (" + low + " to " + high + ")";
    }

    static String percents(Spread spread) {
        if (spread.drives() == 0) return "unknown";
        String low = Figures.percent(spread.least());
        String high = Figures.percent(spread.most());
        return low.equals(high) ? high : Figures.percent(spread.median()) + " (" + low + " to " + high + ")";
    }

    static String spans(Spread spread) {
        if (spread.drives() == 0) return "unknown";
        String low = Figures.span(spread.least());
        String high = Figures.span(spread.most());
        return low.equals(high) ? high : Figures.span(spread.median()) + " (" + low + " to " + high + ")";
    }

    String headline() {
        return switch (forecast.answer()) {
            case FITS -> "These nodes get along on one bus.";
            case DOES_NOT_FIT -> "These nodes do not get along on one bus.";
            case UNDECIDED -> "Whether these nodes get along on one bus is not decided.";
        };
    }

    /** The whole story for whoever reads no further. */
    List<String> plain() {
        List<String> out = new ArrayList<>();
        List<Long> clashing = forecast.clashing();
        if (!clashing.isEmpty()) {
            out.add(PlainText.capital(number(clashing.size())) + (clashing.size() == 1 ? " message has" : " messages have")
                    + " two senders: " + Figures.list(messages(clashing), MOST_NAMED) + ".");
        }
        List<String> dark = forecast.supplies().stream().filter(Supply::missing)
                .map(s -> PlainText.name(s.instrument().name())).toList();
        if (!dark.isEmpty()) {
            out.add("Nobody tells the " + Figures.list(dark, MOST_NAMED) + " what " + (dark.size() == 1 ? "it" : "they")
                    + " should show.");
        }
        List<InstrumentOutlook> suffering = forecast.instruments().stream()
                .filter(i -> i.worst() != Symptom.NONE && supplyOf(i) != Supply.Kind.NONE).toList();
        suffering.stream().limit(MOST_SEEN).map(this::seen).forEach(out::add);
        if (suffering.size() > MOST_SEEN) {
            List<String> more = suffering.subList(MOST_SEEN, suffering.size()).stream()
                    .map(i -> PlainText.name(i.instrument().name())).toList();
            out.add("So would misbehave: the " + Figures.list(more, MOST_NAMED) + ".");
        }
        out.addAll(otherConflicts(clashing));
        for (ProtectionOutlook p : forecast.protections()) {
            if (p.acts() > 0 || p.carriers().isEmpty()) out.add(PlainText.capital(protection(p)));
        }
        List<String> late = forecast.responses().stream().filter(ResponseTime::late)
                .map(r -> message(r.key(), r.node()) + " from the " + PlainText.name(r.node())).toList();
        if (!late.isEmpty()) {
            out.add("The bus is too full: at worst the next one is due before it is through for "
                    + Figures.list(late, MOST_NAMED) + ".");
        }
        if (forecast.responses().stream().allMatch(r -> !r.notAnalysed().isEmpty()) && forecast.clashing().isEmpty()) {
            out.add("How late a message can come was not analysed.");
        }
        if (!forecast.notSimulated().isEmpty()) {
            out.add("Nothing was simulated: " + forecast.notSimulated() + ".");
        } else if (forecast.answer() == Forecast.Answer.FITS) {
            out.add("Each message has one sender, each instrument one source, and in "
                    + Figures.count(forecast.options().drives(), "simulated drive", "simulated drives")
                    + " every gauge and lamp did as it should.");
        }
        return out;
    }

    /** What does not go together beside the messages with two senders, which disagree in more ways than that. */
    private List<String> otherConflicts(List<Long> clashing) {
        List<Conflict> others = forecast.conflicts().stream().filter(c -> !clashing.contains(c.key())).toList();
        List<String> out = new ArrayList<>();
        others.stream().limit(MOST_OTHERS).forEach(c -> out.add(PlainText.capital(c.kind().text()) + ": " + conflict(c)));
        if (others.size() > MOST_OTHERS) {
            out.add(Figures.count(others.size() - MOST_OTHERS) + " more do not go together on paper.");
        }
        return out;
    }

    private static String number(int n) {
        String[] small = {"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"};
        return n < small.length ? small[n] : Figures.count(n);
    }

    /** The same for an instrument that may lack its sender: doing nothing is then no good sign. */
    String seen(Supply s, InstrumentOutlook i) {
        String name = "The " + PlainText.name(i.instrument().name());
        if (s.kind() == Supply.Kind.NONE) {
            if (!(i.instrument() instanceof Lamp lamp)) return name + " would never move.";
            return name + (lamp.litAtTimeout() ? " would be lit all along or stay dark, by what the dashboard makes of a"
                    + " message that never came." : " would stay dark, whatever happens.");
        }
        if (s.kind() == Supply.Kind.TWO && i.worst() == Symptom.NONE) {
            return name + " would do as it should in " + share(i.drives(), i.drives()) + ", but two senders tell it: it will not"
                    + " wherever their values part. " + shows(i);
        }
        if (!s.missing() || i.worst() != Symptom.NONE) return seen(i) + " " + shows(i);
        if (!i.lamp()) return name + " would tell nothing true, as the bits happen to stand.";
        boolean lit = i.litShare().drives() > 0 && i.litShare().least() > 0.5;
        return name + (lit ? " would be lit all along" : " would stay dark") + ", as the bits happen to stand.";
    }

    private Supply.Kind supplyOf(InstrumentOutlook i) {
        return forecast.supplies().stream().filter(s -> s.instrument().equals(i.instrument())).findFirst()
                .map(Supply::kind).orElse(Supply.Kind.ONE);
    }

    /** What a driver would see of it, one sentence. */
    String seen(InstrumentOutlook i) {
        String name = "The " + PlainText.name(i.instrument().name());
        String drives = " in " + share(i.symptoms().getOrDefault(i.worst(), 0), i.drives());
        return switch (i.worst()) {
            case FLAPPING -> i.lamp() ? name + " would flicker, " + range(i.perMinute(), "") + " changes a minute,"
                    + drives + "." : name + " would be told" + told(i) + " in turn, "
                    + range(i.perMinute(), "") + " sudden turns a minute, each of which swings its needle by "
                    + percents(i.swing()) + " of its travel," + drives + ".";
            case HELD -> name + " would stand still for long stretches," + drives + ".";
            case DROPPED_OUT -> name + " would drop out again and again," + drives + ".";
            case STEADILY_WRONG -> name + " would stand steadily at a wrong place," + drives + ".";
            case NEVER_LIT -> name + " would never light though it is told to," + drives + ".";
            case NONE -> name + " would do as it should," + drives + ".";
        };
    }

    private static String share(int some, int all) {
        return some == all ? all == 1 ? "the one simulated drive" : "all " + all + " simulated drives"
                : some + " of " + all + " simulated drives";
    }

    private static String told(InstrumentOutlook i) {
        if (i.low().drives() == 0) return " different values";
        String unit = i.instrument().signal().unit().isEmpty() ? "" : "\u00A0"
                + PlainText.name(i.instrument().signal().unit());
        return " " + Figures.short3(i.low().median()) + " and " + Figures.short3(i.high().median()) + unit;
    }

    /** Where the needle gets about or how long the lamp is lit, one clause. */
    String shows(InstrumentOutlook i) {
        if (i.lamp()) return i.litShare().drives() == 0 ? "Never told anything." : "Lit " + percents(i.litShare())
                + " of the time.";
        if (i.needleLow().drives() == 0) return "Never told anything.";
        String low = Figures.percent(i.needleLow().least());
        String high = Figures.percent(i.needleHigh().most());
        return "Needle at " + (low.equals(high) ? low : low + " to " + high) + " of its travel, all drives together.";
    }

    /** Who tells an instrument, on paper. */
    String supply(Supply s) {
        String carriers = Figures.list(names(s.carriers()), MOST_NAMED);
        String others = Figures.list(names(s.others()), MOST_NAMED);
        String key = message(MessageKey.of(s.instrument().message()));
        String value = PlainText.name(s.instrument().signal().name());
        return switch (s.kind()) {
            case WIRE -> "A wire of its own feeds it, from the "
                    + PlainText.name(forecast.bus().wires().get(s.instrument().name()).from()) + ".";
            case NONE -> "No sender: nobody sends " + key + ". " + unlit(s);
            case UNFILLED -> "No sender of its value: " + key + " comes from " + others + ", but nobody puts " + value
                    + " into it. It shows whatever else those bits hold.";
            case ONE -> "One sender: " + carriers + ".";
            case TWO -> "Two senders of " + key + ": " + (s.others().isEmpty() ? carriers + "."
                    : carriers + " with its value, " + others + " with something else in its place.");
        };
    }

    private static String unlit(Supply s) {
        if (s.instrument() instanceof Gauge) return "Its needle never leaves its rest.";
        boolean lights = s.instrument() instanceof Lamp l && l.litAtTimeout();
        return "It will never light" + (lights ? ", unless the dashboard lights it because the message stays away: then"
                + " it will never go out." : ".");
    }

    String conflict(Conflict c) {
        String first = PlainText.name(c.first());
        String second = PlainText.name(c.second());
        String says = PlainText.name(c.firstSays());
        String other = PlainText.name(c.secondSays());
        return switch (c.kind()) {
            case TWO_SENDERS -> message(c.key()) + ": the " + first + " sends it" + (says.equals(other) ? ""
                    : " as " + says) + ", and so does the " + second + (says.equals(other) ? "" : ", as " + other) + ".";
            case TWO_MEANINGS -> message(c.key()) + ": the same bits mean " + says + " in " + first + " and " + other
                    + " in " + second + ". If these are two names for one thing, give it one name.";
            default -> (c.key() < 0 ? "The bus" : message(c.key())) + ": " + says + " in " + first + ", " + other
                    + " in " + second + ".";
        };
    }

    /** Whether nobody sends unasked on this bus (LIN). */
    boolean asked() {
        return forecast.bus().format() != null && forecast.bus().format().naming().answer() != null;
    }

    /** When two schedules meet, and what then becomes of the two nodes. */
    List<String> meeting(MeetingOutlook m) {
        List<String> out = new ArrayList<>();
        String start = message(m.key()) + ": ";
        if (asked()) {
            out.add(start + "both answer the same header, so they meet each time the master asks, and their bytes lie one over"
                    + " the other. Frames broke in " + m.brokenAnyway() + " of " + m.anyDrives() + " drives of "
                    + Figures.span(forecast.options().seconds()) + ".");
            return out;
        }
        for (MeetingOutlook.Pair p : m.pairs()) {
            String who = m.pairs().size() == 1 ? "the two schedules" : "those of the " + PlainText.name(p.first()) + " and the "
                    + PlainText.name(p.second());
            out.add((out.isEmpty() ? start : "And ") + (Double.isNaN(p.rhythmSeconds())
                    ? who + " have no common rhythm, so they meet at any time."
                    : who + " drift past each other and meet about every " + spans(p.every())
                    + ", by how the clocks happen to differ; no more often than every " + Figures.span(p.soonestSeconds())
                    + " with clocks as true as the layouts say."));
        }
        out.add("Left to chance, frames broke in " + m.brokenAnyway() + " of " + m.anyDrives() + " drives of "
                + Figures.span(forecast.options().seconds()) + "; where the schedules met in the drive, in " + m.broken()
                + " of " + m.drives() + ".");
        if (m.headOn() == 0) return out;
        out.add("Where " + (m.nodes().size() == 2 ? "both" : "all of them") + " began in the same bit ("
                + Figures.count(m.headOn(), "drive", "drives") + "): "
                + range(m.damaged(), "damaged frames") + "; the longest time without a whole frame was "
                + spans(m.silence()) + ".");
        if (forecast.bus().format() != null) return out;
        List<String> fates = new ArrayList<>();
        for (MeetingOutlook.Fate f : m.fates()) {
            fates.add(PlainText.name(f.node()) + " up to " + range(f.counter(), "") + ", error passive in "
                    + f.errorPassive() + " of " + m.headOn() + ", bus-off in " + f.busOff() + " of " + m.headOn());
        }
        out.add("Transmit error counters then: " + String.join("; ", fates) + ". (Above 127 a node is error passive and"
                + " signals errors only quietly; above 255 it leaves the bus.)");
        return out;
    }

    String protection(ProtectionOutlook p) {
        int senders = p.carriers().size() + p.others().size();
        String start = PlainText.name(p.protection().name()) + " in the " + PlainText.name(p.protection().node()) + " ("
                + PlainText.name(p.protection().does()) + "): ";
        String who = p.carriers().isEmpty() ? "nobody sends what it watches, so it will never act. "
                : senders == 1 ? "one sender tells it. "
                : "two senders tell it different things. ";
        return start + who + (p.acts() == 0 ? "It acted in none of " : "It acted in " + p.acts() + " of ")
                + Figures.count(p.drives(), "simulated drive", "simulated drives") + ".";
    }

    String load() {
        if (Double.isNaN(forecast.load().most())) return "The load was not analysed: frame lengths are known for"
                + " CAN and CAN FD only, not for " + PlainText.name(forecast.bus().coding()) + ".";
        String left = forecast.load().notCounted().isEmpty() ? "" : " Not counted, for no period is documented: "
                + Figures.list(names(forecast.load().notCounted()), MOST_NAMED) + ".";
        if (asked()) return "The master's schedule is " + Figures.percent(forecast.load().least()) + " full with frames of nominal"
                + " length, and " + Figures.percent(forecast.load().most()) + " with slots as long as a frame may take (1.4 times"
                + " that, LIN 2.2A), at " + Figures.rate(forecast.bus().bitsPerSecond()) + "." + left;
        return "Bus load " + Figures.percent(forecast.load().least()) + " without stuff bits to "
                + Figures.percent(forecast.load().most()) + " with as many as there can be, at "
                + Figures.rate(forecast.bus().bitsPerSecond()) + payloads() + ", messages with a period alone." + left;
    }

    private String payloads() {
        if (!forecast.bus().isFlexible()) return "";
        return " and payloads at " + Figures.rate(forecast.bus().dataBitsPerSecond()) + " (each message in a CAN FD frame or,"
                + " up to 8 bytes and where that is longer or shorter, a classical one)";
    }

    /** The message that comes nearest to its period in the worst case; empty where none was analysed. */
    String slowest() {
        ResponseTime worst = null;
        for (ResponseTime r : forecast.responses()) {
            if (!r.notAnalysed().isEmpty() || !(r.periodSeconds() > 0)) continue;
            if (worst == null || r.responseSeconds() / r.periodSeconds() > worst.responseSeconds() / worst.periodSeconds()) {
                worst = r;
            }
        }
        if (worst == null) return "";
        long left = forecast.responses().stream().filter(r -> !r.notAnalysed().isEmpty()).count();
        return "Nearest to its period in the worst case: " + message(worst.key(), worst.node()) + " from the "
                + PlainText.name(worst.node()) + ", " + response(worst) + " of " + millis(worst.periodSeconds()) + "."
                + (left > 0 ? " " + Figures.count(left) + " not analysed: --all says why." : "");
    }

    String response(ResponseTime r) {
        if (!r.notAnalysed().isEmpty()) return "not analysed: " + r.notAnalysed();
        if (Double.isInfinite(r.responseSeconds())) return "never settles: the bus is too full";
        return millis(r.responseSeconds()) + (r.late() ? ", too late" : "");
    }

    static String millis(double seconds) {
        return Double.isNaN(seconds) ? "none" : Figures.short3(seconds * 1e3) + "\u00A0ms";
    }

    /** Streams that carry a message, for a list of who sends what. */
    List<String> senders(long key) {
        return forecast.bus().senders(key).stream().map(Stream::node).map(PlainText::name).toList();
    }
}
