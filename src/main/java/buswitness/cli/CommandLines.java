package buswitness.cli;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.PrintWriter;
import java.time.Clock;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Help;
import picocli.CommandLine.Help.Ansi;
import picocli.CommandLine.Model.UsageMessageSpec;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;

/** Builds the command line with its commands, and turns every failure into one line and a status. */
final class CommandLines {
    private CommandLines() {}

    static CommandLine of(Terminal terminal) {
        CommandLine line = new CommandLine(new RootCommand(terminal))
                .addSubcommand(new ProveCommand(terminal))
                .addSubcommand(new PredictCommand(terminal))
                .addSubcommand(new MapCommand(terminal))
                .addSubcommand(new DecodeCommand(terminal))
                .addSubcommand(new SimulateCommand(terminal))
                .addSubcommand(new RecordCommand(terminal))
                .addSubcommand(new ConvertCommand(terminal))
                .addSubcommand(new CalibrateCommand(terminal))
                .addSubcommand(new CheckCommand(terminal, Clock.systemUTC()))
                .addSubcommand(new CompareCommand(terminal))
                .addSubcommand(new CompletionCommand(terminal));
        line.setOut(new PrintWriter(terminal.out(), true));
        line.setErr(new PrintWriter(terminal.err(), true));
        line.setExpandAtFiles(false);
        line.setUsageHelpWidth(Math.max(55, Math.min(100, terminal.columns())));
        examplesStayWhole(line);
        line.getSubcommands().values().forEach(CommandLines::examplesStayWhole);
        line.setColorScheme(Help.defaultColorScheme(terminal.colourOn(true) ? Ansi.ON : Ansi.OFF));
        line.setParameterExceptionHandler((fault, args) -> {
            terminal.err().println(usageLine(fault));
            return ExitStatus.COULD_NOT;
        });
        line.setExecutionExceptionHandler((fault, command, parsed) -> failure(fault, terminal));
        return line;
    }

    /** Sentences below the options wrap at the screen's width; an example is one line, so that it can be copied. */
    private static void examplesStayWhole(CommandLine command) {
        command.getHelpSectionMap().put(UsageMessageSpec.SECTION_KEY_FOOTER, help -> {
            StringBuilder out = new StringBuilder();
            UsageMessageSpec usage = help.commandSpec().usageMessage();
            for (String text : usage.footer()) {
                if (text.startsWith("  ")) out.append(text).append(System.lineSeparator());
                else Help.join(help.colorScheme().ansi(), usage.width(), usage.adjustLineBreaksForWideCJKCharacters(),
                        new String[] {text}, out);
            }
            return out.toString();
        });
    }

    /** One line for a fault in what was typed, with the nearest known word where there is one. */
    private static String usageLine(ParameterException fault) {
        String name = fault.getCommandLine().getCommandSpec().qualifiedName();
        String what = fault.getMessage().replaceAll("\\s*[\\r\\n]+\\s*", " ");
        String hint = "see '" + name + " --help'";
        if (fault instanceof UnmatchedArgumentException unmatched) {
            List<String> near = unmatched.getSuggestions();
            String first = unmatched.getUnmatched().get(0);
            boolean noCommand = fault.getCommandLine().getParent() == null && !first.startsWith("-");
            if (noCommand) what = "there is no command '" + first + "'";
            if (!near.isEmpty()) hint = "did you mean " + near.get(0) + "? " + hint;
        }
        return new InputFault(Place.file(name), what, hint).getMessage();
    }

    /** One line for a failure while working. A fault of ours asks to be reported; its trace is shown on wish only. */
    static int failure(Throwable fault, Terminal terminal) {
        if (terminal.traces()) fault.printStackTrace(terminal.err());
        if (fault instanceof InputFault input) {
            String says = input.getMessage();
            // What is wrong with the command line names its command already.
            terminal.err().println(says.startsWith("buswitness ") ? says : "buswitness: " + says);
        } else if (fault instanceof OutOfMemoryError) {
            terminal.err().println("buswitness: not enough memory for this recording; give it more, for example "
                    + "BUSWITNESS_JAVA_OPTIONS=-Xmx4g, or record a shorter stretch");
        } else {
            terminal.err().println(String.format(Locale.ROOT, "buswitness: a fault of the program itself (%s%s); "
                    + "please report it with this line and the recording; BUSWITNESS_TRACE=1 shows more",
                    fault.getClass().getSimpleName(), placeOf(fault)));
        }
        return ExitStatus.COULD_NOT;
    }

    private static String placeOf(Throwable fault) {
        for (StackTraceElement at : fault.getStackTrace()) {
            if (!at.getClassName().startsWith("buswitness.")) continue;
            return " at " + at.getFileName() + ":" + at.getLineNumber();
        }
        return "";
    }

    /** Runs the words of one command line. */
    static int execute(Terminal terminal, String... args) {
        try {
            return of(terminal).execute(args);
        } catch (OutOfMemoryError | StackOverflowError fault) {
            return failure(fault, terminal);
        }
    }
}
