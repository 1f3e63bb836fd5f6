// Correcting the attempts found: another name, direction, other limits, no maneuver at all, one that was missed. What is said is kept as
// the file of corrections that the command line takes too.
import { element, escape, find } from '../core/markup.js';
import { text } from '../core/numbers.js';
import { maneuverTitle } from '../core/words.js';

/** @typedef {{ at_s: number, maneuver?: string, direction?: string, start_s?: number, end_s?: number, none?: boolean, missed?: boolean }} Correction */

/** An attempt belongs to a moment this close to it, s: as the program has it. */
const NEAR_S = 3;

/** @param {number} seconds */
const written = seconds => `"${Number(seconds.toFixed(2))} s"`;

/** The file of corrections. @param {Correction[]} list @param {string} of name of the recording */
export function correctionsText(list, of) {
  const one = (/** @type {Correction} */ c) => ['[[correction]]', `at = ${written(c.at_s)}`, ...(c.none ? ['not_a_maneuver = true'] : []),
    ...(c.maneuver ? [`maneuver = ${JSON.stringify(c.maneuver)}`] : []), ...(c.direction ? [`direction = ${JSON.stringify(c.direction)}`] : []),
    ...(c.start_s == null ? [] : [`start = ${written(c.start_s)}`]), ...(c.end_s == null ? [] : [`end = ${written(c.end_s)}`])].join('\n');
  return `# Corrections of the attempts found in ${of.replace(/[\r\n]/g, ' ')}\n\n${list.map(one).join('\n\n')}\n`;
}

/** Out of a file that the program took. @param {string} file @returns {Correction[]} */
export function correctionsOf(file) {
  const per = /** @type {Record<string, number>} */ ({ s: 1, min: 60, h: 3600 });
  const seconds = (/** @type {string} */ value) => { const found = /^([-+.\deE]+)\s*(s|min|h)$/.exec(value); return found ? Number(found[1]) * per[found[2]] : NaN; };
  return file.split(/^\s*\[\[correction\]\]\s*(?:#.*)?$/m).slice(1).map(block => {
    /** @type {any} */
    const out = {};
    for (const line of block.split('\n')) {
      const [, key, quoted, bare] = /^\s*(\w+)\s*=\s*(?:"([^"]*)"|'?([\w.-]+)'?)/.exec(line) ?? [];
      const value = quoted ?? bare;
      if (key === 'at' || key === 'start' || key === 'end') out[`${key}_s`] = seconds(value);
      else if (key === 'maneuver' || key === 'direction') out[key] = value;
      else if (key === 'not_a_maneuver') out.none = value === 'true';
    }
    return out;
  }).filter(({ at_s }) => Number.isFinite(at_s));
}

/** With one more thing said of an attempt; what was said of it before and is not said anew stays. @param {Correction[]} list @param {{ start_s: number, end_s: number } | null} attempt as it is now @param {Omit<Correction, 'at_s'>} says */
export function withCorrection(list, attempt, says) {
  const [start_s, end_s] = attempt ? [attempt.start_s, attempt.end_s] : [Infinity, -Infinity], within = (/** @type {Correction} */ c) => c.at_s >= start_s - NEAR_S && c.at_s <= end_s + NEAR_S;
  // Limits that were told before may have left the moment outside by which the attempt was told.
  const near = (/** @type {number | undefined} */ told, /** @type {number} */ is) => told == null || Math.abs(told - is) < NEAR_S;
  const limits = (/** @type {Correction} */ c) => (c.start_s != null || c.end_s != null) && near(c.start_s, start_s) && near(c.end_s, end_s);
  const here = (/** @type {Correction} */ c) => attempt !== null && (within(c) || limits(c));
  const before = list.find(here), rest = list.filter(c => c !== before);
  const at_s = before?.at_s ?? (attempt ? (attempt.start_s + attempt.end_s) / 2 : ((says.start_s ?? 0) + (says.end_s ?? 0)) / 2);
  // One that was missed and is put away again needs no line.
  if (says.none && before?.maneuver && before.start_s != null && before.end_s != null && before.missed) return rest;
  return [...rest, says.none ? { at_s, none: true } : { ...before, none: undefined, at_s, ...says }].sort((a, b) => a.at_s - b.at_s);
}
/** In words. @param {Correction} c */
export const correctionWords = c => (c.none ? `at ${text(c.at_s)} s: no maneuver` : `at ${text(c.at_s)} s: ${[c.maneuver && maneuverTitle(c.maneuver), c.direction, c.start_s != null && `from ${text(c.start_s, 1)} s`, c.end_s != null && `to ${text(c.end_s, 1)} s`].filter(Boolean).join(', ')}`);

/** @typedef {{ maneuvers: any[], say: (says: any, words: string) => void, add: (says: any) => void, drop: (index: number) => void, save: () => void, load: (file: File) => void, place: () => number }} Ways */

