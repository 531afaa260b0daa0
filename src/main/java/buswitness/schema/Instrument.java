package buswitness.schema;

/** A gauge or lamp of the dashboard and how it follows its signal. */
public sealed interface Instrument permits Gauge, Lamp {
    String name();

    /** Message that carries the signal it shows. */
    Message message();

    Signal signal();

    /** Silence of its message after which it stops trusting the last value; NaN where it holds for ever. */
    double timeoutSeconds();
}
