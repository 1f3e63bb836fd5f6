// Picture 2: from the seat: the world through two windows, ahead and along the wing of the turn. Pinhole projections of the motion.
import { at, attitude, wayOf } from '../core/flight.js';
import { clamp, cos, sin, tan, text } from '../core/numbers.js';
import { area, chalk, circle, label, line, n, rect } from '../core/markup.js';
import { HEIGHT, WIDTH, cut, shown } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').State} State */
/** @typedef {import('../core/markup.js').Point} Point */
/** @typedef {number[]} Vector */

/** Height above the ground that is drawn when nobody told where the ground is, m. */
const ABOVE_GROUND_TAKEN_M = 900;
/** Lines on the ground, m apart; nearer ones when low. */
const LINES_M = 1500, LINES_LOW_M = 300, LOW_M = 600, REACH = 9;
/** How far the edge of the cowl falls for each square degree from its middle: a plain invented shape. */
const COWL_FALL = 0.014;
/** Nearest that is drawn. */
const NEAR = 0.08;

/** A window: where it is on the sheet, where it looks, how wide. */
class Pane {
  /** @param {State} state @param {[number, number, number, number]} box x, y, width, height @param {number} azimuth @param {number} wide @param {number} [lower] looks so many degrees down */
  constructor(state, box, azimuth, wide, lower = 0) {
    this.r = attitude(state.heading, state.pitch, state.bank);
    this.state = state;
    this.box = box;
    this.c = cos(azimuth);
    this.s = sin(azimuth);
    this.focus = box[2] / 2 / tan(wide / 2);
    this.x = box[0] + box[2] / 2;
    this.y = box[1] + box[3] / 2 - this.focus * tan(lower);
  }
  /** Depth, right, down of a vector in body axes. @param {Vector} b @returns {Vector} */
  turn(b) { return [this.c * b[0] + this.s * b[1], this.c * b[1] - this.s * b[0], b[2]]; }
  /** @param {Vector} w along, across, down @returns {Vector} */
  body(w) { return [0, 1, 2].map(i => this.r[0][i] * w[0] + this.r[1][i] * w[1] + this.r[2][i] * w[2]); }
  /** @param {Vector} v depth, right, down @returns {Point} */
  sheet(v) { return [this.x + (this.focus * v[1]) / v[0], this.y + (this.focus * v[2]) / v[0]]; }
  /** @param {Vector} b @returns {Point | null} */
  see(b) {
    const v = this.turn(b);
    return v[0] > NEAR * Math.hypot(...v) ? this.sheet(v) : null;
  }
  /** How far below the horizon a place on the sheet looks. @param {Point} p */
  below(p) {
    const right = (p[0] - this.x) / this.focus, down = (p[1] - this.y) / this.focus;
    const b = [this.c - this.s * right, this.s + this.c * right, down];
    return this.r[2][0] * b[0] + this.r[2][1] * b[1] + this.r[2][2] * b[2];
  }
  /** @param {Vector[]} corners body axes @returns {Point[]} */
  polygon(corners) {
    const turned = corners.map(corner => this.turn(corner)), out = /** @type {Point[]} */ ([]);
    turned.forEach((a, i) => {
      const b = turned[(i + 1) % turned.length];
      if (a[0] >= NEAR) out.push(this.sheet(a));
      if ((a[0] >= NEAR) !== (b[0] >= NEAR)) out.push(this.sheet(mix(a, b, (NEAR - a[0]) / (b[0] - a[0]))));
    });
    return out;
  }
  /** A line on the ground. @param {[number, number]} from along, across @param {[number, number]} to @param {number} above @returns {Point[] | null} */
  ground(from, to, above) {
    const [a, b] = [from, to].map(([along, across]) => this.turn(this.body([along - this.state.along_m, across - this.state.across_m, above])));
    const near = 20;
    if (a[0] < near && b[0] < near) return null;
    const ends = [a, b].map((end, i) => (end[0] >= near ? end : mix(end, i ? a : b, (near - end[0]) / ((i ? a : b)[0] - end[0]))));
    return this.clip(this.sheet(ends[0]), this.sheet(ends[1]));
  }
  /** @param {Point} p @param {Point} q @returns {Point[] | null} */
  clip(p, q) {
    const [x, y, w, h] = this.box, d = [q[0] - p[0], q[1] - p[1]];
    let [t0, t1] = [0, 1];
    for (const [by, room] of [[-d[0], p[0] - x], [d[0], x + w - p[0]], [-d[1], p[1] - y], [d[1], y + h - p[1]]]) {
      if (by === 0) {
        if (room < 0) return null;
      } else if (by < 0) t0 = Math.max(t0, room / by);
      else t1 = Math.min(t1, room / by);
    }
    return t0 > t1 ? null : [[p[0] + t0 * d[0], p[1] + t0 * d[1]], [p[0] + t1 * d[0], p[1] + t1 * d[1]]];
  }
  /** The outline of the window. @returns {Point[]} */
  get outline() {
    const [x, y, w, h] = this.box;
    return [[x, y], [x + w, y], [x + w, y + h], [x, y + h]];
  }
  /** Where the horizon crosses the window. @returns {Point[]} */
  get horizon() { return cut(this.outline, p => this.below(p)).filter(p => Math.abs(this.below(p)) < 1e-9); }
}
/** @param {Vector} a @param {Vector} b @param {number} k */
const mix = (a, b, k) => a.map((value, i) => value + k * (b[i] - value));
/** @param {number} azimuth @param {number} elevation @returns {Vector} */
const direction = (azimuth, elevation) => [cos(elevation) * cos(azimuth), cos(elevation) * sin(azimuth), -sin(elevation)];

