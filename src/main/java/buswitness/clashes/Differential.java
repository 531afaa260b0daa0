package buswitness.clashes;

import buswitness.clashes.Alternative.Standing;
import buswitness.clashes.Timing.Relation;
import buswitness.frames.FrameFault;
import buswitness.senders.MessageTiming;
import buswitness.senders.Shared;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.List;

/**
 * What else could explain an unusual message: every innocent cause we know, each with the figure that excludes it,
 * finds
 * it, or leaves it open. A message without anything unusual gets an empty list.
 */
final class Differential {
    private static final double JUMPY = 0.05;

    private final Judgement judgement;
    private final MessageView view;
    private final PairFinding pair;
    private final BusFacts bus;
    /** Null where it does not fall silent together with others. */
    private final SharedStops stops;
    private final List<Alternative> rows = new ArrayList<>();

    private Differential(Judgement judgement, BusFacts bus, SharedStops stops) {
        this.stops = stops;
        this.judgement = judgement;
        this.view = judgement.view;
        this.pair = judgement.rivals;
        this.bus = bus;
    }

    static List<Alternative> of(Judgement judgement, BusFacts bus, List<SharedStops> silences) {
        SharedStops stops = silences.stream().filter(s -> s.keys().contains(judgement.view.key)).findFirst().orElse(null);
        MessageTiming timing = judgement.view.timing;
        boolean unusual = stops != null || Pages.find(judgement.view).width() > 0 || judgement.view.shared != null
                || judgement.rivals != null || judgement.view.damagedCount > 0
                || timing != null && (timing.restarts() > 0 || timing.splitGaps() > 0);
        return unusual ? new Differential(judgement, bus, stops).all() : List.of();
    }

    /** Names the design by which several nodes send a message; null where there is none. */
    static String byDesign(Shared shared) {
        if (shared == null) return null;
        return switch (shared) {
            case EVENT_TRIGGERED -> MessageFinding.EVENT_TRIGGERED;
            case DIAGNOSIS -> "answer to diagnosis";
        };
    }

    /** What a header that several nodes answer by design shows. */
    private void shared() {
        int nodes = view.tracks.size();
        if (view.shared == Shared.DIAGNOSIS) {
            add("nodes that answer diagnosis each when it is asked", two() ? Standing.POSSIBLE : Standing.FOUND, Say.text(
                    "Each names itself in the first byte; %d address%s heard.", addresses(), addresses() == 1 ? "" : "es"));
            return;
        }
        int unanswered = 0;
        for (int i = 0; i < view.log.size(); i++) {
            if (view.log.key(i) == view.key && view.log.fault(i) == FrameFault.NO_RESPONSE) unanswered++;
        }
        add("an event-triggered frame, which several nodes answer by design", Standing.FOUND, Say.text(
                "Whoever has news answers and names its own frame in the first byte: %d node%s did, %d times in all; %d"
                        + " headers stayed without an answer, in %d answers lay one over the other, and the master asks"
                        + " each node by its own header then.", nodes, nodes == 1 ? "" : "s", view.wholeCount, unanswered,
                view.damagedCount));
    }

    private int addresses() {
        java.util.Set<Integer> known = new java.util.TreeSet<>();
        for (int i = 0; i < view.wholeCount; i++) known.add(view.log.dataByte(view.whole[i], 0));
        return known.size();
    }

    private List<Alternative> all() {
        if (view.shared != null) shared();
        if (view.shared == Shared.EVENT_TRIGGERED) return rows;
        if (pair != null) {
            tasks();
            onChange();
            delayLoop();
            gateway();
            replaced();
            pages();
            ownReading();
        } else {
            ownPages();
        }
        restarts();
        if (view.damagedCount > 0) {
            if (view.meant.breaksFrames()) marginalBit();
            if (view.meant.isAcknowledged()) noAcknowledge();
            if (view.meant.isOfBytes()) farOffClock();
            interference();
        }
        missing();
        return rows;
    }

