// Carries questions from the page to the worker, in which speclint itself runs, and its answers back. No rule lives here.
const at = id => document.getElementById(id);
const base = new URL('./', location).href;
const form = at('asked');
const files = {};
let worker, last = 0, waiting = new Map(), formFor = '', answered = {};
const remembered = `speclint ${base} field`;
const field = {event: '', officials: '', cars: [], selected: 0, ...JSON.parse(localStorage.getItem(remembered) ?? '{}')};

function stage(text, share) {
  at('stage').textContent = text;
  at('bar').hidden = share === undefined;
  at('bar').value = share ?? 0;
}

// ---- what the site consists of: kept for days without a network, each file held against its SHA-256 ----

const types = {html: 'text/html; charset=utf-8', css: 'text/css', js: 'text/javascript', mjs: 'text/javascript', wasm: 'application/wasm', json: 'application/json'};
const prefix = `speclint ${base} `;

async function published() {
  try {
    const answer = await fetch('parts.json', {cache: 'no-store'});
    return answer.ok ? await answer.json() : null;
  } catch { return null; }
}

async function kept() {
  for (const name of await caches.keys()) {
    const list = name.startsWith(prefix) && await (await caches.open(name)).match(`${base}parts.json`);
    if (list) return {name, parts: await list.json()};
    if (name.startsWith(prefix)) await caches.delete(name);
  }
  return null;
}

async function keep(parts) {
  const cache = await caches.open(prefix + parts.build);
  const all = Object.values(parts.files).reduce((sum, file) => sum + file.bytes, 0);
  let done = 0;
  for (const [name, file] of Object.entries(parts.files)) {
    const answer = await fetch(name, {cache: 'no-store'});
    if (!answer.ok) throw new Error(`${name} is not on the site (${answer.status})`);
    const chunks = [];
    for (const reader = answer.body.getReader();;) {
      const {done: ended, value} = await reader.read();
      if (ended) break;
      chunks.push(value);
      done += value.length;
      stage(`Fetching speclint, once: ${(done / 1e6).toFixed(1)} of ${(all / 1e6).toFixed(1)} MB`, 0.8 * done / all);
    }
    const data = await new Blob(chunks).arrayBuffer();
    const digest = [...new Uint8Array(await crypto.subtle.digest('SHA-256', data))].map(byte => byte.toString(16).padStart(2, '0')).join('');
    if (digest !== file.sha256) throw new Error(`${name} is not what the club has published: load the page again later`);
    await cache.put(new URL(name, base), new Response(data, {headers: {'Content-Type': types[name.split('.').pop()] ?? 'application/octet-stream'}}));
  }
  await cache.put(`${base}parts.json`, Response.json(parts));
}

async function serviceWorker() {
  await navigator.serviceWorker.register('offline.js');
  if (!navigator.serviceWorker.controller) {
    await new Promise(resolve => navigator.serviceWorker.addEventListener('controllerchange', resolve, {once: true}));
  }
}

async function makeReady() {
  if (!isSecureContext || !navigator.serviceWorker || !self.caches) return; // works all the same, with a network
  await serviceWorker();
  const [newest, present] = await Promise.all([published(), kept()]);
  if (!present && newest) await keep(newest);
  if (present && newest && newest.build !== present.parts.build) tellOutdated(newest, present);
}

function tellOutdated(newest, present) {
  const rules = newest.digest === present.parts.digest
    ? 'A newer page is published; its rules are the same.'
    : `Outdated: ${newest.ruleset} (${newest.digest.slice(0, 19)}…) is published, and this copy judges by ${present.parts.ruleset} (${present.parts.digest.slice(0, 19)}…). `;
  const take = document.createElement('button');
  take.type = 'button';
  take.textContent = 'Take the new one';
  take.onclick = async () => {
    take.disabled = true;
    try {
      await keep(newest);
      await caches.delete(present.name);
      location.reload();
    } catch (error) { stage(`The new one could not be fetched: ${error.message}`); take.disabled = false; }
  };
  at('outdated').replaceChildren(rules, take);
  at('outdated').hidden = false;
}

// ---- the worker ----

async function startWorker() {
  // From a blob, since such a worker is bound by this page's policy; one from an address would have none of its own.
  const source = await (await fetch('worker.js')).blob();
  worker = new Worker(URL.createObjectURL(new Blob([source], {type: 'text/javascript'})), {type: 'module'});
  const ready = new Promise((resolve, reject) => {
    worker.onmessage = ({data}) => {
      if (data.stage) return stage(data.stage, data.share);
      if (data.ready) return resolve();
      if (data.failed) return reject(new Error(data.failed));
      waiting.get(data.id)?.(data.answer);
      waiting.delete(data.id);
    };
    worker.onerror = event => reject(new Error(event.message || 'the worker did not start'));
  });
  worker.postMessage({open: base, archive: new URL(form.dataset.archive, base).href, ruleset: form.dataset.ruleset});
  await ready;
}

