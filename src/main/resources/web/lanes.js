// Lanes: each knows its height and how to draw itself between view.from and view.until.
var LEFT = 80;
var RIGHT = 8;

function xOf(width) {
  var from = view.from;
  var scale = (width - LEFT - RIGHT) / (view.until - view.from);
  return function (t) { return LEFT + (t - from) * scale; };
}

/** Indexes of the points to draw: those in view and one beyond on either side. */
function visible(times) {
  return [Math.max(0, lowerBound(times, view.from) - 1), Math.min(times.length, lowerBound(times, view.until) + 1)];
}

/** A line through points; where several fall on one column its first, smallest, largest and last are drawn. */
function linePath(times, values, x, y, breaks) {
  var range = visible(times);
  var path = '';
  var pen = false;
  var i = range[0];
  while (i < range[1]) {
    var column = Math.floor(x(times[i]));
    var last = i;
    var low = i;
    var high = i;
    while (last + 1 < range[1] && Math.floor(x(times[last + 1])) === column) {
      last++;
      if (values[last] === null) continue;
      if (values[low] === null || values[last] < values[low]) low = last;
      if (values[high] === null || values[last] > values[high]) high = last;
    }
    [i, Math.min(low, high), Math.max(low, high), last].filter(function (k, at, all) { return !at || k > all[at - 1]; })
      .forEach(function (k) {
        if (values[k] === null) { pen = false; return; }
        if (breaks && k > 0 && times[k] - times[k - 1] > breaks) pen = false;
        path += (pen ? 'L' : 'M') + n(x(times[k])) + ' ' + n(y(values[k]));
        pen = true;
      });
    i = last + 1;
  }
  return path;
}

function bandPath(bands, x, y) {
  var path = '';
  (bands || []).forEach(function (b) {
    if (b[1] < view.from || b[0] > view.until || b[2] === null) return;
    var left = x(b[0]);
    var top = y(b[3]) - 1;
    path += 'M' + n(left) + ' ' + n(top) + 'H' + n(Math.max(left + 1, x(b[1]))) + 'V' + n(y(b[2]) + 1)
      + 'H' + n(left) + 'z';
  });
  return path;
}

/** Hatched blocks; each says how often the value turns within, where there is room for the figure. */
function bands(svg, list, x, y) {
  svg.appendChild(draw('path', {'class': 'band', 'clip-path': 'url(#plot)', d: bandPath(list, x, y)}));
  (list || []).forEach(function (b) {
    var left = Math.max(LEFT, x(b[0]));
    var right = Math.min(1e5, x(b[1]));
    if (right - left < 44 || b[1] < view.from || b[0] > view.until) return;
    svg.appendChild(draw('text', {'class': 'small count', x: n(left + 4), y: n(y((b[2] + b[3]) / 2) + 4)},
      b[4] + ' turns'));
  });
}

function bandAt(list, t) {
  var found = '';
  (list || []).forEach(function (b) { if (t >= b[0] && t <= b[1]) found = b[4] + ' turns in this block'; });
  return found;
}

function points(svg, told, x, y, room) {
  told.forEach(function (line) {
    bands(svg, line.line.bands, x, y);
    var range = visible(line.times);
    var xs = [];
    var ys = [];
    for (var i = range[0]; i < range[1]; i++) {
      if (line.line.v[i] === null || line.times[i] < view.from || line.times[i] > view.until) continue;
      xs.push(x(line.times[i]));
      ys.push(y(line.line.v[i]));
    }
    svg.appendChild(draw('path', {'class': styleOf(line.mark), d: markPath(line.mark, xs, ys, xs.length, room)}));
  });
}

function decoded(lines) {
  (lines || []).forEach(function (line) { line.times = running(line.line.t); });
  return lines || [];
}

/** Height across which values are drawn. */
function upright(low, high, top, bottom) {
  var span = high > low ? high - low : 1;
  return function (v) { return bottom - (v - low) / span * (bottom - top); };
}

function needleLane(i) {
  var times = running(i.shown.t);
  var told = decoded(i.told);
  var height = i.suffers ? 112 : 62;
  return {name: i.name, says: i.says, height: height, draw: function (svg, width) {
    var x = xOf(width);
    var y = upright(0, 1000, 8, height - 8);
    var before = 1e9;
    (i.scale || [[0, 0], [1, 1000]]).forEach(function (s) {
      var at = n(y(s[1]));
      svg.appendChild(draw('path', {'class': 'rule', d: 'M' + LEFT + ' ' + at + 'H' + (width - RIGHT)}));
      if (i.scale && before - at >= 13) {
        svg.appendChild(draw('text', {'class': 'end', x: LEFT - 6, y: at + 4},
          s[0] + (i.unit ? '\u00a0' + i.unit : '')));
        before = at;
      }
    });
    bands(svg, i.shown.bands, x, y);
    svg.appendChild(draw('path', {'class': 'needle', 'clip-path': 'url(#plot)', d: linePath(times, i.shown.v, x, y)}));
    points(svg, told, x, y, width);
  }, at: function (t) {
    var k = lowerBound(times, t);
    if (k >= times.length || i.shown.v[k] === null) return bandAt(i.shown.bands, t);
    return bandAt(i.shown.bands, t) || 'needle at ' + n(i.shown.v[k] / 10) + '\u00a0% of its travel';
  }};
}

