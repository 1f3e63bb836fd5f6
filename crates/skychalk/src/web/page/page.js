// The page: asks the program for briefs and debriefs and shows them. Nothing is computed here.

const find = (selector, within = document) => within.querySelector(selector);
const all = (selector, within = document) => [...within.querySelectorAll(selector)];

/** An answer of the program; an error becomes an Error with its hint. */
async function ask(path, options) {
  let response;
  try {
    response = await fetch(path, options);
  } catch (error) {
    if (error.name === 'AbortError') throw error;
    throw new Error('the program does not answer\nstart it again: skychalk serve');
  }
  if (response.ok) return response;
  const failure = await response.json().catch(() => ({ error: `the program answered ${response.status}` }));
  throw new Error([failure.error, failure.hint].filter(Boolean).join('\n'));
}

/** What a form says, without what is empty. */
function said(form) {
  const query = new URLSearchParams();
  for (const field of all('select[name], input[name]:not([type=file], [type=checkbox])', form)) {
    const text = field.value.trim();
    if (text) query.append(field.name, text);
  }
  return query;
}

function fill(select, entries) {
  const chosen = select.value;
  const fixed = all('option[value=""]', select);
  select.replaceChildren(...fixed, ...entries.map(([value, label]) => new Option(label, value)));
  if (entries.some(([value]) => value === chosen)) select.value = chosen;
}

/** One screen: its form, the line that says how it stands, and the place of the answer. */
class Screen {
  constructor(name) {
    this.form = find(`#${name}-choice`);
    this.state = find(`#${name}-state`);
    this.answer = find(`#${name}-answer`);
    this.form.addEventListener('submit', event => event.preventDefault());
  }
  say(text, wrong = false) {
    this.state.textContent = text;
    this.state.classList.toggle('wrong', wrong);
    for (const field of all('input[name]', this.form)) {
      const named = wrong && text.startsWith(`${field.name}:`);
      if (named) field.setAttribute('aria-invalid', 'true'); else field.removeAttribute('aria-invalid');
    }
  }
  /** Shows what `request` brings; a newer request stops an older one. */
  async show(request, waiting) {
    this.stop?.abort();
    const stop = this.stop = new AbortController();
    this.answer.classList.add('waiting');
    this.answer.setAttribute('aria-busy', 'true');
    const slow = setTimeout(() => this.say(waiting), 300);
    try {
      const text = await (await request(stop.signal)).text();
      if (stop !== this.stop) return false;
      // The fragment is made by the program, which escapes every text; scripts in it would be refused by the page's policy.
      this.answer.innerHTML = text;
      this.say('');
      return true;
    } catch (error) {
      if (error.name !== 'AbortError' && stop === this.stop) {
        this.answer.replaceChildren();
        this.say(error.message, true);
      }
      return false;
    } finally {
      clearTimeout(slow);
      if (stop === this.stop) {
        this.answer.classList.remove('waiting');
        this.answer.removeAttribute('aria-busy');
      }
    }
  }
}

const board = new Screen('board');
const flight = new Screen('flight');
let maneuvers = [];
let recording = null; // { name, bytes } or 'demo'
let columns = ''; // text of the column map

function showForms() {
  const chosen = maneuvers.find(maneuver => maneuver.id === board.form.elements.maneuver.value);
  fill(board.form.elements.form, (chosen?.forms ?? []).map(form => [form.key, form.title]));
}

async function brief() {
  const query = said(board.form);
  history.replaceState(null, '', `#board?${query}`);
  for (const link of all('.save a', board.form)) {
    const format = link.dataset.format;
    link.href = `api/brief?${query}&format=${format}`;
    link.download = `brief-${query.get('maneuver')}.${format === 'text' ? 'txt' : format}`;
  }
  await board.show(signal => ask(`api/brief?${query}&format=fragment`, { signal }), 'working it out');
}

function debriefRequest(format) {
  const query = said(flight.form);
  query.set('format', format);
  const holds = flight.form.elements.holds.checked;
  if (recording === 'demo') {
    const path = holds ? 'api/demo/recording' : 'api/demo';
    return signal => ask(`${path}?${query}`, { signal });
  }
  query.set('name', recording.name);
  if (columns) query.set('columns', columns);
  const path = holds ? 'api/recording' : 'api/debrief';
  return signal => ask(`${path}?${query}`, { method: 'POST', body: recording.bytes, signal });
}

