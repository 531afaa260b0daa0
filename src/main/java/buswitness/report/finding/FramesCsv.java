package buswitness.report.finding;

import buswitness.clashes.ClashFindings;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.report.parts.Figures;
import java.io.BufferedWriter;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;

/** One row a frame, RFC 4180, written as it goes. */
final class FramesCsv {
    static final String[] HEADER = {"time_s", "id", "data", "whole", "fault", "sender"};
    private static final char[] HEX = "0123456789ABCDEF".toCharArray();

    private FramesCsv() {}

    /** @param clashes null where nobody was attributed: the sender's field stays empty */
    static void write(FrameLog frames, ClashFindings clashes, OutputStream out) throws IOException {
        BufferedWriter writer = new BufferedWriter(new OutputStreamWriter(out, StandardCharsets.UTF_8), 1 << 16);
        CSVPrinter rows = new CSVPrinter(writer, CSVFormat.RFC4180);
        rows.printRecord((Object[]) HEADER);
        for (int i = 0; i < frames.size(); i++) {
            rows.print(Figures.seconds(frames.startPicos(i)));
            rows.print(frames.key(i) == MessageKey.UNKNOWN ? "" : MessageKey.text(frames.key(i)));
            rows.print(hex(frames, i));
            rows.print(frames.isWhole(i) ? "true" : "false");
            rows.print(frames.fault(i).text());
            int sender = clashes == null ? -1 : clashes.senderOf(i);
            rows.print(sender < 0 ? "" : clashes.senders().get(sender).label());
            rows.println();
        }
        rows.flush();
    }

    /** Payload as upper-case hexadecimal without spaces. */
    static String hex(FrameLog frames, int i) {
        int n = frames.dataLength(i);
        char[] text = new char[2 * n];
        for (int k = 0; k < n; k++) {
            int b = frames.dataByte(i, k);
            text[2 * k] = HEX[b >> 4];
            text[2 * k + 1] = HEX[b & 15];
        }
        return new String(text);
    }
}
