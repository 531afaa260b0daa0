package buswitness.map;

import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/** The parts of one message's payload, found without papers. */
final class PayloadStructure {
    /** Below this nothing is said but which bits change. */
    static final int FEWEST_ROWS = 12;
    private static final double SURE = 0.99;

    private final PayloadRows rows;
    private final boolean[] taken;
    private final List<PayloadField> fields = new ArrayList<>();

    private PayloadStructure(PayloadRows rows) {
        this.rows = rows;
        this.taken = new boolean[rows.bits()];
    }

    /** Fields by page and first bit; constants between them included. */
    static List<PayloadField> of(PayloadRows rows) {
        PayloadStructure s = new PayloadStructure(rows);
        if (rows.size() >= 2 && rows.length > 0) s.find();
        s.fields.sort(Comparator.comparingLong((PayloadField f) -> f.page() == null ? -1 : f.page().value())
                .thenComparingInt(PayloadField::firstBit));
        return List.copyOf(s.fields);
    }

    private void find() {
        int[] before = rows.before(-1, 0);
        BitFlips flips = new BitFlips(rows, before);
        if (rows.size() >= FEWEST_ROWS) {
            check();
            PageFinder.Found pages = new PageFinder(rows, flips).find(taken, counted(flips, before));
            if (pages != null) {
                page(pages);
                return;
            }
            counters(flips, before);
        }
        fields.addAll(new FieldFinder(rows, flips, taken, null).find());
        constants(flips, null);
    }

    private void check() {
        CheckFinder.Found found = new CheckFinder(rows).find();
        if (found == null) return;
        String also = found.equals() == 0 ? "" : String.format(Locale.ROOT,
                "; %d other formulas that were tried fit as well", found.equals());
        add(FieldKind.CHECK, 8 * found.at(), 8, SURE, String.format(Locale.ROOT,
                "%s; %d of %d payloads held back agree, by chance once in 10^%.0f at most%s", found.formula(),
                found.confirmed(), found.heldBack(), Math.floor(-found.logChance()), also));
    }

    private void page(PageFinder.Found pages) {
        add(FieldKind.PAGE, pages.firstBit(), pages.width(), Math.min(SURE, 1 - pages.calmer() / 2), String.format(
                Locale.ROOT, "%d pages; within a page the rest changes %.0f %% as often as from frame to frame",
                pages.numbers().length, 100 * pages.calmer()));
        boolean[] common = taken.clone();
        // A counter runs through all pages.
        BitFlips all = new BitFlips(rows, rows.before(-1, 0));
        counters(all, rows.before(-1, 0));
        System.arraycopy(taken, 0, common, 0, common.length);
        for (long number : pages.numbers()) {
            PayloadRows shown = rows.page(pages.firstBit(), pages.width(), number);
            BitFlips flips = new BitFlips(shown, shown.before(-1, 0));
            Signal.Page page = new Signal.Page(pages.firstBit(), pages.width(), number);
            List<PayloadField> found = new FieldFinder(shown, flips, common, page).find();
            fields.addAll(found);
            constants(flips, page);
        }
    }

    /** For each bit the counter it belongs to, from 1; 0 for none. */
    private int[] counted(BitFlips flips, int[] before) {
        CounterFinder finder = new CounterFinder(rows, flips, before);
        int[] counted = new int[rows.bits()];
        boolean[] used = taken.clone();
        int number = 0;
        for (int bit = rows.bits() - 1; bit > 0; bit--) {
            CounterFinder.Found c = finder.endingAt(bit, used);
            if (c == null) continue;
            number++;
            for (int b = c.firstBit(); b < c.firstBit() + c.width(); b++) {
                counted[b] = number;
                used[b] = true;
            }
        }
        return counted;
    }

    private void counters(BitFlips flips, int[] before) {
        CounterFinder finder = new CounterFinder(rows, flips, before);
        for (int bit = rows.bits() - 1; bit > 0; bit--) {
            CounterFinder.Found c = finder.endingAt(bit, taken);
            if (c == null) continue;
            add(FieldKind.COUNTER, c.firstBit(), c.width(), Math.min(SURE, c.regular()), String.format(Locale.ROOT,
                    "%+d each frame, %d to %d, kept by %.1f %% of the frames", c.step(), c.least(), c.most(),
                    100 * c.regular()));
        }
    }

    private void add(FieldKind kind, int first, int width, double confidence, String detail) {
        long least = Long.MAX_VALUE;
        long most = Long.MIN_VALUE;
        int changing = 0;
        for (int i = 0; i < rows.size(); i++) {
            long v = rows.number(i, first, width);
            least = Math.min(least, v);
            most = Math.max(most, v);
        }
        for (int b = first; b < first + width; b++) {
            taken[b] = true;
            for (int i = 1; i < rows.size(); i++) {
                if (rows.bit(i, b) == rows.bit(0, b)) continue;
                changing++;
                break;
            }
        }
        fields.add(new PayloadField(kind, first, width, false, false, null, confidence, changing, least, most, detail));
    }

    /** Runs of bits that never changed and that no field took in. */
    private void constants(BitFlips flips, Signal.Page page) {
        boolean[] used = taken.clone();
        for (PayloadField f : fields) {
            if (f.page() != null && !f.page().equals(page)) continue;
            for (int b = f.firstBit(); b < f.endBit(); b++) used[b] = true;
        }
        int row = 0;
        while (page != null && row < rows.size() && rows.number(row, page.firstBit(), page.width()) != page.value()) row++;
        int b = 0;
        while (b < rows.bits()) {
            int from = b;
            while (b < rows.bits() && !used[b] && !flips.changes(b) && (b == from || b % 8 != 0)) b++;
            if (b == from) {
                b++;
                continue;
            }
            long value = rows.number(row, from, b - from);
            fields.add(new PayloadField(FieldKind.CONSTANT, from, b - from, false, false, page,
                    Math.min(0.999, 1 - 1.0 / (2 + flips.transitions)), 0, value, value, ""));
        }
    }
}
