package buswitness.frames;

import buswitness.schema.LineFormat;

/**
 * Level changes to asynchronous bytes: a byte begins with an active edge, its bits are taken in their middle on a clock
 * that this edge starts. Reports bytes, breaks and long wake-up levels in the order in which they end.
 */
final class AsyncBytes {
    /** Takes what was read. */
    interface Sink {
        /** @param value 0 to 255 @param stopped whether the stop bit was at rest @param even whether the parity holds */
        void take(long startPicos, long endPicos, int value, boolean stopped, boolean even);

        /** An active level longer than any byte. */
        void longActive(long fromPicos, long untilPicos);
    }

    private final LineFormat.Bytes line;
    private final Sink sink;
    private final double bitPicos;
    private final double asymmetryPicos;
    private final int byteBits;
    private final int stopBit;
    private final double breakPicos;
    final ByteTimes times;
    final GridEdges grid = new GridEdges();

    private boolean known;
    private int level;
    private long levelPicos;
    private boolean inByte;
    private long startPicos;
    private int sampled;
    private int word;
    private boolean stopped;
    /** After a byte without stop bit, until the line rests. */
    private boolean lost;
    /** The open level is active and its beginning was not seen. */
    private boolean unseen;

    /**
     * @param asymmetryPicos how much the usual active run is longer than its bits
     * @param bitPicos       a bit as measured
     */
    AsyncBytes(LineFormat.Bytes line, double bitPicos, double asymmetryPicos, ByteTimes times, Sink sink) {
        this.line = line;
        this.sink = sink;
        this.bitPicos = bitPicos;
        this.asymmetryPicos = asymmetryPicos;
        this.times = times;
        this.stopBit = 9 + (line.parity() == 0 ? 0 : 1);
        this.byteBits = stopBit + line.stopBits();
        // Halfway between the longest active run of a byte and the break as it is sent.
        this.breakPicos = (line.breakBits() == 0 ? stopBit + 1.5 : (stopBit + line.breakBits()) / 2.0) * bitPicos;
    }

    void begin() {
        known = inByte = lost = unseen = false;
    }

    /** The next edge, or the level when watching begins. */
    void change(int to, long at) {
        if (!known) {
            known = true;
            level = to;
            levelPicos = at;
            lost = unseen = to == 0;
            return;
        }
        if (to == level) return;
        if (inByte) sampleUntil(at);
        if (unseen) {
            // The active level that watching began with: nobody knows how long it had lasted.
            unseen = false;
        } else if (level == 0 && at - levelPicos >= breakPicos) {
            if (inByte && startPicos < levelPicos) finish(false, levelPicos);
            inByte = false;
            times.beginByte();
            sink.longActive(levelPicos, at);
            lost = false;
        } else if (inByte) {
            int n = (int) Math.rint((at - startPicos) / bitPicos);
            if (at - startPicos < (stopBit + 0.5) * bitPicos) grid.edge(to == 1, (at - startPicos) / bitPicos);
            if (n < stopBit || n == stopBit && to == 1) times.edge(to == 1, n, at - startPicos);
            if (sampled > stopBit && to == 1) finish(stopped, at);
        }
        if (to == 1) lost = false;
        level = to;
        levelPicos = at;
        if (to == 0 && !inByte && !lost) start(at);
    }

    private void start(long at) {
        inByte = true;
        startPicos = at;
        sampled = 0;
        word = 0;
        times.beginByte();
        grid.beginByte();
        times.edge(false, 0, 0);
    }

    /** Takes the bits whose middle the open level covers; a byte that is complete at rest is delivered at once. */
    private void sampleUntil(long at) {
        double late = level == 0 ? asymmetryPicos : 0;
        while (sampled <= stopBit && startPicos + (sampled + 0.5) * bitPicos < at - late) {
            if (sampled == 0 && level == 1) {
                // Too short for a start bit.
                inByte = false;
                return;
            }
            if (sampled == stopBit) stopped = level == 1;
            else word = word << 1 | level;
            sampled++;
        }
        if (sampled > stopBit && level == 1) finish(stopped, startPicos + Math.round(byteBits * bitPicos));
    }

    private void finish(boolean stop, long end) {
        inByte = false;
        lost = !stop && level == 0;
        while (sampled < stopBit) {
            word <<= 1;
            sampled++;
        }
        int dataAt = stopBit - 9;
        int raw = word >>> dataAt & 0xFF;
        int value = line.lowBitFirst() ? Integer.reverse(raw) >>> 24 : raw;
        boolean holds = line.parity() == 0 || (Integer.bitCount(word & 0x1FF) & 1) == (line.parity() == 1 ? 1 : 0);
        sink.take(startPicos, end, value, stop, holds);
    }

    /** Watching ends. @return whether a byte or a long active level was cut by it */
    boolean stop(long at) {
        if (!known) return false;
        if (inByte) sampleUntil(at);
        return inByte || level == 0;
    }

    /** Start of the byte or level that watching cut. */
    long cutPicos() {
        return inByte ? startPicos : levelPicos;
    }

    double byteBits() {
        return byteBits;
    }
}
