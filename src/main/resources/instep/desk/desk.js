'use strict';
// Shows what the desk tells: all of it whenever something changes, and once a second where time has got to. In between, time runs here.

const STALE_MILLIS = 2000;
const AGAIN_MILLIS = 3000;
const SPEAK_MILLIS = 2000;
const RENEW_MILLIS = 86400000;

const calm = matchMedia('(prefers-reduced-motion: reduce)');
const written = new Map();
let source = null;
let tried = -Infinity;
let heard = -Infinity;
let state = null;
let clock = null;
let shownFrame = -1;

const part = id => document.getElementById(id);

function put(id, text) {
  const element = part(id);
  if (element && element.textContent !== text) element.textContent = text;
}

function make(tag, kind, text) {
  const element = document.createElement(tag);
  if (kind) element.className = kind;
  if (text !== undefined) element.textContent = text;
  return element;
}

/** As large as its place is wide, and at most that share of the height that faults leave. */
function fit(id, share) {
  const element = part(id);
  const size = 100;
  element.style.fontSize = size + 'px';
  const width = element.getBoundingClientRect().width;
  const room = element.parentElement.clientWidth;
  const height = Math.max(innerHeight / 2, innerHeight - part('faults').offsetHeight - part('stale').offsetHeight);
  element.style.fontSize = Math.min(size * room / Math.max(width, 1), height * share) + 'px';
}

const glance = document.body.className === 'glance';

function fitTo(scale) {
  const doubtful = document.body.dataset.angle === 'doubtful';
  // The line that says why needs some of the angle's room.
  fit('angle', (glance ? 0.42 : 0.25) * (doubtful ? 0.75 : 1) * scale);
  fit('timecode', (glance ? 0.2 : 0.12) * scale);
  document.body.style.setProperty('--scale', scale);
}

/** Nobody scrolls a small screen behind a camera: there, all of it is made smaller until nothing is below the edge. */
function fitAll() {
  fitTo(1);
  const root = document.documentElement;
  for (let scale = 0.9; glance && scale > 0.35 && root.scrollHeight > innerHeight; scale -= 0.1) fitTo(scale);
}

/** Lists are made anew only when they say something else, so that nobody loses their place in them. */
function list(id, items, one) {
  const element = part(id);
  const text = JSON.stringify(items);
  if (!element || written.get(id) === text) return;
  written.set(id, text);
  element.replaceChildren(...items.map(one));
}

/** The label of a frame (SMPTE ST 12-1): in drop-frame, labels are skipped at each minute that is no multiple of ten. */
function label(frame, rate) {
  let count = frame;
  if (rate.dropped > 0) {
    const minute = rate.counted * 60;
    const ten = minute * 10 - rate.dropped * 9;
    const within = frame % ten;
    const skips = within < minute ? 0 : 1 + Math.floor((within - minute) / (minute - rate.dropped));
    count += rate.dropped * (Math.floor(frame / ten) * 9 + skips);
  }
  const two = number => String(number).padStart(2, '0');
  const seconds = Math.floor(count / rate.counted);
  const sign = rate.dropped > 0 ? ';' : ':';
  return two(Math.floor(seconds / 3600) % 24) + ':' + two(Math.floor(seconds / 60) % 60) + ':' + two(seconds % 60) + sign + two(count % rate.counted);
}

function length(millis) {
  const seconds = Math.floor(millis / 1000);
  const two = number => String(number).padStart(2, '0');
  return Math.floor(seconds / 3600) + ':' + two(Math.floor(seconds / 60) % 60) + ':' + two(seconds % 60);
}

/** Frames of a day at the rate, after which labels begin again. */
function framesOfDay(rate) {
  return 86400 * rate.counted - 24 * 54 * rate.dropped;
}

function framesAt(now) {
  return clock.frame + (now - clock.at) * state.rate.speed * state.rate.numerator / state.rate.denominator / 1000;
}

/** News of the time: what differs by less than a frame or two is the way here, and is taken up slowly. */
function setClock(told, now) {
  const next = { frame: told.frame, at: now - told.into / state.rate.speed, take: told.take, takeAt: now };
  if (clock) {
    const perMilli = state.rate.speed * state.rate.numerator / state.rate.denominator / 1000;
    const ahead = framesAt(now) - (told.frame + (now - next.at) * perMilli);
    if (Math.abs(ahead) < 2) next.at -= 0.8 * ahead / perMilli;
  }
  clock = next;
}

