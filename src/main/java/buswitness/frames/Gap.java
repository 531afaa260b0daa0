package buswitness.frames;

/**
 * A stretch that was not recorded.
 *
 * @param fromPicos  last instant known before it
 * @param untilPicos first instant known after it
 * @param why        one clause
 */
public record Gap(long fromPicos, long untilPicos, String why) {}
