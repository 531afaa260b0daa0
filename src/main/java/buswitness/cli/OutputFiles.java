package buswitness.cli;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.BufferedOutputStream;
import java.io.FilterOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;

/**
 * The files one command writes. Each is written beside its target under another name and moved over it only when all
 * of them are complete, so that a failure or Ctrl-C leaves what was there before. {@code -} is standard output, once.
 */
final class OutputFiles implements AutoCloseable {
    /** Writes one file's content. */
    interface Content {
        void writeTo(OutputStream out) throws IOException;
    }

    private static final String STANDARD_OUTPUT = "-";

    private final OutputStream standardOutput;
    private final List<Path> inputs = new ArrayList<>();
    private final Map<String, Path> claimed = new LinkedHashMap<>();
    private final Map<Path, Path> partOf = new LinkedHashMap<>();
    private final Thread sweeper = new Thread(this::deleteParts);
    private boolean toStandardOutput;

    OutputFiles(OutputStream standardOutput) {
        this.standardOutput = standardOutput;
        Runtime.getRuntime().addShutdownHook(sweeper);
    }

    /** Names a file that must never be overwritten; null is ignored. */
    void protect(Path input) {
        if (input == null) return;
        inputs.add(input);
        for (Path target : claimed.values()) refuseInput(input, target);
    }

    /**
     * Checks before the work begins that a target can be written.
     *
     * @param option the option's name, for the fault
     * @param target file name, {@code -}, or null where the option was not given
     */
    void claim(String option, String target) {
        if (target == null) return;
        if (target.equals(STANDARD_OUTPUT)) {
            if (toStandardOutput) throw fault(option, "standard output can take one file only", "name a file");
            toStandardOutput = true;
            return;
        }
        Path path = Path.of(target);
        if (target.isEmpty()) throw fault(option, "the file name is empty", "name a file");
        if (Files.isDirectory(path)) throw fault(target, "is a folder", "name a file in it for " + option);
        Path folder = path.toAbsolutePath().getParent();
        if (folder == null || !Files.isDirectory(folder)) {
            throw fault(target, "its folder does not exist", "make the folder first");
        }
        for (Path input : inputs) refuseInput(input, path);
        for (Path other : claimed.values()) {
            if (same(other, path)) throw fault(target, "two outputs go to the same file", "name another for " + option);
        }
        if (!Files.isWritable(Files.exists(path) && !isPlain(path) ? path : folder)) {
            throw fault(target, "cannot be written here", "check the folder's permissions");
        }
        claimed.put(target, path);
    }

    private static void refuseInput(Path input, Path target) {
        if (same(input, target)) throw fault(target.toString(), "would overwrite an input", "name another file");
    }

    /** Whether one of the claimed targets is standard output; the screen report then goes to standard error. */
    boolean usesStandardOutput() {
        return toStandardOutput;
    }

    /** Writes a claimed target; null does nothing. The file appears under its name only with {@link #commit}. */
    void write(String target, Content content) {
        if (target == null) return;
        try {
            if (target.equals(STANDARD_OUTPUT)) {
                OutputStream open = new BufferedOutputStream(keptOpen(standardOutput), 1 << 16);
                content.writeTo(open);
                open.flush();
                return;
            }
            Path path = claimed.get(target);
            if (Files.exists(path) && !isPlain(path)) {
                writeTo(path, content, StandardOpenOption.WRITE);
                return;
            }
            Path real = Files.exists(path) ? path.toRealPath() : path.toAbsolutePath();
            Path part = real.resolveSibling("." + real.getFileName() + "." + ProcessHandle.current().pid() + ".part");
            synchronized (partOf) {
                partOf.put(part, real);
            }
            writeTo(part, content, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING,
                    StandardOpenOption.WRITE);
        } catch (IOException e) {
            throw fault(target, "could not be written: " + reason(e), "check free space and permissions");
        }
    }

    /** Moves every complete file over its target. */
    void commit() {
        synchronized (partOf) {
            for (Map.Entry<Path, Path> entry : partOf.entrySet()) {
                try {
                    keepPermissions(entry.getValue(), entry.getKey());
                    move(entry.getKey(), entry.getValue());
                } catch (IOException e) {
                    throw fault(entry.getValue().toString(), "could not be replaced: " + reason(e),
                            "check the folder's permissions");
                }
            }
            partOf.clear();
        }
    }

    @Override
    public void close() {
        deleteParts();
        try {
            Runtime.getRuntime().removeShutdownHook(sweeper);
        } catch (IllegalStateException alreadyGoingDown) {
            // The sweeper runs or has run: nothing is left to do.
        }
    }

    private void deleteParts() {
        synchronized (partOf) {
            for (Path part : partOf.keySet()) {
                try {
                    Files.deleteIfExists(part);
                } catch (IOException e) {
                    // A left-over part file harms nothing and cannot be reported from a shutdown.
                }
            }
            partOf.clear();
        }
    }

    private static void writeTo(Path path, Content content, StandardOpenOption... how) throws IOException {
        try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(path, how), 1 << 16)) {
            content.writeTo(out);
        }
    }

    private static void move(Path part, Path target) throws IOException {
        try {
            Files.move(part, target, StandardCopyOption.ATOMIC_MOVE);
        } catch (AtomicMoveNotSupportedException e) {
            Files.move(part, target, StandardCopyOption.REPLACE_EXISTING);
        }
    }

    private static void keepPermissions(Path target, Path part) throws IOException {
        if (!Files.exists(target) || !Files.getFileStore(part).supportsFileAttributeView("posix")) return;
        Files.setPosixFilePermissions(part, Files.getPosixFilePermissions(target));
    }

    /** A regular file; devices and pipes are written in place instead. */
    private static boolean isPlain(Path path) {
        return Files.isRegularFile(path) || Files.isSymbolicLink(path) && !Files.exists(path)
                || !Files.exists(path, LinkOption.NOFOLLOW_LINKS);
    }

    private static boolean same(Path a, Path b) {
        try {
            if (Files.exists(a) && Files.exists(b)) return Files.isRegularFile(a) && Files.isSameFile(a, b);
        } catch (IOException e) {
            // Fall back to comparing the names.
        }
        return a.toAbsolutePath().normalize().equals(b.toAbsolutePath().normalize());
    }

    private static OutputStream keptOpen(OutputStream out) {
        return new FilterOutputStream(out) {
            @Override
            public void write(byte[] bytes, int from, int count) throws IOException {
                out.write(bytes, from, count);
            }

            @Override
            public void close() throws IOException {
                flush();
            }
        };
    }

    /** The system's own words without the file name in front, which the fault already carries. */
    static String reason(IOException e) {
        String text = e.getMessage();
        if (e instanceof java.nio.file.AccessDeniedException) return "permission denied";
        if (e instanceof java.nio.file.FileSystemException f && f.getReason() != null) text = f.getReason();
        return text == null ? e.getClass().getSimpleName() : text;
    }

    private static InputFault fault(String where, String what, String toDo) {
        return new InputFault(Place.file(where), what, toDo);
    }
}
