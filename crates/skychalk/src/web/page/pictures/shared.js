// What several pictures need: size of the sheet, who is drawn how, the airplane seen from above.
import { at, sigmaAt, thinned } from '../core/flight.js';
import { cos } from '../core/numbers.js';
import { n } from '../core/markup.js';

export const WIDTH = 304;
export const HEIGHT = 246;
/** A band is so many sigmas to each side: 95 %. */
export const BAND_SIGMAS = 1.96;
/** Points of a path that a picture draws at most. */
export const POINTS = 150;

/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../core/markup.js').Point} Point */

const ORDER = { other: 0, reference: 1, reflight: 2, attempt: 3 };
/** The reference lies underneath, the attempt on top. @param {Flight[]} flights */
export const ordered = flights => [...flights].sort((a, b) => ORDER[a.role] - ORDER[b.role]);
/** Flights that have an airplane of their own now. @param {Scene} scene */
export const moving = scene => ordered(scene.flights).filter(flight => flight.role !== 'reflight');
/** How a flight is drawn where both sides lie upon each other although they stand beside each other elsewhere. @param {Scene} scene @param {Flight} flight */
export const roleUpon = (scene, flight) => (scene.mode === 'both' && flight !== scene.flights[0] ? 'other' : flight.role);
/** What a flight is called beside another. @param {Scene} scene @param {Flight} flight */
export const nameOf = (scene, { role, side }) => (scene.mode === 'both' ? side : scene.mode === 'mirrored' ? `${side}${role === 'other' ? ', mirrored' : ''}` : { reference: 'reference', attempt: 'attempt', reflight: 're-flight', other: 'the other attempt' }[role]);
/** @param {Scene} scene @param {Flight} flight */
export const nowClass = (scene, flight) => (scene.flights.length > 1 && !(scene.mode === 'both') ? flight.role : 'now');
/** The attempt when there is one, else the flight that leads. @param {Scene} scene */
export const shown = scene => scene.flights.find(flight => flight.role === 'attempt') ?? scene.flights[0];

/** Bank toward the side that the figure begins to: minus is the other way, whichever flight it is. In a mirrored scene what lies upon the
 * other is turned over already. @param {Scene} scene @param {Flight} flight @param {number} bank */
export const bankToward = (scene, flight, bank) => ((scene.mode === 'mirrored' && flight.role === 'other' ? scene.flights[0].side : flight.side) === 'left' ? -bank : bank);

/** Flights whose place is told. @param {Scene} scene */
export const placed = scene => scene.flights.filter(flight => flight.has('along_m'));

/** Whether the same mark of the other side has its name already. @param {Scene} scene @param {number} i of the mark */
export const namedBefore = (scene, i) => scene.marks.findIndex(({ name }) => name === scene.marks[i].name) < i;
/** Halfway two sides are told apart by a name; where they meet there, where they are farthest from each other. @param {Scene} scene @returns {number} a place on the clock */
export function apart(scene) {
  const [one, other] = scene.flights, total = scene.span * scene.parts, between = (/** @type {number} */ clock) => { const [a, b] = [at(one, clock), at(other, clock)]; return Math.hypot(a.along_m - b.along_m, a.across_m - b.across_m); };
  const places = [scene.span / 2, ...Array.from({ length: 15 }, (_, i) => ((i + 1) * total) / 16)], far = places.map(between), most = Math.max(...far);
  return far[0] > 0.3 * most ? places[0] : places[far.indexOf(most)];
}

/** @template Where @param {Flight} flight @param {(i: number) => Where} place @param {number} [most] @returns {Where[]} */
export const path = (flight, place, most = POINTS) => thinned(flight, most).map(place);

/** Samples whose doubt is told, with its band to each side. @param {Flight} flight @param {keyof import('../types').Columns} name */
export function doubted(flight, name) {
  const sigma = flight.sigmas?.[name];
  return sigma ? thinned(flight, POINTS).filter(i => Number.isFinite(sigma[i])).map(i => ({ i, off: BAND_SIGMAS * sigma[i] })) : null;
}
/** A band around a path, of a column's sigmas. @param {Flight} flight @param {keyof import('../types').Columns} name
 * @param {(i: number, off: number) => Point} place @returns {Point[] | null} */
export function band(flight, name, place) {
  const rows = doubted(flight, name);
  return rows && [...rows.map(({ i, off }) => place(i, off)), ...rows.reverse().map(({ i, off }) => place(i, -off))];
}

/** @param {Flight} flight @param {keyof import('../types').Columns} name @param {number} clock */
export const doubt = (flight, name, clock) => {
  const sigma = sigmaAt(flight, name, clock);
  return sigma == null ? null : BAND_SIGMAS * sigma;
};

/** The airplane from above, its wings as wide as the bank leaves them. @param {number} x @param {number} y @param {number} heading @param {number} bank @param {string} name */
export function fromAbove(x, y, heading, bank, name) {
  const c = Math.max(0.22, Math.abs(cos(bank)));
  return `<g transform="translate(${n(x)} ${n(y)}) rotate(${n(heading)})"><path class="airplane ${name}" d="M0-10L2-7V-3L${n(16 * c)} 0v4L2 3V9L${n(6 * c)} 11v2H${n(-6 * c)}v-2L-2 9V3L${n(-16 * c)} 4V0L-2-3V-7z"/></g>`;
}

/** Fits points into a box, same scale both ways. @param {Point[]} points @param {[number, number, number, number]} box left, top, right, bottom @param {number} [most] largest scale
 * @returns {((point: Point) => Point) & { scale: number }} */
export function fit(points, [left, top, right, bottom], most = Infinity) {
  const xs = points.map(p => p[0]), ys = points.map(p => p[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min((right - left) / Math.max(x1 - x0, 1e-6), (bottom - top) / Math.max(y1 - y0, 1e-6), most);
  const place = (/** @type {Point} */ p) => /** @type {Point} */ ([(left + right) / 2 + scale * (p[0] - (x0 + x1) / 2), (top + bottom) / 2 + scale * (p[1] - (y0 + y1) / 2)]);
  return Object.assign(place, { scale });
}

/** Cuts a polygon where `inside` is below nil. @param {Point[]} points @param {(p: Point) => number} inside @returns {Point[]} */
export function cut(points, inside) {
  /** @type {Point[]} */
  const out = [];
  points.forEach((p, i) => {
    const q = points[(i + 1) % points.length], a = inside(p), b = inside(q);
    if (a >= 0) out.push(p);
    if ((a >= 0) !== (b >= 0)) {
      const k = a / (a - b);
      out.push([p[0] + k * (q[0] - p[0]), p[1] + k * (q[1] - p[1])]);
    }
  });
  return out;
}

/** Checkpoints at which a label stands: all of them, or the quarters of each part when they are many. @param {Scene} scene */
export function labelled(scene) {
  const { checks, span } = scene;
  if (checks.length <= 7) return checks;
  const quarters = checks.filter(check => (check.part === 0 || check.progress > 0) && (check.progress % (span / (scene.parts > 1 ? 2 : 4)) === 0));
  return quarters.length > 2 ? quarters : checks.filter((_, i) => i % 2 === 0);
}
/** The state of a flight at a checkpoint of the scene. @param {Flight} flight @param {import('../types').Check} check */
export const atCheck = (flight, check) => at(flight, check.clock);
