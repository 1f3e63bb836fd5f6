// Numbers as they are shown: a real minus sign, thousands parted, units by the user's choice.
import { KG_PER_LB, M_PER_FT, M_PER_NM, MPS_PER_KMH, MPS_PER_KT } from './factors.js';

/** @typedef {{ unit: string, per: number, step: number }} Shown how a quantity is shown: its unit and how many of the program's make one */
/** @type {Record<string, { label: string, speed: Shown, height: Shown, mass: Shown, far: Shown, gust: Shown }>} */
export const SYSTEMS = {
  'kt-ft': { label: 'kt, ft, kg', speed: { unit: 'kt', per: 1, step: 1 }, height: { unit: 'ft', per: 1, step: 100 }, mass: { unit: 'kg', per: 1, step: 5 }, far: { unit: 'NM', per: 1, step: 1 }, gust: { unit: 'ft/s', per: M_PER_FT, step: 1 } },
  'kt-ft-lb': { label: 'kt, ft, lb', speed: { unit: 'kt', per: 1, step: 1 }, height: { unit: 'ft', per: 1, step: 100 }, mass: { unit: 'lb', per: KG_PER_LB, step: 10 }, far: { unit: 'NM', per: 1, step: 1 }, gust: { unit: 'ft/s', per: M_PER_FT, step: 1 } },
  'kmh-m': { label: 'km/h, m, kg', speed: { unit: 'km/h', per: MPS_PER_KMH / MPS_PER_KT, step: 2 }, height: { unit: 'm', per: 1 / M_PER_FT, step: 50 }, mass: { unit: 'kg', per: 1, step: 5 }, far: { unit: 'km', per: 1000 / M_PER_NM, step: 1 }, gust: { unit: 'm/s', per: 1, step: 1 } },
};
let system = 'kt-ft';
/** @param {string} name */
export function useSystem(name) { if (SYSTEMS[name]) system = name; }
export const systemName = () => system;
export const speedUnit = () => SYSTEMS[system].speed.unit;
export const heightUnit = () => SYSTEMS[system].height.unit;
export const massUnit = () => SYSTEMS[system].mass.unit;
/** @param {'speed' | 'height' | 'mass'} kind */
export const shownAs = kind => SYSTEMS[system][kind];
/** Knots in the unit of speed. @param {number} kt */
export const speed = kt => kt / SYSTEMS[system].speed.per;
/** Feet in the unit of height. @param {number} ft */
export const height = ft => ft / SYSTEMS[system].height.per;
/** Kilograms in the unit of mass. @param {number} kg */
export const mass = kg => kg / SYSTEMS[system].mass.per;
/** Meters over the ground in the unit of height. @param {number} m */
export const ground = m => height(feet(m));
/** Meters of a unit of the ground near by (that of height), and of one far away. */
const nearMeters = () => M_PER_FT * SYSTEMS[system].height.per, farMeters = () => M_PER_NM * SYSTEMS[system].far.per;
/** Nautical miles with the unit of distances. @param {number} nm @param {boolean} [plus] */
export const far = (nm, plus = false) => `${text(nm / SYSTEMS[system].far.per, 1, plus)} ${SYSTEMS[system].far.unit}`;
/** Meters a second of a gust with its unit. @param {number} mps @param {boolean} [plus] */
export const gust = (mps, plus = false) => `${text(mps / SYSTEMS[system].gust.per, system === 'kmh-m' ? 1 : 0, plus)} ${SYSTEMS[system].gust.unit}`;
/** A round distance of about so many meters, for scales: far ones in miles or kilometers. @param {number} about_m @param {(about: number) => number} round @returns {{ m: number, words: string }} */
export function roundDistance(about_m, round) {
  const isFar = about_m >= 0.5 * farMeters();
  const unit_m = isFar ? farMeters() : nearMeters(), many = round(about_m / unit_m);
  return { m: many * unit_m, words: `${text(many, many % 1 ? 1 : 0)} ${isFar ? SYSTEMS[system].far.unit : heightUnit()}` };
}
/** Meters in feet. @param {number} m */
export const feet = m => m / M_PER_FT;
/** Feet in meters. @param {number} ft */
export const meters = ft => ft * M_PER_FT;
/** Knots in meters a second. @param {number} kt */
export const mps = kt => kt * MPS_PER_KT;

/** A number with a real minus sign and thousands parted; a dash for what is not told.
 * @param {number | null | undefined} value @param {number} [decimals] @param {boolean} [plus] */
