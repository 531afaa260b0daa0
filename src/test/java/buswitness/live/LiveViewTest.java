package buswitness.live;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.Analysis;
import buswitness.AnalysisOptions;
import buswitness.Findings;
import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.ReadOptions;
import buswitness.capture.RecordingInfo;
import buswitness.capture.Recordings;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Sender;
import buswitness.frames.MessageKey;
import buswitness.live.LiveState.MessageNow;
import buswitness.live.LiveState.Phase;
import buswitness.problem.Progress;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** A live view fed as fast as it goes, held against {@code prove} on the same recording. */
@Timeout(120)
class LiveViewTest {
    private static final Path CLASH = Path.of("captures/two-translators.bwl.gz");
    private static final Path HEALTHY = Path.of("captures/healthy.bwl.gz");
    private static final RecordingInfo INFO = new RecordingInfo("x", "live", "", 1e6, List.of("body bus"), List.of());

    private static Layout layout() {
        return Layouts.load(Path.of("captures/tern.layout.yaml"));
    }

    /** A recording as a probe hands it over: 64 changes at a time, later by a shift, without an end of its own. */
    private static class Handed implements EdgeSink {
        private final EdgeSink to;
        private final long shift;
        private final EdgeBlock small = new EdgeBlock();
        long end;

        Handed(EdgeSink to, long shift) {
            this.to = to;
            this.shift = shift;
        }

        @Override
        public void begin(int line, long atPicos, int level) {
            to.begin(0, atPicos + shift, level);
        }

        @Override
        public void edges(EdgeBlock block) {
            for (int from = 0; from < block.count; from += 64) {
                small.count = Math.min(64, block.count - from);
                for (int i = 0; i < small.count; i++) {
                    small.atPicos[i] = block.atPicos[from + i] + shift;
                    small.level[i] = block.level[from + i];
                }
                to.edges(small);
                to.upTo(small.atPicos[small.count - 1]);
            }
        }

        @Override
        public void gap(int line, long fromPicos, long untilPicos, String why) {
            to.gap(0, fromPicos + shift, untilPicos + shift, why);
        }

        @Override
        public void end(long atPicos) {
            end = atPicos + shift;
            to.upTo(end);
        }
    }

    private static long hand(Path recording, EdgeSink to, long shift) {
        Handed handed = new Handed(to, shift);
        Recordings.open(recording, ReadOptions.NONE).read(handed, Progress.SILENT);
        return handed.end;
    }

    private static List<String> verdicts(List<MessageFinding> messages) {
        return messages.stream().map(m -> MessageKey.text(m.key()) + " " + m.verdict().text() + " " + m.frames() + " "
                + m.damaged()).toList();
    }

    private static List<String> verdictsNow(List<MessageNow> messages) {
        return messages.stream().map(m -> MessageKey.text(m.key()) + " " + m.verdict().text() + " " + m.frames() + " "
                + m.damaged()).toList();
    }

    @Test
    void atTheEndItSaysWhatProveSays() throws Exception {
        try (LiveView view = new LiveView(LiveOptions.of(layout(), Double.NaN))) {
            EdgeSink sink = view.opened(INFO);
            sink.end(hand(CLASH, sink, 0));
            view.finish();
            LiveState s = view.state();
            Findings proof = Analysis.prove(AnalysisOptions.of(CLASH).withLayout(Path.of("captures/tern.layout.yaml")),
                    Progress.SILENT);
            assertEquals(Phase.ENDED, s.phase());
            assertEquals(Answer.YES, s.judgement().clash());
            assertEquals(verdicts(proof.clashes().messages()), verdictsNow(s.judgement().messages()));
            assertEquals(proof.clashes().senders().stream().map(Sender::name).collect(Collectors.toSet()),
                    s.judgement().senders().stream().map(LiveState.SenderNow::name).collect(Collectors.toSet()));
            assertEquals(16, s.damaged());
            assertEquals(proof.frames().wholeCount(), s.whole());
            assertEquals(125_000, s.bitsPerSecond());
            assertEquals("body bus", s.line());
            assertEquals(16, java.util.Arrays.stream(s.seconds().damaged()).sum());
            assertEquals(16, s.seconds().damaged()[19], "the burst at 19.3 s stands in its second");
            assertEquals(0.094, s.seconds().load()[10], 0.02);
            assertNull(s.judgement().failed());
            assertEquals(0, s.behind().changes());
        }
    }

