package buswitness.clashes;

import buswitness.clashes.Burst.Match;
import buswitness.clashes.ClashFindings.Answer;
import buswitness.frames.BusInfo;
import buswitness.frames.FrameLog;
import buswitness.frames.Gap;
import buswitness.schema.Layout;
import buswitness.senders.SenderFindings;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/** Weighs what a recording shows into a verdict on each message and on the bus. */
public final class Clashes {
    /** Shorter or emptier recordings than this cannot say that nothing is wrong. */
    private static final double SHORTEST_SECONDS = 2;
    private static final int FEWEST_FRAMES = 20;
    /** Transmit error counter at which a node turns passive, and what one error adds (Bosch 2012 clause 7). */
    private static final int PASSIVE = 128;
    private static final int ERROR_STEP = 8;

    private Clashes() {}

    /**
     * Judges every message.
     *
     * @param gaps   stretches that were not recorded, in time order
     * @param layout names of nodes, or null; what it documents is no evidence from the wire and never accuses
     */
    public static ClashFindings judge(FrameLog log, BusInfo bus, List<Gap> gaps, SenderFindings findings,
            Layout layout) {
        return judge(log, bus, gaps, findings, layout, List.of());
    }

    /** The same with recordings of the bus with one node unplugged each; they are evidence and name senders. */
    public static ClashFindings judge(FrameLog log, BusInfo bus, List<Gap> gaps, SenderFindings findings,
            Layout layout, List<Reference> references) {
        double bitSeconds = bus.wire() ? bus.bitPicos() * 1e-12 : Double.NaN;
        Meant meant = Meant.of(bus, layout);
        List<MessageView> views = MessageView.all(log, bitSeconds, findings, meant);
        // An identifier read only from damaged frames may itself be damage.
        // On LIN the master's header, protected by parity, names the message even where every answer is damaged.
        // On other buses of bytes so many damaged frames that begin alike are no chance either.
        // But one that never comes whole and comes again and again is a message that nobody read: it cannot be acquitted.
        boolean unread = views.stream().anyMatch(v -> v.wholeCount == 0 && v.unacknowledged == 0
                && v.damagedCount >= FEWEST_FRAMES);
        views.removeIf(v -> v.wholeCount == 0 && v.unacknowledged == 0
                && !(meant.isOfBytes() && Superposed.open(v) && (meant.isAsked() || v.damagedCount >= FEWEST_FRAMES)));
        MessageView.document(views, layout);
        WireMeans wire = bus.wire() ? WireMeans.learn(views, log, bus, findings) : null;
        LevelMeans levels = LevelMeans.learn(views, log, findings);
        for (MessageView view : views) view.levels = levels;
        HeadOn headOn = bus.wire() && meant.breaksFrames() ? new HeadOn(log, bus, meant) : null;
        BusFacts facts = BusFacts.of(log, bus, gaps);
        List<Judgement> judgements = new ArrayList<>();
        List<List<Burst>> bursts = new ArrayList<>();
        for (MessageView view : views) bursts.add(headOn == null ? List.of() : headOn.bursts(view));
        Unplugged unplugged = new Unplugged(references, views, bus);
        Judgement.Stray stray = Judgement.Stray.of(bursts);
        for (int i = 0; i < views.size(); i++) {
            judgements.add(Judgement.of(views.get(i), bursts.get(i), wire, stray, views.size(), unplugged));
        }
        List<SharedStops> silences = SharedStops.of(views, facts);
        Attribution attribution = new Attribution(log, bitSeconds, findings, wire, judgements, silences, layout,
                unplugged.namesOfGroups(judgements), unplugged.namesOfTracks(judgements));
        List<MessageFinding> messages = new ArrayList<>();
        List<Collision> collisions = new ArrayList<>();
        for (Judgement j : judgements) {
            messages.add(new MessageFinding(j.view.key, j.view.wholeCount, j.view.damagedCount, attribution.senders(j),
                    j.verdict, j.strength, attribution.schedules(j), j.evidence, Differential.of(j, facts, silences),
                    j.verdict == Verdict.UNDECIDED ? Wanted.of(j, bus) : null, j.ablation,
                    Differential.byDesign(j.view.shared)));
            collisions.addAll(collisions(j, attribution));
        }
        collisions.sort(Comparator.comparingDouble(Collision::atSeconds));
        return new ClashFindings(answer(log, bus, judgements, unread), attribution.senders, messages, collisions,
                attribution.senderOf, attribution.confidence, unplugged.findings(judgements, attribution));
    }

    private static Answer answer(FrameLog log, BusInfo bus, List<Judgement> judgements, boolean unread) {
        boolean open = false;
        for (Judgement j : judgements) {
            if (j.verdict == Verdict.TWO_SENDERS) return Answer.YES;
            open |= j.verdict == Verdict.UNDECIDED;
        }
        // A frame that nobody acknowledges proves that nobody else is there to send.
        boolean alone = log.wholeCount() == 0
                && judgements.stream().anyMatch(j -> j.view.unacknowledged >= FEWEST_FRAMES);
        if (alone) return Answer.NO;
        boolean tooLittle = log.wholeCount() < FEWEST_FRAMES || bus.durationPicos() * 1e-12 < SHORTEST_SECONDS;
        return open || tooLittle || unread ? Answer.UNDECIDED : Answer.NO;
    }

    private static List<Collision> collisions(Judgement j, Attribution attribution) {
        boolean conclusive = j.verdict == Verdict.TWO_SENDERS;
        List<Collision> all = new ArrayList<>();
        if (j.verdict == Verdict.ONE_SENDER) return all;
        for (Signature.Meeting m : j.signature.meetings()) {
            all.add(new Collision(m.atSeconds(), m.untilSeconds(), j.view.key, m.bit(), m.frames(), m.first(), m.second(),
                    m.onWire(), attribution.senderOfTrack(m.firstTrack()), attribution.senderOfTrack(m.secondTrack()), 0,
                    conclusive, m.because(), j.signature.kind()));
        }
        for (Burst b : j.bursts) {
            if (!Judgement.fits(b)) continue;
            Match m = b.match();
            int counter = !j.view.meant.isCan() ? 0 : Math.min(PASSIVE, ERROR_STEP * b.frames().size());
            String because = Say.text("Broken at bit %d, the first where the payloads of the frames at %.4f s"
                    + " and %.4f s"
                            + " differ; dominant on the wire; %s; so in %d of %d frames.",
                    m.breakBit(), j.view.log.startSeconds(m.dominantFrame()),
                            j.view.log.startSeconds(m.recessiveFrame()),
                    m.fast() ? "that bit goes at the data rate, the error flag right behind it at the nominal rate"
                            : Say.text("error flag from bit %d on", m.breakBit() + 1), m.fits(), b.frames().size());
            all.add(new Collision(b.fromSeconds(), b.untilSeconds(), j.view.key, m.breakBit(), b.frames(),
                    j.view.meantFromStart(m.dominantFrame()), j.view.meantFromStart(m.recessiveFrame()), b.onWire(),
                    attribution.senderOfTrack(m.dominantTrack()), attribution.senderOfTrack(m.recessiveTrack()),
                            counter,
                    conclusive, because));
        }
        return all;
    }
}
