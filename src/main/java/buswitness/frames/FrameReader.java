package buswitness.frames;

import buswitness.bits.BitRunSink;
import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.bits.LineHead;
import buswitness.bits.LineReader;
import buswitness.capture.EdgeBlock;
import buswitness.capture.EdgeSink;
import buswitness.capture.LevelNote;
import buswitness.problem.Notice;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * One line of a recording to frames: rate and polarity from the edges unless told, then bits, then frames. Every
 * stretch of the line ends up in the log as a whole or a damaged frame, or counts as idle. Use once: feed a whole
 * recording, then {@link #finish}. One thread.
 */
public final class FrameReader implements EdgeSink {
    /** How many bits the check sequence of a whole frame speaks for the rate it was read with. */
    private static final double CHECK_ODDS = 1 << 15;
    /** The same for the eight-bit checks of other buses, two of which may be alternatives. */
    private static final double SHORT_CHECK_ODDS = 1 << 7;
    /** More are no help to anybody. */
    private static final int MOST_MARKS = 10_000;

    /**
     * What is known beforehand.
     *
     * @param coding        a name that {@code coding:} of a layout may have, or null to find it
     * @param bitsPerSecond nominal rate, or NaN to find it
     * @param tickPicos     recorder's tick, or NaN to find it
     * @param format        of a bus that is neither CAN nor CAN FD, or null for a built-in one and where it is to be found
     * @param dataBitsPerSecond CAN FD: rate after the switch, or NaN to find it
     */
    public record Options(String coding, double bitsPerSecond, double tickPicos, BusFormat format,
                          double dataBitsPerSecond) {
        public Options {
            if (format != null) coding = format.name();
            else if (coding != null && !coding.equals("can") && !coding.equals("can-fd")) {
                format = BusFormats.builtIn(coding);
            }
        }

        /** What a layout says of its bus; everything is to be found where there is none. */
        public static Options of(Layout layoutOrNull, double bitsPerSecond, double tickPicos) {
            if (layoutOrNull == null) return new Options(null, bitsPerSecond, tickPicos);
            return new Options(layoutOrNull.coding(), bitsPerSecond, tickPicos, layoutOrNull.format(),
                    layoutOrNull.dataBitsPerSecond());
        }

        public Options(String coding, double bitsPerSecond, double tickPicos) {
            this(coding, bitsPerSecond, tickPicos, null, Double.NaN);
        }

        /** A recorder whose tick is to be found from the edges. */
        public Options(String coding, double bitsPerSecond) {
            this(coding, bitsPerSecond, Double.NaN);
        }
    }

    private final Options options;
    private final int line;
    /** Ticks in a bit of the data rate from which frames are lost: a quarter loses none, two fifths one in fifty (measured). */
    private static final double COARSE_SHARE = 0.34;
    private final NoticeLog notices;
    private final LineReader reader;
    private final FrameLog log = new FrameLog();
    private final List<Gap> gaps = new ArrayList<>();
    private final List<Mark> marks = new ArrayList<>();
    private final LevelNotes levelNotes = new LevelNotes();
    private Framing framing;
    private Recogniser.Choice choice;
    private long watchedPicos;
    private long beganPicos;
    private boolean watching;
    private long endPicos;
    private boolean ended;

    /** @param line index of the line to read; all others are passed over */
    public FrameReader(Options options, int line, NoticeLog notices) {
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
    public void levels(LevelNote note) {
        if (note.line() == line) levelNotes.add(note);
    }

    @Override
    public void end(long atPicos) {
        if (ended) return;
        ended = true;
        endPicos = atPicos;
        reader.stop(atPicos);
        reader.end();
    }

    /** Judges rate and polarity from so many level changes, for a live view. Before anything is read. */
    public void judgeAfter(int changes) {
        reader.judgeAfter(changes);
    }

    /** Judges them from what has come so far, for a bus on which little happens. */
    public void judgeNow() {
        reader.judgeNow();
    }

    /** Keeps room for how high the line stands in each frame, in that unit. Before anything is read. */
    public void keepLevels(String unit) {
        log.keepLevels(unit);
    }

    /** The frames so far; grows while the recording is read. */
    public FrameLog log() {
        return log;
    }

    /** What the line's first changes told, or null before they have been judged. */
    public LineFinding finding() {
        return reader.finding();
    }

    /** Drops all but the newest frames, and the gaps and marks before them. */
    public void forget(int kept) {
        if (log.size() <= kept) return;
        log.forget(log.size() - kept);
        long from = log.startPicos(0);
        gaps.removeIf(g -> g.untilPicos() < from);
        marks.removeIf(m -> m.atPicos() < from);
    }

    /**
     * A copy of the frames read so far, while the recording goes on. Times count from {@code zeroPicos}, what lies before it
     * is left out.
     *
     * @param from     index of the first frame
     * @param nowPicos until when the line has been watched
     */
    public Decoded soFar(int from, long zeroPicos, long nowPicos) {
        List<Gap> later = gaps.stream().filter(g -> g.untilPicos() > zeroPicos)
                .map(g -> new Gap(Math.max(0, g.fromPicos() - zeroPicos), g.untilPicos() - zeroPicos, g.why())).toList();
        List<Mark> set = marks.stream().filter(m -> m.atPicos() >= zeroPicos)
                .map(m -> new Mark(m.atPicos() - zeroPicos, m.label())).toList();
        long watched = watchedPicos + (watching ? Math.max(0, nowPicos - beganPicos) : 0);
        return new Decoded(bus(Math.max(0, nowPicos - zeroPicos), watched), log.copy(from, zeroPicos), later, set);
    }

    /** What was read. The recording must have ended. */
    public Decoded finish() {
        if (!ended) throw new IllegalStateException("the recording has not ended");
        levelNotes.giveTo(log);
        LineFinding found = reader.finding();
        if (Double.isNaN(found.bitsPerSecond()) && reader.changes() > 0) {
            notices.add(new Notice(Place.file("recording"), "no bit rate fits the " + reader.changes()
                    + " level changes of this line; give the rate if it is known."));
        }
        double dataBit = 1e12 / choice.dataBitsPerSecond();
        if (found.tickPicos() > COARSE_SHARE * dataBit) {
            notices.add(new Notice(Place.file("recording"), String.format(Locale.ROOT, "a tick of %.0f ns is too coarse for"
                    + " payloads at %.0f kbit/s: frames may look broken that are not. Record with %.0f ns or finer.",
                    found.tickPicos() * 1e-3, choice.dataBitsPerSecond() * 1e-3, 0.25 * dataBit * 1e-3)));
        }
        BusInfo bus = bus(endPicos, watchedPicos);
        if (bus.tickTooCoarse(found.tickPicos())) {
            notices.add(new Notice(Place.file("recording"), String.format(Locale.ROOT, "a tick of %.0f ns is too coarse for"
                    + " %.0f kbit/s: frames may look broken that are not. Record with %.0f ns or finer.",
                    found.tickPicos() * 1e-3, bus.bitsPerSecond() * 1e-3, 0.05 * bus.bitPicos() * 1e-3)));
        }
        if (choice.recognition().isDoubtful()) {
            Recognition r = choice.recognition();
            notices.add(new Notice(Place.file("recording"), String.format(Locale.ROOT, "read as %s, as told, only %.0f %% of the "
                    + "level changes make sense; as %s it would be %.0f %%.", r.title(), 100 * r.explained(),
                    r.runnerUpTitle(), 100 * r.runnerUpExplained())));
        }
        return new Decoded(bus, log, gaps, marks);
    }

    private BusInfo bus(long durationPicos, long watched) {
        LineFinding found = reader.finding();
        log.tickPicos(found.tickPicos());
        double load = watched > 0 ? Math.min(1, framing.busyPicos() / watched) : Double.NaN;
        return new BusInfo(framing.name(), found.bitsPerSecond(), confidence(found), found.rateGiven(),
                found.idleLevel(), load, reader.changes(), reader.glitches(), true, durationPicos,
                found.measuredBitsPerSecond(), found.idleConfidence(), choice.dataBitsPerSecond(),
                choice.recognition());
    }

    /** A frame read at a wrong rate passes its check once in 2^15: each whole frame multiplies the odds. */
    private double confidence(LineFinding found) {
        if (found.rateGiven()) return 1;
        double edgesAlone = Math.min(0.999, found.rateConfidence());
        // A frame that nobody acknowledged has passed its check all the same.
        int checked = log.wholeCount() + log.count(FrameFault.ACKNOWLEDGE);
        if (checked > 0) {
            double checks = Math.pow(choice.format() == null ? CHECK_ODDS : SHORT_CHECK_ODDS, Math.min(4, checked));
            double odds = Math.max(edgesAlone, 0.01) / (1 - edgesAlone) * checks;
            return Math.min(0.9999, odds / (1 + odds));
        }
        return log.size() >= 5 ? edgesAlone / 2 : edgesAlone;
    }

    /** Hands bit runs to the framing that suits the line. */
    private final class Runs implements BitRunSink {
        @Override
        public LineFinding choose(LineHead head) {
            choice = new Recogniser(head, options).choose();
            return choice.finding();
        }

        @Override
        public void found(LineFinding finding) {
            framing = Framings.of(choice.coding(), choice.format(), finding, choice.dataBitsPerSecond(), log);
        }

        @Override
        public void begin(long atPicos) {
            watching = true;
            beganPicos = atPicos;
            framing.begin(atPicos);
        }

        @Override
        public void runs(BitRuns block) {
            framing.runs(block);
        }

        @Override
        public void stop(long atPicos) {
            watching = false;
            watchedPicos += atPicos - beganPicos;
            framing.stop(atPicos);
        }
    }
}
