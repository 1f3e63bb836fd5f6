// The Airplanes view: figures with their sources, the load diagram, what the airplane does, checks against the outside, a copy to edit and
// brief, and a form for the figures of a flight manual.
import { askJson, Newest } from '../core/api.js';
import { makeHash, putHash, recall } from '../core/choice.js';
import { addCopy, airplaneText, copiesNow, copyOf, removeCopy } from '../core/copies.js';
import { history } from '../core/history.js';
import { axis, curve, scale } from '../core/charts.js';
import { all, circle, escape, fence, find, label, table } from '../core/markup.js';
import { maneuverTitle } from '../core/words.js';
import { gust as gustWords, height, heightUnit, meters, quantity, speed, speedUnit, text } from '../core/numbers.js';
import { checksCounted, checksTable, fittedTables } from '../parts/checks.js';
import { saveBlob } from '../parts/save.js';
import { blockSource, source } from '../parts/source.js';
import { Build } from './build.js';
import { Edit } from './edit.js';

const WIDE = 520, TALL = 300, LEFT = 42, RIGHT = 506, TOP = 14, BOTTOM = 272;
/** Where on its line a gust is named: clear of the posts of the limits and of the stall upside down. @param {number} load */
const gustLabel = load => (load > 1 ? 0.7 : 0.5);

/** @typedef {import('../core/markup.js').Point} Point */

/** The load diagram. @param {any} diagram */
function loads(diagram) {
  const speeds = diagram.speed_kt, high = Math.max(...diagram.load_factor, ...diagram.gusts.map((/** @type {any} */ g) => g.load_factor)) + 0.5, low = Math.min(...diagram.load_factor, ...diagram.gusts.map((/** @type {any} */ g) => g.load_factor)) - 0.5;
  const fast = Math.max(...speeds) * 1.04, across = scale([0, speed(fast)], [LEFT, RIGHT]), y = scale([low, high], [BOTTOM, TOP]), x = (/** @type {number} */ kt) => across(speed(kt));
  const whole = Array.from({ length: Math.floor(high) - Math.ceil(low) + 1 }, (_, i) => Math.ceil(low) + i);
  let out = axis('left', y, { at: LEFT, values: whole, words: g => `${text(g)} g`, reach: RIGHT - LEFT, lines: g => (g === 0 ? 'axis' : 'grid') }) + axis('bottom', across, { at: BOTTOM, ticks: 6, words: v => (v ? text(v) : ''), gap: 9 });
  const outline = /** @type {Point[]} */ (speeds.map((/** @type {number} */ kt, /** @type {number} */ i) => [x(kt), y(diagram.load_factor[i])]));
  out += curve(outline, 'safe-area') + curve(outline, 'stroke reference');
  const top = outline.filter((_, i) => diagram.load_factor[i] >= Math.max(...diagram.load_factor) - 1e-6);
  if (top.length > 1) out += fence([top[0], top[top.length - 1]], true);
  for (const gust of diagram.gusts) out += curve([[x(0), y(1)], [x(gust.speed_kt), y(gust.load_factor)]], 'calm') + label(x(gustLabel(gust.load_factor) * gust.speed_kt), y(1 + gustLabel(gust.load_factor) * (gust.load_factor - 1)) + 4, `${gustWords(gust.gust_mps, true)}`, `t small ${gust.beyond_limit ? 'limit' : 'muted'}`, 'middle');
  for (const mark of diagram.marks) {
    const px = x(mark.speed_kt), py = y(mark.load_factor);
    out += circle(px, py, 4, 'dot reference');
    if (!mark.title.includes('meets')) out += label(px + (mark.load_factor > 2 ? -4 : 8), py + (mark.load_factor > 0 ? -8 : 16), mark.title, 't small', mark.load_factor > 2 ? 'end' : 'start');
  }
  return `<svg class="diagram" viewBox="0 0 ${WIDE} ${TALL}" role="img" aria-label="${escape(`Load diagram, ${diagram.category} category: see the table beside it`)}">${out}${label(0, TALL - 2, `${speedUnit()}, calibrated`, 't small muted')}</svg>`;
}

