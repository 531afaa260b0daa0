package buswitness.frames;

import buswitness.bits.BitRunSink;
import buswitness.bits.BitRuns;
import buswitness.bits.LineFinding;
import buswitness.bits.LineHead;
import buswitness.schema.BusFormat;
import buswitness.schema.BusFormats;
import buswitness.schema.CheckFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.LineFormat;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/**
 * Finds out which bus a line is: reads its first changes as each bus that is known and asks whose checks hold. A check of
 * so many bits holds by chance once in two to their number, so the bits of all checks that held are the evidence.
 */
final class Recogniser {
    /** A reading that convinces needs no longer look at the others. */
    private static final int MOST_CHANGES = 8192;
    private static final int FEW_CHANGES = 768;
    private static final double CONVINCING_BITS = 200;
    private static final double CONVINCING_SHARE = 0.9;
    /** Checks are not independent of a systematic misreading: their odds are tempered by this many bits a doubling. */
    private static final double TEMPER = 16;
    /** An edge that falls into its symbol's window is weak evidence of its own. */
    private static final double EDGE_BITS = 0.25;
    private static final int CAN_CHECK_BITS = 15;
    /** In use on CAN FD, bit/s: common practice, no source. */
    private static final double[] NOMINAL_RATES = {500_000, 250_000, 125_000, 1_000_000};
    private static final double[] DATA_RATES = {2e6, 5e6, 1e6, 4e6, 8e6, 2.5e6, 500_000, 250_000, 125_000};
    private static final double MOST_CONFIDENCE = 0.9999;

    /** One reading: how the line is read and how well that went. */
    private record Trial(String coding, String title, BusFormat format, LineFinding finding, double dataRate,
                         double evidence, double explained) {}

    /** What the line is read as. */
    record Choice(String coding, BusFormat format, LineFinding finding, double dataBitsPerSecond,
                  Recognition recognition) {}

    private final LineHead head;
    private final FrameReader.Options options;

    Recogniser(LineHead head, FrameReader.Options options) {
        this.head = head;
        this.options = options;
    }

    Choice choose() {
        if (options.coding() != null) return given();
        List<Trial> trials = new ArrayList<>();
        Trial can = tryCan(MOST_CHANGES);
        trials.add(can);
        boolean sure = can.evidence > CONVINCING_BITS && can.explained > CONVINCING_SHARE;
        if (!sure) trials.addAll(tryFd(Double.NaN, false));
        for (String name : BusFormats.names()) {
            if (!name.equals("can")) trials.add(tryFormat(BusFormats.builtIn(name), sure ? FEW_CHANGES : MOST_CHANGES));
        }
        Trial best = can;
        for (Trial trial : trials) if (trial.evidence > best.evidence * 1.02) best = trial;
        Trial second = null;
        for (Trial trial : trials) {
            // Classical frames are frames of a CAN FD bus, too: the two are no rivals.
            boolean kin = trial.coding.startsWith("can") && best.coding.startsWith("can");
            boolean other = trial != best && !kin && trial.evidence > 0;
            if (other && (second == null || trial.evidence > second.evidence)) second = trial;
        }
        double lead = best.evidence - (second == null ? 0 : second.evidence);
        double confidence = Math.min(MOST_CONFIDENCE, (1 - Math.pow(2, -lead / TEMPER)) * Math.min(1, best.explained * 3));
        return choice(best, second, confidence, false);
    }

    /** What was told; a look at the others where it explains little. */
    private Choice given() {
        Trial told = switch (options.coding()) {
            case "can" -> tryCan(MOST_CHANGES);
            case "can-fd" -> bestOf(tryFd(options.dataBitsPerSecond(), true));
            default -> tryFormat(options.format(), MOST_CHANGES);
        };
        Trial other = null;
        if (told.explained < 0.5) {
            List<Trial> trials = new ArrayList<>();
            trials.add(tryCan(MOST_CHANGES));
            for (String name : BusFormats.names()) {
                if (!name.equals("can")) trials.add(tryFormat(BusFormats.builtIn(name), MOST_CHANGES));
            }
            trials.removeIf(t -> t.coding.equals(told.coding) || t.evidence <= 0);
            if (!trials.isEmpty()) other = bestOf(trials);
        }
        return choice(told, other, 1, true);
    }

    private static Trial bestOf(List<Trial> trials) {
        Trial best = trials.get(0);
        for (Trial trial : trials) if (trial.evidence > best.evidence) best = trial;
        return best;
    }

    private static Choice choice(Trial best, Trial second, double confidence, boolean given) {
        Recognition recognition = new Recognition(best.coding, best.title, confidence, given, best.explained,
                second == null ? null : second.coding, second == null ? null : second.title,
                second == null ? 0 : second.explained);
        return new Choice(best.coding, best.format, best.finding, best.dataRate, recognition);
    }

    private Trial tryCan(int most) {
        LineFinding finding = head.bits();
        return measure("can", "CAN", null, finding, Double.NaN, most);
    }

    /** CAN FD at the rates that were given, or at each pair of usual ones; the best pair, if any FD frame was read. */
    private List<Trial> tryFd(double dataRate, boolean told) {
        double given = options.bitsPerSecond();
        Trial best = null;
        double shortest = head.shortLevelPicos();
        for (double nominal : given > 0 ? new double[] {given} : NOMINAL_RATES) {
            for (double data : dataRate > 0 ? new double[] {dataRate} : DATA_RATES) {
                // The shortest levels of a frame are single bits at the higher rate.
                if (data < nominal || !told && !(Math.abs(shortest * data / 1e12 - 1) < 0.35)) continue;
                Trial trial = measure("can-fd", "CAN FD", null, head.levels(nominal, data), data, FEW_CHANGES);
                if (best == null || trial.evidence > best.evidence) best = trial;
            }
        }
        if (best == null || !told && best.evidence <= 0) return List.of();
        return List.of(measure("can-fd", "CAN FD", null, best.finding, best.dataRate, MOST_CHANGES));
    }

