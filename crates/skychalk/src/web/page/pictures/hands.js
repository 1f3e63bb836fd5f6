// Picture 5: hands and feet, and why: stick from behind, pedals from above, and what asks for the rudder, aileron or elevator.
import { at, valueAt } from '../core/flight.js';
import { clamp, text } from '../core/numbers.js';
import { circle, label, line, n, rect, seg } from '../core/markup.js';
import { HEIGHT, WIDTH } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */

/** Between the rows of the forces. */
const FORCE_ROW = 15;
const GATE = { x: 54, y: 54, r: 48 }, BAR_X = 254, BAR_REACH = 42, CAUSES_SHOWN = 5;
/** Of which control the causes are shown. */
export const AXES = /** @type {const} */ ({ rudder: 'Rudder', aileron: 'Aileron', elevator: 'Elevator' });
/** @typedef {keyof typeof AXES} Axis */
const state = { axis: /** @type {Axis} */ ('rudder') };
/** @param {string} axis */
export function showAxis(axis) { if (axis in AXES) state.axis = /** @type {Axis} */ (axis); }
export const axisShown = () => state.axis;

/** Titles that would not fit beside the bars. @type {Record<string, string>} */
const SHORT = { swirl: 'swirl', gyroscopic: 'gyroscopic', acceleration: 'start and stop', coupling: 'inertia coupling', thrust: 'line of thrust' };

/** @type {Record<Axis, [string, string]>} */
const ENDS = { rudder: ['left', 'right'], aileron: ['left', 'right'], elevator: ['forward', 'back'] };

/** Who leads and who is compared: the flights whose hands are known. @param {Scene} scene */
function pair(scene) {
  const lead = scene.flights.find(({ role }) => role === 'reference') ?? scene.flights[0];
  const otherSide = lead.side === 'left' ? 'right' : 'left';
  return { lead, own: scene.controls[lead.side], other: scene.controls[otherSide], mirrored: scene.mode === 'mirrored' };
}

/** @typedef {{ key: string, title: string, of: string[] }} Cause */
/** Sorted once for each set of controls. @type {WeakMap<object, Partial<Record<Axis, Cause[]>>>} */
const sortedCauses = new WeakMap();
/** @param {any} controls @param {Axis} axis @returns {Cause[]} */
function causes(controls, axis) {
  const known = sortedCauses.get(controls) ?? {};
  known[axis] ??= sorted(controls, axis);
  sortedCauses.set(controls, known);
  return known[axis] ?? [];
}
/** The causes that move the control most, the others summed. @param {any} controls @param {Axis} axis @returns {Cause[]} */
function sorted(controls, axis) {
  const columns = controls[`${axis}_causes`], size = (/** @type {any} */ column) => Math.max(...column.values_deg.map(Math.abs));
  const bySize = [...columns].sort((a, b) => size(b) - size(a)), top = bySize.slice(0, CAUSES_SHOWN);
  const rows = columns.filter((/** @type {any} */ column) => top.includes(column)).map((/** @type {any} */ column) => ({ key: column.key, title: column.title, of: [column.key] }));
  return [...rows, { key: 'others', title: 'all others', of: bySize.slice(CAUSES_SHOWN).map(column => column.key) }];
}
/** @param {any} controls @param {Axis} axis @param {string[]} keys @param {number} time_s */
const sum = (controls, axis, keys, time_s) => controls[`${axis}_causes`].filter((/** @type {any} */ column) => keys.includes(column.key))
  .reduce((/** @type {number} */ total, /** @type {any} */ column) => total + valueAt(controls.time_s, column.values_deg, time_s), 0);

/** Degrees to the edge of the bars. @param {any} controls @param {any} other @param {Axis} axis */
const reach = (controls, other, axis) => Math.max(1, ...[controls, other].map(one => (one ? greatest(one, axis) : 0)));

