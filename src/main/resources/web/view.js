// The stretch of time that all lanes share, in microseconds.
var facts = JSON.parse(document.getElementById('facts').textContent);
var LEAST = Math.min(facts.until, 200);
var view = {from: 0, until: facts.until};
var watchers = [];
var queued = false;

function setView(from, until) {
  var span = Math.min(facts.until, Math.max(LEAST, until - from));
  from = Math.max(0, Math.min(facts.until - span, from));
  view.from = from;
  view.until = from + span;
  if (!queued) {
    queued = true;
    window.requestAnimationFrame(redraw);
  }
}

function redraw() {
  queued = false;
  watchers.forEach(function (watch) { watch(); });
}

/** Closer (factor below 1) or wider around a share of the stretch, 0 left to 1 right. */
function zoom(factor, share) {
  var span = view.until - view.from;
  var now = Math.min(facts.until, Math.max(LEAST, span * factor));
  var at = view.from + span * share;
  setView(at - now * share, at - now * share + now);
}

/** Moves by a share of the stretch. */
function move(share) {
  var step = (view.until - view.from) * share;
  setView(view.from + step, view.until + step);
}

/** A time for reading, as fine as the stretch asks for. */
function timeText(micros, span) {
  var seconds = micros / 1e6;
  var digits = Math.max(0, Math.min(6, Math.ceil(-Math.log10(span / 1e6)) + 2));
  if (facts.until < 120e6) return seconds.toFixed(digits) + '\u00a0s';
  var whole = Math.floor(seconds / 60);
  var rest = (seconds - whole * 60).toFixed(digits);
  return whole + ':' + (parseFloat(rest) < 10 ? '0' : '') + rest + '\u00a0min';
}

/** Steps of 1, 2 or 5 times a power of ten; whole seconds and minutes above. */
function niceStep(rough) {
  if (rough > 1e6 && facts.until >= 120e6) {
    var fixed = [2e6, 5e6, 10e6, 15e6, 30e6, 60e6, 120e6, 300e6, 600e6, 900e6, 1800e6, 3600e6, 7200e6, 14400e6];
    for (var i = 0; i < fixed.length; i++) if (fixed[i] >= rough) return fixed[i];
  }
  var power = Math.pow(10, Math.floor(Math.log10(rough)));
  var lead = rough / power;
  return (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10) * power;
}

/** Index of the first value not below. */
function lowerBound(values, key) {
  var low = 0;
  var high = values.length;
  while (low < high) {
    var mid = (low + high) >> 1;
    if (values[mid] < key) low = mid + 1; else high = mid;
  }
  return low;
}

/** Differences to times. */
function running(steps) {
  var out = new Float64Array(steps.length);
  var sum = 0;
  for (var i = 0; i < steps.length; i++) {
    sum += steps[i];
    out[i] = sum;
  }
  return out;
}
