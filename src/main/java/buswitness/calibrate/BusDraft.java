package buswitness.calibrate;

import buswitness.simulate.Interference;
import buswitness.simulate.Misreading;
import buswitness.simulate.RecorderBehaviour;
import buswitness.simulate.Scenario;
import java.util.ArrayList;
import java.util.EnumSet;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import java.util.SplittableRandom;

/** A bus while it is being drawn up, with the dice that draw it. */
final class BusDraft {
    final long seed;
    final SplittableRandom dice;
    final double bitsPerSecond;
    double seconds;
    final List<NodeDraft> nodes = new ArrayList<>();
    final List<Interference> interference = new ArrayList<>();
    final List<Misreading> misreadings = new ArrayList<>();
    final Set<Confounder> confounders = EnumSet.noneOf(Confounder.class);
    final Set<Integer> identifiers = new HashSet<>();
    /** The node whose messages a second one sends: confounders leave it alone. */
    NodeDraft victim;
    /** That second one, left alone likewise. */
    NodeDraft second;
    RecorderBehaviour recorder = RecorderBehaviour.MICROSECOND;
    boolean extended;

    BusDraft(long seed, SplittableRandom dice, double bitsPerSecond, double seconds) {
        this.seed = seed;
        this.dice = dice;
        this.bitsPerSecond = bitsPerSecond;
        this.seconds = seconds;
    }

    double uniform(double low, double high) {
        return low + (high - low) * dice.nextDouble();
    }

    /** Evenly spread over the logarithm. */
    double logUniform(double low, double high) {
        return low * StrictMath.exp(dice.nextDouble() * StrictMath.log(high / low));
    }

    boolean chance(double share) {
        return dice.nextDouble() < share;
    }

    double oneOf(double... values) {
        return values[dice.nextInt(values.length)];
    }

    int freshIdentifier() {
        while (true) {
            int id = extended ? 0x0400_0000 + dice.nextInt(0x1800_0000) : 0x010 + dice.nextInt(0x7D0);
            if (identifiers.add(id)) return id;
        }
    }

    /** A message no confounder has touched, cyclic, or null where none is left. */
    Pick pick() {
        for (int tries = 0; tries < 60; tries++) {
            NodeDraft node = pickNode();
            if (node == null || node.messages.isEmpty()) continue;
            MessageDraft message = node.messages.get(dice.nextInt(node.messages.size()));
            if (message.taken) continue;
            message.taken = true;
            return new Pick(node, message);
        }
        return null;
    }

    /** A node at random, never one of the two that clash; null where there is no other. */
    NodeDraft pickNode() {
        for (int tries = 0; tries < 30; tries++) {
            NodeDraft node = nodes.get(dice.nextInt(nodes.size()));
            if (node != victim && node != second) return node;
        }
        return null;
    }

    /** A message and its node. */
    record Pick(NodeDraft node, MessageDraft message) {}

    Scenario build(String name) {
        return new Scenario(name, bitsPerSecond, nodes.stream().map(NodeDraft::build).toList(), interference,
                misreadings, recorder, List.of(), seconds, seed, "");
    }
}
