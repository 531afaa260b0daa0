package buswitness.schema;

import java.util.List;

/**
 * A bus as its papers describe it.
 *
 * @param source      file it came from
 * @param busName     may be empty
 * @param coding      such as {@code can} or {@code lin}, or the name of its own format; null where it is left open
 * @param bitsPerSecond NaN where the layout leaves it open
 * @param dataBitsPerSecond CAN FD: the rate after the switch; NaN where the layout leaves it open
 * @param format      described in the layout or built in; null for CAN and CAN FD, and where the coding is left open
 * @param nodes       names, in the layout's order
 * @param messages    in the layout's order
 * @param instruments in the layout's order
 * @param fitting     what a builder says beyond that; {@link Fitting#NONE} where nothing
 */
public record Layout(String source, String busName, String coding, double bitsPerSecond, double dataBitsPerSecond,
                     BusFormat format, List<String> nodes, List<Message> messages, List<Instrument> instruments,
                     Fitting fitting) {
    public Layout {
        nodes = List.copyOf(nodes);
        messages = List.copyOf(messages);
        instruments = List.copyOf(instruments);
    }

    /** A layout of a CAN bus, or of one whose coding is left open, without a builder's words. */
    public Layout(String source, String busName, String coding, double bitsPerSecond, List<String> nodes,
                  List<Message> messages, List<Instrument> instruments) {
        this(source, busName, coding, bitsPerSecond, Double.NaN, null, nodes, messages, instruments, Fitting.NONE);
    }
}
