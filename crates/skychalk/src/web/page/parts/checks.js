// The engine held against the outside with an airplane's figures: value, reference, difference, tolerance, source of each check.
import { escape, sign, table } from '../core/markup.js';
import { also, inUnits, text } from '../core/numbers.js';
import { source } from './source.js';

/** Significant digits, so that small roots are not shown as nil. @param {number | null} value @param {number} [most] */
const digits = (value, most = 5) => (value == null ? '–' : value === 0 ? '0' : text(value, Math.max(0, Math.min(7, most - 1 - Math.floor(Math.log10(Math.abs(value)))))));
const few = (/** @type {number | null} */ value) => digits(value, 3);

/** @param {any[]} checks @param {string} caption */
export function checksTable(checks, caption) {
  if (!checks.length) return '';
  // A bound that is kept is passed by nothing: that is no difference from it.
  const bound = (/** @type {any} */ check) => (check.tolerance === 0 ? /^at (least|most)/.exec(check.note ?? '')?.[0] ?? null : null);
  const rows = checks.map(check => [escape(check.id.replaceAll('-', ' ')), digits(check.value), digits(check.reference), bound(check) && check.verdict === 'met' ? 'kept' : digits(check.difference), bound(check) ?? digits(check.tolerance), escape(check.unit),
    `<span class="verdict${check.verdict === 'not met' ? ' c-limit' : ''}">${sign(check.verdict)}${escape(check.verdict)}</span>`, `<span class="source">${escape(check.source)}${check.note ? `; ${escape(check.note)}` : ''}</span>`]);
  return `<div class="scroll">${table(['check', 'computed', 'reference', 'difference', 'tolerance', 'unit', '', 'source'], rows, caption, 'plain', 'Computed: the engine with these figures. Reference and tolerance: the source in the last column.')}</div>`;
}
/** How many of them are met. @param {any[]} checks */
export function checksCounted(checks) {
  const of = (/** @type {string} */ verdict) => checks.filter(check => check.verdict === verdict).length;
  return `${of('met')} met, ${of('not met')} not met${of('skipped') ? `, ${of('skipped')} not made here: their published files may not be passed on` : ''}`;
}

/** Figures of a manual beside the airplane that was made of them. @param {any} build */
export function fittedTables(build) {
  const verdict = build.contradictions.length ? `<p class="verdict c-limit">${sign('not met')}${build.contradictions.length === 1 ? 'One figure does' : `${build.contradictions.length} figures do`} not go with the others</p><ul>${build.contradictions.map((/** @type {string} */ words) => `<li>${escape(words)}</li>`).join('')}</ul>` : `<p class="verdict">${sign('met')}The figures go together within their bands</p>`;
  const figures = build.figures.filter((/** @type {any} */ f) => f.line > 0).map((/** @type {any} */ f) => {
    const { unit, per } = inUnits(f.unit), own = (/** @type {number} */ value) => few(value / per);
    return [`${escape(also(f.words))}${f.set_aside ? ' <span class="source">left out of the fit</span>' : ''}`, escape(unit), own(f.handbook), own(f.model), own(f.model - f.handbook), `${own(f.others)} ±${own(1.96 * f.others_sigma)}`, text(f.standardized, 1, true)];
  });
  const predictions = build.predictions.map((/** @type {any} */ p) => {
    const { unit, per } = inUnits(p.unit), own = (/** @type {number} */ value) => few(value / per);
    return [escape(also(p.words)), escape(unit), own(p.value), `${own(p.low)} to ${own(p.high)}`];
  });
  const unknowns = build.unknowns.map((/** @type {any} */ u) => [escape(u.words), few(u.value), `${text(196 * u.sigma_share, 0)} %`, few(u.usual), `<span class="source">${escape(u.source)}</span>`]);
  const of = `figures of: ${build.source}`;
  return verdict + `<div class="scroll">${table(['figure of the manual', 'unit', 'manual', 'this airplane', 'difference', 'what the others say (95 %)', 'off, in sigmas'], figures, 'Figures of the manual beside the airplane made of them', 'plain', `Manual: ${of}. This airplane: computed by the point mass with the fitted figures. Off: how far the manual lies from what all other figures and the class of airplane say.`)}</div>`
    + table(['at greatest mass in standard air', 'unit', 'value', '95 %'], predictions, 'What it will do', 'plain', `Computed by the point mass with the fitted figures; the band is the doubt of the ${of}.`)
    + (build.helpful.length ? `<p>One more figure that would help: ${build.helpful.slice(0, 3).map((/** @type {any} */ h) => `${escape(h.words)} <span${source('Expected share of the doubt of climb, level speed, stall and bank that it takes away')} class="number" tabindex="0">(${text(100 * h.share)} %)</span>`).join('; ')}.</p>` : '')
    + `<details><summary>what was fitted</summary>${table(['what', 'value, SI', 'within (95 %)', 'usual of its class', 'source of the usual'], unknowns, '', 'plain', `Fitted to the ${of}; the usual from the source in the last column.`)}</details>`
    + (build.notes.length ? `<details><summary>not of the manual, or left out</summary><ul>${build.notes.map((/** @type {string} */ note) => `<li>${escape(note)}</li>`).join('')}</ul></details>` : '');
}
