package buswitness.cli;

import picocli.AutoComplete;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** Prints what makes a bash or zsh complete our commands and options. */
@Command(name = "completion", mixinStandardHelpOptions = true, versionProvider = VersionText.class,
        header = "Print completion for bash and zsh.",
        description = {"", "Prints a script that makes the Tab key complete commands, options and file names.", ""},
        footer = {"", "Examples:", "  source <(./buswitness completion)",
            "  ./buswitness completion > ~/.local/share/bash-completion/completions/buswitness"})
final class CompletionCommand implements Runnable {
    private final Terminal terminal;

    @Spec
    private CommandSpec spec;

    CompletionCommand(Terminal terminal) {
        this.terminal = terminal;
    }

    @Override
    public void run() {
        terminal.out().print(AutoComplete.bash("buswitness", spec.root().commandLine()));
    }
}
