package buswitness.plan;

import buswitness.schema.Fitting;
import buswitness.schema.Gauge;
import buswitness.schema.Instrument;
import buswitness.schema.Lamp;
import buswitness.schema.Layout;
import buswitness.schema.Message;
import buswitness.schema.Protection;
import buswitness.schema.Signal;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/**
 * A new plan for a layout: sensible steps for every instrument, to be edited. What an instrument is for is guessed from
 * its name and unit; where that fails it gets a plain step. Figures without a source beside them are common practice.
 */
final class PlanDraft {
    /** JIS D 5601 (from memory): a speedometer cable turns 637 times a kilometre; senders give 4 pulses a turn. */
    static final double PULSES_PER_KM = 4 * 637;

    private final Layout layout;
    private final DraftText out = new DraftText();

    PlanDraft(Layout layout, String seenAs) {
        this.layout = layout;
        String title = layout.busName().isEmpty() ? "install" : "install on the " + layout.busName();
        out.line("# A plan to be edited: strike out what this harness does not have, and correct every limit. See");
        out.line("# captures/plan-format.md. Marks such as 'ignition on' are set while recording, by typing them.");
        out.line("plan: " + DraftText.quoted(title));
        out.line("harness: " + DraftText.quoted("name and revision of the harness, or the car"));
        out.line("layout: " + DraftText.quoted(seenAs));
        out.line("bus line: " + (layout.busName().isEmpty() ? "bus" : DraftText.quoted(layout.busName()))
                + "          # where a recording has several lines");
        out.line("unit: [firmware, wiring revision, bench or car, tester]");
    }

    String text() {
        doesNotDo();
        out.line("cautions:");
        out.item("Work on safety equipment belongs to licensed practice, and local codes come first. Airbag and brake"
                + " circuits stay untouched.");
        out.item("Engine running: out of doors or with the exhaust led away, gear in neutral or park, wheels chocked,"
                + " hands, hair and leads clear of belts and fans.");
        out.line("steps:");
        atRest();
        ignitionOn();
        cranking();
        running();
        roadSpeed();
        protections();
        out.step("falls asleep", "ignition off", "Key to off, all doors closed and locked. Mark 'ignition off'. Wait.",
                "The bus falls silent and stays so: a translator that keeps it awake flattens the battery.");
        out.window("{from: mark ignition off}");
        out.judge("{bus: falls silent, within: 60 s, for: 10 min}");
        return out.toString();
    }

    private void doesNotDo() {
        List<String> not = new ArrayList<>();
        for (Instrument i : layout.instruments()) {
            if (i.message().from().isEmpty() && !wired(i)) {
                not.add("It does not serve the " + i.name() + ", unless another node does: the layout names no sender of '"
                        + i.message().name() + "'.");
            }
        }
        not.add("It does not approve the car for the road.");
        out.line("does not do:");
        for (String s : not) out.item(s);
    }

    private void atRest() {
        out.step("battery reconnected", "battery reconnected", "Everything off, doors closed. Mark 'battery on' and reconnect"
                + " the battery.", "The bus may wake, and falls silent again.");
        out.caution("Wear eye protection at a battery, and connect the negative terminal last.");
        out.window("{from: mark battery on}");
        out.judge("{bus: falls silent, within: 2 min, for: 2 min}");
        for (String how : List.of("door", "key")) {
            out.step("wake-up by " + how, "wake-up", how.equals("door") ? "Mark 'wake-up', open the driver's door."
                    : "Close the door, wait until the bus sleeps. Mark 'wake-up', put the key in.",
                    "The dashboard wakes, and no frame is damaged.");
            out.window("{from: mark wake-up, for: 20 s}");
            out.judge("{bus: no damaged frames}", "{person: " + DraftText.quoted("The dashboard or the interior light wakes.")
                    + "}");
        }
    }

