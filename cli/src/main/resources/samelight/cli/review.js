// Decisions on the review page. Text from the shoot is only ever set as text; markup comes from the
// page's own templates, which escape it.
const $ = (selector, within = document) => within.querySelector(selector);
const $$ = (selector, within = document) => [...within.querySelectorAll(selector)];

const told = $('#told');
const groups = $('#groups');
let state = { version: '', token: '', ready: false };
let current = null; // the frame that decisions are about
let aside = null;
let before = Promise.resolve(); // the decision that is being made

/** After the first frame is on the screen: until then nothing else is asked of this computer. */
const painted = new Promise((then) => requestAnimationFrame(() => setTimeout(then)));

function tell(text, bad = false) {
  told.textContent = text;
  told.classList.toggle('bad', bad);
}

function buttons() {
  for (const b of $$('#desk button[data-do]')) {
    const what = b.dataset.do;
    if (['keys', 'aside', 'asideEnd', 'carryNo'].includes(what)) continue;
    b.disabled = !state.ready
      || (what === 'undo' && !state.canUndo)
      || (what === 'redo' && !state.canRedo);
  }
  $('#gradeform button[type=submit]').disabled = !state.ready;
}

async function ask() {
  const answer = await fetch('/state', { cache: 'no-store' });
  const before = state;
  state = await answer.json();
  buttons();
  if (state.problem) tell(state.problem, true);
  if (state.stale || (before.version && before.version !== state.version)) location.reload();
  return state;
}

async function untilReady() {
  await ask();
  const waited = !state.ready;
  while (!state.ready && !state.problem) {
    tell('Pictures are being compared; decisions and matched pictures in a moment.');
    await new Promise((then) => setTimeout(then, 400));
    await ask();
  }
  if (state.ready) {
    if (waited) for (const lot of $$('article[data-loaded=true]')) load(lot, true);
    tell('Ready. Choose a frame; ? shows the keys.');
  }
  document.body.dataset.ready = String(state.ready);
}

// Frames of a group come when the group is nearly in sight.
const loading = new Map();
function load(lot, again = false) {
  if (!again && lot.dataset.loaded === 'true') return Promise.resolve(lot);
  const key = lot.dataset.key;
  if (!loading.has(key)) {
    loading.set(key, fetch(`/group/${lot.dataset.reference}`)
      .then((answer) => (answer.ok ? answer.text() : Promise.reject(answer.status)))
      .then((html) => replace(lot.isConnected ? lot : $(`article[data-key="${key}"]`), html))
      .catch(() => {
        setTimeout(() => { // asked again while it is in sight
          sight.unobserve(lot);
          sight.observe(lot);
        }, 2000);
        return lot;
      })
      .finally(() => loading.delete(key)));
  }
  return loading.get(key);
}

function made(html) {
  const template = document.createElement('template');
  template.innerHTML = html;
  return template.content.firstElementChild;
}

/** Gives a group new content. The element stays, so that the browser can hold the view on it. */
function replace(lot, html) {
  const fresh = made(html);
  const even = $('.even', lot);
  const here = current && lot.contains(current) ? current.id : null;
  const focused = lot.contains(document.activeElement);
  if (even && even.checked) $('.even', fresh).checked = true;
  fresh.dataset.id = lot.dataset.id;
  for (const { name, value } of fresh.attributes) {
    if (lot.getAttribute(name) !== value) lot.setAttribute(name, value);
  }
  lot.replaceChildren(...fresh.childNodes);
  if (here) {
    const again = document.getElementById(here);
    if (again) come(again, false, focused); // whoever types meanwhile goes on typing
  }
  return lot;
}

const sight = new IntersectionObserver((entries) => {
  for (const e of entries) if (e.isIntersecting) load(e.target);
}, { rootMargin: '900px 0px' });

