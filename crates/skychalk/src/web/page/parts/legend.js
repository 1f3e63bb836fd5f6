// The legend in the tray: the strokes that are drawn in the view that is open, each with whose it is.
import { escape, find } from '../core/markup.js';
import { nameOf, roleUpon } from '../pictures/shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {{ stroke: string, words: string, doubted?: boolean }} Told a stroke and whose it is */

/** Strokes of what a scene draws. @param {Scene} scene @returns {Told[]} */
export const strokesOf = scene => scene.flights.map(flight => ({ stroke: roleUpon(scene, flight), words: nameOf(scene, flight), doubted: Boolean(flight.sigmas) }));

/** @type {Map<string, Told[]>} */
const drawn = new Map();
let open = 'board';

const row = (/** @type {string} */ sample, /** @type {string} */ words) => `<li><svg viewBox="0 0 40 14" aria-hidden="true">${sample}</svg>${escape(words)}</li>`;
const LIMIT = row('<path class="limit" d="M2 5h36"/><path class="limit posts" d="M6 5l-3 6M14 5l-3 6M22 5l-3 6M30 5l-3 6M38 5l-3 6"/>', 'limit');

function show() {
  const rows = (drawn.get(open) ?? []).map(({ stroke, words, doubted }) => (doubted
    ? row(`<rect x="0" y="1" width="40" height="12" class="band"/><path class="stroke ${stroke}" d="M1 7h38"/>`, `${words}, with its doubt (95 %)`)
    : row(`<path class="stroke ${stroke}" d="M2 7h36"/>`, words)));
  find('.legend').innerHTML = rows.join('') + LIMIT;
}
/** What a view draws now. @param {string} view @param {Scene | null} scene */
export function legendOf(view, scene) {
  drawn.set(view, scene ? strokesOf(scene) : []);
  if (view === open) show();
}
/** @param {string} view which is open */
export function legendFor(view) {
  open = view;
  show();
}
