// The six pictures: drawn once a scene, moved at every step of the clock; one of them enlarged by choice, with its help and table.
import { PICTURES } from '../pictures/list.js';
import { AXES, axisShown, showAxis } from '../pictures/hands.js';
import { all, element, escape, find, table } from '../core/markup.js';
import { WIDTH, HEIGHT } from '../pictures/shared.js';
import { savePicture } from './save.js';

/** @typedef {import('../types').Scene} Scene */

let stages = 0;
export class Stage {
  /** @param {HTMLElement} host @param {import('./clock.js').Clock} clock */
  constructor(host, clock) {
    this.clock = clock;
    /** @type {Scene | null} */ this.scene = null;
    /** @type {import('../types').Look} */ this.look = { seat: 'left', orbit: { turn: 0, tilt: 0 }, key: String(++stages) };
    /** @type {string | null} */ this.large = null;
    this.box = element(`<div class="pictures">${PICTURES.map((picture, i) => figure(picture, i)).join('')}</div>`);
    host.append(this.box);
    this.frames = PICTURES.map(picture => {
      const box = find(`[data-picture="${picture.id}"]`, this.box);
      return { picture, box, still: find('.still', box), live: find('.live', box), note: find('.note', box), more: find('.more', box) };
    });
    this.box.addEventListener('click', event => this.#click(/** @type {HTMLElement} */ (event.target)));
    this.box.addEventListener('change', event => this.#changed(/** @type {HTMLSelectElement} */ (event.target)));
    this.box.addEventListener('wheel', event => {
      if (!(event.target instanceof SVGElement) || event.ctrlKey || !this.scene) return;
      event.preventDefault();
      this.clock.step(Math.sign(event.deltaY) * (event.shiftKey ? 1 : 5) * (this.clock.total / 180 > 2.5 ? 2 : 1));
    }, { passive: false });
    this.#orbit(find('[data-picture="outside"] svg', this.box));
  }
  /** @param {SVGElement} picture dragging it turns the view */
  #orbit(picture) {
    /** @type {{ x: number, y: number } | null} */ let last = null;
    picture.addEventListener('pointerdown', event => { last = { x: event.clientX, y: event.clientY }; picture.setPointerCapture(event.pointerId); });
    picture.addEventListener('pointermove', event => {
      if (!last || !event.buttons) return;
      this.orbit((last.x - event.clientX) * 0.4, (event.clientY - last.y) * 0.3);
      last = { x: event.clientX, y: event.clientY };
    });
    picture.addEventListener('pointerup', () => { last = null; });
  }
  /** @param {number} turn @param {number} tilt degrees */
  orbit(turn, tilt) {
    const { orbit } = this.look;
    orbit.turn = (orbit.turn + turn) % 360;
    orbit.tilt = Math.max(-24, Math.min(55, orbit.tilt + tilt));
    this.#draw(this.frames[0]);
  }
  /** @param {HTMLElement} target */
  #click(target) {
    const button = target.closest('button');
    if (!button) return;
    const id = button.closest('.picture')?.getAttribute('data-picture') ?? '';
    if (button.dataset.turn) this.orbit(Number(button.dataset.turn), Number(button.dataset.tilt));
    else if (button.dataset.save) savePicture(find('svg', button.closest('.picture') ?? this.box), id, button.dataset.save);
    else if (button.classList.contains('enlarge')) this.enlarge(this.large === id ? null : id);
  }
  /** @param {HTMLSelectElement} target */
  #changed(target) {
    if (target.name !== 'axis') return;
    showAxis(target.value);
    const frame = this.frames.find(({ picture }) => picture.id === 'hands');
    if (frame) this.#draw(frame);
  }
  /** @param {string | null} id */
  enlarge(id) {
    this.large = id;
    this.box.classList.toggle('one', id !== null);
    for (const { picture, box } of this.frames) {
      box.classList.toggle('large', picture.id === id);
      find('.enlarge', box).setAttribute('aria-expanded', String(picture.id === id));
      find('.more', box).hidden = picture.id !== id;
    }
    if (id) this.#table(id);
  }
  /** @param {number} number 1 to 6 */
  enlargeNumber(number) {
    const picture = PICTURES[number - 1];
    if (!picture) return;
    this.enlarge(this.large === picture.id ? null : picture.id);
    find(`[data-picture="${picture.id}"] .enlarge`, this.box).focus();
  }
  /** @param {string} id */
  #table(id) {
    const frame = this.frames.find(({ picture }) => picture.id === id);
    if (!frame || !this.scene) return;
    const { head, rows } = frame.picture.table(this.scene);
    find('.numbers', frame.more).innerHTML = table(head.map(escape), rows.map(row => row.map(escape)), `${frame.picture.title}: the same in numbers`, 'plain', sourceOf(this.scene, id));
  }
  /** @param {Scene} scene */
  setScene(scene) {
    this.scene = scene;
    for (const frame of this.frames) this.#draw(frame);
    if (this.large) this.#table(this.large);
  }
  /** @param {typeof this.frames[number]} frame */
  #draw({ picture, box, still, live, note }) {
    if (!this.scene) return;
    still.innerHTML = picture.still(this.scene, this.look);
    live.innerHTML = picture.live(this.scene, this.clock.place, this.look);
    note.textContent = picture.note(this.scene);
    box.setAttribute('data-source', sourceOf(this.scene, picture.id));
    const { head, rows } = picture.table(this.scene);
    find('desc', box).textContent = rows.slice(0, 6).map(row => row.map((cell, i) => (i ? `${head[i]} ${cell}` : cell)).join(', ')).join('; ');
  }
  /** @param {number} clock */
  setClock(clock) {
    if (!this.scene) return;
    for (const { picture, live, box } of this.frames) {
      if (!this.large || picture.id === this.large || box.offsetParent !== null) live.innerHTML = picture.live(this.scene, clock, this.look);
    }
  }
  empty() {
    this.scene = null;
    for (const { still, live } of this.frames) { still.innerHTML = ''; live.innerHTML = ''; }
  }
}

