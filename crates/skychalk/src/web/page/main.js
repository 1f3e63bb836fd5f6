// The page: which view is open, themes, units, keys. Each view is one file of `views/` and one line of VIEWS. What the first picture does not
// need is loaded and done while the program flies it, or later.
import { askJson } from './core/api.js';
import { readHash, recall, remember } from './core/choice.js';
import { onCopies, startCopies } from './core/copies.js';
import { history as undoable } from './core/history.js';
import { all, find } from './core/markup.js';
import { SYSTEMS, systemName, useSystem } from './core/numbers.js';
import { filesOf } from './core/send.js';
import { learnSources, learnTitles } from './core/words.js';
import { legendFor } from './parts/legend.js';
import { watchSources } from './parts/source.js';
import { Board } from './views/board.js';

/** @typedef {{ open: (given: Record<string, string>) => void, redraw: () => void, key: (event: KeyboardEvent) => boolean, drop?: (files: File[]) => void }} View */
/** @typedef {new (host: HTMLElement, known: any) => View} Views */
/** Where each view comes from, when it is first opened. @type {Record<string, () => Views | Promise<Views>>} */
const VIEWS = {
  board: () => Board,
  flight: async () => {
    const [{ Flights }, { standards }] = await Promise.all([import('./views/flights.js'), askJson('api/standards')]);
    known.standards = standards;
    return Flights;
  },
  airplanes: async () => (await import('./views/airplanes.js')).Airplanes,
};
/** @type {Record<string, View>} */
const open = {};
let current = 'board';
/** @type {any} */
let known = null;

async function show() {
  const { hash } = location, { place, given } = readHash(hash);
  const before = current;
  current = place in VIEWS ? place : 'board';
  if (current !== before) scrollTo(0, 0);
  legendFor(current);
  for (const name of Object.keys(VIEWS)) {
    find(`#${name}`).hidden = name !== current;
    const link = find(`#to-${name}`);
    if (name === current) link.setAttribute('aria-current', 'page'); else link.removeAttribute('aria-current');
  }
  if (place !== current) return failed(new Error(`There is no view “${place}”: Board, Flight and Airplanes are there.`), '');
  const name = current;
  if (!open[name]) {
    try {
      const View = await VIEWS[name]();
      open[name] ??= new View(find(`#${name}`), known);
    } catch (error) {
      return failed(error);
    }
    // Another place was asked for while this view was on its way: that one is shown by its own call.
    if (location.hash !== hash) return;
  }
  find('#failed').hidden = true;
  open[name].open(given);
}

/** @param {any} error @param {string} [advice] */
function failed(error, advice = 'Start the program and reload this page.') {
  find('#failed').hidden = false;
  find('#failed').textContent = `${error.message} ${advice}`;
}

/** @param {string} theme */
function setTheme(theme) {
  document.documentElement.dataset.theme = theme;
  find('#theme').value = theme;
  remember('theme', theme);
  for (const view of Object.values(open)) view.redraw();
}

/** @param {string} name */
function setUnits(name) {
  useSystem(name);
  find('#units').value = systemName();
  remember('units', name);
  for (const view of Object.values(open)) view.redraw();
}

function settings() {
  setTheme(recall('theme') ?? 'board');
  find('#theme').addEventListener('change', (/** @type {any} */ event) => setTheme(event.target.value));
  find('#print').addEventListener('click', () => print());
  useSystem(recall('units') ?? 'kt-ft');
  const units = find('#units');
  units.innerHTML = Object.entries(SYSTEMS).map(([name, { label }]) => `<option value="${name}">${label}</option>`).join('');
  units.value = systemName();
  units.addEventListener('change', () => { undoable.note('units', 'units', systemName(), units.value); setUnits(units.value); });
  const help = find('#help');
  find('#help-open').addEventListener('click', () => help.showModal());
  help.addEventListener('click', (/** @type {Event} */ event) => { if (event.target === help) help.close(); });
}

