package buswitness.cli;

import picocli.CommandLine.Command;

/** The command without a command: says what there is. */
@Command(name = "buswitness", mixinStandardHelpOptions = true, versionProvider = VersionText.class,
        header = "Proves from a recording of a body bus whether two nodes send the same messages.",
        description = {"",
            "It listens only: it reads recordings and never transmits.",
            ""},
        commandListHeading = "%nCommands:%n",
        footer = {"",
            "Exit status: 0 finished and nothing wrong was found; 1 found what it looks for, such as a clash;",
            "2 could not do it; 3 finished but could not decide.",
            "",
            "Example:",
            "  ./buswitness prove captures/two-translators.bwl.gz",
            "",
            "'./buswitness COMMAND --help' explains a command, with examples."})
final class RootCommand implements Runnable {
    private final Terminal terminal;

    RootCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public void run() {
        CommandLines.of(terminal).usage(terminal.out());
    }
}
