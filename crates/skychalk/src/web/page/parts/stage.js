// The six pictures: drawn once a scene, moved at every step of the clock; one of them enlarged by choice, with its help and table. A picture
// in space is drawn flat first, and with depth as soon as the browser has what that needs.
import { PICTURES } from '../pictures/list.js';
import { AXES, axisShown, showAxis } from '../pictures/hands.js';
import { all, element, escape, find, table } from '../core/markup.js';
import { WIDTH, HEIGHT } from '../pictures/shared.js';
import { legendOf, strokesOf } from './legend.js';
import { savePicture } from './save.js';
import { LOOKS, Turning } from './turning.js';

/** @typedef {import('../types').Scene} Scene */

/** Pixels a unit of the sheet in a picture that is kept. */
const SAVED_SCALE = 4;
let stages = 0;
export class Stage {
  /** @param {HTMLElement} host @param {import('./clock.js').Clock} clock */
  constructor(host, clock) {
    this.clock = clock;
    /** @type {Scene | null} */ this.scene = null;
    /** What is drawn, in words: for pictures that leave the page. */ this.about = '';
    /** @type {import('../types').Look} */ this.look = { seat: 'left', orbit: { turn: 0, tilt: 0 }, key: String(++stages) };
    /** @type {string | null} */ this.large = null;
    this.box = element(`<div class="pictures">${PICTURES.map((picture, i) => figure(picture, i)).join('')}</div>`);
    host.append(this.box);
    /** The view that it stands in. */ this.view = host.closest('.view')?.id ?? '';
    this.frames = PICTURES.map(picture => {
      const box = find(`[data-picture="${picture.id}"]`, this.box);
      return { picture, box, still: find('.still', box), live: find('.live', box), note: find('.note', box), more: find('.more', box) };
    });
    const spatial = this.frames.find(({ picture }) => picture.space);
    /** The picture in space. @type {Turning | null} */ this.turning = spatial ? new Turning(spatial.picture, spatial.box, this.look, () => this.#draw(spatial)) : null;
    this.box.addEventListener('click', event => this.#click(/** @type {HTMLElement} */ (event.target)));
    this.box.addEventListener('change', event => this.#changed(/** @type {HTMLSelectElement} */ (event.target)));
    this.box.addEventListener('wheel', event => {
      if (!(event.target instanceof SVGElement) || event.ctrlKey || !this.scene || (this.turning?.box.contains(event.target) && this.turning.wheels(event))) return;
      event.preventDefault();
      this.clock.step(Math.sign(event.deltaY) * (event.shiftKey ? 1 : 5) * (this.clock.total / 180 > 2.5 ? 2 : 1));
    }, { passive: false });
  }
  /** @param {HTMLElement} target */
  #click(target) {
    const button = target.closest('button');
    if (!button) return;
    const id = button.closest('.picture')?.getAttribute('data-picture') ?? '';
    if (button.dataset.look) this.turning?.does(button.dataset.look);
    else if (button.dataset.save) this.#save(id, button.dataset.save);
    else if (button.classList.contains('enlarge')) this.enlarge(this.large === id ? null : id);
  }
  /** A picture with depth has only its words in the page: the file has all of it. @param {string} id @param {string} format */
  async #save(id, format) {
    const frame = this.frames.find(({ picture }) => picture.id === id);
    if (!frame || !this.scene) return;
    const { picture, box } = frame, copy = find('svg', box).cloneNode(true), depth = picture.space && format === 'png' ? this.turning?.picture(SAVED_SCALE) : null;
    if (picture.space && !depth) {
      find('.still', copy).innerHTML = picture.still(this.scene, this.look);
      find('.live', copy).innerHTML = picture.live(this.scene, this.clock.place, this.look);
    }
    find('.probe', copy)?.remove();
    const said = id === 'hands' ? `${picture.title}, ${picture.note(this.scene)}` : picture.title;
    await savePicture(copy, `${said}. ${this.about}`, strokesTold(this.scene, picture), id, format, depth ?? null);
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
    this.turning?.shown();
  }
  /** Keys that do the same wherever pictures stand. @returns {Record<string, () => void>} */
  get keys() {
    const looks = Object.entries(LOOKS).flatMap(([what, { keys }]) => keys.map(key => /** @type {const} */ ([key, () => this.turning?.does(what)])));
    return { ...Object.fromEntries(PICTURES.map((_, i) => [i + 1, () => this.enlargeNumber(i + 1)])), ...Object.fromEntries(looks), Escape: () => this.enlarge(null) };
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
    const { head, rows } = tableOf(frame.picture, this.scene);
    find('.numbers', frame.more).innerHTML = table(head.map(escape), rows.map(row => row.map(escape)), `${frame.picture.title}: the same in numbers`, 'plain', sourceOf(this.scene, id));
  }
  /** @param {Scene} scene */
  setScene(scene) {
    this.scene = scene;
    legendOf(this.view, scene);
    for (const frame of this.frames) this.#draw(frame);
    if (this.large) this.#table(this.large);
  }
  /** @param {typeof this.frames[number]} frame */
  #draw({ picture, box, still, live, note }) {
    if (!this.scene) return;
    if (!picture.space || !this.turning?.still(this.scene, this.clock.place)) {
      still.innerHTML = picture.still(this.scene, this.look);
      live.innerHTML = picture.live(this.scene, this.clock.place, this.look);
    }
    note.textContent = picture.note(this.scene);
    box.setAttribute('data-source', sourceOf(this.scene, picture.id));
    const { head, rows } = tableOf(picture, this.scene);
    find('desc', box).textContent = rows.slice(0, 6).map(row => row.map((cell, i) => (i ? `${head[i]} ${cell}` : cell)).join(', ')).join('; ');
  }
  /** @param {number} clock */
  setClock(clock) {
    if (!this.scene) return;
    for (const { picture, live, box } of this.frames) {
      if (this.large && picture.id !== this.large && box.offsetParent === null) continue;
      if (!picture.space || !this.turning?.live(this.scene, clock)) live.innerHTML = picture.live(this.scene, clock, this.look);
    }
  }
  empty() {
    this.scene = null;
    legendOf(this.view, null);
    for (const { still, live } of this.frames) { still.innerHTML = ''; live.innerHTML = ''; }
    this.turning?.empty();
  }
}

