package buswitness;

import buswitness.capture.FrameTableInfo;
import buswitness.capture.Recording;
import buswitness.capture.RecordingInfo;
import buswitness.capture.Recordings;
import buswitness.clashes.ClashFindings;
import buswitness.clashes.Clashes;
import buswitness.clashes.Reference;
import buswitness.frames.Decoded;
import buswitness.frames.FrameReader;
import buswitness.frames.LevelMeter;
import buswitness.frames.TableFrames;
import buswitness.instruments.InstrumentFindings;
import buswitness.instruments.Instruments;
import buswitness.problem.InputFault;
import buswitness.problem.Notice;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.schema.BusFormats;
import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.senders.SenderFindings;
import buswitness.senders.Senders;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** The front door: wires the stages, from a file to findings. Memory grows with frames, never with level changes. */
public final class Analysis {
    private static final int FEWEST_SAMPLES_PER_BIT = 4;

    private Analysis() {}

    /**
     * A recording of the same bus with one node unplugged.
     *
     * @param node as the user calls it
     */
    public record Unplugged(String node, AnalysisReading reading) {}

    /** Does a clash show in this recording? {@link #read} and then {@link #judge}. */
    public static Findings prove(AnalysisOptions options, Progress progress) {
        return judge(read(options, progress), progress);
    }

    /**
     * Reads a recording and decodes its frames.
     *
     * @throws InputFault where the recording or the layout cannot be used
     */
    public static AnalysisReading read(AnalysisOptions options, Progress progress) {
        Recording recording = Recordings.open(options.recording(), options.read());
        Path layoutFile = options.layout();
        boolean found = layoutFile == null && options.findLayout();
        if (found) layoutFile = LayoutSearch.beside(options.recording(), recording.info());
        Layout layout = layoutFile == null ? null : Layouts.load(layoutFile);
        found &= layout != null;
        return recording.isFrameTable()
                ? readTable(recording, options, layout, found, progress)
                : readWire(recording, options, layout, found, progress);
    }

    private static AnalysisReading readTable(Recording recording, AnalysisOptions options, Layout layout, boolean found,
                                             Progress progress) {
        if (options.line() != null) {
            throw new InputFault(Place.file(options.recording().toString()), "a table of frames has no lines",
                    "leave out --line");
        }
        TableFrames table = new TableFrames();
        FrameTableInfo info = recording.readRows(table, progress);
        recording.notices().add(new Notice(Place.file(options.recording().toString()), missing(info)));
        if (options.bitsPerSecond() > 0) info = info.withRate(options.bitsPerSecond());
        else if (!(info.bitsPerSecond() > 0) && layout != null && info.coding().equals(layout.coding())) {
            info = info.withRate(layout.bitsPerSecond());
        }
        return new AnalysisReading(info.recording(), "", layout, found, table.finish(info), recording.notices().kept(),
                recording.notices().seen());
    }

    /** Which evidence frames alone cannot give. */
    private static String missing(FrameTableInfo info) {
        return "Frames that another recorder decoded hold no wire: head-on collisions, bit lengths, pulse shapes and levels could"
                + " not be looked at" + (info.stamped() == FrameTableInfo.Stamped.UNKNOWN ? ", and without knowing which end of a"
                + " frame its time names, none counts as having started freely." : ".");
    }

    private static AnalysisReading readWire(Recording recording, AnalysisOptions options, Layout layout, boolean found,
                                            Progress progress) {
        int line = recording.chooseLine(options.line());
        double rate = options.bitsPerSecond();
        if (Double.isNaN(rate) && layout != null) rate = layout.bitsPerSecond();
        needSamples(recording, rate);
        FrameReader reader = new FrameReader(known(options, layout, rate, recording.info().tickPicos()), line,
                recording.notices());
        if (!recording.levelUnit().isEmpty()) reader.keepLevels(recording.levelUnit());
        RecordingInfo info = recording.read(reader, progress);
        Decoded decoded = reader.finish();
        needSamples(recording, decoded.bus().bitsPerSecond());
        if (!recording.levelUnit().isEmpty()) {
            LevelMeter meter = new LevelMeter(decoded.frames(), decoded.bus().idleLevel());
            recording.readLevels(line, meter, progress);
            meter.finish();
        }
        String name = line < info.lines().size() ? info.lines().get(line) : "";
        if (decoded.bus().edges() == 0) throw still(info, name);
        return new AnalysisReading(info, name, layout, found, decoded, recording.notices().kept(),
                recording.notices().seen());
    }

    /** A coding that was told by hand stands above the layout's. */
    private static FrameReader.Options known(AnalysisOptions options, Layout layout, double rate, double tickPicos) {
        if (options.coding() != null) {
            boolean own = layout != null && layout.format() != null && layout.format().name().equals(options.coding());
            if (!own && !BusFormats.codings().contains(options.coding())) {
                throw new InputFault(Place.file("--coding"), "no bus is named '" + options.coding() + "'",
                        "use one of " + String.join(", ", BusFormats.codings()));
            }
            return new FrameReader.Options(options.coding(), rate, tickPicos, own ? layout.format() : null, Double.NaN);
        }
        return FrameReader.Options.of(layout, rate, tickPicos);
    }

    /** Voltages sampled too seldom would be read as bits that were never sent. */
    private static void needSamples(Recording recording, double bitsPerSecond) {
        double least = FEWEST_SAMPLES_PER_BIT * bitsPerSecond;
        if (Double.isNaN(bitsPerSecond) || !(recording.samplesPerSecond() < least)) return;
        throw new InputFault(Place.file(recording.info().source()), String.format(Locale.ROOT,
                "was sampled %.0f times a second, too seldom for %.0f bit/s", recording.samplesPerSecond(),
                bitsPerSecond), String.format(Locale.ROOT, "record with %.0f samples a second or more", least));
    }

    private static InputFault still(RecordingInfo info, String line) {
        String which = line.isEmpty() ? "the line" : "line '" + line + "'";
        return new InputFault(Place.file(info.source()), which + " never changes its level",
                "check that the probe touches a bus that is awake");
    }

    /** The stages after decoding. */
    public static Findings judge(AnalysisReading reading, Progress progress) {
        return judge(reading, List.of(), progress);
    }

    /**
     * The same, with recordings of the bus with one node unplugged each.
     *
     * @param without in the order given
     */
    public static Findings judge(AnalysisReading reading, List<Unplugged> without, Progress progress) {
        Decoded decoded = reading.decoded();
        progress.at("separating senders", 0, -1);
        SenderFindings senders =
                Senders.find(decoded.frames(), decoded.bus(), decoded.gaps(), reading.layout());
        List<Reference> references = new ArrayList<>();
        for (Unplugged u : without) {
            Decoded other = u.reading().decoded();
            references.add(new Reference(u.node(), u.reading().recording().source(), other.frames(), other.bus(),
                    Senders.find(other.frames(), other.bus(), other.gaps(), u.reading().layout())));
        }
        progress.at("weighing the evidence", 0, -1);
        ClashFindings clashes =
                Clashes.judge(decoded.frames(), decoded.bus(), decoded.gaps(), senders, reading.layout(), references);
        progress.at("replaying the instruments", 0, -1);
        InstrumentFindings instruments =
                Instruments.replay(decoded.frames(), decoded.bus(), decoded.gaps(), clashes, reading.layout());
        return new Findings(reading.recording(), reading.line(), reading.layout(), decoded.bus(), decoded.frames(),
                decoded.gaps(), decoded.marks(), senders, clashes, instruments, reading.notices(), reading.noticesSeen());
    }
}
