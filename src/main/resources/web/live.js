// The live page. States come as server-sent events; everything is put on the page through the DOM, so text stays text.
var SVG = 'http://www.w3.org/2000/svg';
var SHOWN = 120;
var state = null;

function id(name) { return document.getElementById(name); }

function draw(name, attributes, text) {
  var node = document.createElementNS(SVG, name);
  Object.keys(attributes).forEach(function (key) { node.setAttribute(key, attributes[key]); });
  if (text !== undefined) node.textContent = text;
  return node;
}

function make(name, className, text) {
  var node = document.createElement(name);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

/** Sets a text only where it changed, so that a reader's place and selection stay. */
function say(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

function fill(parent, name, texts) {
  var wanted = texts.join('\n');
  if (parent.dataset.shown === wanted) return;
  parent.dataset.shown = wanted;
  parent.replaceChildren.apply(parent, texts.map(function (text) { return make(name, '', text); }));
}

function rows(body, list, cells) {
  var wanted = JSON.stringify(list);
  if (body.dataset.shown === wanted) return;
  body.dataset.shown = wanted;
  body.replaceChildren.apply(body, list.map(function (item) {
    var row = make('tr');
    cells(item).forEach(function (cell) { row.appendChild(cell); });
    return row;
  }));
}

function cell(label, text, className) {
  var node = make('td', className || '', text);
  if (label) node.setAttribute('data-label', label);
  return node;
}

function senderCells(s) {
  var first = make('td');
  var sign = draw('svg', {'class': 'sign', viewBox: '0 0 16 16', 'aria-hidden': 'true'});
  sign.appendChild(draw('path', {'class': s.style, d: s.shape}));
  first.appendChild(sign);
  first.appendChild(document.createTextNode(' ' + s.name + ' '));
  if (s.clashing) first.appendChild(make('span', 'tag', 'in the clash'));
  return [first, cell('Now', s.heard, s.silent ? 'silent short' : 'short'), cell('Clock', s.clock, 'figure'), cell('Sends', s.sends)];
}

function messageCells(m) {
  var verdict = cell('So far', m.verdict);
  verdict.classList.add('tone-' + m.tone);
  return [cell('', m.name), verdict, cell('Evidence', m.sure), cell('From', m.senders), cell('Damaged', String(m.damaged), 'figure')];
}

/** Bars: damaged upwards on a scale of doublings, so that one is seen beside a hundred; whole ones downwards. */
function strip() {
  var svg = id('strip');
  var width = Math.max(240, svg.clientWidth);
  var left = 34;
  var base = 130;
  var step = (width - left - 4) / SHOWN;
  svg.setAttribute('viewBox', '0 0 ' + width + ' 190');
  svg.replaceChildren();
  var most = Math.max.apply(null, [16].concat(state.damaged));
  var tallest = Math.log2(1 + most);
  var mostWhole = Math.max.apply(null, [1].concat(state.whole));
  function up(n) { return Math.log2(1 + n) / tallest * (base - 26); }
  for (var tick = 1; tick <= most; tick *= 4) {
    svg.appendChild(draw('path', {'class': 'rule', d: 'M' + left + ' ' + (base - up(tick)).toFixed(1) + 'H' + (width - 4)}));
    svg.appendChild(draw('text', {'class': 'end', x: left - 5, y: (base - up(tick) + 4).toFixed(1)}, String(tick)));
  }
  var n = state.damaged.length;
  var hurt = '';
  var fine = '';
  for (var i = 0; i < n; i++) {
    var x = left + (SHOWN - n + i) * step;
    var w = Math.max(1, step - 1);
    if (state.damaged[i] < 0) {
      svg.appendChild(draw('rect', {'class': 'lost', x: x.toFixed(1), y: 20, width: step.toFixed(1), height: 160}));
    } else if (state.damaged[i] > 0) {
      hurt += 'M' + x.toFixed(1) + ' ' + base + 'h' + w.toFixed(1) + 'v' + (-up(state.damaged[i])).toFixed(1) + 'h' + (-w).toFixed(1) + 'z';
    }
    if (state.whole[i] > 0) {
      fine += 'M' + x.toFixed(1) + ' ' + (base + 2) + 'h' + w.toFixed(1) + 'v' + (state.whole[i] / mostWhole * 48).toFixed(1) + 'h'
        + (-w).toFixed(1) + 'z';
    }
  }
  svg.appendChild(draw('path', {'class': 'fine', d: fine}));
  svg.appendChild(draw('path', {'class': 'hurt', d: hurt}));
  svg.appendChild(draw('path', {'class': 'axis', d: 'M' + left + ' ' + base + 'H' + (width - 4)}));
  // The newest marks get their labels first; one that would lie over another goes without.
  var taken = [];
  state.marks.slice().reverse().forEach(function (mark) {
    var at = left + (SHOWN - n + mark[0] - state.first) * step;
    if (at < left) return;
    svg.appendChild(draw('path', {'class': 'noted', d: 'M' + at.toFixed(1) + ' 16V186'}));
    var room = mark[1].length * 6.6 + 10;
    var turned = at + room > width;
    var from = turned ? at - room : at;
    if (taken.some(function (t) { return from < t[1] && t[0] < from + room; })) return;
    svg.appendChild(draw('text', {'class': turned ? 'noted-label end' : 'noted-label', x: (at + (turned ? -4 : 4)).toFixed(1),
      y: 13}, mark[1]));
    taken.push([from, from + room]);
  });
}

function timeText(seconds) {
  var s = Math.floor(seconds);
  function two(v) { return (v < 10 ? '0' : '') + v; }
  return Math.floor(s / 3600) + ':' + two(Math.floor(s / 60) % 60) + ':' + two(s % 60);
}

function show() {
  document.body.classList.remove('gone');
  document.body.dataset.phase = state.phase;
  say(id('time'), state.time);
  say(id('line'), state.line.length > 2 ? ', line ' + state.line : '');
  say(id('headline'), state.headline);
  id('headline').className = 'verdict tone-' + state.tone;
  document.title = (state.damagedNow > 0 ? state.damagedNow + ' damaged - ' : '') + 'Live view - Buswitness';
  fill(id('plain'), 'p', state.plain);
  say(id('basis'), state.basis);
  fill(id('warnings'), 'p', state.warnings);
  say(id('damaged-now'), state.damagedNow < 0 ? '\u2013' : String(state.damagedNow));
  id('damaged-now').classList.toggle('none', state.damagedNow <= 0);
  say(id('whole-now'), state.wholeNow < 0 ? '\u2013' : String(state.wholeNow));
  say(id('load'), state.load === 'unknown' ? '\u2013' : state.load);
  say(id('damaged-all'), state.damagedAll);
  say(id('whole-all'), state.wholeAll);
  say(id('bus'), state.bus + '.');
  id('who').hidden = !state.senders.length;
  rows(id('senders'), state.senders, senderCells);
  id('sick').hidden = !state.instruments.length;
  fill(id('instruments'), 'li', state.instruments);
  id('all').hidden = !state.messages.length;
  rows(id('messages'), state.messages, messageCells);
  say(id('more'), state.moreMessages ? state.moreMessages + ' more messages.' : '');
  id('noted').hidden = !state.marks.length && !state.gaps.length;
  fill(id('marks'), 'li', state.marks.map(function (m) { return timeText(m[0]) + '  ' + m[1]; }).concat(state.gaps));
  say(id('recorder'), state.recorder.charAt(0).toUpperCase() + state.recorder.slice(1) + '.');
  say(id('says'), state.says);
  strip();
}

/* A short tone for damage, for whoever is under the dashboard and cannot see the page. */
var sound = null;
var heardDamage = -1;
function tone() {
  var now = Number(state.damagedAll.replace(/[^0-9]/g, ''));
  var more = heardDamage >= 0 && now > heardDamage;
  heardDamage = now;
  if (!sound || !more) return;
  var note = sound.createOscillator();
  var loud = sound.createGain();
  note.frequency.value = 880;
  loud.gain.value = 0.15;
  note.connect(loud);
  loud.connect(sound.destination);
  note.start();
  note.stop(sound.currentTime + 0.08);
}
id('sound').addEventListener('click', function () {
  if (sound) {
    sound.close();
    sound = null;
  } else {
    sound = new AudioContext();
  }
  id('sound').textContent = sound ? 'Sound is on: a tone for damage' : 'Sound is off';
  id('sound').setAttribute('aria-pressed', String(Boolean(sound)));
});

var marked = 0;
function mark(label) {
  var mine = ++marked;
  return fetch('mark', {method: 'POST', body: label}).then(function (answer) {
    if (!answer.ok) throw new Error();
    if (mine === marked) say(id('marked'), 'Marked: ' + label);
  }).catch(function () { say(id('marked'), 'The mark could not be set: the recorder does not answer.'); });
}
id('mark-form').addEventListener('submit', function (event) {
  event.preventDefault();
  mark(id('label').value.trim() || 'mark').then(function () { id('label').value = ''; });
});
// Keys that whoever started the recording chose; not while a label is being typed, and not with Ctrl, Alt or the like.
document.querySelectorAll('#keys button').forEach(function (button) {
  button.addEventListener('click', function () { mark(button.dataset.label); });
});
document.addEventListener('keydown', function (event) {
  if (event.ctrlKey || event.metaKey || event.altKey || event.repeat || event.target.tagName === 'INPUT') return;
  document.querySelectorAll('#keys button').forEach(function (button) {
    if (button.dataset.key === event.key && !button.disabled) mark(button.dataset.label);
  });
});

var source = new EventSource('states');
source.onmessage = function (event) {
  state = JSON.parse(event.data);
  show();
  tone();
  if (state.phase === 'ended') {
    document.querySelectorAll('#mark, #keys button').forEach(function (button) { button.disabled = true; });
  }
};
source.onerror = function () {
  document.body.classList.add('gone');
  var over = state && state.phase === 'ended';
  if (over) source.close();
  fill(id('warnings'), 'p', [over ? 'The recording has ended; this page keeps what it showed last.'
    : 'The recorder does not answer. What is shown here stands still; look at the terminal.']);
};
new ResizeObserver(function () { if (state) strip(); }).observe(id('strip'));
