package buswitness.predict;

import buswitness.problem.Progress;
import buswitness.schema.Layout;
import java.util.ArrayList;
import java.util.List;

/** Foretells what happens when the nodes of several layouts share one bus: the package's front door. */
public final class Predictions {
    /** Two schedules that meet pass each other in a few seconds. */
    private static final double MEETING_SECONDS = 20;

    private Predictions() {}

    /**
     * @param layouts one or more; what the dashboard needs and what each node sends
     * @throws buswitness.problem.InputFault where they cannot be put together
     */
    public static Forecast of(List<Layout> layouts, PredictOptions options, Progress progress) {
        if (layouts.isEmpty()) throw new IllegalArgumentException("no layout");
        Merging.Merged merged = Merging.merge(layouts);
        SharedBus bus = merged.bus();
        List<String> sources = layouts.stream().map(Layout::source).toList();
        List<Supply> supplies = Supplies.of(bus);
        String notSimulated = notSimulated(bus, merged.conflicts());
        if (!notSimulated.isEmpty()) {
            return new Forecast(bus, sources, options, merged.conflicts(), supplies, OnPaper.load(bus),
                    OnPaper.responses(bus), notSimulated, bus.nodes(), List.of(), List.of(), List.of(), List.of());
        }
        Segment all = Segment.whole(bus);
        List<Drive> ordinary = new ArrayList<>();
        for (int i = 0; i < options.drives(); i++) {
            progress.at("simulating drives", i, options.drives());
            ordinary.add(Drive.take(all, options.seed() + i, options.seconds(), DriveSetup.Meet.BY_CHANCE));
        }
        List<Long> clashing = bus.clashing();
        List<Drive> arranged = new ArrayList<>();
        // Where a master asks, two that answer meet in every slot of theirs, in ordinary drives as well.
        int each = clashing.isEmpty() || MasterTable.rules(bus) ? 0 : Math.max(2, 2 * options.drives() / clashing.size());
        for (int i = 0; i < each * clashing.size(); i++) {
            progress.at("letting schedules meet", i, each * clashing.size());
            // Two thirds as nodes are, for the chance; one third in the very same bit, for what follows.
            boolean exact = i / clashing.size() % 3 == 1;
            arranged.add(Drive.take(all, options.seed() + i, Math.min(options.seconds(), MEETING_SECONDS),
                    new DriveSetup.Meet(clashing.get(i % clashing.size()), exact)));
        }
        boolean needs = !clashing.isEmpty() || supplies.stream().anyMatch(Supply::missing);
        List<Tried> remedies = needs ? Trials.of(bus, options, progress) : List.of();
        return new Forecast(bus, sources, options, merged.conflicts(), supplies, OnPaper.load(bus),
                OnPaper.responses(bus), "", all.nodes(), Outlooks.instruments(bus, ordinary),
                Outlooks.protections(bus, ordinary), Meetings.of(bus, options.seed(), ordinary, arranged), remedies);
    }

    private static String notSimulated(SharedBus bus, List<Conflict> conflicts) {
        for (Conflict c : conflicts) {
            if (c.kind() == Conflict.Kind.RATE || c.kind() == Conflict.Kind.CODING) {
                return "the layouts name " + c.kind().text() + ", so these nodes cannot share one pair of wires";
            }
        }
        if (!OnPaper.isCan(bus) && bus.format() == null) return "a forecast does not simulate " + bus.coding();
        if (MasterTable.rules(bus) && MasterTable.of(bus).most() > 1) {
            return "no master's schedule holds all these messages at their periods";
        }
        for (Stream s : bus.streams()) {
            if (Double.isNaN(s.message().everySeconds()) && !s.message().onEvent()) {
                return "no layout says how often " + s.node() + " sends '" + s.message().name() + "' ('every')";
            }
        }
        if (bus.streams().isEmpty()) return "no layout says that a node sends a message ('from')";
        return "";
    }
}
