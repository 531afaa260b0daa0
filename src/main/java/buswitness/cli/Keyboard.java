package buswitness.cli;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.Charset;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.BooleanSupplier;
import java.util.function.Consumer;

/**
 * Lines typed at the terminal. Nothing is read while the program is in the background, where the system stops whoever reads
 * from the terminal (SIGTTIN, POSIX.1-2017, XBD 11.1.4), and a recording with him; and only what is there already, so that no
 * reading is under way when the program is sent there.
 */
final class Keyboard {
    private static final long LOOK_MILLIS = 100;
    private static final Path OWN_STATE = Path.of("/proc/self/stat");
    /** Behind the name in brackets: state, parent, group, session, terminal, the terminal's foreground group (proc(5)). */
    private static final int GROUP = 2;
    private static final int FOREGROUND_GROUP = 5;

    private final InputStream in;
    private final BooleanSupplier foreground;
    private final ByteArrayOutputStream line = new ByteArrayOutputStream();

    Keyboard(InputStream in, BooleanSupplier foreground) {
        this.in = in;
        this.foreground = foreground;
    }

    /** Hands every line on, on a thread of its own, until the program ends. */
    void listen(Consumer<String> lines) {
        Thread keys = new Thread(() -> {
            try {
                while (true) {
                    look(lines);
                    Thread.sleep(LOOK_MILLIS);
                }
            } catch (IOException | InterruptedException e) {
                // The keyboard is gone; the recording goes on.
            }
        }, "keyboard");
        keys.setDaemon(true);
        keys.start();
    }

    /** Takes what was typed by now. */
    void look(Consumer<String> lines) throws IOException {
        while (foreground.getAsBoolean() && in.available() > 0) {
            byte[] typed = in.readNBytes(in.available());
            for (byte b : typed) {
                if (b != '\n') {
                    line.write(b);
                    continue;
                }
                lines.accept(line.toString(Charset.defaultCharset()).replaceAll("\r$", ""));
                line.reset();
            }
        }
    }

    /** Whether this program is in the foreground of its terminal; true where there is none, or where nobody can tell. */
    static boolean isForeground() {
        try {
            return isForeground(Files.readString(OWN_STATE));
        } catch (IOException | RuntimeException e) {
            return true;
        }
    }

    /** @param state what Linux tells of a process in one line */
    static boolean isForeground(String state) {
        String[] words = state.substring(state.lastIndexOf(')') + 1).strip().split(" ");
        long foregroundGroup = Long.parseLong(words[FOREGROUND_GROUP]);
        return foregroundGroup <= 0 || foregroundGroup == Long.parseLong(words[GROUP]);
    }
}
