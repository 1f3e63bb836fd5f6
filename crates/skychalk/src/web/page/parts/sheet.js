// The rest of a brief in words and tables: safety, gates, way out, series, entry speeds, sensitivities, patter, sources, notes.
import { recall } from '../core/choice.js';
import { escape, sign, table } from '../core/markup.js';
import { far, quantity, spoken, systemName, text } from '../core/numbers.js';
import { BAND_SIGMAS } from '../pictures/shared.js';
import { sourceWords, told, verdictWords, withTitles } from '../core/words.js';
import { limitsTable } from './limits.js';
import { source } from './source.js';

/** @param {string} title @param {string} inside @param {boolean} [open] */
const section = (title, inside, open = false) => (inside ? `<details class="sheet-part"${open ? ' open' : ''}><summary>${escape(title)}</summary><div>${inside}</div></details>` : '');
/** @param {string[]} rows @param {string} [from] where the numbers in them come from */
const bullets = (rows, from = '') => (rows.length ? `<ul${from ? source(from) : ''}>${rows.map(row => `<li${from && /\d/.test(row) ? ' tabindex="0" class="number"' : ''}>${row}</li>`).join('')}</ul>` : '');

/** @param {any} brief */
function safety(brief) {
  const line = (/** @type {any} */ one) => `<li>${sign(one.whose === 'checked' ? 'met' : 'yours')}<span><b>${one.whose === 'checked' ? 'checked here' : 'yours to check'}${one.country ? `, ${escape(one.country)}` : ''}:</b> ${told(one.text)}${one.finding ? `. <span class="finding">${told(one.finding)}</span>` : ''} <span class="source">${escape(sourceWords(one.source))}</span></span></li>`;
  return `<ul class="safety-list"${source('Checked here: computed from the flight, place and day; the rule stands behind each line')}>${brief.safety.map(line).join('')}</ul>`;
}

/** @param {any} brief */
function gates(brief) {
  if (!brief.gates.length) return '';
  const rows = brief.gates.map((/** @type {any} */ gate) => [told(gate.what), quantity(gate.value, gate.unit)]);
  return `<p>Values at which the instructor takes control: proposed, to be agreed or changed. The way out: unload, roll to the nearest horizon, power as the speed requires.</p>${table(['watch', 'take control at'], rows, 'Gates', 'plain', 'Proposed by the program from the computed flight and the limits of the airplane, with a margin: common practice, to be agreed or changed')}`;
}

/** @param {any} brief */
function wayOut(brief) {
  if (!brief.recoveries) return '';
  const names = { prompt: 'at once, from where it comes out lowest', bad: '2 s late, from where it comes out lowest', most_lost: '2 s late, from where it loses most' };
  const rows = Object.entries(names).map(([key, words]) => {
    const r = brief.recoveries[key];
    return [words, `${escape(placeWords(brief.sides[0], brief.progress, r.progress_deg))}, ${text(r.time_s, 1)} s`, `${text(r.bank_deg, 0, true)}° / ${text(r.pitch_deg, 0, true)}°`, quantity(r.ias_kt, 'kt'), quantity(r.lost_ft, 'ft'), quantity(r.lowest_ft, 'ft', true), quantity(r.fastest_kt, 'kt'), r.recovers ? `${text(r.seconds, 1)} s` : 'does not come level'];
  });
  return table(['begun', 'where', 'bank / pitch', 'speed', 'height lost', 'lowest against entry', 'fastest', 'level after'], rows, 'The way out, at half the load available', 'plain', 'Computed: the point mass flown out from that moment of the figure, unload, roll to level, pull to the horizon at half the load available');
}

