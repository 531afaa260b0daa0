package buswitness.frames;

import buswitness.schema.BusFormat;
import buswitness.schema.CheckFormat;
import buswitness.schema.FieldFormat;
import buswitness.schema.FieldFormat.Length;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The plain fields of a frame that neither name the message nor its sender, nor count, check or are constant: a header's
 * mode, a receiver, the remote flag. Joined to one number, the first highest, so that what was sent can be rebuilt to the
 * bit; fields beyond 63 bits are left out.
 */
final class OtherFields {
    private static final int MOST_BITS = 63;

    private OtherFields() {}

    static List<FieldFormat> of(BusFormat format) {
        Set<String> known = new HashSet<>(format.naming().message());
        known.add(format.naming().sender());
        known.add(format.naming().data());
        for (CheckFormat check : format.checks()) known.add(check.field());
        for (FieldFormat field : format.fields()) {
            if (field.length() instanceof Length.Counted counted) known.addAll(counted.fields());
        }
        List<FieldFormat> out = new ArrayList<>();
        int bits = 0;
        for (FieldFormat field : format.fields()) {
            boolean plain = field.length() instanceof Length.One && !field.isConstant() && !known.contains(field.name());
            if (!plain || bits + field.bits() > MOST_BITS) continue;
            bits += field.bits();
            out.add(field);
        }
        return out;
    }

    /** Values by name; a field that was absent has 0. */
    static Map<String, Long> values(BusFormat format, long joined) {
        List<FieldFormat> fields = of(format);
        Map<String, Long> out = new HashMap<>();
        long rest = joined;
        for (int i = fields.size() - 1; i >= 0; i--) {
            int bits = fields.get(i).bits();
            out.put(fields.get(i).name(), rest & (1L << bits) - 1);
            rest >>>= bits;
        }
        return out;
    }
}
