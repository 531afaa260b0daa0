package buswitness.map;

/**
 * One schedule of a message.
 *
 * @param sender             index into {@link BusMap#senders()}, -1 where not settled
 * @param periodSeconds      on the recorder's clock
 * @param periodErrorSeconds one standard error
 * @param nominalSeconds     the round number it stands for, NaN for none
 * @param jitterSeconds      standard deviation of the releases about the schedule
 * @param restarts           phase jumps after which it went on with the same period
 */
public record Rhythm(int sender, double periodSeconds, double periodErrorSeconds, double nominalSeconds,
                     double jitterSeconds, int frames, int restarts) {}
