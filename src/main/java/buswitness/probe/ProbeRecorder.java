package buswitness.probe;

import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileAlreadyExistsException;
import java.time.Instant;
import java.time.temporal.ChronoUnit;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** One recording being taken, on the calling thread. */
final class ProbeRecorder implements AutoCloseable, LineDecoder.Listener {
    private static final long SECOND_NANOS = 1_000_000_000L;
    private static final long PATIENCE_NANOS = 5 * SECOND_NANOS;
    /** A probe tells of itself every 50 ms, whatever the bus does. */
    private static final long SILENT_NANOS = 2 * SECOND_NANOS;
    private static final long RETRY_MILLIS = 200;
    private static final double NEARLY_FULL = 0.8;
    private static final int BITS_PER_BYTE = 10;

    private final RecordOptions options;
    private final RecordControl control;
    private final Bench bench;
    private final LineDecoder decoder = new LineDecoder(this);
    private final byte[] bytes = new byte[1 << 16];
    private final long startNanos;
    private Port port;
    private Bench.Target disk;
    private RecordingWriter writer;
    private EdgeSink sink;
    private Timeline timeline;
    private long secondNanos;
    private long bytesThisSecond;
    private final Headroom headroom = new Headroom();
    private boolean warned;
    private long lostTold;
    private boolean silenceTold;
    private final ArrayDeque<Placed> held = new ArrayDeque<>();

    /** A mark with its place on the line of time, and the computer's clock then. */
    private record Placed(long atPicos, long nanos, String label) {}

    ProbeRecorder(RecordOptions options, RecordControl control, Bench bench) {
        this.options = options;
        this.control = control;
        this.bench = bench;
        this.startNanos = secondNanos = bench.clock().nanos();
        this.port = bench.ports().open(options.port(), options.bitsPerSecond());
    }

    RecordSummary run() throws IOException {
        while (!control.isStopped() && !overTime()) {
            int got = port == null ? reopen() : port.read(bytes);
            long slept = bench.clock().slept();
            if (slept > 0) {
                wake(slept);
            } else if (got > 0) {
                bytesThisSecond += got;
                decoder.feed(bytes, got);
            } else if (got < 0) {
                lose();
            }
            long now = bench.clock().nanos();
            if (timeline == null && now - startNanos > PATIENCE_NANOS) throw silent();
            marks();
            if (now - secondNanos >= SECOND_NANOS) secondOver(now);
        }
        return finish();
    }

    private boolean overTime() {
        if (timeline == null) return false;
        long so = isBlind() ? timeline.now(bench.clock().nanos()) : timeline.knownPicos();
        return so >= options.seconds() * 1e12;
    }

    /** Whether nothing is heard of the line now. */
    private boolean isBlind() {
        return port == null || timeline != null && timeline.silentNanos(bench.clock().nanos()) > SILENT_NANOS;
    }

    private String whyBlind() {
        return port == null ? "the port was gone" : "the probe was silent";
    }

    private InputFault silent() {
        return new InputFault(Place.file(options.port()), "nothing there speaks the probe's line protocol",
                "check the probe, the plug and --port-speed");
    }

    private void lose() {
        control.say("The port is gone; the recording goes on when it comes back (a gap stays).");
        closePort();
        tellStatus();
    }

    /** What waits in the port's buffers may be from before the sleep: it is left out, and the port opened anew. */
    private void wake(long slept) {
        control.say(String.format(Locale.ROOT, "This computer slept for about %.0f s; the recording goes on behind a gap.",
                slept * 1e-9));
        if (port != null) closePort();
        tellStatus();
    }

    private void closePort() {
        port.close();
        port = null;
        decoder.reopened();
        if (timeline != null) timeline.reopened();
    }

    private int reopen() {
        port = bench.ports().tryOpen(options.port(), options.bitsPerSecond());
        if (port != null) {
            control.say("The port is open again.");
            tellStatus();
            return 0;
        }
        try {
            bench.clock().rest(RETRY_MILLIS);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            control.stop();
        }
        return 0;
    }

    private void marks() {
        if (timeline == null) return;
        for (RecordControl.Mark mark = control.marks.poll(); mark != null; mark = control.marks.poll()) {
            long sinceStart = mark.nanos() - System.nanoTime() + bench.clock().nanos();
            long at = Math.max(timeline.knownPicos(), timeline.now(sinceStart));
            held.add(new Placed(at, sinceStart, mark.label()));
            control.say(String.format(Locale.ROOT, "Mark at %.3f s: %s", at * 1e-12, mark.label()));
        }
        release();
    }

