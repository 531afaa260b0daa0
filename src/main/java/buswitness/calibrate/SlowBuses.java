package buswitness.calibrate;

import buswitness.problem.Progress;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;

/** Measures how often {@code prove} is right on random buses other than CAN, with known truth. */
public final class SlowBuses {
    /** Clocks apart, parts per million: bounds of the table's rows. */
    private static final double[] APART = {0, 100, 1_000, 4_000, Double.POSITIVE_INFINITY};

    private SlowBuses() {}

    /**
     * What a run gives.
     *
     * @param buses one row a bus, CSV
     * @param text  the figures as Markdown
     * @param falseAccusations buses on which a message with one sender was accused
     */
    public record Report(String buses, String text, int run, int falseAccusations) {}

    /** The built-in buses that it can draw: all but CAN. */
    public static List<String> codings() {
        return BusFormats.names().stream().filter(n -> !n.equals("can")).toList();
    }

    private record Kind(BusFormat format, Layout layout) {}

    /**
     * Draws, records and judges buses of each kind: as many with one sender a message as with a second one. The result does
     * not depend on the number of threads.
     *
     * @param codings built-in ones
     * @param layouts that describe a bus of their own
     * @param told    hears of every bus that went wrong, from any thread
     * @throws IllegalArgumentException for a coding that is not built in, and a layout without a bus of its own
     */
    public static Report run(CalibrationPlan plan, List<String> codings, List<Layout> layouts, Progress progress,
                             Consumer<String> told) {
        List<Kind> kinds = new ArrayList<>();
        for (String coding : codings) {
            if (!codings().contains(coding)) throw new IllegalArgumentException("no such bus: " + coding);
            kinds.add(new Kind(BusFormats.builtIn(coding), null));
        }
        for (Layout layout : layouts) {
            if (layout.format() == null) throw new IllegalArgumentException(layout.source() + " describes no bus");
            kinds.add(new Kind(layout.format(), layout));
        }
        int each = 2 * plan.buses();
        SlowTrial[] trials = new SlowTrial[each * kinds.size()];
        AtomicInteger next = new AtomicInteger();
        AtomicInteger done = new AtomicInteger();
        long began = System.nanoTime();
        Runnable work = () -> {
            for (int i = next.getAndIncrement(); i < trials.length; i = next.getAndIncrement()) {
                if ((System.nanoTime() - began) * 1e-9 >= plan.stopAfterSeconds()) return;
                // One of each kind in turn, so that a run that is stopped has as many of each.
                Kind kind = kinds.get(i % kinds.size());
                int at = i % kinds.size() * each + i / kinds.size();
                trials[at] = SlowTrial.run(kind.format, kind.layout, plan.seedOf(i / kinds.size()));
                String wrong = wrong(trials[at]);
                if (wrong != null) told.accept(wrong);
                synchronized (progress) {
                    progress.at("judging buses", done.incrementAndGet(), trials.length);
                }
            }
        };
        Thread[] threads = new Thread[plan.threads()];
        for (int t = 0; t < threads.length; t++) {
            threads[t] = new Thread(work, "slow-buses-" + t);
            threads[t].start();
        }
        for (Thread thread : threads) join(thread);
        List<SlowTrial> all = Arrays.stream(trials).filter(t -> t != null).toList();
        int wrong = (int) all.stream().filter(t -> !t.accused().isEmpty()).count();
        return new Report(csv(all), text(all, kinds, plan), all.size(), wrong);
    }

