// Picture 6: bank, pitch, speed, height and load against the maneuver's own progress, with the limits in place.
import { at } from '../core/flight.js';
import { height, heightUnit, speed, speedUnit, text } from '../core/numbers.js';
import { axis, band, curve, scale } from '../core/charts.js';
import { circle, fence, label, seg, strokes } from '../core/markup.js';
import { WIDTH, doubted, labelled, moving, nameOf, ordered, path, doubt, bankToward, roleUpon } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../core/markup.js').Point} Point */

const X0 = 58, X1 = 222, TOP = 6, PITCH = 44, TALL = 36;

/** @type {{ name: string, column: keyof import('../types').Columns, unit: () => string, shown: (v: number) => number, decimals: number, plus: boolean, absolute?: boolean, least: number }[]} */
const STRIPS = [
  { name: 'bank', column: 'bank', unit: () => '°', shown: v => v, decimals: 0, plus: false, least: 10 },
  { name: 'pitch', column: 'pitch', unit: () => '°', shown: v => v, decimals: 0, plus: true, least: 8 },
  { name: 'speed', column: 'speed_kt', unit: speedUnit, shown: speed, decimals: 0, plus: false, least: 12 },
  { name: 'height', column: 'height_ft', unit: heightUnit, shown: height, decimals: 0, plus: true, least: 60 },
  { name: 'load', column: 'load', unit: () => 'g', shown: v => v, decimals: 1, plus: false, least: 0.6 },
];

/** Bank is toward the side that the figure begins to; height is above the entry. @param {Scene} scene @param {Flight} flight @param {typeof STRIPS[number]} strip @param {number} value */
const drawn = (scene, flight, strip, value) => (strip.column === 'bank' ? bankToward(scene, flight, value) : strip.column === 'height_ft' ? value - flight.entryHeight_ft : value);

/** @param {Scene} scene */
function frame(scene) {
  const total = Math.max(...scene.flights.map(flight => flight.total), 1);
  const x = scale([0, total], [X0, X1]);
  const strips = STRIPS.map((strip, index) => {
    const flights = scene.flights.filter(flight => flight.has(strip.column));
    let low = strip.column === 'speed_kt' || strip.column === 'load' ? Infinity : 0, high = strip.column === 'load' ? 1 : low === 0 ? 0 : -Infinity;
    for (const flight of flights) {
      for (const value of flight.columns[strip.column]) {
        const v = drawn(scene, flight, strip, value);
        low = Math.min(low, v);
        high = Math.max(high, v);
      }
      if (strip.column === 'speed_kt' && flight.has('stall_kt')) low = Math.min(low, ...flight.columns.stall_kt);
    }
    if (!Number.isFinite(low)) [low, high] = [0, strip.least];
    if (strip.column === 'load') low = Math.min(low, 1);
    const room = Math.max(high - low, strip.least), middle = (low + high) / 2;
    if (high - low < strip.least) [low, high] = low === 0 ? [0, room] : [middle - room / 2, middle + room / 2];
    const top = TOP + PITCH * index;
    return { ...strip, index, top, low, high, flights, y: scale([low, high], [top + TALL, top]) };
  });
  return { x, total, strips };
}
/** @type {WeakMap<Scene, ReturnType<typeof frame>>} */
const frames = new WeakMap();
/** @param {Scene} scene */
function frameOf(scene) {
  let found = frames.get(scene);
  if (!found) frames.set(scene, found = frame(scene));
  return found;
}

