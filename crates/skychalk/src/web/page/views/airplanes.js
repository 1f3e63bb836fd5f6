// The Airplanes view: figures with their sources, the load diagram, what the airplane does, and a copy to edit and check.
import { ask, askJson, Newest } from '../core/api.js';
import { makeHash, putHash } from '../core/choice.js';
import { all, area, circle, escape, fence, find, label, line, seg, table } from '../core/markup.js';
import { height, heightUnit, quantity, speed, speedUnit, text, roundStep } from '../core/numbers.js';

const WIDE = 520, TALL = 300, LEFT = 42, RIGHT = 506, TOP = 14, BOTTOM = 272;

/** @typedef {import('../core/markup.js').Point} Point */

/** The load diagram. @param {any} diagram */
function loads(diagram) {
  const speeds = diagram.speed_kt, high = Math.max(...diagram.load_factor, ...diagram.gusts.map((/** @type {any} */ g) => g.load_factor)) + 0.5, low = Math.min(...diagram.load_factor, ...diagram.gusts.map((/** @type {any} */ g) => g.load_factor)) - 0.5;
  const fast = Math.max(...speeds) * 1.04, x = (/** @type {number} */ kt) => LEFT + ((RIGHT - LEFT) * kt) / fast, y = (/** @type {number} */ g) => BOTTOM - ((BOTTOM - TOP) * (g - low)) / (high - low);
  let out = '';
  for (let g = Math.ceil(low); g <= high; g++) out += seg([LEFT, y(g)], [RIGHT, y(g)], g === 0 ? 'axis' : 'grid') + label(LEFT - 6, y(g) + 4, `${text(g)} g`, 't small muted', 'end');
  const step = roundStep(speed(fast), 6);
  for (let v = step; v <= speed(fast); v += step) out += label(x((v * fast) / speed(fast)), BOTTOM + 18, text(v), 't small muted', 'middle');
  const outline = /** @type {Point[]} */ (speeds.map((/** @type {number} */ kt, /** @type {number} */ i) => [x(kt), y(diagram.load_factor[i])]));
  out += area(outline, 'safe-area') + line(outline, 'stroke reference');
  const top = outline.filter((_, i) => diagram.load_factor[i] >= Math.max(...diagram.load_factor) - 1e-6);
  if (top.length > 1) out += fence([top[0], top[top.length - 1]], true);
  for (const gust of diagram.gusts) out += line([[x(0), y(1)], [x(gust.speed_kt), y(gust.load_factor)]], 'calm') + label(x(gust.speed_kt) + 4, y(gust.load_factor) + (gust.load_factor > 1 ? -3 : 12), `${text(gust.gust_mps, 1, true)} m/s`, `t small ${gust.beyond_limit ? 'limit' : 'muted'}`, gust.speed_kt > 0.85 * fast ? 'end' : 'start');
  for (const mark of diagram.marks) {
    const px = x(mark.speed_kt), py = y(mark.load_factor);
    out += circle(px, py, 4, 'dot reference');
    if (!mark.title.includes('meets')) out += label(px + (mark.load_factor > 2 ? -4 : 8), py + (mark.load_factor > 0 ? -8 : 16), mark.title, 't small', mark.load_factor > 2 ? 'end' : 'start');
  }
  return `<svg class="diagram" viewBox="0 0 ${WIDE} ${TALL}" role="img" aria-label="${escape(`Load diagram, ${diagram.category} category: see the table beside it`)}">${out}${label(RIGHT, TALL - 2, speedUnit(), 't small muted', 'end')}</svg>`;
}

/** @param {any} diagram */
const loadsTable = diagram => table(['point', `calibrated, ${speedUnit()}`, 'load, g'], [...diagram.marks.map((/** @type {any} */ m) => [escape(m.title), text(speed(m.speed_kt)), text(m.load_factor, 2)]),
  ...diagram.gusts.map((/** @type {any} */ g) => [`gust ${text(g.gust_mps, 1, true)} m/s at ${escape(g.at)} speed${g.beyond_limit ? ', beyond the limit' : ''}${g.stalls_first ? ', the wing stalls before' : ''}`, text(speed(g.speed_kt)), text(g.load_factor, 2)]), ['most while rolling', '', text(diagram.rolling_limit, 2)]], `${diagram.category} category at ${quantity(diagram.mass_kg, 'kg')}`, 'plain');

