// The lanes on the page, and the ways to move through time: wheel, drag, pinch, keys, buttons.
var region = document.getElementById('lanes');
var bar = document.getElementById('lanes-bar');
var lanes = [];

function driftLane(drift, shift) {
  drift.lines.forEach(function (line) { if (!line.times) line.times = running(line.t); });
  var period = drift.period;
  return {name: drift.name, says: shift ? 'shift of each schedule since its first frame, against a period of '
    + (period / 1000).toFixed(4) + '\u00a0ms: level lines keep step, a slope is another clock'
    : 'when each frame starts within that period', height: shift ? 128 : 92, draw: function (svg, width) {
    var x = xOf(width);
    var low = 0;
    var high = period;
    if (shift) {
      low = Infinity;
      high = -Infinity;
      drift.lines.forEach(function (line) {
        var range = visible(line.times);
        for (var i = range[0]; i < range[1]; i++) {
          low = Math.min(low, line.shift[i]);
          high = Math.max(high, line.shift[i]);
        }
      });
      if (!(low < high)) { low = (low === Infinity ? 0 : low) - 50; high = low + 100; }
    }
    var y = upright(low, high, 8, shift ? 120 : 84);
    var step = niceStep((high - low) / 4);
    for (var v = Math.ceil(low / step) * step; v <= high; v += step) {
      svg.appendChild(draw('path', {'class': 'rule', d: 'M' + LEFT + ' ' + n(y(v)) + 'H' + (width - RIGHT)}));
      var text = step < 1000 && high - low < 20000 ? Math.round(v) + '\u00a0µs' : n(v / 1000) + '\u00a0ms';
      svg.appendChild(draw('text', {'class': 'end', x: LEFT - 6, y: n(y(v)) + 4}, text));
    }
    drift.lines.forEach(function (line) {
      var range = visible(line.times);
      var xs = [];
      var ys = [];
      for (var i = range[0]; i < range[1]; i++) {
        if (line.times[i] < view.from || line.times[i] > view.until) continue;
        xs.push(x(line.times[i]));
        ys.push(y(shift ? line.shift[i] : line.times[i] % period));
      }
      svg.appendChild(draw('path', {'class': styleOf(line.mark), d: markPath(line.mark, xs, ys, xs.length, width)}));
    });
  }};
}

function valueLane(v) {
  var told = decoded(v.told);
  var low = Infinity;
  var high = -Infinity;
  told.forEach(function (line) {
    line.line.v.forEach(function (value) {
      if (value === null) return;
      low = Math.min(low, value);
      high = Math.max(high, value);
    });
  });
  var marks = low < high ? [low, high] : [low];
  if (!(low < high)) { low = (low === Infinity ? 0 : low) - 1; high = low + 2; }
  return {name: v.name, says: 'in ' + v.message, height: marks.length > 1 ? 78 : 40, draw: function (svg, width) {
    var x = xOf(width);
    var y = upright(low, high, 10, marks.length > 1 ? 68 : 30);
    marks.forEach(function (value) {
      svg.appendChild(draw('path', {'class': 'rule', d: 'M' + LEFT + ' ' + n(y(value)) + 'H' + (width - RIGHT)}));
      svg.appendChild(draw('text', {'class': 'end', x: LEFT - 6, y: n(y(value)) + 4},
        parseFloat(value.toPrecision(5)) + (v.unit ? '\u00a0' + v.unit : '')));
    });
    points(svg, told, x, y, width);
  }};
}

var axis = {name: '', height: facts.marks.length ? 56 : 38, axis: true, draw: function (svg, width) {
  var x = xOf(width);
  var span = view.until - view.from;
  var step = niceStep(span / Math.max(2, width / 110));
  for (var t = Math.ceil(view.from / step) * step; t <= view.until; t += step) {
    svg.appendChild(draw('path', {'class': 'axis', d: 'M' + n(x(t)) + ' 18v6'}));
    svg.appendChild(draw('text', {'class': 'middle', x: Math.min(width - 24, n(x(t))), y: 13}, timeText(t, step * 10)));
  }
  var full = '';
  facts.detail.forEach(function (w) {
    if (w[1] < view.from || w[0] > view.until) return;
    var left = Math.max(LEFT, x(w[0]));
    full += 'M' + n(left) + ' 26H' + n(Math.max(left + 1, Math.min(width - RIGHT, x(w[1])))) + 'V32H' + n(left) + 'z';
  });
  if (!facts.everything) {
    svg.appendChild(draw('rect', {'class': 'coarse', x: LEFT, y: 26, width: Math.max(0, width - LEFT - RIGHT),
      height: 6}));
  }
  svg.appendChild(draw('path', {'class': 'detail', d: full}));
  svg.appendChild(draw('text', {'class': 'end small', x: LEFT - 6, y: 33}, 'detail'));
  var meets = '';
  facts.collisions.forEach(function (c) {
    if (c[0] >= view.from && c[0] <= view.until) meets += shape('broken', x(c[0]), 21, 4);
  });
  svg.appendChild(draw('path', {'class': 'bad', d: meets}));
  if (facts.marks.length) {
    svg.appendChild(draw('text', {'class': 'end small', x: LEFT - 6, y: 51}, 'marks'));
    markLabels(svg, width);
  }
}};

