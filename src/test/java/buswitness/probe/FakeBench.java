package buswitness.probe;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.function.Consumer;

/**
 * A bench whose clock, port and disk do what a test says. The probe counts at 1 MHz; a block of 64 changes, 100 us apart, takes
 * 6.4 ms of the bench's time, and so does each reading of the port.
 */
final class FakeBench {
    static final long BLOCK_TICKS = 6400;
    private static final long TICK_NANOS = 1000;

    /** Steps of the play, one for each reading of the port; the port answers with what a step returns. */
    private final ArrayDeque<java.util.function.Supplier<byte[]>> play = new ArrayDeque<>();
    private final LineEncoder encoder = new LineEncoder();
    final ByteArrayOutputStream disk = new ByteArrayOutputStream();
    int forced;
    int opened;
    long now = 5_000_000_000L;
    private long slept;
    private long tick;
    private int level = 1;
    private boolean plugged = true;
    private long room = Long.MAX_VALUE;
    private Runnable atEnd = () -> { };

    /** So many blocks that arrive. */
    FakeBench blocks(int count) {
        for (int i = 0; i < count; i++) play.add(() -> block(true));
        return this;
    }

    /** A block that a buffer held back: it arrives later than its time. */
    FakeBench stale() {
        play.add(() -> block(false));
        return this;
    }

    FakeBench then(Runnable what) {
        play.add(() -> {
            what.run();
            return new byte[0];
        });
        return this;
    }

    /** The computer sleeps; the probe's counter goes on by so much meanwhile, or begins anew where that is below 0. */
    FakeBench sleep(long seconds, long probeTicks) {
        return then(() -> {
            now += seconds * 1_000_000_000L;
            slept += seconds * 1_000_000_000L;
            tick = probeTicks < 0 ? 0 : tick + probeTicks;
        });
    }

    FakeBench pull() {
        play.add(() -> {
            plugged = false;
            return null;
        });
        return this;
    }

    /** Nothing happens for so long, with the port gone or silent. */
    FakeBench idle(double seconds) {
        for (int i = 0; i < seconds / 0.0064; i++) play.add(() -> new byte[0]);
        return this;
    }

    FakeBench plug() {
        return then(() -> plugged = true);
    }

    FakeBench diskTakes(long bytes) {
        room = bytes;
        return this;
    }

    FakeBench atEnd(Runnable what) {
        atEnd = what;
        return this;
    }

    private byte[] block(boolean fresh) {
        long[] at = new long[63];
        for (int i = 0; i < at.length; i++) at[i] = tick + 100L * (i + 1);
        byte[] bytes = encoder.changes(tick, level, false, at, at.length, tick + BLOCK_TICKS);
        if (at.length % 2 == 1) level ^= 1;
        tick += BLOCK_TICKS;
        if (!fresh) now -= BLOCK_TICKS * TICK_NANOS;
        return bytes;
    }

    private byte[] next() {
        now += BLOCK_TICKS * TICK_NANOS;
        var step = play.poll();
        if (step == null) {
            atEnd.run();
            return new byte[0];
        }
        return step.get();
    }

    private Port port() {
        opened++;
        return new Port() {
            private boolean told;

            @Override
            public int read(byte[] into) {
                byte[] bytes = told ? next() : encoder.info(1_000_000, "bench");
                told = true;
                if (bytes == null) return -1;
                System.arraycopy(bytes, 0, into, 0, bytes.length);
                return bytes.length;
            }

            @Override
            public void close() {}
        };
    }

    Bench bench() {
        Bench.Ports ports = new Bench.Ports() {
            @Override
            public Port open(String name, int bitsPerSecond) {
                return port();
            }

            @Override
            public Port tryOpen(String name, int bitsPerSecond) {
                if (!plugged) next();
                return plugged ? port() : null;
            }
        };
        HostClock clock = new HostClock() {
            @Override
            public long nanos() {
                return now;
            }

            @Override
            public void rest(long millis) {}

            @Override
            public long slept() {
                long was = slept;
                slept = 0;
                return was;
            }
        };
        return new Bench(ports, clock, file -> target(file, count -> {
            room -= count;
        }));
    }

    private Bench.Target target(Path file, Consumer<Integer> taken) {
        return new Bench.Target() {
            @Override
            public OutputStream stream() {
                return new OutputStream() {
                    @Override
                    public void write(int b) throws IOException {
                        write(new byte[] {(byte) b}, 0, 1);
                    }

                    @Override
                    public void write(byte[] bytes, int from, int count) throws IOException {
                        int fits = (int) Math.min(room, count);
                        disk.writeBytes(Arrays.copyOfRange(bytes, from, from + fits));
                        taken.accept(fits);
                        if (fits < count) throw new IOException("No space left on device");
                    }
                };
            }

            @Override
            public void force() {
                forced++;
            }
        };
    }
}
