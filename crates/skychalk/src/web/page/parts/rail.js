// The rail beside the pictures: which way, the dial, playing, what is said, the numbers at the checkpoints.
import { at } from '../core/flight.js';
import { height, heightUnit, speed, speedUnit, text } from '../core/numbers.js';
import { all, element, escape, find, write } from '../core/markup.js';
import { bankToward, doubt } from '../pictures/shared.js';
import { Dial } from './dial.js';
import { source } from './source.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {{ voice: string, time_s: number, text: string, when: string, warning: string | null }} Said */

const PLAY = '<path d="M5 3l11 7-11 7z"/>', PAUSE = '<path d="M5 3v14M14 3v14"/>';

/** How sure the numbers of an attempt are, 95 %. @param {import('../types').Flight} flight @param {number} clock */
function doubts(flight, clock) {
  const off = (/** @type {keyof import('../types').Columns} */ name) => doubt(flight, name, clock);
  const words = (/** @type {number | null} */ value, /** @type {string} */ unit, decimals = 0) => (value == null ? '' : `attempt, ±${text(value, decimals)}${unit} (95 %)`);
  const [v, h] = [off('speed_kt'), off('height_ft')];
  return [words(off('bank'), '°', 1), words(off('pitch'), '°', 1), words(v == null ? null : speed(v), ` ${speedUnit()}`, 1), words(h == null ? null : height(h), ` ${heightUnit()}`), words(off('load'), ' g', 2)];
}

/** What begins so soon has begun. */
const MOMENT_S = 0.1;

/** Upside down is 180 degrees, whichever way it was rolled. @param {number} bank */
const inverted = bank => (bank < -179.5 ? 180 : bank);

