package buswitness;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Verdict;
import buswitness.frames.FrameFault;
import buswitness.frames.MessageKey;
import buswitness.testing.JudgedScenario;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Units that answer a tester's request on ISO 9141-2 and ISO 14230 (P2, 25 to 50 ms after it; from memory): two with one
 * address answer over each other, two with addresses of their own take turns, and one whose check is wrong is alone.
 */
class TwoAnswersTest {
    @TempDir
    Path folder;

    private JudgedScenario run(String coding, String nodes) throws IOException {
        return JudgedScenario.of(folder, "bus: {coding: " + coding + "}\nrate: 10.4 kbit/s\nduration: 60 s\nseed: 5\n"
                + "nodes:\n" + nodes.indent(2));
    }

    private static String answers(String name, String id, String request, double after, String more) {
        return name + ": {" + more + "sends: {answer: {id: " + id + ", length: 3, answers: {message: " + request + ", after: "
                + after + " ms}, " + "filler: " + (name.equals("one") ? "0x3C" : "0x5A") + ", fields: {%s}}}}\n";
    }

    private static String nodes(String coding, String... answering) {
        boolean kwp = coding.equals("iso14230");
        String request = kwp ? "0x11F1" : "0x686AF1";
        String mode = kwp ? "mode: 2" : "";
        return ("tester: {clock: 40 ppm, sends: {ask: {id: " + request + ", length: 2, every: 200 ms, fields: {" + mode
                + "}}}}\n" + String.join("", answering).replace("REQUEST", request)).replace("{%s}", "{" + mode + "}");
    }

    /** Both see the line at rest when they begin, for each looks at it every tenth of a millisecond or so. */
    @ParameterizedTest
    @CsvSource({"iso9141, 0x486B10", "iso14230, 0xF111"})
    void twoUnitsWithOneAddressAnswerOverEachOther(String coding, String id) throws IOException {
        JudgedScenario both = run(coding, nodes(coding,
                answers("one", id, "REQUEST", 30, "clock: 60 ppm, loop delay: 90 us, tries: 1, "),
                answers("two", id, "REQUEST", 30.004, "clock: -50 ppm, loop delay: 90 us, tries: 1, ")));
        assertTrue(both.superposed() > 100, both.superposed() + " superposed");
        MessageFinding found = both.findings().message(MessageKey.of(Long.decode(id), coding.equals("iso14230") ? 4 : 6));
        assertNotEquals(Verdict.ONE_SENDER, found == null ? Verdict.ONE_SENDER : found.verdict(), both.notOne().toString());
        assertTrue(both.notOne().stream().allMatch(t -> t.startsWith(MessageKey.text(found.key()))), both.notOne().toString());
    }

    /** One of the two is slower now and then, so that its own answer is heard whole as well. */
    @ParameterizedTest
    @CsvSource({"iso9141, 0x486B10", "iso14230, 0xF111"})
    void wherePayloadsAreSeenWholeTheirSuperpositionIsProof(String coding, String id) throws IOException {
        String delay = "delay: {fixed: 10 us, tail: 60 us}, ";
        JudgedScenario both = run(coding, nodes(coding,
                answers("one", id, "REQUEST", 30, "clock: 60 ppm, loop delay: 90 us, " + delay),
                answers("two", id, "REQUEST", 30.05, "clock: -50 ppm, loop delay: 90 us, " + delay)));
        MessageFinding found = both.findings().message(MessageKey.of(Long.decode(id), coding.equals("iso14230") ? 4 : 6));
        assertTrue(found != null && found.verdict() != Verdict.ONE_SENDER, coding + both.superposed() + found + both.notOne());
    }

    @ParameterizedTest
    @CsvSource({"iso9141, 0x486B10, 0x486B18", "iso14230, 0xF111, 0xF118"})
    void unitsWithAddressesOfTheirOwnAreNoClash(String coding, String first, String second) throws IOException {
        JudgedScenario both = run(coding, nodes(coding, answers("one", first, "REQUEST", 27, "clock: 60 ppm, "),
                answers("two", second, "REQUEST", 41, "clock: -900 ppm, ")));
        assertEquals(List.of(), both.notOne());
        assertEquals(0, both.superposed());
    }

    @ParameterizedTest
    @CsvSource({"iso9141, 0x486B10", "iso14230, 0xF111"})
    void aUnitWhoseCheckIsWrongIsAlone(String coding, String id) throws IOException {
        JudgedScenario one = run(coding, nodes(coding,
                answers("one", id, "REQUEST", 30, "clock: 60 ppm, wrong checks: 30 %, ")));
        assertTrue(one.frames().count(FrameFault.CHECK) > 50, one.frames().count(FrameFault.CHECK) + " wrong checks");
        assertTrue(one.findings().messages().stream().noneMatch(m -> m.verdict() == Verdict.TWO_SENDERS));
        for (MessageFinding m : one.findings().messages()) {
            assertTrue(m.evidence().stream().noneMatch(Evidence::conclusive), m.evidence().toString());
        }
    }
}