    /** Only the newest frames are kept and judged; a clash that they no longer show is remembered, and labels stay. */
    @Test
    void aClashThatWentByIsRemembered() throws Exception {
        LiveOptions few = new LiveOptions(layout(), Double.NaN, 3000, 0.05);
        try (LiveView view = new LiveView(few)) {
            EdgeSink sink = view.opened(INFO);
            long end = hand(CLASH, sink, 0);
            for (int i = 0; i < 600 && (view.state().judgement() == null || view.state().judgement().clash() != Answer.YES
                    || view.state().judgement().untilSeconds() < 39); i++) Thread.sleep(50);
            LiveState first = view.state();
            assertEquals(Answer.YES, first.judgement().clash());
            String translator = label(first, "gauge translator");
            sink.end(hand(HEALTHY, sink, end + 1_000_000));
            view.finish();
            LiveState s = view.state();
            assertEquals(Answer.NO, s.judgement().clash(), verdictsNow(s.judgement().messages()).toString());
            assertTrue(s.judgement().frames() <= 3000, s.judgement().frames() + " frames");
            assertTrue(s.judgement().fromSeconds() > 40, "judged from " + s.judgement().fromSeconds());
            assertTrue(s.judgement().earlier().stream().anyMatch(e -> e.key() == MessageKey.can(0x1D0, false)));
            assertEquals(translator, label(s, "gauge translator"));
        }
    }

    /** What one node did in the first seconds is revised by later frames as long as all of them are looked at together. */
    @Test
    void moreFramesMayReviseAnEarlyVerdict() throws Exception {
        try (LiveView view = new LiveView(new LiveOptions(layout(), Double.NaN, 60_000, 0.05))) {
            EdgeSink sink = view.opened(INFO);
            sink.end(hand(HEALTHY, sink, 0));
            view.finish();
            assertEquals(List.of(), view.state().judgement().earlier(), "nothing was ever proven that is not now");
            assertEquals(Answer.NO, view.state().judgement().clash());
        }
    }

    /** Other buses are recognised while they are recorded, slow ones after some seconds: 9.6 kbit/s LIN, 10.4 kbit/s J1850. */
    @ParameterizedTest
    @CsvSource({"lin-two-answers,lin,9600,YES", "lin-healthy,lin,9600,NO", "pulse-two-senders,j1850-vpw,,YES",
        "pulse-healthy,j1850-vpw,,NO"})
    void otherBusesAreRecognisedLive(String name, String coding, Double bitsPerSecond, Answer answer) throws Exception {
        try (LiveView view = new LiveView(LiveOptions.of(null, Double.NaN))) {
            EdgeSink sink = view.opened(INFO);
            sink.end(hand(Path.of("captures/" + name + ".bwr.gz"), sink, 0));
            view.finish();
            LiveState s = view.state();
            assertEquals(coding, s.coding());
            if (bitsPerSecond != null) assertEquals(bitsPerSecond, s.bitsPerSecond());
            Findings proof = Analysis.prove(new AnalysisOptions(Path.of("captures/" + name + ".bwr.gz"), null, false, null,
                    Double.NaN, ReadOptions.NONE), Progress.SILENT);
            assertEquals(proof.clashes().clash(), s.judgement().clash());
            assertEquals(answer, s.judgement().clash(), verdictsNow(s.judgement().messages()).toString());
            assertEquals(proof.frames().wholeCount(), s.whole(), 3, "judged from the beginning, not from the middle");
        }
    }

    /** A slow bus is known after some seconds, not after thousands of changes: the demo slowed down to 10 kbit/s. */
    @Test
    void aSlowBusIsJudgedAfterSomeSeconds() {
        LiveDecoder decoder = new LiveDecoder(LiveOptions.of(null, Double.NaN));
        ChangeQueue queue = new ChangeQueue();
        int[] handed = {0};
        EdgeBlock one = new EdgeBlock();
        one.count = 1;
        Recordings.open(HEALTHY, ReadOptions.NONE).read(new Handed(queue, 0) {
            @Override
            public void edges(EdgeBlock block) {
                for (int i = 0; i < block.count && handed[0] < 2000; i++, handed[0]++) {
                    one.atPicos[0] = block.atPicos[i] * 25 / 2;
                    one.level[0] = block.level[i];
                    queue.edges(one);
                    queue.upTo(one.atPicos[0]);
                }
            }
        }, Progress.SILENT);
        for (ChangeQueue.Told told = queue.poll(); told != null && decoder.tally().nowSeconds() < 8; told = queue.poll()) {
            decoder.take(told);
            decoder.tell();
        }
        assertEquals(Phase.READING, decoder.tally().phase(), "after " + decoder.tally().nowSeconds() + " s");
        assertEquals(10_000, decoder.tally().bitsPerSecond(), 1);
        assertTrue(decoder.tally().whole() > 30, "frames so far: " + decoder.tally().whole());
    }

