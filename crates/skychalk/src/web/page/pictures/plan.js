// Picture 4: from above: the track over the ground, what it would be in calm air, and where the air goes.
import { at } from '../core/flight.js';
import { tickStep } from '../core/charts.js';
import { cos, ground as groundOf, heightUnit, mps, quantity, roundDistance, sin, text } from '../core/numbers.js';
import { area, chalk, circle, label, line, n, seg } from '../core/markup.js';
import { HEIGHT, WIDTH, apart, band, fit, fromAbove, labelled, moving, namedBefore, nowClass, ordered, path, placed, shown } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../core/markup.js').Point} Point */

/** The track without the wind, which is told in the frame of the first flight. @param {Flight} flight @param {Scene} scene @param {number} i @returns {Point} */
function calm(flight, scene, i) {
  const wind = /** @type {NonNullable<Scene['wind']>} */ (scene.wind), drift_m = mps(wind.speed_kt) * (flight.columns.time_s[i] - flight.columns.time_s[0]);
  const toward = wind.toward_deg + scene.flights[0].entryHeading - flight.entryHeading;
  return [flight.columns.across_m[i] - drift_m * sin(toward), -(flight.columns.along_m[i] - drift_m * cos(toward))];
}
/** @param {Flight} flight @param {number} i @returns {Point} */
const ground = (flight, i) => [flight.columns.across_m[i], -flight.columns.along_m[i]];

/** @param {Scene} scene */
const showsCalm = scene => scene.wind !== null && scene.wind.speed_kt >= 1 && (scene.flights.length === 1 || scene.mode === 'both');

/** @param {Scene} scene */
function frame(scene) {
  /** @type {Point[]} */
  const points = [[0, 0]];
  for (const flight of placed(scene)) {
    points.push(...path(flight, i => ground(flight, i)));
    if (showsCalm(scene)) points.push(...path(flight, i => calm(flight, scene, i)));
  }
  for (const mark of scene.marks) mark.along_m.forEach((along, i) => points.push([mark.across_m[i], -along]));
  return fit(points, [28, 30, WIDTH - 68, HEIGHT - 22]);
}
/** @type {WeakMap<Scene, ReturnType<typeof frame>>} */
const frames = new WeakMap();
/** @param {Scene} scene */
function frameOf(scene) {
  let found = frames.get(scene);
  if (!found) frames.set(scene, found = frame(scene));
  return found;
}

/** How far out of the turn the label of a checkpoint stands, across and up: beyond the wing tip of the airplane that passes there. */
const ASIDE = [29, 23];

/** @param {Scene} scene */
function windArrow(scene) {
  if (!scene.wind || scene.wind.speed_kt < 0.5) return label(WIDTH - 6, 16, scene.wind ? 'calm' : 'wind not known', 't small muted', 'end');
  return `<g transform="translate(${WIDTH - 32} 30) rotate(${n(scene.wind.toward_deg)})"><path class="wind" d="M0 22V-22m-5 8l5-8 5 8"/></g>` + label(WIDTH - 32, 70, quantity(scene.wind.speed_kt, 'kt'), 't small muted', 'middle');
}

/** @param {Scene} scene @param {number} scale */
function bar(scene, scale) {
  const { m, words } = roundDistance(52 / scale, about => tickStep(0, about, 1)), x = WIDTH - 8;
  return `<path class="scale" d="M${n(x)} ${HEIGHT - 10}v4h${n(-m * scale)}v-4"/>` + label(x, HEIGHT - 14, words, 't small muted', 'end');
}

