// The Board: choose, and see the figure flown: six pictures, one clock, limits, safety sheet.
import { askJson, Newest } from '../core/api.js';
import { makeHash, putHash, recall, remember } from '../core/choice.js';
import { history } from '../core/history.js';
import { at, valueAt } from '../core/flight.js';
import { all, element, escape, find, sign } from '../core/markup.js';
import { quantity, spoken, text } from '../core/numbers.js';
import { told, verdictWords } from '../core/words.js';
import { Clock } from '../parts/clock.js';
import { limitsDrawn } from '../parts/limits.js';
import { Rail } from '../parts/rail.js';
import { saveBlob } from '../parts/save.js';
import { sheet } from '../parts/sheet.js';
import { Sliders, SLIDERS, USUAL, valueOf, words } from '../parts/sliders.js';
import { blockSource } from '../parts/source.js';
import { Stage } from '../parts/stage.js';
import { modesOf, sceneOfBrief } from './scene.js';

/** Quiet this long before hands and feet are asked for, and before the window of entry speeds is. */
const HANDS_AFTER_MS = 220, FIT_AFTER_MS = 700;
/** Parameters that are typed, with what stands in the empty field. */
const TYPED = [['heading', 'entry heading, true', '270deg'], ['cloud-base', 'cloud base', '5000ft'], ['visibility', 'visibility', '8km'], ['top', 'top of the airspace', '6000ft'], ['room', 'room to the edge', '2NM'],
  ['time', 'time', '2026-06-13T14:00:00Z'], ['place', 'place', '48.1N/11.5E'], ['country', 'rules of', 'all'], ['speaking-rate', 'speaking rate', '150wpm']];
const VOICES = [['demonstrating', 'demonstrating'], ['directing', 'directing'], ['monitoring', 'monitoring']];
const MODES = /** @type {[string, string][]} */ ([['left', 'Left'], ['right', 'Right'], ['both', 'Both'], ['mirrored', 'Mirrored']]);
const FIRST = { maneuver: 'chandelle' };
/** Still this long before the place on the dial is put into the address, ms. */
const ADDRESS_AFTER_MS = 300;

