package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.CheckFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.FieldFormat.Length;

/**
 * One frame of a described bus on its way into the log: its bits, the places of its fields, what its checks say and
 * what it is called. Shared by the framings of all line kinds.
 */
final class FrameMaker {
    final LogRow row = new LogRow();
    final FrameBits bits = new FrameBits();
    final FieldWalk walk;

    private final BusFormat format;
    private final FrameLog log;
    private final int[] nameFields;
    private final int dataField;
    private final int senderField;
    private final int answerField;
    private final int[] otherFields;
    private int headerEnd;

    FrameMaker(BusFormat format, FrameLog log, int lead) {
        this.format = format;
        this.log = log;
        this.walk = new FieldWalk(format, bits, lead);
        BusFormat.Naming naming = format.naming();
        nameFields = naming.message().stream().mapToInt(walk::index).toArray();
        dataField = walk.index(naming.data());
        senderField = naming.sender() == null ? -1 : walk.index(naming.sender());
        otherFields = OtherFields.of(format).stream().mapToInt(f -> walk.index(f.name())).toArray();
        answerField = naming.answer() == null ? -1 : walk.index(naming.answer());
    }

    void begin(long atPicos, boolean freeStart) {
        row.clear();
        row.startPicos = atPicos;
        row.freeStart = freeStart;
        bits.clear();
        walk.clear();
        headerEnd = -1;
    }

    /** The first fault of a frame stands. */
    void fail(FrameFault fault, int bit) {
        if (row.fault != FrameFault.NONE) return;
        row.fault = fault;
        row.faultBit = Math.max(0, bit);
    }

    /** First bit that another node sends; {@link Integer#MAX_VALUE} where one node sends all. */
    int answerAt() {
        if (answerField < 0) return Integer.MAX_VALUE;
        walk.advance();
        int at = walk.at(answerField);
        return at < 0 ? Integer.MAX_VALUE : at;
    }

    /** Last bit, plus one, of the fields that name message and sender; large while not known. */
    int headerEnd() {
        if (headerEnd >= 0) return headerEnd;
        walk.advance();
        int end = 0;
        for (int field : nameFields) {
            if (!walk.isKnown(field)) return Integer.MAX_VALUE / 2;
            end = Math.max(end, walk.at(field) + walk.width(field));
        }
        if (senderField >= 0) end = Math.max(end, walk.at(senderField) + walk.width(senderField));
        headerEnd = end;
        return end;
    }

    /** The frame has ended where its bits end: lengths, fixed values and checks. */
    void judge() {
        boolean fits = walk.finish();
        int firstWrong = constants();
        if (firstWrong >= 0) fail(FrameFault.FORM, firstWrong);
        if (answerField >= 0 && walk.isPlaced(answerField) && walk.at(answerField) == bits.size()) {
            checks(true);
            fail(FrameFault.NO_RESPONSE, bits.size());
            return;
        }
        if (!fits) {
            checks(true);
            fail(FrameFault.LENGTH, bits.size());
            return;
        }
        checks(false);
    }

    private int constants() {
        for (int i = 0; i < format.fields().size(); i++) {
            FieldFormat field = format.fields().get(i);
            if (field.isConstant() && walk.isKnown(i) && walk.width(i) > 0 && walk.value(i) != field.constant()) {
                long wrong = walk.value(i) ^ field.constant();
                return walk.at(i) + field.bits() - 1 - (63 - Long.numberOfLeadingZeros(wrong));
            }
        }
        return -1;
    }

    /** Checks that could be read. @param parityOnly only those that protect a header */
    private void checks(boolean parityOnly) {
        for (int i = 0; i < format.fields().size(); i++) {
            String name = format.fields().get(i).name();
            boolean any = false;
            boolean holds = false;
            boolean parity = false;
            for (CheckFormat check : format.checks()) {
                if (!check.field().equals(name) || !walk.isKnown(i)) continue;
                boolean isParity = check.kind() instanceof CheckFormat.Kind.Parity;
                if (parityOnly && !isParity) continue;
                int from = walk.index(check.from());
                int until = walk.index(check.until());
                if (!walk.isKnown(from) || !walk.isKnown(until)) continue;
                any = true;
                parity = isParity;
                holds |= walk.value(i) == CheckValue.of(check.kind(), bits, walk.at(from),
                        walk.at(until) + walk.width(until), walk.width(i));
            }
            if (any && !holds) {
                fail(parity ? FrameFault.PARITY : FrameFault.CHECK, walk.at(i) + walk.width(i) - 1);
            }
        }
    }

    /**
     * What the frame is called, and as much of its payload as is sure.
     *
     * @param sure bits that were read before it broke
     */
    void describe(int sure) {
        walk.advance();
        long name = 0;
        int wide = 0;
        for (int field : nameFields) {
            if (!walk.isKnown(field)) return;
            if (walk.width(field) == 0) continue;
            name = name << walk.width(field) | walk.value(field);
            wide += walk.width(field);
        }
        row.key = MessageKey.of(name, wide == 0 ? format.nameDigits() : format.nameDigits(wide));
        if (senderField >= 0) row.sender = (int) walk.value(senderField);
        for (int field : otherFields) {
            int bits = format.fields().get(field).bits();
            row.otherFields = row.otherFields << bits | Math.max(0, walk.value(field));
        }
        int at = walk.at(dataField);
        if (at < 0) return;
        int counter = counterField();
        if (counter >= 0 && (sure < walk.at(counter) + walk.width(counter) || !walk.isKnown(counter))) return;
        boolean placed = walk.isPlaced(dataField);
        int most = placed ? walk.width(dataField) / 8 : Integer.MAX_VALUE;
        row.dataLength = Math.max(0, Math.min(Math.min(most, (sure - at) / 8), row.data.length));
        row.lengthCode = counter >= 0 ? (int) walk.value(counter) : row.dataLength;
        for (int i = 0; i < row.dataLength; i++) row.data[i] = (byte) bits.number(at + 8 * i, 8);
    }

    private int counterField() {
        FieldFormat data = format.fields().get(dataField);
        if (!(data.length() instanceof Length.Counted counted)) return -1;
        int last = -1;
        for (String field : counted.fields()) {
            int i = walk.index(field);
            if (last < 0 || walk.width(i) > 0) last = i;
        }
        return last;
    }

    void add(long endPicos) {
        row.endPicos = endPicos;
        if (row.fault != FrameFault.NONE && row.wireBits == null) row.wireBits = bits.copy();
        log.add(row);
    }
}