function runTime() {
  const now = performance.now();
  if (clock && now - heard < STALE_MILLIS) {
    let frame = Math.floor(framesAt(now));
    if (calm.matches) frame -= frame % state.rate.counted;
    if (frame < shownFrame && shownFrame - frame <= 2) frame = shownFrame;
    if (frame !== shownFrame) {
      shownFrame = frame;
      put('timecode', label(frame % framesOfDay(state.rate), state.rate));
    }
    const ran = state.take.open ? (now - clock.takeAt) * state.rate.speed : 0;
    put('take-time', state.take.number > 0 ? length(clock.take + ran) : '');
  }
  requestAnimationFrame(runTime);
}

function named(item) {
  const line = make('li', item.fine ? '' : 'bad');
  line.append(make('span', 'name', item.name), ' ', make('span', 'words', item.words));
  if (item.latency) line.append(' ', make('span', 'soft', '· ' + item.latency));
  return line;
}

function pedal(item) {
  const line = named(item);
  line.append(' ');
  for (const contact of item.contacts) line.append(make('span', contact.closed ? 'contact closed' : 'contact', contact.name), ' ');
  return line;
}

function happening(line) {
  return make('li', line.text.slice(22, 24) === '!!' ? 'attention' : '', line.text);
}

function mark(one) {
  const line = make('li');
  line.append(make('span', 'name', one.label), ' ', one.text);
  return line;
}

const key = fault => fault.number + ' ' + fault.what + ' ' + fault.why;

function faultLine(fault) {
  const line = make('li');
  line.dataset.number = key(fault);
  const times = fault.times > 1 ? ', ' + fault.times + ' times' : '';
  const seen = make('button', '', 'Acknowledge');
  seen.type = 'button';
  seen.setAttribute('aria-label', 'Acknowledge: ' + fault.what);
  seen.addEventListener('click', () => acknowledge(fault.number));
  const since = fault.label ? (fault.stands ? 'since ' : 'at ') + fault.label : 'now';
  const what = make('span', 'what', 'Fault: ' + fault.what);
  what.append(make('span', 'why', (fault.why ? fault.why + ' ' : '') + '(' + since + times + ')'));
  line.append(what, seen);
  return line;
}

function acknowledge(number) {
  fetch('/acknowledge', {
    method: 'POST',
    headers: { 'Content-Type': 'application/x-www-form-urlencoded' },
    body: 'fault=' + encodeURIComponent(number),
  }).catch(() => {});
}

/** Lines that stay are the same elements as before, so that whoever is about to press a button still is. */
function showFaults(faults) {
  const most = glance ? 1 : innerWidth < 700 ? 2 : 3;
  const shown = faults.slice(0, most);
  const lines = part('fault-list');
  const there = new Map([...lines.children].map(line => [line.dataset.number, line]));
  const wasIn = lines.contains(document.activeElement);
  const wanted = shown.map(fault => there.get(key(fault)) || faultLine(fault));
  if (wanted.length !== lines.children.length || wanted.some((line, i) => lines.children[i] !== line)) {
    const focused = document.activeElement;
    lines.replaceChildren(...wanted);
    if (wasIn) (lines.contains(focused) ? focused : lines.querySelector('button') || part('air-title')).focus();
  }
  part('faults').hidden = faults.length === 0;
  part('fault-rest').hidden = faults.length <= most;
  put('fault-rest', faults.length > most ? 'and ' + (faults.length - most) + ' more' : '');
}

const said = { words: '', at: -Infinity, waits: null };

/** For those who listen: the latest news only, and not before the last one was said. */
function speak(words) {
  said.words = words;
  if (said.waits) return;
  said.waits = setTimeout(() => {
    said.waits = null;
    said.at = performance.now();
    put('spoken', said.words);
  }, Math.max(0, said.at + SPEAK_MILLIS - performance.now()));
}