function addLane(lane, kind) {
  lane.node = make('div', lane.axis ? 'lane lanes-axis' : 'lane');
  if (!lane.axis) {
    var title = make('div', 'lane-title');
    title.appendChild(make('b')).appendChild(make('bdi', '', lane.name));
    title.appendChild(make('i')).appendChild(make('bdi', '', lane.says));
    lane.value = title.appendChild(make('span', 'value'));
    lane.node.appendChild(title);
  }
  lane.svg = draw('svg', {role: 'img', 'data-lane': kind, 'aria-label': lane.axis ? 'Time'
    : lane.name + ': ' + lane.says, height: lane.height});
  lane.node.appendChild(lane.svg);
  region.appendChild(lane.node);
  lanes.push(lane);
}

function drawLane(lane, width) {
  lane.svg.setAttribute('viewBox', '0 0 ' + width + ' ' + lane.height);
  lane.svg.setAttribute('data-from', view.from);
  lane.svg.setAttribute('data-until', view.until);
  lane.svg.replaceChildren();
  if (!lane.axis) {
    var x = xOf(width);
    facts.gaps.forEach(function (g) {
      if (g[1] < view.from || g[0] > view.until) return;
      var left = Math.max(LEFT, x(g[0]));
      lane.svg.appendChild(draw('rect', {'class': 'gap', x: n(left), y: 0,
        width: Math.max(1, n(Math.min(width - RIGHT, x(g[1])) - left)), height: lane.height}));
    });
  }
  lane.draw(lane.svg, width);
  if (!lane.axis) drawMarks(lane, width);
}

/** What somebody noted while recording: a line through every lane, its label above the first. */
function drawMarks(lane, width) {
  var x = xOf(width);
  var path = '';
  facts.marks.forEach(function (mark) {
    if (mark[0] >= view.from && mark[0] <= view.until) path += 'M' + n(x(mark[0])) + ' 0V' + lane.height;
  });
  if (path) lane.svg.appendChild(draw('path', {'class': 'noted', d: path}));
}

/** A label where there is room for it behind the one before; a tick where there is none. */
function markLabels(svg, width) {
  var x = xOf(width);
  var free = -1e9;
  facts.marks.forEach(function (mark) {
    if (mark[0] < view.from || mark[0] > view.until) return;
    var at = x(mark[0]);
    svg.appendChild(draw('path', {'class': 'noted', d: 'M' + n(at) + ' 38v16'}));
    var room = mark[1].length * 6.4 + 10;
    if (at < free) return;
    var turned = at + room > width - RIGHT;
    if (turned && at - room < free) return;
    svg.appendChild(draw('text', {'class': turned ? 'noted-label end' : 'noted-label', x: n(at + (turned ? -4 : 4)), y: 51},
      mark[1]));
    free = turned ? at + 4 : at + room;
  });
}

var forced = 0;
function drawAll() {
  var width = forced || Math.max(240, region.clientWidth);
  LEFT = width < 480 ? 66 : 80;
  var plot = document.getElementById('plot-area');
  plot.setAttribute('x', LEFT);
  plot.setAttribute('width', width - LEFT - RIGHT);
  lanes.forEach(function (lane) { drawLane(lane, width); });
  region.dataset.from = view.from;
  region.dataset.until = view.until;
  var span = view.until - view.from;
  document.getElementById('shown').textContent = 'Shown: ' + timeText(view.from, span) + ' to '
    + timeText(view.until, span) + ' of ' + timeText(facts.until, facts.until);
}

function group(title, list, build, kind) {
  if (!list.length) return;
  region.appendChild(make('h3', '', title));
  list.forEach(function (item) { addLane(build(item), kind); });
}

addLane(axis, 'axis');
group('What the driver sees', facts.instruments, function (i) {
  return i.lamp ? lampLane(i) : needleLane(i);
}, 'instrument');
group('Who sends each message', facts.messages, messageLane, 'message');
if (facts.drifts.length) {
  region.appendChild(make('h3', '', 'Two schedules, drifting (frames that waited for the bus left out)'));
  facts.drifts.forEach(function (d) {
    addLane(driftLane(d, true), 'drift');
    addLane(driftLane(d, false), 'drift');
  });
}
group('What each sender says', facts.values, valueLane, 'value');