    private void add(String explanation, Standing standing, String because) {
        rows.add(new Alternative(explanation, standing, because));
    }

    private boolean two() {
        return judgement.verdict == Verdict.TWO_SENDERS;
    }

    /** What stands where the timing alone leaves a cause open: other evidence may close it. */
    private Standing open() {
        return two() ? Standing.EXCLUDED : Standing.POSSIBLE;
    }

    private String closedBy() {
        if (!two()) return " Nothing here excludes it.";
        if (judgement.headOn != null && judgement.headOn.conclusive()) {
            return " The head-on collisions exclude it: one node cannot break its own frame.";
        }
        return Say.text(" Excluded by the other evidence: %s.", kinds());
    }

    private String kinds() {
        List<String> names = new ArrayList<>();
        for (Evidence e : judgement.evidence) {
            if (e.strength() >= Strength.STRONG) names.add(Say.text("%s (strength %.1f)", e.kind().text(),
                    e.strength()));
        }
        return names.isEmpty() ? "none" : String.join(", ", names);
    }

    private void tasks() {
        Timing.Result timing = pair.timing();
        String name = "one node that sends it from several tasks";
        switch (timing.relation()) {
            case DRIFTING -> add(name, Standing.EXCLUDED, Double.isNaN(timing.driftPpm())
                    ? "Tasks of one timer keep periods in a simple ratio; these do not."
                    : Say.text("Tasks of one timer do not drift; these do, by %s.",
                            Say.ppm(timing.driftPpm(), timing.driftErrorPpm())));
            case IN_STEP -> add(name, two() ? Standing.EXCLUDED : Standing.FOUND, Say.text(
                    "The two schedules keep step within %s over %.0f s.%s",
                    Say.ppm(timing.driftPpm(), timing.driftErrorPpm()), timing.sideBySide(), two() ? closedBy() : ""));
            case UNRESOLVED -> add(name, open(), Double.isNaN(timing.driftErrorPpm())
                    ? Say.text("Over %.0f s their drift is not known.%s", timing.sideBySide(), closedBy())
                    : Say.text("Over %.0f s a drift of %s cannot be told from none.%s", timing.sideBySide(),
                    Say.ppm(timing.driftPpm(), timing.driftErrorPpm()), closedBy()));
            case PIECES -> add(name, open(), "Two combs of one period, and as many frames that fit neither: the"
                    + " schedule of"
                    + " this message was not understood." + closedBy());
            case ONE_COMB -> add(name, two() ? Standing.EXCLUDED : Standing.FOUND, Say.text(
                    "All its frames together make one schedule, one every %s.%s",
                    Say.period(view.regularity.gapSeconds()), two() ? closedBy() : ""));
            case COMB_AND_TASK_EVENTS -> add(name, two() ? Standing.EXCLUDED : Standing.FOUND,
                    "The extra frames lie on the task grid of the schedule." + (two() ? closedBy() : ""));
            default -> { }
        }
    }

    private void onChange() {
        Contents.Result contents = pair.contents();
        Relation relation = pair.timing().relation();
        boolean events = relation == Relation.COMB_AND_EVENTS || relation == Relation.COMB_AND_TASK_EVENTS
                || relation == Relation.INPUT_RHYTHM;
        if (!events) return;
        String name = "extra frames that one node sends on a change or an event";
        String figures = Say.text("Of %d extra frames that can be judged, %d carry what the schedule's own next"
                + " frame denies"
                + " and %d a new value that stays.", contents.asked(), contents.foreign(), contents.followed());
        if (two()) add(name, Standing.EXCLUDED, figures);
        else if (contents.foreign() <= 0.1 * Math.max(1, contents.asked())) add(name, Standing.FOUND, figures);
        else add(name, Standing.POSSIBLE, figures);
    }

