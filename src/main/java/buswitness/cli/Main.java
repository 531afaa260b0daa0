package buswitness.cli;

import java.io.BufferedOutputStream;
import java.io.FileDescriptor;
import java.io.FileOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.PrintStream;
import java.nio.charset.Charset;
import java.nio.charset.StandardCharsets;
import java.util.Locale;
import java.util.Map;

/** The program's entry. Only {@link #main} ends the process; {@link #run} returns the status. */
public final class Main {
    private Main() {}

    public static void main(String[] args) {
        FaultKeeper out = new FaultKeeper(new FileOutputStream(FileDescriptor.out));
        PrintStream results = new PrintStream(new BufferedOutputStream(out, 1 << 13), false, screenCharset());
        PrintStream faults = new PrintStream(new FileOutputStream(FileDescriptor.err), true, screenCharset());
        int status = run(args, results, faults, System.getenv());
        results.flush();
        if (out.fault != null && !out.isClosedPipe() && status != ExitStatus.COULD_NOT) {
            faults.println("buswitness: standard output could not be written: " + OutputFiles.reason(out.fault)
                    + "; check free space");
            status = ExitStatus.COULD_NOT;
        }
        System.exit(status);
    }

    /**
     * Runs one command line.
     *
     * @param out         results
     * @param err         faults, progress, hints
     * @param environment variables the program may look at
     * @return exit status: 0 nothing wrong found, 1 found, 2 could not do it, 3 undecided
     */
    public static int run(String[] args, PrintStream out, PrintStream err, Map<String, String> environment) {
        return CommandLines.execute(new Terminal(out, err, environment), args);
    }

    /** UTF-8 everywhere but on Windows, whose terminal says what it wants. */
    private static Charset screenCharset() {
        String wanted = System.getProperty("sun.stdout.encoding");
        boolean windows = System.getProperty("os.name", "").startsWith("Windows");
        return windows && wanted != null ? Charset.forName(wanted) : StandardCharsets.UTF_8;
    }

    /**
     * Remembers why standard output could no longer be written, since a {@link PrintStream} keeps that to itself. A
     * reader that has seen enough (a pipe closed by {@code head}) is no fault.
     */
    private static final class FaultKeeper extends OutputStream {
        private final OutputStream out;
        private IOException fault;

        FaultKeeper(OutputStream out) {
            this.out = out;
        }

        boolean isClosedPipe() {
            String text = fault.getMessage();
            return text != null && text.toLowerCase(Locale.ROOT).contains("pipe");
        }

        @Override
        public void write(int b) throws IOException {
            write(new byte[] {(byte) b}, 0, 1);
        }

        @Override
        public void write(byte[] bytes, int from, int count) throws IOException {
            try {
                out.write(bytes, from, count);
            } catch (IOException e) {
                if (fault == null) fault = e;
                throw e;
            }
        }
    }
}