var guide = region.appendChild(make('div', 'guide'));
var legend = document.getElementById('legend');
facts.senders.slice(0, 26).forEach(function (s, i) {
  var key = make('span', 'key');
  key.appendChild(sign(i));
  key.appendChild(document.createTextNode(' ' + s.label + ' '));
  if (s.name !== null) key.appendChild(make('bdi', '', s.name));
  legend.appendChild(key);
});
[[-1, 'not settled'], ['broken', 'two senders at once, or damaged']].forEach(function (entry) {
  var key = make('span', 'key');
  key.appendChild(sign(entry[0]));
  key.appendChild(document.createTextNode(' ' + entry[1]));
  legend.appendChild(key);
});
bar.hidden = false;
watchers.push(drawAll);
drawAll();

function shareAt(clientX) {
  var box = region.getBoundingClientRect();
  var share = (clientX - box.left - LEFT) / Math.max(1, box.width - LEFT - RIGHT);
  return Math.max(0, Math.min(1, share));
}

// The wheel looks closer only after the pointer itself has moved over the lanes, so that a page being scrolled goes on.
var armed = false;
var lastPointer = [-1, -1];
window.addEventListener('scroll', function () { armed = false; }, {passive: true});
region.addEventListener('wheel', function (event) {
  if (!(armed || event.ctrlKey || document.activeElement === region) || event.deltaY === 0) return;
  if (event.deltaY > 0 && view.until - view.from >= facts.until) return;
  event.preventDefault();
  zoom(Math.exp(Math.max(-1, Math.min(1, event.deltaY / 300))), shareAt(event.clientX));
}, {passive: false});

var held = new Map();
region.addEventListener('pointerdown', function (event) {
  if (event.pointerType === 'mouse' && event.button !== 0) return;
  held.set(event.pointerId, event.clientX);
  region.focus({preventScroll: true});
  region.setPointerCapture(event.pointerId);
  region.classList.add('moving');
});
region.addEventListener('pointermove', function (event) {
  if (event.screenX !== lastPointer[0] || event.screenY !== lastPointer[1]) armed = true;
  lastPointer = [event.screenX, event.screenY];
  if (held.has(event.pointerId)) drag(event);
  else hover(event.clientX);
});
['pointerup', 'pointercancel'].forEach(function (kind) {
  region.addEventListener(kind, function (event) {
    held.delete(event.pointerId);
    if (!held.size) region.classList.remove('moving');
  });
});
region.addEventListener('pointerleave', function () {
  guide.style.display = 'none';
  lanes.forEach(function (lane) { if (lane.value) lane.value.textContent = ''; });
});

function drag(event) {
  var before = held.get(event.pointerId);
  var plot = Math.max(1, region.clientWidth - LEFT - RIGHT);
  if (held.size === 1) move((before - event.clientX) / plot);
  else if (held.size === 2) {
    var other = 0;
    held.forEach(function (x, id) { if (id !== event.pointerId) other = x; });
    var was = Math.max(10, Math.abs(before - other));
    var now = Math.max(10, Math.abs(event.clientX - other));
    zoom(was / now, shareAt((event.clientX + other) / 2));
  }
  held.set(event.pointerId, event.clientX);
}

function hover(clientX) {
  var box = region.getBoundingClientRect();
  guide.style.display = 'block';
  guide.style.left = Math.round(clientX - box.left) + 'px';
  var t = view.from + shareAt(clientX) * (view.until - view.from);
  lanes.forEach(function (lane) { if (lane.value && lane.at) lane.value.textContent = lane.at(t); });
  if (lanes[1] && lanes[1].value) {
    lanes[1].value.textContent = (lanes[1].value.textContent + '  at ' + timeText(t, view.until - view.from)).trim();
  }
}

region.addEventListener('keydown', function (event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return;
  var acts = {'+': [zoom, 0.5, 0.5], '=': [zoom, 0.5, 0.5], '-': [zoom, 2, 0.5], '_': [zoom, 2, 0.5],
    ArrowLeft: [move, -0.2], ArrowRight: [move, 0.2], Home: [setView, 0, facts.until]};
  var act = acts[event.key];
  if (!act) return;
  event.preventDefault();
  act[0](act[1], act[2]);
});

function onClick(id, act) {
  document.getElementById(id).addEventListener('click', act);
}
onClick('closer', function () { zoom(0.5, 0.5); });
onClick('wider', function () { zoom(2, 0.5); });
onClick('earlier', function () { move(-0.4); });
onClick('later', function () { move(0.4); });
onClick('whole', function () { setView(0, facts.until); });
if (facts.collisions.length) {
  document.getElementById('next-collision').hidden = false;
  onClick('next-collision', function () {
    var middle = (view.from + view.until) / 2 + 1;
    var next = facts.collisions.find(function (c) { return (c[0] + c[1]) / 2 > middle; }) || facts.collisions[0];
    var half = Math.max(2000, next[1] - next[0]);
    var centre = (next[0] + next[1]) / 2;
    setView(centre - half, centre + half);
  });
}

new ResizeObserver(function () { if (!forced) setView(view.from, view.until); }).observe(region);
window.addEventListener('beforeprint', function () {
  forced = 720;
  drawAll();
});
window.addEventListener('afterprint', function () {
  forced = 0;
  drawAll();
});
