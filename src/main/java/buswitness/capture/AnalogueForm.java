package buswitness.capture;

import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * A recording of voltages, opened: finds the levels in a first pass over all samples and reads level changes in every
 * later one. Two channels that move against each other are the two wires of one bus and read as their difference.
 */
final class AnalogueForm implements Form {
    private static final double AGAINST_EACH_OTHER = -0.5;

    private final Sampled sampled;
    private final boolean differential;
    private final List<SignalShape> shapes;
    private final RecordingInfo info;

    private AnalogueForm(String source, Sampled sampled, boolean differential, List<SignalShape> shapes) {
        this.sampled = sampled;
        this.differential = differential;
        this.shapes = shapes;
        List<String> names = sampled.channels();
        List<String> lines = differential ? List.of(names.get(0) + " - " + names.get(1)) : names;
        double worst = shapes.stream().filter(s -> s.swing() > 0).mapToDouble(SignalShape::errorSamples).max()
                .orElse(1 / Math.sqrt(12));
        // A tick is what an even spread of plus or minus half a tick would give the same standard error.
        double tick = Math.max(1, worst * Math.sqrt(12) * sampled.periodPicos());
        this.info = new RecordingInfo(source, sampled.form(), "", tick, lines, List.of());
    }

    /** @param in a window at the first byte, which is read to its end */
    static AnalogueForm open(ByteWindow in, Sampled sampled) {
        int channels = sampled.channels().size();
        SampleReader reader = sampled.reader(in, new NoticeLog(1));
        float[][] samples = new float[channels][SampleReader.CHUNK];
        SignalStats[] stats = new SignalStats[channels == 2 ? 3 : channels];
        for (int i = 0; i < stats.length; i++) stats[i] = new SignalStats();
        double[] sums = new double[6];
        for (int n = reader.read(samples); n > 0; n = reader.read(samples)) {
            for (int c = 0; c < channels; c++) {
                for (int i = 0; i < n; i++) stats[c].take(samples[c][i]);
            }
            if (channels != 2) continue;
            for (int i = 0; i < n; i++) {
                stats[2].take(samples[0][i] - samples[1][i]);
                sum(sums, samples[0][i], samples[1][i]);
            }
        }
        List<SignalShape> shapes = new ArrayList<>();
        boolean pair = channels == 2 && correlation(sums) < AGAINST_EACH_OTHER;
        if (pair) shapes.add(stats[2].shape());
        for (int c = 0; c < channels && !pair; c++) shapes.add(stats[c].shape());
        return new AnalogueForm(in.name(), sampled, pair, shapes);
    }

    private static void sum(double[] s, double x, double y) {
        s[0]++;
        s[1] += x;
        s[2] += y;
        s[3] += x * x;
        s[4] += y * y;
        s[5] += x * y;
    }

    private static double correlation(double[] s) {
        double n = s[0];
        return (n * s[5] - s[1] * s[2])
                / Math.sqrt(Math.max(1e-300, (n * s[3] - s[1] * s[1]) * (n * s[4] - s[2] * s[2])));
    }

    @Override
    public RecordingInfo header() {
        return info;
    }

    @Override
    public double samplesPerSecond() {
        return 1e12 / sampled.periodPicos();
    }

    @Override
    public boolean columns() {
        return true;
    }

    @Override
    public String levelUnit() {
        return sampled.unit();
    }

    @Override
    public void read(ByteWindow in, EdgeGatherer out, NoticeLog notices) {
        List<Slicer> slicers = new ArrayList<>();
        for (int i = 0; i < shapes.size(); i++) {
            slicers.add(new Slicer(i, shapes.get(i), sampled.periodPicos(), out));
            say(i, in.name(), notices);
        }
        slice(in, slicers, out, notices);
    }

    /** Reads once more, for how high one line stands between its changes. */
    @Override
    public void readLevels(ByteWindow in, int line, LevelSink levels) {
        EdgeGatherer nobody = new EdgeGatherer(EdgeSink.NOBODY, shapes.size(), true);
        List<Slicer> slicers = new ArrayList<>();
        for (int i = 0; i < shapes.size(); i++) {
            slicers.add(new Slicer(i, shapes.get(i), sampled.periodPicos(), nobody, i == line ? levels : null));
        }
        slice(in, slicers, nobody, new NoticeLog(1));
    }

    private void slice(ByteWindow in, List<Slicer> slicers, EdgeGatherer out, NoticeLog notices) {
        SampleReader reader = sampled.reader(in, notices);
        float[][] samples = new float[sampled.channels().size()][SampleReader.CHUNK];
        long taken = 0;
        for (int n = reader.read(samples); n > 0; n = reader.read(samples)) {
            if (differential) {
                for (int i = 0; i < n; i++) samples[0][i] -= samples[1][i];
            }
            taken += n;
            long sure = Math.round(taken * sampled.periodPicos());
            for (int i = 0; i < slicers.size(); i++) {
                slicers.get(i).take(samples[i], n);
                if (shapes.get(i).swing() > 0) sure = Math.min(sure, slicers.get(i).sureUntil());
            }
            if (slicers.stream().anyMatch(Slicer::begun)) out.flush(sure);
        }
        out.end(Math.round(Math.max(0, taken - 1) * sampled.periodPicos()) + 1);
    }

    private void say(int line, String source, NoticeLog notices) {
        SignalShape shape = shapes.get(line);
        if (shape.swing() <= 0) return;
        double error = shape.errorSamples() * sampled.periodPicos();
        String edges = shape.resolved() ? String.format(Locale.ROOT, "an edge takes about %.1f samples", shape.edgeSamples())
                : "an edge passes between two samples";
        notices.add(new Notice(Place.file(source), String.format(Locale.ROOT, "%s: sampled %,.0f times a second, levels %.3g "
                + "%s apart; %s, so each is timed to about ±%.2g µs (one standard error).", info.lines().get(line),
                samplesPerSecond(), shape.swing(), sampled.unit().equals("FS") ? "of full scale" : sampled.unit(), edges,
                error * 1e-6)));
    }
}
