package buswitness.instruments;

import java.util.List;

/** Every instrument of the layout, in its order; empty without a layout. */
public record InstrumentFindings(List<InstrumentFinding> instruments) {
    public InstrumentFindings {
        instruments = List.copyOf(instruments);
    }
}