    private void delayLoop() {
        if (pair.timing().relation() != Relation.DRIFTING) return;
        add("a delay loop, whose period is no oscillator's", open(),
                "Two timers may sit in one node where one of them is"
                + " a loop that waits after its work." + closedBy());
    }

    private void gateway() {
        Relation relation = pair.timing().relation();
        boolean extra = relation == Relation.COMB_AND_EVENTS || relation == Relation.INPUT_RHYTHM;
        if (relation != Relation.DRIFTING && !extra) return;
        Contents.Result contents = pair.contents();
        String name = "a gateway that forwards frames on another bus's timer";
        if (!two() && contents.followed() >= 3 && contents.foreign() <= 0.1 * contents.asked()) {
            add(name, Standing.POSSIBLE, Say.text("The values agree across both trains (%d changes followed).",
                    contents.followed()));
        } else {
            add(name, open(), Say.text("A forwarded value agrees with its source; here %d of %d frames disagree.%s",
                    contents.foreign(), contents.asked(), closedBy()));
        }
    }

    private void replaced() {
        boolean after = pair.timing().relation() == Relation.ONE_AFTER_THE_OTHER;
        Track a = pair.a();
        Track b = pair.b();
        String name = "a unit replaced by another, or a restart, while recording";
        if (after && stops != null && !two()) return;
        if (after) {
            Track first = a.fromSeconds() <= b.fromSeconds() ? a : b;
            Track second = first == a ? b : a;
            add(name, two() ? Standing.EXCLUDED : Standing.FOUND, Say.text(
                    "One schedule ends at %.3f s and the other begins at %.3f s; they never run together.",
                    first.untilSeconds(), second.fromSeconds()));
        } else if (pair.timing().sideBySide() > 0) {
            add(name, Standing.EXCLUDED, Say.text("Both trains run side by side for %.1f s.",
                    pair.timing().sideBySide()));
        }
    }

    private void restarts() {
        MessageTiming timing = view.timing;
        // Where a master asks, the jumps are the master's.
        if (timing == null || view.meant.isAsked()) return;
        int restarts = timing.restarts();
        if (restarts > 0 || stops != null) {
            String jumps = restarts == 0 ? "" : Say.text("%d jump%s of phase after which the same period goes on.", restarts,
                    restarts == 1 ? "" : "s");
            String silent = stops == null ? "" : stops.says(view.key);
            add("the sender restarts", two() ? Standing.POSSIBLE : Standing.FOUND, silent
                    + (silent.isEmpty() || jumps.isEmpty() ? "" : " ") + jumps
                    + (two() ? " It does not explain the second sender." : ""));
        } else if (pair != null) {
            add("the sender restarts", Standing.EXCLUDED, "No schedule of it jumps in phase.");
        }
    }

    private void pages() {
        Pages pages = pair.contents().pages();
        String name = "a payload with pages";
        if (pages.width() > 0) {
            add(name, Standing.FOUND, Say.text("Bits %d to %d of the payload select one of %d pages; frames"
                    + " were compared"
                    + " with frames of their own page only.", pages.first(), pages.first() + pages.width() - 1,
                    pages.pages()));
        } else if (pair.contents().foreign() > 0) {
            add(name, Standing.EXCLUDED, "No field of one train's frames selects what the rest of them shows.");
        }
    }

    /** Of a message that one train sends: values jump from frame to frame to whoever does not read them by page. */
    private void ownPages() {
        Pages pages = Pages.find(view);
        if (pages.width() == 0) return;
        String which = view.documented != null ? Say.text("Bits %d to %d of the payload select one of %d pages: what the"
                + " other bits say", pages.first(), pages.first() + pages.width() - 1, pages.pages())
                : Say.text("The payload has about %d contents in turn, as one with pages does: what it says", pages.pages());
        add("a payload with pages", two() ? Standing.POSSIBLE : Standing.FOUND, which + " jumps from frame to frame with the"
                + " page and is steady within it. A value belongs to its page.");
    }

