// The sliders of airplane and day: each gives one parameter of the question, in the program's own words for quantities.
import { clamp, shownAs, text } from '../core/numbers.js';
import { element, find } from '../core/markup.js';

/** @typedef {{ name: string, words: string, kind: 'speed' | 'height' | 'mass' | 'degrees' | 'celsius' | 'pressure', range: (known: Known) => [number, number], usual: (known: Known) => number | null, usualWords?: string }} Slider */
/** What the sliders take their ranges and usual values from. @typedef {{ airplane: any, brief: any }} Known */

/** @type {Slider[]} */
export const SLIDERS = [
  { name: 'weight', words: 'weight', kind: 'mass', range: ({ airplane }) => [airplane.masses.empty_kg, airplane.masses.maximum_kg], usual: ({ airplane, brief }) => brief?.mass_kg ?? airplane.masses.typical_kg },
  { name: 'height', words: 'entry height', kind: 'height', range: ({ brief }) => [brief?.day.field_elevation_ft ?? 0, 12_000], usual: ({ brief }) => brief?.height_ft ?? null },
  { name: 'speed', words: 'entry speed', kind: 'speed', range: ({ airplane }) => [airplane.speeds.stall_kt ?? 40, airplane.speeds.never_exceed_kt], usual: ({ brief }) => brief?.sides[0]?.path.ias_kt[0] ?? null },
  { name: 'wind-from', words: 'wind from', kind: 'degrees', range: () => [0, 360], usual: () => 0 },
  { name: 'wind-speed', words: 'wind speed', kind: 'speed', range: () => [0, 40], usual: () => 0, usualWords: 'calm' },
  { name: 'oat', words: 'air at the field', kind: 'celsius', range: () => [-20, 45], usual: ({ brief }) => brief?.day.oat_c ?? 15, usualWords: 'standard' },
  { name: 'field-elevation', words: 'field elevation', kind: 'height', range: () => [0, 8000], usual: ({ brief }) => brief?.day.field_elevation_ft ?? 0, usualWords: 'not told' },
  { name: 'qnh', words: 'QNH', kind: 'pressure', range: () => [950, 1050], usual: ({ brief }) => brief?.day.qnh_hpa ?? null, usualWords: 'standard' },
];
/** Where a value comes from that was not chosen. @type {Record<string, string>} */
export const USUAL = { weight: 'Not chosen: two up with half fuel, from the airplane file, block mass', height: 'Not chosen: found by the program so that the figure stays above its floor', speed: 'Not chosen: entry speed of the figure for this airplane and weight, computed', 'wind-from': 'Not chosen: calm', 'wind-speed': 'Not chosen: calm', oat: 'Not chosen: standard air at the field', 'field-elevation': 'Not chosen: sea level is taken', qnh: 'Not chosen: standard, 1013.25 hPa' };
/** Units of the program, in which the values live. */
const UNITS = { speed: 'kt', height: 'ft', mass: 'kg', degrees: '', celsius: 'C', pressure: 'hPa' };
/** @param {Slider['kind']} kind */
const shown = kind => (kind === 'speed' || kind === 'height' || kind === 'mass' ? shownAs(kind) : { degrees: { unit: '°', per: 1, step: 5 }, celsius: { unit: '°C', per: 1, step: 1 }, pressure: { unit: 'hPa', per: 1, step: 1 } }[kind]);
/** @param {Slider['kind']} kind @param {number} value */
export const words = (kind, value) => `${text(value / shown(kind).per)}${shown(kind).unit.startsWith('°') ? '' : ' '}${shown(kind).unit}`;

/** Values of sliders out of the parameters of a question. @param {Record<string, string>} given @param {Slider} slider @returns {number | null} */
export function valueOf(given, { name, kind }) {
  if (name.startsWith('wind-')) {
    const [, from, speed] = /^\s*(\d+(?:\.\d+)?)\/(\d+(?:\.\d+)?)\s*kt\s*$/i.exec(given.wind ?? '') ?? [];
    return from === undefined ? null : Number(name === 'wind-from' ? from : speed);
  }
  const found = /^\s*(-?\d+(?:\.\d+)?)\s*([a-z]*)\s*$/i.exec(given[name] ?? '');
  return found && found[2].toLowerCase() === UNITS[kind].toLowerCase() ? Number(found[1]) : null;
}

export class Sliders {
  /** @param {HTMLElement} host @param {(change: Record<string, string>) => void} changed */
  constructor(host, changed) {
    this.changed = changed;
    /** @type {Record<string, string>} */ this.given = {};
    this.box = element('<div class="sliders" role="group" aria-label="Airplane and day"></div>');
    host.append(this.box);
    for (const slider of SLIDERS) {
      const row = element(`<div class="slider" data-name="${slider.name}"><label for="s-${slider.name}">${slider.words}</label><output for="s-${slider.name}"></output><input type="range" id="s-${slider.name}"><button type="button" title="as usual">usual<span class="unseen"> ${slider.words}</span></button></div>`);
      this.box.append(row);
      find('input', row).addEventListener('input', () => this.#moved(slider, Number(find('input', row).value)));
      find('button', row).addEventListener('click', () => this.#moved(slider, null));
    }
  }
  /** @param {Slider} slider @param {number | null} raw in the shown unit */
  #moved(slider, raw) {
    const value = raw === null ? null : Number((raw * shown(slider.kind).per).toFixed(1));
    if (slider.name.startsWith('wind-')) {
      if (value === null) return this.changed({ wind: '' });
      const from = slider.name === 'wind-from' ? value : valueOf(this.given, SLIDERS[3]) ?? 0, speed = slider.name === 'wind-speed' ? value : valueOf(this.given, SLIDERS[4]) ?? 10;
      return this.changed({ wind: `${Math.round(from) % 360}/${speed}kt` });
    }
    this.changed({ [slider.name]: value === null ? '' : `${value}${UNITS[slider.kind]}` });
  }
  /** @param {Record<string, string>} given @param {Known} known */
  show(given, known) {
    this.given = given;
    for (const slider of SLIDERS) {
      const row = find(`[data-name="${slider.name}"]`, this.box), input = find('input', row), { per, step } = shown(slider.kind);
      const [low, high] = slider.range(known), told = valueOf(given, slider), value = told ?? slider.usual(known);
      [input.min, input.max, input.step] = [String(Math.floor(low / per / step) * step), String(Math.ceil(high / per / step) * step), String(step)];
      if (document.activeElement !== input || told === null || Math.abs(Number(input.value) - told / per) > step) input.value = String(clamp((value ?? low) / per, Number(input.min), Number(input.max)));
      const said = given[slider.name.startsWith('wind-') ? 'wind' : slider.name] ? (told === null ? given[slider.name] ?? given.wind : words(slider.kind, told)) : slider.usualWords ?? (value == null ? 'usual' : `${words(slider.kind, value)}`);
      find('output', row).textContent = said;
      const from = given[slider.name.startsWith('wind-') ? 'wind' : slider.name] ? 'Chosen by you' : USUAL[slider.name] ?? 'Usual value';
      for (const box of [find('output', row), input]) box.setAttribute('data-source', from);
      input.setAttribute('aria-valuetext', said);
      find('button', row).disabled = !(given[slider.name.startsWith('wind-') ? 'wind' : slider.name]);
    }
  }
  /** @param {string} name */
  focus(name) { find(`[data-name="${name}"] input`, this.box)?.focus(); }
}
