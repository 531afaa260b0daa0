package buswitness.simulate;

/** Which of the frames of CAN a message goes in. */
public enum FrameKind {
    /** Classical CAN. */
    CLASSICAL(false, false),
    /** CAN FD all at the nominal rate. */
    FD(true, false),
    /** CAN FD, the payload at the data rate. */
    FD_SWITCHED(true, true);

    private final boolean flexible;
    private final boolean switchesRate;

    FrameKind(boolean flexible, boolean switchesRate) {
        this.flexible = flexible;
        this.switchesRate = switchesRate;
    }

    boolean isFlexible() {
        return flexible;
    }

    boolean switchesRate() {
        return switchesRate;
    }
}
