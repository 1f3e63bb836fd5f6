// What the page asks of the program. Errors carry the program's own words: what is wrong, and what to do.

/** Words of the program that stand beside others, with their full stop. @param {string} words */
const stopped = words => words.trim().replace(/[^.?!:]$/, '$&.');

export class Refused extends Error {
  /** @param {string} what @param {string} hint @param {number} status @param {string[]} [recordings] of an archive of several */
  constructor(what, hint, status, recordings = []) {
    super(stopped(what));
    this.hint = stopped(hint);
    this.status = status;
    this.recordings = recordings;
  }
}

/** Tells the program again of an airplane that it does not know any more: it was started anew while this page stayed. @type {(id: string) => Promise<boolean>} */
let tellAgain = async () => false;
/** @param {(id: string) => Promise<boolean>} tell whether it is known now */
export function onLost(tell) { tellAgain = tell; }

/** @param {string} path @param {RequestInit} [how] @param {boolean} [again] @returns {Promise<Response>} */
export async function ask(path, how, again = false) {
  let response;
  try {
    response = await fetch(path, how);
  } catch (error) {
    if (how?.signal?.aborted) throw error;
    throw new Refused('The program does not answer.', 'It was stopped, or this page is older than it: start it again and reload the page.', 0);
  }
  if (response.ok) return response;
  const failure = await response.json().catch(() => null);
  const lost = /^the airplane (copy-\w+) is not known here/.exec(failure?.error ?? '')?.[1];
  if (lost && !again && await tellAgain(lost)) return ask(path, how, true);
  throw new Refused(failure?.error ?? `The program answered ${response.status}.`, failure?.hint ?? 'Try again.', response.status);
}

/** @param {string} path @param {RequestInit} [how] @returns {Promise<any>} */
export const askJson = async (path, how) => (await ask(path, how)).json();

/** Takes the newest question only: an answer to an older one never comes back. */
export class Newest {
  /** @type {AbortController | null} */ #running = null;
  /** @template T @param {(signal: AbortSignal) => Promise<T>} work @returns {Promise<T | null>} null when a newer question was put */
  async take(work) {
    this.#running?.abort();
    const own = this.#running = new AbortController();
    try {
      const answer = await work(own.signal);
      return own === this.#running ? answer : null;
    } catch (error) {
      if (own.signal.aborted) return null;
      throw error;
    }
  }
  stop() { this.#running?.abort(); this.#running = null; }
}
