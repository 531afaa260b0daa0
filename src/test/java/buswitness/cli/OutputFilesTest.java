package buswitness.cli;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import buswitness.problem.InputFault;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A file is replaced only after complete success, and an input never. */
class OutputFilesTest {
    @TempDir
    Path folder;

    private final ByteArrayOutputStream out = new ByteArrayOutputStream();

    @Test
    void replacesOnCommitOnly() throws IOException {
        Path target = Files.writeString(folder.resolve("a.json"), "old");
        try (OutputFiles files = new OutputFiles(out)) {
            files.claim("--json", target.toString());
            files.write(target.toString(), o -> o.write(bytes("new")));
            assertEquals("old", Files.readString(target));
            files.commit();
        }
        assertEquals("new", Files.readString(target));
        assertEquals(List.of("a.json"), names());
    }

    @Test
    void aFailureLeavesWhatWasThere() throws IOException {
        Path first = Files.writeString(folder.resolve("a.json"), "old");
        Path second = folder.resolve("b.html");
        InputFault fault = assertThrows(InputFault.class, () -> {
            try (OutputFiles files = new OutputFiles(out)) {
                files.claim("--json", first.toString());
                files.claim("--html", second.toString());
                files.write(first.toString(), o -> o.write(bytes("new")));
                files.write(second.toString(), o -> {
                    o.write(bytes("half"));
                    throw new IOException("No space left on device");
                });
                files.commit();
            }
        });
        assertEquals("could not be written: No space left on device", fault.what());
        assertEquals("old", Files.readString(first));
        assertEquals(List.of("a.json"), names());
    }

    @Test
    void aBrokenProgramLeavesWhatWasThere() throws IOException {
        Path target = Files.writeString(folder.resolve("a.json"), "old");
        assertThrows(IllegalStateException.class, () -> {
            try (OutputFiles files = new OutputFiles(out)) {
                files.claim("--json", target.toString());
                files.write(target.toString(), o -> {
                    o.write(bytes("half"));
                    throw new IllegalStateException();
                });
            }
        });
        assertEquals("old", Files.readString(target));
        assertEquals(List.of("a.json"), names());
    }

    @Test
    void neverOverwritesAnInputUnderAnyName() throws IOException {
        Path input = Files.writeString(folder.resolve("in.vcd"), "precious");
        Path link = Files.createSymbolicLink(folder.resolve("link"), input);
        Path twin = Files.createLink(folder.resolve("twin"), input);
        for (Path target : List.of(input, link, twin, folder.resolve("sub/../in.vcd"))) {
            Files.createDirectories(folder.resolve("sub"));
            InputFault before = assertThrows(InputFault.class, () -> {
                try (OutputFiles files = new OutputFiles(out)) {
                    files.protect(input);
                    files.claim("--json", target.toString());
                }
            });
            assertEquals("would overwrite an input", before.what());
            InputFault after = assertThrows(InputFault.class, () -> {
                try (OutputFiles files = new OutputFiles(out)) {
                    files.claim("--json", target.toString());
                    files.protect(input);
                }
            });
            assertEquals("would overwrite an input", after.what());
        }
        assertEquals("precious", Files.readString(input));
    }

    @Test
    void refusesWhatCannotWork() throws IOException {
        Files.createDirectories(folder.resolve("sub"));
        assertEquals("is a folder", refused(folder.resolve("sub").toString()));
        assertEquals("its folder does not exist", refused(folder.resolve("nowhere/a.json").toString()));
        assertEquals("the file name is empty", refused(""));
        assertEquals("standard output can take one file only", refused("-", "-"));
        String twice = folder.resolve("a").toString();
        assertEquals("two outputs go to the same file", refused(twice, twice));
    }

    @Test
    void standardOutputStaysOpen() {
        try (OutputFiles files = new OutputFiles(out)) {
            files.claim("--json", "-");
            assertTrue(files.usesStandardOutput());
            files.write("-", o -> {
                o.write(bytes("one"));
                o.close();
            });
            files.commit();
        }
        out.writeBytes(bytes(" two"));
        assertEquals("one two", out.toString(StandardCharsets.UTF_8));
    }

    @Test
    void followsLinksAndKeepsPermissions() throws IOException {
        Path real = Files.writeString(folder.resolve("real.json"), "old");
        Files.setPosixFilePermissions(real, PosixFilePermissions.fromString("rw-r-----"));
        Path link = Files.createSymbolicLink(folder.resolve("link.json"), Path.of("real.json"));
        replace(link, "new");
        assertTrue(Files.isSymbolicLink(link));
        assertEquals("new", Files.readString(real));
        assertEquals("rw-r-----", PosixFilePermissions.toString(Files.getPosixFilePermissions(real)));
    }

    @Test
    void devicesAreWrittenInPlace() {
        replace(Path.of("/dev/null"), "gone");
        assertFalse(Files.isRegularFile(Path.of("/dev/null")));
    }

    private void replace(Path target, String text) {
        try (OutputFiles files = new OutputFiles(out)) {
            files.claim("--json", target.toString());
            files.write(target.toString(), o -> o.write(bytes(text)));
            files.commit();
        }
    }

    private String refused(String... targets) {
        return assertThrows(InputFault.class, () -> {
            try (OutputFiles files = new OutputFiles(out)) {
                for (String target : targets) files.claim("--json", target);
            }
        }).what();
    }

    private List<String> names() throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(p -> p.getFileName().toString()).sorted().toList();
        }
    }

    private static byte[] bytes(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }
}