/** @param {any} plane */
const loadsSource = plane => `Computed from the stall speeds and limits of the airplane file: curves of greatest lift, limit loads, gusts of the airworthiness rule (CS 23.333 and 23.341). ${blockSource(plane, 'speeds')}`;
/** @param {any} diagram @param {any} plane */
const loadsTable = (diagram, plane) => table(['point', `calibrated, ${speedUnit()}`, 'load, g'], [...diagram.marks.map((/** @type {any} */ m) => [escape(m.title), text(speed(m.speed_kt)), text(m.load_factor, 2)]),
  ...diagram.gusts.map((/** @type {any} */ g) => [`gust ${gustWords(g.gust_mps, true)} at ${escape(g.at)} speed${g.beyond_limit ? ', beyond the limit' : ''}${g.stalls_first ? ', the wing stalls before' : ''}`, text(speed(g.speed_kt)), text(g.load_factor, 2)]), ['most while rolling', '', text(diagram.rolling_limit, 2)]], `${diagram.category} category at ${quantity(diagram.mass_kg, 'kg')}`, 'plain', loadsSource(plane));

/** @param {any} plane */
function figures(plane) {
  const { masses, speeds, six_degree: six } = plane;
  const words = { stall_kt: 'stall, flaps up, idle, at maximum weight', maneuvering_kt: 'maneuvering, at maximum weight (VA)', normal_max_kt: 'greatest cruise (VNO)', never_exceed_kt: 'never exceed (VNE)', maneuver_entry_kt: 'recommended for training maneuvers' };
  return table(['weight', ''], [['empty', quantity(masses.empty_kg, 'kg')], ['two up, half fuel', quantity(masses.typical_kg, 'kg')], ['greatest', quantity(masses.maximum_kg, 'kg')]], 'Weights', 'plain', blockSource(plane, 'mass'))
    + table(['speed', 'indicated'], Object.entries(words).map(([key, say]) => [say, speeds[key] == null ? 'not stated' : quantity(speeds[key], 'kt')]), 'Speeds', 'plain', blockSource(plane, 'speeds'))
    + table(['category', 'up to', 'limit loads', 'approved maneuvers'], plane.categories.map((/** @type {any} */ c) => [escape(c.name), quantity(c.mass_max_kg, 'kg'), `${text(c.load_factor_max, 1, true)} g, ${text(c.load_factor_min, 1)} g`, escape(c.approved.map(maneuverTitle).join(', ') || 'none listed')]), 'Categories', 'plain', blockSource(plane, 'category'))
    + (six ? `<p class="number" tabindex="0"${source(`Range of the aerodynamic data. ${blockSource(plane, 'inertia')}`)}><b>Six degrees of freedom</b>: ${escape(six.aerodynamics)}, ${escape(six.pull)}; angles of attack ${text(six.alpha_least_deg)}° to ${text(six.alpha_most_deg)}°, sideslip to ${text(six.beta_most_deg)}°. Hands and feet are computed.</p>` : '<p>No six-degree data: hands and feet are not computed for this airplane.</p>');
}

/** @param {any} sheet */
function performance(sheet) {
  const one = (/** @type {number | null} */ kt) => (kt == null ? '–' : text(speed(kt)));
  const metric = heightUnit() === 'm', climb = (/** @type {number} */ fpm) => (metric ? meters(fpm) / 60 : fpm);
  const rows = sheet.performance.map((/** @type {any} */ p) => [text(height(p.height_ft)), p.climb_fpm == null ? 'no climb' : text(climb(p.climb_fpm), metric ? 1 : 0), one(p.climb_kt), one(p.climb_angle_kt), `${one(p.level_slowest_kt)} to ${one(p.level_fastest_kt)}`, `${one(p.glide_kt)}, ${p.glide_ratio == null ? '–' : `${text(p.glide_ratio, 1)}:1`}`, p.turn_bank_deg == null ? '–' : `${text(p.turn_bank_deg)}°, ${one(p.turn_kt)}, ${quantity(p.turn_radius_m, 'm')}`]);
  return `<div class="scroll">${table([heightUnit(), `climb, ${metric ? 'm/s' : 'ft/min'}`, 'at', 'best angle at', 'level, slowest to fastest', 'best glide', 'steepest sustained turn: bank, speed, radius'], rows, `At ${quantity(sheet.airplane.masses.typical_kg, 'kg')}, full power, standard day, speeds indicated in ${speedUnit()}`, 'plain', `Computed by the point mass from the airplane file, standard day, full power. ${blockSource(sheet.airplane, 'aerodynamics')}. ${blockSource(sheet.airplane, 'propeller')}`)}</div>`;
}

