package buswitness.predict;

import buswitness.frames.MessageKey;
import buswitness.predict.Tried.Reader;
import buswitness.problem.Progress;
import buswitness.schema.Fitting;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Message;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/** Tries each remedy in the simulator and ranks them. */
final class Trials {
    private final SharedBus bus;
    private final PredictOptions options;
    private final Progress progress;
    private PredictOptions.Trial trial;

    private Trials(SharedBus bus, PredictOptions options, Progress progress) {
        this.bus = bus;
        this.options = options;
        this.progress = progress;
    }

    /** Best first: clashes left, instruments served, readers that lose, effort and risk together; what cannot be done comes last. */
    static List<Tried> of(SharedBus bus, PredictOptions options, Progress progress) {
        return new Trials(bus, options, progress).all();
    }

    private record Result(Candidate candidate, Tried tried) {}

    private List<Tried> all() {
        List<Candidate> candidates = Candidates.of(bus);
        double framesPerSecond = bus.streams().stream().mapToDouble(s -> 1 / s.message().everySeconds())
                .filter(f -> f > 0).sum();
        trial = options.trial(candidates.size(), framesPerSecond);
        List<Result> results = new ArrayList<>();
        for (Candidate c : candidates) {
            progress.at("trying remedies", results.size(), candidates.size());
            results.add(new Result(c, attempt(c)));
        }
        results.sort(Comparator.comparing(Result::tried, RANK));
        Result together = together(results);
        if (together != null) results.add(together);
        return results.stream().map(Result::tried).sorted(RANK).toList();
    }

    static final Comparator<Tried> RANK = Comparator.comparing((Tried t) -> Boolean.FALSE.equals(t.possible()))
            .thenComparingInt(Tried::clashesLeft).thenComparing(Comparator.comparingInt(Tried::served).reversed())
            .thenComparingInt(t -> t.losing().size() + t.following().size()).thenComparingInt(t -> t.effort() + t.risk())
            .thenComparingInt(Tried::risk);

    private Tried attempt(Candidate c) {
        SharedBus after = c.after().bus();
        List<Drive> drives = new ArrayList<>();
        List<Drive> behind = new ArrayList<>();
        List<Long> clashes = after.clashing();
        for (int i = 0; i < trial.drives(); i++) {
            DriveSetup.Meet meet = i % 2 == 0 || clashes.isEmpty() ? DriveSetup.Meet.BY_CHANCE
                    : new DriveSetup.Meet(clashes.get(i / 2 % clashes.size()), false);
            drives.add(Drive.take(c.after(), options.seed() + i, trial.seconds(), meet));
        }
        if (c.behind() != null) {
            behind.add(Drive.take(c.behind(), options.seed(), trial.seconds(), DriveSetup.Meet.BY_CHANCE));
        }
        Set<Long> left = new LinkedHashSet<>();
        for (Drive d : drives) left.addAll(d.log().clashing());
        for (Drive d : behind) left.addAll(d.log().clashing());
        List<Reader> losing = new ArrayList<>();
        List<Reader> following = new ArrayList<>();
        readers(c, losing, following);
        List<String> starved = losing.stream().map(Reader::node).toList();
        List<String> unserved = new ArrayList<>();
        List<String> lit = new ArrayList<>();
        for (Instrument i : bus.instruments()) {
            Supply supply = Supplies.of(after, i);
            // A node that no longer hears what it reads cannot be trusted to pass it on.
            boolean one = supply.kind() == Supply.Kind.WIRE || supply.kind() == Supply.Kind.ONE
                    && Outlooks.behaves(after, i, drives) && !starved.contains(supply.carriers().get(0));
            if (!one) unserved.add(i.name());
            if (Outlooks.litThroughout(after, i, drives)) lit.add(i.name());
        }
        Spread damaged = Spread.of(drives.stream().mapToDouble(d -> d.log().damaged()).toArray());
        return new Tried(c.steps(), bus.clashing().size(), left.size(), damaged,
                bus.instruments().size() - unserved.size(), bus.instruments().size(), unserved, lit, losing, following,
                c.effort(), c.risk(), c.possible(), drives.size() + behind.size(), trial.seconds());
    }

    /** Readers that had what they read before and have it no more, or only under another identifier. */
    private void readers(Candidate c, List<Reader> losing, List<Reader> following) {
        Set<String> seen = new LinkedHashSet<>();
        for (SharedBus.Described wanted : bus.needs()) {
            Message m = wanted.message();
            long key = MessageKey.of(m);
            for (String reader : m.readBy()) {
                if (!c.after().bus().nodes().contains(reader)) continue;
                if (served(bus.streams(), key, m).isEmpty() || !seen.add(reader + "\n" + key + "\n" + m.name())) {
                    continue;
                }
                boolean apart = c.behind() != null && c.after().passedOn().contains(reader);
                if (!served((apart ? c.behind() : c.after()).bus().streams(), key, m).isEmpty()) continue;
                boolean moved = c.moved().stream().anyMatch(s -> s.key() == key && gives(s.message(), m));
                (moved ? following : losing).add(new Reader(reader, key, m.name()));
            }
        }
    }

    private static List<Stream> served(List<Stream> streams, long key, Message wanted) {
        return streams.stream().filter(s -> s.key() == key && gives(s.message(), wanted)).toList();
    }

    /** It carries at least one of the values wanted, or nothing is said of values. */
    private static boolean gives(Message sent, Message wanted) {
        if (sent.carries().isEmpty() || wanted.carries().isEmpty()) return true;
        return sent.carries().stream().anyMatch(s -> wanted.carries().stream().anyMatch(w -> Meaning.same(s, w)));
    }

    /** The best remedy for the clash, and a wire for each lamp that it leaves dark where the layouts offer one. */
    private Result together(List<Result> ranked) {
        Result best = null;
        for (Result r : ranked) {
            boolean bus = r.tried().steps().stream().noneMatch(s -> s.kind() == Tried.Kind.WIRE
                    || s.kind() == Tried.Kind.PROTECTION);
            if (bus && best == null && r.tried().clashesLeft() == 0
                    && !Boolean.FALSE.equals(r.tried().possible())) best = r;
        }
        if (best == null) return null;
        Candidate c = best.candidate();
        List<Tried.Step> steps = new ArrayList<>(c.steps());
        SharedBus after = c.after().bus();
        for (Instrument i : bus.instruments()) {
            Fitting.Wire wire = bus.wires().get(i.name());
            boolean offered = wire != null && !wire.fitted() && i instanceof Lamp;
            if (!offered || !best.tried().unserved().contains(i.name())) continue;
            steps.add(new Tried.Step(Tried.Kind.WIRE, "", List.of(), List.of(), i.name(), wire.from()));
            after = Candidates.wired(after, i.name());
        }
        if (steps.size() == c.steps().size()) return null;
        Candidate both = new Candidate(steps, new Segment(after, c.after().passedOn()), c.behind(), c.moved(),
                Math.min(5, Math.max(c.effort(), 3)), Math.max(c.risk(), 2), c.possible());
        return new Result(both, attempt(both));
    }
}
