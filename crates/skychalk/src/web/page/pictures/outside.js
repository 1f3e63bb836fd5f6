// Picture 1: the path in space, seen from outside: ribbon, shadow, reference line, landmark.
import { at, attitude, thinned } from '../core/flight.js';
import { cos, feet, height, heightUnit, quantity, roundStep, sin, text } from '../core/numbers.js';
import { area, chalk, circle, label, line, n, seg } from '../core/markup.js';
import { HEIGHT, WIDTH, labelled, moving, nowClass, ordered, path, placed, shown } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../types').State} State */
/** @typedef {[number, number, number]} Place along, across, up */
/** @typedef {import('../core/markup.js').Point} Point */

/** How deep the shadow lies, ft below the lowest of the path, at least. */
const SHADOW_BELOW_FT = 200;

/** Extent of everything drawn. @param {Scene} scene */
function extent(scene) {
  const all = { along: [0], across: [0], up: [0] };
  for (const { columns } of placed(scene)) {
    all.along.push(Math.min(...columns.along_m), Math.max(...columns.along_m));
    all.across.push(Math.min(...columns.across_m), Math.max(...columns.across_m));
    all.up.push(Math.min(...columns.rise_m), Math.max(...columns.rise_m));
  }
  for (const mark of scene.marks) {
    all.along.push(...mark.along_m);
    all.across.push(...mark.across_m);
  }
  const range = (/** @type {number[]} */ values) => /** @type {[number, number]} */ ([Math.min(...values), Math.max(...values)]);
  const [along, across, up] = [range(all.along), range(all.across), range(all.up)];
  const below = Math.max(SHADOW_BELOW_FT, 0.12 * feet(Math.max(along[1] - along[0], across[1] - across[0])));
  const step = below > 400 ? 100 : 50;
  const plane = Math.min(0, up[0]) - (Math.round(below / step) * step) / feet(1);
  return { along, across, up, plane, size: Math.max(along[1] - along[0], across[1] - across[0], up[1] - up[0], 50) };
}

/** A camera that looks at the middle and fits everything into the sheet. @param {Scene} scene @param {import('../types').Look} look */
function camera(scene, look) {
  const e = extent(scene), side = scene.flights[0].side === 'left' ? -1 : 1;
  const middle = [(e.along[0] + e.along[1]) / 2, (e.across[0] + e.across[1]) / 2, (e.plane + e.up[1]) / 2];
  const across = scene.progress === 'turn' || scene.progress === 'position' ? 22 : 62;
  const turn = (scene.mode === 'both' ? 4 : side * across) + look.orbit.turn, tilt = 29 + look.orbit.tilt, far = 1.75 * e.size;
  const eye = [middle[0] - far * cos(turn) * cos(tilt), middle[1] - far * sin(turn) * cos(tilt), middle[2] + far * sin(tilt)];
  const f = [cos(turn) * cos(tilt), sin(turn) * cos(tilt), -sin(tilt)], r = [-sin(turn), cos(turn), 0];
  const u = [cos(turn) * sin(tilt), sin(turn) * sin(tilt), cos(tilt)];
  const raw = (/** @type {Place} */ p) => {
    const d = [p[0] - eye[0], p[1] - eye[1], p[2] - eye[2]], z = Math.max(1, d[0] * f[0] + d[1] * f[1] + d[2] * f[2]);
    return /** @type {Point} */ ([(d[0] * r[0] + d[1] * r[1]) / z, -(d[0] * u[0] + d[1] * u[1] + d[2] * u[2]) / z]);
  };
  /** @type {Point[]} */
  const seen = [];
  for (const { columns } of placed(scene)) {
    for (let i = 0; i < columns.time_s.length; i += 6) {
      seen.push(raw([columns.along_m[i], columns.across_m[i], columns.rise_m[i] + 0.04 * e.size]), raw([columns.along_m[i], columns.across_m[i], e.plane]));
    }
  }
  for (const mark of scene.marks) mark.along_m.forEach((along, i) => seen.push(raw([along, mark.across_m[i], e.plane])));
  seen.push(raw([e.along[0], 0, e.plane]), raw([e.along[1], 0, e.plane]));
  const xs = seen.map(p => p[0]), ys = seen.map(p => p[1]);
  const [x0, x1, y0, y1] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  const scale = Math.min((WIDTH - 24) / (x1 - x0), (HEIGHT - 40) / (y1 - y0));
  const see = (/** @type {Place} */ p) => {
    const [x, y] = raw(p);
    return /** @type {Point} */ ([WIDTH / 2 + scale * (x - (x0 + x1) / 2), HEIGHT / 2 + 8 + scale * (y - (y0 + y1) / 2)]);
  };
  return { see, eye, e };
}
/** @typedef {ReturnType<typeof camera>} Camera */

