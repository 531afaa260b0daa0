package buswitness.plan;

import buswitness.problem.InputFault;
import buswitness.problem.Place;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.CharacterCodingException;
import java.nio.charset.StandardCharsets;
import java.nio.file.AtomicMoveNotSupportedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;

/**
 * An evidence file: UTF-8 lines {@code {"chain":"HASH","entry":ENTRY}}. HASH is the SHA-256, in hexadecimal, of the hash
 * of the line before (64 zeros for the first) followed by the bytes of ENTRY, so that a changed, moved or lost line
 * shows in all that follow. Whoever can write the file can of course write it anew: only a printed copy of the last hash
 * shows that.
 *
 * <p>A new entry appears by one atomic rename of a complete, synced copy. Two processes take turns by a lock on a
 * hidden file beside it.
 */
final class EvidenceFile {
    private static final String HEAD = "{\"chain\":\"";
    private static final String MIDDLE = "\",\"entry\":";
    private static final int HASH = 64;
    private static final long MOST_BYTES = 64L << 20;
    private static final int WAIT_MILLIS = 10_000;

    private EvidenceFile() {}

    /** @throws InputFault where it cannot be read or its chain is broken; an absent file is empty evidence */
    static Evidence read(Path file) {
        List<Entry> entries = new ArrayList<>();
        List<String> chain = new ArrayList<>();
        String before = Evidence.BEFORE_ALL;
        int number = 0;
        for (String line : lines(file)) {
            number++;
            if (!line.startsWith(HEAD) || line.length() < HEAD.length() + HASH + MIDDLE.length() + 3
                    || !line.startsWith(MIDDLE, HEAD.length() + HASH) || !line.endsWith("}")) {
                throw fault(file, number, "is no line of an evidence file");
            }
            String hash = line.substring(HEAD.length(), HEAD.length() + HASH);
            String text = line.substring(HEAD.length() + HASH + MIDDLE.length(), line.length() - 1);
            if (!hash.equals(link(before, text))) {
                throw fault(file, number, "does not fit the chain: this line or the one before it was altered, lost or moved");
            }
            try {
                Entry entry = EvidenceJson.read(text);
                if (number == 1 && !(entry instanceof Entry.Begun)) throw new IOException("does not begin an evidence file");
                if (entry != null) {
                    entries.add(entry);
                    chain.add(hash);
                }
            } catch (IOException e) {
                throw fault(file, number, e.getMessage());
            }
            before = hash;
        }
        if (!chain.isEmpty()) chain.set(chain.size() - 1, before);
        return new Evidence(file, entries, chain);
    }

    private static InputFault fault(Path file, int line, String what) {
        return new InputFault(Place.text(file.toString(), line, -1), what,
                "compare it with a copy; nothing was added to it");
    }

    static String link(String before, String entry) {
        return Canonical.sha256((before + entry).getBytes(StandardCharsets.UTF_8));
    }

    private static List<String> lines(Path file) {
        if (Files.isDirectory(file)) throw new InputFault(Place.file(file.toString()), "is a folder", "name a file");
        if (!Files.exists(file)) return List.of();
        try {
            if (Files.size(file) > MOST_BYTES) {
                throw new InputFault(Place.file(file.toString()), "is too large for an evidence file", "check its name");
            }
            String text = StandardCharsets.UTF_8.newDecoder().decode(ByteBuffer.wrap(Files.readAllBytes(file))).toString();
            if (text.isEmpty()) return List.of();
            if (!text.endsWith("\n")) {
                throw new InputFault(Place.file(file.toString()), "is cut short: its last line does not end",
                        "compare it with a copy; nothing was added to it");
            }
            return List.of(text.substring(0, text.length() - 1).split("\n", -1));
        } catch (CharacterCodingException e) {
            throw new InputFault(Place.file(file.toString()), "is not UTF-8 text", "check that it is an evidence file");
        } catch (IOException e) {
            throw new InputFault(Place.file(file.toString()), "cannot be read (" + e.getMessage() + ")",
                    "check the file and its permissions");
        }
    }

    /** Adds entries, reading what is there anew under the lock. */
    static Evidence append(Path file, String planTitle, List<Entry> added) {
        try {
            Path real = Files.exists(file) ? file.toRealPath() : file.toAbsolutePath();
            Path lockFile = real.resolveSibling("." + real.getFileName() + ".lock");
            try (FileChannel channel = FileChannel.open(lockFile, StandardOpenOption.CREATE, StandardOpenOption.WRITE)) {
                FileLock held = lock(channel, file);
                try {
                    return write(file, real, planTitle, added);
                } finally {
                    held.release();
                }
            }
        } catch (IOException e) {
            throw new InputFault(Place.file(file.toString()), "could not be written (" + e.getMessage() + ")",
                    "check the folder, its permissions and free space; nothing was lost");
        }
    }

    private static FileLock lock(FileChannel channel, Path file) throws IOException {
        long until = System.nanoTime() + WAIT_MILLIS * 1_000_000L;
        while (true) {
            try {
                FileLock lock = channel.tryLock();
                if (lock != null) return lock;
            } catch (OverlappingFileLockException e) {
                // Another thread of this process holds it: wait as for another process.
            }
            if (System.nanoTime() > until) {
                throw new InputFault(Place.file(file.toString()), "another run is writing to it", "try again when it has ended");
            }
            try {
                Thread.sleep(20);
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new InputFault(Place.file(file.toString()), "the wait for another run was broken off", "try again");
            }
        }
    }

    private static Evidence write(Path file, Path real, String planTitle, List<Entry> added) throws IOException {
        Evidence before = read(file);
        List<Entry> entries = new ArrayList<>();
        if (before.entries().isEmpty()) entries.add(new Entry.Begun(planTitle, added.get(0).at()));
        entries.addAll(added);
        StringBuilder text = new StringBuilder();
        String hash = before.lastHash();
        for (Entry entry : entries) {
            String json = EvidenceJson.write(entry);
            hash = link(hash, json);
            text.append(HEAD).append(hash).append(MIDDLE).append(json).append("}\n");
        }
        byte[] old = Files.exists(real) ? Files.readAllBytes(real) : new byte[0];
        Path part = real.resolveSibling("." + real.getFileName() + "." + ProcessHandle.current().pid() + ".part");
        try {
            try (FileChannel out = FileChannel.open(part, StandardOpenOption.CREATE, StandardOpenOption.TRUNCATE_EXISTING,
                    StandardOpenOption.WRITE)) {
                writeAll(out, old);
                writeAll(out, text.toString().getBytes(StandardCharsets.UTF_8));
                out.force(true);
            }
            if (old.length > 0 && Files.getFileStore(part).supportsFileAttributeView("posix")) {
                Files.setPosixFilePermissions(part, Files.getPosixFilePermissions(real));
            }
            try {
                Files.move(part, real, StandardCopyOption.ATOMIC_MOVE);
            } catch (AtomicMoveNotSupportedException e) {
                Files.move(part, real, StandardCopyOption.REPLACE_EXISTING);
            }
        } finally {
            Files.deleteIfExists(part);
        }
        return read(file);
    }

    private static void writeAll(FileChannel out, byte[] bytes) throws IOException {
        ByteBuffer buffer = ByteBuffer.wrap(bytes);
        while (buffer.hasRemaining()) out.write(buffer);
    }
}
