package buswitness.calibrate;

import buswitness.calibrate.Outcome.ClashOutcome;
import buswitness.calibrate.Outcome.Judged;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;
import java.util.function.ToDoubleFunction;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;

/** Counts outcomes into tables of shares. */
final class Rates {
    private static final String ACCUSED = "false accusations";
    private static final String TARGET = "found: separated by 6 or more, 20 s or more (target 99 %)";
    private static final String BELOW = "found: separated by less than 6 in every kind";
    private static final String FRAMES =
            "frames of clashes found, separated by 6 or more, 20 s or more (target 99.5 %)";
    private static final double[] SECONDS = {5, 20, 60, 180, 601};

    /** A share. {@code upper} is the one-sided 95 % bound, low and high the two-sided interval. */
    private record Row(String table, String name, long hits, long of) {}

    /** A clash and the bus it is on. */
    private record Case(Outcome bus, ClashOutcome clash) {
        double seconds() {
            return bus.bus().scenario().durationSeconds();
        }
    }

    private final List<Row> rows = new ArrayList<>();

    private Rates() {}

    static Rates of(Outcome[] outcomes) {
        Rates rates = new Rates();
        List<Outcome> sound = Arrays.stream(outcomes).filter(o -> o.failure() == null).toList();
        rates.add("program faults", "buses on which the program failed", outcomes.length - sound.size(),
                outcomes.length);
        rates.innocent(sound);
        List<Case> cases = new ArrayList<>();
        for (Outcome outcome : sound) for (ClashOutcome clash : outcome.clashes()) cases.add(new Case(outcome, clash));
        rates.found(sound, cases);
        rates.attributed(cases);
        return rates;
    }

    private void add(String table, String name, long hits, long of) {
        if (of > 0) rows.add(new Row(table, name, hits, of));
    }

    private void innocent(List<Outcome> all) {
        List<Outcome> single = all.stream().filter(o -> !RandomBus.isClash(o.seed())).toList();
        List<Outcome> two = all.stream().filter(o -> RandomBus.isClash(o.seed())).toList();
        String table = ACCUSED;
        add(table, "buses with one sender a message", count(single, Outcome::falselyAccused), single.size());
        add(table, "messages on them", single.stream().mapToLong(o -> o.accused().size()).sum(),
                single.stream().mapToLong(Outcome::messages).sum());
        add(table, "buses with a second sender: another message accused", count(two, Outcome::falselyAccused),
                two.size());
        add(table, "innocent messages on them", two.stream().mapToLong(o -> o.accused().size()).sum(),
                two.stream().mapToLong(o -> Math.max(0, o.messages() - o.clashes().size())).sum());
        add("undecided", "messages of one sender left undecided", single.stream().mapToLong(Outcome::undecided).sum(),
                single.stream().mapToLong(Outcome::messages).sum());
        add("undecided", "buses with one sender a message that have one", count(single, o -> o.undecided() > 0),
                single.size());
        for (Confounder confounder : Confounder.values()) {
            List<Outcome> with = single.stream().filter(o -> o.bus().confounders().contains(confounder)).toList();
            add("false accusations by confounder", confounder.text, count(with, Outcome::falselyAccused), with.size());
        }
        for (Confounder confounder : Confounder.values()) {
            List<Outcome> with = single.stream().filter(o -> o.bus().confounders().contains(confounder)).toList();
            add("buses with undecided messages by confounder", confounder.text, count(with, o -> o.undecided() > 0),
                    with.size());
        }
    }

    private static long count(List<Outcome> all, Predicate<Outcome> what) {
        return all.stream().filter(what).count();
    }