    private static String label(LiveState s, String name) {
        return s.judgement().senders().stream().filter(n -> name.equals(n.name())).findFirst().orElseThrow().label();
    }

    /** A line that was mere noise at first, and a probe that went away: the rate is found when the bus comes. */
    @Test
    void noiseFirstThenAGapThenTheBus() throws Exception {
        try (LiveView view = new LiveView(LiveOptions.of(null, Double.NaN))) {
            EdgeSink sink = view.opened(INFO);
            EdgeBlock block = new EdgeBlock();
            SplittableRandom random = new SplittableRandom(5);
            sink.begin(0, 0, 1);
            long at = 0;
            for (int b = 0; b < 12; b++) {
                block.count = 4000;
                for (int i = 0; i < block.count; i++) {
                    at += 1_000_000 + random.nextInt(60_000_000);
                    block.atPicos[i] = at;
                    block.level[i] = (byte) (i % 2);
                }
                sink.edges(block);
            }
            sink.gap(0, at, at + 3_000_000_000_000L, "cable");
            sink.end(hand(HEALTHY, sink, at + 3_000_000_000_000L));
            view.finish();
            LiveState s = view.state();
            assertEquals(125_000, s.bitsPerSecond());
            assertEquals(Answer.NO, s.judgement().clash(), verdictsNow(s.judgement().messages()).toString());
            assertEquals("cable", s.gaps().get(0).why());
            long hole = (at + 1_500_000_000_000L) / 1_000_000_000_000L;
            assertEquals(-1, s.seconds().damaged()[(int) (hole - s.seconds().first())], "a second in the gap is not called calm");
        }
    }

    /** Where nobody takes, the queue stays bounded, putting never waits, and a gap stands for what was left out. */
    @Test
    void whatCannotBeKeptUpWithIsLeftOutAndSaid() {
        ChangeQueue queue = new ChangeQueue();
        EdgeBlock block = new EdgeBlock();
        queue.begin(0, 0, 1);
        long at = 0;
        for (int b = 0; b < 400; b++) {
            block.count = EdgeBlock.CAPACITY;
            for (int i = 0; i < block.count; i++) {
                block.atPicos[i] = at += 2_000_000;
                block.level[i] = (byte) (i % 2);
            }
            queue.edges(block);
            queue.upTo(at);
        }
        long left = queue.leftOut();
        assertTrue(left > 1_000_000, "left out " + left);
        long taken = 0;
        for (ChangeQueue.Told told = queue.poll(); told != null; told = queue.poll()) {
            if (told instanceof ChangeQueue.Changes c) taken += c.atPicos().length;
        }
        assertEquals(400L * EdgeBlock.CAPACITY, taken + left);
        block.count = 1;
        block.atPicos[0] = at + 5_000_000;
        queue.edges(block);
        assertTrue(queue.poll() instanceof ChangeQueue.Missing m && m.untilPicos() == at + 4_999_999
                && m.why().contains("keep up"));
        assertTrue(queue.poll() instanceof ChangeQueue.Begins);
        assertTrue(queue.poll() instanceof ChangeQueue.Changes);
    }

    @Test
    void labelsFollowMessagesAndClocks() {
        SteadyLabels labels = new SteadyLabels();
        Sender x = new Sender("A", null, 40, 0.5, List.of(1L, 2L));
        Sender y = new Sender("B", null, -30, 0.5, List.of(2L, 3L));
        assertEquals(List.of("A", "B"), labels.labels(List.of(x, y)));
        Sender z = new Sender("A", null, 0, 0.5, List.of(9L));
        assertEquals(List.of("C", "B", "A"), labels.labels(List.of(z, new Sender("B", null, -30.5, 0.5, List.of(2L, 3L)), x)));
        assertEquals(List.of("B"), labels.labels(List.of(new Sender("A", null, -30, 1, List.of(2L)))), "the clock decides");
        assertFalse(labels.labels(List.of(new Sender("A", null, 5, 1, List.of(77L)))).contains("A"));
    }
}
