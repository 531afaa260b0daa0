package buswitness.capture;

import java.io.IOException;
import java.io.InputStream;

/**
 * Stored bytes that can be read from the start again and again.
 *
 * @param name  what errors call it
 * @param size  bytes stored, or -1 where unknown
 * @param bytes opens them anew
 */
record Source(String name, long size, Opener bytes) {
    @FunctionalInterface
    interface Opener {
        InputStream open() throws IOException;
    }
}
