package buswitness.map;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;

/**
 * Searches for a byte that is a check over the others: exclusive or, sums, CRC-8 with every polynomial. All of these are a
 * constant plus something that the other bytes decide, so start value and final inversion need no search. Searched on
 * half of the distinct payloads and confirmed on the half held back.
 */
final class CheckFinder {
    private static final int MOST = 300;
    private static final int FEWEST_HALF = 4;
    private static final int FEWEST_VALUES = 4;
    private static final double MANY_VALUES = 0.6;
    private static final double AGREES = 0.985;
    private static final double LARGEST_LOG_CHANCE = -4;
    /** Polynomials that standards name; tried first (SAE J1850; AUTOSAR CRC library; CCITT; 1-Wire; from memory). */
    private static final int[] KNOWN = {0x1D, 0x2F, 0x07, 0x31, 0x9B, 0x39, 0xD5, 0xA7};

    private final PayloadRows rows;
    private final List<byte[]> search = new ArrayList<>();
    private final List<byte[]> held = new ArrayList<>();
    private int tried;

    /**
     * @param at        byte that holds the check
     * @param formula   in words
     * @param confirmed payloads held back that agree, of {@code heldBack}
     * @param logChance log10 of the chance that so many agree for one of the formulas tried, at most
     * @param equals    formulas tried that fit as well
     */
    record Found(int at, String formula, int confirmed, int heldBack, double logChance, int equals) {}

    /** Gives the check's value up to a constant. */
    private interface Rule {
        int of(byte[] data, int at);
    }

    CheckFinder(PayloadRows rows) {
        this.rows = rows;
        Map<String, byte[]> distinct = new LinkedHashMap<>();
        for (byte[] row : rows.data) {
            if (distinct.size() >= 2 * MOST) break;
            distinct.putIfAbsent(new String(row, java.nio.charset.StandardCharsets.ISO_8859_1), row);
        }
        int k = 0;
        for (byte[] row : distinct.values()) ((k++ & 1) == 0 ? search : held).add(row);
    }

    /** The check, or null. */
    Found find() {
        if (rows.length < 2 || held.size() < FEWEST_HALF) return null;
        Map<String, Rule> rules = rules();
        List<Found> found = new ArrayList<>();
        int most = 0;
        for (int at = rows.length - 1; at >= 0; at--) {
            if (values(search, at) < FEWEST_VALUES || values(held, at) < FEWEST_VALUES) continue;
            Found here = at(at, rules);
            if (here == null) continue;
            found.add(here);
            most = Math.max(most, values(held, at));
        }
        // Exclusive or and plain sums make any byte the check of the others: one with many values is, the last of these.
        for (Found f : found) if (values(held, f.at) >= MANY_VALUES * most) return f;
        return null;
    }

    private Found at(int at, Map<String, Rule> rules) {
        Found best = null;
        int equals = 0;
        for (Map.Entry<String, Rule> rule : rules.entrySet()) {
            tried++;
            if (agreeing(search, at, rule.getValue(), true) < AGREES * search.size()) continue;
            int confirmed = agreeing(held, at, rule.getValue(), false);
            if (confirmed < AGREES * held.size()) continue;
            equals++;
            if (best == null) best = new Found(at, rule.getKey(), confirmed, held.size(), 0, 0);
        }
        if (best == null || isCopy(at)) return null;
        double independent = Math.min(Math.min(best.confirmed, values(held, at)), rank(at));
        double chance = Math.log10(rules.size() * (double) rows.length) - independent * Math.log10(256);
        if (chance > LARGEST_LOG_CHANCE) return null;
        return new Found(at, best.formula, best.confirmed, best.heldBack, chance, equals - 1);
    }

    private static int agreeing(List<byte[]> all, int at, Rule rule, boolean stopEarly) {
        int[] count = new int[256];
        int most = 0;
        int seen = 0;
        for (byte[] row : all) {
            most = Math.max(most, ++count[rule.of(row, at) & 0xFF]);
            if (stopEarly && ++seen >= 6 && most < 0.6 * seen) return 0;
        }
        return most;
    }

