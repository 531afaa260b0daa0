package buswitness.cli;

import buswitness.capture.RecordingInfo;
import buswitness.capture.RecordingWriter;
import buswitness.capture.Recordings;
import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.io.OutputStream;
import java.util.Locale;
import java.util.zip.GZIPOutputStream;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.TypeConversionException;

/** Forms a recording can be written in. */
enum WrittenForm {
    LOG(".bwl"),
    COMPACT(".bwr"),
    VCD(".vcd"),
    CSV(".csv");

    private final String ending;

    WrittenForm(String ending) {
        this.ending = ending;
    }

    /**
     * The form that a file's name asks for, {@code .gz} left aside.
     *
     * @throws InputFault where the name does not say
     */
    static WrittenForm of(String name) {
        String plain = name.toLowerCase(Locale.ROOT).replaceFirst("\\.gz$", "");
        for (WrittenForm form : values()) {
            if (plain.endsWith(form.ending)) return form;
        }
        throw new InputFault(Place.file(name), "its name does not say which form to write",
                "end it in .bwl, .bwr, .vcd or .csv, or say --form");
    }

    /** A writer to a stream, compressing where the name ends in {@code .gz}. */
    RecordingWriter writer(String name, OutputStream target, RecordingInfo info) throws IOException {
        boolean packed = name.toLowerCase(Locale.ROOT).endsWith(".gz");
        OutputStream stream = packed ? new GZIPOutputStream(target, 1 << 16) : target;
        return switch (this) {
            case LOG -> Recordings.writeLog(stream, info);
            case COMPACT -> Recordings.writeCompact(stream, info);
            case VCD -> Recordings.writeVcd(stream, info);
            case CSV -> Recordings.writeCsv(stream, info);
        };
    }

    /** The words of {@code --form}. */
    static final class Word implements ITypeConverter<WrittenForm> {
        @Override
        public WrittenForm convert(String word) {
            for (WrittenForm form : WrittenForm.values()) {
                if (form.name().equals(word.toUpperCase(Locale.ROOT))) return form;
            }
            throw new TypeConversionException("'" + word + "' is none of log, compact, vcd, csv");
        }
    }
}
