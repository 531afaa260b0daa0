package buswitness.report.finding;

import buswitness.clashes.Collision;
import buswitness.frames.BitString;
import buswitness.schema.BusFormat;
import buswitness.schema.FieldFormat;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Field borders of a frame on a bus that a format describes, for a drawing of its bits. */
final class FormatFields {
    private static final int BYTE = 8;

    private FormatFields() {}

    static List<BitsPicture.Field> of(Collision c, BusFormat format, int from, int until) {
        List<BitsPicture.Field> out = new ArrayList<>();
        BitString meant = c.firstMeant() != null ? c.firstMeant() : c.secondMeant();
        if (meant == null) return out;
        Map<String, Long> earlier = new HashMap<>();
        // Frames that were broken are shown from their start bit on, as their bits are counted.
        int at = c.kind() == Collision.Kind.BROKEN ? 1 : 0;
        if (at == 1) BitsPicture.add(out, 0, 1, "start", from, until);
        List<FieldFormat> fields = format.fields();
        for (int i = 0; i < fields.size() && at < meant.size(); i++) {
            FieldFormat field = fields.get(i);
            if (!field.isPresent(name -> earlier.getOrDefault(name, -1L))) continue;
            if (field.name().equals(format.naming().data())) {
                int after = 0;
                for (FieldFormat later : fields.subList(i + 1, fields.size())) after += later.bits();
                int end = Math.max(at, meant.size() - after);
                for (int b = 1; at < end; b++, at += BYTE) {
                    BitsPicture.add(out, at, Math.min(end, at + BYTE), field.name() + " " + b, from, until);
                }
            } else if (field.length() instanceof FieldFormat.Length.One) {
                int end = Math.min(meant.size(), at + field.bits());
                earlier.put(field.name(), meant.number(at, Math.min(60, end - at)));
                BitsPicture.add(out, at, end, field.name(), from, until);
                at = end;
            }
        }
        return out;
    }
}
