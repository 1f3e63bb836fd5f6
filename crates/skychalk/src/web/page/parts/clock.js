// The one clock of every picture: a place on the maneuver's progress, moved by hand or played in true time.
import { at, clockAt } from '../core/flight.js';
import { clamp } from '../core/numbers.js';

/** Within so many degrees of a checkpoint the hand is drawn to it. */
const CLICK_DEG = 3;

export class Clock {
  /** @param {(clock: number) => void} moved */
  constructor(moved) {
    this.moved = moved;
    this.place = 0;
    this.rate = 1;
    /** Where an address leads, as the figure counts it: until there is a scene. @type {number | null} */ this.asked = null;
    /** @type {import('../types').Scene | null} */ this.scene = null;
    /** @type {number | null} */ this.frame = null;
  }
  /** @param {import('../types').Scene | null} scene */
  setScene(scene) {
    this.scene = scene;
    if (scene && this.asked !== null) [this.place, this.asked] = [Math.max(0, this.asked + this.ahead), null];
    if (!scene) this.stop();
    else this.place = clamp(this.place, 0, this.total);
  }
  get total() { return this.scene ? this.scene.flights[0].total : 1; }
  /** The place as the figure counts it: one may begin before its nil. */
  get counted() { return this.place - this.ahead; }
  get ahead() { return this.scene?.flights[0].ahead ?? 0; }
  /** The same for an address, nothing at the begin. */
  get inAddress() { return this.place > 0 ? this.counted.toFixed(1).replace(/\.0$/, '').replace(/^-0$/, '0') : ''; }
  get time() { return this.scene ? at(this.scene.flights[0], this.place).time_s : 0; }
  get playing() { return this.frame !== null; }

  /** @param {number} place */
  go(place) {
    const next = clamp(place, 0, this.total);
    this.place = Number.isFinite(next) ? next : 0;
    this.moved(this.place);
  }
  /** By hand: checkpoints draw. @param {number} place */
  drag(place) {
    const scale = this.total / 180, near = this.scene?.checks.find(check => Math.abs(check.clock - place) < CLICK_DEG * scale * 0.6);
    this.stop();
    this.go(near ? near.clock : place);
  }
  /** @param {number} degrees */
  step(degrees) { this.stop(); this.go(this.place + degrees); }
  /** To the next checkpoint, or the one before. @param {1 | -1} way */
  checkpoint(way) {
    this.stop();
    const places = (this.scene?.checks ?? []).map(check => check.clock).sort((a, b) => a - b);
    const next = way > 0 ? places.find(place => place > this.place + 0.05) : places.findLast(place => place < this.place - 0.05);
    this.go(next ?? (way > 0 ? this.total : 0));
  }
  toggle() { if (this.playing) this.stop(); else this.play(); }
  play() {
    const flight = this.scene?.flights[0];
    if (!flight) return;
    if (this.place >= this.total - 1e-6) this.place = 0;
    const from = this.time, start = performance.now(), rate = this.rate;
    const tick = (/** @type {number} */ now) => {
      if (this.scene?.flights[0] !== flight) return this.stop();
      const place = clockAt(flight, from + (rate * (now - start)) / 1000);
      this.frame = place >= this.total - 1e-6 ? null : requestAnimationFrame(tick);
      this.go(place);
    };
    this.frame = requestAnimationFrame(tick);
    this.moved(this.place);
  }
  stop() {
    if (this.frame === null) return;
    cancelAnimationFrame(this.frame);
    this.frame = null;
    this.moved(this.place);
  }
  /** @param {number} rate */
  setRate(rate) {
    this.rate = rate;
    if (this.playing) { this.stop(); this.play(); }
  }
}
