package buswitness.calibrate;

import buswitness.frames.MessageKey;
import java.io.IOException;
import java.util.Locale;
import java.util.stream.Collectors;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;

/** One row a bus; for a bus with several clashes one row a clash. RFC 4180. */
final class BusesCsv {
    private static final String[] HEADER = {"seed", "kind", "rate_bit_per_s", "tick_ns", "seconds", "load", "frames",
        "damaged", "messages", "accused_wrongly", "undecided", "confounders", "failure", "style", "data",
        "clash", "judged", "z_schedules", "z_clocks", "z_payload", "z_wire", "frames_a", "frames_b", "head_on", "outside", "right",
        "open", "inside", "inside_right", "inside_open"};

    private BusesCsv() {}

    static String of(Outcome[] outcomes) throws IOException {
        StringBuilder out = new StringBuilder();
        try (CSVPrinter rows = new CSVPrinter(out, CSVFormat.RFC4180)) {
            rows.printRecord((Object[]) HEADER);
            for (Outcome outcome : outcomes) {
                start(rows, outcome);
                if (outcome.clashes().isEmpty()) {
                    for (int i = 13; i < HEADER.length; i++) rows.print("");
                    rows.println();
                }
                for (int i = 0; i < outcome.clashes().size(); i++) {
                    if (i > 0) start(rows, outcome);
                    clash(rows, outcome, outcome.clashes().get(i));
                }
            }
        }
        return out.toString();
    }

    private static void start(CSVPrinter rows, Outcome outcome) throws IOException {
        RandomBus bus = outcome.bus();
        rows.print(outcome.seed());
        rows.print(RandomBus.isClash(outcome.seed()) ? "two" : "one");
        rows.print(figure(bus.scenario().bitsPerSecond()));
        rows.print(figure(bus.scenario().recorder().tickPicos() / 1e3));
        rows.print(figure(bus.scenario().durationSeconds()));
        rows.print(figure(outcome.load()));
        rows.print(outcome.frames());
        rows.print(outcome.damaged());
        rows.print(outcome.messages());
        rows.print(outcome.accused().isEmpty() && outcome.falselyAccused() ? "bus" : String.join(" ", outcome.accused()));
        rows.print(outcome.undecided());
        rows.print(bus.confounders().stream().map(Enum::name).collect(Collectors.joining(" ")));
        rows.print(outcome.failure() == null ? "" : outcome.failure());
    }

    private static void clash(CSVPrinter rows, Outcome outcome, Outcome.ClashOutcome clash) throws IOException {
        rows.print(outcome.bus().style());
        rows.print(outcome.bus().data());
        rows.print(MessageKey.text(clash.clash().key()));
        rows.print(clash.judged().name().toLowerCase(Locale.ROOT));
        rows.print(figure(clash.separation().schedules()));
        rows.print(figure(clash.separation().clocks()));
        rows.print(figure(clash.separation().payload()));
        rows.print(figure(clash.separation().wire()));
        rows.print(clash.framesA());
        rows.print(clash.framesB());
        rows.print(clash.headOn());
        rows.print(clash.outside());
        rows.print(clash.right());
        rows.print(clash.open());
        rows.print(clash.inside());
        rows.print(clash.insideRight());
        rows.print(clash.insideOpen());
        rows.println();
    }

    private static String figure(double value) {
        return Double.isNaN(value) ? "" : String.format(Locale.ROOT, "%.6g", value);
    }
}
