package buswitness.frames;

import buswitness.bits.BitRunSink;
import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.bits.LineReader;
import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import java.util.ArrayList;
import java.util.List;

/**
 * One line of a recording to frames: rate and polarity from the edges unless told, then bits, then frames. Every
 * stretch of the line ends up in the log as a whole or a damaged frame, or counts as idle. Use once: feed a whole
 * recording, then {@link #finish}. One thread.
 */
public final class FrameReader implements EdgeSink {
    /** How many bits the check sequence of a whole frame speaks for the rate it was read with. */
    private static final double CHECK_ODDS = 1 << 15;
    /** More are no help to anybody. */
    private static final int MOST_MARKS = 10_000;

    /**
     * What is known beforehand.
     *
     * @param coding        {@code can}, or null to find it
     * @param bitsPerSecond nominal rate, or NaN to find it
     * @param tickPicos     recorder's tick, or NaN to find it
     */
    public record Options(String coding, double bitsPerSecond, double tickPicos) {
        /** A recorder whose tick is to be found from the edges. */
        public Options(String coding, double bitsPerSecond) {
            this(coding, bitsPerSecond, Double.NaN);
        }
    }

    private final Options options;
    private final int line;
    private final NoticeLog notices;
    private final LineReader reader;
    private final FrameLog log = new FrameLog();
    private final List<Gap> gaps = new ArrayList<>();
    private final List<Mark> marks = new ArrayList<>();
    private Framing framing;
    private long watchedPicos;
    private long endPicos;
    private boolean ended;

    /** @param line index of the line to read; all others are passed over */
    public FrameReader(Options options, int line, NoticeLog notices) {
        if (options.coding() != null && !options.coding().equals("can")) {
            throw new IllegalArgumentException("coding: " + options.coding());
        }
        this.options = options;
        this.line = line;
        this.notices = notices;
        this.reader = new LineReader(new LineReader.Options(null, options.bitsPerSecond(), options.tickPicos()),
                new Runs());
    }

    @Override
    public void begin(int ofLine, long atPicos, int level) {
        if (ofLine == line) reader.begin(atPicos, level);
    }

    @Override
    public void edges(EdgeBlock block) {
        if (block.line == line) reader.edges(block);
    }

    @Override
    public void gap(int ofLine, long fromPicos, long untilPicos, String why) {
        if (ofLine != line && ofLine != -1) return;
        reader.stop(fromPicos);
        gaps.add(new Gap(fromPicos, untilPicos, why));
    }

    @Override
    public void mark(long atPicos, String label) {
        if (marks.size() < MOST_MARKS) marks.add(new Mark(atPicos, label));
    }

    @Override
    public void end(long atPicos) {
        if (ended) return;
        ended = true;
        endPicos = atPicos;
        reader.stop(atPicos);
        reader.end();
    }

    /** What was read. The recording must have ended. */
    public Decoded finish() {
        if (!ended) throw new IllegalStateException("the recording has not ended");
        LineFinding found = reader.finding();
        double load = watchedPicos > 0 ? Math.min(1, framing.busyPicos() / watchedPicos) : Double.NaN;
        if (Double.isNaN(found.bitsPerSecond()) && reader.changes() > 0) {
            notices.add(new Notice(Place.file("recording"), "no bit rate fits the " + reader.changes()
                    + " level changes of this line; give the rate if it is known."));
        }
        BusInfo bus = new BusInfo(framing.name(), found.bitsPerSecond(), confidence(found), found.rateGiven(),
                found.idleLevel(), load, reader.changes(), reader.glitches(), true, endPicos,
                found.measuredBitsPerSecond(), found.idleConfidence());
        return new Decoded(bus, log, gaps, marks);
    }

    /** A frame read at a wrong rate passes its check once in 2^15: each whole frame multiplies the odds. */
    private double confidence(LineFinding found) {
        if (found.rateGiven()) return 1;
        double edgesAlone = Math.min(0.999, found.rateConfidence());
        if (log.wholeCount() > 0) {
            double checks = Math.pow(CHECK_ODDS, Math.min(4, log.wholeCount()));
            double odds = Math.max(edgesAlone, 0.01) / (1 - edgesAlone) * checks;
            return Math.min(0.9999, odds / (1 + odds));
        }
        return log.size() >= 5 ? edgesAlone / 2 : edgesAlone;
    }

    /** Hands bit runs to the framing that suits the line. */
    private final class Runs implements BitRunSink {
        private long beganPicos;

        @Override
        public void found(LineFinding finding) {
            framing = new CanFraming(finding, log);
        }

        @Override
        public void begin(long atPicos) {
            beganPicos = atPicos;
            framing.begin(atPicos);
        }

        @Override
        public void runs(BitRuns block) {
            framing.runs(block);
        }

        @Override
        public void stop(long atPicos) {
            watchedPicos += atPicos - beganPicos;
            framing.stop(atPicos);
        }
    }
}