function watch() {
  const lots = $$('article.lot');
  const waiting = lots.filter((lot) => lot.dataset.loaded !== 'true' && !lot.style.containIntrinsicSize);
  if (waiting.length) {
    // measured once: each measurement after a change lays the page out anew
    const columns = Math.max(1, Math.floor(waiting[0].clientWidth / 130));
    for (const lot of waiting) {
      const height = 420 + Math.ceil(lot.dataset.count / columns) * 150;
      lot.style.containIntrinsicSize = `auto ${height}px`;
    }
  }
  for (const lot of lots) sight.observe(lot);
  const target = $('#target');
  const chosen = target.value;
  lots.forEach((lot, i) => {
    const option = target.options[i] || target.appendChild(document.createElement('option'));
    const text = `${$('.gid', lot).textContent} ${$('.words', lot).textContent}`;
    if (option.value !== lot.dataset.reference) option.value = lot.dataset.reference;
    if (option.textContent !== text) option.textContent = text;
  });
  target.length = lots.length;
  if (chosen) target.value = chosen;
}

const lotOf = (element) => element && element.closest('article.lot');
const idsOf = (li) => li.dataset.frames.split(',').map(Number);

/** Makes a frame the one that decisions are about. */
function come(li, scroll = true, focus = true) {
  if (current) {
    current.tabIndex = -1;
  }
  current = li;
  li.tabIndex = 0;
  if (focus) li.focus({ preventScroll: !scroll });
  if (scroll) li.scrollIntoView({ block: 'center' });
  const lot = lotOf(li);
  hither();
  const name = $('.name', li).textContent.trim().replace(/\s+/g, ' ');
  const match = $$('.match', li).map((p) => p.textContent).join(', ');
  $('#readout').textContent = `${name} in group ${lot.dataset.id}: ${match}`;
  other(lot);
  if (document.activeElement.tagName !== 'INPUT') {
    $('#ev').value = lot.dataset.ev;
    $('#kelvin').value = lot.dataset.kelvin;
    $('#sectionname').value = $('.called', li.closest('.chapter')).textContent;
  }
  compare();
}

/** The other group is the one before, until somebody picks another. */
let picked = false;
function other(lot) {
  if (picked) return;
  const lots = $$('article.lot');
  const at = lots.indexOf(lot);
  const before = lots[at - 1] || lots[at + 1];
  if (before) $('#target').value = before.dataset.reference;
}
$('#target').addEventListener('change', () => {
  picked = true;
});

const chosen = () => $$('li.chosen', groups);
function choose(li) {
  li.classList.toggle('chosen');
  count();
}
function count() {
  const n = chosen().flatMap(idsOf).length;
  $('#chosen').textContent = n ? `${n} chosen` : '';
}

function frames() {
  const many = chosen().flatMap(idsOf);
  return many.length ? many : current ? idsOf(current) : [];
}

/** The one frame that is looked at, whatever else is chosen. */
const here = () => (current ? idsOf(current).slice(0, 1) : []);

async function step(by) {
  const all = $$('.frames > li', groups);
  let at = all.indexOf(current) + by;
  if (!current) {
    const first = $('article.lot');
    await load(first);
    return come($('.frames > li', groups));
  }
  if (at < 0 || at >= all.length || lotOf(all[at]) !== lotOf(current)) {
    const lots = $$('article.lot');
    const next = lots[lots.indexOf(lotOf(current)) + by];
    if (!next) return undefined;
    const loaded = await load(next);
    const own = $$('.frames > li', loaded);
    if (!own.length) return undefined;
    return come(by > 0 ? own[0] : own[own.length - 1]);
  }
  return come(all[at]);
}

async function nextEyes() {
  const lots = $$('article.lot');
  for (const lot of lots.slice(Math.max(0, lots.indexOf(lotOf(current))))) {
    if (lot.dataset.doubted === '0') continue;
    const own = $$('.eyes > li', await load(lot));
    const next = own[own.indexOf(current) + 1];
    if (next) return come(next);
  }
  return tell('No further frame needs eyes.');
}

