// The whole flight: height against time with its attempts, and its track over the ground.
import { axis, band, curve, scale, tickStep } from '../core/charts.js';
import { element, escape, find, label, line, n, seg, sign, signShapes } from '../core/markup.js';
import { height, heightUnit, roundDistance, text } from '../core/numbers.js';
import { maneuverTitle } from '../core/words.js';
import { fit } from '../pictures/shared.js';

/** @typedef {import('../core/markup.js').Point} Point */

/** A flight that hardly climbs is not drawn as one that does. */
const LEAST_SPAN_FT = 500;
const X0 = 46, TOP = 24, BOTTOM = 66, TALL = 81;
/** As wide as it is drawn, about: words of a narrow one are as large as those of a wide one. */
const wide = () => (matchMedia('(max-width: 700px)').matches ? 400 : 900);

/** Of the findings: one not met is not met, one that cannot be told leaves it open. Bands of our own count where nothing published does: they
 * alone do not make an attempt one that is not met. @param {any} attempt */
export function overall(attempt) {
  const all = attempt.findings ?? [], published = all.filter((/** @type {any} */ finding) => !finding.training_aid);
  const verdicts = (published.length ? published : all).map((/** @type {any} */ finding) => finding.verdict);
  return verdicts.includes('not met') ? 'not met' : verdicts.includes('cannot tell') || !verdicts.length ? 'cannot tell' : 'met';
}
/** @param {any} attempt */
export const wayWords = attempt => (attempt.direction && attempt.direction !== 'none' ? ` ${attempt.direction}` : '');

/** Whether the user said what it was. @param {any} attempt */
export const corrected = attempt => Boolean(attempt.evidence?.[0]?.startsWith('as the user says'));

/** @param {any} flight @param {number} open */
function strip(flight, open) {
  const WIDE = wide(), narrow = WIDE < 500, { debrief } = flight, data = debrief.strip, end = debrief.recording.duration_s || 1;
  const minutes = scale([0, end / 60], [X0, WIDE - 6]), x = (/** @type {number} */ t) => minutes(t / 60);
  if (!data) return label(X0, 60, 'No height was recorded.', 't muted');
  const heights = data.height_ft.map(height), least = Math.min(...heights), high = Math.max(...heights, least + height(LEAST_SPAN_FT)), low = least - 0.08 * (high - least), y = scale([low, high], [BOTTOM, TOP + 12]);
  let out = axis('left', y, { at: X0, ticks: 2, words: h => text(h), reach: WIDE - 6 - X0 })
    + axis('bottom', minutes, { at: BOTTOM, ticks: narrow ? 4 : 8, words: m => `${text(m, m % 1 ? 1 : 0)}${m ? '' : ' min'}`, gap: 5 });
  const points = data.time_s.map((/** @type {number} */ t, /** @type {number} */ i) => /** @type {Point} */ ([x(t), y(heights[i])]));
  out += band(points.map((/** @type {Point} */ [px, py]) => ({ x: px, low: BOTTOM, high: py })), 'under') + curve(points, 'attempt flown');
  for (const event of flight.debrief.events ?? []) {
    if (!event.expected) out += `<path class="limit event" d="M${n(x(event.begin_s))} ${BOTTOM}v-10m-4 4l4-5 4 5"><title>${escape(event.text)}</title></path>`;
  }
  debrief.attempts.forEach((/** @type {any} */ attempt, /** @type {number} */ i) => {
    const half = narrow ? 8 : 18, [a, b] = [x(attempt.start_s), x(attempt.end_s)], middle = (a + b) / 2, verdict = overall(attempt);
    out += `<g class="flag" data-attempt="${i}"><rect class="hit" x="${n(middle - (narrow ? 9 : 17))}" y="0" width="${narrow ? 18 : 34}" height="${BOTTOM}"/>${i === open ? `<rect class="open" x="${n(Math.min(a, middle - half) - 3)}" y="1" width="${n(Math.max(b - a, 2 * half) + 6)}" height="${BOTTOM - 1}" rx="4"/>` : seg([middle, 22], [middle, TOP + 14], 'drop')}`
      // Where there is no room for a sign, the row below has it.
      + (narrow ? label(middle, 16, String(i + 1), `t label ${verdict === 'not met' ? 'limit' : ''}`, 'middle') : `<g class="glyph ${verdict === 'not met' ? 'c-limit' : ''}" transform="translate(${n(middle - 16)} 4) scale(.75)">${signShapes(verdict)}</g>${label(middle + 3, 16, String(i + 1), 't label')}`) + '</g>';
  });
  return out + label(X0 - 6, 16, heightUnit(), 't small muted', 'end');
}