/** @param {any} brief */
function series(brief) {
  if (!brief.series) return '';
  const { block, between, stopped } = brief.series;
  return bullets([
    `height block ${quantity(block.low_ft, 'ft')} to ${quantity(block.high_ft, 'ft')} above mean sea level`,
    `${far(block.along_nm[0], true)} to ${far(block.along_nm[1], true)} along the entry heading, ${far(block.across_nm[0], true)} to ${far(block.across_nm[1], true)} to its right; ${far(block.farthest_nm)} from the entry point at most`,
    `the wind carries it ${far(Math.hypot(...block.drift_nm))}; the whole takes ${text(block.seconds)} s`,
    ...between.map((/** @type {any} */ b) => `between two figures: level for ${text(b.seconds)} s, ${far(b.distance_nm)} through the air`),
    ...(stopped ? [told(stopped)] : []),
    ...brief.clearing.map((/** @type {any} */ c) => `clearing turns before the ${escape(c.direction)} one: ${told(c.text)}`),
  ], 'Computed from the flights of both sides one after the other, with the wind of the day');
}

/** @param {any} brief */
function fit(brief) {
  if (!brief.fit) return '';
  const { entry_window: window, sensitivities } = brief.fit;
  const rows = sensitivities.map((/** @type {any} */ s) => [told(s.change), escape(verdictWords(s.verdict)), s.stall_margin_kt == null ? '–' : quantity(s.stall_margin_kt, 'kt'), s.height_gain_ft == null ? '–' : quantity(s.height_gain_ft, 'ft', true), told(s.reason)]);
  const words = window ? `<p class="number" tabindex="0"${source('Computed: the figure solved again over entry speeds until a limit is reached')}>Entry speeds that keep the limits: <b>${quantity(window.low_kt, 'kt')}</b> (below: ${told(window.low_why)}) to <b>${quantity(window.high_kt, 'kt')}</b> (above: ${told(window.high_why)}). Flown: ${quantity(window.used_kt, 'kt')}.</p>` : '';
  const bands = (brief.fit.bands ?? []).map((/** @type {any} */ b) => [told(b.words), quantity(b.value, b.unit), b.sigma == null ? 'within its doubt it cannot be flown' : `±${quantity(BAND_SIGMAS * b.sigma, b.unit)}`]);
  const doubt = bands.length ? table(['what the brief hangs on', 'computed', 'doubt of the airplane’s figures, 95 %'], bands, 'With the doubt of the airplane’s figures', 'plain', 'Computed again with the airplane’s fitted figures varied within their doubt; ±: 95 %') : '';
  return words + doubt + table(['changed', 'verdict', 'least over stall', 'highest', 'because'], rows, 'If it is a little worse than told', 'plain', 'Computed: the figure solved again with that one thing changed');
}

/** @param {any} brief */
function sun(brief) {
  if (!brief.sun) return '';
  const s = brief.sun;
  return bullets([`azimuth ${text(s.azimuth_deg)}°, ${text(s.elevation_deg)}° above the horizon`, ...(s.in_the_sun.length ? [`in the sun: ${escape(s.in_the_sun.join(', '))}`] : []),
    ...s.clear_headings_deg.map((/** @type {number[]} */ pair) => `entry headings ${text(pair[0])}° to ${text(pair[1])}° put no reference in it`)], 'Computed from time and place of the day: position of the sun, by the usual low-precision formulas');
}

/** A place in a figure: its degrees, or the phase that runs there. @param {any} side @param {string} progress @param {number} at */
const placeWords = (side, progress, at) => (progress === 'phase' ? [...side.checkpoints].reverse().find((/** @type {any} */ check) => check.progress_deg <= at + 0.5)?.phase : null) ?? `${text(at)}°`;

/** @param {any} brief */
function patter(brief) {
  const names = { demonstrating: 'Demonstrating', directing: 'Directing', monitoring: 'Monitoring' };
  return brief.sides.map((/** @type {any} */ side) => Object.entries(names).map(([voice, words]) => {
    const rows = side.patter.filter((/** @type {any} */ line) => line.voice === voice).map((/** @type {any} */ line) => [line.when === 'at' ? placeWords(side, brief.progress, line.progress_deg) : line.when, `${text(line.time_s, 1)} s`, escape(spoken(line.text)) + (line.warning ? `<br><span class="source">${escape(line.warning)}</span>` : '')]);
    return rows.length ? table(['at', 'time', 'say'], rows, `${words}, to the ${side.direction}`, 'plain', 'When: from the computed flight and the speaking rate; words: the script of the figure') : '';
  }).join('')).join('');
}