    private void found(List<Outcome> sound, List<Case> cases) {
        double enough = Separation.ENOUGH;
        List<Case> target = cases.stream()
                .filter(c -> c.seconds() >= 20 && c.clash.separation().best() >= enough).toList();
        judged(TARGET, "all", target);
        judged(TARGET, "by schedules",
                target.stream().filter(c -> c.clash.separation().schedules() >= enough).toList());
        judged(TARGET, "by schedules, and the clocks themselves lie 6 apart",
                target.stream().filter(c -> c.clash.separation().schedules() >= enough
                        && c.clash.separation().clocks() >= enough).toList());
        judged("found: separated by 6 or more, 20 s or more (target 99 %)", "by payload, not by schedules",
                target.stream().filter(c -> !(c.clash.separation().schedules() >= enough)
                        && c.clash.separation().payload() >= enough).toList());
        judged(TARGET, "by the wire alone",
                target.stream().filter(c -> !(c.clash.separation().schedules() >= enough)
                        && !(c.clash.separation().payload() >= enough)).toList());
        List<Outcome> clear = sound.stream().filter(o -> o.bus().scenario().durationSeconds() >= 20
                && o.clashes().stream().anyMatch(c -> c.separation().best() >= enough)).toList();
        add(TARGET, "buses with at least one found",
                count(clear, o -> o.clashes().stream().anyMatch(c -> c.judged() == Judged.FOUND)), clear.size());
        judged(BELOW, "all", cases.stream().filter(c -> !(c.clash.separation().best() >= enough)).toList());
        ladder("by separation of schedules", cases, c -> c.clash.separation().schedules());
        ladder("by separation of payload", cases, c -> c.clash.separation().payload());
        ladder("by separation on the wire", cases, c -> c.clash.separation().wire());
        for (int i = 0; i + 1 < SECONDS.length; i++) {
            double low = SECONDS[i];
            double high = SECONDS[i + 1];
            String name = String.format(Locale.ROOT, "%.0f to %.0f s", low, Math.min(600, high));
            judged("by length, all clashes", name, within(cases, Case::seconds, low, high));
        }
        for (int i = 0; i + 1 < SECONDS.length; i++) {
            String name = String.format(Locale.ROOT, "%.0f to %.0f s", SECONDS[i], Math.min(600, SECONDS[i + 1]));
            judged("by length, separated by 6 or more", name, within(cases, Case::seconds, SECONDS[i], SECONDS[i + 1])
                    .stream().filter(c -> c.clash.separation().best() >= enough).toList());
        }
        for (String style : List.of("equal periods", "different periods", "events", "one much faster", "head-on")) {
            judged("by schedule of the second sender", style,
                    cases.stream().filter(c -> c.bus.bus().style().equals(style)).toList());
        }
        for (String data : List.of("differ", "differ a little", "agree")) {
            judged("by data", data, cases.stream().filter(c -> c.bus.bus().data().equals(data)).toList());
        }
        judged("by frames broken head-on", "none", cases.stream().filter(c -> c.clash.headOn() == 0).toList());
        judged("by frames broken head-on", "16 or more", cases.stream().filter(c -> c.clash.headOn() >= 16).toList());
    }

    private void ladder(String table, List<Case> cases, ToDoubleFunction<Case> z) {
        judged(table, "under 2 standard errors", within(cases, z, -1, 2));
        judged(table, "2 to 6", within(cases, z, 2, 6));
        judged(table, "6 to 20", within(cases, z, 6, 20));
        judged(table, "20 or more", within(cases, z, 20, Double.POSITIVE_INFINITY));
    }

    private static List<Case> within(List<Case> cases, ToDoubleFunction<Case> figure, double low, double high) {
        return cases.stream().filter(c -> figure.applyAsDouble(c) >= low && figure.applyAsDouble(c) < high).toList();
    }

    private void judged(String table, String name, List<Case> cases) {
        for (Judged judged : Judged.values()) {
            String how = switch (judged) {
                case FOUND -> "found";
                case UNDECIDED -> "undecided";
                case MISSED -> "called one sender";
                case UNSEEN -> "not seen at all";
            };
            long hits = cases.stream().filter(c -> c.clash.judged() == judged).count();
            if (judged != Judged.UNSEEN || hits > 0) add(table, name + ": " + how, hits, cases.size());
        }
    }

    private void attributed(List<Case> cases) {
        List<Case> clear = cases.stream().filter(c -> c.clash.judged() == Judged.FOUND
                && c.clash.separation().best() >= Separation.ENOUGH && c.seconds() >= 20).toList();
        frames(FRAMES, clear);
        frames("frames of all clashes found",
                cases.stream().filter(c -> c.clash.judged() == Judged.FOUND).toList());
    }

    private void frames(String table, List<Case> cases) {
        long outside = cases.stream().mapToLong(c -> c.clash.outside()).sum();
        long right = cases.stream().mapToLong(c -> c.clash.right()).sum();
        long open = cases.stream().mapToLong(c -> c.clash.open()).sum();
        long inside = cases.stream().mapToLong(c -> c.clash.inside()).sum();
        long insideRight = cases.stream().mapToLong(c -> c.clash.insideRight()).sum();
        long insideOpen = cases.stream().mapToLong(c -> c.clash.insideOpen()).sum();
        add(table, "outside crossings: to the right sender", right, outside);
        add(table, "outside crossings: to the wrong one", outside - right - open, outside);
        add(table, "outside crossings: left open", open, outside);
        add(table, "in crossings: to the right sender", insideRight, inside);
        add(table, "in crossings: to the wrong one", inside - insideRight - insideOpen, inside);
        add(table, "in crossings: left open", insideOpen, inside);
    }

