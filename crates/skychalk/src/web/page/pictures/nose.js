// Picture 3: the nose trace: where the nose goes on the horizon, with the wings at each checkpoint. One degree is as long upward as along.
import { at, thinned } from '../core/flight.js';
import { tickStep } from '../core/charts.js';
import { clamp, cos, sin, text } from '../core/numbers.js';
import { area, chalk, circle, label, line, n, seg } from '../core/markup.js';
import { POINTS, WIDTH, band, labelled, moving, nameOf, nowClass, ordered, roleUpon } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../core/markup.js').Point} Point */

const TOP = 14, ROW = 208, LEFT = 30, RIGHT = WIDTH - 12;

/** Azimuth and elevation to the sheet. @param {Scene} scene */
function frame(scene) {
  let [low, high, az0, az1] = [-8, 8, -4, 4];
  for (const { columns } of scene.flights.filter(flight => flight.has('pitch'))) {
    low = Math.min(low, ...columns.pitch);
    high = Math.max(high, ...columns.pitch);
    az0 = Math.min(az0, ...columns.heading);
    az1 = Math.max(az1, ...columns.heading);
  }
  const scale = Math.min((RIGHT - LEFT) / (az1 - az0), (150 - TOP) / (high - low), 3.2);
  const middle = (LEFT + RIGHT) / 2 - (scale * (az0 + az1)) / 2, level = TOP + scale * high + Math.max(0, (136 - scale * (high - low)) / 2);
  return { scale, low, high, level, x: (/** @type {number} */ az) => middle + scale * az, y: (/** @type {number} */ el) => level - scale * el };
}
/** @type {WeakMap<Scene, ReturnType<typeof frame>>} */
const frames = new WeakMap();
/** @param {Scene} scene */
function frameOf(scene) {
  let found = frames.get(scene);
  if (!found) frames.set(scene, found = frame(scene));
  return found;
}

/** @param {number} bank */
const folded = bank => bank - 360 * Math.round(bank / 360);
/** @param {number} x @param {number} y @param {number} bank @param {number} half @param {string} name */
const wings = (x, y, bank, half, name) => seg([x - half * cos(bank), y - half * sin(bank)], [x + half * cos(bank), y + half * sin(bank)], name);

/** @param {Scene} scene @param {ReturnType<typeof frame>} f */
function grid(scene, f) {
  let out = '';
  const step = tickStep(f.low, f.high, clamp(((f.high - f.low) * f.scale) / 16, 1, 4));
  for (let el = Math.ceil(f.low / step) * step; el <= f.high; el += step) {
    if (Math.abs(el) < 1e-6) continue;
    out += seg([LEFT, f.y(el)], [WIDTH - 6, f.y(el)], 'grid');
    if (step * f.scale > 13) out += label(LEFT - 4, f.y(el) + 4, `${text(el, 0, true)}°`, 't small muted', 'end');
  }
  return out + seg([4, f.level], [WIDTH - 4, f.level], 'horizon');
}

/** Room for two banks beside each other, units of the sheet. */
const TWO_BANKS = 38;
/** Where the checkpoints stand. A figure that turns has them along the horizon, as long as their numbers find room there; others in a row
 * by themselves. @param {Scene} scene @param {ReturnType<typeof frame>} f @param {import('../types').Check[]} checks @param {number} room between two */
function columns(scene, f, checks, room) {
  if (scene.progress === 'turn' && scene.parts === 1 && scene.span <= 200 && scene.mode !== 'both') {
    const along = checks.map(check => clamp(f.x(at(scene.flights[0], check.clock).heading), LEFT - 6, WIDTH - 16));
    if (along.every((x, i) => i === 0 || Math.abs(x - along[i - 1]) >= room)) return along;
  }
  return checks.map((_, i) => LEFT + 14 + ((RIGHT - LEFT - 28) * i) / Math.max(1, checks.length - 1));
}

