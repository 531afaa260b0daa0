package buswitness.cli;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.nio.charset.StandardCharsets;
import java.util.HashMap;
import java.util.Map;

/** One command line, run in this process: its status and everything it wrote. */
record CommandRun(int status, String out, String err) {
    static CommandRun of(String... words) {
        return with(Map.of(), words);
    }

    static CommandRun with(Map<String, String> environment, String... words) {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream err = new ByteArrayOutputStream();
        PrintStream outPrint = new PrintStream(out, false, StandardCharsets.UTF_8);
        PrintStream errPrint = new PrintStream(err, false, StandardCharsets.UTF_8);
        int status = Main.run(words, outPrint, errPrint, new HashMap<>(environment));
        outPrint.flush();
        errPrint.flush();
        return new CommandRun(status, out.toString(StandardCharsets.UTF_8), err.toString(StandardCharsets.UTF_8));
    }

    /** Whether the command failed as promised: status 2, one line on standard error, nothing else, no trace. */
    boolean failedInOneLine() {
        return status == ExitStatus.COULD_NOT && out.isEmpty() && err.endsWith("\n")
                && err.indexOf('\n') == err.length() - 1 && !err.contains("\tat ") && !err.contains("Exception")
                && !err.contains("fault of the program");
    }
}