export class Board {
  /** @param {HTMLElement} host @param {{ maneuvers: any[], airplanes: any[] }} known */
  constructor(host, known) {
    this.known = known;
    /** @type {Record<string, string>} */ this.given = {};
    this.mode = 'right';
    this.voice = recall('voice') ?? 'demonstrating';
    /** @type {any} */ this.brief = null;
    /** @type {import('../types').Scene | null} */ this.scene = null;
    this.later = new Newest();
    this.asking = false;
    this.again = false;
    this.full = false;
    this.draws = 0;
    /** What the address asked for and is not there. */ this.untold = '';
    this.placeAsked = 0;
    /** When what stands below the pictures is drawn. */ this.below = Promise.resolve();
    // Built below, in the order they stand on the page.
    /** @type {Stage} */ this.stage = /** @type {any} */ (null);
    /** @type {Rail} */ this.rail = /** @type {any} */ (null);
    /** @type {Sliders} */ this.sliders = /** @type {any} */ (null);
    /** What a copy that is flown was made of. @type {string | null} */ this.flownOf = null;
    this.clock = new Clock(place => this.#moved(place));
    history.register('board', chosen => this.#put(chosen));
    this.#build(host);
  }

  /** @param {HTMLElement} host */
  #build(host) {
    const options = (/** @type {any[]} */ list) => list.map(({ id, title, name }) => `<option value="${escape(id)}">${escape(title ?? name)}</option>`).join('');
    const number = (/** @type {string} */ name) => `<button type="button" class="word" data-slider="${name}" aria-controls="day"></button>`;
    host.innerHTML = `<form class="choice" autocomplete="off" aria-label="What is flown"><h1><label><span class="unseen">maneuver</span><select name="maneuver">${options(this.known.maneuvers)}</select></label></h1>
<div class="words"><label><span class="unseen">form</span><select name="form"></select></label><span><label><span class="unseen">airplane</span><select name="airplane">${airplaneOptions(this.known.airplanes)}</select></label>, ${number('weight')}</span><span>entry ${number('height')}, ${number('speed')}</span><span>${number('wind-speed')}</span><label><span class="unseen">seat</span><select name="seat"><option value="left">left seat</option><option value="right">right seat</option></select></label><button type="button" class="word" id="day-toggle" aria-expanded="false" aria-controls="day">airplane and day</button></div>
</form>
<section class="day" id="day" aria-label="Airplane and day" hidden><details><summary>heading, cloud, airspace, sun, rules</summary><div class="typed">${TYPED.map(([name, say, example]) => `<label>${say}<input name="${name}" placeholder="${example}" size="${Math.max(8, example.length)}"></label>`).join('')}</div></details></section>
<div class="line"><p class="state" role="status"></p><p class="verdict" role="status"></p></div>
<div class="stage bare"></div><section class="reasons" tabindex="-1" aria-label="Why" hidden></section>
<section class="clip" aria-label="Clip" hidden><h2 class="part-title">Clip for the briefing room</h2><form autocomplete="off"><label>sides <select name="clip-sides"><option value="shown">as shown</option><option value="each">left, then right</option></select></label><label>speed <select name="clip-rate"><option value="1">true time</option><option value="0.5">half speed</option></select></label><label><input type="checkbox" name="burn" checked> captions in the picture</label><button type="button" class="quiet" id="record">Record</button><button type="button" class="quiet" id="record-stop" hidden>Stop</button><span id="recorded" role="status"></span></form><p class="source">Recorded by this browser as WebM, with the words of the chosen voice as a WebVTT file beside it. It takes as long as it plays; keep this page in front.</p></section>
<section class="sheet" aria-label="Sheet"></section>`;
    this.form = find('form', host);
    this.day = find('.day', host);
    this.state = find('.state', host);
    this.host = host;
    this.sliders = new Sliders(this.day, change => this.#change(change, false));
    this.day.prepend(this.sliders.box);
    const stage = find('.stage', host);
    this.stage = new Stage(stage, this.clock);
    this.rail = new Rail(stage, this.clock, { modes: MODES, onMode: mode => this.setMode(mode) });
    stage.append(element('<section class="limits" aria-label="Limits and margins"></section>'));
    find('.shelf', this.rail.box).append(element(`<label class="voice">voice <select name="voice">${VOICES.map(([key, say]) => `<option value="${key}"${key === this.voice ? ' selected' : ''}>${say}</option>`).join('')}</select></label>`));
    find('[name=voice]', this.rail.box).addEventListener('change', (/** @type {any} */ event) => { this.voice = event.target.value; remember('voice', this.voice); this.#draw(); });
    this.form.addEventListener('submit', (/** @type {Event} */ event) => event.preventDefault());
    this.form.addEventListener('change', (/** @type {any} */ event) => {
      const { name, value } = event.target;
      this.#change(name === 'maneuver' ? { maneuver: value, form: '', height: '', speed: '' } : name === 'airplane' ? { airplane: value, weight: '', speed: '' } : { [name]: value }, true);
    });
    this.day.addEventListener('change', (/** @type {any} */ event) => { if (TYPED.some(([name]) => name === event.target.name)) this.#change({ [event.target.name]: event.target.value.trim() }, true); });
    for (const button of all('[data-slider]', this.form)) button.addEventListener('click', () => { this.showDay(true); this.sliders.focus(button.dataset.slider); });
    find('.sheet', host).addEventListener('change', (/** @type {any} */ event) => { if (event.target.name === 'paper-size') { remember('paper-size', event.target.value); this.#sheet(); find('[name=paper-size]', host)?.focus(); } });
    find('.verdict', host).addEventListener('click', (/** @type {Event} */ event) => { if (/** @type {Element} */ (event.target).closest('button')) { find('.reasons', host).focus(); find('.reasons', host).scrollIntoView({ block: 'center' }); } });
    find('#record', host).addEventListener('click', () => this.#record());
    find('#day-toggle', host).addEventListener('click', () => this.showDay(this.day.hidden));
  }
  async #record() {
    const { brief, maneuver } = this, of = (/** @type {string} */ name) => find(`[name="${name}"]`, this.host), status = find('#recorded', this.host);
    if (!brief?.sides.length || !this.full) { status.textContent = 'Wait for hands and feet.'; return; }
    const modes = of('clip-sides').value === 'each' ? brief.sides.map((/** @type {any} */ side) => side.direction).sort() : [this.mode];
    const scenes = modes.flatMap((/** @type {string} */ mode) => {
      const scene = sceneOfBrief(brief, maneuver, mode), side = brief.sides.find((/** @type {any} */ one) => one.direction === scene?.flights[0].side);
      return scene ? [{ scene, said: this.#said(side), title: `${maneuver.title}, ${brief.airplane_name}${scene.mode === 'both' ? '' : `, ${scene.flights[0].side}`}` }] : [];
    });
    const stop = new AbortController(), [start, end] = [find('#record', this.host), find('#record-stop', this.host)];
    end.onclick = () => stop.abort();
    start.disabled = true;
    end.hidden = false;
    this.clock.stop();
    try {
      const { recordClip } = await import('../parts/clip.js');
      const { video, captions } = await recordClip({ scenes, look: this.stage.look, rate: Number(of('clip-rate').value), burn: of('burn').checked, signal: stop.signal, progress: share => { status.textContent = `recording, ${text(100 * share)} %`; } });
      saveBlob(video, `${maneuver.id}.webm`);
      saveBlob(new Blob([captions], { type: 'text/vtt' }), `${maneuver.id}.vtt`);
      status.textContent = `saved: ${maneuver.id}.webm (${text(video.size / 2 ** 20, 1)} MiB) and ${maneuver.id}.vtt`;
    } catch (error) {
      status.textContent = /** @type {Error} */ (error).message;
    } finally {
      start.disabled = false;
      end.hidden = true;
    }
  }
  /** @param {boolean} open */
  showDay(open) {
    this.day.hidden = !open;
    find('#day-toggle', this.host).setAttribute('aria-expanded', String(open));
    remember('day', open);
  }
  get maneuver() { return this.known.maneuvers.find(({ id }) => id === this.given.maneuver) ?? this.known.maneuvers[0]; }
  get airplane() { return this.known.airplanes.find(({ id }) => id === this.given.airplane) ?? this.known.airplanes[0]; }

  /** @param {Record<string, string>} given of the address */
  open(given) {
    // Back from another view: as it was left.
    if (!Object.keys(given).length && this.given.maneuver) {
      this.#address();
      this.#title();
      if (this.brief) this.#draw(); else this.#solve();
      return;
    }
    // An address that says anything means the same in every browser; one that says nothing is as it was last left here.
    const first = { ...FIRST, airplane: this.known.airplanes[0].id }, { side, at: place, ...rest } = given.maneuver ? given : Object.keys(given).length ? { ...first, ...given } : { ...first, ...recall('board') };
    const known = side === undefined || MODES.some(([mode]) => mode === side), gone = this.#gone(rest);
    if (gone) rest.airplane = first.airplane;
    const changed = JSON.stringify(rest) !== JSON.stringify(this.given) || !this.brief;
    if (this.brief) history.note('board', 'a step in the address', this.#chosen, { given: rest, mode: side ?? this.mode });
    this.given = rest;
    if (side && known) this.mode = side;
    this.clock.place = 0;
    this.clock.asked = place !== undefined && Number.isFinite(Number(place)) ? Number(place) : null;
    this.untold = [...(gone ? ['the airplane that was edited: its copy was put away, or lives in another tab'] : []), ...(known ? [] : [`side “${side}”: it is left, right, both or mirrored`]), ...(place === undefined || Number.isFinite(Number(place)) ? [] : [`place “${place}”: it is a number of the dial`])].join('; ') || this.untold;
    /** @type {number | null} */ this.placeAsked = this.clock.asked;
    if (recall('day') && this.day.hidden && innerHeight > 900) this.showDay(true);
    this.#address();
    if (changed) this.#solve(); else this.#draw();
  }
  /** Whether an airplane that was edited is asked for and is not here. @param {Record<string, string>} given */
  #gone({ airplane }) { return Boolean(airplane?.startsWith('copy-')) && !this.known.airplanes.some(({ id }) => id === airplane); }
  /** @param {Record<string, string>} change @param {boolean} step whether the back button leads here again */
  #change(change, step) {
    const before = this.#chosen;
    this.given = Object.fromEntries(Object.entries({ ...this.given, ...change }).filter(([, value]) => value));
    if (change.maneuver) [this.clock.place, this.clock.asked] = [0, null];
    history.note('board', Object.keys(change)[0].replaceAll('-', ' '), before, this.#chosen);
    this.#address(step);
    this.#solve();
  }
  get #chosen() { return { given: this.given, mode: this.mode }; }
  /** As it was, or will be again. @param {{ given: Record<string, string>, mode: string }} chosen */
  #put({ given, mode }) {
    if (given.maneuver !== this.given.maneuver) [this.clock.place, this.clock.asked] = [0, null];
    [this.given, this.mode] = [given, mode];
    // An address of its own, so that the back button leads through undone choices too.
    if (location.hash.split('?')[0] !== '#board') location.hash = makeHash('board', { ...given, side: mode });
    else this.#address(true);
    this.#solve();
  }
  /** @param {boolean} [step] */
  #address(step = false) {
    clearTimeout(this.placing);
    const { asked, inAddress } = this.clock;
    putHash(makeHash('board', { ...this.given, side: this.mode, at: asked === null ? inAddress : String(asked) }), step);
  }
  /** @param {string} mode */
  setMode(mode) {
    if (this.brief && this.full && !modesOf(this.brief).includes(mode)) return;
    const before = this.#chosen;
    this.mode = mode;
    history.note('board', 'side', before, this.#chosen);
    remember('board', { ...this.given, side: mode });
    this.#address();
    const { clock } = this, share = this.scene ? clock.place / clock.total : 0;
    if (this.full) { this.#draw(); clock.go(share * clock.total); } else this.#solve();
  }

  /** The newest choice is flown as soon as the one before is answered: point mass first. */
  async #solve() {
    this.later.stop();
    clearTimeout(this.timer);
    if (this.asking) { this.#showChoice(); this.again = true; return; }
    this.asking = true;
    // Asked first: what is chosen is shown while the program flies it.
    this.again = false;
    const answered = this.#quick();
    this.#showChoice();
    await answered;
    while (this.again) {
      this.again = false;
      await this.#quick();
    }
    this.asking = false;
    this.timer = setTimeout(() => this.#full(), HANDS_AFTER_MS);
  }
  /** @param {Record<string, string>} more */
  #query(more) { return new URLSearchParams({ airplane: this.airplane.id, ...this.given, ...more }).toString(); }

  /** An airplane from public figures has none here until it is fitted. @returns {Promise<boolean>} */
  async #fitted() {
    const { airplane } = this;
    this.#say(`${airplane.name} is fitted to its public figures`);
    try {
      Object.assign(airplane, (await askJson(`api/airplane?airplane=${encodeURIComponent(airplane.id)}`)).airplane);
      return true;
    } catch (error) {
      this.#refused(error);
      return false;
    }
  }

  async #quick() {
    if (!this.airplane.masses && !(await this.#fitted())) return;
    const start = performance.now(), two = this.mode === 'both' || this.mode === 'mirrored';
    // While a slider moves, a height that was found before stands in for one that is not told: finding it takes flights of its own.
    /** @type {Record<string, string>} */
    const height = !this.given.height && this.brief?.maneuver === this.maneuver.id && this.maneuver.progress !== 'position' ? { height: `${this.brief.height_ft}ft` } : {};
    const ask = (/** @type {string} */ direction) => askJson(`api/brief?${this.#query({ ...height, direction, hands: 'no', fit: 'no' })}`);
    try {
      const answers = await Promise.all((two ? ['right', 'left'] : [this.mode]).map(ask));
      if (this.again) return;
      const [first, second] = answers, extra = (second?.sides ?? []).filter((/** @type {any} */ side) => side.direction !== first.sides[0]?.direction);
      this.full = false;
      this.#take({ ...first, sides: [...first.sides, ...extra] });
      this.#say(first.sides.length ? `${quantity(performance.now() - start, 'ms')} for the flight; hands and feet follow` : '');
      document.documentElement.dataset.solvedMs = String(Math.round(performance.now() - start));
    } catch (error) {
      this.#refused(error);
    }
  }
  /** Both ways with hands and feet, then with the window of entry speeds. */
  async #full() {
    for (const [fit, wait] of /** @type {[string, number][]} */ ([['no', 0], ['yes', FIT_AFTER_MS]])) {
      const answer = await this.later.take(async signal => {
        if (wait) await new Promise(done => setTimeout(done, wait));
        return signal.aborted ? null : askJson(`api/brief?${this.#query({ direction: 'both', fit })}`, { signal });
      }).catch(error => { this.#refused(error); return null; });
      if (!answer) return;
      this.full = true;
      this.#take(answer);
      // What was refused is not remembered.
      remember('board', { ...this.given, side: this.mode });
      this.#say('');
    }
    this.#notThere();
    await this.below;
    document.documentElement.dataset.settled = String(Date.now());
  }
  /** @param {any} brief */
  #take(brief) {
    this.brief = brief;
    this.flownOf = this.airplane.of ?? this.flownOf;
    for (const input of all('[aria-invalid]', this.host)) input.removeAttribute('aria-invalid');
    this.#showChoice();
    this.#draw();
  }
  /** What an address asked for and is not there. */
  #notThere() {
    const { ahead, total } = this.clock, place = this.placeAsked, beyond = place !== null && (place > total - ahead + 0.6 || place < -ahead - 0.6) ? `place “${text(place)}”: the dial goes from ${text(-ahead)} to ${text(total - ahead)}` : '', words = [this.untold, beyond].filter(Boolean).join('; ');
    [this.untold, this.placeAsked] = ['', null];
    if (!words) return;
    this.#address();
    this.state.className = 'state wrong';
    this.state.innerHTML = `<b>The address asks for what is not there.</b> ${escape(words[0].toUpperCase() + words.slice(1))}. Shown is what there is.`;
  }
  /** @param {string} words */
  #say(words) { this.state.className = 'state'; this.state.textContent = words; }
  /** @param {any} error */
  #refused(error) {
    this.state.className = 'state wrong';
    this.state.innerHTML = `<b>${escape(error.message)}</b> ${escape(error.hint ?? '')}${this.brief ? ' <span class="muted">Below stands what was asked before.</span>' : ''}`;
    // The verdict was on another question.
    find('.verdict', this.host).textContent = '';
    for (const [name, say] of TYPED) {
      if (error.message?.startsWith(name) || error.message?.includes(say)) find(`[name="${name}"]`, this.host)?.setAttribute('aria-invalid', 'true');
    }
  }

  #showChoice() {
    const { maneuver, airplane, given, brief } = this, field = (/** @type {string} */ name) => find(`[name="${name}"]`, this.host);
    // What is not known is chosen by nobody.
    field('maneuver').value = given.maneuver && given.maneuver !== maneuver.id ? '' : maneuver.id;
    const forms = maneuver.forms.filter((/** @type {any} */ form) => !form.history);
    field('form').innerHTML = forms.map((/** @type {any} */ form) => `<option value="${escape(form.key)}">${escape(form.title)}</option>`).join('');
    field('form').value = given.form ?? forms[0]?.key;
    field('airplane').value = given.airplane && given.airplane !== airplane.id ? '' : airplane.id;
    field('seat').value = given.seat ?? 'left';
    for (const [name] of TYPED) if (document.activeElement !== field(name)) field(name).value = given[name] ?? '';
    const own = brief?.airplane === airplane.id && brief?.maneuver === maneuver.id ? brief : null;
    if (airplane.masses) this.sliders.show(given, { airplane, brief: own });
    for (const button of all('[data-slider]', this.form)) {
      const slider = SLIDERS.find(({ name }) => name === button.dataset.slider), value = slider && airplane.masses && (valueOf(given, slider) ?? slider.usual({ airplane, brief: own }));
      button.textContent = button.dataset.slider === 'wind-speed' ? (given.wind ? `wind ${windWords(given)}` : 'calm') : value == null || !slider ? 'usual' : words(slider.kind, value);
      button.setAttribute('data-source', given[button.dataset.slider === 'wind-speed' ? 'wind' : button.dataset.slider] ? 'Chosen by you' : USUAL[button.dataset.slider] ?? '');
    }
    this.#title();
  }
  /** Another view may be shown when an answer comes. */
  #title() { if (!this.host?.hidden) document.title = `${this.maneuver.title}, ${this.airplane.name}: Skychalk`; }

  #draw() {
    const { brief, maneuver } = this;
    if (!brief) return;
    const modes = this.full ? modesOf(brief) : MODES.map(([mode]) => mode);
    if (this.full && !modes.includes(this.mode) && modes.length) this.mode = modes[0];
    this.rail.setMode(this.mode, modes);
    const warn = brief.verdict !== 'within computed limits';
    find('.verdict', this.host).innerHTML = `${warn ? sign(brief.sides.length ? 'warn' : 'not met') : ''}<span>${escape(verdictWords(brief.verdict))}</span>${brief.sides.length ? reasonsShort(brief) : ''}`;
    this.scene = sceneOfBrief(brief, maneuver, this.mode);
    if (this.scene && this.airplane.sources) this.scene.sources.path += ` ${blockSource(this.airplane, 'aerodynamics')}. ${blockSource(this.airplane, 'propeller')}.`;
    const reasons = find('.reasons', this.host);
    reasons.hidden = !brief.reasons.length && !brief.infeasible;
    reasons.innerHTML = reasonsOf(brief);
    find('.stage', this.host).classList.toggle('bare', !this.scene);
    find('.clip', this.host).hidden = !this.scene;
    // Where an address leads waits for its own figure.
    const { asked } = this.clock, own = brief.maneuver === maneuver.id;
    if (!own) this.clock.asked = null;
    this.clock.setScene(this.scene);
    if (!own) this.clock.asked = asked;
    if (this.scene) {
      const { scene } = this, side = brief.sides.find((/** @type {any} */ one) => one.direction === scene.flights[0].side);
      const { day } = brief, ways = scene.mode === 'both' || scene.mode === 'mirrored' ? `left and right${scene.mode === 'both' ? '' : ', mirrored'}` : scene.mode;
      this.stage.about = `${maneuver.title}, ${ways}, ${brief.airplane_name}, ${quantity(brief.mass_kg, 'kg')}, entry ${quantity(brief.height_ft, 'ft')}, ${day.wind.speed_kt ? `wind ${text(day.wind.from_deg)}/${quantity(day.wind.speed_kt, 'kt')}` : 'calm'}.`;
      this.stage.setScene(scene);
      this.rail.setScene(scene, this.#said(side));
      this.rail.setClock(scene, this.clock.place, this.#why(this.clock.place));
    }
    find('.limits', this.host).innerHTML = limitsDrawn(brief.limits);
    // What stands below the pictures waits until they are seen.
    const draw = ++this.draws;
    this.below = new Promise(done => { requestAnimationFrame(() => setTimeout(() => { if (draw === this.draws) this.#sheet(); done(undefined); })); });
  }
  /** What is said in the chosen voice. @param {any} side */
  #said(side) { return side.patter.filter((/** @type {any} */ line) => line.voice === this.voice).map((/** @type {any} */ line) => ({ ...line, text: spoken(line.text) })); }
  #sheet() {
    const { brief, maneuver } = this, open = all('.sheet details', this.host).map(box => box.open);
    find('.sheet', this.host).innerHTML = sheet(brief, maneuver, this.#query({ direction: 'both' }));
    if (open.length) all('.sheet details', this.host).forEach((box, i) => { if (open[i] !== undefined) box.open = open[i]; });
  }
  /** @param {number} place */
  #moved(place) {
    if (!this.scene) return;
    this.stage.setClock(place);
    this.rail.setClock(this.scene, place, this.#why(place));
    clearTimeout(this.placing);
    if (!this.clock.playing) this.placing = setTimeout(() => { if (!this.host?.hidden) this.#address(); }, ADDRESS_AFTER_MS);
  }
  /** Feet here, the other way, and what makes the difference. @param {number} place */
  #why(place) {
    const { scene, brief } = this;
    if (!scene) return '';
    const lead = scene.flights[0], own = scene.controls[lead.side], otherSide = lead.side === 'left' ? 'right' : 'left', other = scene.controls[otherSide];
    if (!own) return this.full ? told(scene.controlsNote) : '';
    const foot = (/** @type {any} */ controls) => {
      const v = 100 * valueAt(controls.time_s, controls.pedal_right, at(lead, place).time_s);
      return Math.abs(v) < 1.5 ? 'feet level' : `${v > 0 ? 'right' : 'left'} foot ${text(Math.abs(v))} %`;
    };
    const here = foot(own);
    return `<b>${here[0].toUpperCase()}${here.slice(1)}</b> here${other ? `; ${foot(other)} turning ${otherSide}` : ''}. ${this.mode === 'both' || this.mode === 'mirrored' ? told(brief.difference?.sentence) : brief.difference ? `What differs most is the ${escape(brief.difference.control)}, by ${told(brief.difference.reason)}.` : ''}`;
  }
  redraw() {
    find('[name=airplane]', this.host).innerHTML = airplaneOptions(this.known.airplanes);
    if (this.#gone(this.given)) {
      // A copy was put away while it was flown: what it was made of takes its place.
      this.given = { ...this.given, airplane: this.flownOf ?? this.known.airplanes[0].id };
      this.brief = null;
      this.#address();
      this.#solve();
      return;
    }
    this.#showChoice();
    this.#draw();
  }

  /** @param {KeyboardEvent} event @returns {boolean} whether the key was for the Board */
  key(event) {
    const { clock } = this, small = event.shiftKey ? 1 : 5;
    const keys = /** @type {Record<string, () => void>} */ ({
      ArrowRight: () => clock.step(small), ArrowLeft: () => clock.step(-small), ArrowUp: () => clock.step(small), ArrowDown: () => clock.step(-small),
      Home: () => { clock.stop(); clock.go(0); }, End: () => { clock.stop(); clock.go(clock.total); }, PageDown: () => clock.checkpoint(1), PageUp: () => clock.checkpoint(-1), ' ': () => clock.toggle(),
      l: () => this.setMode('left'), r: () => this.setMode('right'), b: () => this.setMode('both'), m: () => this.setMode('mirrored'), d: () => this.showDay(this.day.hidden),
      h: () => this.rail.half(), ...this.stage.keys,
    });
    const act = keys[event.key.length === 1 ? event.key.toLowerCase() : event.key];
    act?.();
    return Boolean(act);
  }
}

/** The wind as it was chosen, its speed in the user's unit. @param {Record<string, string>} given */
function windWords(given) {
  const [from, speed] = ['wind-from', 'wind-speed'].map(name => { const slider = SLIDERS.find(one => one.name === name); return slider ? valueOf(given, slider) : null; });
  return from === null || speed === null ? given.wind : `${String(from).padStart(3, '0')}/${words('speed', speed)}`;
}
/** Copies stand apart: their figures are the user's. @param {any[]} airplanes */
function airplaneOptions(airplanes) {
  const option = (/** @type {any} */ { id, name }) => `<option value="${escape(id)}">${escape(name)}</option>`, copies = airplanes.filter(({ copy }) => copy);
  return airplanes.filter(({ copy }) => !copy).map(option).join('') + (copies.length ? `<optgroup label="edited here">${copies.map(option).join('')}</optgroup>` : '');
}

/** The reasons behind a verdict in one line beside it; all of them stand below. @param {any} brief */
function reasonsShort({ reasons }) {
  if (!reasons.length) return '';
  const more = reasons.length > 1 ? `, and ${reasons.length - 1} more` : '';
  return `<button type="button" class="why-short" title="All of them, below the pictures"><span>${told(reasons[0])}</span>${more}</button>`;
}

/** @param {any} brief */
function reasonsOf(brief) {
  const { infeasible } = brief, list = brief.reasons.filter((/** @type {string} */ reason) => !infeasible || !reason.startsWith(infeasible.what));
  const cannot = infeasible ? `<p class="number" tabindex="0" data-source="Needed and available: computed by the point mass from the airplane file and the day"><b>Cannot be done: ${told(infeasible.what)}.</b> ${infeasible.unit === '% miss' ? `Missed by ${text(infeasible.available, 1)} %.` : `Needed ${quantity(infeasible.needed, infeasible.unit)}, available ${quantity(infeasible.available, infeasible.unit)}.`} ${told(infeasible.advice)}</p>` : '';
  return `${cannot}${list.length ? `<ul data-source="Computed from the flight and the limits below">${list.map((/** @type {string} */ reason) => `<li>${told(reason)}</li>`).join('')}</ul>` : ''}`;
}
