// A copy of an airplane edited: its figures as fields or as the file, what changes, kept and briefed.
import { askJson, Newest } from '../core/api.js';
import { addCopy, airplaneText, renamed } from '../core/copies.js';
import { changes } from '../core/changes.js';
import { FILE_BLOCKS, figuresOf, withFigure } from '../core/figures.js';
import { history } from '../core/history.js';
import { all, escape, find, table } from '../core/markup.js';
import { maneuverTitle } from '../core/words.js';
import { saveBlob } from '../parts/save.js';
import { blockSource, source } from '../parts/source.js';

/** @typedef {import('../core/figures.js').Figure} Figure */

/** Still this long before an edit is computed, ms. */
const CHECK_AFTER_MS = 350;
/** Figures that are one of a few words. @type {Record<string, string[]>} */
const CHOICES = { 'wing.place': ['high', 'low'], 'propeller.rotation': ['clockwise', 'counterclockwise'], 'propeller.pitch': ['fixed', 'constant-speed'], 'propulsion.power_with_height': ['gagg-ferrar', 'lowry'], 'station.fuel': ['true', 'false'] };

export class Edit {
  /** @param {{ maneuvers: any[] }} known @param {(id: string) => void} use briefs a copy */
  constructor(known, use) {
    this.known = known;
    this.use = use;
    this.newest = new Newest();
    /** The airplane that is edited: its key. */ this.id = '';
    /** The file as edited; nothing: not asked for yet. */ this.text = '';
    this.open = false;
    /** @type {Figure[]} */ this.figures = [];
    /** What each figure was at first: a slip makes no number a word. @type {Record<string, Figure['kind']>} */ this.kinds = {};
    /** Which blocks are open; nothing: as at first. @type {Set<string> | null} */ this.openBlocks = null;
    // Built at `show`.
    /** @type {HTMLElement} */ this.host = /** @type {any} */ (null);
    /** @type {any} */ this.sheet = null;
    /** @type {any} */ this.copy = null;
  }
  /** @param {HTMLElement} host @param {any} sheet of the airplane as it is @param {any} copy where it is one */
  show(host, sheet, copy) {
    const { airplane: plane } = sheet;
    Object.assign(this, { host, sheet, copy });
    if (this.id !== plane.id) Object.assign(this, { id: plane.id, text: '', open: false, openBlocks: null, kinds: {} });
    host.innerHTML = `<details class="sheet-part edit"${this.open ? ' open' : ''}><summary>Edit a copy, see what changes, and brief it</summary><div><p>The airplane itself stays as it is; a copy that is kept is there until this tab is closed: save its file to keep it longer. Quantities carry their unit. An edited figure is yours: hold it against the flight manual.</p>
<div class="beside"><div><form class="build figures" autocomplete="off" novalidate></form><details class="file"><summary>the file itself</summary><label class="unseen" for="copy">airplane file</label><textarea id="copy" class="field" rows="18" cols="90" spellcheck="false"></textarea></details></div>
<div id="changed" role="status" tabindex="0" aria-label="What changes"></div></div>
<p class="tools"><button type="button" class="quiet" id="check">Check and compare</button><label>name of the copy <input class="field" id="copy-name" size="28"></label><button type="button" class="quiet" id="keep-copy">Keep the copy, brief it on the Board</button><button type="button" class="quiet" id="save-copy">Save the file</button></p></div></details>`;
    const details = find('details.edit', host), box = find('#copy', host), name = find('#copy-name', host), form = find('form', host);
    name.value = copy ? plane.name : `${plane.name}, edited`;
    const begin = async () => { if (!this.text) this.text = await airplaneText(plane.id); if (this.id === plane.id && details.isConnected && !box.value) this.#fields(); };
    details.addEventListener('toggle', () => { this.open = details.open; if (details.open) void begin(); });
    if (this.open) void begin();
    box.addEventListener('change', () => this.#edited(box.value, 'the airplane file'));
    form.addEventListener('submit', (/** @type {Event} */ event) => event.preventDefault());
    form.addEventListener('change', (/** @type {any} */ event) => this.#field(event.target));
    // While a figure is typed, what it would change is computed; it is an edit once the field is left.
    form.addEventListener('input', (/** @type {any} */ event) => { const typed = this.#typed(event.target); if (typed) this.#soon(typed.text); });
    form.addEventListener('toggle', (/** @type {any} */ event) => { const block = event.target.dataset?.block; if (block !== undefined) this.openBlocks?.[event.target.open ? 'add' : 'delete'](block); }, true);
    const named = () => renamed(this.text, name.value.trim() || `${plane.name}, edited`);
    find('#check', host).addEventListener('click', () => this.#check(true));
    find('#save-copy', host).addEventListener('click', () => saveBlob(new Blob([named()], { type: 'text/plain' }), `${plane.id}-edited.toml`));
    find('#keep-copy', host).addEventListener('click', async () => {
      try {
        const kept = await addCopy(named(), copy?.of || plane.id);
        this.use(kept.copy.id);
      } catch (error) { this.#refused(error, true); }
    });
  }
  /** A text that was put back. @param {string} text */
  put(text) {
    this.text = text;
    find('details.edit', this.host).open = this.open = true;
    this.#fields();
    this.#soon();
  }
  /** @param {string} text @param {string} words what was edited */
  #edited(text, words) {
    history.note('copy text', words, { id: this.id, text: this.text }, { id: this.id, text });
    this.text = text;
    this.#fields();
    this.#soon();
  }
  /** @param {string} [text] */
  #soon(text) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.#check(false, text), CHECK_AFTER_MS);
  }
  /** The fields as the file has them now; the one that has the focus keeps it. */
  #fields() {
    const form = find('form', this.host), held = form.contains(document.activeElement) ? document.activeElement?.id : null;
    this.figures = figuresOf(this.text).map(figure => ({ ...figure, kind: this.kinds[`${figure.block} ${figure.index} ${figure.key}`] ??= figure.kind }));
    find('#copy', this.host).value = this.text;
    const groups = [...new Map(this.figures.map(({ block, index }) => [`${block} ${index}`, { block, index }])).values()], place = Object.keys(FILE_BLOCKS);
    const order = (/** @type {string} */ block) => (place.includes(block) ? place.indexOf(block) : place.length);
    groups.sort((a, b) => order(a.block) - order(b.block) || a.index - b.index);
    const open = this.openBlocks ??= new Set(groups.filter(({ block }) => FILE_BLOCKS[block]?.open).map(({ block, index }) => `${block} ${index}`));
    form.innerHTML = groups.map(({ block, index }) => {
      const own = this.figures.filter(figure => figure.block === block && figure.index === index && !(block === '' && figure.key === 'id'));
      const name = own.find(({ key }) => key === 'name' && block), id = `${block} ${index}`;
      return own.length ? `<details class="block" data-block="${escape(id)}"${open.has(id) ? ' open' : ''}><summary>${escape(FILE_BLOCKS[block]?.title ?? block.replaceAll('_', ' '))}${name ? `: ${escape(name.value)}` : ''}</summary><div class="row">${own.map(figure => this.#ask(figure)).join('')}</div></details>` : '';
    }).join('');
    if (held) find(`#${CSS.escape(held)}`, form)?.focus();
  }
  /** @param {Figure} figure */
  #ask(figure) {
    const { block, key, words, kind, value, line } = figure, id = `e-${line}`;
    const from = blockSource(this.sheet.airplane, block.split('.')[0]), data = `id="${id}" data-line="${line}"${block && from ? source(`${from}; edited here, it is yours`) : ''}`;
    const choices = CHOICES[`${block}.${key}`];
    if (key === 'approved') {
      const told = value.split(', ').filter(Boolean), all = [...new Set([...this.known.maneuvers.map(({ id }) => id), ...told])];
      return `<fieldset class="ask ticks" ${data} tabindex="-1"><legend>approved maneuvers</legend>${all.map(one => `<label><input type="checkbox" name="approved" data-line="${line}" id="${id}-${escape(one)}" value="${escape(one)}"${told.includes(one) ? ' checked' : ''}>${escape(maneuverTitle(one))}</label>`).join('')}</fieldset>`;
    }
    const options = block === 'approved_entry' && key === 'maneuver' ? this.known.maneuvers.map(({ id: one, title }) => [one, title]) : choices?.map(one => [one, { true: 'yes', false: 'no' }[one] ?? one]);
    const field = options ? `<select class="field" ${data}>${options.map(([one, said]) => `<option value="${escape(one)}"${one === value ? ' selected' : ''}>${escape(said)}</option>`).join('')}</select>` : `<input class="field" ${data} value="${escape(value)}"${kind === 'number' ? ' inputmode="decimal"' : ''}>`;
    return `<div class="ask"><label for="${id}">${escape(words)}</label>${field}</div>`;
  }
  /** The file with what stands in a field. @param {any} field @returns {{ text: string, words: string } | null} */
  #typed(field) {
    const figure = this.figures.find(({ line }) => String(line) === field.dataset.line);
    if (!figure) return null;
    const typed = field.name === 'approved' ? all('[name=approved]', field.closest('fieldset')).filter(one => one.checked).map(one => one.value).join(', ') : field.value;
    return { text: withFigure(this.text, figure, typed), words: `${FILE_BLOCKS[figure.block]?.title ?? figure.block}, ${figure.words}` };
  }
  /** @param {any} field */
  #field(field) {
    const typed = this.#typed(field);
    if (typed) this.#edited(typed.text, typed.words);
  }
  /** @param {any} error @param {boolean} lead whether the faulty field gets the focus */
  #refused(error, lead) {
    const lines = [...String(error.message).matchAll(/line (\d+)/g)].map(([, line]) => Number(line)), fields = lines.map(line => find(`#e-${line}`, this.host)).filter(Boolean);
    const named = this.figures.filter(({ line }) => lines.includes(line)).map(({ block, words }) => `${FILE_BLOCKS[block]?.title ?? block}, ${words}`);
    find('#changed', this.host).innerHTML = `<p class="state wrong"><b>${escape([...new Set(named)].join('; '))}${named.length ? ':\n' : ''}${escape(error.message)}</b>\n${escape(error.hint ?? '')}</p>`;
    for (const field of fields) { field.setAttribute('aria-invalid', 'true'); field.closest('details').open = true; }
    if (lead) (fields[0] ?? find('#changed', this.host)).focus();
  }
  /** @param {boolean} lead whether it was asked for @param {string} [text] what is typed, where that is no edit yet */
  async #check(lead, text) {
    clearTimeout(this.timer);
    const { host, sheet } = this, box = find('#changed', host);
    // An edit whose field was not left yet counts.
    if (lead && find('#copy', host).value !== this.text && find('#copy', host).value) this.#edited(find('#copy', host).value, 'the airplane file');
    clearTimeout(this.timer);
    try {
      const other = await this.newest.take(signal => askJson('api/airplane/check', { method: 'POST', body: text ?? this.text, signal }));
      if (!other || !box.isConnected) return;
      for (const field of all('[aria-invalid]', host)) field.removeAttribute('aria-invalid');
      const rows = changes(sheet, other), groups = [...new Set(rows.map(({ group }) => group))], from = 'Computed from the airplane file, before and after the edit, standard day; speeds indicated';
      const tables = groups.map(group => table(['', 'was', 'is'], rows.filter(row => row.group === group).map(({ what, was, is }) => [escape(what), escape(was), escape(is)]), escape(group), 'plain', from));
      box.innerHTML = rows.length ? `<p>No fault. What changes, ${rows.length} ${rows.length === 1 ? 'figure' : 'figures'}:</p>${tables.join('')}` : '<p>No fault, and no figure changes.</p>';
    } catch (error) { if (/** @type {any} */ (error).name !== 'AbortError' && box.isConnected) this.#refused(error, lead); }
  }
}
