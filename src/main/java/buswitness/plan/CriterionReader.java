package buswitness.plan;

import buswitness.frames.MessageKey;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Quantity;
import buswitness.schema.Signal;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.List;

/** Reads one entry of {@code judge:}; its first subject word says what kind it is. */
final class CriterionReader {
    private static final List<String> BUS = List.of("one sender each", "no damaged frames", "nothing flaps",
            "nothing restarts", "falls silent");
    private final Layout layout;

    CriterionReader(Layout layout) {
        this.layout = layout;
    }

    Criterion read(YamlMap map) {
        String subject = null;
        for (String word : List.of("signal", "lamp", "gauge", "message", "bus", "line", "person")) {
            if (!map.has(word)) continue;
            if (subject != null) throw map.fault(word, "is about two things", "make two entries of it");
            subject = word;
        }
        if (subject == null) {
            throw map.fault("does not say what is judged",
                    "begin with signal, lamp, gauge, message, bus, line or person");
        }
        return switch (subject) {
            case "signal" -> ofSignal(map);
            case "lamp" -> ofLamp(map);
            case "gauge" -> ofGauge(map);
            case "message" -> ofMessage(map);
            case "bus" -> ofBus(map);
            case "line" -> ofLine(map);
            default -> new Criterion.Person(map.allow("person").get("person").text());
        };
    }

    /** A signal by its name, or {@code message / signal} where two messages use the same name. */
    Reference signal(YamlValue value) {
        String wanted = value.text();
        List<Reference> hits = new ArrayList<>();
        List<String> names = new ArrayList<>();
        for (Message message : layout.messages()) {
            for (Signal signal : message.carries()) {
                if ((message.name() + " / " + signal.name()).equals(wanted)) return new Reference(message, signal);
                if (signal.name().equals(wanted)) hits.add(new Reference(message, signal));
                names.add(signal.name());
            }
        }
        if (hits.size() == 1) return hits.get(0);
        if (hits.isEmpty()) throw value.unknown("signal", names);
        throw value.fault("'" + wanted + "' is carried by " + hits.size() + " messages", "say which, such as '"
                + hits.get(0).message().name() + " / " + wanted + "'");
    }

    private Criterion ofSignal(YamlMap map) {
        map.allow("signal", "equals", "tolerance", "between", "rises by", "falls by", "follows", "ratio", "offset",
                "delay at most", "counts", "pulses per km", "pulses per turn", "blinks", "lit for", "goes out within",
                "comes on within");
        Reference signal = signal(map.get("signal"));
        String how = only(map, "equals", "between", "rises by", "falls by", "follows", "counts", "blinks",
                "goes out within", "comes on within");
        switch (how) {
            case "equals" -> {
                allow(map, "signal", "equals", "tolerance");
                double value = map.get("equals").number();
                double exact = signal.resolution() == 0 ? 0 : signal.step();
                double tolerance = map.has("tolerance") ? map.get("tolerance").number(0, 1e12) : exact;
                return new Criterion.Between(signal, value - tolerance, value + tolerance, tolerance == exact);
            }
            case "between" -> {
                allow(map, "signal", "between");
                YamlValue.Range range = map.get("between").range();
                return new Criterion.Between(signal, range.from(), range.until(), false);
            }
            case "rises by", "falls by" -> {
                allow(map, "signal", how);
                return new Criterion.Moves(signal, how.equals("rises by"), map.get(how).number(1e-12, 1e12));
            }
            case "follows" -> {
                allow(map, "signal", "follows", "ratio", "offset", "tolerance", "delay at most");
                double ratio = map.has("ratio") ? map.get("ratio").number() : 1;
                double offset = map.has("offset") ? map.get("offset").number() : 0;
                double delay = map.has("delay at most")
                        ? map.get("delay at most").quantity(Quantity.TIME, 0, 60) : Double.NaN;
                return new Criterion.Follows(signal, signal(map.get("follows")), ratio, offset,
                        map.need("tolerance", "tolerance: 20").number(0, 1e12), delay);
            }
            case "counts" -> {
                return counts(map, signal);
            }
            default -> {
                return onOff(map, "signal", how, new Criterion.Switch(null, signal));
            }
        }
    }

    private static Criterion counts(YamlMap map, Reference signal) {
        allow(map, "signal", "counts", "pulses per km", "pulses per turn", "tolerance");
        if (map.has("pulses per km") == map.has("pulses per turn")) {
            throw map.fault("counts", "needs 'pulses per km' or 'pulses per turn', one of the two",
                    "add it, such as pulses per km: 2548");
        }
        boolean km = map.has("pulses per km");
        double pulses = map.get(km ? "pulses per km" : "pulses per turn").number(1e-3, 1e7);
        double tolerance = map.need("tolerance", "tolerance: 2 %").quantity(Quantity.SHARE, 1e-6, 1);
        return new Criterion.Counts(signal, map.get("counts").text(), pulses, km, (km ? 3600 : 60) / pulses,
                tolerance);
    }

    private Criterion ofLamp(YamlMap map) {
        map.allow("lamp", "is", "blinks", "lit for", "goes out within", "comes on within", "flaps");
        YamlValue named = map.get("lamp");
        Instrument found = instrument(named, true);
        String how = only(map, "is", "blinks", "goes out within", "comes on within", "flaps");
        if (how.equals("flaps")) return flaps(map, "lamp", found);
        Criterion.Switch subject = new Criterion.Switch((Lamp) found, null);
        if (how.equals("is")) {
            allow(map, "lamp", "is");
            return new Criterion.Is(subject, map.get("is").oneOf("lit", "dark").equals("lit"));
        }
        return onOff(map, "lamp", how, subject);
    }

