// Where a number comes from, and how sure it is: a small note beside the number under the pointer or the focus.
//
// A box says it with `data-source`; every number inside has that source, unless it, its row or the head of its column says more. A table of
// numbers is one stop of the tabulator: the arrow keys lead from number to number inside it.
import { all, element, escape } from '../core/markup.js';
import { withTitles } from '../core/words.js';

/** Boxes whose own text is a number of its own. */
const NUMBERS = 'td, output, text, .measured, .number, .limit-item, .word[data-slider], [data-source] > li, .why, input[data-source]';
const DIGIT = /\d/;
/** The note goes away so long after the pointer left, so that the pointer can reach it, ms. */
const STAYS_MS = 180;

/** @param {Element} box @returns {string[]} what is said of a number, nearest first */
export function sourcesOf(box) {
  const out = /** @type {string[]} */ ([]), cell = /** @type {HTMLTableCellElement | null} */ (box.closest('td, th'));
  /** @param {Element | null | undefined} one */
  const take = one => { const words = one?.getAttribute('data-source'); if (words && !out.includes(words)) out.push(words); };
  for (let at = /** @type {Element | null} */ (box); at; at = at.parentElement) {
    take(at);
    if (at === cell) {
      const table = at.closest('table'), head = table?.tHead?.rows[table.tHead.rows.length - 1]?.cells[cell.cellIndex];
      take(head);
    }
    // What a table says holds for its numbers, and no box around it says it better.
    if (out.length && (at.tagName === 'TABLE' || at.matches('[data-source-end]'))) break;
  }
  return out;
}
/** @param {Element | null} target @returns {Element | null} */
function numberAt(target) {
  const box = target?.closest?.(`${NUMBERS}, [data-source][tabindex]`) ?? null;
  return box && DIGIT.test(box instanceof HTMLInputElement ? box.value : box.textContent ?? '') && sourcesOf(box).length ? box : null;
}

class SourceNote {
  constructor() {
    this.box = element('<div id="source-note" role="tooltip" hidden></div>');
    document.body.append(this.box);
    /** @type {Element | null} */ this.shown = null;
    this.timer = 0;
    this.byFocus = false;
    addEventListener('pointerover', event => {
      if (this.box.contains(/** @type {Node} */ (event.target))) return clearTimeout(this.timer);
      const box = numberAt(/** @type {Element} */ (event.target));
      if (box) { this.byFocus = false; this.show(box); } else this.#leave();
    });
    addEventListener('focusin', event => {
      const target = /** @type {Element} */ (event.target), box = numberAt(target);
      if (box && target.matches(':focus-visible')) { this.show(box); this.byFocus = true; } else if (this.byFocus) this.hide();
    });
    addEventListener('keydown', event => this.#key(event), true);
    addEventListener('scroll', () => this.hide(), { capture: true, passive: true });
  }
  #leave() { clearTimeout(this.timer); if (!this.byFocus) this.timer = setTimeout(() => this.hide(), STAYS_MS); }
  /** @param {Element} box */
  show(box) {
    clearTimeout(this.timer);
    if (box === this.shown) return;
    this.hide();
    this.shown = box;
    this.box.innerHTML = sourcesOf(box).map(words => `<p>${escape(withTitles(words))}</p>`).join('');
    this.box.hidden = false;
    box.setAttribute('aria-describedby', 'source-note');
    const at = box.getBoundingClientRect(), own = this.box.getBoundingClientRect();
    const left = Math.max(8, Math.min(at.left, innerWidth - own.width - 8)), below = at.bottom + 6;
    const top = below + own.height > innerHeight - 8 ? Math.max(8, at.top - own.height - 6) : below;
    // No style in the markup: the policy of the page takes none. A property set by script is none of that.
    this.box.style.left = `${left}px`;
    this.box.style.top = `${top}px`;
  }
  hide() {
    if (!this.shown) return;
    this.shown.removeAttribute('aria-describedby');
    this.shown = null;
    this.byFocus = false;
    this.box.hidden = true;
  }
  /** @param {KeyboardEvent} event */
  #key(event) {
    if (event.key === 'Escape' && this.shown) { this.hide(); event.stopPropagation(); return; }
    const target = /** @type {HTMLElement} */ (event.target), table = target.closest?.('table[data-source]');
    const ways = /** @type {Record<string, [number, number]>} */ ({ ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowDown: [1, 0], ArrowUp: [-1, 0] });
    const way = ways[event.key];
    if (!table || !way || event.ctrlKey || event.altKey || !(target === table || target.tagName === 'TD')) return;
    const rows = all('tbody tr', table).map(row => all('td', row)).filter(row => row.length);
    let [r, c] = [-1, -1];
    rows.forEach((row, i) => { const j = row.indexOf(target); if (j >= 0) [r, c] = [i, j]; });
    const to = r < 0 ? rows[0]?.[0] : rows[Math.max(0, Math.min(rows.length - 1, r + way[0]))]?.[Math.max(0, c + way[1])];
    event.preventDefault();
    event.stopPropagation();
    if (!to) return;
    if (r >= 0) target.tabIndex = -1;
    to.tabIndex = 0;
    to.focus();
  }
}

/** Lets every table of numbers with a source be reached by the tabulator, by its first number. @param {ParentNode} host */
export function reachable(host) {
  for (const table of all('table[data-source]', host)) {
    if (table.querySelector('td[tabindex="0"]')) continue;
    const first = all('tbody td', table).find(cell => DIGIT.test(cell.textContent));
    if (first) first.tabIndex = 0;
  }
}
/** Watches the page for tables that come and go. */
export function watchSources() {
  new SourceNote();
  let waiting = false;
  new MutationObserver(() => {
    if (waiting) return;
    waiting = true;
    setTimeout(() => { waiting = false; reachable(document); }, 120);
  }).observe(document.body, { childList: true, subtree: true });
}
/** Where a block of the airplane file has its figures from. @param {any} plane @param {string} block */
export function blockSource(plane, block) {
  const found = (plane.sources ?? []).filter((/** @type {any} */ one) => one.block === block || one.block.startsWith(`${block}.`) || one.block.startsWith(`${block}[`) || one.block.startsWith(`${block} `));
  return found.length ? `Airplane file, block ${block}: ${[...new Set(found.map((/** @type {any} */ one) => one.source))].join('; ')}` : `Airplane file, block ${block}; its source is not stated`;
}

/** @param {string} words */
export const source = words => ` data-source="${escape(words)}"`;
/** A number in running text that can be asked for its source. @param {string} markup @param {string} words */
export const number = (markup, words) => `<span class="number" tabindex="0"${source(words)}>${markup}</span>`;