    private void ownReading() {
        Contents.Result contents = pair.contents();
        if (Double.isNaN(contents.noise())) return;
        String figures = Say.text("Within single trains values jump and return in %.1f %% of frames, across"
                + " them in %s.",
                100 * contents.noise(), Say.share(contents.foreign(), contents.asked()));
        boolean jumps = contents.noise() > JUMPY;
        add("the sender's own reading jumps", !jumps ? Standing.EXCLUDED : two() ? Standing.POSSIBLE : Standing.FOUND,
                figures);
    }

    private void marginalBit() {
        String name = "a lone sender whose frame breaks at one marginal bit";
        // Of the few frames of one message some break at one bit by chance where all messages break everywhere.
        if (bus.disturbed() && judgement.headOn == null) return;
        if (judgement.loneMarginalBit) {
            int bit = judgement.bursts.stream().mapToInt(Burst::brokenAt).filter(b -> b >= 0).findFirst().orElse(-1);
            add(name, Standing.FOUND, Say.text("Its frames break again and again at bit %d, and no second"
                    + " payload was seen"
                    + " that differs first at that bit.", bit));
        } else if (judgement.headOn != null && judgement.headOn.conclusive()) {
            add(name, Standing.EXCLUDED, Say.text("The breaks follow the first difference of two payloads that"
                    + " were seen;"
                    + " %d break%s at such a bit without a second frame.", judgement.contradicting,
                    judgement.contradicting == 1 ? "" : "s"));
        } else if (judgement.headOn != null) {
            add(name, Standing.POSSIBLE, "Too few bursts to tell a marginal bit from a collision.");
        }
    }

    private void noAcknowledge() {
        String name = "nobody on the bus to acknowledge";
        if (view.unacknowledged == 0) {
            add(name, Standing.EXCLUDED, "No frame of it failed for want of an acknowledge.");
        } else {
            boolean all = view.unacknowledged > view.damagedCount / 2;
            add(name, all ? Standing.FOUND : Standing.POSSIBLE, Say.text(
                    "%s of its damaged frames were whole but nobody acknowledged them; a node alone on the bus"
                            + " repeats its"
                            + " frame without end.", Say.share(view.unacknowledged, view.damagedCount)));
        }
    }

    /** A byte is read on the clock of its own start bit, so that a far-off clock misreads a byte's last bits. */
    private void farOffClock() {
        String name = "one node whose clock is so far off that its bytes are misread";
        boolean conclusive = judgement.headOn != null && judgement.headOn.conclusive();
        add(name, conclusive ? Standing.EXCLUDED : open(), conclusive
                ? "It would damage the last bits of its own bytes; here the wire carries what two payloads make together."
                : "Damaged frames that are no superposition of two payloads seen whole leave it open." + closedBy());
    }

    private void interference() {
        String figures = Say.text("%d damaged frame%s on the whole bus, of %d message%s (%d could not be read), broken"
                + " at %d"
                + " place%s in the frame.", bus.damaged(), bus.damaged() == 1 ? "" : "s", bus.damagedMessages(),
                bus.damagedMessages() == 1 ? "" : "s", bus.unknownDamaged(), bus.breakBits(),
                bus.breakBits() == 1 ? "" : "s");
        add("interference", bus.disturbed() ? Standing.FOUND : two() ? Standing.EXCLUDED : Standing.POSSIBLE, figures);
    }

    private void missing() {
        if (bus.gaps().isEmpty()) {
            if (pair != null) add("gaps in the recording", Standing.EXCLUDED, "The recording has none.");
        } else {
            add("gaps in the recording", two() ? Standing.EXCLUDED : Standing.POSSIBLE, Say.text(
                    "%d gap%s, %.2f s in all; nothing was carried across them%s.", bus.gaps().size(),
                    bus.gaps().size() == 1 ? "" : "s", bus.gapSeconds(), two()
                            ? ", and the evidence lies between them" : ""));
        }
    }
}