/** The wings large under each checkpoint. @param {Scene} scene @param {ReturnType<typeof frame>} f */
function row(scene, f) {
  const checks = labelled(scene), drawn = scene.flights.filter(({ role }) => role !== 'reflight').slice(0, 2);
  const two = drawn.length > 1 && checks.length <= 6, xs = columns(scene, f, checks, two ? TWO_BANKS : 0);
  return checks.map((check, index) => {
    const x = xs[index];
    let out = label(x, 182, check.mark, 't small label', 'middle');
    const small = checks.length > 6 ? 11 : 17;
    drawn.forEach((flight, k) => {
      const bank = at(flight, check.clock).bank;
      out += wings(x, ROW, bank, small, `stroke ${roleUpon(scene, flight)}`) + (k ? '' : circle(x, ROW, 3.6, `dot ${flight.role}`));
    });
    const banks = drawn.map(flight => text(Math.abs(folded(at(flight, check.clock).bank))));
    if (two) {
      out += label(x - 3, 242, banks[0], `t small ${roleUpon(scene, drawn[0])}`, 'end') + label(x + 3, 242, banks[1], `t small ${roleUpon(scene, drawn[1])}`);
    } else out += label(x, 242, `${banks[0]}°`, 't small muted', 'middle');
    return out;
  }).join('');
}

/** Over the zenith the nose comes down half a turn farther: the chalk is lifted there. @param {Flight} flight @returns {number[][]} */
function strokes(flight) {
  const { heading } = flight.columns, out = /** @type {number[][]} */ ([[]]);
  thinned(flight, 3 * POINTS).forEach((i, k, all) => {
    if (k && Math.abs(heading[i] - heading[all[k - 1]]) > 60) out.push([]);
    out[out.length - 1].push(i);
  });
  return out;
}

/** @type {import('../types').Picture} */
export const nose = {
  id: 'nose',
  sides: 'told',
  title: 'Nose trace',
  note: scene => (scene.flights.some(({ sigmas }) => sigmas) ? 'band: 95 %' : 'below: wings and bank'),
  help: 'Where the nose points, as the pilot sees it run along the horizon: azimuth against elevation, a degree as long upward as along. Ticks are the wings; below they stand again, large, at each checkpoint. The band of an attempt is the doubt of its pitch, 95 %.',
  still(scene) {
    const f = frameOf(scene);
    let out = grid(scene, f);
    if (scene.progress === 'turn' && scene.mode !== 'both') {
      for (const check of labelled(scene)) {
        const x = f.x(at(scene.flights[0], check.clock).heading);
        out += check.progress % 180 === 0 ? line([[x - 1.5, f.level], [x - 3, f.level + 12]], 'road') + line([[x + 1.5, f.level], [x + 3, f.level + 12]], 'road') : seg([x, f.level - 4], [x, f.level + 4], 'notch');
      }
    }
    out += row(scene, f);
    for (const flight of ordered(scene.flights)) {
      if (!flight.has('pitch') || !flight.has('heading')) continue;
      const c = flight.columns;
      const doubtful = band(flight, 'pitch', (i, off) => [f.x(c.heading[i]), f.y(c.pitch[i] + off)]);
      if (doubtful) out += area(doubtful, 'band');
      for (const stroke of strokes(flight)) out += chalk(stroke.map(i => /** @type {Point} */ ([f.x(c.heading[i]), f.y(c.pitch[i])])), roleUpon(scene, flight));
      if (flight.role === 'reflight') continue;
      const step = scene.span / 12;
      for (let clock = step + (flight.ahead % step); clock < flight.total - step / 2; clock += step) {
        const s = at(flight, clock), check = scene.checks.some(({ clock: place }) => Math.abs(place - clock) < step / 8);
        out += wings(f.x(s.heading), f.y(s.pitch), s.bank, check ? 9 : 6, `tick ${roleUpon(scene, flight)}${check ? ' check' : ''}`);
      }
    }
    return out;
  },
  live(scene, clock) {
    const f = frameOf(scene);
    return moving(scene).filter(flight => flight.has('pitch')).map(flight => {
      const s = at(flight, clock);
      return `<g class="nosemark ${nowClass(scene, flight)}" transform="translate(${n(f.x(s.heading))} ${n(f.y(s.pitch))}) rotate(${n(s.bank)})"><circle r="5.5"/><path d="M-20 0h13M7 0h13M0-6v-6"/></g>`;
    }).join('');
  },
  table(scene) {
    // A re-flight has a path and no attitude.
    const flights = scene.flights.filter(flight => flight.has('heading') && flight.has('pitch'));
    const rows = scene.checks.map(check => [check.label, ...flights.flatMap(flight => {
      const s = at(flight, check.clock);
      return [`${text(s.heading, 0, true)}°`, `${text(s.pitch, 0, true)}°`, flight.has('bank') ? `${text(s.bank, 0, true)}°` : '–'];
    })]);
    const head = flights.flatMap(flight => ['nose right of entry', 'nose above horizon', 'bank, right positive'].map(words => `${words}, ${nameOf(scene, flight)}`));
    return { head: ['at', ...head], rows };
  },
};
