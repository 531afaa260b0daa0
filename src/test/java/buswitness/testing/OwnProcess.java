package buswitness.testing;

import java.net.URISyntaxException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** The program in a process of its own, however the tests were started. */
public final class OwnProcess {
    private OwnProcess() {}

    /** @param java options for Java @param words the command line */
    public static ProcessBuilder of(List<String> java, List<String> words) throws ClassNotFoundException, URISyntaxException {
        List<String> all = new ArrayList<>(List.of(Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-XX:+UseSerialGC"));
        all.addAll(java);
        all.addAll(List.of("-cp", classPath(), "buswitness.cli.Main"));
        all.addAll(words);
        return new ProcessBuilder(all);
    }

    private static String classPath() throws ClassNotFoundException, URISyntaxException {
        Set<String> places = new LinkedHashSet<>();
        for (String name : List.of("buswitness.cli.Main", "picocli.CommandLine", "com.fazecast.jSerialComm.SerialPort",
                "org.snakeyaml.engine.v2.api.Load", "org.apache.commons.csv.CSVFormat", "com.fasterxml.jackson.core.JsonFactory",
                "org.hipparchus.stat.StatUtils", "org.hipparchus.util.FastMath", "gg.jte.TemplateEngine", "gg.jte.Content")) {
            places.add(Path.of(Class.forName(name).getProtectionDomain().getCodeSource().getLocation().toURI()).toString());
        }
        return String.join(System.getProperty("path.separator"), places);
    }
}
