// The Flight view: recordings brought, attempts found, one of them opened over its reference.
import { askJson, Newest } from '../core/api.js';
import { makeHash, putHash, recall, remember } from '../core/choice.js';
import { mirrored } from '../core/flight.js';
import { history } from '../core/history.js';
import { all, element, escape, find, table, write } from '../core/markup.js';
import { percent, systemName, text } from '../core/numbers.js';
import { send } from '../core/send.js';
import { maneuverTitle, plainWords, sourceWords, told as said } from '../core/words.js';
import { Clock } from '../parts/clock.js';
import { Correct, correctionsOf, correctionsText, correctionWords, withCorrection } from '../parts/correct.js';
import { compared, faults, findings, next } from '../parts/findings.js';
import { Rail } from '../parts/rail.js';
import { saveBlob } from '../parts/save.js';
import { number } from '../parts/source.js';
import { Stage } from '../parts/stage.js';
import { wayWords, Whole } from '../parts/strip.js';
import { lasting, NAMES, ofThePage, TOLD, toldFields, toldIn, toldWords, unknownIn } from '../parts/told.js';
import { sceneOfAttempt, sideOf } from './scene.js';

/** @typedef {{ name: string, files: File[], demo: boolean, state: 'reading' | 'open' | 'failed', words: string, hint: string, flight: any, attempt: number, over: number, asked: Record<string, string> | null, unknown: string[], away: boolean, corrections: import('../parts/correct.js').Correction[], follow: number | null, stop: AbortController | null, told: Record<string, string> }} Brought over: the attempt it is held against, -1: its reference; asked: of an address, not looked at yet; told: what is told of this flight */

/** Still this long before the place on the dial is put into the address, ms. */
const ADDRESS_AFTER_MS = 300;

