// An airplane from the figures of its flight manual: a form of the program's own questions; what comes of it, faults beside their fields.
import { askJson } from '../core/api.js';
import { addCopy } from '../core/copies.js';
import { history } from '../core/history.js';
import { all, escape, find } from '../core/markup.js';
import { fittedTables } from '../parts/checks.js';
import { saveBlob } from '../parts/save.js';

const PLACE = 'skychalk.figures';
/** Titles of the blocks of the file. @type {Record<string, string>} */
const BLOCKS = { '': 'The airplane', layout: 'Layout', mass: 'Masses', wing: 'Wing', engine: 'Engine', propeller: 'Propeller', speeds: 'Speeds', stall: 'Stall speeds', climb: 'Climb, rows of the table', cruise: 'Cruise, rows of the table', category: 'Categories and limits' };
/** Rows that a table of the form has at first. */
const ROWS = /** @type {Record<string, number>} */ ({ stall: 1, climb: 2, cruise: 2, category: 1 });

/** @typedef {{ block: string, repeated: boolean, key: string, words: string, help: string, kind: string, choices: string[], example: string | null, needed: boolean }} Question */
/** Answers: blocks of the head by key, tables as rows. @typedef {Record<string, Record<string, string>[]>} Answers */

/** An answer as the file writes it. @param {Question} question @param {string} answer */
function value({ kind }, answer) {
  if (kind === 'number') return answer;
  if (kind === 'list') return `[${answer.split(',').map(word => word.trim()).filter(word => word && word !== 'none').map(word => JSON.stringify(word)).join(', ')}]`;
  return JSON.stringify(answer);
}

/** The file of figures, and which field wrote each line. @param {Question[]} questions @param {Answers} answers */
export function figuresText(questions, answers) {
  const lines = ['# Figures of a flight manual, from the form. Training aid, not approved data: the flight manual decides.'], fields = /** @type {Record<number, { block: string, row: number, key: string }>} */ ({});
  for (const block of [...new Set(questions.map(question => question.block))]) {
    const own = questions.filter(question => question.block === block);
    (answers[block] ?? []).forEach((row, i) => {
      const told = own.filter(({ key, kind }) => (row[key] ?? '').trim() !== '' || (own[0].repeated && kind === 'list'));
      if (!own.some(({ key }) => (row[key] ?? '').trim() !== '')) return;
      if (block) { lines.push('', own[0].repeated ? `[[${block}]]` : `[${block}]`); fields[lines.length] = { block, row: i, key: own[0].key }; }
      for (const question of told) {
        lines.push(`${question.key} = ${value(question, (row[question.key] ?? '').trim())}`);
        fields[lines.length] = { block, row: i, key: question.key };
      }
    });
  }
  return { text: `${lines.join('\n')}\n`, fields };
}

