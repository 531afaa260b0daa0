package buswitness.live;

import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.RecordingInfo;
import buswitness.live.LiveState.Judgement;
import buswitness.live.LiveState.SenderNow;
import java.io.IOException;
import java.net.URI;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicReference;
import java.util.function.Consumer;

/**
 * Looks on while a recording is taken. Feed it what the recording gets, from the recording's thread: it never blocks and
 * never throws, and leaves out what it cannot keep up with. {@link #state} may be asked by anybody.
 */
public final class LiveView implements EdgeSink, AutoCloseable {
    private static final long IDLE_MILLIS = 20;
    private static final long TELL_NANOS = 100_000_000L;
    private static final long END_SECONDS = 30;
    /** The judge rests twice as long as it worked: at most a third of one core. */
    private static final double REST = 2;
    private static final RecordingInfo NOT_YET = new RecordingInfo("live", "live", "", 1, List.of(), List.of());

    private final LiveOptions options;
    private volatile RecordingInfo info = NOT_YET;
    private final ChangeQueue queue = new ChangeQueue();
    private final LiveDecoder decoder;
    private final AtomicReference<Ask> asked = new AtomicReference<>();
    private final Thread decoding;
    private final Thread judging;
    private final CountDownLatch finished = new CountDownLatch(1);
    private volatile Judgement judgement;
    private volatile RecorderState recorder = RecorderState.NONE;
    private volatile boolean stopped;
    private volatile boolean drained;
    private LiveServer server;

    /** A wish for the newest frames. */
    private static final class Ask {
        final int most;
        final CountDownLatch given = new CountDownLatch(1);
        LiveDecoder.Window window;

        Ask(int most) {
            this.most = most;
        }
    }

    /** Starts to look. */
    public LiveView(LiveOptions options) {
        this.options = options;
        this.decoder = new LiveDecoder(options);
        this.decoding = new Thread(this::decode, "live frames");
        this.judging = new Thread(this::judge, "live judgement");
        for (Thread t : List.of(decoding, judging)) {
            t.setDaemon(true);
            t.start();
        }
    }

    /** The recording begins. @return this, which takes what is recorded */
    public EdgeSink opened(RecordingInfo recording) {
        info = recording;
        return this;
    }

    private void decode() {
        long told = System.nanoTime();
        boolean end = false;
        while (!stopped) {
            ChangeQueue.Told next = queue.poll();
            if (next != null) {
                decoder.take(next);
                end |= next instanceof ChangeQueue.Ended;
            }
            Ask ask = asked.getAndSet(null);
            if (ask != null) {
                ask.window = decoder.window(ask.most);
                ask.given.countDown();
            }
            long now = System.nanoTime();
            if (now - told > TELL_NANOS || end) {
                told = now;
                decoder.tell();
            }
            if (next != null) continue;
            drained = end;
            try {
                Thread.sleep(IDLE_MILLIS);
            } catch (InterruptedException e) {
                return;
            }
        }
    }

    private void judge() {
        LiveJudge judge = new LiveJudge(options, () -> info);
        try {
            while (!stopped) {
                boolean last = drained;
                Ask ask = new Ask(judge.most());
                asked.set(ask);
                while (!ask.given.await(200, TimeUnit.MILLISECONDS)) {
                    if (stopped) return;
                }
                long begin = System.nanoTime();
                if (ask.window != null) judgement = judge.judge(ask.window, judgement);
                if (last) {
                    finished.countDown();
                    return;
                }
                double took = (System.nanoTime() - begin) * 1e-9;
                double rest = Math.max(options.everySeconds(), REST * took);
                // Once the recording has ended nobody needs to be spared.
                for (double waited = 0; waited < rest && !drained && !stopped; waited += 0.05) Thread.sleep(50);
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        } finally {
            finished.countDown();
        }
    }

    @Override
    public void begin(int line, long atPicos, int level) {
        queue.begin(line, atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        queue.edges(block);
    }

    @Override
    public void gap(int line, long fromPicos, long untilPicos, String why) {
        queue.gap(line, fromPicos, untilPicos, why);
    }

    @Override
    public void mark(long atPicos, String label) {
        queue.mark(atPicos, label);
    }

    @Override
    public void upTo(long atPicos) {
        queue.upTo(atPicos);
    }

    @Override
    public void end(long atPicos) {
        queue.end(atPicos);
    }

    /** How the recording fares, told by whoever takes it. */
    public void recorder(RecorderState state) {
        recorder = state;
    }

    /** What is known now. */
    public LiveState state() {
        LiveDecoder.Tally t = decoder.tally();
        double waiting = Math.max(0, queue.newestPicos() * 1e-12 - t.nowSeconds());
        String line = info.lines().isEmpty() ? "" : info.lines().get(0);
        return new LiveState(t.phase(), line, t.nowSeconds(), t.coding(), t.bitsPerSecond(), t.whole(), t.damaged(),
                t.seconds(), t.marks(), t.gaps(), new LiveState.Behind(queue.leftOut(), waiting),
                heard(judgement, t), recorder);
    }

    /** How long each sender has been silent is known to the moment, whenever it was judged. */
    private static Judgement heard(Judgement j, LiveDecoder.Tally t) {
        if (j == null) return null;
        Map<Long, Integer> senders = new HashMap<>();
        for (SenderNow s : j.senders()) for (long key : s.keys()) senders.merge(key, 1, Integer::sum);
        List<SenderNow> now = new ArrayList<>();
        for (SenderNow s : j.senders()) {
            double last = Double.NaN;
            for (long key : s.keys()) {
                Long at = senders.get(key) == 1 ? t.lastHeard().get(key) : null;
                if (at != null && !(at * 1e-12 <= last)) last = at * 1e-12;
            }
            now.add(new SenderNow(s.label(), s.name(), s.clockPpm(), s.clockPpmError(), s.keys(), s.clashing(),
                    Double.isNaN(last) ? last : Math.max(0, t.nowSeconds() - last)));
        }
        return new Judgement(j.fromSeconds(), j.untilSeconds(), j.frames(), j.tookSeconds(), j.failed(), j.clash(), now,
                j.messages(), j.instruments(), j.earlier());
    }

    /**
     * Serves a page on this computer alone.
     *
     * @param port  or 0 for any that is free
     * @param pages what is shown
     * @param marks takes the labels of marks set on the page
     * @return the page's address, with the word in it without which nothing is answered
     * @throws buswitness.problem.InputFault where the port cannot be used
     */
    public URI serve(int port, LivePages pages, Consumer<String> marks) {
        server = LiveServer.start(port, pages, this::state, marks);
        return server.address();
    }

    /** Waits, for a while, until everything that was recorded has been judged. The recording must have ended. */
    public void finish() {
        try {
            finished.await(END_SECONDS, TimeUnit.SECONDS);
            if (server != null) server.lastWord();
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    @Override
    public void close() throws IOException {
        stopped = true;
        decoding.interrupt();
        judging.interrupt();
        if (server != null) server.close();
    }
}
