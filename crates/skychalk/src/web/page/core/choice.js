// What the user chose: in the address (so that it can be sent, and gone back to) and remembered for the next time.

/** @param {string} key @returns {any} */
export function recall(key) {
  try {
    return JSON.parse(localStorage.getItem(`skychalk.${key}`) ?? 'null');
  } catch {
    return null;
  }
}
/** @param {string} key @param {unknown} value */
export function remember(key, value) {
  try {
    localStorage.setItem(`skychalk.${key}`, JSON.stringify(value));
  } catch {
    // A browser that keeps nothing still shows everything.
  }
}

/** Place and parameters of an address such as `#board?maneuver=chandelle`. @param {string} hash */
export function readHash(hash) {
  const [place, query] = hash.replace(/^#/, '').split('?');
  return { place: place || 'board', given: Object.fromEntries(new URLSearchParams(query ?? '')) };
}
/** @param {string} place @param {Record<string, string | undefined | null>} given */
export function makeHash(place, given) {
  const query = new URLSearchParams(Object.entries(given).flatMap(([name, value]) => (value ? [[name, value]] : [])));
  // A slash in a wind and a degree need no disguise in a fragment.
  return `#${place}${[...query].length ? `?${query.toString().replaceAll('%2F', '/')}` : ''}`;
}
/** Puts an address; `step`: the back button leads to the one before. @param {string} hash @param {boolean} step */
export function putHash(hash, step) {
  if (hash === location.hash) return;
  if (step) history.pushState(null, '', hash);
  else history.replaceState(null, '', hash);
}
