package buswitness.schema;

import java.util.LinkedHashMap;
import java.util.Map;

/** What a number with a unit measures. The unit is required, except with zero and with plain shares. */
public enum Quantity {
    /** In seconds: {@code 100 ms}. */
    TIME("100 ms", units("s", 1, "ms", 1e-3, "us", 1e-6, "µs", 1e-6, "μs", 1e-6, "ns", 1e-9, "ps", 1e-12,
            "min", 60, "h", 3600)),
    /** In bits a second: {@code 125 kbit/s}. */
    BIT_RATE("125 kbit/s", units("bit/s", 1, "kbit/s", 1e3, "Mbit/s", 1e6)),
    /** A plain share: {@code 50 %} is 0.5; a bare number is the share itself. */
    SHARE("50 %", units("%", 0.01, "", 1)),
    /** In parts per million: {@code 40 ppm}. */
    DEVIATION("40 ppm", units("ppm", 1, "ppb", 1e-3, "%", 1e4)),
    /** In volts: {@code 2.1 V}. */
    VOLTAGE("2.1 V", units("V", 1, "mV", 1e-3)),
    /** In hertz: {@code 1.5 Hz}. */
    FREQUENCY("1.5 Hz", units("Hz", 1, "kHz", 1e3, "MHz", 1e6)),
    /** In units a second: {@code 3 per s}. */
    PER_TIME("3 per s", units("per s", 1, "/s", 1, "per ms", 1e3, "per min", 1 / 60.0, "/min", 1 / 60.0,
            "per h", 1 / 3600.0)),
    /** In shares a second: {@code 150 % per s}. */
    SHARE_PER_TIME("150 % per s", units("% per s", 0.01, "%/s", 0.01, "% per min", 0.01 / 60));

    private final String example;
    private final Map<String, Double> factors;

    Quantity(String example, Map<String, Double> factors) {
        this.example = example;
        this.factors = factors;
    }

    /** How a person writes one. */
    public String example() {
        return example;
    }

    /** Units in the order they are listed to a person, each with its factor to the base unit. */
    Map<String, Double> factors() {
        return factors;
    }

    private static Map<String, Double> units(Object... pairs) {
        Map<String, Double> map = new LinkedHashMap<>();
        for (int i = 0; i < pairs.length; i += 2) map.put((String) pairs[i], ((Number) pairs[i + 1]).doubleValue());
        return map;
    }
}