    private void ignitionOn() {
        List<String> judges = new ArrayList<>();
        List<String> names = new ArrayList<>();
        for (Instrument i : layout.instruments()) {
            if (!(i instanceof Lamp lamp) || !warns(lamp)) continue;
            names.add(i.name());
            if (!wired(i) && is(i, "oil", "charge", "batter", "engine")) judges.add("{lamp: " + DraftText.quoted(i.name())
                    + ", is: lit}");
        }
        if (!names.isEmpty()) {
            judges.add("{person: " + DraftText.quoted("Lit with the key on and the engine at rest: " + String.join(", ", names)
                    + ".") + "}");
            out.step("bulb check", "ignition on", "Mark 'ignition on', key to on, do not crank. Wait five seconds.",
                    "Every warning lamp that should warn with the engine at rest is lit.");
            out.caution("A lamp that never lights cannot warn. Do not hand the car over before each one has been seen lit.");
            out.window("{from: mark ignition on, settle: 1 s, for: 5 s}");
            out.judge(judges.toArray(String[]::new));
        }
        for (Instrument i : layout.instruments()) {
            if (i instanceof Gauge g && isAmbient(g)) ambient(g);
            if (i instanceof Gauge g && is(g, "fuel")) plainGauge(g, "ignition on");
            if (i instanceof Lamp l && (l.blinksByDesign() || is(l, "turn", "hazard"))) blinking(l);
            if (i instanceof Lamp l && is(l, "reverse")) reverse(l);
        }
        pump();
        throttle();
    }

    private void ambient(Gauge g) {
        out.step(g.name(), "ignition on", "Hang a thermometer beside the sensor in the shade. Key on, record ten seconds.",
                "It shows the air's temperature.");
        out.judge("{signal: " + signal(g) + ", between: 5..30}          # around what the thermometer says", "{person: "
                + DraftText.quoted("The " + g.name() + " agrees with the thermometer within 2 °C.") + "}");
    }

    private void blinking(Lamp l) {
        out.step(l.name(), "ignition on", "Switch it on for ten seconds while recording. Mark 'blinking' when it goes.",
                "It blinks evenly.");
        out.window("{from: mark blinking, settle: 1 s}");
        // UN Regulation 48, 6.5.8: 90 +- 30 flashes a minute. Share lit: SAE J590 (from memory).
        out.judge("{lamp: " + DraftText.quoted(l.name()) + ", blinks: 60..120 per min, lit for: 30..75 %}");
    }

    private void reverse(Lamp l) {
        out.step(l.name(), "ignition on", "Foot on the brake, engine off. Mark 'reverse' and engage reverse.",
                "The lamp comes on, and what warns behind the car does too.");
        out.window("{from: mark reverse}");
        out.judge("{lamp: " + DraftText.quoted(l.name()) + ", comes on within: 1 s}", "{person: "
                + DraftText.quoted("The reverse light is lit, and a reverse warning sounds where one is fitted.") + "}");
    }

    private void pump() {
        out.step("fuel pump", "ignition on", "Key on, do not crank. Listen at the tank.", "The pump runs for some seconds.");
        out.caution("No leaking fuel, no flame, no smoking: look at every joint before the pump runs for the first time.");
        out.judge("{person: " + DraftText.quoted("The pump is heard for some seconds, then stops, and nothing leaks.") + "}");
    }

    private void throttle() {
        for (Message m : layout.messages()) {
            for (Signal s : m.carries()) {
                if (!s.name().toLowerCase(Locale.ROOT).contains("throttle")) continue;
                out.step(s.name(), "ignition on", "Engine at rest, key on. Mark 'pedal', press the pedal slowly to the floor.",
                        "The value rises with the pedal.");
                out.window("{from: mark pedal, for: 10 s}");
                out.judge("{signal: " + DraftText.quoted(m.name() + " / " + s.name()) + ", rises by: 60}          # of "
                        + (s.unit().equals("%") ? "100 %" : "its whole travel, in its own unit"));
                return;
            }
        }
    }

    private void cranking() {
        out.step("starter", "cranking", "Neutral or park, foot on the brake. Mark 'cranking', crank, mark 'running' when it runs.",
                "No node restarts in the dip of the supply.");
        out.caution("The car may leap: neutral or park, wheels chocked, nobody before or behind it.");
        out.window("{from: mark cranking, until: mark running}");
        out.judge("{bus: nothing restarts}", "{person: "
                + DraftText.quoted("The starter turns, and turns in no other position of the lever than it should.") + "}");
        out.step("injector", "cranking", "A second person cranks. Listen at an injector with a rod, clear of the belt.",
                "The engine unit works its outputs.");
        out.judge("{person: " + DraftText.quoted("An injector clicks.") + "}");
    }

