package buswitness.predict;

import java.util.List;

/**
 * How full the bus will be, periodic messages alone.
 *
 * @param least      share of time, without any stuff bit; NaN where it was not analysed
 * @param most       share of time, with as many stuff bits as there can be, intermission included
 * @param notCounted messages without a period, as {@code message from node}
 */
public record BusLoad(double least, double most, List<String> notCounted) {
    public BusLoad {
        notCounted = List.copyOf(notCounted);
    }
}
