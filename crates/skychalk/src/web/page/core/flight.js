// A flight as the pictures need it: columns in the frame of its entry, and a clock that runs on the maneuver's progress.
import { clamp, cos, meters, sin } from './numbers.js';

/** The clock creeps this much a second where the progress stands still, so that every moment has its own place on it. */
const CREEP_PER_S = 0.02;
/** @type {(keyof import('../types').Columns)[]} */
const NAMES = ['time_s', 'clock', 'progress', 'part', 'along_m', 'across_m', 'rise_m', 'height_ft', 'bank', 'pitch', 'heading', 'speed_kt', 'load', 'stall_kt'];

/**
 * @param {{ role: import('../types').Role, side: import('../types').Way, span: number, partsAt: number[], partWays: import('../types').Way[],
 *   frame?: { heading: number, origin?: { north: number, east: number, height: number } } | null, onlyPart?: number | null, ahead?: number, sigmas?: import('../types').Sigmas | null, columns: Record<string, (number | null)[] | null | undefined> }} given
 *   `columns` as the program writes them; `partsAt`: begin of each part, s; `ahead`: where the clock begins before the nil of the figure, the same
 *   for every flight of a scene.
 * @returns {import('../types').Flight}
 */
export function makeFlight({ role, side, span, partsAt, partWays, frame = null, onlyPart = null, ahead = 0, sigmas = null, columns }) {
  const time = /** @type {number[]} */ (columns.time_s), count = time.length;
  const zeros = () => new Array(count).fill(0);
  /** @param {string} name */
  const take = name => /** @type {number[] | undefined} */ (columns[name]?.length ? columns[name] : undefined);
  const heading = take('heading_deg') ?? zeros(), entryHeading = frame?.heading ?? heading[0] ?? 0;
  const north = take('north_m') ?? zeros(), east = take('east_m') ?? zeros(), height = take('height_ft') ?? zeros();
  const c = cos(entryHeading), s = sin(entryHeading), round = 360 * Math.round(((heading[0] ?? 0) - entryHeading) / 360);
  // The sample between two parts is the end of the first: its progress is that of an end.
  const part = time.map(t => onlyPart ?? Math.max(0, partsAt.findLastIndex(start => start < t - 1e-6)));
  const progress = (take('progress_deg') ?? take('turn_deg') ?? zeros()).map(value => value ?? 0);
  const from = frame?.origin ?? { north: north[0], east: east[0], height: height[0] ?? 0 };
  const clock = clockOf(time, progress, part, { span, ahead });
  /** @type {any} */
  const out = {
    time_s: time, clock, progress, part,
    along_m: north.map((_, i) => (north[i] - from.north) * c + (east[i] - from.east) * s),
    across_m: north.map((_, i) => (east[i] - from.east) * c - (north[i] - from.north) * s),
    rise_m: height.map(h => meters(h - from.height)), height_ft: height,
    bank: unfolded(take('bank_deg') ?? zeros()), pitch: take('pitch_deg') ?? zeros(), heading: heading.map(h => h - entryHeading - round),
    speed_kt: take('ias_kt') ?? take('cas_kt') ?? zeros(), load: take('load_factor') ?? zeros(), stall_kt: stallOf(take('ias_kt'), take('cas_kt'), take('stall_kt')) ?? zeros(),
  };
  /** @type {Record<string, string[]>} */
  const source = { along_m: ['north_m'], across_m: ['east_m'], rise_m: ['height_ft'], height_ft: ['height_ft'], bank: ['bank_deg'], pitch: ['pitch_deg'],
    heading: ['heading_deg'], speed_kt: ['ias_kt', 'cas_kt'], load: ['load_factor'], stall_kt: ['stall_kt'] };
  return {
    role, side, columns: out, sigmas, entryHeading, entryHeight_ft: from.height, total: clock[count - 1] ?? 0, ahead,
    seconds: (time[count - 1] ?? 0) - (time[0] ?? 0), partWays,
    has: name => !source[name] || source[name].some(key => columns[key]?.length),
  };
}

/** The stall as far under the speed that is shown as it lies under the calibrated one: a calibrated stall under an indicated speed would
 * show another margin than there is. @param {number[]} [indicated] @param {number[]} [calibrated] @param {number[]} [stall] */
const stallOf = (indicated, calibrated, stall) => (indicated && calibrated && stall ? stall.map((value, i) => indicated[i] - (calibrated[i] - value)) : stall);

/** Bank that goes on past 180 degrees instead of jumping to the other side. @param {number[]} values */
function unfolded(values) {
  let turns = 0;
  return values.map((value, i) => {
    const jump = i ? value - values[i - 1] : 0;
    if (Math.abs(jump) > 270) turns -= Math.sign(jump);
    return value + 360 * turns;
  });
}

