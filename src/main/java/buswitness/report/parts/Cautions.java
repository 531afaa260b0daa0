package buswitness.report.parts;

import java.util.List;

/** Said on every report: this work can hurt someone. Common practice of the trade, no single source. */
public final class Cautions {
    public static final List<String> ALL = List.of(
            "Leave airbag and brake circuits alone: do not unplug, probe or bridge them for this work.",
            "A running engine moves, burns and poisons: secure the car against rolling, keep hands, hair and leads"
                    + " clear of belts and fans, lead the exhaust out of doors.",
            "Do not unplug a unit on the road, and do not fit anything that can stop the engine there: find out first"
                    + " what a unit does when its messages stop.",
            "A lamp that no longer warns is worse than one that flickers: after any change prove for each warning lamp"
                    + " that it still lights when it should, and for each gauge that it shows the true value.",
            "Local codes on altering vehicles come first, and work on safety equipment belongs to licensed practice."
                    + " This report is a measurement, not an approval.");

    /** The same on a forecast, which measures nothing. */
    public static final List<String> FORECAST = ALL.stream()
            .map(c -> c.replace("This report is a measurement", "This forecast is a calculation")).toList();

    private Cautions() {}
}
