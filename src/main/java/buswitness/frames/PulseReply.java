package buswitness.frames;

import buswitness.schema.ResponseFormat;

/** Bits of a reply within a frame, gathered beside the frame's own; with or without its check. */
final class PulseReply {
    private final ResponseFormat format;
    private final FrameBits bits = new FrameBits();
    private boolean checked;

    /** @param format null where the bus knows no replies */
    PulseReply(ResponseFormat format) {
        this.format = format;
    }

    boolean isKnown() {
        return format != null;
    }

    /** @param withCheck whether the last byte protects the others */
    void begin(boolean withCheck) {
        bits.clear();
        checked = withCheck && format.check() != null;
    }

    void add(int bit) {
        bits.add(bit);
    }

    /** The reply has ended: into the row, with its fault. */
    void finish(FrameMaker maker) {
        int bytes = bits.size() / 8;
        LogRow row = maker.row;
        row.responseLength = Math.min(bytes, row.response.length);
        for (int i = 0; i < row.responseLength; i++) row.response[i] = (byte) bits.number(8 * i, 8);
        boolean wrong = bits.size() % 8 != 0 || bytes == 0 || bytes > format.mostBytes();
        if (!wrong && checked) {
            // One byte alone has no room for a check: some nodes use the normalisation bit the other way round.
            wrong = bytes > 1 && bits.number(8 * bytes - 8, 8)
                    != CheckValue.of(format.check(), bits, 0, 8 * bytes - 8, 8);
        }
        if (wrong) maker.fail(FrameFault.RESPONSE_CHECK, maker.bits.size());
    }
}
