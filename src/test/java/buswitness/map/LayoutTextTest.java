package buswitness.map;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.schema.Layout;
import buswitness.schema.Layouts;
import buswitness.schema.Message;
import org.junit.jupiter.api.Test;

class LayoutTextTest {
    /** Comments, odd spacing, keys in an order of its own, names of the user, flow and block, a list of nodes. */
    private static final String OLD = """
            # The blue van, second try.
            messages:      # seen so far

              "engine: fast" :        # my name for it
                carries: { revs :   {bits: 0..15 ,factor: 0.25, unit: rpm},  pedal: {bits: 16..23, known: guessed} }
                id:   0x0D0
                every:  49 ms          # given: stays, though it is wrong

              speed thing:
                length: 6     # bytes
                every: 90 ms
                known: {every: measured}
                id: 0x1A0
            # gearbox, guessed from the handbook
              gears: {id: 0x2B0, carries: {R: {bit: 5, note: my own find}}}   # flow
              never seen: {id: 0x7A0, every: 1 s}
            nodes: [ engine unit ,dashboard ]
            bus: {rate: 125 kbit/s,   name: the blue one}
            """;

    @Test
    void aFreshLayoutLoadsAndSaysHowEachValueIsKnown() {
        String text = LayoutText.fresh(LearningVan.map());
        Layout layout = Layouts.parse(text, "t");
        assertEquals(5, layout.messages().size());
        assertTrue(text.contains("known: {id: measured, from: guessed, every: measured, length: measured}"), text);
        Message gears = message(layout, 0x2B0);
        assertTrue(gears.onEvent());
        assertEquals("reverse", gears.carries().get(0).name());
        assertEquals(5, gears.carries().get(0).firstBit());
        assertTrue(layout.instruments().stream().anyMatch(i -> i.name().equals("coolant gauge")), text);
        assertEquals(0.1, message(layout, 0x1A0).everySeconds(), 1e-12);
    }

    @Test
    void runAgainNothingChanges() {
        String once = LayoutText.renewed(LearningVan.map(), OLD, "t");
        assertEquals(once, LayoutText.renewed(LearningVan.map(), once, "t"));
        String fresh = LayoutText.fresh(LearningVan.map());
        assertEquals(fresh, LayoutText.renewed(LearningVan.map(), fresh, "t"));
    }

    /** Every character of the old text is still there in its order, but for the one measured value that was off. */
    @Test
    void namesCommentsOrderAndWhatIsGivenStay() {
        String renewed = LayoutText.renewed(LearningVan.map(), OLD, "t");
        String kept = OLD.replace("every: 90 ms", "every: 100 ms");
        int at = 0;
        for (int c = 0; c < kept.length(); c++) {
            at = renewed.indexOf(kept.charAt(c), at) + 1;
            assertTrue(at > 0, "lost from " + kept.substring(c) + "\nin\n" + renewed);
        }
        for (String line : kept.split("\n")) {
            if (line.contains("carries") || line.startsWith("nodes") || line.contains("known: {")) continue;
            String head = line.contains("#") ? line.substring(line.indexOf('#')) : line.strip();
            assertTrue(renewed.contains(head), head + " is gone from\n" + renewed);
        }
        assertTrue(renewed.contains("    every:  49 ms          # given: stays, though it is wrong\n"), renewed);
    }

    @Test
    void whatWasMissingIsAddedUnderTheUsersNames() {
        Layout layout = Layouts.parse(LayoutText.renewed(LearningVan.map(), OLD, "t"), "t");
        Message revs = message(layout, 0x0D0);
        assertEquals("engine: fast", revs.name());
        assertEquals(0.049, revs.everySeconds(), 1e-12);
        assertEquals(8, revs.length());
        assertTrue(revs.carries().stream().anyMatch(s -> s.firstBit() == 52 && s.width() == 4), revs.toString());
        assertEquals(0.1, message(layout, 0x1A0).everySeconds(), 1e-12);
        assertEquals("R", message(layout, 0x2B0).carries().get(0).name());
        assertEquals(6, layout.messages().size(), "two new ones beside the four");
        assertTrue(layout.nodes().containsAll(java.util.List.of("engine unit", "dashboard")), layout.nodes().toString());
    }

    private static Message message(Layout layout, int id) {
        return layout.messages().stream().filter(m -> m.identifier() == id).findFirst().orElseThrow();
    }
}
