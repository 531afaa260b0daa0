package buswitness.clashes;

/**
 * What the verdict on a message would be if one kind of evidence had not been looked at, its vetoes included. The
 * frames
 * stay divided into trains as they are, so this shows what each kind adds to the verdict, not to the separation.
 *
 * @param without  kind left out
 * @param verdict  verdict by the rest
 * @param strength combined strength of the rest
 */
public record Ablated(Evidence.Kind without, Verdict verdict, double strength) {}
