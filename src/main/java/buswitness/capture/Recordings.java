package buswitness.capture;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import buswitness.problem.Progress;
import buswitness.schema.DocumentKind;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;

/** Opens recordings, whatever their form, and makes new ones. Stateless. */
public final class Recordings {
    private static final String FORMS = "a bit-timed log, a compact recording, a VCD, a CSV of time,level or "
            + "voltages, a WAV, a packet capture of CAN or LIN or, with --columns, a frame table";

    private Recordings() {}

    /**
     * Opens a recording and tells its form from its bytes, plain, gzip or a zip with one file in it.
     *
     * @throws InputFault where the file cannot be read or is no recording
     */
    public static Recording open(Path file, ReadOptions options) {
        String name = file.toString();
        try {
            if (Files.isDirectory(file)) throw new InputFault(Place.file(name), "is a folder", "name a recording");
            if (!Files.exists(file)) {
                throw new InputFault(Place.file(name), "there is no such file", "check its name and folder");
            }
            return open(new Source(name, Files.size(file), () -> Files.newInputStream(file)), options);
        } catch (IOException e) {
            throw new InputFault(Place.file(name), "cannot be read (" + e.getMessage() + ")",
                    "check the file and its permissions");
        }
    }

    static Recording open(Source source, ReadOptions options) {
        try (ByteWindow in = ByteWindow.open(source, Progress.SILENT)) {
            in.need(4096);
            if (in.atEnd()) {
                throw new InputFault(Place.file(source.name()), in.broken() == null ? "is empty" : in.broken(),
                        "record again or take the file again from where it was made");
            }
            if (options.columns() != null) {
                refuseColumns(in);
                return new Recording(source, null, FrameTable.open(TableColumns.load(options.columns()), in));
            }
            if (PacketFile.startsWith(in.bytes, in.pos, in.limit)) {
                return new Recording(source, null, PacketCapture.open(in));
            }
            return new Recording(source, recognised(source, in, options), null);
        }
    }

    private static String head(ByteWindow in) {
        String head = new String(in.bytes, in.pos, Math.min(4096, in.limit - in.pos), StandardCharsets.UTF_8);
        return head.startsWith("\uFEFF") ? head.substring(1) : head;
    }

    /** A recording that tells its own form is no frame table, whatever the command line says. */
    private static void refuseColumns(ByteWindow in) {
        String head = head(in);
        if (head.startsWith(LogHeader.MAGIC) || VcdHeader.startsWith(head) || head.indexOf('\0') >= 0
                || CompactBlocks.startsWith(in.bytes, in.pos, in.limit)) {
            throw new InputFault(Place.file(in.name()), "is not a frame table", "leave --columns out");
        }
    }

    /** A packed file that ends too soon is told as that, not as what its last line lacks. */
    private static Form recognised(Source source, ByteWindow in, ReadOptions options) {
        try {
            return recognise(source, in, options);
        } catch (InputFault fault) {
            if (in.broken() == null) throw fault;
            throw new InputFault(Place.file(source.name()), in.broken() + " before its first level change",
                    "take the file again from where it was made");
        }
    }

    private static Form recognise(Source source, ByteWindow in, ReadOptions options) {
        int first = in.limit - in.pos < 2 ? 0 : (in.bytes[in.pos] & 0xFF) << 8 | in.bytes[in.pos + 1] & 0xFF;
        if (first == 0xFFFE || first == 0xFEFF) {
            throw new InputFault(Place.file(in.name()), "is text in UTF-16", "save it as UTF-8 or plain text");
        }
        String head = head(in);
        if (head.startsWith(LogHeader.MAGIC)) return LogForm.open(in);
        if (VcdHeader.startsWith(head)) return VcdForm.open(in);
        if (CompactBlocks.startsWith(in.bytes, in.pos, in.limit)) return CompactForm.open(in);
        if (WaveForm.startsWith(in.bytes, in.pos, in.limit)) return analogue(source, WaveForm.open(in));
        if (head.indexOf('\0') >= 0) throw notARecording(in, "holds binary data of an unknown kind");
        InputFault document = DocumentKind.insteadOfRecording(head, source.name());
        if (document != null) throw document;
        CsvHead.Outcome csv = CsvHead.read(in, options.timeUnit());
        if (csv.head() != null) return new CsvForm(csv.head(), in.name());
        Sampled voltages = voltages(source, options);
        if (voltages != null) return analogue(source, voltages);
        if (head.lines().findFirst().orElse("").matches(".*[,;\t].*")) throw csv.fault();
        throw notARecording(in, "is not a recording of a known form");
    }

    private static Sampled voltages(Source source, ReadOptions options) {
        try (ByteWindow in = ByteWindow.open(source, Progress.SILENT)) {
            return VoltageCsv.open(in, options.timeUnit());
        }
    }

    private static Form analogue(Source source, Sampled sampled) {
        try (ByteWindow in = ByteWindow.open(source, Progress.SILENT)) {
            return AnalogueForm.open(in, sampled);
        }
    }

    private static InputFault notARecording(ByteWindow in, String what) {
        return new InputFault(Place.file(in.name()), what, "give " + FORMS);
    }

    /** Writes our bit-timed log. Only tick, lines and notes of the info are used. */
    public static RecordingWriter writeLog(OutputStream out, RecordingInfo info) {
        return new OrderedWriter(info, new LogEncoder(out, info));
    }

    /** Writes our compact recording. */
    public static RecordingWriter writeCompact(OutputStream out, RecordingInfo info) {
        return new OrderedWriter(info, new CompactEncoder(out, info));
    }

    /** Writes a value change dump. Gaps are kept as x without their reason. */
    public static RecordingWriter writeVcd(OutputStream out, RecordingInfo info) {
        return new OrderedWriter(info, new VcdEncoder(out, info));
    }

    /** Writes CSV of seconds and levels. Gaps are kept as empty levels without their reason; marks, notes are not. */
    public static RecordingWriter writeCsv(OutputStream out, RecordingInfo info) {
        return new OrderedWriter(info, new CsvEncoder(out, info));
    }

    /**
     * Writes voltages as WAV: one channel of 16 bits.
     *
     * @param samples how many will come; the header tells it beforehand
     */
    public static SampleWriter writeWave(OutputStream out, int samplesPerSecond, long samples, double fullScaleVolts) {
        return SampleFiles.wave(out, samplesPerSecond, samples, fullScaleVolts);
    }

    /** Writes voltages as CSV of seconds and volts. */
    public static SampleWriter writeVoltageCsv(OutputStream out, double samplesPerSecond, String column) {
        return SampleFiles.csv(out, samplesPerSecond, column);
    }
}
