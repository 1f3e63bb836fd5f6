// Picture 1: the path in space, seen from outside: ribbon, shadow, reference line, landmark. What is there is said once, in space; `flat.js`
// draws it as SVG, `depth.js` with depth.
import { tickStep } from '../core/charts.js';
import { at, attitude } from '../core/flight.js';
import { clamp, cos, feet, ground as groundOf, height, heightUnit, quantity, roundDistance, sin, text } from '../core/numbers.js';
import { label, strokes } from '../core/markup.js';
import { cameraOf } from './camera.js';
import { flat } from './flat.js';
import { HEIGHT, WIDTH, apart, labelled, moving, namedBefore, nowClass, ordered, path, placed, shown } from './shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Flight} Flight */
/** @typedef {import('../types').State} State */
/** @typedef {import('../types').Place} Place */
/** @typedef {import('../types').Shape} Shape */

/** How deep the shadow lies, ft below the lowest of the path, at least. */
const SHADOW_BELOW_FT = 200;
/** In sizes of the picture: half of the ribbon's width, half of the road's, how far off a checkpoint's label stands, a meter of the airplane, a measure of a hill. */
const RIBBON = 0.04, ROAD = 0.009, LABEL = 0.052, AIRPLANE = 1 / 92, HILL_SIZE = 0.02;

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
/** @typedef {ReturnType<typeof extent>} Extent */

/** @param {Flight} flight @param {number} i @returns {Place} */
const place = ({ columns }, i) => [columns.along_m[i], columns.across_m[i], columns.rise_m[i]];
/** @param {State} s @returns {Place} */
const placeOf = s => [s.along_m, s.across_m, s.rise_m];
/** Straight below. @param {Place} p @param {Extent} e @returns {Place} */
const shade = (p, e) => [p[0], p[1], e.plane];
/** @param {Place} p @param {Place} way @param {number} far @returns {Place} */
const beside = (p, way, far) => [p[0] + far * way[0], p[1] + far * way[1], p[2] + far * way[2]];
/** @param {{ heading: number, pitch: number, bank: number }} state @returns {Place} */
function rightWing({ heading, pitch, bank }) {
  const r = attitude(heading, pitch, bank);
  return [r[0][1], r[1][1], -r[2][1]];
}

/** The way the eye looks first, degrees from the entry heading. @param {Scene} scene */
function firstTurn(scene) {
  const side = scene.flights[0].side === 'left' ? -1 : 1, across = scene.progress === 'turn' || scene.progress === 'position' ? 22 : 62;
  return scene.mode === 'both' ? 4 : side * across;
}
/** Where the eye stands first, and what it must see. @param {Scene} scene @param {Extent} e @returns {import('../types').Sight} */
function sightOf(scene, e) {
  /** @type {Place[]} */
  const seen = [[e.along[0], 0, e.plane], [e.along[1], 0, e.plane]];
  for (const { columns } of placed(scene)) {
    for (let i = 0; i < columns.time_s.length; i += 6) seen.push([columns.along_m[i], columns.across_m[i], columns.rise_m[i] + RIBBON * e.size], [columns.along_m[i], columns.across_m[i], e.plane]);
  }
  for (const mark of scene.marks) mark.along_m.forEach((along, i) => seen.push([along, mark.across_m[i], e.plane]));
  for (const { outline } of landmarks(scene, e)) seen.push(...outline, beside(outline[2], [0, 0, 1], 2 * HILL_SIZE * e.size));
  return { middle: [(e.along[0] + e.along[1]) / 2, (e.across[0] + e.across[1]) / 2, (e.plane + e.up[1]) / 2], size_m: e.size, turn_deg: firstTurn(scene), tilt_deg: 29, seen };
}