function ask(question) {
  const id = ++last;
  worker.postMessage({id, question});
  return new Promise(resolve => waiting.set(id, resolve));
}

// ---- questions ----

const way = () => new FormData(form).get('way');
const today = () => new Date(Date.now() - 60000 * new Date().getTimezoneOffset()).toISOString().slice(0, 10);

function question(name) {
  const asked = {ask: name, today: today(), on: at('on').value};
  if (way() === 'form') return {...asked, class: at('class').value, values: Object.fromEntries([...new FormData(form)].filter(([key]) => key.startsWith('/')))};
  if (way() === 'field') return {...asked, ...field, files, class: field.cars[field.selected].class};
  return {...asked, files, ...(at('by-class').checked ? {class: at('class').value} : {})};
}

// Says whether every change on the page has its answer.
const busy = is => { document.body.dataset.busy = is ? 'yes' : 'no'; };

async function update() {
  const asked = ++update.count;
  busy(true);
  try { await answerNow(asked); } finally { if (asked === update.count) busy(false); }
}
update.count = 0;

async function answerNow(asked) {
  at('files').hidden = way() !== 'files';
  at('form').hidden = way() !== 'form';
  at('field').hidden = way() !== 'field';
  if (way() === 'field') return inspectNow(asked);
  if (way() === 'form') {
    const wanted = `${at('class').value} ${at('on').value}`;
    if (wanted !== formFor) {
      const typed = new FormData(form);
      const answer = await ask({...question('form'), values: undefined});
      if (asked !== update.count) return;
      if (answer.refused) { at('form').replaceChildren(); at('answer').replaceChildren(); formFor = ''; return tell('problem', answer.refused); }
      formFor = wanted;
      at('form').innerHTML = answer.html;
      for (const input of at('form').querySelectorAll('[name]')) input.value = typed.get(input.name) ?? '';
    }
  }
  if (way() === 'files' && !Object.keys(files).length) {
    at('answer').replaceChildren();
    return tell('', 'Choose a setup to check.');
  }
  const answer = await ask(question('check'));
  if (asked === update.count) show(answer);
}

// On this device alone, and at once: neither another car nor a page that is lost loses a reading.
function keepReadings() {
  const car = field.cars[field.selected];
  Object.assign(field, {event: at('event').value, officials: at('officials').value});
  if (car && at('readings').dataset.of) {
    car.values = Object.fromEntries([...new FormData(form)].filter(([key, text]) => key.startsWith('@') && text).map(([key, text]) => [key.slice(1), text]));
  }
  localStorage.setItem(remembered, JSON.stringify(field));
}

async function inspectNow(asked) {
  const car = field.cars[field.selected];
  at('drop-car').hidden = !car;
  if (!car) {
    at('cars').replaceChildren();
    at('readings').replaceChildren();
    at('answer').replaceChildren();
    keepReadings();
    return tell('', 'Add the first car by its number.');
  }
  const wanted = `${car.number} ${car.class} ${at('on').value}`;
  if (wanted !== at('readings').dataset.of) {
    const fields = await ask(question('readings'));
    if (asked !== update.count) return;
    if (fields.refused) return tell('problem', fields.refused);
    at('readings').innerHTML = fields.html;
    at('readings').dataset.of = wanted;
    for (const input of at('readings').querySelectorAll('[name]')) input.value = car.values[input.name.slice(1)] ?? '';
  }
  keepReadings();
  const answer = await ask(question('inspect'));
  if (asked !== update.count) return;
  if (answer.refused) return show(answer);
  at('cars').replaceChildren(...answer.cars.map((verdict, index) => carButton(verdict, index)));
  show({...answer, ...answer.cars[field.selected]});
}

function carButton({verdict, line}, index) {
  const item = document.createElement('li'), button = document.createElement('button');
  const number = document.createElement('b'), word = document.createElement('strong');
  number.textContent = field.cars[index].number;
  word.textContent = verdict.replace('-', ' ');
  word.className = `v-${verdict}`;
  button.type = 'button';
  button.setAttribute('aria-pressed', String(index === field.selected));
  const title = [...at('class').options].find(option => option.value === field.cars[index].class)?.text ?? field.cars[index].class;
  button.append(number, ` ${title}: `, word, ` ${line}`);
  button.onclick = () => toReadings(index);
  item.append(button);
  return item;
}

function selectCar(index) {
  field.selected = Math.max(0, index);
  delete at('readings').dataset.of;
  return update();
}