/** Found once for each set of controls. @type {WeakMap<object, Partial<Record<Axis, number>>>} */
const greatests = new WeakMap();
/** The greatest of the control and of what asks for it, degrees. @param {any} controls @param {Axis} axis @returns {number} */
function greatest(controls, axis) {
  const known = greatests.get(controls) ?? {};
  greatests.set(controls, known);
  return known[axis] ??= Math.max(...[...controls[`${axis}_causes`].map((/** @type {any} */ column) => column.values_deg), controls[`${axis}_deg`]].map(values => Math.max(...values.map(Math.abs))));
}

/** @param {number} y @param {number} height @param {number} value @param {number} most @param {string} name */
function bar(y, height, value, most, name) {
  const w = clamp((BAR_REACH * value) / most, -BAR_REACH - 6, BAR_REACH + 4);
  return rect(BAR_X + Math.min(0, w), y, Math.max(1.2, Math.abs(w)), height, name);
}

/** @param {any} controls @param {number} time_s @returns {[number, number]} */
function stick(controls, time_s) {
  const right = valueAt(controls.time_s, controls.stick_right, time_s), back = valueAt(controls.time_s, controls.stick_back, time_s);
  return [GATE.x + GATE.r * clamp(right, -1, 1), GATE.y + GATE.r * clamp(back, -1, 1)];
}

/** @param {Scene} scene */
function missing(scene) {
  const words = scene.controlsNote ?? 'Hands and feet are being worked out.';
  const rows = /** @type {string[]} */ ([]);
  for (const word of words.split(' ')) {
    if (rows.length && rows[rows.length - 1].length + word.length < 42) rows[rows.length - 1] += ` ${word}`;
    else rows.push(word);
  }
  return rows.slice(0, 9).map((row, i) => label(8, 60 + 19 * i, row, 't muted')).join('');
}

