package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTimeoutPreemptively;

import java.io.ByteArrayOutputStream;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.time.Duration;
import java.util.Map;
import java.util.concurrent.CountDownLatch;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

/** A terminal that takes nothing for a while (Ctrl-S, a full pipe) must not hold the recording up. */
class RecordViewTest {
    private static final int LINES = 50;

    @Test
    void aStalledTerminalHoldsNobodyUpAndShowsEverythingLater() throws Exception {
        StalledStream stalled = new StalledStream();
        Terminal terminal = new Terminal(new PrintStream(OutputStream.nullOutputStream()),
                new PrintStream(stalled, true, StandardCharsets.UTF_8), Map.of());
        try (RecordView view = new RecordView(terminal, null, Map.of())) {
            view.start();
            view.say("line 0");
            stalled.reached.await();
            // The writer hangs now; whoever records must be able to go on. The limit only ends a test that would hang.
            assertTimeoutPreemptively(Duration.ofSeconds(20), () -> {
                for (int i = 1; i < LINES; i++) view.say("line " + i);
            });
            stalled.released.countDown();
            view.finish();
        }
        String all = IntStream.range(0, LINES).mapToObj(i -> "line " + i + "\n").collect(Collectors.joining());
        assertEquals(all, stalled.bytes.toString(StandardCharsets.UTF_8).replace("\r\n", "\n"));
    }

    /** Blocks at its first byte until released. */
    private static final class StalledStream extends OutputStream {
        final CountDownLatch reached = new CountDownLatch(1);
        final CountDownLatch released = new CountDownLatch(1);
        final ByteArrayOutputStream bytes = new ByteArrayOutputStream();

        @Override
        public void write(int b) {
            reached.countDown();
            try {
                released.await();
            } catch (InterruptedException interrupted) {
                // Interrupted while it waited: what is to be written is written all the same.
                Thread.currentThread().interrupt();
            }
            bytes.write(b);
        }
    }
}
