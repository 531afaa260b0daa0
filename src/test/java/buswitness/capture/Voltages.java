package buswitness.capture;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/** Invented voltages of a line whose true instants of change are known: smooth edges, noise, droop of a coupling. */
final class Voltages {
    final double samplesPerSecond;
    final float[] samples;
    /** True instants in seconds; the line rests at 1 before the first, 0 after it, and so on. */
    final List<Double> changes = new ArrayList<>();

    /** @param edgeSeconds from level to level @param droopHertz corner of a high pass, 0 for none */
    Voltages(double bitsPerSecond, double samplesPerSecond, double seconds, double edgeSeconds, double noise,
             double droopHertz, long seed) {
        this.samplesPerSecond = samplesPerSecond;
        SplittableRandom random = new SplittableRandom(seed);
        double bit = 1 / bitsPerSecond;
        double at = 40.37 * bit;
        while (at < seconds - 20 * bit) {
            int bits = 2 * (20 + random.nextInt(20));              // an even number of changes: rests high between frames
            for (int i = 0; i < bits; i++) {
                changes.add(at);
                at += bit * (1 + random.nextInt(4));
            }
            at += bit * (10 + random.nextInt(1500));
        }
        samples = new float[(int) (seconds * samplesPerSecond)];
        double keep = droopHertz <= 0 ? 1 : Math.exp(-2 * Math.PI * droopHertz / samplesPerSecond);
        double coupled = 0;
        double last = 1;
        int next = 0;
        for (int k = 0; k < samples.length; k++) {
            double t = k / samplesPerSecond;
            while (next < changes.size() && changes.get(next) + edgeSeconds / 2 <= t) next++;
            double wire = next % 2 == 0 ? 1 : 0;
            if (next < changes.size() && t > changes.get(next) - edgeSeconds / 2) {
                double part = 0.5 - 0.5 * Math.cos(Math.PI * ((t - changes.get(next)) / edgeSeconds + 0.5));
                wire += next % 2 == 0 ? -part : part;
            }
            coupled = droopHertz <= 0 ? wire : keep * (coupled + wire - last);
            last = wire;
            samples[k] = (float) (coupled + noise * gauss(random));
        }
    }

    /** Sum of twelve even deviates, near enough to normal. */
    private static double gauss(SplittableRandom random) {
        double sum = -6;
        for (int i = 0; i < 12; i++) sum += random.nextDouble();
        return sum;
    }

    /** Reads a recording, demands every change once and no other, and tells the errors' root mean square in samples. */
    double errorSamples(Recording recording) {
        List<Double> found = new ArrayList<>();
        recording.read(new EdgeSink() {
            @Override
            public void begin(int line, long atPicos, int level) {
                if (level != 1) throw new AssertionError("rests at 1");
            }

            @Override
            public void edges(EdgeBlock block) {
                for (int i = 0; i < block.count; i++) found.add(block.atPicos[i] * 1e-12);
            }

            @Override
            public void gap(int line, long fromPicos, long untilPicos, String why) {
                throw new AssertionError("no gap");
            }

            @Override
            public void end(long atPicos) {}
        }, buswitness.problem.Progress.SILENT);
        if (found.size() != changes.size()) {
            throw new AssertionError(found.size() + " changes instead of " + changes.size());
        }
        double mean = 0;
        for (int i = 0; i < found.size(); i++) mean += (found.get(i) - changes.get(i)) / found.size();
        double square = 0;
        for (int i = 0; i < found.size(); i++) {
            double off = found.get(i) - changes.get(i) - mean;      // a constant delay harms nothing
            square += off * off / found.size();
        }
        return Math.sqrt(square) * samplesPerSecond;
    }
}