/** @type {import('../types').Picture} */
export const curves = {
  id: 'curves',
  sides: 'told',
  title: 'Curves',
  note: scene => (scene.flights.some(({ sigmas }) => sigmas) ? 'band: 95 %' : scene.mode === 'both' || scene.mode === 'mirrored' ? `thin: ${scene.flights[1].side}` : { turn: 'against degrees of turn', position: 'against degrees round the figure', phase: 'against the phases' }[scene.progress] ?? 'against the figure’s progress'),
  help: 'Bank toward the side that the figure begins to (minus: the other way), pitch, airspeed (indicated on the Board, calibrated in a debrief), height above entry and load against the maneuver’s own progress: equal ways along the figure are equally wide, whatever time they take. The fence under the speed lies as far below it as the calibrated speed stands over the stall at that load; while the wing is stalled the fence stands over the speed, by as much as the speed is short of what an unstalled wing would need at that angle of attack; the fence over the bank is the bank beyond which parachutes are a rule for passengers. Bands are the doubt of an attempt, 95 %.',
  still(scene) {
    const { x, strips } = frameOf(scene);
    let out = checkpoints(scene, x);
    for (const strip of strips) {
      const zero = strip.low <= 0 && strip.high >= 0 ? 0 : strip.column === 'load' ? 1 : strip.low;
      out += seg([X0, strip.y(zero)], [X1, strip.y(zero)], 'axis') + label(0, strip.top + 20, strip.name, 't');
      if (strip.column === 'speed_kt') out += stall(scene, strip, x);
      if (strip.column === 'bank' && scene.bankRule_deg && strip.high >= scene.bankRule_deg - 1) {
        const y = strip.y(scene.bankRule_deg);
        out += fence([[X0, y], [X1, y]], true) + label(0, strip.top + 36, `${text(scene.bankRule_deg)}° rule`, 't small limit');
      }
      // What leads lies on top.
      for (const flight of scene.mode === 'both' ? [...strip.flights].reverse() : ordered(strip.flights)) {
        const value = (/** @type {number} */ i) => drawn(scene, flight, strip, flight.columns[strip.column][i]);
        const rows = doubted(flight, strip.column)?.map(({ i, off }) => ({ x: x(flight.columns.clock[i]), low: clampY(strip, value(i) - off), high: clampY(strip, value(i) + off) }));
        if (rows) out += band(rows, 'band');
        const points = path(flight, i => /** @type {Point} */ ([x(flight.columns.clock[i]), strip.y(value(i))]));
        out += strokes(roleUpon(scene, flight)).map(name => curve(points, name)).join('');
      }
    }
    return out;
  },
  live(scene, clock) {
    const { x, strips } = frameOf(scene);
    const cx = x(clock);
    let out = seg([cx, 2], [cx, TOP + 5 * PITCH - 4], 'cursor');
    for (const strip of strips) {
      const flights = moving(scene).filter(flight => strip.flights.includes(flight));
      if (scene.mode !== 'both') flights.reverse();
      flights.forEach((flight, k) => {
        const v = drawn(scene, flight, strip, at(flight, clock)[strip.column]);
        const role = roleUpon(scene, flight);
        out += circle(x(Math.min(clock, flight.total)), strip.y(v), 3.6, `dot ${role}`);
        if (k > 1) return;
        const one = flights.length === 1, y = strip.top + (one ? 27 : 15 + 20 * k);
        const words = text(strip.shown(v), strip.decimals, strip.plus);
        out += label(WIDTH - 24, y, words, one ? `num${words.length > 5 ? ' mid' : ''}` : `num mid ${role}`, 'end') + label(WIDTH - 21, y, strip.unit(), 't small muted');
      });
    }
    return out;
  },
  table(scene) {
    const rows = scene.checks.flatMap(check => scene.flights.map(flight => {
      const s = at(flight, check.clock), name = nameOf(scene, flight);
      /** @param {keyof import('../types').Columns} column @param {string} words */
      const sure = (column, words) => {
        const off = doubt(flight, column, check.clock);
        return !flight.has(column) ? '–' : off == null ? words : `${words} ±${text(column === 'speed_kt' ? speed(off) : column === 'height_ft' ? height(off) : off, column === 'load' ? 2 : 0)}`;
      };
      return [`${check.label}, ${name}`, sure('bank', text(bankToward(scene, flight, s.bank), 0)), sure('pitch', text(s.pitch, 0, true)), sure('speed_kt', text(speed(s.speed_kt))), sure('height_ft', text(height(s.height_ft - flight.entryHeight_ft), 0, true)), sure('load', text(s.load, 2))];
    }));
    return { head: ['at', 'bank, °', 'pitch, °', `speed, ${speedUnit()}`, `above entry, ${heightUnit()}`, 'load, g'], rows };
  },
};

/** Lines at the checkpoints; the last one always has its words, the others where there is room before the next. @param {Scene} scene @param {import('../core/charts.js').Scale} x */
function checkpoints(scene, x) {
  const marks = labelled(scene), words = marks.map(check => check.mark.replace('°', '')), last = x(marks[marks.length - 1]?.clock ?? 0);
  let free = -Infinity;
  const stands = marks.map((check, i) => {
    const half = 3.6 * words[i].length, cx = x(check.clock);
    if (cx - half < free || (i < marks.length - 1 && cx + half + 5 > last - 14)) return false;
    free = cx + half + 5;
    return true;
  });
  const foot = TOP + 5 * PITCH - 4;
  return axis('bottom', x, { at: foot, values: marks.map(check => check.clock), words: (_, i) => (stands[i] ? words[i] : ''), reach: foot - 4, gap: 10, lines: () => 'grid notchline' });
}

/** @param {ReturnType<typeof frame>['strips'][number]} strip @param {number} value */
const clampY = (strip, value) => Math.max(strip.top - 4, Math.min(strip.top + TALL + 4, strip.y(value)));

/** @param {Scene} scene @param {ReturnType<typeof frame>['strips'][number]} strip @param {import('../core/charts.js').Scale} x */
function stall(scene, strip, x) {
  const lead = strip.flights.find(flight => flight.has('stall_kt'));
  if (!lead) return '';
  return fence(path(lead, i => /** @type {Point} */ ([x(lead.columns.clock[i]), Math.min(strip.y(lead.columns.stall_kt[i]), strip.top + TALL + 3)]))) + label(0, strip.top + 36, 'stall', 't small limit');
}
