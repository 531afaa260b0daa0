package buswitness.senders;

import java.util.Arrays;

/** One unbroken run of teeth: members by tooth number, ascending. Grows while it is being tracked. */
final class Comb {
    int size;
    int[] tooth = new int[8];
    int[] member = new int[8];
    /** The member's time is a sharp release that no other comb claims: the fits may use it. */
    boolean[] sharp = new boolean[8];

    /** Teeth that it was seen to have before some of its members went to others; empty where first is above last. */
    int rangeFirst = Integer.MAX_VALUE;
    int rangeLast = Integer.MIN_VALUE;

    void add(int toothNumber, int memberIndex, boolean isSharp) {
        if (size == tooth.length) {
            tooth = Arrays.copyOf(tooth, size * 2);
            member = Arrays.copyOf(member, size * 2);
            sharp = Arrays.copyOf(sharp, size * 2);
        }
        tooth[size] = toothNumber;
        member[size] = memberIndex;
        sharp[size++] = isSharp;
    }

    int firstTooth() {
        return tooth[0];
    }

    int lastTooth() {
        return tooth[size - 1];
    }

    /** First tooth to lay out: members, and what it was seen to have. */
    int layFirst() {
        return Math.min(rangeFirst, firstTooth());
    }

    int layLast() {
        return Math.max(rangeLast, lastTooth());
    }

    int teeth() {
        return lastTooth() - firstTooth() + 1;
    }
}