async function post(path, fields) {
  const answer = await fetch(path, {
    method: 'POST',
    headers: { 'Content-Type': 'application/json', 'X-Samelight-Token': state.token },
    body: JSON.stringify({ version: state.version, ...fields }),
  });
  const text = await answer.text();
  let json;
  try {
    json = JSON.parse(text);
  } catch {
    json = { told: text };
  }
  return { status: answer.status, json };
}

/** Decides when the decisions before are made: none is lost to someone who types fast. */
function decide(path, fields, done) {
  before = before.then(() => decideNow(path, fields, done));
  return before;
}

async function decideNow(path, fields, done) {
  const start = performance.now();
  try {
    const { status, json } = await post(path, fields);
    if (status === 200) {
      state = { ...state, ...json };
      picked = false;
      draw(json);
      // after the next frame is on the screen
      await new Promise((then) => requestAnimationFrame(() => setTimeout(then)));
      document.body.dataset.took = (performance.now() - start).toFixed(0);
      tell(json.told ? `${done} ${json.told}.` : done);
    } else if (status === 409 && json.version && json.version !== state.version) {
      conflict(json);
    } else {
      tell(json.told || 'It could not be done.', true);
    }
  } catch {
    tell('samelight does not answer. Has it been ended? What was decided before is kept.', true);
  } finally {
    buttons();
  }
}

async function conflict(json) {
  tell(`${json.told}.`, true);
  sessionStorage.setItem('told', json.told);
  setTimeout(() => location.reload(), 1500);
}

function chapter() {
  const section = document.createElement('section');
  section.className = 'chapter';
  const head = document.createElement('h2');
  for (const part of ['called', 'when']) {
    const span = document.createElement('span');
    span.className = part;
    head.append(span, ' ');
  }
  section.append(head);
  return section;
}

function headline(section, s) {
  if (section.dataset.frame !== String(s.frame)) section.dataset.frame = s.frame;
  if ($('h2', section).id !== s.anchor) {
    section.setAttribute('aria-labelledby', s.anchor);
    $('h2', section).id = s.anchor;
  }
  for (const [part, text] of [['.called', s.name], ['.when', s.when]]) {
    const span = $(part, section);
    if (span.textContent !== text) span.textContent = text;
  }
}

/** Has these elements, and no others of their kind, in this order; what is in its place stays. */
function order(parent, wanted, kind) {
  const keep = new Set(wanted);
  for (const child of [...parent.children]) {
    if (child.matches(kind) && !keep.has(child)) child.remove();
  }
  let next = [...parent.children].find((child) => child.matches(kind)) || null;
  for (const child of wanted) {
    if (child === next) next = next.nextElementSibling;
    else parent.insertBefore(child, next);
  }
}

/** Whether no text stands between its children. */
const bare = (e) => [...e.childNodes].every((n) => n.nodeType !== Node.TEXT_NODE || !n.data.trim());

/** Has what the other has, changing no more than what differs. */
function become(old, fresh) {
  if (old.isEqualNode(fresh)) return;
  const alike = old.nodeName === fresh.nodeName && old.id === fresh.id
    && old.children.length && fresh.children.length && bare(old) && bare(fresh);
  if (!alike) {
    old.replaceWith(fresh);
    return;
  }
  for (const { name } of [...old.attributes]) if (!fresh.hasAttribute(name)) old.removeAttribute(name);
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  children(old, fresh);
}

function children(old, fresh) {
  const had = [...old.children];
  const wanted = [...fresh.children];
  wanted.forEach((child, i) => (i < had.length ? become(had[i], child) : old.append(child)));
  for (const child of had.slice(wanted.length)) child.remove();
}

/** Gives a part new markup; an answer has only parts that have changed. */
function write(selector, html) {
  if (html === undefined) return;
  const part = $(selector);
  const fresh = part.cloneNode(false);
  fresh.innerHTML = html;
  children(part, fresh);
}