    private Criterion ofGauge(YamlMap map) {
        map.allow("gauge", "flaps");
        Instrument found = instrument(map.get("gauge"), false);
        map.need("flaps", "flaps: never");
        return flaps(map, "gauge", found);
    }

    private static Criterion flaps(YamlMap map, String kind, Instrument found) {
        allow(map, kind, "flaps");
        map.get("flaps").oneOf("never");
        return new Criterion.NothingFlaps(found.name());
    }

    private Instrument instrument(YamlValue named, boolean lamp) {
        List<String> names = new ArrayList<>();
        for (Instrument i : layout.instruments()) {
            if (i instanceof Lamp != lamp) continue;
            if (i.name().equals(named.text())) return i;
            names.add(i.name());
        }
        throw named.unknown(lamp ? "lamp" : "gauge", names);
    }

    private static Criterion onOff(YamlMap map, String kind, String how, Criterion.Switch subject) {
        if (how.equals("blinks")) {
            allow(map, kind, "blinks", "lit for");
            YamlValue.Range rate = map.get("blinks").quantityRange(Quantity.PER_TIME);
            double low = Double.NaN;
            double high = Double.NaN;
            if (map.has("lit for")) {
                YamlValue.Range share = map.get("lit for").quantityRange(Quantity.SHARE);
                low = share.from();
                high = share.until();
            }
            return new Criterion.Blinks(subject, rate.from() * 60, rate.until() * 60, low, high);
        }
        allow(map, kind, how);
        return new Criterion.Turns(subject, how.equals("comes on within"),
                map.get(how).quantity(Quantity.TIME, 1e-3, PlanReader.LONGEST_SECONDS));
    }

    private Criterion ofMessage(YamlMap map) {
        map.allow("message", "every", "tolerance", "longest pause", "senders");
        YamlValue named = map.get("message");
        Message message = message(named);
        if (only(map, "every", "senders").equals("senders")) {
            allow(map, "message", "senders");
            map.get("senders").oneOf("one", "1");
            return new Criterion.OneSender(message);
        }
        double period = map.get("every").quantity(Quantity.TIME, 1e-4, 3600);
        double tolerance = map.has("tolerance") ? map.get("tolerance").quantity(Quantity.SHARE, 1e-7, 1) : 0.05;
        double longest = map.has("longest pause")
                ? map.get("longest pause").quantity(Quantity.TIME, period, 3600) : Double.NaN;
        return new Criterion.Every(message, period, tolerance, longest);
    }

    private Message message(YamlValue named) {
        List<String> names = new ArrayList<>();
        for (Message m : layout.messages()) {
            if (m.name().equals(named.text()) || MessageKey.text(MessageKey.of(m)).equalsIgnoreCase(named.text())) return m;
            names.add(m.name());
        }
        throw named.unknown("message", names);
    }

    private static Criterion ofBus(YamlMap map) {
        map.allow("bus", "within", "for");
        String what = map.get("bus").text();
        if (!BUS.contains(what)) throw map.get("bus").unknown("judgement of the bus", BUS);
        if (what.equals("falls silent")) {
            return new Criterion.FallsSilent(
                    map.need("within", "within: 60 s").quantity(Quantity.TIME, 0, PlanReader.LONGEST_SECONDS),
                    map.need("for", "for: 10 min").quantity(Quantity.TIME, 1e-3, PlanReader.LONGEST_SECONDS));
        }
        allow(map, "bus");
        return switch (what) {
            case "one sender each" -> new Criterion.OneSender(null);
            case "no damaged frames" -> new Criterion.NoDamage();
            case "nothing flaps" -> new Criterion.NothingFlaps(null);
            default -> new Criterion.NoRestart();
        };
    }

    private static Criterion ofLine(YamlMap map) {
        map.allow("line", "follows", "inverted", "delay", "ratio", "tolerance");
        String line = map.get("line").text();
        String other = map.need("follows", "follows: starter").text();
        if (!map.has("delay") && !map.has("ratio")) {
            throw map.fault("says neither 'delay' nor 'ratio'", "add one, such as delay: 0..300 ms");
        }
        double low = Double.NaN;
        double high = Double.NaN;
        if (map.has("delay")) {
            YamlValue.Range delay = map.get("delay").quantityRange(Quantity.TIME);
            low = delay.from();
            high = delay.until();
        }
        double ratio = map.has("ratio") ? map.get("ratio").number(1e-6, 1e6) : Double.NaN;
        double tolerance = map.has("tolerance") ? map.get("tolerance").quantity(Quantity.SHARE, 1e-6, 1) : 0.01;
        return new Criterion.LineFollows(line, other, map.has("inverted") && map.get("inverted").flag(), low, high,
                ratio, tolerance);
    }

    /** Which of several ways to judge is meant. */
    private static String only(YamlMap map, String... ways) {
        String found = null;
        for (String way : ways) {
            if (!map.has(way)) continue;
            if (found != null) {
                throw map.fault(way, "is judged in two ways", "make two entries of it");
            }
            found = way;
        }
        if (found == null) throw map.fault("does not say how it is judged", "add one of: " + String.join(", ", ways));
        return found;
    }

    private static void allow(YamlMap map, String... words) {
        map.allow(words);
    }
}
