// A picture in space drawn flat, as SVG: for paper, for files, for the first moment, and where the browser draws no depth. Farther pieces
// of a strip are laid down before nearer ones; lines lie on top.
import { area, circle, label, line, n } from '../core/markup.js';
import { HEIGHT, WIDTH } from './shared.js';

/** @typedef {import('../types').Shape} Shape */
/** @typedef {import('../types').Place} Place */
/** @typedef {import('./camera.js').Camera} Camera */
/** @typedef {import('../core/markup.js').Point} Point */

/** Ground lines are drawn in so many strengths. */
const SHARES = 4;

/** @param {Place} p @param {Place} eye */
const far = (p, eye) => Math.hypot(p[0] - eye[0], p[1] - eye[1], p[2] - eye[2]);
/** @param {Place[]} places @returns {Place} */
const middle = places => /** @type {Place} */ ([0, 1, 2].map(k => places.reduce((sum, p) => sum + p[k], 0) / places.length));
/** Twice the area of a polygon on the sheet: above nil when it goes round clockwise. @param {Point[]} points */
const winding = points => points.reduce((sum, [x, y], i) => { const [u, v] = points[(i + 1) % points.length]; return sum + x * v - u * y; }, 0);

/** @param {Extract<Shape, { kind: 'strip' }>} strip @param {Camera} camera */
function strip({ edges, name }, { see, eye }) {
  const pieces = [];
  let before = edges[0].map(see);
  for (let i = 1; i < edges.length; i++) {
    const now = edges[i].map(see), points = [before[0], before[1], now[1], now[0]];
    // From above, left to right and on: against the clock.
    pieces.push({ far: far(edges[i][0], eye) + far(edges[i][1], eye), shape: area(points, `${name} ${winding(points) < 0 ? 'top' : 'under'}`) });
    before = now;
  }
  return pieces.sort((a, b) => b.far - a.far).map(({ shape }) => shape).join('');
}

/** @param {Extract<Shape, { kind: 'mesh' }>} mesh @param {Camera} camera */
function mesh({ segments, name }, { see }) {
  const paths = new Array(SHARES + 1).fill('');
  for (const { ends, shares } of segments) {
    const [[x0, y0], [x1, y1]] = ends.map(see);
    paths[Math.round((SHARES * (shares[0] + shares[1])) / 2)] += `M${n(x0)} ${n(y0)}L${n(x1)} ${n(y1)}`;
  }
  return paths.map((path, i) => (i && path ? `<path class="${name}" opacity="${i / SHARES}" d="${path}"/>` : '')).join('');
}

/** About how wide a letter is, and how tall a line of words, units of the sheet. */
const LETTER = 7.6, TALL = 13;
/** Where words may move to that would lie upon others: in their own widths and heights. */
const ASIDE = [[0, 0], [0, -1], [0, 1], [1, 0], [-1, 0], [1, -1], [-1, -1], [1, 1], [-1, 1]];

/** Words on the sheet: over a picture with depth they are all that is drawn flat. Words that find no room are left out. @param {Shape[]} shapes @param {Camera} camera */
export function words(shapes, { see, zoom }) {
  /** @type {[number, number, number, number][]} */
  const taken = [];
  return shapes.map(shape => {
    if (shape.kind === 'note') return label(...shape.at, shape.words, shape.name, shape.anchor);
    if (shape.kind !== 'label') return '';
    const [x, y] = see(shape.at), wide = LETTER * shape.words.length, lead = shape.anchor === 'middle' ? wide / 2 : shape.anchor === 'end' ? wide : 0;
    if (zoom > 1 && (x < 0 || x > WIDTH || y < 0 || y > HEIGHT)) return '';
    for (const [dx, dy] of ASIDE) {
      let [u, v] = [x + shape.off[0] + dx * (wide + 2), y + shape.off[1] + dy * TALL];
      if (shape.inside) [u, v] = [Math.max(lead, Math.min(WIDTH - wide + lead, u)), Math.max(12, Math.min(HEIGHT - TALL - 1, v))];
      const [left, top] = [u - lead, v - TALL + 2];
      if (taken.some(([l, t, r, b]) => left < r && left + wide > l && top < b && top + TALL > t)) continue;
      taken.push([left, top, left + wide, top + TALL]);
      return label(u, v, shape.words, shape.name, shape.anchor);
    }
    return '';
  }).join('');
}