/** The plan: small beside the strip, or large under it. @param {any} flight @param {number} open @param {boolean} large */
function ground(flight, open, large) {
  const { ground: track, debrief } = flight, [width, tall] = planSize(large);
  if (!track) return label(width / 2, tall / 2, 'No place was recorded.', 't muted', 'middle');
  const points = track.north_m.map((/** @type {number} */ north, /** @type {number} */ i) => /** @type {Point} */ ([track.east_m[i], -north]));
  const place = fit(points, [8, 18, width - 8, tall - 8]);
  let out = line(points.map(place), 'flown whole');
  /** @type {Point[]} */ const taken = [];
  debrief.attempts.forEach((/** @type {any} */ attempt, /** @type {number} */ i) => {
    const { north_m: north, east_m: east } = attempt.track;
    if (!north || !east) return;
    const own = north.value.map((/** @type {number} */ value, /** @type {number} */ k) => place([east.value[k], -value])), [x, y] = freeNear(own[own.length >> 1], taken, large);
    taken.push([x, y]);
    out += `<g class="flag" data-attempt="${i}">${line(own, `flown attempt${i === open ? ' here' : ''}`)}${label(x, y, String(i + 1), `t ${large ? 'label' : 'small'}${i === open ? ' ink' : ' muted'}`)}</g>`;
  });
  const { m, words } = roundDistance(60 / place.scale, about => tickStep(0, about, 1));
  return out + `<path class="scale" d="M${width - 8} ${tall - 6}v4h${n(-m * place.scale)}v-4"/>` + label(width - 8, tall - 10, words, 't small muted', 'end') + label(4, 12, 'north up', 't small muted');
}
/** @param {boolean} large @returns {[number, number]} */
const planSize = large => (large ? [wide(), wide() < 500 ? 300 : 380] : [220, TALL]);
/** A place for a number beside a track that no other number stands on. @param {Point} at @param {Point[]} taken @param {boolean} large @returns {Point} */
function freeNear([x, y], taken, large) {
  const [across, down] = large ? [16, 15] : [10, 11], clear = (/** @type {Point} */ [px, py]) => taken.every(([ox, oy]) => Math.abs(ox - px) >= across || Math.abs(oy - py) >= down);
  for (let ring = 0; ring < 5; ring++) {
    for (const [dx, dy] of [[5, -3], [5, 11], [-14, -3], [-14, 11], [-4, -14], [-4, 20]]) {
      const spot = /** @type {Point} */ ([x + dx * (1 + 1.6 * ring), y + dy * (1 + 1.6 * ring)]);
      if (clear(spot)) return spot;
    }
  }
  return [x + 5, y - 3];
}

export class Whole {
  /** @param {HTMLElement} host @param {(attempt: number) => void} chosen */
  constructor(host, chosen) {
    this.box = element(`<section class="whole" aria-label="The whole flight"><div class="both"><svg class="strip" data-source="Height as recorded, above sea level; time from the first sample" role="img" aria-label=""></svg><svg class="ground" data-source="Place as reconstructed from the recording" role="img" aria-label=""></svg></div><button type="button" class="word plan-size" aria-expanded="false">larger plan</button><div class="attempts" role="group" aria-label="Attempts"></div></section>`);
    host.append(this.box);
    /** @type {{ flight: any, open: number } | null} */ this.shown = null;
    this.large = false;
    const size = find('.plan-size', this.box);
    size.addEventListener('click', () => {
      this.large = !this.large;
      size.setAttribute('aria-expanded', String(this.large));
      size.textContent = this.large ? 'smaller plan' : 'larger plan';
      this.box.classList.toggle('large', this.large);
      if (this.shown) this.show(this.shown.flight, this.shown.open);
    });
    this.box.addEventListener('click', event => {
      const flag = /** @type {HTMLElement} */ (event.target).closest('[data-attempt]');
      if (flag) chosen(Number(flag.getAttribute('data-attempt')));
    });
  }
  /** @param {any} flight @param {number} open */
  show(flight, open) {
    const { attempts, recording } = flight.debrief, [left, right] = [find('.strip', this.box), find('.ground', this.box)];
    left.setAttribute('viewBox', `0 0 ${wide()} ${TALL}`);
    left.innerHTML = strip(flight, open);
    right.setAttribute('viewBox', `0 0 ${planSize(this.large).join(' ')}`);
    right.innerHTML = ground(flight, open, this.large);
    this.shown = { flight, open };
    left.setAttribute('aria-label', `Height against time, ${text(recording.duration_s / 60)} minutes, ${attempts.length} attempts marked`);
    right.setAttribute('aria-label', 'Track over the ground, attempts marked');
    find('.attempts', this.box).innerHTML = attempts.map((/** @type {any} */ attempt, /** @type {number} */ i) => `<button type="button" class="quiet" data-attempt="${i}" aria-pressed="${i === open}">${sign(overall(attempt))}<span>${i + 1} ${escape(maneuverTitle(attempt.maneuver))}${escape(wayWords(attempt))}${corrected(attempt) ? ' <span class="muted">corrected</span>' : ''}<span class="unseen">, ${overall(attempt)}</span></span></button>`).join('')
      || '<p>No attempts were found in this recording.</p>';
    // Of many, the one that is open is in sight.
    find('.attempts [aria-pressed=true]', this.box)?.scrollIntoView({ block: 'nearest', inline: 'nearest' });
  }
}