// The frames' marks in the day's line, by frame: all of a kind are one path, so that thousands
// are drawn at once. They stand where they are while the page does.
const paper = $('.paper svg');
const marks = new Map();
let doubted = new Set();
let out = new Set(); // frames that are in no group any more
const placed = painted.then(() => fetch('/marks')).then((answer) => answer.json()).then((json) => {
  for (const [id, x, y, shape, eyes, says] of json.marks) {
    marks.set(id, { x, y, shape, says });
    if (eyes) doubted.add(id);
  }
  hither();
});

const outline = (id) => $(`#${id} path`).getAttribute('d').slice('M0 0'.length);

function path(element, ids, shape) {
  const all = ids.map((id) => marks.get(id)).filter(Boolean).map(({ x, y }) => `M${x} ${y}${shape}`);
  const d = [...new Set(all)].join(''); // marks that lie on each other are drawn once
  if (element.getAttribute('d') !== d) element.setAttribute('d', d);
}

/** Draws the marks of frames that need eyes, and of references. */
function mark(eyes, references, unmatched) {
  doubted = new Set(eyes);
  out = new Set(unmatched);
  for (const element of $$('#marks [data-shape]')) {
    const shape = Number(element.dataset.shape);
    const filled = element.classList.contains('doubt');
    const ids = [...marks.keys()]
      .filter((id) => marks.get(id).shape === shape && doubted.has(id) === filled && !out.has(id));
    path(element, ids, outline(`m${shape}`));
  }
  path($('#marks .ring'), references, outline('ring'));
  hither();
}

/** The mark of the frame that decisions are about stands out. */
function hither() {
  const id = current ? idsOf(current)[0] : -1;
  const at = marks.get(id);
  const sign = $('#hither');
  sign.setAttribute('visibility', at ? 'visible' : 'hidden');
  if (!at) return;
  sign.setAttribute('href', `#m${at.shape}`);
  sign.setAttribute('x', at.x);
  sign.setAttribute('y', at.y);
  sign.classList.toggle('doubt', doubted.has(id));
}

/** The frame whose mark is nearest to the pointer, within some 8 units of the drawing. */
function under(e) {
  const turn = paper.getScreenCTM();
  if (!turn || e.target.closest('a')) return null;
  const at = new DOMPoint(e.clientX, e.clientY).matrixTransform(turn.inverse());
  let nearest = null;
  let distance = 64;
  for (const [id, { x, y }] of marks) {
    const d = (x - at.x) ** 2 + (y - at.y) ** 2;
    if (d < distance && !out.has(id)) [nearest, distance] = [id, d];
  }
  return nearest;
}

/** The groups that a section was last drawn with. */
const holds = new WeakMap();

/** Draws what a decision changed; what it didn't stays as it is. */
function draw(json) {
  const old = new Map($$('article.lot').map((lot) => [lot.dataset.key, lot]));
  const at = current ? current.id : null;
  const top = current ? current.getBoundingClientRect().top : 0;
  const had = new Map($$('section.chapter', groups).map((s) => [s.dataset.frame, s]));
  const sections = json.sections.map((s) => {
    const section = had.get(String(s.frame)) || chapter();
    headline(section, s);
    const says = s.groups.map((g) => `${g.key} ${g.id}`).join();
    if (holds.get(section) === says) return section;
    holds.set(section, says);
    order(section, s.groups.map((g) => {
      const lot = g.key in json.html ? made(json.html[g.key]) : old.get(g.key);
      if (lot.dataset.id !== g.id) lot.dataset.id = g.id;
      const id = $('.gid', lot);
      if (id.textContent !== g.id) id.textContent = g.id;
      return lot;
    }), 'article.lot');
    return section;
  });
  order(groups, sections, 'section.chapter');
  setTimeout(() => {
    for (const key of Object.keys(json.html)) {
      const lot = $(`article[data-key="${key}"]`);
      if (lot) load(lot, true);
    }
  }, 600);
  $('#lede').textContent = json.lede;
  write('#contents', json.contents);
  write('#bands', json.bands);
  write('#sections', json.brackets);
  write('#numbered', json.numbered);
  const keepers = $('#keepers');
  if (keepers && json.keepers) become(keepers, made(json.keepers));
  const account = $('[aria-labelledby=account]');
  if (account && json.account) become(account, made(json.account));
  placed.then(() => mark(json.eyes, json.references, json.unmatched));
  watch();
  count();
  current = null;
  let again = at && document.getElementById(at);
  if (again && !again.dataset.frames) again = again.closest('[data-frames]');
  if (again) {
    come(again, false);
    window.scrollBy(0, again.getBoundingClientRect().top - top);
  }
}