/** A line is looked at in so many pieces for what of it is hidden. */
const PIECES = 24;
/** What is hidden is drawn with this class beside its own. */
const BEHIND = 'behind';
/** @param {Extract<Shape, { kind: 'line' }>} shape @param {Camera} camera @param {Hides} hides */
function partly({ points, name }, { see }, hides) {
  let out = '', from = points[0], now = hides(from);
  for (let i = 1; i < points.length; i++) {
    const [start, end] = [points[i - 1], points[i]];
    for (let k = 1; k <= PIECES; k++) {
      const here = /** @type {Place} */ (start.map((value, axis) => value + ((end[axis] - value) * k) / PIECES)), hidden = hides(here), last = i === points.length - 1 && k === PIECES;
      if (hidden === now && !last) continue;
      out += line([see(from), see(here)], now ? `${name} ${BEHIND}` : name);
      [from, now] = [here, hidden];
    }
  }
  return out;
}

/** @typedef {(place: Place) => boolean} Hides */
/**
 * What the bands of a space hide from the eye.
 * @param {Shape[]} shapes @param {Camera} camera @param {number} room meters: what is no farther behind a band than this is not hidden by it @returns {Hides}
 */
export function hiding(shapes, { see, depth }, room) {
  /** @type {{ corners: Point[], near: number[], box: [number, number, number, number] }[]} */
  const triangles = [];
  for (const shape of shapes) {
    if (shape.kind !== 'strip') continue;
    for (let i = 1; i < shape.edges.length; i++) {
      const [[a, b], [c, d]] = [shape.edges[i - 1], shape.edges[i]];
      for (const places of [[a, b, d], [a, d, c]]) {
        const corners = places.map(see), xs = corners.map(p => p[0]), ys = corners.map(p => p[1]);
        // On the sheet, nearness (one by depth) is linear; depth is not.
        triangles.push({ corners, near: places.map(p => 1 / depth(p)), box: [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)] });
      }
    }
  }
  return place => {
    const [x, y] = see(place), far = depth(place) - room;
    return triangles.some(({ corners: [[ax, ay], [bx, by], [cx, cy]], near, box }) => {
      if (x < box[0] || x > box[1] || y < box[2] || y > box[3]) return false;
      const whole = (by - cy) * (ax - cx) + (cx - bx) * (ay - cy), u = ((by - cy) * (x - cx) + (cx - bx) * (y - cy)) / whole, v = ((cy - ay) * (x - cx) + (ax - cx) * (y - cy)) / whole, w = 1 - u - v;
      return u >= 0 && v >= 0 && w >= 0 && 1 / (u * near[0] + v * near[1] + w * near[2]) < far;
    });
  };
}

/** @param {Shape[]} shapes @param {Camera} camera @param {Hides | null} [hides] over a picture with depth: what is hidden is drawn faintly */
export function flat(shapes, camera, hides = null) {
  const { see, eye } = camera;
  // Faces that follow each other are one body.
  const faces = /** @type {{ far: number, shape: string }[]} */ ([]);
  const body = () => faces.splice(0).sort((a, b) => b.far - a.far).map(({ shape }) => shape).join('');
  let out = '';
  for (const shape of shapes) {
    if (shape.kind === 'face') { faces.push({ far: far(middle(shape.points), eye), shape: area(shape.points.map(see), hides?.(middle(shape.points)) ? `${shape.name} ${BEHIND}` : shape.name) }); continue; }
    out += body();
    if (shape.kind === 'line') out += hides ? partly(shape, camera, hides) : line(shape.points.map(see), shape.name);
    else if (shape.kind === 'strip') out += strip(shape, camera);
    else if (shape.kind === 'mesh') out += mesh(shape, camera);
    else if (shape.kind === 'dot') out += circle(...see(shape.at), shape.radius, shape.name);
  }
  return out + body() + words(shapes, camera);
}
