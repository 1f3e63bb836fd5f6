// Airplanes that the user edited or brought: kept in this tab, and told to the program, which names each by its content.
import { ask, askJson, onLost } from './api.js';
import { history } from './history.js';

/** @typedef {{ id: string, name: string, of: string, text: string }} Copy */
const PLACE = 'skychalk.copies';

/** @type {any[]} */
let airplanes = [];
/** @type {Copy[]} */
let copies = [];
/** @type {(() => void)[]} */
const listeners = [];
/** @param {() => void} heard */
export const onCopies = heard => { listeners.push(heard); };
export const copiesNow = () => copies;
/** @param {string} id */
export const copyOf = id => copies.find(one => one.id === id) ?? null;

/** Tells the program of a copy. @param {string} text @returns {Promise<any>} its sheet */
const tell = text => askJson('api/airplane/copy', { method: 'POST', body: text });

/** @param {Copy[]} list */
async function put(list) {
  copies = list;
  try { sessionStorage.setItem(PLACE, JSON.stringify(copies)); } catch { /* A browser that keeps nothing still shows everything. */ }
  for (let i = airplanes.length - 1; i >= 0; i--) if (airplanes[i].copy && !copyOf(airplanes[i].id)) airplanes.splice(i, 1);
  for (const copy of copies) {
    if (airplanes.some(({ id }) => id === copy.id)) continue;
    try {
      const sheet = await tell(copy.text);
      airplanes.push({ ...sheet.airplane, id: copy.id, name: copy.name, copy: true, of: copy.of });
    } catch { /* A copy that the program refuses now is not offered. */ }
  }
  for (const heard of listeners) heard();
}

/** @param {any[]} list the airplanes of the page: copies are added at its end */
export async function startCopies(list) {
  airplanes = list;
  history.register('copies', value => put(value));
  onLost(async id => { const copy = copyOf(id); return copy !== null && (await tell(copy.text)).airplane.id === id; });
  /** @type {Copy[]} */
  let found = [];
  try { found = JSON.parse(sessionStorage.getItem(PLACE) ?? '[]'); } catch { /* Nothing kept. */ }
  if (found.length) await put(found);
}

/** The airplane file with another name. @param {string} text @param {string} name */
export const renamed = (text, name) => text.replace(/^name\s*=.*$/m, () => `name = ${JSON.stringify(name)}`);

/** Keeps a copy. @param {string} text of the airplane file @param {string} of key of the airplane it was made of @returns {Promise<{ copy: Copy, sheet: any }>} */
export async function addCopy(text, of) {
  const sheet = await tell(text), { id, name } = sheet.airplane, copy = { id, name, of, text }, before = copies;
  const after = [...copies.filter(one => one.id !== id), copy];
  await put(after);
  history.note('copies', `airplane ${name}`, before, after);
  return { copy, sheet };
}
/** @param {string} id */
export async function removeCopy(id) {
  const before = copies, gone = copyOf(id);
  if (!gone) return;
  const after = copies.filter(one => one.id !== id);
  await put(after);
  history.note('copies', `put away ${gone.name}`, before, after);
}
/** The file of an airplane, copies too. @param {string} id */
export const airplaneText = async id => copyOf(id)?.text ?? (await (await ask(`api/airplane/file?airplane=${encodeURIComponent(id)}`)).text());
