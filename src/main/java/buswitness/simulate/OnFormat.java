package buswitness.simulate;

import java.util.Map;

/**
 * How a message goes onto a bus that a format describes.
 *
 * @param hexDigits   its number is written with
 * @param fields      values of fields that neither name the message nor are counts, checks or data
 * @param secondCheck where the format knows two checks, the second (on LIN: the classic check sum)
 */
public record OnFormat(int hexDigits, Map<String, Long> fields, boolean secondCheck) {
    public OnFormat {
        fields = Map.copyOf(fields);
        if (hexDigits < 1 || hexDigits > 12) throw new IllegalArgumentException("no name has " + hexDigits + " digits");
    }
}
