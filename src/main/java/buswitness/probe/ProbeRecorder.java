package buswitness.probe;

import buswitness.capture.RecordingInfo;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.util.List;
import java.util.Locale;

/** One recording being taken, on the calling thread. */
final class ProbeRecorder implements AutoCloseable, LineDecoder.Listener {
    private static final long SECOND_NANOS = 1_000_000_000L;
    private static final long PATIENCE_NANOS = 5 * SECOND_NANOS;
    private static final double NEARLY_FULL = 0.8;
    private static final int BITS_PER_BYTE = 10;

    private final RecordOptions options;
    private final RecordControl control;
    private final LineDecoder decoder = new LineDecoder(this);
    private final byte[] bytes = new byte[1 << 16];
    private final long startNanos = System.nanoTime();
    private Port port;
    private Probes.Disk disk;
    private Timeline timeline;
    private long secondNanos = startNanos;
    private long bytesThisSecond;
    private double busiest;
    private boolean warned;
    private long lostTold;

    ProbeRecorder(RecordOptions options, RecordControl control) {
        this.options = options;
        this.control = control;
        this.port = SerialPorts.open(options.port(), options.bitsPerSecond());
    }

    RecordSummary run() throws IOException {
        while (!control.isStopped() && !overTime()) {
            int got = port == null ? reopen() : port.read(bytes);
            if (got > 0) {
                bytesThisSecond += got;
                decoder.feed(bytes, got);
            } else if (got < 0) {
                lose();
            }
            long now = System.nanoTime();
            if (timeline == null && now - startNanos > PATIENCE_NANOS) throw silent();
            marks();
            if (now - secondNanos >= SECOND_NANOS) secondOver(now);
        }
        return finish();
    }

    private boolean overTime() {
        return timeline != null && timeline.knownPicos() >= options.seconds() * 1e12;
    }

    private InputFault silent() {
        return new InputFault(Place.file(options.port()), "nothing there speaks the probe's line protocol",
                "check the probe, the plug and --port-speed");
    }

    private void lose() {
        control.say("The port is gone; the recording goes on when it comes back (a gap stays).");
        port.close();
        port = null;
    }

    private int reopen() {
        try {
            Thread.sleep(200);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            control.stop();
        }
        port = SerialPorts.tryOpen(options.port(), options.bitsPerSecond());
        if (port == null) return 0;
        control.say("The port is back.");
        decoder.reopened();
        if (timeline != null) timeline.reopened();
        return 0;
    }

    private void marks() {
        if (timeline == null) return;
        for (RecordControl.Mark mark = control.marks.poll(); mark != null; mark = control.marks.poll()) {
            long at = Math.max(timeline.knownPicos(), timeline.now(mark.nanos()));
            disk.writer().mark(at, mark.label());
            control.say(String.format(Locale.ROOT, "Mark at %.3f s: %s", at * 1e-12, mark.label()));
        }
    }

    private void secondOver(long now) throws IOException {
        double share = bytesThisSecond * BITS_PER_BYTE / (double) options.bitsPerSecond()
                / ((now - secondNanos) / (double) SECOND_NANOS);
        busiest = Math.max(busiest, share);
        if (share > NEARLY_FULL && !warned) {
            warned = true;
            control.say(String.format(Locale.ROOT, "The port is %.0f %% full; beyond that the probe will miss changes. Use a "
                    + "faster port or a probe with a coarser tick.", share * 100));
        }
        if (decoder.lost > lostTold) {
            control.say((decoder.lost - lostTold) + " block(s) were lost on the way; a gap stays for each.");
            lostTold = decoder.lost;
        }
        bytesThisSecond = 0;
        secondNanos = now;
        if (disk != null) disk.force();
    }

    private RecordSummary finish() throws IOException {
        if (timeline == null) throw silent();
        marks();
        disk.writer().end(timeline.knownPicos());
        disk.writer().settle();
        disk.channel().force(false);
        return new RecordSummary(timeline.knownPicos() * 1e-12, timeline.changes, timeline.gaps, decoder.damaged,
                decoder.lost, Math.min(1, busiest));
    }

    @Override
    public void info(long hertz, String name) {
        if (timeline != null) {
            timeline.counts(hertz);
            return;
        }
        try {
            String line = name.isBlank() ? "bus" : name.strip();
            disk = Probes.Disk.create(options.out(), new RecordingInfo(options.out().toString(), "compact recording", "",
                    1e12 / hertz, List.of(line), List.of("recorded live from a serial probe")));
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
        timeline = new Timeline(disk.writer(), hertz);
        control.say(String.format(Locale.ROOT, "Recording line '%s', tick %.6g ns.", name.isBlank() ? "bus" : name.strip(),
                1e9 / hertz));
    }

    @Override
    public void changes(long since, int level, boolean missed, long[] after, int count) {
        if (timeline != null) timeline.take(since, level, missed, after, count, System.nanoTime());
    }

    @Override
    public void close() throws IOException {
        if (port != null) port.close();
        if (disk != null) disk.writer().close();
    }
}