/** One camera a scene and a look; dragging makes new ones. @type {{ scene: Scene, key: string, camera: Camera } | null} */
let kept = null;
/** @param {Scene} scene @param {import('../types').Look} look */
function cameraOf(scene, look) {
  const key = `${look.orbit.turn},${look.orbit.tilt}`;
  if (kept?.scene !== scene || kept.key !== key) kept = { scene, key, camera: camera(scene, look) };
  return kept.camera;
}

/** @param {Scene} scene @param {Camera} cam */
function ground(scene, { see, e }) {
  const step = roundStep(Math.max(e.along[1] - e.along[0], e.across[1] - e.across[0]), 6);
  const edges = (/** @type {[number, number]} */ [low, high]) => [Math.floor(low / step) * step, Math.ceil(high / step) * step];
  const [a0, a1] = edges(e.along), [c0, c1] = edges(e.across);
  let out = '';
  for (let c = c0; c <= c1 + 1; c += step) out += line([see([a0, c, e.plane]), see([a1, c, e.plane])], 'grid');
  for (let a = a0; a <= a1 + 1; a += step) out += line([see([a, c0, e.plane]), see([a, c1, e.plane])], 'grid');
  return out + label(4, HEIGHT - 3, `squares of ${step >= 1000 ? `${text(step / 1000)} km` : `${text(step)} m`}`, 't small muted') + (scene.marks.length ? '' : road(e, see, a0, a1));
}

/** The reference line: the entry heading on the ground. @param {ReturnType<typeof extent>} e @param {Camera['see']} see @param {number} a0 @param {number} a1 */
function road(e, see, a0, a1) {
  const half = e.size * 0.009;
  const [x, y] = see([a1, 0, e.plane]);
  return [-half, half].map(off => line([see([a0, off, e.plane]), see([a1, off, e.plane])], 'road')).join('') + label(Math.min(WIDTH - 4, Math.max(30, x)), Math.max(12, y - 4), 'road', 't small muted', 'middle');
}

/** @param {Scene} scene @param {Camera} cam */
function marks(scene, { see, e }) {
  return scene.marks.map(mark => {
    const points = mark.along_m.map((along, i) => see([along, mark.across_m[i], e.plane]));
    const [x, y] = points[0];
    return (points.length > 1 ? line(points, 'road') : circle(x, y, 4, 'dot ink')) + label(x + 7, y + 4, mark.name, 't small muted');
  }).join('');
}

/** @param {State | { heading: number, pitch: number, bank: number }} state @returns {Place} */
function rightWing(state) {
  const r = attitude(state.heading, state.pitch, state.bank);
  return [r[0][1], r[1][1], -r[2][1]];
}

/** @param {Flight} flight @param {Camera} cam */
function ribbon(flight, { see, eye, e }) {
  const half = e.size * 0.04, c = flight.columns, quads = [];
  /** @type {Place[] | null} */
  let before = null;
  for (const i of thinned(flight, 90)) {
    const state = { heading: c.heading[i], pitch: c.pitch[i], bank: c.bank[i] }, w = rightWing(state);
    const center = [c.along_m[i], c.across_m[i], c.rise_m[i]];
    const edge = /** @type {Place[]} */ ([-1, 1].map(s => center.map((value, k) => value + s * half * w[k])));
    if (before) {
      const r = attitude(state.heading, state.pitch, state.bank), up = [-r[0][2], -r[1][2], r[2][2]];
      const toEye = eye.map((value, k) => value - center[k]);
      const top = up[0] * toEye[0] + up[1] * toEye[1] + up[2] * toEye[2] > 0;
      quads.push({ far: Math.hypot(...toEye), shape: area([see(before[0]), see(before[1]), see(edge[1]), see(edge[0])], `ribbon ${flight.role} ${top ? 'top' : 'under'}`) });
    }
    before = edge;
  }
  return quads.sort((a, b) => b.far - a.far).map(quad => quad.shape).join('');
}

/** @param {Scene} scene @param {Flight} flight @param {Camera} cam */
function rungs(scene, flight, { see, e }) {
  const half = e.size * 0.04, step = scene.span / 12;
  let out = '';
  for (let clock = step; clock < flight.total - step / 2; clock += step) {
    const state = at(flight, clock), w = rightWing(state), center = [state.along_m, state.across_m, state.rise_m];
    const [a, b] = [-1, 1].map(s => see(/** @type {Place} */ (center.map((value, k) => value + s * half * w[k]))));
    const check = scene.checks.some(({ clock: at }) => Math.abs(at - clock) < step / 8);
    out += seg(a, b, `rung ${flight.role}${check ? ' check' : ''}`);
  }
  return out;
}

/** @param {Scene} scene @param {Flight} flight @param {Camera} cam */
function labels(scene, flight, { see, e }) {
  const side = flight.side === 'left' ? -1 : 1;
  return labelled(scene).map(check => {
    const s = at(flight, check.clock), w = rightWing(s), off = -side * e.size * 0.052;
    const [x, y] = see([s.along_m + off * w[0], s.across_m + off * w[1], s.rise_m + off * w[2] + 0.02 * e.size]);
    return label(Math.max(14, Math.min(WIDTH - 14, x)), Math.max(12, Math.min(HEIGHT - 14, y - 2)), check.mark, 't label', 'middle');
  }).join('');
}