/** Earth, lines on it, road, marks, horizon. @param {Scene} scene @param {Pane} pane @param {import('../types').Way} way @param {string} horizon */
function world(scene, pane, way, horizon) {
  const { state } = pane, above = (scene.groundBelow_m ?? ABOVE_GROUND_TAKEN_M) + state.rise_m;
  const earth = cut(pane.outline, p => pane.below(p));
  let out = earth.length > 2 ? area(earth, 'earth') : '';
  if (above > 3) {
    const step = above < LOW_M ? LINES_LOW_M : LINES_M, reach = REACH * step;
    let field = '';
    const [a0, c0] = [state.along_m, state.across_m].map(place => Math.round(place / step) * step);
    for (let k = -REACH; k <= REACH; k++) {
      for (const [from, to] of /** @type {[number, number][][]} */ ([[[a0 - reach, c0 + k * step], [a0 + reach, c0 + k * step]], [[a0 + k * step, c0 - reach], [a0 + k * step, c0 + reach]]])) {
        const seen = pane.ground(from, to, above);
        if (seen && !(!scene.marks.length && from[1] === 0 && to[1] === 0)) field += `M${n(seen[0][0])} ${n(seen[0][1])}L${n(seen[1][0])} ${n(seen[1][1])}`;
      }
    }
    out += `<path class="field" d="${field}"/>`;
    if (!scene.marks.length) {
      for (const off of [-14, 14]) {
        const seen = pane.ground([-9000, off], [40000, off], above);
        if (seen) out += line(seen, 'road');
      }
    }
    out += scene.marks.filter(({ side }) => !side || side === way).map(mark => groundMark(mark, pane, above)).join('');
  }
  if (pane.horizon.length === 2) out += line(pane.horizon, horizon);
  return out;
}

/** @param {import('../types').GroundMark} mark @param {Pane} pane @param {number} above */
function groundMark(mark, pane, above) {
  let out = '';
  for (let i = 1; i < mark.along_m.length; i++) {
    const seen = pane.ground([mark.along_m[i - 1], mark.across_m[i - 1]], [mark.along_m[i], mark.across_m[i]], above);
    if (seen) out += line(seen, 'road strong');
  }
  if (mark.along_m.length > 1) return out;
  const p = pane.see(pane.body([mark.along_m[0] - pane.state.along_m, mark.across_m[0] - pane.state.across_m, above]));
  return p ? circle(p[0], p[1], 5, 'dot ink') + named(pane, p, mark.name) : '';
}

