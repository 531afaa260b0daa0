package buswitness;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Properties;

/** Which Buswitness this is, as written into every report. */
public final class Version {
    private Version() {}

    /** Such as {@code 0.1.0}; the build writes it from the project file. */
    public static String text() {
        try (InputStream in = Version.class.getResourceAsStream("version.properties")) {
            Properties properties = new Properties();
            properties.load(in);
            return properties.getProperty("version");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
