package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.nio.charset.Charset;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

/** The keyboard is read from the foreground only, line by line. */
class KeyboardTest {
    private static final class Counting extends ByteArrayInputStream {
        private int reads;

        Counting(String text) {
            super(text.getBytes(Charset.defaultCharset()));
        }

        @Override
        public synchronized int read(byte[] into, int from, int count) {
            reads++;
            return super.read(into, from, count);
        }
    }

    @Test
    void linesComeWholeAndNothingIsReadFromTheBackground() throws IOException {
        boolean[] foreground = {false};
        Counting in = new Counting("ignition on\r\nc\nunfinished");
        List<String> lines = new ArrayList<>();
        Keyboard keyboard = new Keyboard(in, () -> foreground[0]);
        keyboard.look(lines::add);
        assertEquals(0, in.reads, "a reader in the background is stopped by the system");
        foreground[0] = true;
        keyboard.look(lines::add);
        assertEquals(List.of("ignition on", "c"), lines);
    }

    /** Lines as Linux writes them into /proc/PID/stat, proc(5): group 4711, the terminal's foreground group behind it. */
    @Test
    void whoIsInFrontIsToldByTheTerminalsGroup() {
        assertTrue(Keyboard.isForeground("4711 (java) S 4700 4711 4700 34816 4711 4194304 9 0"));
        assertFalse(Keyboard.isForeground("4711 (java) S 4700 4711 4700 34816 4700 4194304 9 0"));
        assertTrue(Keyboard.isForeground("4711 (a (b) c) R 1 4711 4711 0 -1 4194304 9 0"), "no terminal, nothing to mind");
    }
}