/** How far before its nil the first of several flights begins: the roll into a circle that is counted from abeam a point. @param {(number | null)[][]} progresses */
export const aheadOf = progresses => Math.max(0, ...progresses.map(progress => -(progress?.[0] ?? 0)));

/** Progress over all parts, never standing still or going back. @param {number[]} time @param {number[]} progress @param {number[]} part @param {{ span: number, ahead: number }} of */
function clockOf(time, progress, part, { span, ahead }) {
  let last = -Infinity;
  return progress.map((value, i) => {
    const creep = i ? last + CREEP_PER_S * Math.max(time[i] - time[i - 1], 1e-4) : 0;
    return last = Math.max(part[i] * span + Math.max(0, ahead + value), creep);
  });
}

/** Place of a value in a rising column: index and fraction. @param {number[]} column @param {number} value */
function place(column, value) {
  let low = 0, high = column.length - 1;
  if (value <= column[0] || high < 1) return { low: 0, fraction: 0 };
  if (value >= column[high]) return { low: high - 1, fraction: 1 };
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (column[middle] <= value) low = middle; else high = middle;
  }
  return { low, fraction: (value - column[low]) / (column[high] - column[low] || 1) };
}

/** @param {number[]} values @param {{ low: number, fraction: number }} at */
const between = (values, { low, fraction }) => values[low] + fraction * ((values[low + 1] ?? values[low]) - values[low]);

/** The state at a place of the clock. @param {import('../types').Flight} flight @param {number} clock @returns {import('../types').State} */
export function at(flight, clock) {
  const where = place(flight.columns.clock, clock);
  /** @type {any} */
  const state = {};
  for (const name of NAMES) state[name] = between(flight.columns[name], where);
  // Over the top heading and bank change by half a turn at once: there is nothing in between.
  const { heading, bank, pitch } = flight.columns, { low, fraction } = where, near = fraction < 0.5 ? low : low + 1;
  if (Math.abs(heading[low + 1] - heading[low]) > 90 || Math.abs(bank[low + 1] - bank[low]) > 90) [state.heading, state.bank, state.pitch] = [heading[near], bank[near], pitch[near]];
  state.part = flight.columns.part[where.low + (where.fraction > 0.5 ? 1 : 0)] ?? 0;
  return state;
}
/** @param {import('../types').Flight} flight @param {keyof import('../types').Columns} name @param {number} clock */
export const sigmaAt = (flight, name, clock) => (flight.sigmas?.[name] ? between(flight.sigmas[name], place(flight.columns.clock, clock)) : null);
/** @param {import('../types').Flight} flight @param {number} time_s */
export const clockAt = (flight, time_s) => between(flight.columns.clock, place(flight.columns.time_s, time_s));
/** A column of other data at a moment. @param {number[]} times @param {number[]} values @param {number} time_s */
export const valueAt = (times, values, time_s) => between(values, place(times, time_s));

/** Left seen as right, or the other way round. @param {import('../types').Flight} flight @returns {import('../types').Flight} */
export function mirrored(flight) {
  const flip = (/** @type {number[]} */ values) => values.map(value => -value);
  const { across_m, bank, heading } = flight.columns;
  return { ...flight, role: 'other', columns: { ...flight.columns, across_m: flip(across_m), bank: flip(bank), heading: flip(heading) } };
}

/** Indices of every so-many-th sample, first and last among them. @param {import('../types').Flight} flight @param {number} most */
export function thinned(flight, most) {
  const count = flight.columns.time_s.length, step = Math.max(1, Math.ceil(count / most)), out = [];
  for (let i = 0; i < count; i += step) out.push(i);
  if (out[out.length - 1] !== count - 1) out.push(count - 1);
  return out;
}

/** Body axes in the frame along, across, down. @param {number} heading @param {number} pitch @param {number} bank @returns {number[][]} rows: along, across, down; columns: ahead, right, down of the body */
export function attitude(heading, pitch, bank) {
  const [ch, sh, cp, sp, cb, sb] = [cos(heading), sin(heading), cos(pitch), sin(pitch), cos(bank), sin(bank)];
  return [
    [ch * cp, ch * sp * sb - sh * cb, ch * sp * cb + sh * sb],
    [sh * cp, sh * sp * sb + ch * cb, sh * sp * cb - ch * sb],
    [-sp, cp * sb, cp * cb],
  ];
}

/** @param {import('../types').Flight} flight @param {number} clock */
export const within = (flight, clock) => clamp(clock, 0, flight.total);
/** The way of the part flown at a place of the clock. @param {import('../types').Flight} flight @param {import('../types').State} state */
export const wayOf = (flight, state) => flight.partWays[state.part] ?? flight.side;
