package buswitness.predict;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.predict.Conflict.Kind;
import buswitness.problem.InputFault;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** What layouts say of each other, without any simulation. */
class MergingTest {
    private static final String NEEDS = """
            bus: {rate: 125 kbit/s}
            nodes: [dashboard]
            messages:
              state: {id: 0x1D0, read by: dashboard, every: 500 ms, length: 2, carries: {oil pressure low: {bit: 8}}}
            instruments:
              oil lamp: {shows: oil pressure low, lit when: 1}
            """;

    private static List<Kind> kinds(Merging.Merged merged) {
        return merged.conflicts().stream().map(Conflict::kind).toList();
    }

    private static Supply only(Merging.Merged merged) {
        List<Supply> all = Supplies.of(merged.bus());
        assertEquals(1, all.size());
        return all.get(0);
    }

    private static String sender(String node, String rest) {
        return "bus: {rate: 125 kbit/s}\nnodes: [" + node + "]\nmessages:\n  " + node + " says: {id: 0x1D0, from: " + node
                + ", " + rest + "}\n";
    }

    @Test
    void theWorkedExampleHasTwoClashesAndALampThatNobodyFills() {
        Merging.Merged merged = Merging.merge(Workshop.layouts(Workshop.AS_DELIVERED));
        assertEquals(List.of(Kind.TWO_SENDERS, Kind.TWO_SENDERS, Kind.TWO_MEANINGS, Kind.TWO_MEANINGS), kinds(merged));
        assertEquals(List.of("dashboard", "door unit", "climate unit", "engine unit", "gauge translator"),
                merged.bus().nodes());
        Map<String, Supply.Kind> supply = Supplies.of(merged.bus()).stream()
                .collect(Collectors.toMap(s -> s.instrument().name(), Supply::kind));
        assertEquals(Supply.Kind.TWO, supply.get("coolant gauge"));
        assertEquals(Supply.Kind.UNFILLED, supply.get("oil lamp"));
        assertEquals(Supply.Kind.TWO, supply.get("charge lamp"));
        assertEquals(Supply.Kind.ONE, supply.get("speedometer"));
    }

    @Test
    void theWorkedExampleSetUpHasNoConflict() {
        Merging.Merged merged = Merging.merge(Workshop.layouts(Workshop.SET_UP));
        assertEquals(List.of(), merged.conflicts());
        assertEquals(List.of(), merged.bus().clashing());
        for (Supply s : Supplies.of(merged.bus())) {
            assertEquals(s.instrument().name().equals("oil lamp") ? Supply.Kind.WIRE : Supply.Kind.ONE, s.kind());
        }
    }

    @Test
    void aLampWithoutAnySender() {
        Supply supply = only(Workshop.merged(NEEDS));
        assertEquals(Supply.Kind.NONE, supply.kind());
        assertTrue(supply.missing());
    }

    @Test
    void oneSenderThatFillsTheValue() {
        Merging.Merged merged = Workshop.merged(NEEDS,
                sender("engine", "every: 500 ms, length: 2, carries: {oil pressure low: {bit: 8}}"));
        assertEquals(Supply.Kind.ONE, only(merged).kind());
        assertEquals(List.of(), kinds(merged));
    }

    @Test
    void aPayloadTooShortForTheValueDoesNotFillIt() {
        Merging.Merged merged = Workshop.merged(NEEDS, sender("engine", "every: 500 ms, length: 1"));
        assertEquals(Supply.Kind.UNFILLED, only(merged).kind());
        assertEquals(List.of(Kind.LENGTH), kinds(merged));
        assertEquals("2 bytes", merged.conflicts().get(0).firstSays());
    }

    @Test
    void periodsThatDiffer() {
        Merging.Merged merged = Workshop.merged(NEEDS,
                sender("engine", "every: 1 s, length: 2, carries: {oil pressure low: {bit: 8}}"));
        assertEquals(List.of(Kind.PERIOD), kinds(merged));
        assertEquals("every 500 ms", merged.conflicts().get(0).firstSays());
        assertEquals("every 1000 ms", merged.conflicts().get(0).secondSays());
    }

