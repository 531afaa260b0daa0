package buswitness.probe;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.function.LongSupplier;

/**
 * Notices sleep by what the clock on the wall did while {@link System#nanoTime} did not. A wall clock that was merely set
 * jumps too; where the system tells how long it has been up, sleep included (Linux: /proc/uptime), that decides.
 */
final class SystemClock implements HostClock {
    private static final long JUMP_NANOS = 2_000_000_000L;
    private static final Path UPTIME = Path.of("/proc/uptime");

    private final LongSupplier wall;
    private final LongSupplier steady;
    private final LongSupplier up;
    private long asleep;
    private long wallAhead;
    private long upAhead;

    SystemClock() {
        this(SystemClock::wall, System::nanoTime, SystemClock::up);
    }

    /** @param up time since the system started, sleep included, or below 0 where it does not say; all in nanoseconds */
    SystemClock(LongSupplier wall, LongSupplier steady, LongSupplier up) {
        this.wall = wall;
        this.steady = steady;
        this.up = up;
        wallAhead = wall.getAsLong() - steady.getAsLong();
        upAhead = up.getAsLong() - steady.getAsLong();
    }

    @Override
    public long nanos() {
        return steady.getAsLong() + asleep;
    }

    @Override
    public long slept() {
        long ahead = wall.getAsLong() - steady.getAsLong();
        long jump = ahead - wallAhead;
        wallAhead = ahead;
        if (jump < JUMP_NANOS) return 0;
        long since = up.getAsLong();
        if (since >= 0) {
            jump = since - steady.getAsLong() - upAhead;
            if (jump < JUMP_NANOS) return 0;
            upAhead += jump;
        }
        asleep += jump;
        return jump;
    }

    @Override
    public void rest(long millis) throws InterruptedException {
        Thread.sleep(millis);
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
