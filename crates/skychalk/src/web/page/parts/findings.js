// What came of an attempt: the one thing to change next, findings with their tolerances drawn, faults, evidence.
import { escape, n, rect, seg, sign, table } from '../core/markup.js';
import { quantity, text } from '../core/numbers.js';
import { plainWords, sourceWords, told } from '../core/words.js';
import { BAND_SIGMAS } from '../pictures/shared.js';
import { source } from './source.js';
import { overall } from './strip.js';

/** Tolerance between fences, the value with its band. @param {any} finding */
function bar({ value, low, high }) {
  if (!value) return '';
  const doubt = BAND_SIGMAS * value.sigma, edges = [low, high].filter(edge => edge != null), all = [...edges, value.value - doubt, value.value + doubt];
  const room = Math.max(...all) - Math.min(...all) || 1, from = Math.min(...all) - 0.18 * room, span = 1.36 * room, y = 13;
  const x = (/** @type {number} */ v) => 3 + (98 * (v - from)) / span;
  let out = seg([0, y], [104, y], 'base');
  for (const [edge, way] of /** @type {[number | null, string][]} */ ([[low, '-'], [high, '']])) {
    if (edge != null) out += `<path class="limit" d="M${n(x(edge))} 3V23"/><path class="limit posts" d="M${n(x(edge))} 5l${way}4 3M${n(x(edge))} 11l${way}4 3M${n(x(edge))} 17l${way}4 3"/>`;
  }
  return `<svg viewBox="0 0 104 26" aria-hidden="true">${out}${rect(x(value.value - doubt), 6, x(value.value + doubt) - x(value.value - doubt), 14, 'band')}<path class="attempt now-mark" d="M${n(x(value.value))} 5V21"/></svg>`;
}

/** @param {any} value @param {string} unit */
export const estimate = (value, unit) => (value ? `${quantity(value.value, unit, unit === 'deg' && value.value < 0)} <span class="muted">±${quantity(BAND_SIGMAS * value.sigma, unit).replace(/^\+/, '')}</span>` : '–');

const ORDER = ['not met', 'cannot tell', 'met'];

/** Those not met first. @param {any} attempt */
export function findings(attempt) {
  if (!attempt.findings.length) return '<p class="muted">Nothing of the standard applies to this attempt.</p>';
  const sorted = [...attempt.findings].sort((a, b) => ORDER.indexOf(a.verdict) - ORDER.indexOf(b.verdict));
  const rows = sorted.map(f => `<li><div><span class="muted">${escape(f.title)}${f.part ? `, part ${f.part}` : ''}</span><br><span class="measured"${f.value ? ` tabindex="0"${source(`Measured in the recording${f.at_s == null ? '' : `, at ${text(f.at_s, 1)} s`}; ±: 95 %, from the doubt of the reconstruction. Tolerance: ${sourceWords(f.source)}${f.training_aid && !f.source.includes('training-aid') ? ' (a marking band of our own, no published figure)' : ''}`)}` : ''}>${estimate(f.value, f.unit)}</span></div>${bar(f) || '<span></span>'}<span class="verdict${f.verdict === 'not met' ? ' c-limit' : ''}">${sign(f.verdict)}${escape(f.verdict)}</span><p>${[`wanted ${f.tolerance}`, sourceWords(f.source), f.mark && f.mark !== f.verdict && `marked ${f.mark}`, f.why, f.seconds_outside && `${text(f.seconds_outside, 1)} s outside${f.corrected == null ? '' : f.corrected ? ', corrected' : ', not corrected'}`].filter(Boolean).map(words => `<span class="source">${told(words)}</span>`).join('; ')}</p></li>`);
  return `<h2 class="part-title">Findings</h2><ul class="findings">${rows.join('')}</ul>`;
}

/** What would come of it with one thing mended. @param {any} refly */
function mended(refly) {
  if (!refly?.sentence) return '';
  const passes = refly.passes?.length ? ` <span class="source">${told(refly.passes.join('; '))}</span>` : '';
  return `<p class="again"><svg viewBox="0 0 40 14" aria-hidden="true"><path class="stroke reflight" d="M3 7h36"/></svg><span class="number" tabindex="0"${source('Computed: the part flown again by the point mass with the airplane’s figures, all else as flown')}>${refly.offered === false ? '<b class="c-limit">Not to be put forward.</b> ' : ''}Re-flight: ${told(refly.sentence)}${passes}</span></p>`;
}