/** The numbers of a picture; of both sides, each with its name, where both are shown. @param {import('../types').Picture} picture @param {Scene} scene */
function tableOf(picture, scene) {
  if (picture.sides !== 'told' && scene.flights.some(({ role }) => role === 'attempt')) {
    // What is seen and held is the reference's; the path is the attempt's.
    const { head, rows } = picture.table(scene), whose = picture.sides === 'own' ? 'reference' : 'attempt';
    return { head: head.map((words, i) => (i ? `${words}, ${whose}` : words)), rows };
  }
  if (picture.sides === 'told' || scene.flights.length < 2 || (scene.mode !== 'both' && scene.mode !== 'mirrored')) return picture.table(scene);
  const sides = scene.flights.map(flight => ({ name: `${flight.side}${picture.sides === 'turned' && flight.role === 'other' ? ', mirrored' : ''}`, ...picture.table({ ...scene, flights: [flight], mode: flight.side }) }));
  const [first, second] = sides;
  // Where a side has no numbers, the words on that.
  if (first.head.length !== second.head.length || first.rows.length !== second.rows.length) return picture.table(scene);
  return { head: [first.head[0], ...sides.flatMap(({ head, name }) => head.slice(1).map(words => `${words}, ${name}`))], rows: first.rows.map((row, i) => [...row, ...second.rows[i].slice(1)]) };
}

/** Which stroke is whose, where several lie upon each other: for a picture that leaves the page. @param {Scene} scene @param {import('../types').Picture} picture
 * @returns {{ stroke: string, words: string }[]} */
const strokesTold = (scene, picture) => (scene.flights.length < 2 || picture.id === 'hands' || (scene.mode === 'both' && picture.named) ? [] : strokesOf(scene));

/** Where the numbers of a picture come from. @param {Scene} scene @param {string} id */
const sourceOf = (scene, id) => (id === 'hands' ? scene.sources.hands : id === 'curves' ? `${scene.sources.path} ${scene.sources.speed}` : scene.sources.path);

/** @param {import('../types').Picture} picture @param {number} index */
function figure(picture, index) {
  const { id, title, help } = picture;
  const looking = picture.space ? `<div class="tools" role="group" aria-label="Look from elsewhere">${Object.entries(LOOKS).map(([key, { words }]) => `<button type="button" class="quiet" data-look="${key}">${words}</button>`).join('')}</div>` : '';
  const axes = id === 'hands' ? `<label class="axis">causes of <select name="axis">${Object.entries(AXES).map(([key, words]) => `<option value="${key}"${key === axisShown() ? ' selected' : ''}>${words.toLowerCase()}</option>`).join('')}</select></label>` : '';
  const sheet = `<svg viewBox="0 0 ${WIDTH} ${HEIGHT}" role="img" aria-labelledby="t-${id} d-${id}"><title id="t-${id}">${escape(title)}</title><desc id="d-${id}"></desc><g class="still"></g><g class="live"></g></svg>`;
  return `<figure class="picture" data-picture="${id}"><h2><button type="button" class="enlarge" aria-expanded="false" title="Enlarge, with help and numbers (key ${index + 1})"><span class="key">${index + 1}</span>${escape(title)}</button>${axes}<span class="note"></span></h2>
${picture.space ? `<div class="spatial"><canvas aria-hidden="true" hidden></canvas>${sheet}</div>` : sheet}
<div class="more" hidden><p class="help">${escape(help)}${picture.space ? ' <span class="drawn"></span>' : ''}</p>${looking}<div class="tools" role="group" aria-label="Keep this picture"><button type="button" class="quiet" data-save="svg">Save as SVG</button><button type="button" class="quiet" data-save="png">Save as PNG</button></div><div class="numbers"></div></div></figure>`;
}
/** Pictures in view, for tests and for the clip. @param {ParentNode} host */
export const pictureBoxes = host => all('.picture svg', host);
