package buswitness.calibrate;

import buswitness.Findings;
import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import buswitness.problem.Progress;
import buswitness.simulate.Simulations;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Arrays;
import java.util.Map;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Consumer;

/** Measures how often the product accuses wrongly and how often it finds what is there: the package's front door. */
public final class Calibration {
    private Calibration() {}

    /**
     * What a run gives.
     *
     * @param buses            one row a bus, CSV
     * @param rates            one row a figure, CSV
     * @param text             the same figures as Markdown
     * @param plots            SVG pictures by file name, in order
     * @param falseAccusations buses of any kind on which a message with one sender was accused
     * @param run              buses done, of {@code asked}
     */
    public record Report(String buses, String rates, String text, Map<String, String> plots, int falseAccusations,
                         int run, int asked) {}

    /**
     * Runs a plan. Buses are independent of each other and counted in the order of their seeds.
     *
     * @param told hears a line about each bus that went wrong, as soon as it is known, from any thread
     */
    public static Report run(CalibrationPlan plan, Progress progress, Consumer<String> told) {
        int asked = 2 * plan.buses();
        Outcome[] outcomes = new Outcome[asked];
        AtomicInteger next = new AtomicInteger();
        AtomicInteger done = new AtomicInteger();
        long began = System.nanoTime();
        Runnable work = () -> {
            while ((System.nanoTime() - began) * 1e-9 < plan.stopAfterSeconds()) {
                int bus = next.getAndIncrement();
                if (bus >= asked) return;
                Outcome outcome = Trial.run(plan.seedOf(bus), plan.mostFrames());
                outcomes[bus] = outcome;
                String wrong = Wording.wrong(outcome);
                if (wrong != null) told.accept(wrong);
                synchronized (progress) {
                    progress.at("judging buses", done.incrementAndGet(), asked);
                }
            }
        };
        Thread[] threads = new Thread[plan.threads()];
        for (int i = 0; i < threads.length; i++) {
            threads[i] = new Thread(work, "calibrate-" + i);
            threads[i].start();
        }
        for (Thread thread : threads) join(thread);
        Outcome[] all = Arrays.stream(outcomes).filter(o -> o != null).toArray(Outcome[]::new);
        return report(all, plan);
    }

    private static void join(Thread thread) {
        try {
            thread.join();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted", e);
        }
    }

    private static Report report(Outcome[] all, CalibrationPlan plan) {
        int asked = 2 * plan.buses();
        try {
            int wrong = (int) Arrays.stream(all).filter(Outcome::falselyAccused).count();
            Rates rates = Rates.of(all);
            return new Report(BusesCsv.of(all), rates.csv(), rates.markdown(plan, all.length),
                    RatePlots.of(all), wrong, all.length, asked);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /**
     * One bus, told at length.
     *
     * @param findings all that the product found on it
     * @param accusedWrongly whether a message with one sender was accused
     */
    public record Single(String text, Findings findings, boolean accusedWrongly) {}

    /** Draws the bus of one seed again and judges it. */
    public static Single only(long seed, int mostFrames) {
        RandomBus bus = RandomBus.of(seed, mostFrames);
        Trial trial = Trial.of(bus);
        Outcome outcome = trial.outcome(seed);
        return new Single(Wording.whole(outcome, trial.findings()), trial.findings(), outcome.falselyAccused());
    }

    /** What the recording of that bus says of itself. */
    public static RecordingInfo info(long seed, int mostFrames) {
        return RandomBus.of(seed, mostFrames).scenario().info();
    }

    /** Makes the recording of that bus, to look at with the other commands. */
    public static void record(long seed, int mostFrames, EdgeSink sink, buswitness.simulate.TruthSink truth) {
        Simulations.run(RandomBus.of(seed, mostFrames).scenario(), sink, truth);
    }
}
