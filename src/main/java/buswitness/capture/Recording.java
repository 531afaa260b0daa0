package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.NoticeLog;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import java.util.function.Consumer;

/**
 * One recording, opened. Every reading starts from the first byte. Threads: one reader at a time.
 */
public final class Recording {
    private static final int NOTICES_KEPT = 1000;

    private final Source source;
    private final Form form;
    private final FrameSource table;
    private final NoticeLog notices = new NoticeLog(NOTICES_KEPT);
    private boolean noticed;
    private RecordingInfo info;

    /** One of form and table is null. */
    Recording(Source source, Form form, FrameSource table) {
        this.source = source;
        this.form = form;
        this.table = table;
        this.info = table == null ? form.header() : table.header();
    }

    /** What it says of itself; the sum is known once it has been read whole. */
    public RecordingInfo info() {
        return info;
    }

    /** True where it holds frames that another recorder decoded; false where it holds level changes. */
    public boolean isFrameTable() {
        return table != null;
    }

    /** Samples a second where it holds voltages sampled evenly, else NaN. */
    public double samplesPerSecond() {
        return form == null ? Double.NaN : form.samplesPerSecond();
    }

    /** Unit of those samples: {@code V}, {@code mV}, or {@code FS} for a WAV's full scale; empty where there are none. */
    public String levelUnit() {
        return form == null ? "" : form.levelUnit();
    }

    /**
     * Reads all samples of a line once more, for how high it stands between its changes. Nothing comes where the recording
     * holds level changes only.
     *
     * @param line index into {@link RecordingInfo#lines()}
     */
    public void readLevels(int line, LevelSink levels, Progress progress) {
        if (levelUnit().isEmpty()) return;
        try (ByteWindow in = ByteWindow.open(source, progress)) {
            form.readLevels(in, line, levels);
        }
    }

    /** What the first whole reading survived but found worth saying. */
    public NoticeLog notices() {
        return notices;
    }

    /**
     * Reads all of it.
     *
     * @param sink takes the changes of every line
     * @return what the recording says of itself, the sum of its bytes included
     * @throws InputFault where the content cannot be what its form says, or no line ever changes
     */
    public RecordingInfo read(EdgeSink sink, Progress progress) {
        needLevels();
        RecordingInfo whole = read(sink, progress, noticed ? new NoticeLog(1) : notices);
        noticed = true;
        return whole;
    }

    /**
     * Reads all rows of a frame table.
     *
     * @throws InputFault where this is none, or more than one row in a hundred is malformed
     */
    public FrameTableInfo readRows(Consumer<FrameRow> to, Progress progress) {
        if (table == null) {
            throw new InputFault(Place.file(source.name()), "holds level changes, not frames",
                    "give a table of frames here");
        }
        try (ByteWindow in = ByteWindow.open(source, progress)) {
            FrameTableInfo whole = table.read(in, to, noticed ? new NoticeLog(1) : notices);
            noticed = true;
            info = whole.recording();
            return whole;
        }
    }

    private void needLevels() {
        if (table != null) {
            throw new InputFault(Place.file(source.name()), "holds frames, not level changes",
                    "give a bit-timed recording here");
        }
    }

    private RecordingInfo read(EdgeSink sink, Progress progress, NoticeLog heard) {
        try (ByteWindow in = ByteWindow.open(source, progress)) {
            EdgeGatherer gatherer = new EdgeGatherer(sink, info.lines().size(), form.columns());
            form.read(in, gatherer, heard);
            boolean cut = heard.kept().stream().anyMatch(n -> n.says().contains("cut short"));
            if (gatherer.changes() == 0 && cut) {
                throw new InputFault(Place.file(source.name()), "is cut short before any line changes its level",
                        "take the file again from where it was made");
            }
            if (gatherer.changes() == 0) {
                throw new InputFault(Place.file(source.name()), "no line ever changes its level",
                        "check the tap and the threshold, and record while the bus is awake");
            }
            RecordingInfo h = form.header();
            info = new RecordingInfo(h.source(), h.form(), in.drain(), h.tickPicos(), h.lines(), h.notes());
            return info;
        }
    }

    /**
     * Settles which line is meant.
     *
     * @param wanted name of a line, its number from 1, or null for the only one that moves
     * @return index into {@link RecordingInfo#lines()}
     * @throws InputFault where the name fits none, or where several move and none is wanted
     */
    public int chooseLine(String wanted) {
        needLevels();
        if (wanted != null) return LineChoice.named(wanted, form, source.name());
        if (info.lines().size() == 1) return 0;
        LineChoice.Counter counter = new LineChoice.Counter(info.lines().size());
        read(counter, Progress.SILENT, new NoticeLog(1));
        return counter.only(info.lines(), source.name());
    }
}
