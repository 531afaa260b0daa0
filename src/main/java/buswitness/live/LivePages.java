package buswitness.live;

/** What a live page is made of; called on the server's threads. */
public interface LivePages {
    /** The whole page, UTF-8. */
    byte[] page();

    /** One state in one line of JSON. */
    String state(LiveState state);
}
