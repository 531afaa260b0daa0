package buswitness.plan;

import buswitness.schema.Layout;
import java.nio.file.Path;

/**
 * One bus of the harness.
 *
 * @param name         as the plan calls it; empty where it has only one
 * @param layoutFile   as found from the plan's folder
 * @param layoutDigest SHA-256 of the layout's meaning
 * @param line         line of a recording that is this bus; null where only one moves
 */
public record PlanBus(String name, Path layoutFile, Layout layout, String layoutDigest, String line) {}
