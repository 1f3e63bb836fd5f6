// What the user did, to be taken back and done again: choices, corrections, edits, in one list. Each kind of thing that can change is
// registered once with how it is put; an entry holds what it was and what it became.

/** @typedef {{ kind: string, words: string, before: unknown, after: unknown, at: number }} Entry */

/** Changes of one thing so close together are one: a slider on its way, ms. */
const ONE_MOVE_MS = 1200;
/** Entries that are kept. */
const ENTRIES_MOST = 200;

class History {
  constructor() {
    /** @type {Entry[]} */ this.done = [];
    /** @type {Entry[]} */ this.undone = [];
    /** @type {Map<string, (value: any) => void>} */ this.puts = new Map();
    /** @type {() => void} */ this.changed = () => {};
    this.putting = false;
  }
  /** @param {string} kind @param {(value: any) => void} put */
  register(kind, put) { this.puts.set(kind, put); }
  /** @param {string} kind @param {string} words what was done @param {unknown} before @param {unknown} after */
  note(kind, words, before, after) {
    const same = JSON.stringify(before) === JSON.stringify(after);
    if (this.putting || same) return;
    const last = this.done[this.done.length - 1], now = performance.now();
    if (last && !this.undone.length && last.kind === kind && last.words === words && now - last.at < ONE_MOVE_MS) Object.assign(last, { after: structuredClone(after), at: now });
    else this.done.push({ kind, words, before: structuredClone(before), after: structuredClone(after), at: now });
    this.done.splice(0, this.done.length - ENTRIES_MOST);
    this.undone = [];
    this.changed();
  }
  undo() { return this.#step(this.done, this.undone, 'before'); }
  redo() { return this.#step(this.undone, this.done, 'after'); }
  /** @param {Entry[]} from @param {Entry[]} to @param {'before' | 'after'} which @returns {Entry | null} */
  #step(from, to, which) {
    const entry = from.pop();
    if (!entry) return null;
    to.push({ ...entry, at: -Infinity });
    this.putting = true;
    try { this.puts.get(entry.kind)?.(structuredClone(entry[which])); } finally { this.putting = false; }
    this.changed();
    return entry;
  }
  /** What the next undo and the next redo would do. */
  get next() { return { undo: this.done[this.done.length - 1]?.words ?? null, redo: this.undone[this.undone.length - 1]?.words ?? null }; }
}
/** The one history of the page. */
export const history = new History();