    private Trial tryFormat(BusFormat format, int most) {
        LineFinding finding = finding(format);
        if (Double.isNaN(finding.bitsPerSecond())) {
            return new Trial(format.name(), format.title(), format, finding, Double.NaN, 0, 0);
        }
        Trial trial = measure(format.name(), format.title(), format, finding, Double.NaN, most);
        boolean bytes = format.line() instanceof LineFormat.Bytes && !finding.rateGiven();
        if (!bytes || trial.explained >= 0.5) return trial;
        // Where two answers lie half a bit apart over each other, half bits abound and twice the rate seems to fit.
        LineFinding slower = head.bytes(finding.bitsPerSecond() / 2);
        if (Double.isNaN(slower.bitsPerSecond())) return trial;
        Trial half = measure(format.name(), format.title(), format, slower.found(finding.rateConfidence()), Double.NaN, most);
        return half.evidence > trial.evidence ? half : trial;
    }

    private LineFinding finding(BusFormat format) {
        LineFormat line = format.line();
        boolean usual = Double.isNaN(options.bitsPerSecond()) && options.format() != null && format.bitsPerSecond() > 0;
        if (line instanceof LineFormat.Stuffed) return usual ? head.bits(format.bitsPerSecond()) : head.bits();
        if (line instanceof LineFormat.Bytes) return usual ? head.bytes(format.bitsPerSecond()) : head.bytes();
        if (line instanceof LineFormat.VariablePulse v) {
            return head.pulses(v.shortPulse().from() * 1e6, v.start().until() * 1e6, pulseRate(format,
                    (v.shortPulse().nominal() + v.longPulse().nominal()) / 2));
        }
        LineFormat.PulseWidth p = (LineFormat.PulseWidth) line;
        return head.pulses(p.one().from() * 1e6, p.start().until() * 1e6, pulseRate(format, p.bit().nominal()));
    }

    private static double pulseRate(BusFormat format, double micros) {
        return format.bitsPerSecond() > 0 ? format.bitsPerSecond() : 1e6 / micros;
    }

    private Trial measure(String coding, String title, BusFormat format, LineFinding finding, double dataRate, int most) {
        if (Double.isNaN(finding.bitsPerSecond())) return new Trial(coding, title, format, finding, dataRate, 0, 0);
        FrameLog log = new FrameLog();
        int changes = Math.min(most, head.changes());
        Framing framing = Framings.of(coding, format, finding, dataRate, log);
        head.look(finding, new Reading(framing), changes);
        if (framing instanceof FdFraming fd && fd.flexibleWhole() == 0) return new Trial(coding, title, format, finding, dataRate, 0, 0);
        int checkBits = format == null ? CAN_CHECK_BITS : checkBits(format, false);
        int headerBits = format == null ? 0 : checkBits(format, true);
        double evidence = 0;
        int explained = 0;
        int edge = 0;
        for (int i = 0; i < log.size(); i++) {
            while (edge < changes && head.atPicos(edge) < log.startPicos(i)) edge++;
            int from = edge;
            while (edge < changes && head.atPicos(edge) <= log.endPicos(i)) edge++;
            int bits = bits(log.fault(i), checkBits, headerBits, format != null && format.naming().answer() != null);
            if (bits < 0) continue;
            explained += edge - from;
            evidence += bits + EDGE_BITS * (edge - from);
        }
        return new Trial(coding, title, format, finding, dataRate, evidence, changes == 0 ? 0 : (double) explained / changes);
    }

    /** Bits of the checks that a row has passed, or -1 where it speaks for nothing. */
    private static int bits(FrameFault fault, int checkBits, int headerBits, boolean answered) {
        return switch (fault) {
            case NONE, ACKNOWLEDGE, RESPONSE_CHECK -> checkBits;
            case NO_RESPONSE -> headerBits;
            case SLOW_INITIALISATION, FAST_INITIALISATION -> 4;
            case WAKE_UP -> 0;
            case CHECK, LENGTH -> answered ? headerBits : -1;
            default -> -1;
        };
    }

    /** Bits that are told by the others: checks, constants, and on bytes a length that must fit. */
    private static int checkBits(BusFormat format, boolean headerOnly) {
        int bits = 0;
        for (FieldFormat field : format.fields()) if (field.isConstant()) bits += field.bits();
        Set<String> counted = new HashSet<>();
        for (CheckFormat check : format.checks()) {
            boolean parity = check.kind() instanceof CheckFormat.Kind.Parity;
            if (headerOnly && !parity || !counted.add(check.field())) continue;
            bits += format.field(check.field()).bits();
        }
        boolean told = format.field(format.naming().data()).length() instanceof FieldFormat.Length.Counted
                && format.line() instanceof LineFormat.Bytes;
        return bits + (told && !headerOnly ? 5 : 0);
    }

    /** A trial reading: nothing is chosen any more, the framing is there. */
    private record Reading(Framing framing) implements BitRunSink {
        @Override
        public void found(LineFinding finding) {}

        @Override
        public void begin(long atPicos) {
            framing.begin(atPicos);
        }

        @Override
        public void runs(BitRuns block) {
            framing.runs(block);
        }

        @Override
        public void stop(long atPicos) {
            framing.stop(atPicos);
        }
    }
}
