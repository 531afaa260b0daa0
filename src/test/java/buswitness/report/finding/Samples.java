package buswitness.report.finding;

import buswitness.Findings;
import buswitness.capture.RecordingInfo;
import buswitness.clashes.Ablated;
import buswitness.clashes.Alternative;
import buswitness.clashes.Alternative.Standing;
import buswitness.clashes.ClashFindings;
import buswitness.clashes.Collision;
import buswitness.clashes.Evidence;
import buswitness.clashes.MessageFinding;
import buswitness.clashes.Schedule;
import buswitness.clashes.Sender;
import buswitness.clashes.Verdict;
import buswitness.frames.BusInfo;
import buswitness.frames.Gap;
import buswitness.instruments.Cause;
import buswitness.instruments.InstrumentFinding;
import buswitness.instruments.InstrumentFindings;
import buswitness.instruments.Symptom;
import buswitness.problem.Notice;
import buswitness.problem.Place;
import buswitness.schema.Gauge;
import buswitness.schema.Lamp;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Signal;
import buswitness.senders.ClockGroup;
import buswitness.senders.SenderFindings;
import buswitness.senders.Track;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/** Findings made by hand, so that the report is tested apart from the analysis. */
final class Samples {
    static final String HOSTILE = "\"><script>document.title='owned'</script>' \u202Elegip\u200F & co";
    private static final String HASH = "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08";

    private Samples() {}

    /** Two senders on two messages, two bursts of collisions, a gauge and a lamp that flap. */
    static Findings clash() {
        return clash(40, "engine unit", "coolant gauge");
    }

    static Findings clash(double seconds, String node, String gauge) {
        return build(seconds, new SampleBus(seconds, true, 12.31, 12.41), layout(node, gauge), Verdict.TWO_SENDERS);
    }

    static Findings noLayout() {
        return build(40, new SampleBus(40, true, 12.31), null, Verdict.TWO_SENDERS);
    }

    static Findings calm() {
        return build(40, new SampleBus(40, false), layout("engine unit", "coolant gauge"), Verdict.ONE_SENDER);
    }

    static Findings undecided() {
        return build(8, new SampleBus(8, true), layout("engine unit", "coolant gauge"), Verdict.UNDECIDED);
    }

    static Findings hostile() {
        return clash(40, HOSTILE, HOSTILE);
    }

    private static Findings build(double seconds, SampleBus bus, Layout layout, Verdict verdict) {
        RecordingInfo recording = new RecordingInfo("captures/van-two-senders.log", "bit-timed log", HASH, 1e6,
                List.of("bus"), List.of());
        BusInfo info = new BusInfo("can", 125_000, 0.9999, false, 1, 0.0912, 135_174, 3, true,
                Math.round(seconds * 1e12));
        boolean two = verdict == Verdict.TWO_SENDERS;
        int[] sender = bus.senders();
        float[] sure = new float[sender.length];
        Arrays.fill(sure, 0.999f);
        List<Sender> senders = new ArrayList<>();
        String first = layout == null ? null : layout.nodes().get(0);
        senders.add(new Sender("A", first, 41.9, 0.21, List.of(SampleBus.ENGINE_STATE, SampleBus.ENGINE_SPEED,
                SampleBus.FUEL)));
        senders.add(new Sender("B", layout == null ? null : "gauge translator", -33.2, 0.19,
                two ? List.of(SampleBus.ENGINE_STATE, SampleBus.ENGINE_SPEED) : List.of()));
        senders.add(new Sender("C", null, 2.4, 1.3, List.of(SampleBus.DOORS)));
        List<MessageFinding> messages = List.of(message(SampleBus.ENGINE_STATE, verdict, seconds),
                message(SampleBus.ENGINE_SPEED, verdict, seconds),
                message(SampleBus.FUEL, Verdict.ONE_SENDER, seconds),
                message(SampleBus.DOORS, Verdict.ONE_SENDER, seconds));
        ClashFindings.Answer answer = two ? ClashFindings.Answer.YES : verdict == Verdict.UNDECIDED
                ? ClashFindings.Answer.UNDECIDED : ClashFindings.Answer.NO;
        ClashFindings clashes = new ClashFindings(answer, senders, messages, collisions(bus), sender, sure);
        SenderFindings trains = new SenderFindings(tracks(seconds, two), groups(), List.of(), trackOf(bus), sure);
        InstrumentFindings shown = layout == null ? new InstrumentFindings(List.of())
                : new InstrumentFindings(instruments(bus, layout, two));
        return new Findings(recording, "", layout, info, bus.log,
                two ? List.of() : List.of(new Gap(3_000_000_000_000L, 3_200_000_000_000L, "block 7 is damaged")),
                trains, clashes, shown, List.of(new Notice(Place.bytes("van.rec", 4711), "block 7 is damaged")), 1);
    }

