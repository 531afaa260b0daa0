package buswitness.simulate;

import buswitness.frames.MessageKey;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.math.BigDecimal;
import java.util.HexFormat;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;

/** Writes the truth as a table. */
final class TruthCsv implements TruthSink {
    private final CSVPrinter printer;
    private long frame;

    TruthCsv(Appendable out) {
        try {
            printer = new CSVPrinter(out, CSVFormat.RFC4180.builder().setRecordSeparator('\n').get());
            printer.printRecord("frame", "start_s", "end_s", "id", "request", "sender", "data", "whole", "completed",
                    "merged", "attempt", "broke_at_bit", "release_s", "transmit_errors");
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    @Override
    public void frame(FrameTruth truth) {
        frame++;
        try {
            if (truth.senders().isEmpty()) {
                printer.printRecord(frame, seconds(truth.startPicos()), seconds(truth.endPicos()), "", "", "", "",
                        truth.whole(), "", "", "", "", "", "");
            }
            for (FrameTruth.Sender sender : truth.senders()) {
                printer.printRecord(frame, seconds(truth.startPicos()), seconds(truth.endPicos()),
                        MessageKey.text(sender.key()), sender.remote(), sender.node(),
                        HexFormat.of().withUpperCase().formatHex(sender.data()), truth.whole(), sender.completed(),
                        truth.merged(), sender.attempt(), sender.brokeAtBit() < 0 ? "" : sender.brokeAtBit(),
                        seconds(sender.releasePicos()), sender.transmitErrors());
            }
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    /** Seconds with all twelve decimals, exact. */
    private static String seconds(long picos) {
        return BigDecimal.valueOf(picos, 12).toPlainString();
    }
}