/** @param {any} plane */
function figures(plane) {
  const { masses, speeds, six_degree: six } = plane;
  const words = { stall_kt: 'stall, flaps up, idle, at maximum weight', maneuvering_kt: 'maneuvering, at maximum weight (VA)', normal_max_kt: 'greatest cruise (VNO)', never_exceed_kt: 'never exceed (VNE)', maneuver_entry_kt: 'recommended for training maneuvers' };
  return table(['weight', ''], [['empty', quantity(masses.empty_kg, 'kg')], ['two up, half fuel', quantity(masses.typical_kg, 'kg')], ['greatest', quantity(masses.maximum_kg, 'kg')]], 'Weights', 'plain')
    + table(['speed', 'indicated'], Object.entries(words).map(([key, say]) => [say, speeds[key] == null ? 'not stated' : quantity(speeds[key], 'kt')]), 'Speeds', 'plain')
    + table(['category', 'up to', 'limit loads', 'approved maneuvers'], plane.categories.map((/** @type {any} */ c) => [escape(c.name), quantity(c.mass_max_kg, 'kg'), `${text(c.load_factor_max, 1, true)} g, ${text(c.load_factor_min, 1)} g`, escape(c.approved.map((/** @type {string} */ key) => key.replaceAll('-', ' ')).join(', ') || 'none listed')]), 'Categories', 'plain')
    + (six ? `<p><b>Six degrees of freedom</b>: ${escape(six.aerodynamics)}, ${escape(six.pull)}; angles of attack ${text(six.alpha_least_deg)}° to ${text(six.alpha_most_deg)}°, sideslip to ${text(six.beta_most_deg)}°. Hands and feet are computed.</p>` : '<p>No six-degree data: hands and feet are not computed for this airplane.</p>');
}

/** @param {any} sheet */
function performance(sheet) {
  const one = (/** @type {number | null} */ kt) => (kt == null ? '–' : text(speed(kt)));
  const rows = sheet.performance.map((/** @type {any} */ p) => [text(height(p.height_ft)), p.climb_fpm == null ? 'no climb' : text(p.climb_fpm), one(p.climb_kt), one(p.climb_angle_kt), `${one(p.level_slowest_kt)} to ${one(p.level_fastest_kt)}`, `${one(p.glide_kt)}, ${p.glide_ratio == null ? '–' : `${text(p.glide_ratio, 1)}:1`}`, p.turn_bank_deg == null ? '–' : `${text(p.turn_bank_deg)}°, ${one(p.turn_kt)}, ${text(p.turn_radius_m)} m`]);
  return `<div class="scroll">${table([heightUnit(), 'climb, ft/min', 'at', 'best angle at', 'level, slowest to fastest', 'best glide', 'steepest sustained turn: bank, speed, radius'], rows, `At ${quantity(sheet.airplane.masses.typical_kg, 'kg')}, full power, standard day, speeds indicated in ${speedUnit()}`, 'plain')}</div>`;
}

/** Numbers of two sheets that differ. @param {any} before @param {any} after @param {string} [way] @returns {string[][]} */
function differences(before, after, way = '') {
  if (typeof before === 'number' && typeof after === 'number') return Math.abs(before - after) > 1e-9 ? [[escape(way.replaceAll('_', ' ')), text(before, 2), text(after, 2)]] : [];
  if (!before || !after || typeof before !== 'object') return [];
  return Object.keys(before).flatMap(key => (['speed_kt', 'load_factor'].includes(key) && Array.isArray(before[key]) ? [] : differences(before[key], after[key], `${way ? `${way}, ` : ''}${/^\d+$/.test(key) ? (before[key]?.title ?? before[key]?.category ?? (before[key]?.height_ft != null ? `${before[key].height_ft} ft` : Number(key) + 1)) : key}`)));
}

