package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layouts;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/** Random traffic on each described bus. */
final class BusSamples {
    /** Built-in buses, and the two invented ones of captures/. */
    static final List<String> ALL =
            List.of("can", "lin", "j1850-vpw", "j1850-pwm", "iso9141", "iso14230", "comfort-wire", "cabin-line");

    private BusSamples() {}

    private static final BusFormat COMFORT = own("comfort-wire");
    private static final BusFormat CABIN = own("cabin-line");

    private static BusFormat own(String name) {
        return Layouts.load(Path.of("captures/" + name + ".layout.yaml")).format();
    }

    static BusFormat format(String name) {
        return BusFormats.names().contains(name) ? BusFormats.builtIn(name)
                : name.equals("comfort-wire") ? COMFORT : CABIN;
    }

    static double rate(String name) {
        return switch (name) {
            case "can" -> 83_333.333;
            case "lin" -> 19_200;
            case "iso9141", "iso14230" -> 10_400;
            case "comfort-wire" -> 10_000;
            case "cabin-line" -> 9_600;
            default -> format(name).bitsPerSecond();
        };
    }

    static FormatSketch sketch(String name) {
        return new FormatSketch(format(name), rate(name));
    }

    /** Field values that a node of that bus would send. */
    static Map<String, Long> values(String name, Random random) {
        Map<String, Long> v = new HashMap<>();
        switch (name) {
            case "can" -> {
                v.put("base identifier", (long) random.nextInt(0x7F0));
                if (random.nextInt(3) == 0) {
                    v.put("extended", 1L);
                    v.put("remote or substitute", 1L);
                    v.put("extension", (long) random.nextInt(1 << 18));
                }
            }
            case "lin" -> v.put("identifier", (long) random.nextInt(60));
            case "j1850-vpw", "j1850-pwm" -> {
                v.put("priority", (long) random.nextInt(8));
                v.put("no reply", 1L);
                v.put("kind", (long) random.nextInt(4));
                v.put("target", (long) random.nextInt(256));
                v.put("source", (long) random.nextInt(256));
            }
            case "iso9141" -> {
                v.put("priority", 0x48L);
                v.put("target", 0x6BL);
                v.put("source", (long) random.nextInt(256));
            }
            case "iso14230" -> {
                v.put("mode", (long) (2 + random.nextInt(2)));
                v.put("target", (long) random.nextInt(256));
                v.put("source", (long) random.nextInt(256));
            }
            case "comfort-wire" -> {
                v.put("urgency", (long) random.nextInt(4));
                v.put("topic", (long) random.nextInt(512));
                v.put("sender", (long) random.nextInt(32));
            }
            default -> {
                v.put("zone", (long) random.nextInt(8));
                v.put("action", (long) random.nextInt(256));
                v.put("from", (long) random.nextInt(16));
                v.put("to", (long) random.nextInt(16));
            }
        }
        return v;
    }

    static byte[] data(String name, Random random) {
        int most = switch (name) {
            case "iso9141" -> 7;
            case "j1850-vpw", "j1850-pwm" -> 8;
            default -> 8;
        };
        int length = 1 + random.nextInt(most);
        if (name.equals("comfort-wire")) length = new int[] {0, 1, 2, 3, 4, 6, 8, 12}[random.nextInt(8)];
        if (name.equals("can")) length = random.nextInt(9);
        byte[] data = new byte[length];
        random.nextBytes(data);
        return data;
    }

    /** Frames with rests between them. */
    static FormatSketch traffic(String name, int frames, long seed) {
        Random random = new Random(seed);
        FormatSketch line = sketch(name).idle(0);
        line.idle(2 * line.restMicros());
        for (int i = 0; i < frames; i++) {
            line.frame(values(name, random), data(name, random));
            line.idle(line.restMicros() * (1 + random.nextDouble()));
        }
        return line.idle(2 * line.restMicros());
    }

    static FrameReader.Options told(String name) {
        boolean own = !BusFormats.names().contains(name);
        return new FrameReader.Options(name, rate(name), Double.NaN, own ? format(name) : null, Double.NaN);
    }
}