/** Squares of the ground, which fade away from what is flown over. @param {Scene} scene @param {Extent} e @returns {Shape[]} */
function ground(scene, e) {
  const { m: step, words } = roundDistance(Math.max(e.along[1] - e.along[0], e.across[1] - e.across[0]) / 6, about => tickStep(0, 6 * about, 6)), room = 1.6 * step;
  const edges = (/** @type {[number, number]} */ [low, high]) => [Math.floor(low / step) * step - step, Math.ceil(high / step) * step + step];
  const [a0, a1] = edges(e.along), [c0, c1] = edges(e.across), half = [(e.along[1] - e.along[0]) / 2 + room, (e.across[1] - e.across[0]) / 2 + room];
  const feet_ = placed(scene).flatMap(flight => path(flight, i => /** @type {[number, number]} */ ([flight.columns.along_m[i], flight.columns.across_m[i]]), 40));
  const share = (/** @type {number} */ a, /** @type {number} */ c) => {
    const round = (1 - Math.hypot((a - (e.along[0] + e.along[1]) / 2) / half[0], (c - (e.across[0] + e.across[1]) / 2) / half[1])) / 0.35;
    const near = Math.min(...feet_.map(([x, y]) => Math.hypot(a - x, c - y)));
    return clamp(Math.max(round, (room - near) / (0.9 * step)), 0, 1);
  };
  /** @type {Extract<Shape, { kind: 'mesh' }>['segments']} */
  const segments = [];
  const half_ = step / 2;
  for (let a = a0; a <= a1 + 1; a += half_) {
    for (let c = c0; c <= c1 + 1; c += half_) {
      const here = share(a, c), onA = Math.abs(a / step - Math.round(a / step)) < 0.01, onC = Math.abs(c / step - Math.round(c / step)) < 0.01;
      for (const [on, x, y] of /** @type {[boolean, number, number][]} */ ([[onC, a + half_, c], [onA, a, c + half_]])) {
        if (!on || x > a1 + 1 || y > c1 + 1) continue;
        const there = share(x, y);
        if (here + there > 0.05) segments.push({ ends: [[a, c, e.plane], [x, y, e.plane]], shares: [here, there] });
      }
    }
  }
  /** @type {Shape[]} */
  const out = [{ kind: 'mesh', segments, name: 'grid' }, { kind: 'note', at: [4, HEIGHT - 3], words: `squares of ${words}`, name: 't small muted', anchor: 'start' }];
  return scene.marks.length ? out : [...out, ...road(e, a0 + step, a1 - step)];
}

/** The reference line: the entry heading on the ground. @param {Extent} e @param {number} from @param {number} to @returns {Shape[]} */
const road = (e, from, to) => [
  ...[-1, 1].map(side => /** @type {Shape} */ ({ kind: 'line', points: [[from, side * ROAD * e.size, e.plane], [to, side * ROAD * e.size, e.plane]], name: 'road' })),
  { kind: 'label', at: [to, 0, e.plane], off: [0, -4], words: 'road', name: 't small muted', anchor: 'middle', inside: true },
];

/** @param {Scene} scene @param {Extent} e @returns {Shape[]} */
const marks = (scene, e) => scene.marks.flatMap((mark, i) => {
  const points = mark.along_m.map((along, i) => /** @type {Place} */ ([along, mark.across_m[i], e.plane]));
  return /** @type {Shape[]} */ ([points.length > 1 ? { kind: 'line', points, name: 'road' } : { kind: 'dot', at: points[0], radius: 4, name: 'dot ink', ground: true },
    ...(namedBefore(scene, i) ? [] : [{ kind: 'label', at: points[0], off: [7, 4], words: mark.name, name: 't small muted', anchor: 'start', inside: true }])]);
});

/** How far beyond, in sizes of the picture; a hill as it stands on a horizon, across the first look: aside and up, in its own size. */
const BEYOND = 0.22, HILL = [[-2.6, 0], [-0.9, 1.3], [0, 2.3], [1.1, 1.1], [2.8, 0]];
/** The landmark off the wing tip at entry, or ahead where nothing is flown by the wing: it stands in its direction, beyond the rim of what is
 * flown over. @param {Scene} scene @param {Extent} e @returns {{ outline: Place[], name: string }[]} */
function landmarks(scene, e) {
  const middle = [(e.along[0] + e.along[1]) / 2, (e.across[0] + e.across[1]) / 2], half = [(e.along[1] - e.along[0]) / 2 + BEYOND * e.size, (e.across[1] - e.across[0]) / 2 + BEYOND * e.size];
  const all = [...new Set(scene.mode === 'both' ? scene.flights.map(({ side }) => side) : [shown(scene).side])].flatMap(side => scene.references[side] ?? []);
  // What both sides are flown by stands once.
  const told = all.filter(({ name, azimuth }, i) => all.findIndex(one => one.name === name && cos(one.azimuth - azimuth) > 0.99) === i);
  const abeam = told.filter(({ azimuth }) => Math.abs(sin(azimuth)) > 0.9);
  return (abeam.length ? abeam : told.filter(({ azimuth }) => cos(azimuth) > 0.9).slice(0, 1)).map(({ name, azimuth }) => {
    const way = [cos(azimuth), sin(azimuth)], far = 1 / Math.hypot(way[0] / half[0], way[1] / half[1]), look = firstTurn(scene), size = HILL_SIZE * e.size;
    const outline = HILL.map(([x, y]) => /** @type {Place} */ ([middle[0] + far * way[0] - sin(look) * size * x, middle[1] + far * way[1] + cos(look) * size * x, e.plane + size * y]));
    return { outline, name: /^\d/.test(name) ? `point at ${name}` : name };
  });
}
/** @param {Scene} scene @param {Extent} e @returns {Shape[]} */
const hills = (scene, e) => landmarks(scene, e).flatMap(({ outline, name }) => /** @type {Shape[]} */ ([{ kind: 'line', points: outline, name: 'road' }, { kind: 'label', at: outline[2], off: [0, -4], words: name, name: 't small muted', anchor: 'middle', inside: true }]));

