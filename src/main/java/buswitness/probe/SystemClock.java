package buswitness.probe;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * Notices sleep by what the clock on the wall did while {@link System#nanoTime} did not. A wall clock that was merely set
 * jumps too; where the system tells how long it has been up, sleep included (Linux: /proc/uptime), that decides.
 */
final class SystemClock implements HostClock {
    private static final long JUMP_NANOS = 2_000_000_000L;
    private static final Path UPTIME = Path.of("/proc/uptime");

    private long asleep;
    private long wallAhead = wall() - System.nanoTime();
    private long upAhead = up() - System.nanoTime();

    @Override
    public long nanos() {
        return System.nanoTime() + asleep;
    }

    @Override
    public long slept() {
        long ahead = wall() - System.nanoTime();
        long jump = ahead - wallAhead;
        wallAhead = ahead;
        if (jump < JUMP_NANOS) return 0;
        long up = up();
        if (up >= 0) {
            long upNow = up - System.nanoTime();
            jump = upNow - upAhead;
            upAhead = upNow;
            if (jump < JUMP_NANOS) return 0;
        }
        asleep += jump;
        return jump;
    }

    private static long wall() {
        return System.currentTimeMillis() * 1_000_000L;
    }

    private static long up() {
        try {
            return Math.round(Double.parseDouble(Files.readString(UPTIME).split(" ")[0]) * 1e9);
        } catch (IOException | NumberFormatException e) {
            return -1;
        }
    }
}
