package buswitness.clashes;

import buswitness.frames.BitString;
import buswitness.frames.FrameFault;
import buswitness.frames.FrameLog;
import buswitness.frames.MessageKey;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.senders.MessageTiming;
import buswitness.senders.SenderFindings;
import buswitness.senders.Shared;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.TreeMap;

/** One message's share of the log: its frames in time order and the trains they belong to. */
final class MessageView {
    final long key;
    final FrameLog log;
    final SenderFindings findings;
    final List<Track> tracks = new ArrayList<>();
    /** Null where the findings hold none. */
    final MessageTiming timing;
    /** Whole data frames. */
    int[] whole = new int[16];
    int wholeCount;
    /** Damaged frames whose identifier could be read, overload and frames cut by the recording left out. */
    int[] damaged = new int[4];
    int damagedCount;
    int unacknowledged;
    Regularity regularity;
    /** The layout's words on it, or null. */
    Message documented;
    /** How high the line stands; null where the recording holds no voltages. */
    LevelMeans levels;
    final Meant meant;
    /** Why several nodes answer it by design; null where one node sends it. */
    final Shared shared;

    private MessageView(long key, FrameLog log, SenderFindings findings, Meant meant) {
        this.key = key;
        this.meant = meant;
        this.log = log;
        this.findings = findings;
        this.timing = findings.timing(key);
        this.shared = findings.shared(key);
    }

    /** Every message seen, by key; {@code bitSeconds} NaN where the wire was not seen. */
    static List<MessageView> all(FrameLog log, double bitSeconds, SenderFindings findings, Meant meant) {
        TreeMap<Long, MessageView> views = new TreeMap<>();
        for (int i = 0; i < log.size(); i++) {
            if (log.isRemote(i)) continue;
            long key = log.key(i);
            FrameFault fault = log.fault(i);
            if (fault != FrameFault.NONE && !fault.isDamage() || fault == FrameFault.NOISE) continue;
            boolean readable = meant.isCan() && log.wireBits(i) != null;
            if (key == MessageKey.UNKNOWN && readable) key = new WireRead(log.wireBits(i), meant.isFlexible()).key();
            if (key == MessageKey.UNKNOWN) continue;
            MessageView view = views.get(key);
            if (view == null) views.put(key, view = new MessageView(key, log, findings, meant));
            view.add(i, fault);
        }
        for (MessageView view : views.values()) {
            view.regularity = Regularity.of(view);
            for (Track track : findings.tracks(view.key)) view.tracks.add(LateComb.read(view, track, bitSeconds));
        }
        return new ArrayList<>(views.values());
    }

    /** Gives each message what a layout says of it; the first entry counts. */
    static void document(List<MessageView> views, Layout layout) {
        if (layout == null) return;
        for (MessageView view : views) {
            for (Message m : layout.messages()) {
                if (view.documented == null && MessageKey.of(m) == view.key) view.documented = m;
            }
        }
    }

    private void add(int frame, FrameFault fault) {
        if (fault == FrameFault.NONE) {
            if (wholeCount == whole.length) whole = Arrays.copyOf(whole, wholeCount * 2);
            whole[wholeCount++] = frame;
        } else {
            if (damagedCount == damaged.length) damaged = Arrays.copyOf(damaged, damagedCount * 2);
            damaged[damagedCount++] = frame;
            if (fault == FrameFault.ACKNOWLEDGE) unacknowledged++;
        }
    }

    /** Whole frames attributed to a track, in time order. */
    int[] framesOf(Track track) {
        int[] frames = new int[track.frames() + 8];
        int n = 0;
        for (int i = 0; i < wholeCount; i++) {
            if (findings.trackOf(whole[i]) != track.index()) continue;
            if (n == frames.length) frames = Arrays.copyOf(frames, n * 2);
            frames[n++] = whole[i];
        }
        return Arrays.copyOf(frames, n);
    }

    /** Two nodes of a header that several answer by design: each names itself in the first byte of its answers. */
    boolean byDesign(Track a, Track b) {
        return shared == Shared.EVENT_TRIGGERED || shared != null && firstByte(a) != firstByte(b);
    }

    private int firstByte(Track track) {
        for (int i = 0; i < wholeCount; i++) {
            if (findings.trackOf(whole[i]) == track.index()) return log.dataLength(whole[i]) == 0 ? -1
                    : log.dataByte(whole[i], 0);
        }
        return -1;
    }

    /** The track of this message with that index, or null. */
    Track track(int index) {
        for (Track track : tracks) if (track.index() == index) return track;
        return null;
    }

    /** Position in {@link #whole} of the first whole frame that starts after log index {@code frame}. */
    int firstWholeAfter(int frame) {
        int at = Arrays.binarySearch(whole, 0, wholeCount, frame);
        return at < 0 ? -at - 1 : at + 1;
    }

    /** The same from the start bit on. */
    BitString meantFromStart(int frame) {
        return meant.bitsFromStart(log, frame);
    }

    /** The bits the sender of a whole frame meant, stuff bits left out. */
    BitString meant(int frame) {
        return meant.bits(log, frame);
    }

    double firstSeconds() {
        return wholeCount > 0 ? log.startSeconds(whole[0]) : 0;
    }

    double lastSeconds() {
        return wholeCount > 0 ? log.startSeconds(whole[wholeCount - 1]) : 0;
    }

    String title() {
        return MessageKey.text(key);
    }
}
