package buswitness.simulate;

import buswitness.frames.CanFrameBits;
import java.util.List;
import java.util.SplittableRandom;

/** Which bits of the frame now starting will be misread, and by whom. */
final class Misreads {
    private final List<Misreading> all;
    private final int[] stations;
    private final SplittableRandom[] randoms;
    private final int[] bit;
    private int active;

    Misreads(Scenario scenario, Station[] stations) {
        all = scenario.misreadings();
        this.stations = new int[all.size()];
        randoms = new SplittableRandom[all.size()];
        bit = new int[all.size()];
        for (int i = 0; i < all.size(); i++) {
            randoms[i] = Streams.of(scenario.seed(), "misreading", Integer.toString(i));
            for (Station station : stations) {
                if (station.behaviour.name().equals(all.get(i).node())) this.stations[i] = station.index;
            }
        }
    }

    /**
     * Draws for a frame that starts.
     *
     * @param frame  what will win the bus
     * @param sender who sends it
     */
    void draw(WireFrame frame, int sender) {
        active = 0;
        for (int i = 0; i < all.size(); i++) {
            Misreading each = all.get(i);
            bit[i] = -1;
            if (each.key() != Misreading.ANY_MESSAGE && each.key() != frame.key) continue;
            if ((each.kind() == Misreading.Kind.RECEIVER) == (stations[i] == sender)) continue;
            if (randoms[i].nextDouble() >= each.probability()) continue;
            bit[i] = each.bit() == Misreading.ANY_BIT ? someBit(frame, randoms[i]) : each.bit();
            if (bit[i] >= 0) active++;
        }
    }

    void none() {
        active = 0;
    }

    boolean any() {
        return active > 0;
    }

    /** Whether a station misreads the coming bit of a kind. */
    boolean hits(int station, int plainIndex, Misreading.Kind kind) {
        if (active == 0 || plainIndex < 0) return false;
        for (int i = 0; i < bit.length; i++) {
            if (bit[i] == plainIndex && stations[i] == station && all.get(i).kind() == kind) return true;
        }
        return false;
    }

    /** A bit beyond arbitration at which the level goes from dominant to recessive; -1 where there is none. */
    private static int someBit(WireFrame frame, SplittableRandom random) {
        int from = CanFrameBits.arbitrationBits(frame.extended);
        int chosen = -1;
        int candidates = 0;
        int plain = 0;
        int run = 0;
        int last = -1;
        for (int i = 0; i < frame.stuffedSize; i++) {
            int bit = frame.bits[i];
            boolean stuff = run == 5;
            run = bit == last ? run + 1 : 1;
            boolean edge = last == 0 && bit == 1;
            last = bit;
            if (stuff) continue;
            if (edge && plain >= from && random.nextInt(++candidates) == 0) chosen = plain;
            plain++;
        }
        return chosen;
    }
}