    private static void join(Thread thread) {
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        }
    }

    private static String wrong(SlowTrial t) {
        String bus = t.bus().scenario().name() + " " + t.bus().seed() + ": ";
        if (!t.accused().isEmpty()) return bus + "accused wrongly " + t.accused() + ", " + t.bus().habits();
        if (t.judged() == Outcome.Judged.MISSED) return bus + "two senders called one, " + t.bus().habits();
        if (!t.recognised().equals(t.bus().scenario().name())) return bus + "taken for " + t.recognised();
        return null;
    }

    private static String csv(List<SlowTrial> all) {
        StringBuilder out = new StringBuilder("coding,seed,recognised,messages,accused,undecided,second,clocks_apart_ppm,"
                + "alike_share,whole_first,whole_second,damaged,habits\r\n");
        for (SlowTrial t : all) {
            out.append(String.format(Locale.ROOT, "%s,%d,%s,%d,%d,%d,%s,%s,%s,%d,%d,%d,%s\r\n", t.bus().scenario().name(),
                    t.bus().seed(), t.recognised(), t.messages(), t.accused().size(), t.open().size(),
                    t.judged() == null ? "" : t.judged().name().toLowerCase(Locale.ROOT), plain(t.bus().clocksApart(), 1),
                    plain(t.alike(), 3), t.wholeFirst(), t.wholeSecond(), t.damaged(),
                    String.join("; ", t.bus().habits().stream().distinct().sorted().toList())));
        }
        return out.toString();
    }

    private static String plain(double value, int digits) {
        return Double.isNaN(value) ? "" : String.format(Locale.ROOT, "%." + digits + "f", value);
    }

    private static String text(List<SlowTrial> all, List<Kind> kinds, CalibrationPlan plan) {
        StringBuilder out = new StringBuilder(String.format(Locale.ROOT, "%d buses of seed %d, each 40 s at a tick of 1 us."
                + " Bounds in parentheses: 95 %%, one-sided for accusations, else two-sided (Clopper and Pearson).%n%n",
                all.size(), plan.seed()));
        out.append("| bus | one sender a message | accused wrongly | messages left undecided | with a second sender | found |"
                + " undecided | called one sender | wrong bus |\n|---|---|---|---|---|---|---|---|---|\n");
        for (Kind kind : kinds) {
            List<SlowTrial> of = all.stream().filter(t -> t.bus().scenario().name().equals(kind.format.name())).toList();
            out.append(row(kind.format.title(), of));
        }
        if (kinds.size() > 1) out.append(row("all", all));
        out.append("\n| bus, clocks apart | with a second sender | found | undecided | called one sender |\n|---|---|---|---|---|\n");
        for (Kind kind : kinds) {
            for (int i = 0; i + 1 < APART.length; i++) {
                double from = APART[i];
                double until = APART[i + 1];
                List<SlowTrial> of = all.stream().filter(t -> t.bus().scenario().name().equals(kind.format.name())
                        && t.bus().clocksApart() >= from && t.bus().clocksApart() < until).toList();
                if (of.isEmpty()) continue;
                String span = Double.isInfinite(until) ? String.format(Locale.ROOT, "%.0f ppm and more", from)
                        : String.format(Locale.ROOT, "%.0f to %.0f ppm", from, until);
                out.append(String.format(Locale.ROOT, "| %s, %s | %d | %s | %s | %s |%n", kind.format.title(), span, of.size(),
                        share(judged(of, Outcome.Judged.FOUND), of.size()), judged(of, Outcome.Judged.UNDECIDED)
                                + judged(of, Outcome.Judged.UNSEEN), judged(of, Outcome.Judged.MISSED)));
            }
        }
        return out.toString().replace("\r\n", "\n");
    }

    private static String row(String title, List<SlowTrial> of) {
        List<SlowTrial> one = of.stream().filter(t -> t.judged() == null).toList();
        List<SlowTrial> two = of.stream().filter(t -> t.judged() != null).toList();
        long accused = of.stream().filter(t -> !t.accused().isEmpty()).count();
        long open = of.stream().mapToLong(t -> t.open().size()).sum();
        long messages = of.stream().mapToLong(t -> t.messages() - (t.judged() == null ? 0 : 1)).sum();
        long other = of.stream().filter(t -> !t.recognised().equals(t.bus().scenario().name())).count();
        return String.format(Locale.ROOT, "| %s | %d | %d of %d (below %.1f %%) | %d of %d | %d | %s | %d | %d | %d |%n", title,
                one.size(), accused, of.size(), 100 * Bound.upper(accused, of.size()), open, messages, two.size(),
                share(judged(two, Outcome.Judged.FOUND), two.size()),
                judged(two, Outcome.Judged.UNDECIDED) + judged(two, Outcome.Judged.UNSEEN),
                judged(two, Outcome.Judged.MISSED), other);
    }

    private static String share(long hits, long of) {
        if (of == 0) return "-";
        return String.format(Locale.ROOT, "%d (%.0f %% to %.0f %%)", hits, 100 * Bound.low(hits, of), 100 * Bound.high(hits, of));
    }

    private static long judged(List<SlowTrial> of, Outcome.Judged wanted) {
        return of.stream().filter(t -> t.judged() == wanted).count();
    }
}