function compare() {
  const box = $('#compare');
  box.hidden = !aside;
  if (!aside || !current) return;
  const how = (li) => (lotOf(li) && $('.even', lotOf(li)).checked ? 'matched' : 'shot');
  $('#nowimg').src = `/picture/${idsOf(current)[0]}/large/${how(current)}/${state.version}`;
  $('#nowname').textContent = $('.name', current).textContent.trim();
  $('#nowimg').alt = `The frame you are at: ${$('#nowname').textContent}`;
}

const does = {
  reference: () => decide('/decide', { kind: 'reference', frames: here() }, 'It is the reference now.'),
  split: () => decide('/decide', { kind: 'split', frames: here() }, 'A group begins here.'),
  move: () => decide('/decide', { kind: 'move', frames: frames(), to: $('#target').value }, 'Moved.'),
  join: () => decide('/decide', { kind: 'join', frames: here(), to: $('#target').value }, 'One group now.'),
  own: () => decide('/decide', { kind: 'own', frames: frames() }, 'They are a group of their own.'),
  leaveOut: () => decide('/decide', { kind: 'leaveOut', frames: frames() }, 'Left out: no recipe. Undo takes it in again.'),
  clearGrade: () => decide('/decide', { kind: 'clearGrade', frames: [Number(lotOf(current).dataset.reference)] }, 'No grade is stated.'),
  name: () => decide('/decide', { kind: 'name', frames: here(), name: $('#sectionname').value }, 'Named.'),
  undo: () => decide('/undo', {}, 'Undone.'),
  redo: () => decide('/redo', {}, 'Done again.'),
  aside: () => {
    aside = current;
    const how = $('.even', lotOf(aside)).checked ? 'matched' : 'shot';
    $('#asideimg').src = `/picture/${idsOf(aside)[0]}/large/${how}/${state.version}`;
    $('#asidename').textContent = $('.name', aside).textContent.trim();
    $('#asideimg').alt = `Laid aside: ${$('#asidename').textContent}`;
    compare();
    tell('Laid aside. Go to another frame, of any group, to see both.');
  },
  asideEnd: () => {
    aside = null;
    compare();
  },
  keys: () => {
    const keys = $('#keys');
    keys.hidden = !keys.hidden;
    $('[data-do=keys]').setAttribute('aria-expanded', String(!keys.hidden));
  },
  carry: async () => {
    const { status, json } = await post('/planned', {});
    if (status !== 200) return tell(json.told || 'It could not be done.', true);
    $('#carrytext').textContent = json.lines.join('\n');
    return $('#carrybox').showModal();
  },
  carryNow: () => {
    $('#carrybox').close();
    return written('/carry');
  },
  carryNo: () => $('#carrybox').close(),
  revert: () => written('/revert'),
};

async function written(path) {
  const { status, json } = await post(path, {});
  if (status === 409 && json.version && json.version !== state.version) return conflict(json);
  return tell(json.told || 'It could not be done.', status !== 200);
}

const needsFrame = ['reference', 'split', 'move', 'join', 'own', 'leaveOut', 'clearGrade', 'name', 'aside'];
function act(what) {
  const button = $(`[data-do=${what}]`);
  if (button && button.disabled) return;
  if (needsFrame.includes(what) && !current) tell('Choose a frame first.', true);
  else does[what]();
}