/** A name beside a place, when there is room. @param {Pane} pane @param {Point} p @param {string} words @param {number} [above] how much higher than usual */
function named(pane, p, words, above = 0) {
  const [x, y, w, h] = pane.box, wide = 7.2 * words.length + 12, right = p[0] + wide < x + w;
  return p[0] > x + 4 && p[0] < x + w - 4 && (right || p[0] - wide > x) && p[1] > y + 24 && p[1] < y + h - 14 ? label(p[0] + (right ? 10 : -10), p[1] + 4 - above, words, 't small ink', right ? 'start' : 'end') : '';
}

/** Words beside a hill stand over the horizon, which would strike them through. */
const OVER_HORIZON = 8;
/** Reference points far away: a hill each. @param {Scene} scene @param {Pane} pane @param {import('../types').Way} way */
function references(scene, pane, way) {
  return (scene.references[way] ?? []).map(({ name, azimuth }) => {
    const shape = [[-2.6, -0.6], [-0.9, 0.7], [0, 1.7], [1.1, 0.5], [2.8, -0.6]].map(([da, el]) => pane.see(pane.body(direction(azimuth + da, el))));
    if (shape.some(p => !p)) return '';
    const points = /** @type {Point[]} */ (shape);
    return area(points, 'hill') + named(pane, points[2], name, OVER_HORIZON);
  }).join('');
}

/** @param {any} eye @param {Pane} pane */
function cowl(eye, pane) {
  const middle = eye.cowl_middle_azimuth_deg, top = COWL_FALL * middle * middle - eye.cowl_below_axis_deg;
  const edge = [];
  for (let aside = -36; aside <= 36; aside += 3) edge.push(direction(middle + aside, top - COWL_FALL * aside * aside));
  const body = [...edge, direction(middle + 36, -60), direction(middle - 36, -60)];
  const rim = [];
  for (let aside = -54; aside <= 54; aside += 6) rim.push(direction(middle + aside, top - 9 - 0.006 * aside * aside));
  const seam = direction(middle, top), foot = direction(middle, top - 8.6), center = [seam, foot].map(v => pane.see(v));
  const straight = pane.see([1, 0, 0]);
  return area(pane.polygon(body), 'cowl') + (center[0] && center[1] ? line(/** @type {Point[]} */ (center), 'seam') : '')
    + area(pane.polygon([...rim, direction(middle + 58, -70), direction(middle - 58, -70)]), 'coaming')
    + (straight ? `<path class="sight" d="M${n(straight[0] - 9)} ${n(straight[1])}h6m6 0h6M${n(straight[0])} ${n(straight[1] - 9)}v6"/>` : '');
}

/** The wing: outline and aileron hinge. @param {number[][]} corners @param {Pane} pane */
function wing(corners, pane) {
  if (!corners?.length) return '';
  const [frontRoot, frontTip, backTip, backRoot] = corners, part = (/** @type {number} */ k, /** @type {number} */ chord) => mix(mix(frontRoot, frontTip, k), mix(backRoot, backTip, k), chord);
  let out = area(pane.polygon(corners), 'cowl');
  for (const pair of [[part(0.45, 0.78), part(0.97, 0.78)], ...[0.3, 0.6, 0.85].map(k => [part(k, 0), part(k, 1)])]) {
    const ends = pair.map(p => pane.see(p));
    if (ends[0] && ends[1]) out += line(/** @type {Point[]} */ (ends), 'hinge');
  }
  return out;
}

/** One window with everything in it. @param {Scene} scene @param {Pane} pane @param {{ key: string, title: string, way: import('../types').Way, inside: string, target?: Pane, role?: string, horizon: string }} given @param {import('../types').Look} look */
function draw(scene, pane, { key, title, way, inside, target, role, horizon }, look) {
  const [x, y, w, h] = pane.box;
  let out = world(scene, pane, way, horizon) + references(scene, pane, way);
  if (target && target.horizon.length === 2) out += role === 'other' ? line(target.horizon, 'stroke other') : chalk(target.horizon, 'reference');
  out += inside;
  return `<clipPath id="window-${look.key ?? 0}-${key}"><rect x="${n(x)}" y="${n(y)}" width="${n(w)}" height="${n(h)}" rx="3"/></clipPath><g clip-path="url(#window-${look.key ?? 0}-${key})">${out}</g>`
    + rect(x + 0.5, y + 0.5, w - 1, h - 1, 'frame', 3) + label(x + 8, y + 18, title, 't muted');
}

