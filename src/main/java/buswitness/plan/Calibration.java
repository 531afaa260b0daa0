package buswitness.plan;

import java.util.List;

/**
 * A table of inputs with what the bus and the needle must then say, gone through upwards and downwards.
 *
 * @param inputUnit     such as {@code Hz}
 * @param line          line of the recording whose pulses a second are the input; null where it is set by hand
 * @param inputTolerance share by which the input may be off before a point tells nothing
 * @param signal        what the bus says; null where only the needle counts
 * @param needleUnit    empty where no needle is read
 * @param needleStep    how finely a person can read it
 * @param settleSeconds left out after each mark
 * @param hysteresisAtMost most that up and down may differ, in the needle's unit (the bus value's without a needle);
 *                      NaN where it is only reported
 * @param ways          whether to go {@code up} only or {@code up} and {@code down}
 */
public record Calibration(String inputUnit, String line, double inputTolerance, Reference signal, String needleUnit,
                          double needleStep, double settleSeconds, double hysteresisAtMost, List<String> ways,
                          List<Point> points) {
    public Calibration {
        ways = List.copyOf(ways);
        points = List.copyOf(points);
    }

    /** @param bus NaN where not judged; @param needle likewise; @param tolerance of both, in their unit */
    public record Point(String inputText, double input, double bus, double needle, double tolerance) {}

    public boolean hasNeedle() {
        return !needleUnit.isEmpty();
    }
}
