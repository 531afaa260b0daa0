package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.FieldFormat.Length;
import java.util.Arrays;
import java.util.List;

/**
 * Finds the places of a format's fields in the bits of one frame as they come in: where a field stands depends on what
 * the fields before it hold.
 */
final class FieldWalk {
    /** Not placed yet. */
    private static final int OPEN = -1;

    private final List<FieldFormat> fields;
    private final FrameBits bits;
    private final int lead;
    private final int[] at;
    private final int[] width;
    private int placed;
    private boolean fits;

    /** @param lead bits before the first field: 1 where a start bit is kept, else 0 */
    FieldWalk(BusFormat format, FrameBits bits, int lead) {
        this.fields = format.fields();
        this.bits = bits;
        this.lead = lead;
        this.at = new int[fields.size() + 1];
        this.width = new int[fields.size()];
        clear();
    }

    void clear() {
        placed = 0;
        fits = true;
        Arrays.fill(at, OPEN);
        at[0] = lead;
    }

    /** Places what the bits so far tell. @return bits of the whole frame, lead included, or -1 where not known yet */
    int advance() {
        while (placed < fields.size()) {
            FieldFormat field = fields.get(placed);
            int wide = field.length() instanceof Length.Rest ? OPEN : widthOf(field);
            if (wide < 0) return -1;
            place(wide);
        }
        return at[placed];
    }

    /** The frame has ended: places the open field and what follows it. @return whether the fields fill it exactly */
    boolean finish() {
        advance();
        if (placed < fields.size() && fields.get(placed).length() instanceof Length.Rest rest) {
            int after = 0;
            for (int i = placed + 1; i < fields.size(); i++) after += fields.get(i).bits();
            int element = fields.get(placed).bits();
            int wide = bits.size() - at[placed] - after;
            fits = wide >= element && wide <= rest.most() * element && wide % element == 0;
            place(Math.max(0, wide / element * element));
            advance();
        }
        return fits && placed == fields.size() && at[placed] == bits.size();
    }

    private void place(int wide) {
        width[placed] = wide;
        at[placed + 1] = at[placed] + wide;
        placed++;
    }

    /** Bits of a field, 0 where absent, or -1 where a field that decides it has not been read. */
    private int widthOf(FieldFormat field) {
        if (!field.when().isEmpty()) {
            for (FieldFormat.When any : field.when()) {
                for (String name : any.values().keySet()) if (!isKnown(index(name))) return -1;
            }
            if (!field.isPresent(name -> value(index(name)))) return 0;
        }
        if (!(field.length() instanceof Length.Counted counted)) return field.bits();
        long count = 0;
        for (String name : counted.fields()) {
            int counter = index(name);
            if (!isKnown(counter)) return -1;
            if (width[counter] > 0) count = value(counter);
        }
        if (!counted.table().isEmpty()) count = counted.table().get((int) count);
        return (int) Math.max(0, Math.min(255, count + counted.plus())) * field.bits();
    }

    int index(String name) {
        for (int i = 0; i < fields.size(); i++) if (fields.get(i).name().equals(name)) return i;
        throw new IllegalArgumentException("no field named " + name);
    }

    /** Placed, and absent or read to its end. */
    boolean isKnown(int field) {
        return field < placed && (width[field] == 0 || at[field] + width[field] <= bits.size());
    }

    boolean isPlaced(int field) {
        return field < placed;
    }

    /** A plain field's value, or -1 where it is absent or not read. */
    long value(int field) {
        return isKnown(field) && width[field] > 0 ? bits.number(at[field], width[field]) : -1;
    }

    /** First bit; -1 where not known. */
    int at(int field) {
        return field <= placed ? at[field] : OPEN;
    }

    int width(int field) {
        return field < placed ? width[field] : 0;
    }
}