/** @type {import('../types').Picture} */
export const hands = {
  id: 'hands',
  sides: 'own',
  title: 'Hands and feet',
  note(scene) {
    if (scene.flights.some(({ role }) => role === 'attempt')) return 'of the reference';
    return scene.mode === 'mirrored' ? 'outline: other, mirrored' : 'outline: other side';
  },
  help: 'Stick (or wheel) from behind and pedals from above, shares of their travel, from the flight at six degrees of freedom with the ball centered. The bars say what asks for the control at this moment, in degrees of it: the five causes that move it most, the others summed; together they are the whole. The stick is the control in the hand: torque shows as the aileron held against it. Filled: this side; outline: the other side at the same place.',
  still(scene) {
    const { own, other } = pair(scene);
    if (!own) return missing(scene);
    const { x, y, r } = GATE, most = reach(own, other, state.axis);
    let out = rect(x - r, y - r, 2 * r, 2 * r, 'gate', 10) + seg([x - r, y], [x + r, y], 'grid') + seg([x, y - r], [x, y + r], 'grid');
    out += line(own.time_s.filter((/** @type {number} */ _, /** @type {number} */ i) => i % 3 === 0).map((/** @type {number} */ t) => stick(own, t)), 'trail reference');
    out += label(x, HEIGHT - 3, 'pedals', 't small muted', 'middle');
    out += label(122, 14, `${AXES[state.axis]}, by cause`, 't small ink') + label(WIDTH - 2, 14, `to ${text(most, most < 5 ? 1 : 0)}°`, 't small muted', 'end');
    out += seg([BAR_X, 24], [BAR_X, 230], 'axis');
    const [less, more] = ENDS[state.axis];
    out += label(BAR_X - 8, HEIGHT - 3, less, 't small muted', 'end') + label(BAR_X + 8, HEIGHT - 3, more, 't small muted');
    causes(own, state.axis).forEach((cause, i) => { out += label(122, 41 + 28 * i, SHORT[cause.key] ?? cause.title, 't small'); });
    return out + seg([122, 197], [WIDTH - 4, 197], 'grid') + label(122, 215, 'all', 't small ink');
  },
  live(scene, clock) {
    const { lead, own, other, mirrored } = pair(scene);
    if (!own) return '';
    const time_s = at(lead, clock).time_s, { axis } = state, most = reach(own, other, axis);
    const otherFlight = scene.flights.find(flight => flight !== lead && flight.role !== 'attempt'), otherTime = otherFlight ? at(otherFlight, clock).time_s : time_s;
    const flip = mirrored && axis !== 'elevator' ? -1 : 1;
    const [x, y] = stick(own, time_s);
    let out = '';
    if (other) {
      const [ox, oy] = stick(other, otherTime);
      out += circle(mirrored ? 2 * GATE.x - ox : ox, oy, 7, 'knob other');
    }
    out += seg([GATE.x, GATE.y], [x, y], 'rod') + circle(x, y, 8, 'knob');
    const pull = own.stick_back_n && valueAt(own.time_s, own.stick_back_n, time_s), right = own.stick_right_n && valueAt(own.time_s, own.stick_right_n, time_s);
    const force = [pull == null ? null : `${pull < 0 ? 'push' : 'pull'} ${text(Math.abs(pull))} N`, right == null ? null : `${right < 0 ? 'left' : 'right'} ${text(Math.abs(right))} N`].filter(Boolean);
    (force.length ? force : ['stick']).forEach((/** @type {any} */ words, i) => { out += label(GATE.x, GATE.y + GATE.r + FORCE_ROW * (i + 1), words, 't small muted', 'middle'); });
    out += pedals(own, time_s) + power(own, time_s);
    causes(own, axis).forEach((cause, i) => {
      out += bar(31 + 28 * i, 11, sum(own, axis, cause.of, time_s), most, 'bar');
      if (other) out += bar(44 + 28 * i, 4, flip * sum(other, axis, cause.of, otherTime), most, 'bar other');
    });
    out += bar(203, 13, valueAt(own.time_s, own[`${axis}_deg`], time_s), most, 'bar total');
    if (other) out += bar(218, 5, flip * valueAt(other.time_s, other[`${axis}_deg`], otherTime), most, 'bar other');
    return out;
  },
  table(scene) {
    const { lead, own } = pair(scene);
    if (!own) return { head: ['hands and feet'], rows: [[scene.controlsNote ?? 'not worked out yet']] };
    const share = (/** @type {number} */ value, /** @type {string} */ more, /** @type {string} */ less) => (Math.abs(value) < 0.005 ? 'middle' : `${text(Math.abs(100 * value))} % ${value > 0 ? more : less}`);
    const rows = scene.checks.map(check => {
      const t = at(lead, check.clock).time_s, v = (/** @type {string} */ name) => valueAt(own.time_s, own[name], t);
      const main = causes(own, 'rudder').map(cause => ({ title: cause.title, value: sum(own, 'rudder', cause.of, t) })).sort((a, b) => Math.abs(b.value) - Math.abs(a.value)).slice(0, 3);
      return [check.label, share(v('stick_back'), 'back', 'forward'), share(v('stick_right'), 'right', 'left'), share(v('pedal_right'), 'right foot', 'left foot'), `${text(100 * v('throttle'))} %`,
        main.map(({ title, value }) => `${title} ${text(value, 1, true)}°`).join(', ')];
    });
    return { head: ['at', 'stick', 'stick aside', 'pedals', 'throttle', 'rudder, most of it'], rows };
  },
};

/** @param {any} controls @param {number} time_s */
function pedals(controls, time_s) {
  const right = valueAt(controls.time_s, controls.pedal_right, time_s);
  return [-1, 1].map(way => {
    const x = GATE.x + way * 22, y = 186 - 30 * clamp(right * way, -1, 1);
    return seg([x, 152], [x, 220], 'slot') + rect(x - 12, y - 6, 24, 12, `pedal${right * way > 0.015 ? ' pressed' : ''}`, 3)
      + (right * way > 0.015 ? label(x, 148, `${text(100 * right * way)} %`, 't small ink', 'middle') : '');
  }).join('');
}
/** @param {any} controls @param {number} time_s */
function power(controls, time_s) {
  const throttle = clamp(valueAt(controls.time_s, controls.throttle, time_s), 0, 1);
  return rect(2, 152, 7, 68, 'gate', 2) + rect(2, 152 + 68 * (1 - throttle), 7, 68 * throttle, 'bar') + `<title>throttle ${n(100 * throttle)} %</title>`;
}