/** @param {State} s @param {Camera} cam @param {string} name */
function airplane(s, { see, e }, name) {
  const r = attitude(s.heading, s.pitch, s.bank), size = e.size / 92;
  const corner = (/** @type {number[]} */ [x, y, z]) => {
    const at = [0, 1, 2].map(row => size * (r[row][0] * x + r[row][1] * y + r[row][2] * z));
    return see([s.along_m + at[0], s.across_m + at[1], s.rise_m - at[2]]);
  };
  const SHAPES = [
    [[0.7, 0, 0], [0.45, 5.1, -0.3], [-0.5, 5.1, -0.3], [-0.9, 0, 0], [-0.5, -5.1, -0.3], [0.45, -5.1, -0.3]],
    [[-4.2, 0, 0], [-4.4, 1.6, 0], [-5, 1.6, 0], [-5.1, 0, 0], [-5, -1.6, 0], [-4.4, -1.6, 0]],
    [[-3.9, 0, 0], [-4.9, 0, -1.7], [-5.4, 0, -1.7], [-5.2, 0, 0]],
    [[2.4, 0, 0.1], [1.6, 0.5, 0], [-1, 0.5, 0], [-5.1, 0.1, 0], [-5.1, -0.1, 0], [-1, -0.5, 0], [1.6, -0.5, 0]],
  ];
  return SHAPES.map(shape => area(shape.map(corner), `airplane ${name}`)).join('');
}

/** @type {import('../types').Picture} */
export const outside = {
  id: 'outside',
  title: 'Outside',
  note: scene => `shadow ${quantity(Math.round(feet(-extent(scene).plane) / 10) * 10, 'ft')} below entry`,
  help: 'The path in space, same scale in every direction. The ribbon shows the wings: bright from above, faint from beneath; a rung stands at every twelfth of the figure. The ribbon is wider than the span and the airplane larger than true: their size lies, their angle never. The shadow lies straight below, on a plane that is drawn under the path. Drag the picture, or use its buttons when enlarged, to look from elsewhere. Computed from the reference flight, or from the reconstruction of an attempt.',
  still(scene, look) {
    if (!shown(scene).has('along_m')) return label(WIDTH / 2, HEIGHT / 2, 'No place was recorded.', 't muted', 'middle');
    const cam = cameraOf(scene, look), { see, e } = cam;
    let out = ground(scene, cam) + marks(scene, cam);
    const drawn = ordered(placed(scene));
    for (const flight of drawn.filter(({ role }) => role !== 'reflight')) {
      out += line(path(flight, i => see([flight.columns.along_m[i], flight.columns.across_m[i], e.plane])), `shadow ${flight.role}`);
    }
    for (const flight of scene.mode === 'both' ? scene.flights : [shown(scene)]) {
      for (const check of scene.checks) {
        const s = at(flight, check.clock);
        const [a, b] = [see([s.along_m, s.across_m, s.rise_m]), see([s.along_m, s.across_m, e.plane])];
        out += seg(a, b, 'drop') + circle(b[0], b[1], 2, 'foot');
      }
    }
    const ribboned = scene.mode === 'both' ? scene.flights : [shown(scene)];
    for (const flight of drawn) {
      if (ribboned.includes(flight)) out += ribbon(flight, cam) + rungs(scene, flight, cam);
      out += chalk(path(flight, i => see([flight.columns.along_m[i], flight.columns.across_m[i], flight.columns.rise_m[i]])), flight.role);
    }
    if (scene.mode !== 'both') return out + labels(scene, shown(scene), cam);
    return out + scene.flights.map(flight => {
      const s = at(flight, scene.span / 2), [x, y] = see([s.along_m, s.across_m, s.rise_m + 0.07 * e.size]);
      return label(x, y, flight.side, 't label', 'middle');
    }).join('');
  },
  live(scene, clock, look) {
    if (!shown(scene).has('along_m')) return '';
    const cam = cameraOf(scene, look);
    return moving(scene).filter(flight => flight.has('along_m')).map(flight => {
      const s = at(flight, clock), name = nowClass(scene, flight);
      const [a, b] = [cam.see([s.along_m, s.across_m, s.rise_m]), cam.see([s.along_m, s.across_m, cam.e.plane])];
      return seg(a, b, `plumb ${name}`) + airplane(s, cam, name);
    }).join('');
  },
  table(scene) {
    const lead = shown(scene);
    const rows = scene.checks.map(check => {
      const s = at(lead, check.clock);
      return [check.label, text(s.along_m), text(s.across_m, 0, true), text(height(feet(s.rise_m)), 0, true)];
    });
    return { head: ['at', 'ahead of entry, m', 'right of entry, m', `above entry, ${heightUnit()}`], rows };
  },
};
