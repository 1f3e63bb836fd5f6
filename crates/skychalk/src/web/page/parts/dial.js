// The dial: the scrubber, a half circle that the hand follows the way the nose goes.
import { at } from '../core/flight.js';
import { clamp, cos, sin, text } from '../core/numbers.js';
import { element, find, label, n, seg } from '../core/markup.js';
import { labelled, shown as shownOf } from '../pictures/shared.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../core/markup.js').Point} Point */

const WIDE = 268, TALL = 158, X = 134, Y = 142, R = 110;

/** @param {Scene} scene @param {number} share 0 to 1 @param {number} r @returns {Point} */
function place(scene, share, r) {
  const angle = leftward(scene) ? 180 * share : 180 - 180 * share;
  return [X + r * cos(angle), Y - r * sin(angle)];
}
/** A figure to the left runs from right to left. @param {Scene} scene */
const leftward = scene => scene.flights[0].side === 'left';
/** @param {Scene} scene @param {number} from @param {number} to @param {number} r @param {string} name */
function arc(scene, from, to, r, name) {
  const [a, b] = [place(scene, from, r), place(scene, to, r)];
  return `<path class="${name}" d="M${n(a[0])} ${n(a[1])}A${r} ${r} 0 0 ${leftward(scene) ? 0 : 1} ${n(b[0])} ${n(b[1])}"/>`;
}

/** An address has a decimal: a place out of it falls so far short of its checkpoint. */
const ROUNDED = 0.06;
/** Width of a letter of a label, and the room between two labels, in units of the sheet. */
const LETTER = 7.4, BETWEEN = 7;
/** Labels that have room on the arc, the roundest first: full turns, halves, quarters. @param {Scene} scene @param {(clock: number) => number} share @returns {Set<import('../types').Check>} */
function roomFor(scene, share) {
  const round = (/** @type {import('../types').Check} */ check) => [scene.span, 360, 180, 90, 45].findIndex(step => Math.abs(check.progress % step) < 1e-6);
  const candidates = labelled(scene).map((check, i, all) => ({ check, rank: i === 0 || i === all.length - 1 ? -1 : round(check) < 0 ? 9 : round(check) })).sort((a, b) => a.rank - b.rank);
  const taken = /** @type {{ x: number, y: number, half: number }[]} */ ([]), out = new Set();
  for (const { check } of candidates) {
    const at = share(check.clock), edge = at < 0.03 || at > 0.97, [x, y] = place(scene, at, edge ? R : R - 25), down = edge ? y + 15 : y, half = (LETTER * check.mark.length) / 2;
    if (taken.some(one => Math.abs(one.x - x) < one.half + half + BETWEEN && Math.abs(one.y - down) < 17)) continue;
    taken.push({ x, y: down, half });
    out.add(check);
  }
  return out;
}

export class Dial {
  /** @param {HTMLElement} host @param {import('./clock.js').Clock} clock */
  constructor(host, clock) {
    this.clock = clock;
    this.box = element(`<svg class="dial" viewBox="0 0 ${WIDE} ${TALL}" tabindex="0" role="slider" aria-label="Place in the figure" aria-valuemin="0" aria-valuemax="180" aria-valuenow="0"><g class="still"></g><g class="live"></g></svg>`);
    host.append(this.box);
    this.still = find('.still', this.box);
    this.live = find('.live', this.box);
    this.box.addEventListener('pointerdown', event => { this.box.setPointerCapture(event.pointerId); this.#drag(event); });
    this.box.addEventListener('pointermove', event => { if (event.buttons) this.#drag(event); });
  }
  /** @param {PointerEvent} event */
  #drag(event) {
    if (!this.clock.scene) return;
    const box = this.box.getBoundingClientRect(), scale = WIDE / box.width;
    const x = (event.clientX - box.left) * scale - X, y = Y - (event.clientY - box.top) * scale;
    const angle = (Math.atan2(Math.max(0, y), x) * 180) / Math.PI;
    this.clock.drag((this.clock.total * (leftward(this.clock.scene) ? angle : 180 - angle)) / 180);
  }
  /** @param {Scene} scene */
  setScene(scene) {
    const total = this.clock.total, share = (/** @type {number} */ clock) => clamp(clock / total, 0, 1);
    let out = arc(scene, 0, 1, R, 'track');
    const notches = 12;
    for (let i = 0; i <= notches; i++) out += seg(place(scene, i / notches, R - 5), place(scene, i / notches, R), 'notch');
    const shown = roomFor(scene, share);
    scene.checks.forEach((check, i) => {
      const at = share(check.clock), edge = at < 0.03 || at > 0.97, [x, y] = place(scene, at, edge ? R : R - 25);
      out += seg(place(scene, at, R - 13), place(scene, at, R), 'notch big');
      const words = check.mark.replace('°', '');
      if (shown.has(check) && !(i && at < 0.03)) out += label(x, y + (edge ? 15 : 5), words, edge ? 't muted' : 't small label', 'middle');
    });
    this.still.innerHTML = out;
    this.box.setAttribute('aria-valuemax', String(Math.round(total)));
  }
  /** @param {Scene} scene @param {number} clock */
  setClock(scene, clock) {
    // Of an attempt the time is its own, not that of what it is held against.
    const lead = shownOf(scene), state = at(lead, clock), share = clamp(clock / this.clock.total, 0, 1);
    const phase = scene.progress === 'phase' ? [...scene.checks].reverse().find(check => check.clock <= clock + ROUNDED)?.phase ?? '' : null;
    const [a, b] = [place(scene, share, R - 3), place(scene, share, R + 14)];
    const time = `${text(Math.min(state.time_s - lead.columns.time_s[0], lead.seconds), 1)} s of ${text(lead.seconds, 1)} s`;
    const turned = `${text(state.progress)}°`;
    this.live.innerHTML = arc(scene, 0, Math.max(0.003, share), R, 'done') + seg(a, b, 'handle')
      + (phase === null ? label(X, Y - 18, turned, 'turn', 'middle') : label(X, Y - 24, phase, phase.length > 10 ? 't ink' : 'num', 'middle'))
      + label(X, Y + 6, time, 't muted', 'middle') + (scene.parts > 1 ? label(X, Y - 62, `part ${state.part + 1} of ${scene.parts}`, 't small muted', 'middle') : '');
    this.box.setAttribute('aria-valuenow', String(Math.round(clock)));
    this.box.setAttribute('aria-valuetext', `${phase ?? turned}${scene.parts > 1 ? ` of part ${state.part + 1}` : ''}, ${time}`);
  }
}
