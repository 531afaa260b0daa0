package buswitness.plan;

import buswitness.schema.Quantity;
import buswitness.schema.YamlMap;
import buswitness.schema.YamlValue;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Set;

/** Reads {@code calibrate:}. */
final class CalibrationReader {
    private final CriterionReader names;

    CalibrationReader(CriterionReader names) {
        this.names = names;
    }

    Calibration read(YamlMap body) {
        body.allow("input", "signal", "needle", "settle", "hysteresis at most", "ways", "points");
        YamlMap input = body.need("input", "input: {unit: Hz, line: speed pulses}").map()
                .allow("unit", "line", "tolerance");
        String unit = input.need("unit", "unit: Hz").text();
        String line = input.has("line") ? input.get("line").text() : null;
        if (line != null && !unit.equals("Hz")) {
            throw input.get("unit").fault("pulses of a line are counted in Hz, not in " + unit,
                    "write 'unit: Hz', or leave 'line' out");
        }
        double inputTolerance = input.has("tolerance")
                ? input.get("tolerance").quantity(Quantity.SHARE, 1e-6, 1) : 0.02;
        Reference signal = body.has("signal") ? names.signal(body.get("signal")) : null;
        String needleUnit = "";
        double needleStep = Double.NaN;
        if (body.has("needle")) {
            YamlMap needle = body.get("needle").map().allow("unit", "reads to");
            needleUnit = needle.need("unit", "unit: km/h").text();
            needleStep = needle.need("reads to", "reads to: 1").number(1e-9, 1e9);
        }
        if (signal == null && needleUnit.isEmpty()) {
            throw body.fault("has neither 'signal' nor 'needle'", "say what is compared with the input");
        }
        double settle = body.has("settle")
                ? body.get("settle").quantity(Quantity.TIME, 0, PlanReader.LONGEST_SECONDS) : 1;
        double hysteresis = body.has("hysteresis at most")
                ? body.get("hysteresis at most").number(0, 1e9) : Double.NaN;
        boolean both = !body.has("ways") || body.get("ways").oneOf("up and down", "up").equals("up and down");
        List<Calibration.Point> points = new ArrayList<>();
        Set<Double> seen = new HashSet<>();
        for (YamlValue entry : body.need("points", "points: [{input: 42.5, bus: 60, tolerance: 2}]").list()) {
            Calibration.Point point = point(entry.map(), signal != null, !needleUnit.isEmpty());
            if (!seen.add(point.input())) throw entry.fault("has the input of an earlier point", "keep one of the two");
            points.add(point);
        }
        if (points.isEmpty()) throw body.fault("points", "has no point", "add one");
        return new Calibration(unit, line, inputTolerance, signal, needleUnit, needleStep, settle, hysteresis,
                both ? List.of("up", "down") : List.of("up"), points);
    }

    private static Calibration.Point point(YamlMap map, boolean bus, boolean needle) {
        map.allow("input", "bus", "needle", "tolerance");
        YamlValue input = map.need("input", "input: 42.5");
        if (map.has("bus") && !bus) throw map.fault("bus", "no signal is named", "add 'signal:' above the points");
        if (map.has("needle") && !needle) throw map.fault("needle", "no needle is described", "add 'needle:'");
        double busValue = map.has("bus") ? map.get("bus").number() : Double.NaN;
        double needleValue = map.has("needle") ? map.get("needle").number() : Double.NaN;
        if (Double.isNaN(busValue) && Double.isNaN(needleValue)) {
            throw map.fault("says neither what the bus nor what the needle must show", "add 'bus:' or 'needle:'");
        }
        return new Calibration.Point(input.text(), input.number(), busValue, needleValue,
                map.need("tolerance", "tolerance: 2").number(0, 1e9));
    }
}