    private void running() {
        for (Instrument i : layout.instruments()) {
            if (i instanceof Lamp l && warns(l) && is(l, "oil", "charge", "batter", "engine")) {
                out.step(l.name() + " goes out", "running", "Mark 'running' when the engine runs. Let it idle.",
                        "The " + l.name() + " goes out and stays out.");
                out.window("{from: mark running, for: 30 s}");
                if (wired(i)) {
                    out.judge("{person: " + DraftText.quoted("The " + l.name() + " goes out within five seconds.") + "}");
                } else {
                    out.judge("{lamp: " + DraftText.quoted(l.name()) + ", goes out within: 5 s}", "{person: "
                            + DraftText.quoted("The " + l.name() + " itself goes out and stays out.") + "}");
                }
            } else if (i instanceof Gauge g && (is(g, "coolant", "engine temp")
                    || is(g, "water") && g.signal().unit().equals("°C"))) {
                coolant(g);
            } else if (i instanceof Gauge g && g.signal().unit().equals("rpm")) {
                tachometer(g);
            } else if (i instanceof Gauge g && !isAmbient(g) && !is(g, "fuel") && !isSpeed(g)) {
                plainGauge(g, "running");
            } else if (i instanceof Lamp l && !warns(l) && !is(l, "reverse", "turn", "hazard") && !l.blinksByDesign()) {
                out.step(l.name(), "running", "Make it light and go out.", "It does both.");
                out.judge("{person: " + DraftText.quoted("The " + l.name() + " lights when it should and goes out again.") + "}");
            }
        }
        List<String> judges = new ArrayList<>(List.of("{bus: one sender each}", "{bus: no damaged frames}",
                "{bus: nothing flaps}"));
        for (Message m : layout.messages()) {
            if (!Double.isNaN(m.everySeconds()) && !m.onEvent() && (!m.from().isEmpty() || shown(m))) {
                judges.add("{message: " + DraftText.quoted(m.name()) + ", every: " + Limits.number(m.everySeconds() * 1e3)
                        + " ms, tolerance: 5 %}");
            }
        }
        out.step("the bus at idle", "running", "Warm engine at idle. Record one minute or more.",
                "Everybody speaks for himself, in time and undamaged.");
        out.judge(judges.toArray(String[]::new));
    }

    private void coolant(Gauge g) {
        out.step(g.name(), "running", "From cold: let the engine warm up while recording.", "The needle rises evenly.");
        out.caution("A hot cooling system is under pressure: do not open it. The fan may start by itself.");
        out.judge("{signal: " + signal(g) + ", rises by: 20}", "{gauge: " + DraftText.quoted(g.name()) + ", flaps: never}",
                "{person: " + DraftText.quoted("The needle rises evenly and agrees with a thermometer at the outlet.") + "}");
    }

    private void tachometer(Gauge g) {
        String other = null;
        for (Message m : layout.messages()) {
            for (Signal s : m.carries()) {
                if (s.unit().equals("rpm") && !(m.equals(g.message()) && s.equals(g.signal()))) {
                    other = DraftText.quoted(m.name() + " / " + s.name());
                }
            }
        }
        out.step(g.name(), "running", "Idle, then 2,000, then 3,000 rpm for five seconds each, without load.",
                "The needle follows the engine.");
        out.judge(other == null ? "{signal: " + signal(g) + ", between: 600..3200}" : "{signal: " + signal(g)
                + ", follows: " + other + ", tolerance: 100, delay at most: 0.3 s}", "{person: "
                + DraftText.quoted("The needle agrees with an independent rev counter within 100 rpm.") + "}");
    }

    private void plainGauge(Gauge g, String stage) {
        out.step(g.name(), stage, "Compare the needle with a measurement you trust.", "It shows the true value.");
        out.judge("{gauge: " + DraftText.quoted(g.name()) + ", flaps: never}", "{person: "
                + DraftText.quoted("The " + g.name() + " agrees with a measurement.") + "}");
    }