    private static int values(List<byte[]> all, int at) {
        Set<Byte> values = new HashSet<>();
        for (byte[] row : all) values.add(row[at]);
        return values.size();
    }

    /** A byte that repeats another says nothing about the rest. */
    private boolean isCopy(int at) {
        int others = 0;
        boolean copy = false;
        for (int b = 0; b < rows.length; b++) {
            if (b == at) continue;
            if (values(search, b) > 1) others++;
            int other = b;
            copy |= search.stream().allMatch(row -> row[other] == row[at]);
        }
        return copy && others == 1;
    }

    /** Independent ways in which the other bytes vary: relations beyond these follow from one another. */
    private int rank(int at) {
        List<byte[]> all = new ArrayList<>(search);
        all.addAll(held);
        java.math.BigInteger[] basis = new java.math.BigInteger[8 * rows.length];
        int rank = 0;
        for (byte[] row : all) {
            byte[] difference = new byte[rows.length + 1];
            for (int b = 0; b < rows.length; b++) if (b != at) difference[b + 1] = (byte) (row[b] ^ all.get(0)[b]);
            java.math.BigInteger v = new java.math.BigInteger(difference);
            while (v.signum() != 0) {
                int top = v.bitLength() - 1;
                if (basis[top] == null) {
                    basis[top] = v;
                    rank++;
                    break;
                }
                v = v.xor(basis[top]);
            }
        }
        return rank;
    }

    private static Map<String, Rule> rules() {
        Map<String, Rule> rules = new LinkedHashMap<>();
        rules.put("exclusive or of the other bytes", (d, at) -> {
            int x = 0;
            for (byte b : d) x ^= b;
            return x;
        });
        rules.put("sum of the other bytes", (d, at) -> d[at] - sum(d, at, d.length));
        rules.put("sum of all bytes is constant", (d, at) -> d[at] + sum(d, at, d.length));
        rules.put("sum of the other bytes with carry added back, inverted",
                (d, at) -> ((d[at] & 0xFF) + sum(d, at, d.length)) % 255);
        Set<Integer> polynomials = new java.util.LinkedHashSet<>();
        for (int p : KNOWN) polynomials.add(p);
        for (int p = 1; p < 256; p++) polynomials.add(p);
        for (int p : polynomials) {
            for (int reflected = 0; reflected < 2; reflected++) {
                int[] table = table(p, reflected == 1);
                rules.put(String.format(Locale.ROOT, "CRC-8, polynomial 0x%02X%s, over the other bytes", p,
                        reflected == 1 ? " lowest bit first" : ""), (d, at) -> {
                    int crc = 0;
                    for (int b = 0; b < d.length; b++) if (b != at) crc = table[(crc ^ d[b]) & 0xFF];
                    return crc ^ d[at];
                });
            }
        }
        return rules;
    }

    private static int sum(byte[] d, int at, int until) {
        int sum = 0;
        for (int b = 0; b < until; b++) if (b != at) sum += d[b] & 0xFF;
        return sum;
    }

    /** Remainders of every byte value (W. W. Peterson and D. T. Brown, Proceedings of the IRE 49, 1961). */
    static int[] table(int polynomial, boolean reflected) {
        int mirrored = Integer.reverse(polynomial) >>> 24;
        int[] table = new int[256];
        for (int i = 0; i < 256; i++) {
            int crc = i;
            for (int k = 0; k < 8; k++) {
                if (reflected) crc = (crc & 1) != 0 ? crc >> 1 ^ mirrored : crc >> 1;
                else crc = (crc & 0x80) != 0 ? (crc << 1 ^ polynomial) & 0xFF : crc << 1;
            }
            table[i] = crc;
        }
        return table;
    }
}
