// Limits and how near the flight comes to them: the nearest drawn, all of them in a table.
import { escape, label, n, seg, sign, table } from '../core/markup.js';
import { quantity, speed, speedUnit, text } from '../core/numbers.js';
import { sourceWords } from '../core/words.js';
import { source } from './source.js';

/** @typedef {{ id: string, title: string, value: number, limit: number, unit: string, side: 'above' | 'below', margin: number, kept: boolean, hard: boolean, source: string }} Limit */

const DRAWN = 5;
/** The program gives them in the order in which they matter. @param {Limit[]} limits */
export const nearest = limits => limits.slice(0, DRAWN);

/** The width of a letter under a drawing, of the size of small letters; some themes write larger. */
const LETTER = 0.53;
const letter = () => LETTER * (parseFloat(getComputedStyle(document.documentElement).getPropertyValue('--size-small')) || 13);
/** Tenths of a knot or degree where whole ones would show a margin that is not there. @param {number} value @param {{ margin: number, unit: string }} limit */
const finely = (value, { margin, unit }) => (unit === 'kt' && Math.abs(margin) < 10 ? `${text(speed(value), 1)} ${speedUnit()}` : unit === 'deg' && Math.abs(margin) < 1 ? `${text(value, 1)}°` : quantity(value, unit));
/** @param {{ value: number, limit: number, margin: number, unit: string }} limit */
const bothWords = limit => [finely(limit.value, limit), finely(limit.limit, limit)];

/** The limit as a fence, the value as a ring, the margin between. @param {Limit} limit */
function drawing({ value, limit, margin, side, kept, unit }) {
  const room = Math.max(Math.abs(value - limit), Math.abs(limit) * 0.12, 1e-6), low = Math.min(value, limit) - 0.55 * room, high = Math.max(value, limit) + 0.55 * room;
  const x = (/** @type {number} */ at) => 26 + (168 * (at - low)) / (high - low), y = 16, way = side === 'below' ? '-' : '';
  const [a, b] = [x(value), x(limit)].sort((p, q) => p - q);
  const posts = [3, 10, 17, 24].map(top => `M${n(x(limit))} ${top}l${way}6 4`).join('');
  const gap = b - a > 14 ? `<path class="${kept ? 'gap' : 'limit'}" d="M${n(a + 7)} ${y}H${n(b - 7)}"/>` : '';
  const [flown, bound] = bothWords({ value, limit, margin, unit });
  // Beside each other when there is no room under their marks.
  const apart = (letter() * (flown.length + bound.length)) / 2 + 8, middle = Math.max(apart, Math.min(220 - apart, (x(value) + x(limit)) / 2)), way2 = x(value) < x(limit) ? -1 : 1;
  const close = Math.abs(x(value) - x(limit)) < apart, [at, edge] = close ? [middle + (way2 * apart) / 2, middle - (way2 * apart) / 2] : [x(value), x(limit)];
  return `<svg viewBox="0 0 220 46" aria-hidden="true">${seg([4, y], [216, y], 'base')}<path class="limit" d="M${n(x(limit))} 2V30"/><path class="limit posts" d="${posts}"/>${gap}<circle class="value" cx="${n(x(value))}" cy="${y}" r="6"/>${
    label(at, 43, flown, 't small label', 'middle')}${label(edge, 43, bound, 't small limit', 'middle')}</svg>`;
}

/** @param {Limit} limit */
const marginWords = limit => (limit.kept ? finely(Math.abs(limit.margin), limit) : `${finely(Math.abs(limit.margin), limit)} over`);

/** @param {Limit[]} limits @returns {string} */
export function limitsDrawn(limits) {
  return nearest(limits).map(limit => `<div class="limit-item${limit.kept ? '' : ' over'}" tabindex="0"${source(`${limit.title}: value computed, worst of the flight; limit from: ${sourceWords(limit.source)}. ${limit.hard ? 'Beyond it the flight is not offered' : 'Beyond it the flight is offered with a condition'}.`)}><div class="name"><span>${escape(limit.title)}</span><span class="margin">${escape(marginWords(limit))}${limit.kept ? ' <small>to spare</small>' : ''}</span></div>${drawing(limit)}<p class="unseen">${escape(`${limit.title}: ${finely(limit.value, limit)}, limit ${finely(limit.limit, limit)}, ${limit.kept ? 'margin' : 'passed by'} ${finely(Math.abs(limit.margin), limit)}`)}</p></div>`).join('');
}

/** @param {Limit[]} limits */
export function limitsTable(limits) {
  const rows = limits.map(limit => [escape(limit.title), finely(limit.value, limit), `${limit.side === 'above' ? 'at most' : 'at least'} ${finely(limit.limit, limit)}`, marginWords(limit),
    limit.kept ? 'kept' : `<span class="verdict c-limit">${sign('not met')}${limit.hard ? 'passed: not offered' : 'passed: something is needed'}</span>`, `<span class="source">${escape(sourceWords(limit.source))}</span>`]);
  return table(['limit', 'worst of the flight', 'limit', 'margin', '', 'source'], rows, 'Every limit, worst over the sides', 'plain', 'Value computed, worst of the flight over the sides; limit from the source in the last column');
}