    private void roadSpeed() {
        for (Instrument i : layout.instruments()) {
            if (!(i instanceof Gauge g) || !isSpeed(g)) continue;
            out.step(g.name(), "road speed", "Wheels on the ground, engine off. Feed a pulse train to the speed input and to the"
                    + " recorder's line 'speed pulses'. At each point: set the frequency, mark 'up 21.23' and so on, wait five"
                    + " seconds, mark 'turning' before it is turned on; then downwards with 'down'.",
                    "Bus and needle agree with the table.");
            out.caution("Feed pulses to the sender's own input only, and never while driving: brakes may read the same sensor.");
            out.line("    # " + Limits.number(PULSES_PER_KM) + " pulses per km: 637 turns per km (JIS D 5601) and 4 pulses a"
                    + " turn. Others: 4000 per mile, 2485.5 per km;");
            out.line("    # 621.4 turns per km (SAE J678). A speedometer must not show less than the true speed, nor more than");
            out.line("    # a tenth and 4 km/h above it (UN R39): the needle's band below runs from the one to the other. Use the");
            out.line("    # figure of your sender.");
            out.line("    calibrate:");
            out.line("      input: {unit: Hz, line: speed pulses, tolerance: 1 %}");
            out.line("      signal: " + signal(g));
            out.line("      needle: {unit: km/h, reads to: 2}");
            out.line("      hysteresis at most: 3");
            out.line("      points:");
            for (int v = 30; v <= Math.min(120, g.values()[g.values().length - 1]); v += 30) {
                out.line("        - {input: " + String.format(Locale.ROOT, "%.2f", v * PULSES_PER_KM / 3600) + ", bus: " + v
                        + ", needle: " + Limits.number(1.05 * v + 2) + ", tolerance: " + Limits.number(0.05 * v + 2) + "}");
            }
        }
    }

    private void protections() {
        for (Protection p : layout.fitting().protections()) {
            boolean stops = p.does().toLowerCase(Locale.ROOT).contains("stop");
            out.step(p.name(), "running", "At the bench or in neutral, wheels chocked: record '" + trigger(p)
                    + "' and 'protective output' as two lines, and make it act.",
                    "The function " + p.does() + ", " + Limits.seconds(p.afterSeconds()) + " after its cause and not before.");
            if (stops) {
                out.caution("A function that stops a running engine can kill on the road. Test it standing, tell the driver in"
                        + " writing that it is fitted, and check local codes.");
            }
            double slack = Math.max(0.5, p.afterSeconds() * 0.2);
            out.judge("{line: protective output, follows: " + DraftText.quoted(trigger(p)) + ", delay: "
                    + Limits.number(Math.max(0, p.afterSeconds() - slack)) + ".." + Limits.number(p.afterSeconds() + slack)
                    + " s}", "{person: " + DraftText.quoted("The function " + p.does() + " when it should, and never otherwise.")
                    + "}");
        }
    }

    private static String trigger(Protection p) {
        return p.watch() == null ? p.wire() : p.watch().signal().name();
    }

    /** Whether a gauge or lamp needs it, whoever is to send it. */
    private boolean shown(Message m) {
        return layout.instruments().stream().anyMatch(i -> i.message().equals(m) && !wired(i));
    }

    private boolean wired(Instrument i) {
        Fitting.Wire wire = layout.fitting().wires().get(i.name());
        return wire != null && wire.fitted();
    }

    private static String signal(Instrument i) {
        return DraftText.quoted(i.message().name() + " / " + i.signal().name());
    }

    private static boolean warns(Lamp l) {
        return !l.blinksByDesign() && !is(l, "reverse", "turn", "hazard", "beam", "drive lamp");
    }

    private static boolean isAmbient(Gauge g) {
        return g.signal().unit().equals("°C") && is(g, "outside", "ambient", "air");
    }

    private static boolean isSpeed(Gauge g) {
        return g.signal().unit().equals("km/h");
    }

    private static boolean is(Instrument i, String... words) {
        String text = (i.name() + " " + i.signal().name()).toLowerCase(Locale.ROOT);
        for (String w : words) if (text.contains(w)) return true;
        return false;
    }
}
