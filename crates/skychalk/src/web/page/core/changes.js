// What changes between two sheets of an airplane: every number that differs, in words and in the user's units.
import { gust, height, heightUnit, meters, quantity, text } from './numbers.js';
import { maneuverTitle } from './words.js';

/** Where a number stands, in words; what is not listed is called by its key. @type {Record<string, string>} */
const WORDS = {
  masses: 'weights', empty: 'empty', typical: 'two up, half fuel', maximum: 'greatest', speeds: 'speeds, indicated', stall: 'stall, flaps up, idle', maneuvering: 'maneuvering (VA)', normal_max: 'greatest cruise (VNO)', never_exceed: 'never exceed (VNE)',
  maneuver_entry: 'recommended for training maneuvers', categories: 'category', mass_max: 'up to', load_factor_max: 'limit load', load_factor_min: 'limit load, negative', six_degree: 'six degrees of freedom', inertia_xx: 'inertia in roll', inertia_yy: 'inertia in pitch',
  inertia_zz: 'inertia in yaw', inertia_xz: 'inertia, roll with yaw', alpha_least: 'least angle of attack', alpha_most: 'greatest angle of attack', beta_most: 'greatest sideslip', performance: 'what it does', climb: 'best climb', climb_angle: 'steepest climb at', level_slowest: 'slowest level',
  level_fastest: 'fastest level', glide: 'best glide at', glide_ratio: 'best glide ratio', turn_bank: 'steepest sustained turn, bank', turn: 'steepest sustained turn at', turn_radius: 'steepest sustained turn, radius', diagrams: 'load diagram', marks: '', gusts: 'gust', rolling_limit: 'most while rolling', load_factor: 'load', speed: 'speed', mass: 'weight', approved: 'approved maneuvers',
};
/** Units as keys end: what is said behind the number. @type {Record<string, string>} */
const UNITS = { kt: 'kt', kg: 'kg', ft: 'ft', m: 'm', deg: 'deg', mps: 'm/s', kgm2: 'kg m²', fpm: 'fpm', dps: '°/s' };
/** Keys of numbers that are g. */
const LOADS = /^(load_factor|rolling_limit)/;
/** Samples of curves: what they show is in the marks. */
const CURVES = ['speed_kt', 'load_factor'];

/** @param {string} key @returns {{ words: string, unit: string }} */
function keyWords(key) {
  const [, stem, end] = /^(.*)_([a-z0-9]+)$/.exec(key) ?? [null, key, ''], unit = LOADS.test(key) ? 'g' : UNITS[end ?? ''], base = unit && unit !== 'g' ? String(stem) : key;
  // One word is two things where its unit differs: a rate of climb, and the speed that it is had at.
  if (key === 'climb_kt') return { words: 'best climb at', unit: 'kt' };
  return { words: WORDS[base] ?? base.replaceAll('_', ' '), unit: unit ?? '' };
}
/** @param {number} value @param {string} unit */
function shown(value, unit) {
  if (unit === 'fpm') return heightUnit() === 'm' ? `${text(meters(value) / 60, 1)} m/s` : `${text(value)} ft/min`;
  return unit === 'g' ? `${text(value, 2)} g` : quantity(value, unit);
}
/** What one of a list is called. @param {any} one @param {number} i */
const called = (one, i) => one?.title ?? one?.name ?? (one?.height_ft != null ? `at ${text(height(one.height_ft))} ${heightUnit()}` : one?.category ?? (one?.gust_mps != null ? `${gust(one.gust_mps, true)} at ${one.at} speed` : String(i + 1)));

/** @typedef {{ group: string, what: string, was: string, is: string }} Change */

/** Numbers of two sheets that differ. One that is shown alike is told too: with more digits. @param {any} before @param {any} after @returns {Change[]} */
export function changes(before, after) {
  /** @type {Change[]} */ const out = [];
  /** @param {any} was @param {any} is @param {string[]} way @param {string} unit */
  const walk = (was, is, way, unit) => {
    const number = (/** @type {any} */ value) => typeof value === 'number';
    if (number(was) || number(is)) {
      if (number(was) && number(is) && Math.abs(was - is) <= 1e-9) return;
      let [a, b] = [was, is].map(value => (number(value) ? shown(value, unit) : 'none'));
      if (a === b) { const more = (/** @type {number} */ value) => `${text(value, 3)}${unit ? ` ${unit}` : ''}`; [a, b] = [more(was), more(is)]; }
      const words = way.filter(Boolean);
      if (a !== b) out.push({ group: words.slice(0, -1).join(', '), what: words[words.length - 1], was: a, is: b });
      return;
    }
    if (typeof was === 'string' || typeof is === 'string') {
      if (was !== is) out.push({ group: way.slice(0, -1).filter(Boolean).join(', '), what: way[way.length - 1], was: was ?? 'none', is: is ?? 'none' });
      return;
    }
    if (typeof was !== 'object' && typeof is !== 'object') return;
    if (Array.isArray(was ?? is)) {
      if (typeof (was ?? is)[0] === 'string' || typeof (is ?? was)[0] === 'string') return walk((was ?? []).map(maneuverTitle).join(', ') || 'none', (is ?? []).map(maneuverTitle).join(', ') || 'none', way, '');
      // What has a name is held against its namesake, whichever place it stands at now.
      const named = (/** @type {any} */ list) => new Map((list ?? []).map((/** @type {any} */ one, /** @type {number} */ i) => [called(one, i), one])), [own, others] = [named(was), named(is)];
      for (const name of new Set([...own.keys(), ...others.keys()])) walk(own.get(name), others.get(name), [...way, name], '');
      return;
    }
    for (const key of new Set([...Object.keys(was ?? {}), ...Object.keys(is ?? {})])) {
      // Names, and what things are named by; samples of curves.
      if (['id', 'name', 'description', 'sources', 'height_ft', 'title', 'at', 'gust_mps'].includes(key) || (CURVES.includes(key) && Array.isArray((was ?? is)[key]))) continue;
      const { words, unit: own } = key === 'airplane' ? { words: '', unit: '' } : keyWords(key);
      walk(was?.[key], is?.[key], [...way, words], own);
    }
  };
  walk(before, after, [], '');
  return out;
}
