package buswitness.capture;

import java.util.Arrays;

/** The interfaces that a packet capture describes: what each carries and in which unit it tells time. */
final class PacketInterfaces {
    static final int CAN = 227;
    static final int LIN = 212;

    private static final double PICOS_PER_SECOND = 1e12;
    private static final int FINEST_TEN = 18;
    private static final int FINEST_TWO = 62;

    private int[] linkType = new int[4];
    private int[] resolution = new int[4];
    private int count;

    int count() {
        return count;
    }

    /** @param unit exponent of ten, or with 0x80 of two, of which the unit of time is the negative power */
    void add(int type, int unit) {
        if (count == linkType.length) {
            linkType = Arrays.copyOf(linkType, count * 2);
            resolution = Arrays.copyOf(resolution, count * 2);
        }
        linkType[count] = type;
        resolution[count++] = unit;
    }

    int linkType(int index) {
        return linkType[index];
    }

    boolean sensible(int index) {
        int unit = resolution[index];
        return (unit & 0x80) != 0 ? (unit & 0x7F) <= FINEST_TWO : unit <= FINEST_TEN;
    }

    long unitsPerSecond(int index) {
        int unit = resolution[index];
        if ((unit & 0x80) != 0) return 1L << (unit & 0x7F);
        long all = 1;
        for (int i = 0; i < unit; i++) all *= 10;
        return all;
    }

    /** The unit, at least a picosecond. */
    double tickPicos(int index) {
        return Math.max(1, PICOS_PER_SECOND / unitsPerSecond(index));
    }

    /** Picoseconds of a difference of 0 or more units; -1 beyond what a long holds. */
    long picos(int index, long units) {
        long perSecond = unitsPerSecond(index);
        long seconds = units / perSecond;
        long rest = units % perSecond;
        long most = Long.MAX_VALUE / TimeUnit.S.picos - 1;
        if (units < 0 || seconds > most) return -1;
        long picosPerUnit = TimeUnit.S.picos / perSecond;
        boolean whole = perSecond <= TimeUnit.S.picos && TimeUnit.S.picos % perSecond == 0;
        long behind = whole ? rest * picosPerUnit : Math.round((double) rest / perSecond * PICOS_PER_SECOND);
        return seconds * TimeUnit.S.picos + behind;
    }
}