    static MessageFinding message(long key, Verdict verdict, double seconds) {
        int own = (int) (seconds / (key == SampleBus.DOORS ? 0.5 : key == SampleBus.FUEL ? 0.2 : 0.1));
        int home = key == SampleBus.DOORS ? 2 : 0;
        if (verdict == Verdict.ONE_SENDER) {
            return new MessageFinding(key, own, 0, List.of(home), verdict, -12.5,
                    List.of(new Schedule(home, 0, seconds / own, 1e-8, own)),
                    List.of(new Evidence(Evidence.Kind.SCHEDULE, "One comb holds all frames.", -12.5, 0, seconds, own,
                            false)), List.of(), null);
        }
        boolean two = verdict == Verdict.TWO_SENDERS;
        List<Schedule> schedules = List.of(new Schedule(two ? 0 : -1, 0, SampleBus.PERIOD_A, 1.2e-8, own),
                new Schedule(two ? 1 : -1, 1, SampleBus.PERIOD_B, 1.1e-8, own));
        List<Evidence> evidence = List.of(
                new Evidence(Evidence.Kind.SCHEDULE, "Two schedules of 100.0042 ms and 99.9967 ms drift apart by"
                        + " 75.1 ± 0.3 ppm.", 42, 0, seconds, 2 * own, false),
                new Evidence(Evidence.Kind.HEAD_ON, "32 frames break at bit 20, the first bit where the payloads"
                        + " differ.", 18, 12.31, 12.42, 32, true),
                new Evidence(Evidence.Kind.PAYLOAD, "On each schedule the old value returns.", 9.5, 0, seconds, 2 * own,
                        false));
        List<Alternative> others = List.of(
                new Alternative("the sender restarts", Standing.EXCLUDED, "No gap of 0x1D0 is longer than 0.11 s."),
                new Alternative("one unit forwards the message from another bus", Standing.POSSIBLE,
                        "Only its wire could tell; the tick of 1 µs is too coarse."));
        return new MessageFinding(key, 2 * own, key == SampleBus.ENGINE_STATE && two ? 32 : 0,
                two ? List.of(0, 1) : List.of(), verdict, two ? 69.5 : 1.2, schedules, two ? evidence
                : evidence.subList(0, 1), others, two ? null
                : "Record 60 s more with the gauge translator unplugged and the rest left in place.",
                two ? List.of(new Ablated(Evidence.Kind.SCHEDULE, verdict, 27.5),
                        new Ablated(Evidence.Kind.HEAD_ON, Verdict.UNDECIDED, 51.5)) : List.of());
    }

    private static List<Collision> collisions(SampleBus bus) {
        List<Collision> out = new ArrayList<>();
        for (List<Integer> burst : bus.bursts) {
            int first = burst.get(0);
            int last = burst.get(burst.size() - 1);
            out.add(new Collision(bus.log.startSeconds(first), bus.log.endPicos(last) * 1e-12, SampleBus.ENGINE_STATE,
                    SampleBus.breakBit(), burst, SampleBus.meant(1, 12.31), SampleBus.meant(0, 12.31), SampleBus.wire(),
                    1, 0, 128, true, "Parts at the first difference, dominant on the wire, flag from the next bit on."));
        }
        return out;
    }