function lampLane(i) {
  var times = running(i.shown.t);
  var lit = i.shown.v;
  return {name: i.name, says: i.says, height: 30, draw: function (svg, width) {
    var x = xOf(width);
    svg.appendChild(draw('path', {'class': 'rule', d: 'M' + LEFT + ' 26H' + (width - RIGHT)}));
    var range = visible(times);
    var solid = '';
    var mixed = '';
    var k = range[0];
    while (k < range[1]) {
      var from = Math.max(LEFT, x(times[k]));
      var last = k;
      var bright = lit[k] >= 500;
      var dark = !bright;
      while (last + 1 < range[1] && x(times[last + 1]) - from < 2) {
        last++;
        if (lit[last] >= 500) bright = true; else dark = true;
      }
      var end = Math.min(width - RIGHT, last + 1 < times.length ? x(times[last + 1]) : x(facts.until));
      if (bright && end > from) {
        var bar = 'M' + n(from) + ' 6H' + n(end) + 'V26H' + n(from) + 'z';
        if (dark) mixed += bar; else solid += bar;
      }
      k = last + 1;
    }
    svg.appendChild(draw('path', {'class': 'flicker', d: mixed}));
    svg.appendChild(draw('path', {'class': 'lit', d: solid}));
    bands(svg, i.shown.bands, x, upright(0, 1000, 6, 26));
    svg.appendChild(draw('text', {'class': 'end', x: LEFT - 6, y: 20}, 'lit'));
  }, at: function (t) {
    var k = lowerBound(times, t + 1e-3) - 1;
    return bandAt(i.shown.bands, t) || (k < 0 ? '' : lit[k] >= 500 ? 'lit' : 'dark');
  }};
}

function markOf(code) {
  return code === '!' ? 'broken' : code === '?' ? -1 : code.charCodeAt(0) - 65;
}

function messageLane(m) {
  var times = running(m.t);
  var codes = {};
  for (var k = 0; k < m.w.length; k++) codes[m.w[k]] = true;
  m.counted.forEach(function (row) { codes[row.w] = true; });
  var rows = Object.keys(codes).sort(function (a, b) {
    return (a === '!' ? 2 : a === '?' ? 1 : 0) - (b === '!' ? 2 : b === '?' ? 1 : 0) || (a < b ? -1 : 1);
  });
  var binSpan = facts.until / m.bins;
  return {name: m.name, says: m.says, height: 8 + 15 * Math.max(1, rows.length), draw: function (svg, width) {
    var x = xOf(width);
    rows.forEach(function (code, row) {
      var mark = markOf(code);
      var y = 11 + row * 15;
      svg.appendChild(draw('path', {'class': 'rule', d: 'M' + LEFT + ' ' + y + 'H' + (width - RIGHT)}));
      svg.appendChild(draw('path', {'class': styleOf(mark), d: shape(mark, LEFT - 10, y, 3.6)}));
      svg.appendChild(draw('text', {'class': 'end', x: LEFT - 18, y: y + 4}, labelOf(mark)));
      svg.appendChild(draw('path', {'class': styleOf(mark), d: countedPath(m, code, binSpan, x, y)
        + framePath(times, m.w, code, x, y, width)}));
    });
    svg.appendChild(draw('path', {'class': 'meet', d: meetPath(m.id, x, 8 + 15 * rows.length)}));
  }};
}

function framePath(times, codes, code, x, y, width) {
  var range = visible(times);
  var xs = [];
  for (var i = range[0]; i < range[1]; i++) {
    if (codes[i] === code && times[i] >= view.from && times[i] <= view.until) xs.push(x(times[i]));
  }
  var mark = markOf(code);
  var path = '';
  if (xs.length <= (width - LEFT) / 6 || mark === 'broken') {
    var last = -9;
    xs.forEach(function (at) {
      if (at - last < 0.7) return;
      last = at;
      path += shape(mark, at, y, mark === 'broken' ? 4.2 : 3.6);
    });
    return path;
  }
  var before = -9;
  xs.forEach(function (at) {
    var column = Math.round(at);
    if (column === before) return;
    before = column;
    path += 'M' + column + ' ' + (y - 4) + 'h1v8h-1z';
  });
  return path;
}

/** Outside full detail: a bar for each bin that holds frames of this sender. */
function countedPath(m, code, binSpan, x, y) {
  var path = '';
  m.counted.forEach(function (row) {
    if (row.w !== code) return;
    var bin = 0;
    for (var i = 0; i < row.b.length; i += 2) {
      bin += row.b[i];
      var left = x(bin * binSpan);
      var right = x((bin + 1) * binSpan);
      if (right < LEFT || left > 1e5) continue;
      left = n(Math.max(LEFT, left));
      path += 'M' + left + ' ' + (y - 2) + 'H' + n(Math.min(1e5, right)) + 'v4H' + left + 'z';
    }
  });
  return path;
}

function meetPath(id, x, height) {
  var path = '';
  facts.collisions.forEach(function (c) {
    if (c[3] === id && c[0] >= view.from && c[0] <= view.until) path += 'M' + n(x(c[0])) + ' 2V' + height;
  });
  return path;
}
