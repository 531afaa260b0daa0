package buswitness.calibrate;

/** Innocent habits of body electronics that can look like a second sender. All common practice, no source. */
enum Confounder {
    SEVERAL_TASKS("several tasks of a node, each with its own offset and jitter"),
    TWO_TASKS_ONE_MESSAGE("two tasks of one node send the same message"),
    TWO_MAILBOXES("two mailboxes of one node with the same identifier, other page and other phase"),
    UNIFORM_JITTER("jitter up to 15 % of the period"),
    TAILED_JITTER("software delay with a long tail"),
    TWO_LEVEL_JITTER("a task held up now and then by a fixed time"),
    ON_CHANGE_TASK("cyclic, and on change at the next task tick"),
    ON_CHANGE_INTERRUPT("cyclic, and on change from an interrupt"),
    CHANGE_BURSTS("a burst of repeats after each change"),
    DELAY_LOOP("delay loop instead of a timer"),
    GATEWAY("forwarded by a gateway on a foreign timer"),
    GATEWAY_POLLED("forwarded by a gateway that looks now and then"),
    RESTARTS("a node restarts"),
    REPLACED("a unit unplugged and replaced by another"),
    LONE_SENDER_BIT("a lone sender breaks at the same bit"),
    SLOW_EDGE("a sender lets go late at the same bit"),
    RECEIVER_BIT("a receiver with a bad sample point"),
    NO_ACKNOWLEDGE("nobody to acknowledge for a while"),
    INTERFERENCE("interference"),
    RECORDING_GAPS("gaps in the recording"),
    RECORDER_GLITCHES("glitches only the recorder sees"),
    RINGING("ringing edges"),
    PAGES("paged payload"),
    COUNTERS("counters and check sums"),
    JUMPING_COUNTER("alive counter that jumps"),
    ALTERNATING_DATA("payload that alternates from frame to frame"),
    BAD_SENSOR("a value that jumps"),
    EVENT_ONLY("event-only message"),
    SLEEPING("the bus sleeps and wakes"),
    WARMING("clocks warm up"),
    REMOTE_ANSWERS("remote requests with answers"),
    NEAR_EQUAL("two near-equal messages of one node"),
    SYNC_STEPS("phase steps of a synchronised clock"),
    RATE_SWITCH("a message that changes its period"),
    MISSED_CYCLES("cycles left out at random"),
    RESONATORS("ceramic resonators");

    final String text;

    Confounder(String text) {
        this.text = text;
    }
}
