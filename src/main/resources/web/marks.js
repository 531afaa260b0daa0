// Shapes and small drawing helpers. Everything is made through the DOM, so text stays text.
var SVG = 'http://www.w3.org/2000/svg';

/** A drawn element; the hyphen before a number is set as the minus that it is. */
function draw(name, attributes, text) {
  var node = document.createElementNS(SVG, name);
  Object.keys(attributes).forEach(function (key) { node.setAttribute(key, attributes[key]); });
  if (text !== undefined) node.textContent = String(text).replace(/^-(?=\d)/, '\u2212');
  return node;
}

function make(name, className, text) {
  var node = document.createElement(name);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

function n(value) {
  return Math.round(value * 10) / 10;
}

function circle(x, y, r) {
  return 'M' + n(x - r) + ' ' + n(y) + 'a' + n(r) + ' ' + n(r) + ' 0 1 1 ' + n(2 * r) + ' 0a' + n(r) + ' ' + n(r)
    + ' 0 1 1 ' + n(-2 * r) + ' 0z';
}

function polygon(x, y, corners) {
  var path = '';
  for (var i = 0; i < corners.length; i += 2) {
    path += (i ? 'L' : 'M') + n(x + corners[i]) + ' ' + n(y + corners[i + 1]);
  }
  return path + 'z';
}

/** A sender's mark: the same six shapes as in the printed pictures, a ring where undetermined, a burst where broken. */
function shape(mark, x, y, r) {
  if (mark === 'broken') {
    return polygon(x, y, [0, -1.5 * r, 0.35 * r, -0.35 * r, 1.5 * r, 0, 0.35 * r, 0.35 * r, 0, 1.5 * r,
      -0.35 * r, 0.35 * r, -1.5 * r, 0, -0.35 * r, -0.35 * r]);
  }
  if (mark < 0) return circle(x, y, r) + circle(x, y, r * 0.55);
  var d = r * 1.2;
  switch (mark % 6) {
    case 0: return circle(x, y, r);
    case 1: return polygon(x, y, [-r, -r, r, -r, r, r, -r, r]);
    case 2: return polygon(x, y, [0, -d, d, d * 0.8, -d, d * 0.8]);
    case 3: return polygon(x, y, [0, -d * 1.1, d * 1.1, 0, 0, d * 1.1, -d * 1.1, 0]);
    case 4: return polygon(x, y, [0, d, d, -d * 0.8, -d, -d * 0.8]);
    default: return polygon(x, y, [-d, -r * 0.4, -r * 0.4, -r * 0.4, -r * 0.4, -d, r * 0.4, -d, r * 0.4, -r * 0.4,
      d, -r * 0.4, d, r * 0.4, r * 0.4, r * 0.4, r * 0.4, d, -r * 0.4, d, -r * 0.4, r * 0.4, -d, r * 0.4]);
  }
}

function styleOf(mark) {
  return mark === 'broken' ? 'bad' : mark < 0 ? 'sx' : 's' + mark % 6;
}

function labelOf(mark) {
  if (mark === 'broken') return 'broken';
  if (mark === -1) return '?';
  return mark < -1 ? 'schedule ' + (-1 - mark) : facts.senders[mark] ? facts.senders[mark].label : '?';
}

/** Marks of one sender at points; as many as can be told apart, dots where they crowd. */
function markPath(mark, xs, ys, count, room) {
  var path = '';
  var r = count > room / 7 ? 1.3 : count > room / 14 ? 2.4 : 3.6;
  var seen = new Set();
  var full = count ? xs[0] + (mark < 0 ? 20 : 20 + 12 * (mark % 4)) : 0;
  for (var i = 0; i < count; i++) {
    var key = Math.round(xs[i] * 2) * 4096 + Math.round(ys[i] * 2);
    if (count > room / 7 && seen.has(key)) continue;
    seen.add(key);
    // Among crowded dots one full mark now and then, so that the shape tells the sender as well as the colour does.
    if (r < 2 && xs[i] >= full) {
      path += shape(mark, xs[i], ys[i], 3.8);
      full = xs[i] + 70;
    } else path += r < 2 ? 'M' + n(xs[i] - 1) + ' ' + n(ys[i] - 1) + 'h2v2h-2z' : shape(mark, xs[i], ys[i], r);
  }
  return path;
}

function sign(mark) {
  var svg = draw('svg', {'class': 'sign', viewBox: '0 0 16 16', 'aria-hidden': 'true'});
  svg.appendChild(draw('path', {'class': styleOf(mark), d: shape(mark, 8, 8, 5)}));
  return svg;
}
