package buswitness.clashes;

/**
 * A comb on which a sender sends a message.
 *
 * @param sender             index into {@link ClashFindings#senders()}, -1 where undetermined
 * @param track              index into the sender findings' tracks
 * @param periodSeconds      NaN for events
 * @param periodErrorSeconds one standard error; NaN for events
 * @param frames             frames on it
 */
public record Schedule(int sender, int track, double periodSeconds, double periodErrorSeconds, int frames) {}
