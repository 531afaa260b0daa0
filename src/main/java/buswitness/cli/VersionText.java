package buswitness.cli;

import buswitness.Version;
import picocli.CommandLine.IVersionProvider;

/** What {@code --version} prints. */
final class VersionText implements IVersionProvider {
    @Override
    public String[] getVersion() {
        return new String[] {"buswitness " + Version.text()};
    }
}
