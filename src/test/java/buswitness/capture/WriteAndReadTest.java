package buswitness.capture;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.Progress;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.function.BiFunction;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.junit.jupiter.params.provider.MethodSource;

/** One contract for every form: what is written reads back the same, however the input is chopped. */
class WriteAndReadTest {
    private static final double PROBE_72_MHZ = 1e12 / 72e6;

    enum Written {
        LOG(Recordings::writeLog, true, true),
        COMPACT(Recordings::writeCompact, true, true),
        VCD(Recordings::writeVcd, false, true),
        CSV(Recordings::writeCsv, false, false);

        private final BiFunction<OutputStream, RecordingInfo, RecordingWriter> writer;
        private final boolean reasons;
        private final boolean marks;

        Written(BiFunction<OutputStream, RecordingInfo, RecordingWriter> writer, boolean reasons, boolean marks) {
            this.writer = writer;
            this.reasons = reasons;
            this.marks = marks;
        }

        RecordingWriter writer(OutputStream out, RecordingInfo info) {
            return writer.apply(out, info);
        }

        byte[] bytes(Invented recording) {
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            try (RecordingWriter to = writer.apply(out, recording.info())) {
                recording.tell(to);
            } catch (IOException e) {
                throw new AssertionError(e);
            }
            return out.toByteArray();
        }
    }

    record Case(Written form, Invented recording) {
        @Override
        public String toString() {
            return form + " tick " + recording.info().tickPicos() + " lines " + recording.info().lines()
                    + " seed " + recording.seed();
        }
    }

    static Stream<Case> cases() {
        List<Case> cases = new ArrayList<>();
        for (Written form : Written.values()) {
            for (double tick : new double[] {1e6, 1, PROBE_72_MHZ, 125_000, 1e9}) {
                cases.add(new Case(form, Invented.oneLine(tick, 11)));
            }
            RecordingInfo one = Invented.info(PROBE_72_MHZ, "bus");
            RecordingInfo three = Invented.info(1e6, "bus", "second.bus", "switch");
            cases.add(new Case(form, new Invented(one, true, form.marks, 12, 30_000)));
            cases.add(new Case(form, new Invented(three, true, form.marks, 13, 60_000)));
            cases.add(new Case(form, new Invented(three, false, form.marks, 14, 60_000)));
            cases.add(new Case(form, new Invented(one, false, false, 15, 2)));
        }
        return cases.stream();
    }

    private static List<String> told(Invented recording, boolean reasons) {
        Heard heard = new Heard(reasons);
        recording.tell(heard);
        return everyLine(heard, recording);
    }

    private static List<String> everyLine(Heard heard, Invented recording) {
        return heard.lines(recording.info().lines().size());
    }

    @ParameterizedTest
    @MethodSource("cases")
    void whatIsWrittenReadsBackTheSame(Case c) {
        byte[] bytes = c.form.bytes(c.recording);
        Recording read = Given.open(bytes);
        Heard heard = new Heard(c.form.reasons);
        RecordingInfo info = read.read(heard, Progress.SILENT);
        Heard.alike(told(c.recording, c.form.reasons), everyLine(heard, c.recording), c);
        assertEquals(c.recording.info().lines(), info.lines());
        assertEquals(0, read.notices().seen(), () -> read.notices().kept().toString());
        if (c.form != Written.CSV) {
            assertEquals(c.recording.info().tickPicos(), info.tickPicos());
            assertEquals(List.of("engine off", "a: b, \"c\""), info.notes());
        } else if (c.recording.info().tickPicos() == 1e6) {
            assertEquals(1e6, info.tickPicos());
        }
    }