/** Where the numbers of a picture come from. @param {Scene} scene @param {string} id */
const sourceOf = (scene, id) => (id === 'hands' ? scene.sources.hands : id === 'curves' ? `${scene.sources.path} ${scene.sources.speed}` : scene.sources.path);

/** @param {import('../types').Picture} picture @param {number} index */
function figure(picture, index) {
  const { id, title, help } = picture;
  const orbit = id === 'outside' ? `<div class="tools" role="group" aria-label="Look from elsewhere">${[['15', '0', 'from further right'], ['-15', '0', 'from further left'], ['0', '10', 'from higher'], ['0', '-10', 'from lower']]
    .map(([turn, tilt, words]) => `<button type="button" class="quiet" data-turn="${turn}" data-tilt="${tilt}">${words}</button>`).join('')}</div>` : '';
  const axes = id === 'hands' ? `<label class="axis">causes of <select name="axis">${Object.entries(AXES).map(([key, words]) => `<option value="${key}"${key === axisShown() ? ' selected' : ''}>${words.toLowerCase()}</option>`).join('')}</select></label>` : '';
  return `<figure class="picture" data-picture="${id}"><h2><button type="button" class="enlarge" aria-expanded="false" title="Enlarge, with help and numbers (key ${index + 1})"><span class="key">${index + 1}</span>${escape(title)}</button>${axes}<span class="note"></span></h2>
<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-labelledby="t-${id} d-${id}"><title id="t-${id}">${escape(title)}</title><desc id="d-${id}"></desc><g class="still"></g><g class="live"></g></svg>
<div class="more" hidden><p class="help">${escape(help)}</p>${orbit}<div class="tools" role="group" aria-label="Keep this picture"><button type="button" class="quiet" data-save="svg">Save as SVG</button><button type="button" class="quiet" data-save="png">Save as PNG</button></div><div class="numbers"></div></div></figure>`;
}
/** Pictures in view, for tests and for the clip. @param {ParentNode} host */
export const pictureBoxes = host => all('.picture svg', host);
