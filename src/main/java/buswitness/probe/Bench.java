package buswitness.probe;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.channels.Channels;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;

/** What a recording rests on: ports, a clock, a disk. A test hands in others, to pull cables and fill disks. */
record Bench(Ports ports, HostClock clock, Disks disks) {

    /** Opens serial ports. */
    interface Ports {
        /** @throws buswitness.problem.InputFault where it cannot be opened */
        Port open(String name, int bitsPerSecond);

        /** @return null where it cannot be opened now */
        Port tryOpen(String name, int bitsPerSecond);
    }

    /** Makes files. */
    interface Disks {
        /** @throws java.nio.file.FileAlreadyExistsException rather than overwrite */
        Target create(Path file) throws IOException;
    }

    /** A file being written. */
    interface Target {
        OutputStream stream();

        /** Until this returns, what was written may be lost with the power. */
        void force() throws IOException;
    }

    /** The real ones. */
    static Bench real() {
        return new Bench(new Ports() {
            @Override
            public Port open(String name, int bitsPerSecond) {
                return SerialPorts.open(name, bitsPerSecond);
            }

            @Override
            public Port tryOpen(String name, int bitsPerSecond) {
                return SerialPorts.again(name, bitsPerSecond);
            }
        }, new SystemClock(), Bench::file);
    }

    private static Target file(Path file) throws IOException {
        FileChannel channel = FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
        OutputStream stream = Channels.newOutputStream(channel);
        return new Target() {
            @Override
            public OutputStream stream() {
                return stream;
            }

            @Override
            public void force() throws IOException {
                channel.force(false);
            }
        };
    }
}