    /** A mark waits until the line is known up to it, a moment; where nothing is heard of the line, it ends a gap. */
    private void release() {
        boolean blind = isBlind();
        while (!held.isEmpty() && (blind || held.peek().atPicos() <= timeline.knownPicos())) {
            Placed mark = held.remove();
            if (blind) timeline.missing(mark.atPicos(), mark.nanos(), whyBlind());
            sink.mark(mark.atPicos(), mark.label());
            if (blind) sink.upTo(mark.atPicos() + 1);
        }
    }

    private void secondOver(long now) throws IOException {
        headroom.second(bytesThisSecond * BITS_PER_BYTE / (double) options.bitsPerSecond(), (now - secondNanos) * 1e-9);
        if (headroom.share() > NEARLY_FULL && !warned) {
            warned = true;
            control.say(String.format(Locale.ROOT, "The port is %.0f %% full; beyond that the probe will miss changes. Use a "
                    + "faster port or a probe with a coarser tick.", headroom.share() * 100));
        }
        if (decoder.lost > lostTold) {
            control.say((decoder.lost - lostTold) + " block(s) were lost on the way; a gap stays for each.");
            lostTold = decoder.lost;
        }
        silence();
        bytesThisSecond = 0;
        secondNanos = now;
        tellStatus();
        if (writer != null) force();
    }

    private void silence() {
        boolean silent = port != null && isBlind();
        if (silent && !silenceTold) {
            control.say("Nothing comes from the probe any more; check its supply and its plug (a gap stays).");
        } else if (!silent && silenceTold && port != null) {
            control.say("The probe speaks again.");
        }
        silenceTold = silent;
    }

    private void tellStatus() {
        control.status(new RecordStatus(port != null, timeline == null ? 0 : timeline.knownPicos() * 1e-12,
                timeline == null ? 0 : timeline.gaps, decoder.lost, headroom.share(),
                timeline == null ? 0 : timeline.silentNanos(bench.clock().nanos()) * 1e-9));
    }

    private void force() throws IOException {
        writer.settle();
        disk.force();
    }

    private RecordSummary finish() throws IOException {
        if (timeline == null) throw silent();
        marks();
        long now = bench.clock().nanos();
        if (isBlind()) timeline.missing(timeline.now(now), now, whyBlind());
        long end = timeline.knownPicos();
        // Set within the block that was still to come: nothing is known behind the end, so they stand at it.
        for (Placed mark : held) sink.mark(Math.min(end, mark.atPicos()), mark.label());
        sink.mark(end, "recording stopped " + wallTime());
        sink.end(end);
        force();
        tellStatus();
        return new RecordSummary(end * 1e-12, timeline.changes, timeline.gaps, decoder.damaged, decoder.lost,
                Math.min(1, headroom.busiest()));
    }

    private static String wallTime() {
        return Instant.now().truncatedTo(ChronoUnit.SECONDS).toString().replace('T', ' ').replace("Z", " UTC");
    }

    @Override
    public void info(long hertz, String name) {
        if (timeline != null) {
            timeline.counts(hertz);
            return;
        }
        String line = name.isBlank() ? "bus" : name.strip();
        List<String> notes = new ArrayList<>(options.notes());
        notes.add("recorded live from a serial probe");
        RecordingInfo info = new RecordingInfo(options.out().toString(), "compact recording", "", 1e12 / hertz,
                List.of(line), notes);
        try {
            disk = bench.disks().create(options.out());
        } catch (FileAlreadyExistsException e) {
            throw Probes.exists(options.out());
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
        writer = Recordings.writeCompact(disk.stream(), info);
        sink = control.sink(writer, info);
        timeline = new Timeline(sink, hertz);
        control.say(String.format(Locale.ROOT, "Recording line '%s', tick %.6g us.", line, 1e6 / hertz));
    }

    @Override
    public void changes(long since, int level, boolean missed, long[] after, int count) {
        if (timeline == null) return;
        boolean first = !timeline.hasBegun();
        timeline.take(since, level, missed, after, count, bench.clock().nanos());
        if (first) sink.mark(timeline.knownPicos(), "recording started " + wallTime());
    }

    @Override
    public void close() throws IOException {
        if (port != null) port.close();
        if (writer != null) writer.close();
    }
}
