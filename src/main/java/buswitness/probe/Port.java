package buswitness.probe;

/** A serial port, open. */
interface Port extends AutoCloseable {
    /** @return how many bytes came, 0 where none did for a while, -1 where the port is gone */
    int read(byte[] into);

    @Override
    void close();
}