export class Rail {
  /** @param {HTMLElement} host @param {import('./clock.js').Clock} clock @param {{ modes: [string, string][], onMode: (mode: string) => void }} given */
  constructor(host, clock, { modes, onMode }) {
    this.clock = clock;
    /** @type {Said[]} */ this.said = [];
    const sides = modes.length ? `<div class="sides" role="group" aria-label="Which way">${modes.map(([mode, words]) => `<button type="button" data-mode="${mode}" aria-pressed="false">${words}</button>`).join('')}</div>` : '';
    this.box = element(`<aside class="rail" aria-label="Place in the figure"><div class="shelf">${sides}<div class="dial-box"></div>
<div class="play" role="group" aria-label="Play"><button type="button" data-step="-1" title="Checkpoint before (Page Up)">‹<span class="unseen">checkpoint before</span></button><button type="button" class="playing" title="Play in true time (Space)"><svg class="glyph" viewBox="0 0 20 20" aria-hidden="true"></svg><span class="unseen">play</span></button><button type="button" data-step="1" title="Next checkpoint (Page Down)">›<span class="unseen">next checkpoint</span></button><label><select name="rate" aria-label="How fast"><option value="1">true time</option><option value="0.5">half speed</option><option value="0.25">quarter speed</option></select></label></div>
<p class="patter" aria-live="off" tabindex="0" data-source="The patter of this figure in the chosen voice: words of our own, with numbers computed for this airplane and day"></p></div><div class="checks-box"></div><p class="why"></p></aside>`);
    host.append(this.box);
    this.dial = new Dial(find('.dial-box', this.box), clock);
    this.box.addEventListener('click', event => {
      const button = /** @type {HTMLElement} */ (event.target).closest('button');
      if (!button) return;
      if (button.dataset.mode) onMode(button.dataset.mode);
      else if (button.dataset.step) clock.checkpoint(button.dataset.step === '1' ? 1 : -1);
      else if (button.classList.contains('playing')) clock.toggle();
      else if (button.dataset.clock) { clock.stop(); clock.go(Number(button.dataset.clock)); }
    });
    find('[name=rate]', this.box).addEventListener('change', (/** @type {any} */ event) => clock.setRate(Number(event.target.value)));
  }
  /** Plays at half speed; what plays so plays in true time again. */
  half() {
    const rate = find('[name=rate]', this.box);
    rate.value = this.clock.playing && rate.value === '0.5' ? '1' : '0.5';
    this.clock.setRate(Number(rate.value));
    if (!this.clock.playing) this.clock.play();
  }
  /** @param {string} mode @param {string[]} possible */
  setMode(mode, possible) {
    const sides = find('.sides', this.box);
    // What is flown straight ahead has no side to choose.
    if (sides) sides.hidden = possible.length < 2;
    for (const button of all('.sides button', this.box)) {
      button.setAttribute('aria-pressed', String(button.dataset.mode === mode));
      button.disabled = !possible.includes(button.dataset.mode);
    }
  }
  /** @param {Scene} scene @param {Said[]} said */
  setScene(scene, said) {
    this.said = said;
    this.dial.setScene(scene);
    this.dial.box.setAttribute('data-source', `Place in the figure, and time since its begin. ${scene.sources.path}`);
    find('.why', this.box).setAttribute('data-source', scene.sources.hands);
    this.#table(scene);
  }
  /** @param {Scene} scene */
  #table(scene) {
    const lead = scene.flights[0], attempt = scene.flights.find(({ role }) => role === 'attempt');
    // Under the numbers of an attempt stand those of what it is held against; where that is nothing, none.
    const beside = attempt ? scene.flights.find(({ role }) => role === 'reference' || role === 'other') : scene.flights[1];
    /** The way of a part; of both flights where they go different ways. @param {number} part */
    const ways = part => {
      const own = lead.partWays[part] ?? '', others = beside?.partWays[part] ?? own;
      return own === others ? own : `<span class="c-reference">${own}</span> and <span class="muted">${others}</span>`;
    };
    const rows = scene.checks.map(check => {
      const cells = (/** @type {import('../types').Flight} */ flight) => {
        // Half a degree past the last is the last; farther on nothing was flown.
        if (check.clock > flight.total + 0.6) return ['–', '–', '–', '–', '–'];
        const s = at(flight, check.clock), has = flight.has;
        return [has('bank') ? text(inverted(bankToward(scene, flight, s.bank - 360 * Math.round(s.bank / 360)))) : '–', has('pitch') ? text(s.pitch, 0, true) : '–', has('speed_kt') ? text(speed(s.speed_kt)) : '–', text(height(s.height_ft - flight.entryHeight_ft), 0, true), has('load') ? text(s.load, 1) : '–'];
      };
      const other = beside ? cells(beside) : null;
      const sure = attempt ? doubts(attempt, check.clock) : [];
      const [upper, lower] = attempt ? ['c-attempt', beside?.role === 'other' ? 'muted' : 'c-reference'] : ['c-reference', 'muted'];
      const both = cells(attempt ?? lead).map((cell, i) => (other ? `<span class="${upper}">${cell}</span><span class="unseen"> and </span><span class="${lower}">${other[i]}</span>` : cell));
      const head = scene.parts > 1 && check.progress === 0 ? `<tr class="part"><th colspan="6" scope="rowgroup">part ${check.part + 1}, ${ways(check.part)}</th></tr>` : '';
      return `${head}<tr data-clock="${check.clock}"><th scope="row"><button type="button" data-clock="${check.clock}">${escape(check.label)}</button></th>${both.map((cell, i) => `<td${sure[i] ? source(sure[i]) : ''}>${cell}</td>`).join('')}</tr>`;
    });
    const says = ['Bank toward the side that the figure begins to; minus is the other way', 'Pitch, up positive', scene.sources.speed, 'Height above the entry', 'Lift over weight'];
    const head = [['bank', '°'], ['pitch', '°'], ['speed', speedUnit()], ['height', heightUnit()], ['load', 'g']].map(([name, unit], i) => `<th scope="col"${source(says[i])}>${name}<br>${unit}</th>`).join('');
    /** Of a loop the way pulled round, which is not where the nose stands: that has a column of its own. @type {Record<string, string>} */
    const words = { position: 'round', pitch: 'pulled round', roll: 'rolled', 'pitch-and-roll': 'travelled' };
    const first = words[scene.progress] ?? scene.progress;
    find('.checks-box', this.box).innerHTML = `<table class="checks${scene.checks.length > 6 ? ' many' : ''}${beside ? ' two' : ''}${scene.progress === 'phase' ? ' wordy' : ''}"${source(scene.sources.path)}><caption class="unseen">Numbers at the checkpoints; choosing one goes there</caption><thead><tr><th scope="col">${first}${beside ? `<br><span class="${attempt ? 'c-attempt' : 'c-reference'}">${attempt ? 'attempt' : lead.side}</span><br><span class="${beside.role === 'reference' && attempt ? 'c-reference' : 'muted'}">${!attempt ? beside.side : beside.role === 'reference' ? 'reference' : 'the other'}</span>` : ''}</th>${head}</tr></thead><tbody>${rows.join('')}</tbody></table>`;
    this.rows = all('tbody tr[data-clock]', this.box);
  }
  /** @param {Scene} scene @param {number} clock @param {string} why */
  setClock(scene, clock, why) {
    this.dial.setClock(scene, clock);
    const tolerance = Math.max(0.6, scene.span / 120);
    for (const row of this.rows ?? []) row.classList.toggle('here', Math.abs(Number(row.dataset.clock) - clock) < tolerance);
    // A whole degree in an address falls a moment short of its checkpoint.
    const time = at(scene.flights[0], clock).time_s + MOMENT_S, atEnd = clock >= this.clock.total - 1e-6;
    const line = [...this.said].reverse().find(said => said.when === 'after' ? atEnd : said.time_s <= time + 1e-6);
    const patter = find('.patter', this.box);
    if (patter.textContent !== (line?.text ?? '')) patter.textContent = line?.text ?? '';
    write(find('.why', this.box), why);
    find('.playing', this.box).setAttribute('aria-label', this.clock.playing ? 'stop' : 'play');
    write(find('.playing svg', this.box), this.clock.playing ? PAUSE : PLAY);
  }
}