async function toReadings(index) {
  await selectCar(index);
  at('readings').scrollIntoView();
}

function addCar() {
  const number = at('number').value.trim();
  if (!number) return at('number').focus();
  const present = field.cars.findIndex(car => car.number === number && car.class === at('class').value);
  if (present < 0) field.cars.push({number, class: at('class').value, values: {}});
  at('number').value = '';
  return toReadings(present < 0 ? field.cars.length - 1 : present);
}

function tell(verdict, line) {
  const word = document.createElement('b');
  word.textContent = verdict.replace('-', ' ');
  at('verdict').replaceChildren(...(verdict ? [word, ' '] : []), line);
  at('verdict-bar').className = `bar v-${verdict}`;
  at('verdict-bar').hidden = false;
}

function show(answer) {
  answered = answer;
  if (answer.refused) { at('answer').replaceChildren(); return tell('problem', answer.refused); }
  tell(answer.verdict, answer.line);
  at('answer').innerHTML = answer.html;
  at('gearing').replaceChildren();
  at('save-setup').hidden = answer.setup === undefined;
  at('ask-gearing').hidden = answer.setups.length !== 1;
  at('save-setup').textContent = way() === 'field' ? 'Save inspection' : 'Save setup';
  for (const input of form.querySelectorAll('#form [name], #readings [name]')) {
    const complaint = answer.complaints?.[input.name.replace('@', '')] ?? '';
    at(`${input.id}-wrong`).textContent = complaint;
    input.setAttribute('aria-invalid', String(Boolean(complaint)));
  }
}

function save(name, text, type) {
  const link = document.createElement('a');
  link.href = URL.createObjectURL(new Blob([text], {type}));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}

async function saveAnswer(name, file, type) {
  const answer = await ask(question(name));
  if (answer.refused) tell('problem', answer.refused); else save(file, answer.text, type);
}

async function take(list) {
  busy(true);
  for (const name of Object.keys(files)) delete files[name];
  for (const file of list) files[file.webkitRelativePath || file.name] = new Uint8Array(await file.arrayBuffer());
  at('chosen-names').textContent = Object.keys(files).join(', ');
  if (way() !== 'field') form.elements.way.value = 'files';
  await update();
}

function toSlip() {
  at('answer').scrollIntoView();
  at('answer').focus({preventScroll: true});
}

function listen() {
  let pause;
  form.addEventListener('input', () => {
    busy(true);
    if (way() === 'field') keepReadings();
    clearTimeout(pause);
    pause = setTimeout(update, 250);
  });
  form.addEventListener('submit', event => { event.preventDefault(); toSlip(); });
  at('chosen').addEventListener('change', event => take(event.target.files));
  document.addEventListener('dragover', event => event.preventDefault());
  document.addEventListener('drop', event => { event.preventDefault(); take(event.dataTransfer.files); });
  at('add-car').onclick = addCar;
  at('number').addEventListener('keydown', event => { if (event.key === 'Enter') { event.preventDefault(); addCar(); } });
  at('drop-car').onclick = () => {
    const {number} = field.cars[field.selected];
    if (!confirm(`Take number ${number} off the list, with what was read of it?`)) return;
    field.cars.splice(field.selected, 1);
    selectCar(field.selected - 1);
  };
  at('to-slip').onclick = toSlip;
  at('print').onclick = () => print();
  at('save-setup').onclick = () => save(way() === 'field' ? 'inspection.yaml' : 'car.yaml', answered.setup, 'application/yaml');
  at('save-slip').onclick = () => saveAnswer('slip', 'slip.html', 'text/html');
  at('save-report').onclick = () => saveAnswer('report', 'report.json', 'application/json');
  at('ask-gearing').onclick = async () => {
    tell(answered.verdict, 'Working out the gearing …');
    const answer = await ask({...question('gearing'), setup: answered.setups[0]});
    tell(answered.verdict, answer.refused ?? answered.line);
    at('gearing').innerHTML = answer.html ?? '';
    at('gearing').scrollIntoView();
  };
}

async function start() {
  if (location.protocol === 'file:' || typeof WebAssembly !== 'object') return; // the sentence that stands there says why
  stage('Looking at what this device has already', 0);
  try {
    await makeReady();
    await startWorker();
  } catch (error) { return stage(`It could not be loaded: ${error.message}`); }
  at('loading').hidden = true;
  form.hidden = false;
  const day = at('on');
  day.value = day.min && today() < day.min ? day.min : day.max && today() > day.max ? day.max : today();
  for (const name of ['event', 'officials']) at(name).value = field[name];
  listen();
  await update();
  document.body.dataset.ready = 'yes';
}

start();