export class Airplanes {
  /** @param {HTMLElement} host @param {{ service: any, airplanes: any[], published: any[] }} known */
  constructor(host, known) {
    this.known = known;
    this.newest = new Newest();
    host.innerHTML = `<div class="planes"><nav aria-label="Airplanes"></nav><div class="one"></div></div>`;
    this.list = find('nav', host);
    this.one = find('.one', host);
    const links = (/** @type {any[]} */ list) => list.map(({ id, name }) => `<a class="quiet" href="#airplanes?airplane=${escape(id)}" data-id="${escape(id)}">${escape(name)}</a>`).join('');
    const library = known.service.library ?? [], own = known.airplanes.filter(({ id }) => !library.some((/** @type {any} */ one) => one.id === id));
    this.list.innerHTML = links(own) + (library.length ? `<h2>From public figures</h2><p class="source">Fitted here; much of it from memory: hold it against the manual of yours.</p>${links(library)}` : '') + (known.published.length ? `<h2>From published stability data</h2><p class="source">For study and checks; no briefs are made of them.</p>${links(known.published)}` : '');
  }
  /** @param {Record<string, string>} given */
  async open(given) {
    document.title = 'Airplanes: Skychalk';
    const id = given.airplane ?? this.known.airplanes[0].id, published = this.known.published.find(one => one.id === id);
    putHash(makeHash('airplanes', { airplane: id }), false);
    for (const link of all('a', this.list)) link.toggleAttribute('aria-current', link.dataset.id === id);
    this.sheet = null;
    if (published) { this.published = published; return this.#published(published); }
    this.published = null;
    try {
      this.sheet = await this.newest.take(signal => askJson(`api/airplane?airplane=${encodeURIComponent(id)}`, { signal }));
      if (this.sheet) this.#show();
    } catch (error) {
      this.one.innerHTML = `<p class="state wrong">${escape(/** @type {Error} */ (error).message)} ${escape(/** @type {any} */ (error).hint ?? '')}</p>`;
    }
  }
  /** @param {any} plane */
  #published(plane) {
    this.one.innerHTML = `<h1>${escape(plane.name)}</h1><p>${escape(plane.description)}</p><p>Published for ${quantity(plane.airspeed_kt, 'kt')} true at ${quantity(plane.height_ft, 'ft')}; ${escape(plane.six_degree.aerodynamics)}, ${escape(plane.six_degree.pull)}.</p>${this.#sources(plane)}`;
  }
  /** @param {any} plane */
  #sources(plane) { return table(['block', 'source'], plane.sources.map((/** @type {any} */ s) => [escape(s.block), escape(s.source)]), 'Where the figures come from', 'plain'); }
  #show() {
    const { sheet } = this, plane = sheet.airplane;
    this.one.innerHTML = `<h1>${escape(plane.name)}</h1><p>${escape(plane.description)}</p><div class="pair"><div>${figures(plane)}</div><div>${sheet.diagrams.map((/** @type {any} */ d) => `<h2>Loads, ${escape(d.category)} category, ${quantity(d.mass_kg, 'kg')}</h2>${loads(d)}<details><summary>the same in numbers</summary>${loadsTable(d)}</details>`).join('')}</div></div><h2>What it does</h2>${performance(sheet)}${this.#sources(plane)}
<details class="sheet-part"><summary>Edit a copy, and see what changes</summary><div><p>The airplane file. Nothing is kept and the airplane stays as it is; save the text to use it on the command line.</p><label class="unseen" for="copy">airplane file</label><textarea id="copy" class="field" rows="18" cols="90" spellcheck="false"></textarea><p class="tools"><button type="button" class="quiet" id="check">Check and compare</button></p><div id="changed" role="status"></div></div></details>`;
    const details = find('details.sheet-part', this.one), copy = find('#copy', this.one);
    details.hidden = (this.known.service.library ?? []).some((/** @type {any} */ one) => one.id === plane.id);
    details.addEventListener('toggle', async () => { if (!copy.value) copy.value = await (await ask(`api/airplane/file?airplane=${encodeURIComponent(plane.id)}`)).text(); });
    find('#check', this.one).addEventListener('click', () => this.#check(copy.value));
  }
  /** @param {string} text */
  async #check(text) {
    const box = find('#changed', this.one);
    try {
      const other = await askJson('api/airplane/check', { method: 'POST', body: text }), rows = differences(this.sheet, other);
      box.innerHTML = rows.length ? `<p>No fault. What changes:</p>${table(['figure', 'was', 'is'], rows, '', 'plain')}` : '<p>No fault, and no number changes.</p>';
    } catch (error) {
      box.innerHTML = `<p class="state wrong"><b>${escape(/** @type {Error} */ (error).message)}</b>\n${escape(/** @type {any} */ (error).hint ?? '')}</p>`;
    }
  }
  redraw() { if (this.sheet) this.#show(); else if (this.published) this.#published(this.published); }
  key() { return false; }
}