export class Airplanes {
  /** @param {HTMLElement} host @param {{ service: any, maneuvers: any[], airplanes: any[], published: any[] }} known */
  constructor(host, known) {
    this.known = known;
    this.newest = new Newest();
    host.innerHTML = `<div class="planes"><nav aria-label="Airplanes"></nav><div class="one"></div></div>`;
    this.list = find('nav', host);
    this.one = find('.one', host);
    this.build = new Build(this.one, id => this.#use(id));
    this.edit = new Edit(known, id => this.#use(id));
    /** @type {any} */ this.sheet = null;
    /** @type {any} */ this.published = null;
    this.building = false;
    /** Text that was put back while another airplane was shown. @type {{ id: string, text: string } | null} */ this.pending = null;
    history.register('copy text', given => {
      this.pending = given;
      if (this.sheet?.airplane.id === given.id && location.hash.startsWith('#airplanes')) this.#takePending();
      else location.hash = makeHash('airplanes', { airplane: given.id });
    });
    this.list.addEventListener('change', (/** @type {any} */ event) => { if (event.target.name === 'airplane-file') this.#bring(event.target); });
    this.#navigation();
  }
  #navigation() {
    const { known } = this, library = known.service.library ?? [], links = (/** @type {any[]} */ list) => list.map(({ id, name }) => `<a class="quiet" href="#airplanes?airplane=${escape(id)}" data-id="${escape(id)}">${escape(name)}</a>`).join('');
    const own = known.airplanes.filter(({ id, copy }) => !copy && !library.some((/** @type {any} */ one) => one.id === id)), copies = copiesNow();
    this.list.innerHTML = links(own) + (copies.length ? `<h2>Edited here</h2><p class="source">Kept until this tab is closed: save the file to keep it.</p>${links(copies)}` : '')
      + `<a class="quiet" href="#airplanes?airplane=new" data-id="new">from a flight manual…</a><label class="quiet">open an airplane file…<input type="file" class="unseen" name="airplane-file" accept=".toml,text/plain"></label><p class="state" role="status"></p>`
      + (library.length ? `<h2>From public figures</h2><p class="source">Fitted here; much of it from memory: hold it against the manual of yours.</p>${links(library)}` : '') + (known.published.length ? `<h2>From published stability data</h2><p class="source">For study and checks; no briefs are made of them.</p>${links(known.published)}` : '');
  }
  /** A file of the user's. @param {HTMLInputElement} field */
  async #bring(field) {
    const file = field.files?.[0], state = find('.state', this.list);
    field.value = '';
    if (!file) return;
    try {
      const { copy } = await addCopy(await file.text(), '');
      location.hash = makeHash('airplanes', { airplane: copy.id });
    } catch (error) {
      state.className = 'state wrong';
      state.textContent = `${/** @type {Error} */ (error).message.replaceAll('your copy', file.name)} ${/** @type {any} */ (error).hint ?? ''}`;
    }
  }
  /** The Board with this airplane; what else is chosen there stays. @param {string} id */
  #use(id) { location.hash = makeHash('board', { maneuver: 'chandelle', ...boardChoice(), airplane: id, weight: null, speed: null }); }
  /** @param {Record<string, string>} given */
  async open(given) {
    document.title = 'Airplanes: Skychalk';
    const id = given.airplane ?? this.known.airplanes[0].id, published = this.known.published.find(one => one.id === id);
    putHash(makeHash('airplanes', { airplane: id }), false);
    for (const link of all('a', this.list)) link.toggleAttribute('aria-current', link.dataset.id === id);
    this.sheet = null;
    this.published = published ?? null;
    this.building = id === 'new';
    try {
      if (this.building) return await this.build.open();
      if (published) return this.#published(published);
      this.sheet = await this.newest.take(signal => askJson(`api/airplane?airplane=${encodeURIComponent(id)}`, { signal }));
      if (this.sheet) this.#show();
    } catch (error) {
      this.one.innerHTML = `<p class="state wrong">${escape(/** @type {Error} */ (error).message)} ${escape(/** @type {any} */ (error).hint ?? '')}</p>`;
    }
  }
  /** @param {any} plane */
  #published(plane) {
    const where = `Published for this airplane: ${[...new Set(plane.sources.map((/** @type {any} */ one) => one.source))].join('; ')}`;
    this.one.innerHTML = `<h1>${escape(plane.name)}</h1><p>${escape(plane.description)}</p><p class="number" tabindex="0"${source(where)}>Published for ${quantity(plane.airspeed_kt, 'kt')} true at ${quantity(plane.height_ft, 'ft')}; ${escape(plane.six_degree.aerodynamics)}, ${escape(plane.six_degree.pull)}.</p>${this.#sources(plane)}<section class="checked" aria-label="Checks against the outside"></section>`;
    this.#checks(plane);
  }
  /** @param {any} plane */
  #sources(plane) { const rows = [...new Map(plane.sources.map((/** @type {any} */ s) => [`${s.block}|${s.source}`, [escape(s.block.replaceAll('_', ' ')), escape(s.source)]])).values()]; return table(['block', 'source'], rows, 'Where the figures come from', 'plain'); }
  /** Held against the outside: what was published of this airplane, else the figures it was made of, and the engine as a whole. @param {any} plane */
  async #checks(plane) {
    const box = find('.checked', this.one), copy = copyOf(plane.id), fitted = (this.known.service.library ?? []).some((/** @type {any} */ one) => one.id === plane.id);
    box.innerHTML = '<h2>Held against the outside</h2><p class="state">checking</p>';
    try {
      const [own, whole, build] = await Promise.all([copy ? { checks: [] } : askJson(`api/checks?airplane=${encodeURIComponent(plane.id)}`), askJson('api/checks'), fitted ? askJson(`api/airplane/fitted?airplane=${encodeURIComponent(plane.id)}`) : null]);
      if (!box.isConnected) return;
      const none = copy ? 'The figures are yours: nothing published is held against them. What the program computes with them is held against your flight manual by you.' : 'No check is made with the figures of this airplane: nothing published that could be held against them is known here.';
      box.innerHTML = `<h2>Held against the outside</h2>${own.checks.length ? `<p>With the figures of this airplane: ${checksCounted(own.checks)}.</p>${checksTable(own.checks, 'Checks with the figures of this airplane')}` : build ? '' : `<p>${none}</p>`}${build ? fittedTables(build) : ''}<details><summary>the engine as a whole: ${checksCounted(whole.checks)}</summary>${checksTable(whole.checks, 'Published trajectories, tables, trims, roots and worked examples')}</details>`;
    } catch (error) {
      if (box.isConnected) box.innerHTML = `<p class="state wrong">${escape(/** @type {Error} */ (error).message)}</p>`;
    }
  }
  #show() {
    const { sheet } = this, plane = sheet.airplane, copy = copyOf(plane.id);
    const tools = `<p class="tools"><button type="button" class="quiet" data-do="board">Brief it on the Board</button><button type="button" class="quiet" data-do="save">Save the airplane file</button>${copy ? '<button type="button" class="quiet" data-do="remove">Put this copy away</button>' : ''}</p>`;
    this.one.innerHTML = `<h1>${escape(plane.name)}</h1><p>${escape(plane.description)}${copy ? ` <b>Edited here${copy.of ? `, from ${escape(this.known.airplanes.find(({ id }) => id === copy.of)?.name ?? copy.of)}` : ''}: its figures are yours.</b>` : ''}</p>${tools}<div class="pair"><div>${figures(plane)}</div><div>${sheet.diagrams.map((/** @type {any} */ d) => `<h2>Loads, ${escape(d.category)} category, ${quantity(d.mass_kg, 'kg')}</h2><div${source(loadsSource(plane))}>${loads(d)}</div><details><summary>the same in numbers</summary>${loadsTable(d, plane)}</details>`).join('')}</div></div><h2>What it does</h2>${performance(sheet)}${this.#sources(plane)}
<section class="checked" aria-label="Checks against the outside"></section><div class="editing"></div>`;
    this.edit.show(find('.editing', this.one), sheet, copy);
    this.#takePending();
    this.#checks(plane);
    const act = { board: () => this.#use(plane.id), save: async () => saveBlob(new Blob([await airplaneText(plane.id)], { type: 'text/plain' }), `${plane.name.replace(/[^\w-]+/g, '-').toLowerCase()}.toml`), remove: async () => { await removeCopy(plane.id); location.hash = makeHash('airplanes', {}); } };
    for (const button of all('[data-do]', this.one)) button.addEventListener('click', act[/** @type {keyof typeof act} */ (button.dataset.do)]);
  }
  /** The text that was put back, where it belongs. */
  #takePending() {
    if (!this.pending || this.pending.id !== this.sheet?.airplane.id) return;
    this.edit.put(this.pending.text);
    this.pending = null;
  }
  redraw() {
    this.#navigation();
    for (const link of all('a', this.list)) link.toggleAttribute('aria-current', link.dataset.id === (this.sheet?.airplane.id ?? this.published?.id ?? (this.building ? 'new' : '')));
    if (this.sheet && !(this.sheet.airplane.id.startsWith('copy-') && !copyOf(this.sheet.airplane.id))) this.#show();
    else if (this.published) this.#published(this.published);
  }
  key() { return false; }
}
/** What was last chosen on the Board. */
const boardChoice = () => recall('board') ?? {};