    @ParameterizedTest
    @EnumSource(Written.class)
    void resultsDoNotDependOnHowInputIsChopped(Written form) throws NoSuchAlgorithmException {
        Invented recording = new Invented(Invented.info(PROBE_72_MHZ, "bus", "key"), true, form.marks, 21, 9_000);
        byte[] plain = form.bytes(recording);
        for (byte[] stored : List.of(plain, Given.gzip(plain))) {
            List<String> whole = Given.read(Given.open(stored)).lines(2);
            String sum = HexFormat.of().formatHex(MessageDigest.getInstance("SHA-256").digest(stored));
            for (int most : new int[] {1, 2, 3, 7, 64, 4096}) {
                Recording trickling = Recordings.open(Given.trickle(stored, most), ReadOptions.NONE);
                Heard heard = new Heard(true);
                assertEquals(sum, trickling.read(heard, Progress.SILENT).sha256());
                Heard.alike(whole, heard.lines(2), form + " by " + most);
            }
        }
    }

    @ParameterizedTest
    @EnumSource(Written.class)
    void writingIsDeterministicAndSurvivesTheOtherForms(Written form) {
        Invented recording = new Invented(Invented.info(1e6, "bus", "key"), true, false, 31, 5_000);
        byte[] first = form.bytes(recording);
        assertTrue(java.util.Arrays.equals(first, form.bytes(recording)));
        for (Written other : Written.values()) {
            ByteArrayOutputStream out = new ByteArrayOutputStream();
            Recording read = Given.open(first);
            try (RecordingWriter to = other.writer.apply(out, read.info())) {
                read.read(to, Progress.SILENT);
            } catch (IOException e) {
                throw new AssertionError(e);
            }
            Heard heard = new Heard(false);
            Given.open(out.toByteArray()).read(heard, Progress.SILENT);
            Heard.alike(told(recording, false), heard.lines(2), form + " to " + other);
        }
    }

    @ParameterizedTest
    @EnumSource(Written.class)
    void aGzipCutShortGivesWhatCouldBeRead(Written form) {
        Invented recording = Invented.oneLine(1e6, 41);
        byte[] zipped = Given.gzip(form.bytes(recording));
        Recording cut = Given.open(java.util.Arrays.copyOf(zipped, zipped.length * 2 / 3));
        Heard heard = Given.read(cut);
        assertTrue(heard.changes > 8_000 && heard.changes < 20_000, form + " " + heard.changes);
        assertTrue(cut.notices().kept().stream().anyMatch(n -> n.says().contains("cut short inside its packed bytes")),
                () -> cut.notices().kept().toString());
        List<String> whole = told(recording, true);
        List<String> part = heard.lines(1);
        Heard.alike(whole.subList(0, part.size() - 1), part.subList(0, part.size() - 1), form);
    }

    /** Recordings of a silent probe once held a mark behind their end; written in another form they must read back. */
    @ParameterizedTest
    @EnumSource(Written.class)
    void aMarkBehindTheEndIsMovedToIt(Written form) throws IOException {
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        try (RecordingWriter to = form.writer(out, Invented.info(1e6, "bus"))) {
            EdgeBlock block = new EdgeBlock();
            block.count = 1;
            block.atPicos[0] = 5_000_000;
            block.level[0] = 0;
            to.begin(0, 0, 1);
            to.edges(block);
            to.mark(90_000_000, "wiggled plug C");
            to.end(40_000_000);
        }
        String read = String.join("|", Given.read(Given.open(out.toByteArray())).lines(1));
        assertEquals(form.marks, read.contains("wiggled plug C"), read);
        assertTrue(read.contains("40000000") && !read.contains("90000000"), read);
    }

    @Test
    void hostileNamesStayNames() throws IOException {
        for (Written form : Written.values()) {
            RecordingInfo info = Invented.info(1e6, "a\nb", "a\nb", "", "x, idle 1", "\"q\",;", "$end");
            Invented recording = new Invented(info, false, false, 51, 2_000);
            RecordingInfo read = Given.open(form.bytes(recording)).info();
            assertEquals(6, read.lines().size(), form.toString());
            assertEquals(6, read.lines().stream().distinct().count(), form.toString());
        }
    }
}