export class Flights {
  /** @param {HTMLElement} host @param {{ service: any, maneuvers: any[], airplanes: any[], standards: any[] }} known */
  constructor(host, known) {
    this.known = known;
    /** @type {Brought[]} */ this.brought = [];
    this.current = -1;
    this.columns = '';
    /** What an address says of a flight that is not open: for when its file is dropped. @type {Record<string, string> | null} */ this.asked = null;
    /** What the next flight begins with: the last that was told. Of another day only airplane and standard are remembered. @type {Record<string, string>} */ this.usual = lasting(recall('told') ?? {});
    /** @type {import('../types').Scene | null} */ this.scene = null;
    this.beside = new Newest();
    /** @type {any} */ this.hands = null;
    /** Why the reference has no hands and feet. @type {string | null} */ this.handsMissing = null;
    /** What a flight from this entry passes. */ this.outside = '';
    /** @type {any} */ this.sheetOf = null;
    // Built below, in the order they stand on the page.
    /** @type {Stage} */ this.stage = /** @type {any} */ (null);
    /** @type {Rail} */ this.rail = /** @type {any} */ (null);
    /** @type {Whole} */ this.whole = /** @type {any} */ (null);
    /** @type {Correct} */ this.correct = /** @type {any} */ (null);
    this.clock = new Clock(place => this.#moved(place));
    this.#build(host);
  }
  /** @param {HTMLElement} host */
  #build(host) {
    this.host = host;
    const options = (/** @type {any[]} */ list) => list.map(({ id, title, name, edition }) => `<option value="${escape(id)}">${escape(title ?? name)}${edition ? `, ${escape(edition)}` : ''}</option>`).join('');
    host.innerHTML = `<section class="bringing" aria-label="Recordings"><div class="ways" id="ways"><div class="drop"><span>Drop recordings, or</span><label class="quiet">choose files<input type="file" name="files" multiple class="unseen"></label><label class="quiet">a folder<input type="file" name="folder" webkitdirectory class="unseen"></label></div><button type="button" class="quiet" id="open-demo">open the bundled flight</button></div><div class="opened" role="group" aria-label="Flights opened"></div>
<form class="choice bring" autocomplete="off" aria-label="What is told of the flight"><div class="words"><label>flown in <select name="airplane"><option value="">airplane not stated</option>${options(this.known.airplanes)}</select></label><label>judged by <select name="standard">${options(this.known.standards)}</select></label><button type="button" class="word" id="told-toggle" aria-expanded="false" aria-controls="told">what is known of the flight</button><button type="button" class="word" id="bring-more" aria-expanded="false" aria-controls="ways" hidden>bring another</button></div></form><button type="button" class="quiet" id="join" aria-expanded="false" hidden>these are one flight: join them</button><fieldset class="joining" hidden></fieldset></section>
<section class="day" id="told" hidden aria-label="What is known of the flight">${toldFields()}<p class="source">Numbers with their unit: 270/12kt, 1009hPa, 28C, 600ft. Known by its content: tables (CSV), GPX, IGC, KML, NMEA 0183, surveillance tables, phone sensors; zip and gzip too. The recording stays on this computer.</p></section>
<p class="state" role="status"></p><section class="welcome" aria-label="No flight is open"><h1>Drop the recording of a flight</h1><p>A phone, a satellite logger, a panel’s log, a surveillance track, a trainer’s recorder: whatever was on board, one file or several, folders and archives too. It stays on this computer.</p><ol><li>Attempts at maneuvers are found, without marks.</li><li>Each is drawn over the flight as it could have been flown, with how sure the recording is.</li><li>It is held against the standard, and the one thing to change next is named.</li></ol><p>State the airplane if it is known here: more can be told then. None at hand? <em>Open the bundled flight</em> shows an invented lesson.</p></section><div class="body" hidden></div>`;
    this.form = find('form', host);
    this.bringing = find('.bringing', host);
    this.state = find('.state', host);
    this.body = find('.body', host);
    this.whole = new Whole(this.body, attempt => this.#openAttempt(attempt, true));
    this.body.append(element('<div class="choice about"></div>'));
    const stage = element('<div class="stage debrief"></div>');
    this.body.append(stage);
    this.stage = new Stage(stage, this.clock);
    this.rail = new Rail(stage, this.clock, { modes: [], onMode: () => {} });
    this.rail.box.append(element('<section class="next" aria-label="The one thing to change next"></section>'));
    this.body.append(element('<section class="findings-box" aria-label="Findings"></section>'));
    const correcting = element('<section class="sheet" aria-label="Corrections"></section>');
    this.body.append(correcting);
    this.correct = new Correct(correcting, this.#corrections());
    this.body.append(element('<section class="sheet more-of" aria-label="More of this flight"></section>'));
    history.register('told', value => this.#putTold(value));
    history.register('away', ({ flight, away }) => this.#putAway(flight, away));
    history.register('corrections', ({ flight, list }) => this.#putCorrections(flight, list));
    this.#listen();
  }
  #listen() {
    const { host, form } = this;
    find('#open-demo', host).addEventListener('click', () => this.openDemo());
    find('#join', host).addEventListener('click', () => this.#joining());
    find('.joining', host).addEventListener('click', (/** @type {any} */ event) => { if (event.target.closest('button')) this.#join(all('.joining input', host).filter(box => box.checked).map(box => this.brought[Number(box.value)])); });
    find('#told-toggle', host).addEventListener('click', () => {
      const told = find('#told', host);
      told.hidden = !told.hidden;
      find('#told-toggle', host).setAttribute('aria-expanded', String(!told.hidden));
    });
    this.#fields();
    const changed = async (/** @type {any} */ event) => {
      const { name, value, files } = event.target;
      if (event.target.closest('.joining')) return;
      if (name === 'files' || name === 'folder') { const chosen = [...files]; event.target.value = ''; return this.bring(chosen); }
      if (name === 'columns') this.columns = (await files[0]?.text()) ?? '';
      else if (name) {
        const before = { flight: this.current, told: this.told }, after = { flight: this.current, told: { ...this.told, [name]: value.trim() } };
        this.usual = { ...this.usual, [name]: value.trim() };
        this.#tell(after);
        history.note('told', toldWords(name), before, after);
        this.#address(true);
      }
      const now = this.brought[this.current];
      if (now) this.#read(now);
    };
    this.bringing.addEventListener('change', changed);
    find('#bring-more', host).addEventListener('click', () => this.#ways(!this.bringing.classList.contains('more')));
    find('#told', host).addEventListener('change', changed);
    form.addEventListener('submit', (/** @type {Event} */ event) => event.preventDefault());
    find('.opened', host).addEventListener('click', (/** @type {any} */ event) => {
      const button = event.target.closest('button');
      if (button?.dataset.away) this.#away(Number(button.dataset.away));
      else if (button?.dataset.stop) this.brought[Number(button.dataset.stop)].stop?.abort();
      else if (button?.dataset.flight) { this.current = Number(button.dataset.flight); this.#show(true); }
    });
    find('.about', this.body).addEventListener('change', (/** @type {any} */ event) => { const own = this.brought[this.current]; if (event.target.name === 'compare' && own) { own.over = Number(event.target.value); this.#address(true); this.#draw(); } });
  }

  /** What is told of the flight that is shown; without one, of the next. */
  get told() { return this.brought[this.current]?.told ?? this.usual; }
  /** @param {{ flight: number, told: Record<string, string> }} says */
  #tell({ flight, told }) {
    if (this.brought[flight]) this.brought[flight].told = told; else this.usual = told;
    remember('told', lasting(this.usual));
  }
  /** As it was told, or will be again. @param {{ flight: number, told: Record<string, string> }} says */
  #putTold(says) {
    this.#tell(says);
    if (this.brought[says.flight]) this.current = says.flight;
    this.#fields();
    this.#address(true);
    const now = this.brought[this.current];
    if (now) this.#read(now);
  }
  /** The fields show what is told of the flight that is shown. */
  #fields() {
    for (const name of NAMES) {
      const field = find(`[name="${name}"]`, this.host);
      if (field && field !== document.activeElement) field.value = this.told[name] ?? (name === 'standard' ? this.known.standards[0].id : '');
    }
  }

  /** What the box of corrections can do. @returns {import('../parts/correct.js').Ways} */
  #corrections() {
    const opened = () => this.brought[this.current]?.flight.debrief.attempts[this.brought[this.current].attempt] ?? null;
    const change = (/** @type {any} */ attempt, /** @type {any} */ says, /** @type {string} */ words) => { const own = this.brought[this.current]; this.#correct(own, withCorrection(own.corrections, attempt, says), words); };
    return {
      maneuvers: this.known.maneuvers,
      say: (says, words) => change(opened(), says, words),
      add: says => change(null, { ...says, missed: true }, correctionWords({ at_s: says.start_s, ...says })),
      drop: index => { const own = this.brought[this.current]; this.#correct(own, own.corrections.filter((_, i) => i !== index), `as found again, ${correctionWords(own.corrections[index])}`); },
      save: () => { const own = this.brought[this.current]; saveBlob(new Blob([correctionsText(own.corrections, own.name)], { type: 'text/plain' }), `${own.name.replace(/\.[^.]*$/, '')}-corrections.toml`); },
      load: file => this.#load(file),
      place: () => this.clock.time,
    };
  }
  /** @param {Brought} own @param {import('../parts/correct.js').Correction[]} list @param {string} words */
  async #correct(own, list, words) {
    const before = own.corrections, at = list.find(c => !before.includes(c) && !c.none)?.at_s ?? null;
    own.corrections = list;
    own.follow = at;
    if (await this.#read(own)) {
      history.note('corrections', `correction, ${words}`, { flight: this.brought.indexOf(own), list: before }, { flight: this.brought.indexOf(own), list });
      this.#keepCorrections(own);
    } else {
      // What fits nothing is told and not kept.
      own.corrections = before;
    }
  }
  /** @param {number} flight @param {import('../parts/correct.js').Correction[]} list */
  async #putCorrections(flight, list) {
    const own = this.brought[flight];
    if (!own) return;
    this.current = flight;
    if (location.hash.split('?')[0] !== '#flight') location.hash = this.#hash(own);
    own.corrections = list;
    this.#keepCorrections(own);
    await this.#read(own);
  }
  /** A file of corrections: the program takes it first, faults and all. @param {File} file */
  async #load(file) {
    const own = this.brought[this.current], text = await file.text(), query = this.#query(own);
    query.delete('corrections');
    query.append('corrections', text);
    try {
      await (own.demo ? askJson(`api/demo?${query}`) : askJson(`api/debrief?${query}`, { method: 'POST', body: new Blob(own.files) }));
      await this.#correct(own, correctionsOf(text), `from ${file.name}`);
    } catch (error) {
      this.state.className = 'state wrong';
      this.state.scrollIntoView({ block: 'nearest' });
      this.state.innerHTML = `<b>${escape(/** @type {Error} */ (error).message.replaceAll('the corrections', file.name))}</b>\n${escape(/** @type {any} */ (error).hint ?? '')}`;
    }
  }
  /** @param {Brought} own */
  #correctionsKey(own) { return own.demo ? 'corrections.demo' : `corrections.${own.files.map(({ name, size }) => `${name}.${size}`).join('+')}${own.told.entry ? `:${own.told.entry}` : ''}`; }
  /** @param {Brought} own */
  #keepCorrections(own) { remember(this.#correctionsKey(own), own.corrections.length ? own.corrections : null); }

  /** The flight, the attempt, what it is held against, the place on the dial, what was told. @param {Brought} own */
  #hash(own) {
    // The standard is always said: an address that says anything says all.
    const { asked, inAddress } = this.clock, { entry, ...told } = /** @type {Record<string, string>} */ ({ standard: this.known.standards[0].id, ...own.told });
    return makeHash('flight', { flight: own.demo ? 'demo' : own.name, attempt: String(own.attempt + 1), over: own.over >= 0 ? String(own.over + 1) : '', at: asked === null ? inAddress : String(asked), ...told });
  }
  /** What ends while another view is shown leaves the address to that. @param {boolean} step whether the back button leads here again */
  #address(step) {
    clearTimeout(this.placing);
    const own = this.brought[this.current];
    if (own && !this.host?.hidden) putHash(this.#hash(own), step);
  }
  /** What is told of a flight that nobody told anything of. The invented lesson was flown in its airplane, over the sea; nothing of that holds
   * for another flight. @param {{ demo: boolean }} own @returns {Record<string, string>} */
  #firstTold({ demo }) { return demo ? { airplane: this.known.airplanes[0].id, 'ground-elevation': '0ft' } : {}; }
  /** @param {Brought} own @param {Record<string, string>} given of an address that tells all or nothing @returns {boolean} whether what it tells is new */
  #toldBy(own, given) {
    const told = toldIn(given), usual = { standard: this.known.standards[0].id };
    if (!Object.keys(told).length) return false;
    if (own.told.entry) told.entry = own.told.entry;
    const [before, after] = [own.told, told].map(one => /** @type {Record<string, string>} */ ({ ...usual, ...one }));
    if (NAMES.every(name => (after[name] ?? '') === (before[name] ?? ''))) return false;
    own.told = told;
    return true;
  }

  /** @param {Record<string, string>} given of the address */
  open(given) {
    document.title = 'Flight: Skychalk';
    // Back from another view: as it was left.
    if (!given.flight) return this.#address(false);
    // An address names a flight; the recording itself stays with whoever has it.
    const index = this.brought.findIndex(({ name, demo, away }) => !away && (given.flight === 'demo' ? demo : !demo && name === given.flight)), own = this.brought[index];
    if (!own) return given.flight === 'demo' ? this.openDemo(given) : this.#absent(given);
    const elsewhere = this.current !== index, moved = this.#placeBy(own, given), before = { flight: index, told: own.told };
    this.current = index;
    if (this.#toldBy(own, given)) {
      history.note('told', 'a step in the address', before, { flight: index, told: own.told });
      this.#read(own);
    } else if (elsewhere || moved) this.#show();
  }
  /** @param {Brought} own @param {Record<string, string>} given of the address @returns {boolean} whether it leads elsewhere */
  #placeBy(own, given) {
    const whole = (/** @type {string | undefined} */ typed, /** @type {number} */ usual) => (typed === undefined ? usual : /^\d+$/.test(typed) ? Number(typed) - 1 : NaN);
    const [attempt, over, place] = [whole(given.attempt, 0), whole(given.over, -1), given.at === undefined ? 0 : Number(given.at)];
    if (attempt === own.attempt && over === own.over && (given.at === undefined ? this.clock.place === 0 : Math.abs(place - this.clock.counted) < 0.06) && !unknownIn(given).length) return false;
    // What an address asks for and is not there is told as soon as the flight is.
    own.unknown = unknownIn(given);
    own.asked = { ...(given.attempt !== undefined && { attempt: given.attempt }), ...(given.over !== undefined && { over: given.over }), ...(given.at !== undefined && { at: given.at }) };
    Object.assign(own, { attempt: Number.isFinite(attempt) ? attempt : 0, over: Number.isFinite(over) ? over : -1 });
    [this.clock.place, this.clock.asked] = [0, given.at !== undefined && Number.isFinite(place) ? place : null];
    return true;
  }
  /** @param {Record<string, string>} given of an address whose flight is not open here */
  #absent(given) {
    this.asked = given;
    this.state.className = 'state wrong';
    this.state.innerHTML = `<b>The flight “${escape(given.flight)}” is not open here.</b>\nThe page keeps no recordings: drop the file again.`;
    document.documentElement.dataset.flight = 'absent';
  }
  /** @param {File[]} files */
  drop(files) { this.bring(files); }
  /** Each file is a flight of its own until it is said that they are one. @param {File[]} files */
  bring(files) {
    // What systems put into folders for themselves is no recording.
    for (const file of files.filter(({ name, size }) => !name.startsWith('.') || size > 1_000_000)) {
      const own = this.#add({ name: file.name, files: [file], demo: false });
      // The one that an address asked for opens where that leads.
      if (this.asked?.flight === file.name) {
        this.#toldBy(own, this.asked);
        this.#placeBy(own, this.asked);
        this.asked = null;
      }
      this.#read(own);
    }
    this.#ways(false);
  }
  /** @param {Record<string, string>} [given] of the address */
  openDemo(given = {}) {
    const found = this.brought.findIndex(({ demo, away }) => demo && !away);
    this.#ways(false);
    if (found >= 0) { this.current = found; return this.#show(true); }
    const own = this.#add({ name: 'bundled flight', files: [], demo: true });
    own.told = { ...this.#firstTold(own), ...(this.usual.standard ? { standard: this.usual.standard } : {}), ...toldIn(given) };
    this.#placeBy(own, given);
    this.#read(own);
  }
  /** How recordings are brought: always shown while none is open. @param {boolean} more */
  #ways(more) {
    this.bringing.classList.toggle('more', more);
    find('#bring-more', this.host).setAttribute('aria-expanded', String(more));
  }
  /** @param {{ name: string, files: File[], demo: boolean }} given @returns {Brought} */
  #add(given) {
    const own = /** @type {Brought} */ ({ ...given, state: 'reading', words: '', hint: '', flight: null, attempt: 0, over: -1, asked: null, unknown: [], away: false, corrections: [], follow: null, stop: null, told: { ...this.usual } });
    own.corrections = recall(this.#correctionsKey(own)) ?? [];
    this.brought.push(own);
    this.current = this.brought.length - 1;
    return own;
  }
  /** An archive of several flights: each becomes one of its own. The first takes the archive's place, so that every flight keeps the place by
   * which it is called back. @param {Brought} own @param {string[]} recordings their names in it */
  #apart(own, recordings) {
    const { name, files } = own;
    recordings.forEach((entry, i) => {
      const one = i ? this.#add({ name: '', files, demo: false }) : own;
      one.name = `${name}: ${entry}`;
      one.told = { ...own.told, entry };
      one.corrections = recall(this.#correctionsKey(one)) ?? [];
      this.#read(one);
    });
  }
  /** Files that were read, one a flight: the same file brought twice is one. */
  #single() {
    const read = this.brought.filter(({ files, state, told, away }) => !away && files.length === 1 && state === 'open' && !told.entry);
    return read.filter((own, i) => read.findIndex(({ files: [file] }) => file.name === own.files[0].name && file.size === own.files[0].size) === i);
  }
  /** Two are joined at once; of more it is said which. Those recorded while the open one was are taken to be of its flight. */
  #joining() {
    const several = this.#single(), box = find('.joining', this.host), own = this.brought[this.current], opening = box.hidden;
    if (several.length === 2) return this.#join(several);
    const time = (/** @type {Brought} */ { flight }) => { const { start, duration_s } = flight.debrief.recording, from = Date.parse(start ?? ''); return [from, from + 1000 * duration_s]; };
    const together = (/** @type {Brought} */ one) => { const [a, b] = [time(one), time(several.includes(own) ? own : several[0])]; return one === own || (a[0] < b[1] && b[0] < a[1]); };
    box.hidden = !opening;
    find('#join', this.host).setAttribute('aria-expanded', String(opening));
    box.innerHTML = `<legend>one flight are</legend>${several.map(one => `<label><input type="checkbox" value="${this.brought.indexOf(one)}"${together(one) ? ' checked' : ''}> ${escape(one.name)}</label>`).join('')}<button type="button" class="quiet">join the ticked</button>${this.brought.some(({ told, away }) => told.entry && !away) ? '<span class="muted">Recordings inside an archive are joined once they are unpacked.</span>' : ''}`;
    if (opening) find('input', box).focus();
  }
  /** @param {Brought[]} several */
  #join(several) {
    if (several.length < 2) return;
    find('.joining', this.host).hidden = true;
    find('#join', this.host).setAttribute('aria-expanded', 'false');
    const joined = this.#add({ name: several.map(({ name }) => name).join(' + '), files: several.flatMap(({ files }) => files), demo: false });
    joined.told = { ...several[0].told };
    this.#read(joined);
  }

  /** Away from the list; it comes back when that is undone. @param {number} flight */
  #away(flight) {
    this.#putAway(flight, true);
    history.note('away', `${this.brought[flight].name}, put away`, { flight, away: false }, { flight, away: true });
  }
  /** @param {number} flight @param {boolean} away */
  #putAway(flight, away) {
    const own = this.brought[flight];
    own.stop?.abort();
    own.away = away;
    const left = this.brought.findLastIndex(one => !one.away);
    if (!away) this.current = flight; else if (flight === this.current) this.current = left;
    this.#show(true);
    if (left < 0) putHash('#flight', true);
  }

  /** @param {Brought} own */
  #query(own) {
    const query = new URLSearchParams();
    for (const file of own.files) query.append('name', file.name);
    if (own.files.length > 1) for (const file of own.files) query.append('bytes', String(file.size));
    for (const name of NAMES) {
      const value = own.told[name] ?? (name === 'standard' ? this.known.standards[0].id : '');
      if (value) query.append(name, value);
    }
    if (this.columns) query.append('columns', this.columns);
    if (own.corrections.length) query.append('corrections', correctionsText(own.corrections, own.name));
    return query;
  }
  /** @param {Brought} own @returns {Promise<boolean>} whether it was read */
  async #read(own) {
    own.stop?.abort();
    let good = false;
    const stop = own.stop = new AbortController(), start = performance.now(), size = own.files.reduce((sum, file) => sum + file.size, 0);
    own.state = 'reading';
    own.words = 'sending';
    const tick = setInterval(() => { own.words = `${own.words.split(',')[0]}, ${text((performance.now() - start) / 1000)} s`; this.#list(); }, 1000);
    this.#show();
    try {
      if (size > this.known.service.upload_bytes_most) throw Object.assign(new Error(`${own.name} is larger than ${text(this.known.service.upload_bytes_most / 2 ** 20)} MiB`), { hint: 'Cut it into single flights, or use the command line.' });
      // A copy may have to be told again; what is sent is sent once.
      if (own.told.airplane?.startsWith('copy-')) await askJson(`api/airplane?airplane=${own.told.airplane}`, { signal: stop.signal });
      const path = `api/${own.demo ? 'demo/' : ''}flight?${this.#query(own)}`;
      const flight = own.demo ? await askJson(path, { signal: stop.signal }) : await send(path, new Blob(own.files), { signal: stop.signal, progress: share => { own.words = share < 1 ? `sending ${text(100 * share)} %` : 'reading, finding the motion and the attempts'; } });
      Object.assign(own, { flight, state: 'open', words: '', hint: '', attempt: followed(own, flight) });
      good = true;
    } catch (error) {
      const { recordings } = /** @type {any} */ (error);
      if (own.stop === stop && recordings?.length) this.#apart(own, recordings);
      else if (own.stop === stop) Object.assign(own, { state: own.flight ? 'open' : 'failed', words: /** @type {Error} */ (error).message, hint: ofThePage(/** @type {any} */ (error).hint ?? '') });
    } finally {
      clearInterval(tick);
      if (own.stop === stop) own.stop = null;
    }
    this.#show();
    return good;
  }

  #list() {
    find('.opened', this.host).innerHTML = this.brought.map((own, i) => (own.away ? '' : `<span class="one"><button type="button" class="quiet" data-flight="${i}" aria-pressed="${i === this.current}">${escape(own.name)}${own.state === 'failed' ? ' (not read)' : ''}</button>${own.state === 'reading' ? `<span class="muted">${escape(own.words)}</span><button type="button" class="quiet" data-stop="${i}">stop</button>` : `<button type="button" class="away" data-away="${i}" title="Put away"><span aria-hidden="true">×</span><span class="unseen">put ${escape(own.name)} away</span></button>`}</span>`)).join('');
    find('#join', this.host).hidden = this.#single().length < 2;
    if (this.#single().length < 3) find('.joining', this.host).hidden = true;
  }
  /** @param {boolean} [step] whether the back button leads here again */
  #show(step = false) {
    this.#list();
    this.#fields();
    const own = this.brought[this.current];
    this.state.className = own?.words && own.state !== 'reading' ? 'state wrong' : 'state';
    this.state.innerHTML = own?.words && own.state !== 'reading' ? `<b>${escape(own.words)}</b>\n${escape(own.hint)}` : '';
    this.body.hidden = !own?.flight;
    this.bringing.classList.toggle('open', Boolean(own?.flight));
    find('#bring-more', this.host).hidden = !own?.flight;
    find('.welcome', this.host).hidden = this.brought.some(({ away }) => !away);
    if (own?.flight) {
      this.#openAttempt(own.attempt, step);
      const missing = own.state === 'open' ? this.#notThere(own) : '';
      const cut = own.flight.debrief.notes.find((/** @type {string} */ note) => note.includes('if the file was cut there'));
      if (cut && own.state === 'open') { this.state.className = 'state wrong'; this.state.innerHTML = `<b>Perhaps half a recording.</b> ${escape(cut[0].toUpperCase() + cut.slice(1))}.`; }
      if (missing) { this.state.className = 'state wrong'; this.state.innerHTML = `<b>The address asks for what is not there.</b>\n${escape(missing[0].toUpperCase() + missing.slice(1))}. Shown is what there is.`; }
      document.documentElement.dataset.flight = String(this.current);
    }
    if (own?.state === 'failed') document.documentElement.dataset.flight = 'failed';
  }

  /** What an address asks for and is not there, in words. @param {Brought} own @returns {string} */
  #notThere(own) {
    const { asked } = own, attempts = own.flight.debrief.attempts, words = [];
    own.asked = null;
    if (!asked) return '';
    for (const name of own.unknown.splice(0)) words.push(`“${name}”: an address of Flight says nothing by that name`);
    const among = (/** @type {string} */ typed) => (/^\d+$/.test(typed) ? attempts[Number(typed) - 1] : undefined), many = `this flight has ${attempts.length === 1 ? 'one attempt' : `${attempts.length || 'no'} attempts`}`;
    if (asked.attempt !== undefined && !among(asked.attempt) && attempts.length) words.push(`attempt “${asked.attempt}”: ${many}`);
    const other = asked.over === undefined ? null : among(asked.over), shown = attempts[own.attempt];
    if (asked.over !== undefined && (!other || other === shown || other.maneuver !== shown?.maneuver)) words.push(`attempt “${asked.over}” to hold it against: ${!other ? many : other === shown ? 'that is the same' : 'that is another maneuver'}`);
    const { ahead, total } = this.clock;
    if (asked.at !== undefined && !(Number(asked.at) >= -ahead - 0.6 && Number(asked.at) <= total - ahead + 0.6)) words.push(`the place “${asked.at}”: the dial goes from ${text(-ahead)} to ${text(total - ahead)}`);
    return words.join('; ');
  }
  /** @param {number} index @param {boolean} step */
  #openAttempt(index, step) {
    const own = this.brought[this.current], attempts = own?.flight.debrief.attempts ?? [];
    if (!own) return;
    const before = own.attempt, at = Math.max(0, Math.min(index, attempts.length - 1));
    own.attempt = at;
    if (at !== before || attempts[own.over]?.maneuver !== attempts[at]?.maneuver || own.over === at) own.over = -1;
    this.hands = null;
    this.handsMissing = null;
    this.outside = '';
    if (step) [this.clock.place, this.clock.asked] = [0, null];
    this.#address(step);
    this.whole.show(own.flight, attempts.length ? own.attempt : -1);
    this.#draw();
    this.#askHands(own);
  }
  get #open() {
    const own = this.brought[this.current];
    const attempt = own?.flight?.debrief.attempts[own.attempt];
    return attempt ? { own, attempt, beside: own.flight.beside?.[own.attempt], maneuver: this.known.maneuvers.find(({ id }) => id === attempt.maneuver) } : null;
  }
  /** Seat, hands and feet of the reference: a brief from the same entry. @param {Brought} own */
  async #askHands(own) {
    const open = this.#open, path = open?.beside?.reference?.path, airplane = own.told.airplane;
    if (!open || !path || !airplane) return;
    const { attempt, beside } = open, heading = ((path.heading_deg[0] % 360) + 360) % 360;
    const query = new URLSearchParams({ maneuver: attempt.maneuver, form: attempt.form, direction: sideOf(attempt, beside), airplane, height: `${path.height_ft[0]}ft`, speed: `${path.ias_kt[0]}kt`, heading: `${heading.toFixed(1)}deg`, fit: 'no', flown: 'yes' });
    if (beside.wind_speed_kt != null) query.set('wind', `${beside.wind_from_deg}/${beside.wind_speed_kt}kt`);
    let refused = '';
    const brief = await this.beside.take(signal => askJson(`api/brief?${query}`, { signal })).catch(error => { refused = error.name === 'AbortError' ? '' : error.message; return null; });
    if (!(brief || refused) || this.#open?.attempt !== attempt || this.brought[this.current] !== own) return;
    this.hands = brief?.sides.length ? brief : null;
    // A reference from an entry that the airplane should not fly is no ideal: what is passed is said.
    this.outside = brief?.verdict === 'outside limits' ? brief.reasons.join('; ') : '';
    this.handsMissing = this.hands ? null : `Not computed: ${this.outside ? `from this entry the figure is outside limits: ${this.outside}` : refused || 'the program gives none here'}`;
    this.#draw();
  }

  #draw() {
    const open = this.#open, about = find('.about', this.body), stage = find('.stage', this.body), sheet = find('.more-of', this.body);
    stage.hidden = !open;
    find('.findings-box', this.body).hidden = !open;
    this.correct.show(open?.attempt ?? null, this.brought[this.current]?.corrections ?? []);
    if (!open) {
      this.clock.setScene(null);
      about.innerHTML = '';
      sheet.innerHTML = this.#notes();
      return;
    }
    const { own, attempt, beside, maneuver } = open, { debrief } = own.flight;
    const like = debrief.attempts.map((/** @type {any} */ one, /** @type {number} */ i) => ({ one, i })).filter((/** @type {any} */ { one, i }) => i !== own.attempt && one.maneuver === attempt.maneuver);
    const named = attempt.confidence === 1 && attempt.evidence[0]?.startsWith('as the user');
    about.innerHTML = `<h1>Attempt ${own.attempt + 1}</h1><div class="words"><span>${escape(maneuverTitle(attempt.maneuver))}, ${escape(maneuver?.forms?.find((/** @type {any} */ one) => one.key === attempt.form)?.title ?? `${attempt.form} form`)}${escape(wayWords(attempt))}</span><span>${escape(debrief.airplane ?? 'airplane not stated')}</span><span>${named ? (own.corrections.some(({ maneuver: told }) => told === attempt.maneuver) ? 'named by you' : 'limits set by you') : `sure of the name: ${number(percent(attempt.confidence), 'Computed when it was found, from what spoke for and against (below)')}`}</span>${attempt.flown && attempt.flown.help !== 'not stated' ? `<span>${escape([attempt.flown.by, attempt.flown.help].filter(Boolean).join(', '))}</span>` : ''}${attempt.clearing_turns ? `<span>clearing turns: ${escape(attempt.clearing_turns)}</span>` : ''}${this.outside ? `<span class="c-limit short number" tabindex="0" data-source="${escape(this.outside)}">reference outside limits: ${said(this.outside)}</span>` : ''}<label>over <select name="compare"><option value="-1">${beside?.reference ? 'its reference' : 'no reference'}</option>${like.map((/** @type {any} */ { one, i }) => `<option value="${i}"${i === own.over ? ' selected' : ''}>attempt ${i + 1}${escape(wayWords(one))}${one.direction !== attempt.direction ? ', mirrored' : ''}</option>`).join('')}</select></label></div>`;
    this.scene = this.#scene(open);
    this.clock.setScene(this.scene);
    this.stage.about = `${own.name}, attempt ${own.attempt + 1}: ${maneuverTitle(attempt.maneuver)}${wayWords(attempt)}, ${debrief.airplane ?? 'airplane not stated'}.`;
    this.stage.setScene(this.scene);
    this.rail.setScene(this.scene, []);
    this.rail.setClock(this.scene, this.clock.place, '');
    write(find('.next', this.rail.box), next(attempt));
    write(find('.findings-box', this.body), findings(attempt));
    const kept = all('details', sheet).map(box => box.open), same = this.sheetOf === attempt;
    this.sheetOf = attempt;
    sheet.innerHTML = this.#sheet(open, like);
    // Hands and feet come later: what was opened meanwhile stays open.
    if (same) all('details', sheet).forEach((box, i) => { if (kept[i] !== undefined) box.open = kept[i]; });
  }
  /** @param {any} open @returns {import('../types').Scene} */
  #scene({ own, attempt, beside, maneuver }) {
    if (own.over < 0) return sceneOfAttempt(attempt, beside, maneuver, this.hands, this.handsMissing);
    const scene = sceneOfAttempt(attempt, { ...beside, reference: null, compared: true }, maneuver, this.hands);
    const other = sceneOfAttempt(own.flight.debrief.attempts[own.over], null, maneuver).flights[0];
    // Left upon right shows no difference but that.
    const { side } = scene.flights[0], laid = other.side === side ? other : { ...mirrored(other), side };
    return { ...scene, flights: [...scene.flights, { ...laid, role: 'other', sigmas: null }] };
  }
  /** @param {any} open @param {any[]} like */
  #sheet({ own, attempt, maneuver }, like) {
    const part = (/** @type {string} */ title, /** @type {string} */ inside, wide = false) => (inside ? `<details class="sheet-part"${wide ? ' open' : ''}><summary>${title}</summary><div>${inside}</div></details>` : '');
    const list = (/** @type {string[]} */ rows) => (rows.length ? `<ul data-source="Measured in the recording when the attempt was found and measured">${rows.map(row => `<li>${said(ofThePage(row))}</li>`).join('')}</ul>` : '');
    const attempts = own.flight.debrief.attempts, numbers = [own.attempt, ...like.map(({ i }) => i)];
    return part('Faults', faults(attempt), true) + part(`Measures${like.length ? `, beside the other attempts at the ${escape((maneuver?.title ?? '').toLowerCase())}` : ''}`, compared(numbers.map(i => attempts[i]), numbers))
      + part('What spoke for and against the name', list(attempt.evidence)) + part('Of this attempt', list([...(this.outside ? [`the reference beside it is outside limits from this entry: ${this.outside}`] : []), ...attempt.notes])) + this.#events() + this.#notes() + this.#keep(own);
  }
  /** Limits passed anywhere in the flight, and what could not be looked for. */
  #events() {
    const { events, event_checks: looked } = this.brought[this.current]?.flight?.debrief ?? {};
    if (!events) return '';
    const row = (/** @type {any} */ event) => [`${text(event.begin_s / 60, 1)} min`, `${escape(event.title)}${event.expected ? '<span class="source">, meant by the figure</span>' : ''}${event.report_before_next_flight ? ' <b class="c-limit">report before the next flight</b>' : ''}`, said(withoutSource(event)), event.sure ? 'passed' : 'perhaps passed', event.attempt ? String(event.attempt) : '', `<span class="source">${escape(sourceWords(event.source))}</span>`];
    const blind = (looked ?? []).filter((/** @type {any} */ check) => !check.checked).map((/** @type {any} */ check) => `<li>${escape(plainWords(check.kind))}: ${said(ofThePage(check.why_not ?? ''))}</li>`).join('');
    return `<details class="sheet-part" open><summary>Safety, over the whole flight</summary><div>${events.length ? table(['at', 'what', 'in numbers', '', 'attempt', 'limit from'], events.map(row), 'Limits passed, or perhaps passed', 'plain', 'Measured in the recording, with its doubt of 95 %; limit from the source in the last column') : looked?.length ? '<p>No limit was seen to be passed.</p>' : '<p>Nothing was looked for: the notes say why.</p>'}${blind ? `<p>Could not be looked for:</p><ul>${blind}</ul>` : ''}</div></details>`;
  }
  #notes() {
    const debrief = this.brought[this.current]?.flight?.debrief;
    if (!debrief) return '';
    const { recording } = debrief, start = recording.start ? ` from ${recording.start}` : '';
    return `<details class="sheet-part" open><summary>Notes on this recording</summary><div><p class="number" tabindex="0" data-source="Read in the recording">${escape(recording.file)}: ${escape(recording.format)}, ${text(recording.duration_s / 60, 1)} minutes${escape(start)}; recorded by: ${escape(recording.sensors.join(', '))}.</p><ul data-source="Noted while the recording was read and its motion found">${debrief.notes.map((/** @type {string} */ note) => `<li>${said(ofThePage(note))}</li>`).join('')}</ul></div></details>`;
  }
  /** @param {Brought} own */
  #keep(own) {
    const done = (/** @type {string} */ format) => `<button type="button" class="quiet" data-keep="${format}">${{ html: 'page that prints', pdf: 'sheet, PDF', svg: 'pictures', csv: 'table', json: 'numbers' }[format]}</button>`;
    queueMicrotask(() => {
      for (const button of all('[data-keep]', this.body)) button.addEventListener('click', () => this.#save(own, button.dataset.keep));
      for (const button of all('[data-keep-attempt]', this.body)) button.addEventListener('click', () => this.#save(own, button.dataset.keepAttempt, own.attempt + 1));
    });
    const one = `<button type="button" class="quiet" data-keep-attempt="pdf">sheet, PDF</button> <button type="button" class="quiet" data-keep-attempt="html">page that prints</button>`;
    return `<p class="keep">Keep this attempt: ${one}</p><p class="keep">Keep the debrief of all: ${['html', 'pdf', 'svg', 'csv', 'json'].map(done).join(' ')}</p>`;
  }
  /** @param {Brought} own @param {string} format @param {number} [attempt] the one that is told in full, from one; else all are */
  async #save(own, format, attempt) {
    const { ask } = await import('../core/api.js');
    const query = this.#query(own);
    query.append('format', format);
    query.append('shown-in', systemName());
    if (attempt) query.append('attempt', String(attempt));
    try {
      const answer = await (own.demo ? ask(`api/demo?${query}`) : ask(`api/debrief?${query}`, { method: 'POST', body: new Blob(own.files) }));
      saveBlob(await answer.blob(), attempt ? `attempt-${attempt}.${format}` : `debrief.${format}`);
    } catch (error) {
      this.state.className = 'state wrong';
      this.state.textContent = /** @type {Error} */ (error).message;
    }
  }
  /** @param {number} place */
  #moved(place) {
    if (!this.scene) return;
    this.stage.setClock(place);
    this.rail.setClock(this.scene, place, '');
    clearTimeout(this.placing);
    if (!this.clock.playing) this.placing = setTimeout(() => this.#address(false), ADDRESS_AFTER_MS);
  }
  /** Copies come and go. */
  #airplaneOptions() {
    const select = find('[name=airplane]', this.host), chosen = this.told.airplane ?? '';
    select.innerHTML = `<option value="">airplane not stated</option>${this.known.airplanes.map(({ id, name }) => `<option value="${escape(id)}">${escape(name)}</option>`).join('')}`;
    select.value = this.known.airplanes.some(({ id }) => id === chosen) ? chosen : '';
  }
  redraw() {
    // A copy that was put away is no airplane that was flown.
    for (const one of this.brought) {
      if (!one.told.airplane?.startsWith('copy-') || this.known.airplanes.some(({ id }) => id === one.told.airplane)) continue;
      one.told = { ...one.told, airplane: '' };
      if (one.flight) this.#read(one);
    }
    this.#airplaneOptions();
    const own = this.brought[this.current];
    if (own?.flight) { this.whole.show(own.flight, own.attempt); this.#draw(); }
  }
  /** @param {KeyboardEvent} event */
  key(event) {
    const { clock } = this, small = event.shiftKey ? 1 : 5, own = this.brought[this.current];
    if (!own?.flight) return false;
    const keys = /** @type {Record<string, () => void>} */ ({
      ArrowRight: () => clock.step(small), ArrowLeft: () => clock.step(-small), Home: () => clock.go(0), End: () => clock.go(clock.total), PageDown: () => clock.checkpoint(1), PageUp: () => clock.checkpoint(-1),
      ' ': () => clock.toggle(), h: () => this.rail.half(), '[': () => this.#openAttempt(own.attempt - 1, true), ']': () => this.#openAttempt(own.attempt + 1, true), ...this.stage.keys,
    });
    keys[event.key]?.();
    return Boolean(keys[event.key]);
  }
}
/** What passed a limit in numbers: where the limit comes from stands beside it. @param {any} event */
const withoutSource = ({ text: words, source }) => (words.endsWith(`: ${source}`) ? words.slice(0, -source.length - 2) : words);
/** The attempt to be open when a flight was read again: the one at a moment, else the one of before. @param {Brought} own @param {any} flight */
function followed(own, flight) {
  const { attempts } = flight.debrief, at = own.follow;
  own.follow = null;
  const found = at === null ? -1 : attempts.findIndex((/** @type {any} */ one) => one.start_s - 3 <= at && at <= one.end_s + 3);
  return found >= 0 ? found : Math.min(own.attempt, Math.max(0, attempts.length - 1));
}
