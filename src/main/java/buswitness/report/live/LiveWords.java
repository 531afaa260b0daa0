package buswitness.report.live;

import buswitness.clashes.ClashFindings.Answer;
import buswitness.clashes.Verdict;
import buswitness.frames.MessageKey;
import buswitness.instruments.Cause;
import buswitness.live.LiveState;
import buswitness.live.LiveState.Earlier;
import buswitness.live.LiveState.InstrumentNow;
import buswitness.live.LiveState.Judgement;
import buswitness.live.LiveState.MessageNow;
import buswitness.live.LiveState.SenderNow;
import buswitness.report.parts.Figures;
import buswitness.report.parts.FindingWords;
import buswitness.report.parts.PlainText;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/** What a live state says, in the same words for the terminal and the page. */
final class LiveWords {
    private static final double SILENT_SECONDS = 2;
    private static final double PROBE_SILENT_SECONDS = 2;
    private static final double NEARLY_FULL = 0.8;
    private static final double BEHIND_SECONDS = 2;

    private final LiveState state;
    private final Judgement judged;

    LiveWords(LiveState state) {
        this.state = state;
        this.judged = state.judgement();
    }

    /** {@code yes}, {@code no} or {@code undecided}. */
    String tone() {
        if (judged == null) return "undecided";
        if (judged.clash() == Answer.YES || !judged.earlier().isEmpty()) return "yes";
        return judged.clash() == Answer.NO ? "no" : "undecided";
    }

    String headline() {
        if (state.phase() == LiveState.Phase.WAITING) return "Waiting for the probe to speak.";
        if (judged == null) {
            return state.phase() == LiveState.Phase.NO_RATE ? "Listening; the bit rate is not known yet."
                    : "Listening; nothing is judged yet.";
        }
        return switch (judged.clash()) {
            case YES -> "Two senders clash: " + Figures.list(of(Verdict.TWO_SENDERS).stream().map(LiveWords::message)
                    .toList(), 3) + ".";
            case NO -> judged.earlier().isEmpty() ? "No clash so far." : proven("none since");
            case UNDECIDED -> judged.earlier().isEmpty() ? "Not settled yet; nobody is accused."
                    : proven("not settled since");
        };
    }

    /** A clash that was proven stays so, however long ago. */
    private String proven(String since) {
        List<Earlier> all = judged.earlier();
        return "Two senders clash: " + Figures.list(all.stream().map(e -> message(e.key(), e.name())).toList(), 3)
                + "; last seen at " + time(all.get(0).untilSeconds()) + ", " + since + ".";
    }

    /** How sure, and what it rests on. */
    List<String> plain() {
        List<String> out = new ArrayList<>();
        if (judged == null) return out;
        List<MessageNow> two = of(Verdict.TWO_SENDERS);
        List<MessageNow> open = of(Verdict.UNDECIDED);
        if (!two.isEmpty()) {
            double most = two.stream().mapToDouble(MessageNow::strength).max().orElse(Double.NaN);
            out.add("How sure: evidence " + FindingWords.strength(most) + ".");
        }
        if (!open.isEmpty()) {
            out.add("Not settled for " + Figures.list(open.stream().map(LiveWords::message).toList(), 4)
                    + ": one sender or two. More time may tell.");
        }
        if (judged.clash() == Answer.NO) {
            out.add((judged.earlier().isEmpty() ? "Each" : "In the frames judged last each") + " of the "
                    + Figures.count(judged.messages().size(), "message", "messages")
                    + " has one sender. A node that is silent now cannot be found.");
        }
        for (Earlier e : judged.earlier().subList(0, Math.min(3, judged.earlier().size()))) {
            out.add("Proven earlier: two senders on " + message(e.key(), e.name()) + ", last seen at "
                    + time(e.untilSeconds()) + ", " + Figures.span(Math.floor(Math.max(0, state.nowSeconds() - e.untilSeconds())))
                    + " ago (evidence " + FindingWords.strength(e.strength()) + ").");
        }
        return out;
    }

    /** What was judged and when. */
    String basis() {
        if (judged == null) return "";
        double ago = Math.max(0, state.nowSeconds() - judged.untilSeconds());
        return "Judged over " + (judged.fromSeconds() > 0 ? "the last " : "the first ")
                + Figures.span(judged.untilSeconds() - judged.fromSeconds()) + " ("
                + Figures.count(judged.frames(), "frame", "frames") + "), "
                + (state.phase() == LiveState.Phase.ENDED && ago < 1 ? "to the end" : Figures.short3(Math.round(ago))
                + "\u00A0s ago") + ". Run prove on the recording for the whole report.";
    }

    private List<MessageNow> of(Verdict verdict) {
        return judged.messages().stream().filter(m -> m.verdict() == verdict)
                .sorted(Comparator.comparingDouble(MessageNow::strength).reversed()).toList();
    }

    /** Clashing first, then undecided, then the rest. */
    List<MessageNow> messages() {
        if (judged == null) return List.of();
        List<MessageNow> out = new ArrayList<>(of(Verdict.TWO_SENDERS));
        out.addAll(of(Verdict.UNDECIDED));
        judged.messages().stream().filter(m -> m.verdict() == Verdict.ONE_SENDER).forEach(out::add);
        return out;
    }

    List<SenderNow> senders() {
        return judged == null ? List.of() : judged.senders();
    }

