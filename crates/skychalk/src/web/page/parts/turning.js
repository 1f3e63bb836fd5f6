// The picture in space: turned and brought nearer by hand, and drawn with depth once three.js is there; flat until then, without it, and on
// paper. Loading waits for the first picture.
import { cameraOf, TILT_LEAST, TILT_MOST, ZOOM_MOST, zoomed } from '../pictures/camera.js';
import { flat, hiding, words } from '../pictures/flat.js';
import { HEIGHT, WIDTH } from '../pictures/shared.js';
import { find } from '../core/markup.js';
import { clamp } from '../core/numbers.js';

/** @typedef {import('../types').Scene} Scene */

/** What the buttons do, and keys. @type {Record<string, { words: string, turn?: number, tilt?: number, zoom?: number, keys: string[] }>} */
export const LOOKS = {
  right: { words: 'from further right', turn: 15, keys: ['.'] }, left: { words: 'from further left', turn: -15, keys: [','] }, higher: { words: 'from higher', tilt: 10, keys: [] }, lower: { words: 'from lower', tilt: -10, keys: [] },
  nearer: { words: 'nearer', zoom: 1.25, keys: ['+', '='] }, farther: { words: 'farther', zoom: 1 / 1.25, keys: ['-'] }, first: { words: 'as at first', keys: ['0'] },
};
/** Degrees a pixel of the hand, and the share of nearness a pixel of the wheel. */
const TURN_PX = 0.4, TILT_PX = 0.3, WHEEL_PX = 0.0016;
/** What is no farther behind a band than this is not hidden by it, in sizes of the picture: the airplane flies on its own. */
const BEHIND = 0.07;
const DRAWN = { depth: 'Drawn with depth: nearer parts hide farther ones, which show faintly through.', flat: 'This browser draws no depth (WebGL): lines lie on top, whatever is nearer.' };

export class Turning {
  /** @param {import('../types').Picture} picture @param {HTMLElement} box @param {import('../types').Look} look @param {() => void} again draws the whole picture */
  constructor(picture, box, look, again) {
    this.space = /** @type {NonNullable<import('../types').Picture['space']>} */ (picture.space);
    this.look = look;
    this.again = again;
    this.box = find('.spatial', box);
    this.sheet = find('svg', this.box);
    this.canvas = find('canvas', this.box);
    this.said = find('.drawn', box);
    /** @type {import('../pictures/depth.js').Depth | null} */ this.depth = null;
    /** @type {Scene | null} */ this.scene = null;
    this.place = 0;
    /** What the bands hide. @type {import('../pictures/flat.js').Hides | null} */ this.hides = null;
    this.asked = this.ready = this.printing = false;
    this.paper = matchMedia('print');
    this.#hands();
  }

  /** Whether it can be drawn with depth now. */
  get able() { return this.ready && !this.printing && !this.paper.matches && this.depth !== null && !this.depth.lost; }
  /** Whether it is. */
  get deep() { return this.able && !this.canvas.hidden; }

  /** Whether a turn of the wheel brings nearer: in the large picture, or with Ctrl (a pinch on a touchpad); else it turns the dial, as over
   * every picture. @param {WheelEvent} event */
  wheels(event) { return event.ctrlKey || this.box.closest('.large') !== null; }

  /** Draws a scene; says whether that was done here. @param {Scene} scene @param {number} place */
  still(scene, place) {
    [this.scene, this.place] = [scene, place];
    this.#load();
    const space = this.able ? this.space.still(scene) : null, fresh = this.canvas.hidden;
    this.canvas.hidden = !space;
    if (!space || !this.depth) return false;
    if (fresh) this.depth.measure();
    const camera = cameraOf(space.sight, this.look.orbit);
    find('.still', this.box).innerHTML = words([...space.ground, ...space.air], camera);
    this.hides = hiding(space.air, camera, BEHIND * space.sight.size_m);
    this.depth.set(space, this.look.orbit);
    this.depth.draw();
    return this.live(scene, place);
  }
  /** Draws a moment of the scene. @param {Scene} scene @param {number} place */
  live(scene, place) {
    this.place = place;
    const space = this.deep && this.space.still(scene);
    if (!space) return false;
    find('.live', this.box).innerHTML = flat(this.space.live(scene, place), cameraOf(space.sight, this.look.orbit), this.hides);
    return true;
  }
  empty() {
    this.scene = null;
    this.depth?.set(null, this.look.orbit);
    this.depth?.render();
  }
  /** Its size may have changed. */
  shown() {
    if (!this.deep || !this.depth) return;
    this.depth.measure();
    if (this.scene) this.depth.set(this.space.still(this.scene), this.look.orbit);
    this.depth.render();
  }
  /** For a file; null when it is drawn flat. @param {number} scale @returns {HTMLCanvasElement | null} */
  picture(scale) { return this.deep && this.depth ? this.depth.picture(scale) : null; }