    String csv() throws IOException {
        StringBuilder out = new StringBuilder();
        try (CSVPrinter csv = new CSVPrinter(out, CSVFormat.RFC4180)) {
            csv.printRecord("table", "row", "hits", "of", "share", "low_95", "high_95", "upper_bound_95");
            for (Row row : rows) {
                csv.printRecord(row.table, row.name, row.hits, row.of, share(row),
                        number(Bound.low(row.hits, row.of)), number(Bound.high(row.hits, row.of)),
                        number(Bound.upper(row.hits, row.of)));
            }
        }
        return out.toString();
    }

    private static String share(Row row) {
        return number((double) row.hits / row.of);
    }

    private static String number(double value) {
        return String.format(Locale.ROOT, "%.6f", value);
    }

    String markdown(CalibrationPlan plan, int run) {
        int asked = 2 * plan.buses();
        StringBuilder out = new StringBuilder();
        out.append(String.format(Locale.ROOT, "# Error rates, as measured\n\nSeeds %d to %d, at most about %d frames a "
                + "recording: %d buses of %d asked for were run, every second one with a second sender. Bounds are exact "
                + "at 95 %% (Clopper and Pearson, 1934): the interval is two-sided, the upper bound one-sided. Messages "
                + "of one bus, and frames of one message, are not independent, so their bounds are too narrow; those of "
                + "buses are not.\n", plan.seedOf(0), plan.seedOf(asked - 1), plan.mostFrames(), run, asked));
        out.append("\n").append(targets());
        out.append("\n![Clashes found](detection.svg)\n\n![False accusations](false-accusations.svg)\n\n"
                + "![Frames given to senders](attribution.svg)\n");
        String table = "";
        for (Row row : rows) {
            if (!row.table.equals(table)) {
                table = row.table;
                String title = Character.toUpperCase(table.charAt(0)) + table.substring(1);
                out.append("\n## ").append(title).append("\n\n| | of | hits | share | interval | upper bound |\n");
                out.append("|---|--:|--:|--:|--:|--:|\n");
            }
            out.append(String.format(Locale.ROOT, "| %s | %d | %d | %s | %s to %s | %s |\n", row.name, row.of, row.hits,
                    percent((double) row.hits / row.of), percent(Bound.low(row.hits, row.of)),
                    percent(Bound.high(row.hits, row.of)), percent(Bound.upper(row.hits, row.of))));
        }
        return out.toString().replace("\r\n", "\n");
    }

    /** The targets, each with what was measured. */
    private String targets() {
        StringBuilder out = new StringBuilder("| target | measured | met? |\n|---|---|---|\n");
        Row buses = row(ACCUSED, "buses with one sender a message");
        if (buses != null) {
            double upper = Bound.upper(buses.hits, buses.of);
            out.append(String.format(Locale.ROOT, "| no bus with one sender a message accused, upper bound under 0.3 %% "
                    + "| %d of %d, upper bound %s | %s |\n", buses.hits, buses.of, percent(upper),
                    buses.hits == 0 && upper < 0.003 ? "yes" : "no"));
        }
        Row found = row(TARGET, "all: found");
        if (found != null) {
            out.append(String.format(Locale.ROOT, "| separated by 6 or more, 20 s or more: 99 %% found | %d of %d, %s | %s "
                    + "|\n", found.hits, found.of, percent(found), found.hits >= 0.99 * found.of ? "yes" : "no"));
        }
        Row right = row(FRAMES, "outside crossings: to the right sender");
        Row wrong = row(FRAMES, "outside crossings: to the wrong one");
        if (right != null && wrong != null) {
            out.append(String.format(Locale.ROOT, "| 99.5 %% of the frames of those found, outside crossings, to the right "
                    + "sender | %s of %d (wrong: %s) | %s |\n", percent(right), right.of, percent(wrong),
                    right.hits >= 0.995 * right.of ? "yes" : "no"));
        }
        Row missed = row(BELOW, "all: called one sender");
        if (missed != null) {
            out.append(String.format(Locale.ROOT, "| separated by less than 6 in every kind: undecided, not called one "
                    + "sender | called one sender: %d of %d, %s | %s |\n", missed.hits, missed.of, percent(missed),
                    missed.hits == 0 ? "yes" : "no"));
        }
        return out.toString();
    }

    private Row row(String table, String name) {
        for (Row row : rows) if (row.table.equals(table) && row.name.equals(name)) return row;
        return null;
    }

    private static String percent(Row row) {
        return percent((double) row.hits / row.of);
    }

    private static String percent(double share) {
        return String.format(Locale.ROOT, share > 0 && share < 0.1 ? "%.3f %%" : "%.2f %%", 100 * share);
    }
}