    @Test
    void theSameBitsScaledOtherwiseMeanSomethingElse() {
        String needs = "bus: {rate: 125 kbit/s}\nmessages:\n  t: {id: 0x10, carries: {t: {bits: 0..7, offset: -40}}}\n";
        String other = "nodes: [a]\nmessages:\n  t: {id: 0x10, from: a, carries: {t: {bits: 0..7, offset: -50}}}\n";
        assertEquals(List.of(Kind.TWO_MEANINGS), kinds(Workshop.merged(needs, other)));
        String same = other.replace("-50", "-40");
        assertEquals(List.of(), kinds(Workshop.merged(needs, same)));
        assertEquals(List.of(), kinds(Workshop.merged(needs, same.replace("0..7", "8..15"))), "other bits");
    }

    /** Values that take turns of a page share bits and do not contradict. */
    @Test
    void pagesKeepMeaningsApart() {
        String a = "bus: {rate: 125 kbit/s}\nmessages:\n  m: {id: 0x10, carries: {t: {bits: 8..15, page: {bits: 0..3, is: 0}}}}\n";
        String b = "nodes: [n]\nmessages:\n  m: {id: 0x10, from: n, carries: {u: {bits: 8..15, page: {bits: 0..3, is: 1}}}}\n";
        assertEquals(List.of(), kinds(Workshop.merged(a, b)));
        assertEquals(List.of(Kind.TWO_MEANINGS), kinds(Workshop.merged(a, b.replace("is: 1", "is: 0"))));
    }

    @Test
    void twoSendersInOneFile() {
        Merging.Merged merged = Workshop.merged("bus: {rate: 125 kbit/s}\nnodes: [a, b]\nmessages:\n"
                + "  m: {id: 0x10, from: [a, b], every: 1 s}\n");
        assertEquals(List.of(Kind.TWO_SENDERS), kinds(merged));
        assertEquals(2, merged.bus().senders(merged.bus().clashing().get(0)).size());
    }

    /** A base and an extended identifier of the same number are two messages. */
    @Test
    void baseAndExtendedDoNotClash() {
        Merging.Merged merged = Workshop.merged(sender("a", "every: 1 s"),
                sender("b", "every: 1 s, extended: true"));
        assertEquals(List.of(), kinds(merged));
    }

    @Test
    void ratesThatDifferKeepThemOffOneBus() {
        List<buswitness.schema.Layout> layouts = List.of(
                buswitness.schema.Layouts.parse(sender("a", "every: 1 s"), "a.yaml"),
                buswitness.schema.Layouts.parse(sender("b", "every: 1 s").replace("125", "500"), "b.yaml"));
        Forecast forecast = Predictions.of(layouts, Workshop.SHORT, buswitness.problem.Progress.SILENT);
        assertEquals(Forecast.Answer.DOES_NOT_FIT, forecast.answer());
        assertFalse(forecast.notSimulated().isEmpty());
        assertTrue(forecast.conflicts().stream().anyMatch(c -> c.kind() == Kind.RATE));
    }

    @Test
    void whatCannotBePutTogetherIsOneClearFault() {
        InputFault rate = assertThrows(InputFault.class, () -> Workshop.merged("messages: {m: {id: 0x10}}"));
        assertTrue(rate.getMessage().contains("no layout says the bit rate"), rate.getMessage());
        InputFault twice = assertThrows(InputFault.class, () -> Workshop.merged(NEEDS, NEEDS));
        assertTrue(twice.getMessage().contains("b.yaml") && twice.getMessage().contains("describes the instrument"),
                twice.getMessage());
        InputFault wire = assertThrows(InputFault.class, () -> Workshop.merged(NEEDS,
                "wires: {oil lmp: {from: switch, fitted: true}}"));
        assertTrue(wire.getMessage().contains("oil lmp") && wire.getMessage().contains("oil lamp"), wire.getMessage());
    }

    /** 47 + 8 s bits without stuffing, 55 + 10 s at worst (11-bit identifier; see SchedulabilityTest for the source). */
    @Test
    void loadCountsEveryPeriodicFrame() {
        BusLoad load = OnPaper.load(Workshop.merged(sender("a", "every: 10 ms, length: 8"),
                "nodes: [c]\nmessages: {e: {id: 0x20, from: c, on event: true}}").bus());
        assertEquals(111 / 1250.0, load.least(), 1e-12);
        assertEquals(135 / 1250.0, load.most(), 1e-12);
        assertEquals(List.of("e from c"), load.notCounted());
    }
}