    private static List<Track> tracks(double seconds, boolean two) {
        List<Track> tracks = new ArrayList<>();
        tracks.add(track(0, SampleBus.ENGINE_STATE, SampleBus.PERIOD_A, 0.013, seconds, 0));
        tracks.add(track(1, SampleBus.ENGINE_STATE, SampleBus.PERIOD_B, 0.0612, seconds, 1));
        tracks.add(track(2, SampleBus.ENGINE_SPEED, SampleBus.PERIOD_A, 0.0151, seconds, 0));
        tracks.add(track(3, SampleBus.ENGINE_SPEED, SampleBus.PERIOD_B, 0.0634, seconds, 1));
        tracks.add(track(4, SampleBus.FUEL, SampleBus.PERIOD_A * 2, 0.0172, seconds, 0));
        tracks.add(track(5, SampleBus.DOORS, 0.5000012, 0.202, seconds, 2));
        return two ? tracks : tracks.subList(0, 1);
    }

    private static Track track(int index, long key, double period, double phase, double seconds, int group) {
        double nominal = Math.round(period * 1000) / 1000.0;
        return new Track(index, key, true, period, 2e-8, nominal, phase, 23e-6, (int) (seconds / period),
                (int) (seconds / period), phase, seconds, 0, group);
    }

    private static List<ClockGroup> groups() {
        return List.of(new ClockGroup(0, 41.9, 0.21, List.of(0, 2, 4)), new ClockGroup(1, -33.2, 0.19, List.of(1, 3)),
                new ClockGroup(2, 2.4, 1.3, List.of(5)));
    }

    private static int[] trackOf(SampleBus bus) {
        int[] tracks = new int[bus.log.size()];
        for (int i = 0; i < tracks.length; i++) {
            long key = bus.log.key(i);
            int sender = bus.sender.get(i);
            tracks[i] = sender < 0 ? -1 : key == SampleBus.ENGINE_STATE ? sender : key == SampleBus.ENGINE_SPEED
                    ? 2 + sender : key == SampleBus.FUEL ? 4 : 5;
        }
        return tracks;
    }

    static Layout layout(String node, String gauge) {
        Signal coolant = new Signal("coolant temperature", 0, 8, false, false, 1, -40, "°C", 3, null);
        Signal oil = new Signal("oil pressure low", 12, 1, false, false, 1, 0, "", Double.NaN, null);
        Signal speed = new Signal("engine speed", 0, 16, false, false, 1, 0, "1/min", 3000, null);
        Signal fuel = new Signal("fuel", 0, 8, false, false, 0.5, 0, "%", 1, null);
        Signal door = new Signal("door open", 7, 1, false, false, 1, 0, "", Double.NaN, null);
        Message state = new Message("engine state", 0x1D0, 3, List.of(node), List.of(), 0.1, false, 8,
                List.of(coolant, oil));
        Message turns = new Message("engine turns", 0x1D8, 3, List.of(node), List.of(), 0.1, false, 8, List.of(speed));
        Message tank = new Message("tank", 0x2A0, 3, List.of(node), List.of(), 0.2, false, 8, List.of(fuel));
        Message doors = new Message("doors", 0x3B0, 3, List.of("door unit"), List.of(), 0.5, false, 8, List.of(door));
        double none = Double.NaN;
        return new Layout("layout.yaml", "body bus", "can", 125_000,
                List.of(node, "gauge translator", "door unit", "dashboard"), List.of(state, turns, tank, doors),
                List.of(new Gauge(gauge, state, coolant, new double[] {50, 130}, new double[] {0, 1}, 0.8, none, 2, 0),
                        new Lamp("oil lamp", state, oil, 1, 1, false, false, 2, true),
                        new Gauge("engine speed gauge", turns, speed, new double[] {0, 7000}, new double[] {0, 1}, 0.3,
                                none, none, none),
                        new Gauge("fuel gauge", tank, fuel, new double[] {0, 100}, new double[] {0, 1}, 5, none, none,
                                none),
                        new Lamp("door lamp", doors, door, 1, 1, false, false, none, false)));
    }

    private static List<InstrumentFinding> instruments(SampleBus bus, Layout layout, boolean two) {
        List<InstrumentFinding> out = new ArrayList<>();
        layout.instruments().forEach(i -> {
            boolean hit = two && (i.signal().name().startsWith("coolant") || i.signal().name().startsWith("oil")
                    || i.signal().name().startsWith("engine"));
            out.add(SampleTraces.finding(bus, i, hit ? Symptom.FLAPPING : Symptom.NONE,
                    hit ? Cause.TWO_SENDERS : Cause.NONE));
        });
        return out;
    }
}
