// The page: which view is open, themes, units, keys. Each view is one file of `views/` and one line of VIEWS.
import { askJson } from './core/api.js';
import { readHash, recall, remember } from './core/choice.js';
import { all, find } from './core/markup.js';
import { SYSTEMS, systemName, useSystem } from './core/numbers.js';
import { Airplanes } from './views/airplanes.js';
import { Board } from './views/board.js';
import { Flights } from './views/flights.js';

/** @typedef {{ open: (given: Record<string, string>) => void, redraw: () => void, key: (event: KeyboardEvent) => boolean, drop?: (data: DataTransfer) => void }} View */
/** @type {Record<string, new (host: HTMLElement, known: any) => View>} */
const VIEWS = { board: Board, flight: Flights, airplanes: Airplanes };
/** @type {Record<string, View>} */
const open = {};
let current = 'board';
/** @type {any} */
let known = null;

function show() {
  const { place, given } = readHash(location.hash);
  current = place in VIEWS ? place : 'board';
  for (const name of Object.keys(VIEWS)) {
    find(`#${name}`).hidden = name !== current;
    const link = find(`#to-${name}`);
    if (name === current) link.setAttribute('aria-current', 'page'); else link.removeAttribute('aria-current');
  }
  open[current] ??= new VIEWS[current](find(`#${current}`), known);
  open[current].open(given);
}

/** @param {string} theme */
function setTheme(theme) {
  document.documentElement.dataset.theme = theme;
  find('#theme').textContent = theme === 'board' ? 'Paper' : 'Board colors';
  remember('theme', theme);
}

function settings() {
  setTheme(recall('theme') ?? 'board');
  find('#theme').addEventListener('click', () => setTheme(document.documentElement.dataset.theme === 'board' ? 'paper' : 'board'));
  find('#print').addEventListener('click', () => print());
  useSystem(recall('units') ?? 'kt-ft');
  const units = find('#units');
  units.innerHTML = Object.entries(SYSTEMS).map(([name, { label }]) => `<option value="${name}">${label}</option>`).join('');
  units.value = systemName();
  units.addEventListener('change', () => {
    useSystem(units.value);
    remember('units', units.value);
    for (const view of Object.values(open)) view.redraw();
  });
  const help = find('#help');
  find('#help-open').addEventListener('click', () => help.showModal());
  help.addEventListener('click', (/** @type {Event} */ event) => { if (event.target === help) help.close(); });
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
  addEventListener('dragover', event => { event.preventDefault(); document.body.classList.add('over'); });
  addEventListener('dragleave', event => { if (!event.relatedTarget) document.body.classList.remove('over'); });
  addEventListener('drop', event => {
    event.preventDefault();
    document.body.classList.remove('over');
    if (!event.dataTransfer) return;
    if (current !== 'flight') { history.pushState(null, '', '#flight'); show(); }
    open.flight.drop?.(event.dataTransfer);
  });
}

async function start() {
  settings();
  try {
    const [service, maneuvers, airplanes, standards] = await Promise.all(['service', 'maneuvers', 'airplanes', 'standards'].map(name => askJson(`api/${name}`)));
    // Airplanes from public figures are fitted when they are first chosen: until then they are a key and a name.
    known = { service, maneuvers: maneuvers.maneuvers, airplanes: [...airplanes.airplanes, ...(service.library ?? []).map((/** @type {any} */ one) => ({ ...one, name: `${one.name} (public figures)` }))], published: airplanes.published, standards: standards.standards };
  } catch (error) {
    find('#failed').hidden = false;
    find('#failed').textContent = `${/** @type {Error} */ (error).message} Start the program and reload this page.`;
    return;
  }
  addEventListener('hashchange', show);
  addEventListener('popstate', show);
  addEventListener('keydown', key);
  dropping();
  show();
  document.documentElement.dataset.started = String(all('.view').length);
}

start();