/** @type {import('../types').Picture} */
export const seat = {
  id: 'seat',
  named: true,
  sides: 'own',
  title: 'From the seat',
  note(scene) {
    if (scene.flights.some(({ role }) => role === 'attempt')) return scene.flights.some(({ role }) => role === 'other') ? 'thin: the other attempt’s horizon' : 'horizon: both';
    const eye = scene.eyes[scene.flights[0].side];
    return eye ? (eye.seat === 'tandem' ? 'one behind the other' : `${eye.seat} seat`) : '';
  },
  help: 'Two windows from the pilot’s eye, ahead and along the wing of the turn, as a pinhole camera at the eye would see them. Horizon, lines on the ground, references, the edge of the cowl and the wing come from the motion and from the airplane’s seat; the shapes of cowl and hill are plain ones. The small mark is what lies straight ahead of the eye; the middle of the cowl lies aside of it. In a debrief a second horizon shows where the reference has it.',
  still: () => '',
  live(scene, clock, look) {
    if (scene.mode === 'both' && scene.flights.length > 1) {
      return scene.flights.map((flight, i) => {
        const state = at(flight, clock), eye = scene.eyes[flight.side], width = 148;
        const pane = new Pane(state, [flight.side === 'left' ? 0 : WIDTH - width, 0, width, HEIGHT], 0, 66, 4);
        return draw(scene, pane, { key: `both${i}`, title: `turning ${wayOf(flight, state)}`, way: flight.side, inside: eye ? cowl(eye, pane) : '', horizon: 'horizon' }, look);
      }).join('');
    }
    const flight = shown(scene), state = at(flight, clock), way = wayOf(flight, state), right = way === 'right';
    const eye = scene.eyes[flight.side] ?? scene.eyes[flight.side === 'left' ? 'right' : 'left'];
    const other = scene.flights.find(one => one !== flight && (one.role === 'reference' || one.role === 'other'));
    const wanted = other && at(other, clock);
    /** @type {[number, number, number, number]} */
    const front = right ? [0, 0, 196, HEIGHT] : [WIDTH - 196, 0, 196, HEIGHT], aside = right ? [204, 0, 100, HEIGHT] : [0, 0, 100, HEIGHT];
    const tip = eye ? eye[right ? 'right_tip' : 'left_tip'].azimuth_deg : right ? 90 : -90;
    const horizon = flight.role === 'attempt' ? 'stroke attempt' : 'horizon';
    const ahead = new Pane(state, front, 0, 78, 3), along = new Pane(state, /** @type {any} */ (aside), tip, 62, 0);
    return draw(scene, ahead, { key: 'ahead', title: 'ahead', way: flight.side, inside: eye ? cowl(eye, ahead) : '', target: wanted && new Pane(wanted, front, 0, 78, 3), role: other?.role, horizon }, look)
      + draw(scene, along, { key: 'aside', title: `${right ? 'right' : 'left'} wing`, way: flight.side, inside: eye ? wing(eye[`${right ? 'right' : 'left'}_wing_m`], along) : '', target: wanted && new Pane(wanted, /** @type {any} */ (aside), tip, 62, 0), role: other?.role, horizon }, look);
  },
  table(scene) {
    const lead = scene.flights[0], eye = scene.eyes[lead.side];
    const degrees = (/** @type {number | null} */ value) => (value == null ? 'out of sight' : `${text(clamp(value, -180, 180), 0, true)}°`);
    const rows = (eye?.views ?? []).map((/** @type {any} */ view, /** @type {number} */ i) => [scene.checks[i]?.label ?? text(view.progress_deg), degrees(view.horizon_ahead_deg), degrees(view.horizon_over_cowl_deg),
      degrees(view.horizon_tilt_deg), degrees(view.left_tip_over_horizon_deg), degrees(view.right_tip_over_horizon_deg), view.sights.map((/** @type {any} */ sight) => `${sight.name}: ${sight.window}`).join('; ')]);
    return { head: ['at', 'horizon ahead', 'horizon over cowl', 'tilt', 'left tip over horizon', 'right tip over horizon', 'references'], rows };
  },
};