/** The wings along the way, with a rung at every twelfth of the figure. @param {Scene} scene @param {Flight} flight @param {Extent} e @returns {Shape[]} */
function ribbon(scene, flight, e) {
  const half = RIBBON * e.size, c = flight.columns, step = scene.span / 12;
  const edges = path(flight, i => {
    const w = rightWing({ heading: c.heading[i], pitch: c.pitch[i], bank: c.bank[i] }), center = place(flight, i);
    return /** @type {[Place, Place]} */ ([beside(center, w, -half), beside(center, w, half)]);
  });
  /** @type {Shape[]} */
  const out = [{ kind: 'strip', edges, name: `ribbon ${flight.role}` }, ...[0, 1].map(k => /** @type {Shape} */ ({ kind: 'line', points: edges.map(pair => pair[k]), name: `rim ${flight.role}` }))];
  for (let clock = step + (flight.ahead % step); clock < flight.total - step / 2; clock += step) {
    const state = at(flight, clock), w = rightWing(state), check = scene.checks.some(({ clock: there }) => Math.abs(there - clock) < step / 8);
    out.push({ kind: 'line', points: [beside(placeOf(state), w, -half), beside(placeOf(state), w, half)], name: `rung ${flight.role}${check ? ' check' : ''}` });
  }
  return out;
}

/** @param {Scene} scene @param {Extent} e @returns {Shape[]} */
function labels(scene, e) {
  if (scene.mode === 'both') {
    const where = apart(scene);
    return scene.flights.map(flight => ({ kind: 'label', at: beside(placeOf(at(flight, where)), [0, 0, 1], 0.07 * e.size), off: [0, 0], words: flight.side, name: 't label', anchor: 'middle', inside: false }));
  }
  const flight = shown(scene), side = flight.side === 'left' ? -1 : 1;
  return labelled(scene).map(check => {
    const s = at(flight, check.clock), out = beside(placeOf(s), rightWing(s), -side * LABEL * e.size);
    return { kind: 'label', at: beside(out, [0, 0, 1], 0.02 * e.size), off: [0, -2], words: check.mark, name: 't label', anchor: 'middle', inside: true };
  });
}

/** Faces of the airplane: ahead, right, down of its middle, meters. The body is seen from above and from the side. */
const FACES = [
  [[2.4, 0, 0.1], [1.6, 0.5, 0], [-1, 0.5, 0], [-5.1, 0.1, 0], [-5.1, -0.1, 0], [-1, -0.5, 0], [1.6, -0.5, 0]],
  [[2.4, 0, 0.15], [1.5, 0, -0.35], [0.5, 0, -0.75], [-0.8, 0, -0.7], [-5.1, 0, -0.2], [-5.2, 0, 0.1], [-1, 0, 0.55], [1.4, 0, 0.55]],
  [[-3.9, 0, 0], [-4.9, 0, -1.7], [-5.4, 0, -1.7], [-5.2, 0, 0]],
  [[-4.2, 0, 0], [-4.4, 1.6, 0], [-5, 1.6, 0], [-5.1, 0, 0], [-5, -1.6, 0], [-4.4, -1.6, 0]],
  [[0.7, 0, 0], [0.45, 5.1, -0.3], [-0.5, 5.1, -0.3], [-0.9, 0, 0]],
  [[0.7, 0, 0], [0.45, -5.1, -0.3], [-0.5, -5.1, -0.3], [-0.9, 0, 0]],
];
/** @param {State} s @param {Extent} e @param {string} name @returns {Shape[]} */
function airplane(s, e, name) {
  const r = attitude(s.heading, s.pitch, s.bank), size = e.size * AIRPLANE;
  const corner = (/** @type {number[]} */ [x, y, z]) => {
    const off = [0, 1, 2].map(row => size * (r[row][0] * x + r[row][1] * y + r[row][2] * z));
    return /** @type {Place} */ ([s.along_m + off[0], s.across_m + off[1], s.rise_m - off[2]]);
  };
  return FACES.map(face => /** @type {Shape} */ ({ kind: 'face', points: face.map(corner), name: `airplane ${name}` }));
}