/** @param {any} brief */
function unknowns(brief) {
  const one = (/** @type {any} */ side) => [...side.unknowns.map((/** @type {any} */ u) => `${escape(u.name)}, ${side.direction}: ${quantity(u.value, u.unit)}`),
    ...(side.best_gain ? [`the greatest gain of height in the same ${text(side.best_gain.seconds)} s, ${side.direction}: ${quantity(side.best_gain.gain_ft, 'ft')} (the physical best, not the standard’s target)`] : []),
    ...(side.controls ? [...side.controls.misses, ...side.controls.excesses].map((/** @type {string} */ words) => `${side.direction}: ${told(words)}`) : side.controls_missing ? [told(side.controls_missing)] : [])];
  return bullets([...(brief.difference ? [told(brief.difference.sentence)] : []), ...brief.sides.flatMap(one)], 'Computed: unknowns of the solution; the greatest gain by an optimum of the same point mass; hands and feet by the six-degree airplane');
}

/** @param {any} maneuver */
function figure(maneuver) {
  const list = (/** @type {any[]} */ statements) => bullets(statements.map(one => `${told(one.text)} <span class="source">${escape(sourceWords(one.source))}</span>`), 'As the trade teaches it; the source stands behind each');
  return `<p>${told(maneuver.purpose.text)} <span class="source">${escape(sourceWords(maneuver.purpose.source))}</span></p>${maneuver.unpublished ? `<p>${told(maneuver.unpublished.text)}</p>` : ''}${maneuver.hazard ? `<p class="c-limit">${told(maneuver.hazard.text)}</p>` : ''}<h3>Entry</h3>${list(maneuver.entry)}<h3>Errors known to the trade</h3>${list(maneuver.errors)}<h3>Cautions</h3>${list(maneuver.cautions)}`;
}

/** @param {any} brief @param {any} maneuver @param {string} query */
export function sheet(brief, maneuver, query) {
  const keep = (brief.sides.length ? ['html', 'svg', 'text', 'csv', 'json'] : ['html', 'text', 'json']).map(format => `<a class="quiet" href="api/brief?${escape(query)}&amp;format=${format}&amp;shown-in=${systemName()}" download="brief-${escape(brief.maneuver)}.${format === 'text' ? 'txt' : format}">${{ html: 'page that prints', svg: 'pictures', text: 'text', csv: 'table of the flight', json: 'numbers' }[format]}</a>`).join(' ');
  const large = recall('paper-size') === 'letter', papers = [['brief', 'one page', large ? 'letter' : 'a4'], ['card', 'kneeboard card', large ? 'half-letter' : 'a5'], ['safety', 'safety sheet', large ? 'letter' : 'a4'], ['whole', 'everything', large ? 'letter' : 'a4']]
    .map(([paper, words, size]) => `<a class="quiet" href="api/brief?${escape(query)}&amp;format=pdf&amp;paper=${paper}&amp;page-size=${size}&amp;shown-in=${systemName()}" download="${paper === 'whole' ? 'whole-brief' : paper}-${escape(brief.maneuver)}.pdf">${words}</a>`).join(' ');
  return section('Safety sheet', safety(brief), true)
    + section('Gates and the way out', gates(brief) + wayOut(brief))
    + section('Every limit', brief.limits.length ? limitsTable(brief.limits) : '')
    + section('Entry speeds, and a little worse than told', fit(brief))
    + section('Both ways in one go: height block, room, clearing turns', series(brief))
    + section('The sun', sun(brief))
    + section('Patter, all of it', patter(brief))
    + section('What the solution found', unknowns(brief))
    + section('About this figure', maneuver ? figure(maneuver) : '')
    + section('Sources and notes', bullets([...brief.sources.map((/** @type {string} */ key) => escape(withTitles(sourceWords(key)))), ...brief.notes.map(told)], 'As the program says'))
    + (brief.sides.length ? `<p class="keep">Print (PDF): ${papers} <label class="quiet"><span class="unseen">size of the paper</span><select name="paper-size"><option value="a4">A4, A5</option><option value="letter"${large ? ' selected' : ''}>letter, half letter</option></select></label></p>` : '')
    + `<p class="keep">Keep this brief: ${keep}</p>`;
}
