package buswitness.simulate;

import buswitness.schema.BusFormat;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/** One node at work: its clock, its controller and the frames that lie ready in it. */
final class Station {
    final int index;
    final NodeBehaviour behaviour;
    /** Null on CAN. */
    final BusFormat format;
    final ClockPath clock;
    final Controller controller;
    final List<Mailbox> mailboxes = new ArrayList<>();
    final List<ReleaseTimer> timers = new ArrayList<>();
    final long loopDelayPicos;
    /** How much later than a bit's boundary it lets go of a dominant level. */
    final long releaseLagPicos;
    private final long delaySeed;
    private final double nominalBitPicos;
    /** Length of a bit at the data rate in nominal bits; 1 where there is one rate. */
    final double dataShare;
    final double samplePoint;
    private double startUpUntil = Double.NEGATIVE_INFINITY;

    /** The frame it is sending or has tried to send. */
    Outgoing current;
    /** Whether it starts a frame at the very instant that is being settled. */
    boolean begins;
    /** Start of its frame's first bit, and length of its bits, while it sends. */
    long anchorPicos;
    double bitPicos;
    /** Bits of its frame at whose sample points the rate goes up and back; beyond every frame where it does not. */
    private int upAt = Integer.MAX_VALUE;
    private int backAt = Integer.MAX_VALUE;
    /** It went bus-off and has not come back. */
    boolean returning;
    /** What it drives at present. */
    int driving = 1;

    Station(int index, NodeBehaviour behaviour, double bitsPerSecond, BusKind bus, long seed) {
        format = bus == null ? null : bus.format();
        dataShare = bus == null || format != null ? 1 : bitsPerSecond / bus.dataBitsPerSecond();
        samplePoint = bus == null ? BusEngine.SAMPLE_POINT : bus.samplePoint();
        this.index = index;
        this.behaviour = behaviour;
        clock = new ClockPath(behaviour.oscillator(), Streams.of(seed, behaviour.name(), "clock"));
        controller = new Controller(behaviour.acknowledges(), bus != null);
        loopDelayPicos = Math.round(behaviour.drive().loopDelayNanos() * 1000);
        releaseLagPicos = Math.round(behaviour.drive().asymmetryNanos() * 500);
        delaySeed = Streams.key(seed, behaviour.name(), "delay");
        nominalBitPicos = 1e12 / bitsPerSecond;
        int order = 0;
        for (Sending sending : behaviour.sends()) {
            Mailbox mailbox = new Mailbox(sending, this, seed);
            mailboxes.add(mailbox);
            for (Trigger trigger : sending.triggers()) {
                if (!(trigger instanceof Trigger.After)) timers.add(new ReleaseTimer(mailbox, order++, trigger, seed));
            }
        }
    }

    /** The software delay of the tick at a local instant: the same for everything released by that tick. */
    double delayAt(double localSeconds) {
        if (behaviour.delay().equals(SoftwareDelay.NONE)) return 0;
        long tick = Math.round(localSeconds * 1e9);
        return behaviour.delay().draw(new SplittableRandom(Streams.mix(delaySeed + tick * 0x9E3779B97F4A7C15L)));
    }

    double bitPicosAt(long atPicos) {
        return nominalBitPicos * clock.secondLength(atPicos * 1e-12);
    }

    boolean startingUp(long atPicos) {
        return atPicos * 1e-12 < startUpUntil;
    }

    void boot(double atSeconds) {
        startUpUntil = atSeconds + behaviour.power().bootSeconds() + behaviour.power().startUpSeconds();
    }

    boolean hasReady() {
        for (Mailbox mailbox : mailboxes) if (mailbox.ready != null) return true;
        return false;
    }

    /** Release of the frame that has waited longest, or {@link ReleaseTimer#NEVER}. */
    long earliestReady() {
        long earliest = ReleaseTimer.NEVER;
        for (int i = 0; i < mailboxes.size(); i++) {
            Outgoing ready = mailboxes.get(i).ready;
            if (ready != null && ready.releasePicos < earliest) earliest = ready.releasePicos;
        }
        return earliest;
    }

    /** The frame it would start at an instant; null where none is ready by then. */
    Outgoing choose(long byPicos) {
        Outgoing best = null;
        for (int i = 0; i < mailboxes.size(); i++) {
            Outgoing ready = mailboxes.get(i).ready;
            if (ready == null || ready.releasePicos > byPicos) continue;
            if (best == null || (behaviour.sendsInOrder() ? ready.releasePicos < best.releasePicos
                    : ready.priority() < best.priority())) {
                best = ready;
            }
        }
        if (best != null && best.frame != null) best.frame = best.frame.saidBy(controller.isPassive());
        return best;
    }

    /** It is about to send its present frame, with bits as long as its clock makes them now. */
    void setBits(long atPicos) {
        bitPicos = bitPicosAt(atPicos);
        upAt = current.frame.switchAt;
        backAt = current.frame.stuffedSize;
    }

    boolean switchesRate() {
        return upAt < Integer.MAX_VALUE;
    }

    /** Length of a bit at the data rate, by the same clock. */
    double dataBitPicos() {
        return bitPicos * dataShare;
    }

    /** The present frame has been sent: it leaves its mailbox unless a later one has taken its place. */
    void sent() {
        if (current.mailbox.ready == current) current.mailbox.ready = null;
        current = null;
    }

    void clearReady() {
        for (Mailbox mailbox : mailboxes) mailbox.clear();
        current = null;
    }

    /** Start of its bit {@code n} while it sends. */
    long bitStart(int n) {
        if (n <= upAt) return anchorPicos + Math.round(n * bitPicos);
        double fast = dataBitPicos();
        double at = (upAt + samplePoint) * bitPicos + (1 - samplePoint + Math.min(n, backAt) - upAt - 1) * fast;
        if (n > backAt) at += samplePoint * fast + (1 - samplePoint + n - backAt - 1) * bitPicos;
        return anchorPicos + Math.round(at);
    }
}