/** @type {import('../types').Picture} */
export const plan = {
  id: 'plan',
  named: true,
  sides: 'turned',
  title: 'From above',
  note: scene => (showsCalm(scene) ? 'dotted: in calm air' : 'entry heading up'),
  help: 'The track over the ground, entry heading up. The dotted track is the same flight in calm air; what lies between is the wind’s; it is left out where two flights lie upon each other. The arrow points the way the air goes. The band of an attempt is the doubt of its place to either side, 95 %.',
  still(scene) {
    const lead = shown(scene);
    if (!lead.has('along_m')) return label(WIDTH / 2, HEIGHT / 2, 'No place was recorded.', 't muted', 'middle');
    const place = frameOf(scene);
    let out = '';
    if (!scene.marks.length) {
      const x = place([0, 0])[0];
      for (const off of [-2, 2]) out += seg([x + off, 6], [x + off, HEIGHT - 4], 'road');
      out += label(x + (scene.flights[0].side === 'left' ? 7 : -7), HEIGHT - 36, 'road', 't small muted', scene.flights[0].side === 'left' ? 'start' : 'end');
    }
    for (const [i, mark] of scene.marks.entries()) {
      const points = mark.along_m.map((along, i) => place([mark.across_m[i], -along])), [x, y] = points[0];
      out += (points.length > 1 ? line(points, 'road') : circle(x, y, 4.5, 'dot ink')) + (namedBefore(scene, i) ? '' : label(x + 8, y + 4, mark.name, 't small muted'));
    }
    if (showsCalm(scene)) for (const flight of scene.flights) out += line(path(flight, i => place(calm(flight, scene, i))), 'calm');
    for (const flight of ordered(placed(scene))) {
      const around = band(flight, 'across_m', (i, off) => {
        const [x, y] = ground(flight, i), next = ground(flight, Math.min(i + 1, flight.columns.time_s.length - 1)), back = ground(flight, Math.max(i - 1, 0));
        const [dx, dy] = [next[0] - back[0], next[1] - back[1]], far = Math.hypot(dx, dy) || 1;
        return place([x - (off * dy) / far, y + (off * dx) / far]);
      });
      if (around) out += area(around, 'band');
      out += chalk(path(flight, i => place(ground(flight, i))), flight.role);
      const last = flight.columns.time_s.length - 1, [x, y] = place(ground(flight, last)), [bx, by] = place(ground(flight, Math.max(0, last - 4)));
      if (flight.role !== 'reflight') out += `<path class="arrow ${flight.role}" transform="translate(${n(x)} ${n(y)}) rotate(${n((Math.atan2(y - by, x - bx) * 180) / Math.PI + 90)})" d="M-5 8L0 0l5 8"/>`;
    }
    for (const flight of scene.mode === 'both' ? scene.flights : [lead]) {
      /** Of labels on one place (a figure of several rounds) the last stands. @type {Point[]} */
      const taken = [];
      for (const check of labelled(scene).filter(({ clock }) => clock > 0.5).reverse()) {
        const s = at(flight, check.clock), [x, y] = place([s.across_m, -s.along_m]);
        const later = at(flight, check.clock + scene.span / 90), way = Math.atan2(later.across_m - s.across_m, later.along_m - s.along_m);
        const out_ = flight.side === 'left' ? 1 : -1, dx = out_ * Math.cos(way), dy = out_ * Math.sin(way);
        out += seg([x - 6 * dx, y - 6 * dy], [x + 6 * dx, y + 6 * dy], `tick ${flight.role} check`);
        const [lx, ly] = [x + ASIDE[0] * dx, y + ASIDE[1] * dy + 5];
        if (scene.mode === 'both' || taken.some(([tx, ty]) => Math.abs(tx - lx) < 26 && Math.abs(ty - ly) < 12)) continue;
        taken.push([lx, ly]);
        out += label(lx, ly, check.mark, 't small label', 'middle');
      }
      if (scene.mode === 'both') {
        const s = at(flight, apart(scene)), [x, y] = place([s.across_m, -s.along_m]);
        out += label(x, Math.max(12, y - 14), flight.side, 't label', 'middle');
      }
    }
    return out + windArrow(scene) + bar(scene, place.scale);
  },
  live(scene, clock) {
    if (!shown(scene).has('along_m')) return '';
    const place = frameOf(scene);
    return moving(scene).filter(flight => flight.has('along_m')).map(flight => {
      const s = at(flight, clock), [x, y] = place([s.across_m, -s.along_m]);
      return fromAbove(x, y, s.heading, s.bank, nowClass(scene, flight));
    }).join('');
  },
  table(scene) {
    const lead = shown(scene);
    const rows = scene.checks.map(check => {
      const s = at(lead, check.clock);
      return [check.label, `${text(s.time_s - lead.columns.time_s[0], 1)} s`, text(groundOf(s.along_m)), text(groundOf(s.across_m), 0, true), `${text(s.heading, 0, true)}°`];
    });
    return { head: ['at', 'time', `ahead of entry, ${heightUnit()}`, `right of entry, ${heightUnit()}`, 'heading right of entry'], rows };
  },
};