/** The one thing to change next. @param {any} attempt */
export function next(attempt) {
  const [worst] = attempt.faults, { coaching } = attempt;
  const more = coaching ? [['keep', coaching.strength], ['practise', coaching.drill], ['left and right', coaching.side]].map(([name, words]) => (words ? `<p${/\d/.test(words) ? ` class="number" tabindex="0"${source('Measured in the recording; advice: the list of faults, with its source')}` : ''}><span class="muted">${name}:</span> ${told(words)}</p>` : '')).join('') + (coaching.questions?.length ? `<details><summary class="muted">ask the student first</summary><ul>${coaching.questions.map((/** @type {string} */ words) => `<li>${told(words)}</li>`).join('')}</ul></details>` : '') : '';
  if (!worst) {
    const missed = attempt.findings.some((/** @type {any} */ f) => f.verdict === 'not met');
    return `<h2>${overall(attempt) === 'not met' ? 'Not met, no cause named' : missed ? 'No fault named; a training band of our own is not met' : 'No fault named'}</h2>${more}`;
  }
  return `<h2>${escape((coaching?.change ?? (worst.remedy || plainWords(worst.id))).replace(/\s*\([^)]*\)\s*$/, ''))}</h2><p class="number" tabindex="0"${source('Measured in the recording, ±: 95 %. Likely cause: the part flown again with one thing mended')}>${told(worst.evidence.text)}${worst.part ? ` (part ${worst.part})` : ''}. ${told(worst.cause)}</p>${mended(worst.refly)}${more}`;
}

/** @param {any} attempt */
export function faults(attempt) {
  if (!attempt.faults.length) return '';
  const rows = attempt.faults.map((/** @type {any} */ fault) => [escape(plainWords(fault.id)) + (fault.why ? `<br><span class="source">${told(fault.why)}</span>` : ''), fault.part ? String(fault.part) : '', told(fault.evidence.text), told(fault.cause) + (fault.remedy ? `<br><span class="source">try: ${told(fault.remedy)}</span>` : ''), mended(fault.refly)]);
  return `<div class="scroll">${table(['fault', 'part', 'seen', 'likely cause, and what to try', 'with it mended'], rows, 'Faults, worst first', 'plain', 'Measured in the recording; with it mended: the part flown again by the point mass with the airplane’s figures, all else as flown.')}</div>`;
}

/** Measures of an attempt, over its parts. @param {any} attempt @returns {[string, any][]} */
export const measuresOf = attempt => (attempt.parts ? attempt.parts.flatMap((/** @type {any} */ part, /** @type {number} */ i) => Object.entries(part.measures).map(([key, value]) => [`part ${i + 1}: ${key}`, value])) : Object.entries(attempt.measures));
/** What words of a key mean, where they are short for something. @type {[RegExp, string][]} */
const MEANT = [[/airspeed over stall at (end|break)/, 'airspeed over the stall at one g, at the $1'], [/stall margin least/, 'least airspeed over the stall at the load flown'], [/bank mean 20 to 85/, 'mean bank from 20° to 85° of turn'],
  [/bank mean middle/, 'mean bank of the middle'], [/(lateral load|sideslip) mean into turn/, 'mean $1, into the turn positive'], [/turn at pitch (greatest|least)/, 'degrees of turn at the $1 pitch'], [/bank over that of the circle greatest/, 'most bank beyond that of the circle'],
  [/(.*) at rollout error/, '$1 error at the roll-out'], [/^(part \d: )?(.*) (greatest|least) difference/, '$1difference of the $3 $2'], [/height lost (level off|stall)/, 'height lost in the $1'], [/(bank|pitch change) at (\d+)/, '$1 at $2°'], [/bank at (\d+)° difference/, 'difference of bank at $1°'], [/^(part \d: )?(.*) (greatest|least)$/, '$1$3 $2']];
/** @param {string} key */
export function measureWords(key) {
  const [, words, unit] = /^(.*)_([a-z]+)$/.exec(key) ?? [null, key, ''];
  return { words: MEANT.reduce((said, [short, meant]) => said.replace(short, meant), words.replaceAll('_', ' ')), unit: { dps: '°/s', percent: '%' }[unit] ?? unit ?? '' };
}

/** Attempts side by side. @param {any[]} attempts @param {number[]} numbers */
export function compared(attempts, numbers) {
  const keys = [...new Set(attempts.flatMap(attempt => measuresOf(attempt).map(([key]) => key)))];
  const found = attempts.map(attempt => Object.fromEntries(measuresOf(attempt)));
  const rows = keys.map(key => {
    const { words, unit } = measureWords(key);
    return [escape(words), ...found.map(measures => estimate(measures[key], unit))];
  });
  return `<div class="scroll">${table(['measure', ...numbers.map((number, i) => `attempt ${number + 1}${attempts[i].direction ? `, ${attempts[i].direction}` : ''}`)], rows, 'Measures, with their doubt (95 %)', 'plain', 'Measured in the recording; ±: 95 %, from the doubt of the reconstruction. A dash: the recording does not support it.')}</div>`;
}