async function debrief() {
  if (!recording) return flight.say('choose a recording first, or open the bundled flight');
  const name = recording === 'demo' ? 'the bundled flight' : recording.name;
  const shown = await flight.show(debriefRequest('fragment'), `reading ${name}`);
  for (const button of all('.save button', flight.form)) button.disabled = !shown;
}

async function bring(file) {
  if (!file) return;
  recording = { name: file.name, bytes: file };
  history.replaceState(null, '', '#flight');
  await debrief();
}

async function keep(format) {
  if (!recording) return;
  try {
    const blob = await (await debriefRequest(format)()).blob();
    const link = document.createElement('a');
    link.href = URL.createObjectURL(blob);
    link.download = `${flight.form.elements.holds.checked ? 'recording' : 'debrief'}.${format}`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  } catch (error) {
    flight.say(error.message, true);
  }
}

/** Opens the screen that the address names: `#board?maneuver=chandelle&...`, `#flight`, `#flight=demo`. */
async function open() {
  const [place, query] = location.hash.slice(1).split('?');
  const onFlight = place.startsWith('flight');
  find('#board').hidden = onFlight;
  find('#flight').hidden = !onFlight;
  for (const [id, here] of [['#to-board', !onFlight], ['#to-flight', onFlight]]) {
    if (here) find(id).setAttribute('aria-current', 'page'); else find(id).removeAttribute('aria-current');
  }
  if (onFlight) {
    if (place === 'flight=demo' && recording !== 'demo') await openDemo();
    return;
  }
  for (const [name, value] of new URLSearchParams(query ?? '')) {
    const field = board.form.elements[name];
    if (!field) continue;
    field.value = value;
    if (name === 'maneuver') showForms();
  }
  await brief();
}

async function openDemo() {
  recording = 'demo';
  // The invented lesson was flown in this airplane, over the sea.
  flight.form.elements.airplane.value = 'plover-160';
  flight.form.elements['ground-elevation'].value = '0ft';
  history.replaceState(null, '', '#flight=demo');
  await debrief();
}

async function start() {
  const list = async name => (await ask(`api/${name}`)).json();
  try {
    const [known, airplanes, standards] = await Promise.all(['maneuvers', 'airplanes', 'standards'].map(list));
    maneuvers = known.maneuvers;
    fill(board.form.elements.maneuver, maneuvers.map(({ id, title }) => [id, title]));
    const planes = airplanes.airplanes.map(({ id, name }) => [id, name]);
    fill(board.form.elements.airplane, planes);
    fill(flight.form.elements.airplane, planes);
    fill(flight.form.elements.standard, standards.standards.map(({ id, title, edition }) => [id, `${title}, ${edition}`]));
    showForms();
  } catch (error) {
    return board.say(error.message, true);
  }
  board.form.addEventListener('change', event => {
    if (event.target.name === 'maneuver') showForms();
    brief();
  });
  flight.form.addEventListener('change', async event => {
    if (event.target.name === 'file') return bring(event.target.files[0]);
    if (event.target.name === 'columns') columns = await event.target.files[0]?.text() ?? '';
    if (recording) await debrief();
  });
  find('#open-demo').addEventListener('click', openDemo);
  for (const button of all('.save button', flight.form)) {
    button.disabled = true;
    button.addEventListener('click', () => keep(button.dataset.format));
  }
  const drop = find('#drop');
  addEventListener('dragover', event => { event.preventDefault(); drop.classList.add('over'); });
  addEventListener('dragleave', () => drop.classList.remove('over'));
  addEventListener('drop', event => {
    event.preventDefault();
    drop.classList.remove('over');
    location.hash = '#flight';
    bring(event.dataTransfer.files[0]);
  });
  addEventListener('hashchange', open);
  for (const radio of all('input[name=theme]')) {
    if (localStorage.getItem('theme') === radio.value) radio.checked = true;
    radio.addEventListener('change', () => localStorage.setItem('theme', radio.value));
  }
  await open();
}

start();
