package buswitness.frames;

/** One frame on its way into the log. Reusable; {@link #clear} between frames. */
public final class LogRow {
    /** Active edge that begins the frame (start bit, start symbol, break or first byte), picoseconds from time zero. */
    public long startPicos;
    /**
     * End of the last end-of-frame bit or symbol, or of the last byte; of a damaged stretch its flags and delimiter
     * included.
     */
    public long endPicos;
    public long key;
    public boolean remote;
    /** The line had been idle for so long that nothing can have held the sender back. */
    public boolean freeStart;
    public boolean acknowledged;
    /** A frame of CAN FD. */
    public boolean flexible;
    /** CAN FD: its payload goes at the data rate. */
    public boolean switchesRate;
    /** CAN FD: its sender says that it is error passive. */
    public boolean saysPassive;
    public int lengthCode;
    public int dataLength;
    public final byte[] data = new byte[255];
    /** Bytes of a reply within the frame (in-frame response, reply slot), its check included. */
    public int responseLength;
    public final byte[] response = new byte[255];
    /** Number of the sender where the frame tells it, else -1. */
    public int sender;
    /** Fields that neither name nor count nor check, joined; see {@link FormatBits#others}. */
    public long otherFields;
    /** Start of the part that another node sends when asked, picoseconds from time zero; -1 where there is none. */
    public long answerPicos;
    /** First and last edge that one transmitter alone drives, picoseconds from time zero; -1 where there is none. */
    public long aloneFromPicos;
    public long aloneUntilPicos;
    public FrameFault fault = FrameFault.NONE;
    /**
     * Bit at which the stretch stopped being a frame, -1 none: on buses of bits counted from the start bit = 0, stuff bits
     * left out; on others from the first field's first bit = 0.
     */
    public int faultBit;
    /** Runs filtered as too short within the frame. */
    public int glitches;
    /** Fitted bit length against the nominal one, parts per million, over bits one transmitter alone drives. */
    public float bitPpm;
    public float bitPpmError;
    /**
     * How much longer a dominant bit is than a recessive one, nanoseconds (dominant lengthened: positive); twice
     * the time by which the end of a dominant run is late.
     */
    public float asymmetryNanos;
    public float asymmetryErrorNanos;
    /**
     * Damaged frames only, else null: every bit on the wire from start of frame, stuff bits and flags included; on buses of
     * pulses and bytes the fields' bits as far as they were read.
     */
    public BitString wireBits;
    /** See {@link FrameLog#gridEdges}; null where there are none. */
    public short[] gridEdges;

    public void clear() {
        startPicos = endPicos = 0;
        key = MessageKey.UNKNOWN;
        remote = freeStart = acknowledged = flexible = switchesRate = saysPassive = false;
        lengthCode = dataLength = responseLength = 0;
        sender = -1;
        otherFields = 0;
        answerPicos = -1;
        aloneFromPicos = aloneUntilPicos = -1;
        fault = FrameFault.NONE;
        faultBit = -1;
        glitches = 0;
        bitPpm = bitPpmError = asymmetryNanos = asymmetryErrorNanos = Float.NaN;
        wireBits = null;
        gridEdges = null;
    }

    /** An edge that one transmitter alone drives. */
    void alone(long atPicos) {
        if (aloneFromPicos < 0) aloneFromPicos = atPicos;
        aloneUntilPicos = atPicos;
    }
}