    static String message(MessageNow m) {
        return message(m.key(), m.name());
    }

    static String sure(MessageNow m) {
        return m.verdict() == Verdict.ONE_SENDER && Math.abs(m.strength()) < 1 ? "nothing speaks for a second one"
                : FindingWords.strength(m.strength());
    }

    private static String message(long key, String name) {
        return name == null || name.isBlank() ? MessageKey.text(key) : PlainText.name(name) + " ("
                + MessageKey.text(key) + ")";
    }

    /** The messages of a sender. */
    String sends(SenderNow s) {
        return Figures.list(s.keys().stream().map(key -> judged.messages().stream().filter(m -> m.key() == key)
                .findFirst().map(LiveWords::message).orElse(MessageKey.text(key))).toList(), 6);
    }

    static String sender(SenderNow s) {
        return s.name() == null ? s.label() : s.label() + " (" + PlainText.name(s.name()) + ")";
    }

    static String clock(SenderNow s) {
        return Double.isNaN(s.clockPpm()) ? "unknown" : Figures.withError(s.clockPpm(), s.clockPpmError(), true)
                + "\u00A0ppm";
    }

    /** Whether nothing is heard of the line now: what is shown is then as it was. */
    private boolean isBlind() {
        return state.phase() != LiveState.Phase.ENDED && (!state.recorder().connected()
                || state.recorder().silentSeconds() > PROBE_SILENT_SECONDS);
    }

    boolean silent(SenderNow s) {
        return !isBlind() && s.silentSeconds() > SILENT_SECONDS;
    }

    String heard(SenderNow s) {
        if (isBlind()) return "not known now";
        if (Double.isNaN(s.silentSeconds())) return "shares every message";
        if (!silent(s)) return "heard now";
        return "silent for " + Figures.span(Math.floor(s.silentSeconds()));
    }

    static String instrument(InstrumentNow i) {
        return PlainText.capital(PlainText.name(i.name())) + " " + FindingWords.symptom(i.symptom(), i.lamp())
                + (i.cause() == Cause.UNDECIDED ? "; the cause is not settled yet" : FindingWords.why(i.cause())) + ".";
    }

    List<String> instruments() {
        return judged == null ? List.of() : judged.instruments().stream().map(LiveWords::instrument).toList();
    }

    /** Damaged frames in the last whole second; -1 where it was not recorded. */
    int damagedNow() {
        if (isBlind()) return -1;
        int[] d = state.seconds().damaged();
        return d.length < 2 ? d.length == 0 ? 0 : d[0] : d[d.length - 2] < 0 ? -1 : Math.max(d[d.length - 2], d[d.length - 1]);
    }

    /** Whole frames in it; -1 where nothing is heard of the line. */
    int wholeNow() {
        if (isBlind()) return -1;
        int[] w = state.seconds().whole();
        return w.length < 2 ? w.length == 0 ? 0 : w[0] : w[w.length - 2];
    }

    String load() {
        float[] load = state.seconds().load();
        return load.length == 0 || isBlind() ? "unknown" : Figures.percent(load[Math.max(0, load.length - 2)]);
    }

    String bus() {
        if (Double.isNaN(state.bitsPerSecond())) return "bit rate not known yet";
        return state.coding().toUpperCase(Locale.ROOT) + " at " + Figures.rate(state.bitsPerSecond());
    }

    /** What the person at the bench should know about the recording and this view. */
    List<String> warnings() {
        List<String> out = new ArrayList<>();
        if (state.phase() == LiveState.Phase.ENDED) out.add("The recording has ended.");
        else if (!state.recorder().connected()) {
            out.add("The port is gone. The recording goes on when it comes back; a gap stays.");
        } else if (isBlind()) {
            out.add("Nothing has come from the probe for " + Figures.span(Math.floor(state.recorder().silentSeconds()))
                    + ": check its supply and its plug. What is shown is as it was; a gap stays.");
        }
        if (state.recorder().portShare() > NEARLY_FULL) {
            out.add("The port is " + Figures.percent(state.recorder().portShare())
                    + " full: beyond that the probe misses changes.");
        }
        if (state.behind().changes() > 0) {
            out.add("This computer cannot keep up: " + Figures.count(state.behind().changes(), "level change was",
                    "level changes were") + " not looked at here. The recording itself is whole.");
        } else if (state.behind().waiting() > BEHIND_SECONDS) {
            out.add("This view is " + Figures.short3(state.behind().waiting()) + "\u00A0s behind the bus; the recording"
                    + " is not.");
        }
        if (judged != null && judged.failed() != null) {
            out.add("The last judgement failed (" + judged.failed() + ", a fault of ours); the recording is not affected.");
        }
        return out;
    }

    /** How the recording fares, one line. */
    String recorder() {
        String port = Double.isNaN(state.recorder().portShare()) ? "" : "port " + Figures.percent(state.recorder()
                .portShare()) + " full, ";
        return port + Figures.count(state.recorder().gaps(), "gap", "gaps") + ", "
                + Figures.count(state.recorder().lostBlocks(), "block", "blocks") + " lost";
    }

    /** {@code 0:04:12}. */
    static String time(double seconds) {
        long s = (long) Math.floor(seconds);
        return String.format(Locale.ROOT, "%d:%02d:%02d", s / 3600, s / 60 % 60, s % 60);
    }
}
