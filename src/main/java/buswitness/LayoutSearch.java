package buswitness;

import buswitness.capture.RecordingInfo;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/**
 * Looks beside a recording for its layout: {@code NAME.layout.yaml} for the recording NAME.anything, then the file
 * that a note {@code layout: FILE} in the recording's header names. Only a plain file name in the recording's own
 * folder is followed, since a recording may come from anyone.
 */
final class LayoutSearch {
    private static final String NOTE = "layout:";

    private LayoutSearch() {}

    /** The layout's path, or null where none lies there. */
    static Path beside(Path recording, RecordingInfo info) {
        Path own = recording.resolveSibling(baseName(recording.getFileName().toString()) + ".layout.yaml");
        if (Files.isRegularFile(own)) return own;
        for (String note : info.notes()) {
            String text = note.strip();
            if (!text.toLowerCase(Locale.ROOT).startsWith(NOTE)) continue;
            String name = text.substring(NOTE.length()).strip();
            if (!name.matches("[\\w][\\w .-]{0,100}\\.yaml")) continue;
            Path named = recording.resolveSibling(name);
            if (Files.isRegularFile(named)) return named;
        }
        return null;
    }

    /** {@code drive} for {@code drive.vcd.gz} and {@code drive.csv}. */
    private static String baseName(String file) {
        String name = file.replaceFirst("(?i)\\.(gz|zip)$", "");
        int dot = name.lastIndexOf('.');
        return dot > 0 ? name.substring(0, dot) : name;
    }
}