  /** Fetches what draws depth, once the page has nothing more urgent to do. */
  #load() {
    if (this.asked) return;
    this.asked = true;
    const later = window.requestIdleCallback ?? ((/** @type {() => void} */ then) => setTimeout(then, 60));
    requestAnimationFrame(() => later(() => this.#start(), { timeout: 500 }));
  }
  async #start() {
    try {
      const { Depth } = await import('../pictures/depth.js');
      this.canvas.hidden = false;
      this.depth = Depth.on(this.canvas, this.sheet);
      this.canvas.hidden = true;
      if (!this.depth) return this.#told();
      this.canvas.addEventListener('webglcontextlost', (/** @type {Event} */ event) => { event.preventDefault(); this.#changed(); });
      this.canvas.addEventListener('webglcontextrestored', () => { this.depth?.restyle(); this.#changed(); });
      this.#watch();
      const space = this.scene && this.space.still(this.scene);
      if (space) this.depth.set(space, this.look.orbit);
      await this.depth.prepare();
      this.ready = true;
      this.#changed();
    } catch {
      // A browser without it has the flat picture, which says so.
      this.#told();
    }
  }
  #told() {
    const how = this.able ? 'depth' : 'flat';
    this.box.dataset.drawn = how;
    this.said.textContent = DRAWN[how];
  }
  /** It can be drawn with depth now, or no longer. */
  #changed() {
    this.#told();
    if (this.scene) this.again(); else this.canvas.hidden = true;
  }
  #watch() {
    new ResizeObserver(() => this.shown()).observe(this.box);
    // Paper has the flat picture: sharp at any size.
    const prints = (/** @type {boolean} */ now) => { this.printing = now; this.#changed(); };
    this.paper.addEventListener('change', () => this.#changed());
    addEventListener('beforeprint', () => prints(true));
    addEventListener('afterprint', () => prints(false));
    const colors = () => { this.depth?.restyle(); this.shown(); };
    new MutationObserver(colors).observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
    for (const asked of ['(forced-colors: active)', '(prefers-contrast: more)']) matchMedia(asked).addEventListener('change', colors);
  }

  /** @param {string} what a key of LOOKS */
  does(what) {
    const { turn = 0, tilt = 0, zoom = 1 } = LOOKS[what];
    if (what === 'first') Object.assign(this.look.orbit, { turn: 0, tilt: 0, zoom: 1, center: undefined });
    this.turn(turn, tilt);
    if (zoom !== 1) this.nearer(zoom, WIDTH / 2, HEIGHT / 2);
  }
  /** @param {number} turn @param {number} tilt degrees */
  turn(turn, tilt) {
    const { orbit } = this.look, first = this.scene && this.space.still(this.scene)?.sight.tilt_deg;
    orbit.turn = (orbit.turn + turn) % 360;
    orbit.tilt = clamp(orbit.tilt + tilt, TILT_LEAST - (first ?? 0), TILT_MOST - (first ?? 0));
    this.again();
  }
  /** Nearer by so many times; what stands at a point of the sheet stays there. @param {number} times @param {number} x @param {number} y */
  nearer(times, x, y) {
    const { orbit } = this.look, { zoom, center } = zoomed(orbit), next = clamp(zoom * times, 1, ZOOM_MOST);
    // The place of the whole sheet under the point, before and after.
    const under = [center[0] + (x - WIDTH / 2) / zoom, center[1] + (y - HEIGHT / 2) / zoom];
    Object.assign(orbit, zoomed({ ...orbit, zoom: next, center: [under[0] - (x - WIDTH / 2) / next, under[1] - (y - HEIGHT / 2) / next] }));
    this.again();
  }
  /** @param {number} x @param {number} y moves what is near, units of the sheet */
  move(x, y) {
    const { orbit } = this.look, { zoom, center } = zoomed(orbit);
    Object.assign(orbit, zoomed({ ...orbit, zoom, center: [center[0] - x / zoom, center[1] - y / zoom] }));
    this.again();
  }
  /** @param {{ clientX: number, clientY: number }} event @returns {[number, number]} on the sheet */
  #on({ clientX, clientY }) {
    const { left, top, width, height } = this.sheet.getBoundingClientRect(), unit = Math.min(width / WIDTH, height / HEIGHT);
    return [(clientX - left - (width - unit * WIDTH) / 2) / unit, (clientY - top - (height - unit * HEIGHT) / 2) / unit];
  }
  /** One finger or the mouse turns; two spread or move; the wheel brings nearer where it does not turn the dial; a double click is as at first. */
  #hands() {
    const { sheet } = this;
    /** @type {Map<number, { clientX: number, clientY: number }>} */
    const down = new Map();
    sheet.addEventListener('pointerdown', (/** @type {PointerEvent} */ event) => { down.set(event.pointerId, event); sheet.setPointerCapture(event.pointerId); });
    sheet.addEventListener('pointermove', (/** @type {PointerEvent} */ event) => {
      const before = down.get(event.pointerId);
      if (!before || !event.buttons) return;
      const [[x0, y0], [x1, y1]] = [this.#on(before), this.#on(event)], other = [...down].find(([id]) => id !== event.pointerId);
      down.set(event.pointerId, event);
      if (!other) {
        if (event.shiftKey) this.move(x1 - x0, y1 - y0);
        else this.turn((before.clientX - event.clientX) * TURN_PX, (event.clientY - before.clientY) * TILT_PX);
        return;
      }
      const [x, y] = this.#on(other[1]);
      this.move((x1 - x0) / 2, (y1 - y0) / 2);
      this.nearer(Math.hypot(x1 - x, y1 - y) / Math.max(1, Math.hypot(x0 - x, y0 - y)), (x + x1) / 2, (y + y1) / 2);
    });
    for (const end of ['pointerup', 'pointercancel']) sheet.addEventListener(end, (/** @type {PointerEvent} */ event) => down.delete(event.pointerId));
    sheet.addEventListener('dblclick', () => this.does('first'));
    sheet.addEventListener('wheel', (/** @type {WheelEvent} */ event) => {
      if (!this.scene || !this.wheels(event)) return;
      event.preventDefault();
      this.nearer(Math.exp(-clamp(event.deltaY * (event.deltaMode ? 30 : 1) * (event.ctrlKey ? 4 : 1), -300, 300) * WHEEL_PX), ...this.#on(event));
    }, { passive: false });
  }
}
