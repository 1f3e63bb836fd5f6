// The eye that looks at a picture in space: where it stands, and what of the world falls on the sheet. Whoever draws uses the same one.
import { clamp, cos, sin } from '../core/numbers.js';
import { HEIGHT, WIDTH } from './shared.js';

/** @typedef {import('../types').Place} Place */
/** @typedef {import('../core/markup.js').Point} Point */

/** The eye stands so many sizes of the picture away. */
const FAR = 1.75;
/** Room around what must be seen: units of the sheet, left and right together, above and below together, and how much lower it stands. */
const ROOM = { wide: 24, tall: 40, lower: 8 };
export const ZOOM_MOST = 8;
export const TILT_LEAST = 5;
export const TILT_MOST = 84;

/** The zoom, and the place of the whole sheet that stands in the middle: never so far out that the sheet's edge comes in.
 * @param {import('../types').Orbit} orbit @returns {{ zoom: number, center: Point }} */
export function zoomed({ zoom = 1, center = [WIDTH / 2, HEIGHT / 2] }) {
  const near = clamp(zoom, 1, ZOOM_MOST), half = [WIDTH / 2 / near, HEIGHT / 2 / near];
  return { zoom: near, center: [clamp(center[0], half[0], WIDTH - half[0]), clamp(center[1], half[1], HEIGHT - half[1])] };
}

/**
 * @param {import('../types').Sight} sight @param {import('../types').Orbit} orbit
 * `see` gives a place's point on the sheet; `window` is the sheet's rectangle (right, down) in the plane one meter before the eye.
 */
export function camera(sight, orbit) {
  const { middle, size_m: size } = sight, turn = sight.turn_deg + orbit.turn, tilt = clamp(sight.tilt_deg + orbit.tilt, TILT_LEAST, TILT_MOST), far = FAR * size;
  const ahead = /** @type {Place} */ ([cos(turn) * cos(tilt), sin(turn) * cos(tilt), -sin(tilt)]), right = /** @type {Place} */ ([-sin(turn), cos(turn), 0]);
  const up = /** @type {Place} */ ([cos(turn) * sin(tilt), sin(turn) * sin(tilt), cos(tilt)]);
  const eye = /** @type {Place} */ (middle.map((value, k) => value - far * ahead[k]));
  const depth = (/** @type {Place} */ p) => Math.max(1, (p[0] - eye[0]) * ahead[0] + (p[1] - eye[1]) * ahead[1] + (p[2] - eye[2]) * ahead[2]);
  const raw = (/** @type {Place} */ p) => {
    const x = p[0] - eye[0], y = p[1] - eye[1], z = p[2] - eye[2], far = depth(p);
    return /** @type {Point} */ ([(x * right[0] + y * right[1]) / far, -(x * up[0] + y * up[1] + z * up[2]) / far]);
  };
  let [x0, x1, y0, y1] = [Infinity, -Infinity, Infinity, -Infinity];
  for (const place of sight.seen) {
    const [x, y] = raw(place);
    [x0, x1, y0, y1] = [Math.min(x0, x), Math.max(x1, x), Math.min(y0, y), Math.max(y1, y)];
  }
  const whole = Math.min((WIDTH - ROOM.wide) / (x1 - x0), (HEIGHT - ROOM.tall) / (y1 - y0));
  const { zoom, center } = zoomed(orbit), scale = whole * zoom;
  // Where the middle of what is seen stands on the sheet.
  const place = [WIDTH / 2 + zoom * (WIDTH / 2 - center[0]), HEIGHT / 2 + zoom * (HEIGHT / 2 + ROOM.lower - center[1])], origin = [(x0 + x1) / 2, (y0 + y1) / 2];
  const see = (/** @type {Place} */ p) => {
    const [x, y] = raw(p);
    return /** @type {Point} */ ([place[0] + scale * (x - origin[0]), place[1] + scale * (y - origin[1])]);
  };
  const across = (/** @type {number} */ x) => origin[0] + (x - place[0]) / scale, down = (/** @type {number} */ y) => origin[1] + (y - place[1]) / scale;
  return { see, depth, eye, ahead, right, up, zoom, far, scale, window: { left: across(0), right: across(WIDTH), top: down(0), bottom: down(HEIGHT) } };
}
/** @typedef {ReturnType<typeof camera>} Camera */

/** The last few eyes: a scene is drawn again at every step of the clock. @type {WeakMap<import('../types').Sight, { key: string, camera: Camera }>} */
const kept = new WeakMap();
/** @param {import('../types').Sight} sight @param {import('../types').Orbit} orbit @returns {Camera} */
export function cameraOf(sight, orbit) {
  const key = JSON.stringify([orbit.turn, orbit.tilt, orbit.zoom, orbit.center]), before = kept.get(sight);
  if (before?.key === key) return before.camera;
  const made = camera(sight, orbit);
  kept.set(sight, { key, camera: made });
  return made;
}