export function text(value, decimals = 0, plus = false) {
  if (value == null || !Number.isFinite(value)) return '–';
  // By hand: the browser's own way with a language costs the first picture up to 45 ms.
  const digits = Math.abs(value).toFixed(decimals), point = decimals ? digits.length - decimals - 1 : digits.length;
  let parted = digits.slice(point), at = point;
  for (; at > 3; at -= 3) parted = `,${digits.slice(at - 3, at)}${parted}`;
  const sign = Number(digits) === 0 ? '' : value < 0 ? '−' : plus ? '+' : '';
  return sign + digits.slice(0, at) + parted;
}

/** A share in percent: nothing but all is 100, nothing but none is 0. @param {number} share */
export const percent = share => (share < 1 && share >= 0.995 ? 'over 99 %' : share > 0 && share < 0.005 ? 'under 1 %' : `${text(100 * share)} %`);

/** A value with the unit that the program gives it, in the user's units. @param {number | null} value @param {string} unit @param {boolean} [plus] */
export function quantity(value, unit, plus = false) {
  if (value == null) return '–';
  const shown = { kt: [speed(value), speedUnit(), 0], ft: [height(value), heightUnit(), 0], kg: [mass(value), massUnit(), 0], m: [ground(value), heightUnit(), 0] }[unit];
  if (shown) return `${text(/** @type {number} */ (shown[0]), 0, plus)} ${shown[1]}`;
  if (unit === 'deg') return `${text(value, Math.abs(value) < 10 && value % 1 ? 1 : 0, plus)}°`;
  const decimals = Math.abs(value) >= 100 || Number.isInteger(value) ? 0 : Math.abs(value) >= 10 ? 1 : 2;
  return `${text(value, decimals, plus)}${unit ? ` ${unit === 'g' ? 'g' : unit}` : ''}`;
}

/** The user's unit for one of the program, and how many of the program's make one. @param {string} unit @returns {{ unit: string, per: number }} */
export function inUnits(unit) {
  const shown = SYSTEMS[system];
  if (unit === 'ft/min') return shown.height.per === 1 ? { unit, per: 1 } : { unit: 'm/s', per: 60 * shown.height.per };
  return { kt: shown.speed, ft: shown.height, kg: shown.mass, NM: shown.far }[unit] ?? { unit, per: 1 };
}

/** Units that stand in sentences of the program, with how each is shown. @type {Record<string, 'speed' | 'height' | 'mass' | 'far'>} */
const IN_SENTENCES = { kt: 'speed', knots: 'speed', ft: 'height', feet: 'height', kg: 'mass', NM: 'far' };
const QUANTITIES = /(?<![\w.,-])([+−-]?\d[\d,]*(?:\.\d+)?)(?:( to | and | instead of | against | or | ± |–)([+−-]?\d[\d,]*(?:\.\d+)?))? (kt|knots|ft|feet|kg|NM)\b(?![/\w])/g;
/** A sentence of the program, with the user's units behind its own: rules and figures of manuals stay as they are written. @param {string} sentence */
export const also = sentence => sentence.replace(QUANTITIES, (own, first, between, second, word) => {
  const { unit, per } = SYSTEMS[system][IN_SENTENCES[word]];
  const value = (/** @type {string} */ number) => Number(number.replaceAll(',', '').replace('−', '-'));
  if (per === 1 || [first, second].every(number => number === undefined || value(number) === 0)) return own;
  const [a, b] = [first, second].map(number => (number === undefined ? null : text(value(number) / per, word === 'NM' ? 1 : 0, number.startsWith('+'))));
  return `${own} (${b === null ? a : `${a}${between}${b}`} ${unit})`;
});

/** What is said aloud, in the user's units alone: a sentence with two units is not said. @param {string} sentence */
export const spoken = sentence => sentence.replace(QUANTITIES, (own, first, between, second, word) => {
  const kind = IN_SENTENCES[word], { unit, per } = SYSTEMS[system][kind];
  if (per === 1) return own;
  const [a, b] = [first, second].map(number => (number === undefined ? '' : text(Number(number.replaceAll(',', '').replace('−', '-')) / per, word === 'NM' ? 1 : 0, number.startsWith('+'))));
  return `${a}${between ?? ''}${b} ${unit === 'm' ? 'meters' : unit}`;
});

/** @param {number} value @param {number} low @param {number} high */
export const clamp = (value, low, high) => Math.max(low, Math.min(high, value));

const RAD = Math.PI / 180;
/** @param {number} deg */
export const sin = deg => Math.sin(deg * RAD);
/** @param {number} deg */
export const cos = deg => Math.cos(deg * RAD);
/** @param {number} deg */
export const tan = deg => Math.tan(deg * RAD);
