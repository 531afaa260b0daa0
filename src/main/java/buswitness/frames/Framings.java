package buswitness.frames;

import buswitness.bits.LineFinding;
import buswitness.schema.BusFormat;
import buswitness.schema.LineFormat;

/** The framing that suits a bus. */
final class Framings {
    private Framings() {}

    /** @param format null for CAN and CAN FD, which are read by hand-written framings */
    static Framing of(String coding, BusFormat format, LineFinding finding, double dataBitsPerSecond, FrameLog log) {
        if (coding.equals("can-fd")) return new FdFraming(finding, dataBitsPerSecond, log);
        if (format == null) return new CanFraming(finding, log);
        return of(format, finding, log);
    }

    static Framing of(BusFormat format, LineFinding finding, FrameLog log) {
        LineFormat line = format.line();
        if (line instanceof LineFormat.Stuffed) return new StuffedFraming(format, finding, log);
        if (line instanceof LineFormat.VariablePulse) return new VariablePulseFraming(format, finding, log);
        if (line instanceof LineFormat.PulseWidth) return new PulseWidthFraming(format, finding, log);
        return new ByteFraming(format, finding, log);
    }
}