export class Build {
  /** @param {HTMLElement} host @param {(id: string) => void} use */
  constructor(host, use) {
    this.host = host;
    this.use = use;
    /** @type {Question[]} */ this.questions = [];
    /** @type {Answers} */ this.answers = {};
    history.register('figures', value => {
      this.answers = value;
      this.#keep();
      if (find('form.build', this.host) && location.hash.includes('airplane=new')) this.#draw();
      else location.hash = '#airplanes?airplane=new';
    });
  }
  async open() {
    this.host.innerHTML = '<h1>An airplane from its flight manual</h1><p class="state">asking for the questions</p>';
    if (!this.questions.length) this.questions = (await askJson('api/airplane/questions')).questions;
    try { this.answers = JSON.parse(sessionStorage.getItem(PLACE) ?? '{}'); } catch { this.answers = {}; }
    for (const { block, repeated } of this.questions) this.answers[block] ??= Array.from({ length: repeated ? ROWS[block] ?? 1 : 1 }, () => ({}));
    this.#draw();
  }
  #keep() { try { sessionStorage.setItem(PLACE, JSON.stringify(this.answers)); } catch { /* Not kept. */ } }
  /** @param {Question} question @param {number} row */
  #field(question, row) {
    const { block, key, words, help, kind, choices, example, needed } = question, id = `f-${block}-${row}-${key}`, told = this.answers[block]?.[row]?.[key] ?? '';
    const short = words.replace(/^[A-Z][a-z]+: /, ''), label = `<label for="${id}">${escape(short)}${needed ? ' <span class="muted">(needed)</span>' : ''}</label>`;
    const data = `id="${id}" data-block="${escape(block)}" data-row="${row}" data-key="${escape(key)}" aria-describedby="${id}-h"`;
    const field = kind === 'choice' ? `<select class="field" ${data}><option value=""></option>${choices.map(word => `<option${word === told ? ' selected' : ''}>${escape(word)}</option>`).join('')}</select>` : `<input class="field" ${data} value="${escape(told)}" placeholder="${escape((example ?? '').replace(/^(.*?)(,| or ).*$/, '$1'))}"${kind === 'number' ? ' inputmode="decimal"' : ''}>`;
    return `<div class="ask">${label}${field}<span class="source" id="${id}-h">${escape(help)}</span></div>`;
  }
  #draw() {
    const blocks = [...new Set(this.questions.map(({ block }) => block))];
    const one = (/** @type {string} */ block) => {
      const own = this.questions.filter(question => question.block === block), rows = this.answers[block] ?? [{}];
      const body = rows.map((_, i) => `<div class="row"${own[0].repeated ? ` role="group" aria-label="${escape(BLOCKS[block] ?? block)}, row ${i + 1}"` : ''}>${own.map(question => this.#field(question, i)).join('')}</div>`).join('');
      return `<fieldset><legend>${escape(BLOCKS[block] ?? block)}</legend>${body}${own[0].repeated ? `<button type="button" class="quiet" data-more="${escape(block)}">one more row</button>` : ''}</fieldset>`;
    };
    this.host.innerHTML = `<h1>An airplane from its flight manual</h1><p>What the manual states is enough: leave blank what is not known. Quantities carry their unit. From these figures the program fits the airplane, tells how sure it is of it, and which figures do not go together. Training aid, not approved data: the flight manual decides.</p>
<form class="build" autocomplete="off" novalidate>${blocks.map(one).join('')}<p class="tools"><button class="quiet" name="build">Make the airplane</button><button type="button" class="quiet" data-do="save">Save the figures</button><label class="quiet">Open figures<input type="file" class="unseen" name="figures-file" accept=".toml,text/plain"></label><button type="button" class="quiet" data-do="clear">Begin anew</button></p></form><div class="built" role="status"></div>`;
    const form = find('form', this.host);
    form.addEventListener('submit', (/** @type {Event} */ event) => { event.preventDefault(); if (this.#complete()) this.#make(figuresText(this.questions, this.answers)); });
    form.addEventListener('change', (/** @type {any} */ event) => this.#changed(event.target));
    form.addEventListener('click', (/** @type {any} */ event) => this.#click(event.target.closest('button')));
  }
  /** Whether what the program cannot do without is there; else the fields say so, by the words they have here. */
  #complete() {
    const lacking = this.questions.filter(({ block, key, needed, repeated }) => needed && !repeated && !(this.answers[block]?.[0]?.[key] ?? '').trim());
    if (!lacking.length) return true;
    const fields = lacking.map(({ block, key }) => find(`#${CSS.escape(`f-${block}-0-${key}`)}`, this.host)).filter(Boolean);
    for (const field of fields) field.setAttribute('aria-invalid', 'true');
    find('.built', this.host).innerHTML = `<p class="state wrong"><b>Still needed: ${escape(lacking.map(({ words }) => words.replace(/^[A-Z][a-z]+: /, '')).join('; '))}</b>\nEverything else may stay blank.</p>`;
    fields[0]?.focus();
    return false;
  }
  /** @param {any} field */
  async #changed(field) {
    if (field.name === 'figures-file') { const text = await field.files[0]?.text(); field.value = ''; if (text) this.#make({ text, fields: {} }); return; }
    const { block, row, key } = field.dataset;
    if (key === undefined) return;
    const before = structuredClone(this.answers);
    this.answers[block][Number(row)] = { ...this.answers[block][Number(row)], [key]: field.value };
    field.removeAttribute('aria-invalid');
    this.#keep();
    history.note('figures', `figure ${key.replaceAll('_', ' ')}`, before, this.answers);
  }
  /** @param {HTMLButtonElement | null} button */
  #click(button) {
    const { more, do: act } = button?.dataset ?? {}, before = structuredClone(this.answers);
    if (more) { this.answers[more].push({}); history.note('figures', 'one more row', before, this.answers); this.#draw(); all(`[data-block="${more}"]`, this.host).find(field => field.dataset.row === String(this.answers[more].length - 1))?.focus(); }
    if (act === 'save') saveBlob(new Blob([figuresText(this.questions, this.answers).text], { type: 'text/plain' }), `${this.answers['']?.[0]?.id || 'airplane'}-figures.toml`);
    if (act === 'clear') { this.answers = {}; this.#keep(); void this.open().then(() => history.note('figures', 'begin anew', before, this.answers)); }
    if (more) this.#keep();
  }
  /** @param {{ text: string, fields: Record<number, { block: string, row: number, key: string }> }} figures */
  async #make({ text, fields }) {
    const box = find('.built', this.host);
    for (const field of all('[aria-invalid]', this.host)) field.removeAttribute('aria-invalid');
    box.innerHTML = '<p class="state">fitting the airplane to its figures</p>';
    try {
      const build = await askJson('api/airplane/build', { method: 'POST', body: text });
      this.#built(box, build);
    } catch (error) {
      this.#refused(box, error, fields);
    }
  }
  /** @param {HTMLElement} box @param {any} build */
  #built(box, build) {
    box.innerHTML = `<h2>${escape(build.name)}</h2><p class="source">Figures: ${escape(build.source)}</p><p class="tools"><button type="button" class="quiet" data-do="use">Use on the Board</button><button type="button" class="quiet" data-do="file">Save the airplane file</button></p><p class="state" role="status"></p>${fittedTables(build)}`;
    find('[data-do=use]', box).addEventListener('click', async () => {
      try {
        const { copy } = await addCopy(build.airplane_file, build.id);
        this.use(copy.id);
      } catch (error) {
        find('.state', box).className = 'state wrong';
        find('.state', box).textContent = `${/** @type {Error} */ (error).message} ${/** @type {any} */ (error).hint ?? ''}`;
      }
    });
    find('[data-do=file]', box).addEventListener('click', () => saveBlob(new Blob([build.airplane_file], { type: 'text/plain' }), `${build.id}.toml`));
    find('h2', box).scrollIntoView({ block: 'nearest' });
  }
  /** Faults stand beside the fields whose lines they are of. @param {HTMLElement} box @param {any} error @param {Record<number, { block: string, row: number, key: string }>} fields */
  #refused(box, error, fields) {
    const marked = [...String(error.message).matchAll(/line (\d+)/g)].flatMap(([, line]) => fields[Number(line)] ?? []);
    const boxes = marked.map(({ block, row, key }) => all('[data-key]', this.host).find(field => field.dataset.block === block && field.dataset.row === String(row) && field.dataset.key === key)).filter(Boolean);
    for (const field of boxes) field.setAttribute('aria-invalid', 'true');
    box.innerHTML = `<p class="state wrong"><b>${escape(error.message)}</b>\n${escape(error.hint ?? '')}</p>`;
    boxes[0]?.focus();
  }
}
