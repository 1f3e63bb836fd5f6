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

/** Words on the sheet: over a picture with depth they are all that is drawn flat. @param {Shape[]} shapes @param {Camera} camera */
export function words(shapes, { see, zoom }) {
  return shapes.map(shape => {
    if (shape.kind === 'note') return label(...shape.at, shape.words, shape.name, shape.anchor);
    if (shape.kind !== 'label') return '';
    const [x, y] = see(shape.at), [u, v] = [x + shape.off[0], y + shape.off[1]];
    if (zoom > 1 && (x < 0 || x > WIDTH || y < 0 || y > HEIGHT)) return '';
    const [left, right] = shape.anchor === 'middle' ? [14, 14] : [4, 4 + 7 * shape.words.length];
    return shape.inside ? label(Math.max(left, Math.min(WIDTH - right, u)), Math.max(12, Math.min(HEIGHT - 14, v)), shape.words, shape.name, shape.anchor) : label(u, v, shape.words, shape.name, shape.anchor);
  }).join('');
}

/** @param {Shape[]} shapes @param {Camera} camera */
export function flat(shapes, camera) {
  const { see, eye } = camera;
  // Faces that follow each other are one body.
  const faces = /** @type {{ far: number, shape: string }[]} */ ([]);
  const body = () => faces.splice(0).sort((a, b) => b.far - a.far).map(({ shape }) => shape).join('');
  let out = '';
  for (const shape of shapes) {
    if (shape.kind === 'face') { faces.push({ far: far(middle(shape.points), eye), shape: area(shape.points.map(see), shape.name) }); continue; }
    out += body();
    if (shape.kind === 'line') out += line(shape.points.map(see), shape.name);
    else if (shape.kind === 'strip') out += strip(shape, camera);
    else if (shape.kind === 'mesh') out += mesh(shape, camera);
    else if (shape.kind === 'dot') out += circle(...see(shape.at), shape.radius, shape.name);
  }
  return out + body() + words(shapes, camera);
}