/** @param {Scene} scene @returns {{ space: import('../types').Space, e: Extent }} */
function made(scene) {
  const e = extent(scene), drawn = ordered(placed(scene)), ribboned = scene.mode === 'both' ? scene.flights : [shown(scene)];
  /** @type {Shape[]} */
  const lying = [...ground(scene, e), ...hills(scene, e), ...marks(scene, e)];
  /** @type {Shape[]} */
  const air = [];
  for (const flight of drawn.filter(({ role }) => role !== 'reflight')) lying.push({ kind: 'line', points: path(flight, i => shade(place(flight, i), e)), name: `shadow ${flight.role}` });
  for (const flight of ribboned) {
    for (const check of scene.checks) {
      const s = placeOf(at(flight, check.clock)), foot = shade(s, e);
      lying.push({ kind: 'dot', at: foot, radius: 2, name: 'foot', ground: true });
      air.push({ kind: 'line', points: [s, foot], name: 'drop' });
    }
  }
  for (const flight of drawn) {
    if (ribboned.includes(flight)) air.push(...ribbon(scene, flight, e));
    for (const name of strokes(flight.role)) air.push({ kind: 'line', points: path(flight, i => place(flight, i)), name, through: name.startsWith('stroke') });
  }
  return { e, space: { ground: lying, air: [...air, ...labels(scene, e)], sight: sightOf(scene, e) } };
}
/** @type {WeakMap<Scene, ReturnType<typeof made>>} */
const kept = new WeakMap();
/** @param {Scene} scene */
function madeOf(scene) {
  let found = kept.get(scene);
  if (!found) kept.set(scene, found = made(scene));
  return found;
}
const told = (/** @type {Scene} */ scene) => shown(scene).has('along_m');

/** @param {Scene} scene @param {number} clock @returns {Shape[]} */
function moment(scene, clock) {
  const { e } = madeOf(scene);
  return moving(scene).filter(flight => flight.has('along_m')).flatMap(flight => {
    const s = at(flight, clock), name = nowClass(scene, flight);
    return /** @type {Shape[]} */ ([{ kind: 'line', points: [placeOf(s), shade(placeOf(s), e)], name: `plumb ${name}` }, ...airplane(s, e, name)]);
  });
}

/** @type {import('../types').Picture} */
export const outside = {
  id: 'outside',
  named: true,
  sides: 'turned',
  title: 'Outside',
  note: scene => `shadow ${quantity(Math.round(feet(-extent(scene).plane) / 10) * 10, 'ft')} below entry`,
  help: 'The path in space, same scale in every direction. The ribbon shows the wings: bright from above, faint from beneath; a rung stands at every twelfth of the figure. The ribbon is wider than the span and the airplane larger than true: their size lies, their angle never. The shadow lies straight below, on a plane that is drawn under the path. The hill stands in the direction of the reference point off the wing (ahead, where the figure is flown straight), which itself is far away. Drag the picture to look from elsewhere, spread two fingers or turn the wheel with Ctrl to come nearer (when enlarged, the wheel alone), or use its buttons then. Computed from the reference flight, or from the reconstruction of an attempt.',
  still(scene, look) {
    if (!told(scene)) return label(WIDTH / 2, HEIGHT / 2, 'No place was recorded.', 't muted', 'middle');
    const { ground: lying, air, sight } = madeOf(scene).space;
    return flat([...lying, ...air], cameraOf(sight, look.orbit));
  },
  live: (scene, clock, look) => (told(scene) ? flat(moment(scene, clock), cameraOf(madeOf(scene).space.sight, look.orbit)) : ''),
  space: { still: scene => (told(scene) ? madeOf(scene).space : null), live: (scene, clock) => (told(scene) ? moment(scene, clock) : []) },
  table(scene) {
    const lead = shown(scene);
    const rows = scene.checks.map(check => {
      const s = at(lead, check.clock);
      return [check.label, text(groundOf(s.along_m)), text(groundOf(s.across_m), 0, true), text(height(feet(s.rise_m)), 0, true)];
    });
    return { head: ['at', `ahead of entry, ${heightUnit()}`, `right of entry, ${heightUnit()}`, `above entry, ${heightUnit()}`], rows };
  },
};