/** Takes back the last thing done, or does it again, and says which. @param {'undo' | 'redo'} way */
function step(way) {
  const entry = undoable[way]();
  find('#said').textContent = entry ? `${way === 'undo' ? 'Undone' : 'Done again'}: ${entry.words}` : `Nothing to ${way}`;
}
function undoing() {
  undoable.changed = () => {
    for (const way of /** @type {const} */ (['undo', 'redo'])) {
      const button = find(`#${way}`), words = undoable.next[way], name = way === 'undo' ? 'Undo' : 'Redo';
      button.disabled = words === null;
      button.title = words === null ? `Nothing to ${way}` : `${name}: ${words} (${way === 'undo' ? 'Ctrl+Z' : 'Ctrl+Shift+Z'})`;
      button.setAttribute('aria-label', words === null ? name : `${name}: ${words}`);
    }
  };
  undoable.register('units', value => setUnits(value));
  for (const way of /** @type {const} */ (['undo', 'redo'])) find(`#${way}`).addEventListener('click', () => step(way));
  addEventListener('keydown', event => {
    if (!(event.ctrlKey || event.metaKey) || event.altKey) return;
    const key = event.key.toLowerCase(), target = /** @type {HTMLElement} */ (event.target);
    const way = key === 'z' ? (event.shiftKey ? 'redo' : 'undo') : key === 'y' ? 'redo' : null;
    // A field of text takes back its own typing.
    if (!way || target.closest('dialog, textarea, input:not([type=range], [type=checkbox], [type=radio])')) return;
    event.preventDefault();
    step(way);
  });
  undoable.changed();
}

/** Keys are for the view unless they are for a field. @param {KeyboardEvent} event */
function key(event) {
  const target = /** @type {HTMLElement} */ (event.target);
  if (event.ctrlKey || event.metaKey || event.altKey || target.closest('input, select, textarea, dialog')) return;
  if (event.key === '?') return find('#help').showModal();
  if ((event.key === ' ' || event.key === 'Enter') && target.closest('button, a, summary')) return;
  if (open[current]?.key(event)) event.preventDefault();
}

function dropping() {
  addEventListener('dragenter', event => event.preventDefault());
  addEventListener('dragover', event => { event.preventDefault(); if (event.dataTransfer) event.dataTransfer.dropEffect = 'copy'; document.body.classList.add('over'); });
  addEventListener('dragleave', event => { if (!event.relatedTarget) document.body.classList.remove('over'); });
  addEventListener('drop', event => {
    event.preventDefault();
    document.body.classList.remove('over');
    if (!event.dataTransfer) return;
    // What is dropped can be looked into during the event only.
    const files = filesOf(event.dataTransfer), elsewhere = current !== 'flight';
    if (elsewhere) history.pushState(null, '', '#flight');
    Promise.all([files, elsewhere || !open.flight ? show() : null]).then(([dropped]) => open.flight?.drop?.(dropped));
  });
}

async function start() {
  settings();
  try {
    const [service, maneuvers, airplanes] = await Promise.all(['service', 'maneuvers', 'airplanes'].map(name => askJson(`api/${name}`)));
    // Airplanes from public figures are fitted when they are first chosen: until then they are a key and a name.
    known = { service, maneuvers: maneuvers.maneuvers, airplanes: [...airplanes.airplanes, ...(service.library ?? []).map((/** @type {any} */ one) => ({ ...one, name: `${one.name} (public figures)` }))], published: airplanes.published };
  } catch (error) {
    return failed(error);
  }
  learnTitles(known.maneuvers);
  learnSources(known.service.sources);
  // An airplane that is kept in this tab only is told to the program before it is asked for; others need not wait for that.
  const kept = [readHash(location.hash).given, ...['board', 'told'].map(recall)].some(choice => choice?.airplane?.startsWith('copy-'));
  if (kept) await startCopies(known.airplanes);
  onCopies(() => { for (const view of Object.values(open)) view.redraw(); });
  const shown = show();
  undoing();
  watchSources();
  addEventListener('hashchange', show);
  addEventListener('popstate', show);
  addEventListener('keydown', key);
  dropping();
  await Promise.all([shown, kept || startCopies(known.airplanes)]);
  document.documentElement.dataset.started = String(all('.view').length);
}

start();