export class Correct {
  /** @param {HTMLElement} host @param {Ways} ways */
  constructor(host, ways) {
    this.ways = ways;
    /** @type {any} */ this.attempt = null;
    /** @type {Correction[]} */ this.list = [];
    this.shown = false;
    const options = ways.maneuvers.map(({ id, title }) => `<option value="${escape(id)}">${escape(title)}</option>`).join('');
    const limit = (/** @type {string} */ name, /** @type {string} */ words) => `<label>${words}, s from the first sample<input name="${name}" type="number" step="0.1" min="0" size="8"></label><button type="button" class="quiet" data-here="${name}">${words} at the dial</button>`;
    this.box = element(`<details class="sheet-part correct"><summary>Correct this attempt</summary><div><form autocomplete="off"><label>it was<select name="maneuver">${options}</select></label><label>to the<select name="direction"><option value="">as found</option><option value="left">left</option><option value="right">right</option></select></label>${limit('start', 'begun')}${limit('end', 'finished')}<button class="quiet" name="take">Measure again</button><button type="button" class="quiet" data-none>It was no maneuver</button><button type="button" class="quiet" data-missed>One was missed: add it with this name and these limits</button></form><div class="said"></div><p class="tools"><button type="button" class="quiet" data-save>Save the corrections</button><label class="quiet">Open corrections<input type="file" name="corrections-file" class="unseen" accept=".toml,text/plain"></label></p><p class="source">Corrections are kept in this browser for this recording. A saved file can be opened here again, or given to the program elsewhere.</p></div></details>`);
    host.append(this.box);
    this.form = find('form', this.box);
    this.form.addEventListener('submit', (/** @type {Event} */ event) => { event.preventDefault(); this.#take(); });
    this.box.addEventListener('click', event => this.#click(/** @type {HTMLElement} */ (event.target)));
    this.box.addEventListener('change', event => { const field = /** @type {HTMLInputElement} */ (event.target); if (field.name === 'corrections-file' && field.files?.[0]) { ways.load(field.files[0]); field.value = ''; } });
  }
  /** @param {string} name */
  #field(name) { return find(`[name="${name}"]`, this.box); }
  #take() {
    const { attempt } = this, changed = (/** @type {string} */ name, /** @type {number} */ was) => { const value = Number(this.#field(name).value); return this.#field(name).value !== '' && value !== Number(was.toFixed(1)) ? value : undefined; };
    if (!attempt) return;
    const maneuver = this.#field('maneuver').value, direction = this.#field('direction').value;
    const says = Object.fromEntries(Object.entries({ maneuver: maneuver === attempt.maneuver ? undefined : maneuver, direction: direction || undefined, start_s: changed('start', attempt.start_s), end_s: changed('end', attempt.end_s) }).filter(([, value]) => value !== undefined));
    if (Object.keys(says).length) this.ways.say(says, correctionWords({ at_s: (attempt.start_s + attempt.end_s) / 2, .../** @type {any} */ (says) }));
  }
  /** @param {HTMLElement} target */
  #click(target) {
    const button = target.closest('button');
    if (!button) return;
    if (button.dataset.here) this.#field(button.dataset.here).value = this.ways.place().toFixed(1);
    else if (button.dataset.none !== undefined && this.attempt) this.ways.say({ none: true }, `at ${text((this.attempt.start_s + this.attempt.end_s) / 2)} s: no maneuver`);
    else if (button.dataset.missed !== undefined) this.ways.add({ maneuver: this.#field('maneuver').value, ...(this.#field('direction').value ? { direction: this.#field('direction').value } : {}), start_s: Number(this.#field('start').value), end_s: Number(this.#field('end').value) });
    else if (button.dataset.drop) this.ways.drop(Number(button.dataset.drop));
    else if (button.dataset.save !== undefined) this.ways.save();
  }
  /** @param {any} attempt the opened one, or null @param {Correction[]} list */
  show(attempt, list) {
    // What is typed stays while the pictures beside it are drawn anew.
    if (this.shown && this.attempt === attempt && this.list === list) return;
    [this.attempt, this.list, this.shown] = [attempt, list, true];
    if (attempt) {
      this.#field('maneuver').value = attempt.maneuver;
      this.#field('direction').value = '';
      this.#field('start').value = attempt.start_s.toFixed(1);
      this.#field('end').value = attempt.end_s.toFixed(1);
    }
    for (const button of [this.#field('take'), find('[data-none]', this.box)]) button.disabled = !attempt;
    find('summary', this.box).textContent = `${attempt ? 'Correct this attempt' : 'Correct what was found'}${list.length ? ` (${list.length} corrected)` : ''}`;
    find('.said', this.box).innerHTML = `${list.length ? `<ul>${list.map((c, i) => `<li>${escape(correctionWords(c))} <button type="button" class="quiet" data-drop="${i}">as found again<span class="unseen">: ${escape(correctionWords(c))}</span></button></li>`).join('')}</ul>` : ''}`;
    find('[data-save]', this.box).disabled = !list.length;
  }
}