function stateGrade() {
  if (!current) return tell('Choose a frame of the group first.', true);
  const kelvin = $('#kelvin').value;
  return decide('/decide', {
    kind: 'grade',
    frames: [Number(lotOf(current).dataset.reference)],
    ev: Number($('#ev').value),
    ...(kelvin ? { kelvin: Number(kelvin) } : {}),
  }, 'The grade is stated; the matched pictures follow it.').then(() => {
    const even = current && $('.even', lotOf(current));
    if (even) even.checked = true;
  });
}

document.addEventListener('click', (e) => {
  const button = e.target.closest('[data-do]');
  if (button) return act(button.dataset.do);
  const li = e.target.closest('.frames > li');
  if (li && !e.target.closest('summary')) {
    if (li === current) choose(li);
    else come(li, false);
  }
  if (paper.contains(e.target)) {
    const id = under(e);
    if (id !== null) go(`f${id}`);
  }
  return undefined;
});

/** Goes to a frame wherever it is. */
async function go(id) {
  if (!document.getElementById(id)) {
    const answer = await fetch(`/group/${id.slice(1)}`);
    if (!answer.ok) return;
    const html = await answer.text();
    const lot = $(`article[data-key="${made(html).dataset.key}"]`);
    if (lot) replace(lot, html);
  }
  const li = document.getElementById(id);
  if (li) come(li.closest('[data-frames]'));
}

paper.addEventListener('pointermove', (e) => {
  const id = under(e);
  paper.classList.toggle('over', id !== null);
  if (id !== null) $('#readout').textContent = marks.get(id).says;
});

$('#gradeform').addEventListener('submit', (e) => {
  e.preventDefault();
  stateGrade();
});

const keys = {
  a: 'reference', h: 'split', m: 'move', j: 'join', o: 'own', l: 'leaveOut', k: 'aside', u: 'asideEnd', b: 'clearGrade', c: 'carry', R: 'revert', '?': 'keys',
};
document.addEventListener('keydown', (e) => {
  if ((e.ctrlKey || e.metaKey) && !e.altKey && ['z', 'y'].includes(e.key.toLowerCase())) {
    if (e.target.matches('input')) return;
    e.preventDefault();
    act(e.key.toLowerCase() === 'z' && !e.shiftKey ? 'undo' : 'redo');
    return;
  }
  if (e.ctrlKey || e.metaKey || e.altKey || $('#carrybox').open) return;
  if (e.key === 'Escape' && e.target.matches('input, select') && current) {
    e.preventDefault();
    current.focus();
    return;
  }
  if (e.target.matches('input, select, textarea')) return;
  const onButton = e.target.matches('button, a, summary');
  const handled = () => e.preventDefault();
  if (e.key === 'ArrowRight') handled(step(1));
  else if (e.key === 'ArrowLeft') handled(step(-1));
  else if (e.key === ' ' && current && !onButton) handled(choose(current));
  else if (e.key === 'Escape') {
    chosen().forEach((li) => li.classList.remove('chosen'));
    count();
  } else if (e.key === 'q') handled(nextEyes());
  else if (e.key === 'v' && current) {
    const even = $('.even', lotOf(current));
    even.checked = !even.checked;
    compare();
    handled();
  } else if (e.key === 't') handled($('#target').focus());
  else if (e.key === 'g') handled($('#ev').focus());
  else if (e.key === 'n') handled($('#sectionname').focus());
  else if (keys[e.key]) handled(act(keys[e.key]));
});
$('#sectionname').addEventListener('keydown', (e) => {
  if (e.key === 'Enter') {
    e.preventDefault();
    act('name');
  }
});

buttons();
painted.then(watch).then(untilReady).then(() => {
  const said = sessionStorage.getItem('told');
  sessionStorage.removeItem('told');
  if (said) tell(said, true);
});
