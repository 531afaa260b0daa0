package buswitness.simulate;

import java.util.Arrays;
import java.util.SplittableRandom;

/** One message of one node: makes its payload and holds at most one frame ready; a later one takes its place. */
final class Mailbox {
    final Sending sending;
    final Station station;
    private final PayloadMaker maker;
    private long released;
    private WireFrame lastFrame;
    private FormatFrame lastOther;
    private final boolean watchesChanges;
    private final SplittableRandom spoils;
    private byte[] lastWatched;
    /** Always the first byte of its payload; -1 where its values say. */
    int firstByte = -1;
    /** What it last brought through; null before. */
    private byte[] told;
    long lastReleasePicos = Long.MIN_VALUE / 2;
    Outgoing ready;

    Mailbox(Sending sending, Station station, long seed) {
        this.sending = sending;
        this.station = station;
        maker = new PayloadMaker(sending, seed, station.behaviour.name());
        spoils = Streams.of(seed, station.behaviour.name(), "wrong check", Long.toHexString(sending.key()));
        watchesChanges = sending.triggers().stream().anyMatch(Trigger.OnChange.class::isInstance);
    }

    /** Whether the values differ from those last sent; counters, checks and pages apart. */
    boolean hasChanged(double atSeconds, boolean startingUp) {
        byte[] watched = maker.at(atSeconds, startingUp, -1);
        if (lastWatched == null) lastWatched = watched;
        return !Arrays.equals(watched, lastWatched);
    }

    void release(long atPicos, boolean startingUp) {
        byte[] data = maker.at(atPicos * 1e-12, startingUp, released++);
        if (firstByte >= 0 && data.length > 0) data[0] = (byte) firstByte;
        if (sending.onFormat() != null) {
            double wrong = station.behaviour.habits().wrongCheckShare();
            if (wrong > 0 && spoils.nextDouble() < wrong) {
                ready = new Outgoing(this, FormatFrame.wrong(station.format, sending, data, 1 + spoils.nextInt(255)), atPicos);
                lastReleasePicos = atPicos;
                return;
            }
            if (lastOther == null || !Arrays.equals(lastOther.data, data)) {
                lastOther = FormatFrame.of(station.format, sending, data);
            }
            ready = new Outgoing(this, lastOther, atPicos);
        } else {
            if (lastFrame == null || !Arrays.equals(lastFrame.data, data)) lastFrame = WireFrame.of(sending, data);
            ready = new Outgoing(this, lastFrame, atPicos);
        }
        lastReleasePicos = atPicos;
        if (watchesChanges) lastWatched = maker.at(atPicos * 1e-12, startingUp, -1);
    }

    /** Whether a frame says other things than the last one that came through; the first one is no news. */
    boolean isNews(Outgoing outgoing) {
        if (told == null) told = outgoing.data();
        return !Arrays.equals(told, outgoing.data());
    }

    /** Its frame came through. */
    void told(Outgoing outgoing) {
        told = outgoing.data();
    }

    void clear() {
        ready = null;
    }
}
