package buswitness.testing;

import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;

/** A pair of pseudo terminals made by socat: what is written to one end is read at the other. */
public final class PortPair implements AutoCloseable {
    private static final Path SOCAT = Path.of("/usr/bin/socat");

    private final Path folder;
    private Process socat;

    /** Skips the test, and says so, where socat is not installed. */
    public PortPair(Path folder) throws IOException, InterruptedException {
        assumeTrue(Files.isExecutable(SOCAT), "socat is not installed; ./verify installs it");
        this.folder = folder;
        connect();
    }

    public Path ours() {
        return folder.resolve("ours");
    }

    public Path probes() {
        return folder.resolve("probes");
    }

    /** Puts the cable back. */
    public void connect() throws IOException, InterruptedException {
        socat = new ProcessBuilder(SOCAT.toString(), "pty,raw,echo=0,link=" + ours(), "pty,raw,echo=0,link=" + probes())
                .redirectErrorStream(true).redirectOutput(folder.resolve("socat.log").toFile()).start();
        for (int i = 0; i < 200 && !(Files.exists(ours()) && Files.exists(probes())); i++) Thread.sleep(20);
        assertTrue(Files.exists(ours()) && Files.exists(probes()), "socat makes its pair");
    }

    /** Pulls the cable. */
    public void pull() {
        socat.destroy();
        socat.onExit().orTimeout(5, TimeUnit.SECONDS).join();
    }

    @Override
    public void close() {
        pull();
    }
}