function tellChanges(before, now) {
  if (!before) return;
  const news = [];
  if (before.onAir.angle !== now.onAir.angle || before.onAir.doubt !== now.onAir.doubt)
    news.push((now.onAir.doubt ? 'Perhaps not on air: ' : 'On air: ') + now.onAir.angle);
  if (before.take.open !== now.take.open) news.push('Take ' + now.take.number + (now.take.open ? ' rolls' : ' has ended'));
  if (news.length > 0) speak(news.join('. '));
  const known = new Set(before.faults.map(fault => fault.what));
  const fresh = now.faults.filter(fault => !known.has(fault.what));
  if (fresh.length > 0) put('alarm', fresh.map(fault => 'Fault: ' + fault.what).join('. '));
}

function show(now) {
  const take = now.take;
  const doubt = now.onAir.angle && now.onAir.doubt;
  const angle = (doubt ? '? ' : '') + (now.onAir.angle || '–');
  document.body.dataset.angle = doubt ? 'doubtful' : 'sure';
  part('doubt').hidden = !doubt;
  put('doubt', doubt ? 'perhaps not on air: ' + doubt : '');
  if (part('angle').textContent !== angle) {
    put('angle', angle);
    fitAll();
  }
  put('air-words', now.onAir.words);
  put('sync', now.sync && 'from ' + now.sync + ', ' + now.rate.label);
  put('take', take.number > 0 ? 'Take ' + take.number : 'No take yet');
  put('rolling', take.open ? 'rolling' : 'not rolling');
  document.body.dataset.take = take.open ? 'open' : 'closed';
  list('recorders', now.recorders, named);
  list('pedals', now.pedals, pedal);
  list('links', now.links, named);
  list('marks', now.marks, mark);
  list('happenings', [...now.happenings].reverse(), happening);
  for (const kind of ['recorders', 'pedals', 'links', 'marks']) {
    const place = part(kind);
    if (place) place.parentElement.hidden = now[kind].length === 0;
  }
  put('version', now.version);
  showFaults(now.faults);
  document.title = (now.faults.length > 0 ? '! ' : '') + angle + (take.open ? ' · take ' + take.number + ' rolling' : '') + ' · Desk';
}

function connect() {
  tried = performance.now();
  if (source) source.close();
  source = new EventSource('/events');
  source.addEventListener('state', event => {
    const before = state;
    heard = performance.now();
    state = JSON.parse(event.data);
    setClock(state.clock, heard);
    show(state);
    tellChanges(before, state);
    watch();
  });
  source.addEventListener('beat', event => {
    heard = performance.now();
    setClock(JSON.parse(event.data).clock, heard);
    watch();
  });
}

/** A browser goes on trying by itself only where the connection broke; where the desk refuses, it may be the token that has changed. */
async function again() {
  if (source && source.readyState === EventSource.CLOSED) {
    const answer = await fetch('/health', { cache: 'no-store' }).catch(() => null);
    if (answer && answer.status === 401) {
      location.reload();
      return;
    }
  }
  connect();
}

function watch() {
  const now = performance.now();
  const silent = now - Math.max(heard, 0);
  const old = silent > STALE_MILLIS;
  if (old && document.body.dataset.news === 'fresh') speak('No news from the desk');
  document.body.dataset.news = old ? 'old' : 'fresh';
  part('stale').hidden = !old;
  if (!old) document.title = document.title.replace(/^\? /, '');
  if (old) {
    put('stale-since', heard > 0 ? 'Nothing has come for ' + Math.floor(silent / 1000) + ' s.' : 'Nothing has come yet.');
    if (document.title[0] !== '?') document.title = '? ' + document.title;
    if (now - tried > AGAIN_MILLIS) {
      tried = now;
      again();
    }
  }
}

/** A cookie holds for 90 days from when a view was asked for last; a screen that nobody touches asks once a day. */
function renew() {
  return fetch(location.pathname, { method: 'HEAD', cache: 'no-store' }).then(answer => answer.status, () => 0);
}

addEventListener('resize', fitAll);
const bands = new ResizeObserver(fitAll);
bands.observe(part('faults'));
bands.observe(part('stale'));
bands.observe(part('doubt'));
fitAll();
connect();
setInterval(watch, 250);
setInterval(renew, RENEW_MILLIS);
requestAnimationFrame(runTime);
