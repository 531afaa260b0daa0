package buswitness.calibrate;

import buswitness.map.FieldKind;
import buswitness.problem.Progress;
import java.util.Locale;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;

/** Measures how well {@code map} finds senders, schedules and payload structure on random buses with known truth. */
public final class MapScores {
    private static final long SEED_STEP = 100_000;

    private MapScores() {}

    /**
     * What a run gives.
     *
     * @param text   the figures as Markdown
     * @param failed buses that ended in a fault of the program
     */
    public record Report(String text, int buses, int failed) {}

    /**
     * Draws, records, judges and maps so many buses. The result does not depend on the number of threads.
     *
     * @param told hears of everything that was wrong
     */
    public static Report run(long seed, int buses, int threads, Progress progress, Consumer<String> told) {
        MapScore[] scores = new MapScore[buses];
        AtomicInteger next = new AtomicInteger();
        AtomicInteger failed = new AtomicInteger();
        AtomicInteger done = new AtomicInteger();
        Runnable work = () -> {
            for (int i = next.getAndIncrement(); i < buses; i = next.getAndIncrement()) {
                try {
                    scores[i] = MapScore.run(seed * SEED_STEP + i, told);
                } catch (RuntimeException | StackOverflowError fault) {
                    failed.incrementAndGet();
                    told.accept("bus " + (seed * SEED_STEP + i) + ": a fault of the program, " + fault);
                }
                synchronized (progress) {
                    progress.at("mapping buses", done.incrementAndGet(), buses);
                }
            }
        };
        Thread[] all = new Thread[threads];
        for (int t = 0; t < threads; t++) {
            all[t] = new Thread(work, "map-scores-" + t);
            all[t].start();
        }
        for (Thread t : all) join(t);
        MapScore sum = new MapScore();
        for (MapScore s : scores) if (s != null) sum.add(s);
        return new Report(text(sum, seed, failed.get()), sum.buses, failed.get());
    }

    private static void join(Thread thread) {
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        }
    }

    private static String text(MapScore s, long seed, int failed) {
        StringBuilder out = new StringBuilder();
        out.append(String.format(Locale.ROOT, "%d buses of seed %d, %d messages, %d faults of the program.%n%n", s.buses, seed,
                s.messages, failed));
        out.append("| what | right of claimed | precision (95 %) | right of there | recall |\n|---|---|---|---|---|\n");
        row(out, "senders: pairs of messages with one sender", s.senders);
        row(out, "schedules: period within 0.1 %", s.periods);
        MapScore.Tally both = new MapScore.Tally();
        both.add(s.bounds);
        both.add(s.edges);
        row(out, "bounds between neighbouring bits that both changed", both);
        row(out, "- of these within a byte", s.bounds);
        row(out, "- of these between bytes", s.edges);
        for (FieldKind k : FieldKind.values()) {
            if (k != FieldKind.CONSTANT && k != FieldKind.UNCLEAR) row(out, "kind: " + k.text(), s.kinds.get(k));
        }
        row(out, "values whose bounds are right: signed", s.signs);
        row(out, "values of 16 bits whose bounds are right: low byte first", s.orders);
        out.append("\nConfidence stated for values, and how many of them had right bounds:\n\n"
                + "| stated | values | right |\n|---|---|---|\n");
        for (int i = 0; i < s.confidence.length; i++) {
            long n = s.confidence[i][0];
            if (n == 0) continue;
            out.append(String.format(Locale.ROOT, "| %.1f to %.1f | %d | %.3f |%n", i / 10.0, (i + 1) / 10.0, n,
                    (double) s.confidence[i][1] / n));
        }
        return out.toString().replace("\r\n", "\n");
    }

    private static void row(StringBuilder out, String what, MapScore.Tally t) {
        String precision = t.claimed == 0 ? "-" : String.format(Locale.ROOT, "%.4f (%.4f to %.4f)", t.precision(),
                Bound.low(t.right, t.claimed), Bound.high(t.right, t.claimed));
        String recall = t.there == 0 ? "-" : String.format(Locale.ROOT, "%.4f", t.recall());
        out.append(String.format(Locale.ROOT, "| %s | %d of %d | %s | %d of %d | %s |%n", what, t.right, t.claimed, precision,
                t.met, t.there, recall));
    }
}
