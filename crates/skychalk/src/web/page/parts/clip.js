// A clip of the Board for the briefing room: the pictures in true time or slower, recorded by the browser itself, with the patter as captions.
import { at, clockAt } from '../core/flight.js';
import { escape, label, n } from '../core/markup.js';
import { text } from '../core/numbers.js';
import { PICTURES } from '../pictures/list.js';
import { HEIGHT, WIDTH } from '../pictures/shared.js';
import { image, rules } from './save.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {{ text: string, time_s: number, seconds: number, when: string }} Said */

const WIDE = 1280, TALL = 720, COLUMNS = 3, EDGE = 24, TOP = 64, CELL = 404, CELL_TALL = 296;
/** The first and the last picture stand this long at most, for what is said before and after, s. */
const STAND_MOST_S = 10;
/** The last picture stands this long when nothing is said, s. */
const STAND_LEAST_S = 1;

/** When what is said begins and ends in the clip. @param {Said[]} said @param {number} seconds of the flight @param {number} rate */
export function cuesOf(said, seconds, rate) {
  const before = Math.min(STAND_MOST_S, Math.max(0, ...said.map(line => -line.time_s)));
  const after = Math.max(STAND_LEAST_S, Math.min(STAND_MOST_S, ...said.filter(line => line.when === 'after').map(line => line.seconds)));
  // What is said before and after is said at the usual rate, whatever the flight is played at.
  const place = (/** @type {Said} */ line) => (line.time_s < 0 ? Math.max(0, before + line.time_s) : before + Math.min(line.time_s, seconds) / rate);
  const total = before + seconds / rate + after, starts = said.map(place);
  return { before, total, cues: said.map((line, i) => ({ from: starts[i], to: Math.min(total, Math.max(starts[i] + line.seconds, starts[i] + 1), starts[i + 1] ?? total), text: line.text })).filter(cue => cue.to > cue.from) };
}

/** @param {number} seconds */
const stamp = seconds => `${String(Math.floor(seconds / 3600)).padStart(2, '0')}:${String(Math.floor(seconds / 60) % 60).padStart(2, '0')}:${(seconds % 60).toFixed(3).padStart(6, '0')}`;
/** Captions as WebVTT. @param {{ from: number, to: number, text: string }[]} cues */
export const webVtt = cues => `WEBVTT\n\n${cues.map(({ from, to, text: words }) => `${stamp(from)} --> ${stamp(to)}\n${words.replaceAll('-->', '→')}\n`).join('\n')}`;

/** @param {string} words @param {number} most */
function lines(words, most) {
  const out = [''];
  for (const word of words.split(' ')) {
    if (out[out.length - 1] && `${out[out.length - 1]} ${word}`.length > most) out.push(word);
    else out[out.length - 1] = `${out[out.length - 1]} ${word}`.trim();
  }
  return out;
}

/** One frame. @param {{ scene: Scene, look: import('../types').Look, stills: string[], style: string, title: string, place: number, caption: string }} given */
function frame({ scene, look, stills, style, title, place, caption }) {
  const state = at(scene.flights[0], place);
  const cells = PICTURES.map((picture, i) => {
    const x = EDGE + (i % COLUMNS) * (CELL + 10), y = TOP + Math.floor(i / COLUMNS) * (CELL_TALL + 12);
    return `<svg x="${x}" y="${y}" width="${CELL}" height="${n((CELL * HEIGHT) / WIDTH > CELL_TALL ? CELL_TALL : (CELL * HEIGHT) / WIDTH)}" viewBox="-4 -20 ${WIDTH + 8} ${HEIGHT + 24}">${label(0, -6, picture.title, 't ink')}${stills[i]}${picture.live(scene, place, look)}</svg>`;
  });
  const words = lines(caption, 70).map((row, i, all) => `<text class="caption" x="${WIDE / 2}" y="${TALL - 16 - 32 * (all.length - 1 - i)}" text-anchor="middle">${escape(row)}</text>`).join('');
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDE}" height="${TALL}" viewBox="0 0 ${WIDE} ${TALL}"><style>${style} .caption { font-size: 28px; font-weight: 600; stroke-width: 8px; } .head { font-size: 28px; font-weight: 700; } .sub { font-size: 18px; } .paperback { fill: var(--ground); }</style><rect class="paperback" width="${WIDE}" height="${TALL}"/><text class="head" x="${EDGE}" y="38">${escape(title)}</text><text class="sub" x="${WIDE - EDGE}" y="38" text-anchor="end">${text(state.progress)}°, ${text(state.time_s - scene.flights[0].columns.time_s[0], 1)} s. Training aid, not approved data.</text>${cells.join('')}${words}</svg>`;
}

/**
 * Records scenes one after the other.
 * @param {{ scenes: { scene: Scene, said: Said[], title: string }[], look: import('../types').Look, rate: number, burn: boolean, signal?: AbortSignal, progress?: (share: number) => void }} given
 * @returns {Promise<{ video: Blob, captions: string }>}
 */
export async function recordClip({ scenes, look, rate, burn, signal, progress }) {
  const canvas = document.createElement('canvas'), context = canvas.getContext('2d');
  [canvas.width, canvas.height] = [WIDE, TALL];
  if (!context || typeof MediaRecorder === 'undefined') throw new Error('This browser cannot record.');
  const type = ['video/webm;codecs=vp9', 'video/webm;codecs=vp8', 'video/webm'].find(one => MediaRecorder.isTypeSupported(one));
  if (!type) throw new Error('This browser cannot record WebM.');
  const recorder = new MediaRecorder(canvas.captureStream(30), { mimeType: type, videoBitsPerSecond: 4_000_000 }), chunks = /** @type {Blob[]} */ ([]);
  recorder.addEventListener('dataavailable', event => chunks.push(event.data));
  const done = new Promise(stopped => recorder.addEventListener('stop', stopped)), style = await rules();
  const plans = scenes.map(one => ({ ...one, ...cuesOf(one.said, one.scene.flights[0].seconds, rate) })), whole = plans.reduce((sum, { total }) => sum + total, 0);
  let passed = 0;
  const cues = [];
  try {
    for (const { scene, title, total, before, cues: own } of plans) {
      const stills = PICTURES.map(picture => picture.still(scene, look)), start = performance.now(), first = scene.flights[0].columns.time_s[0];
      for (let now = 0; now < total; now = (performance.now() - start) / 1000) {
        if (signal?.aborted) throw new Error('Stopped.');
        const place = clockAt(scene.flights[0], first + Math.max(0, now - before) * rate), caption = burn ? own.find(({ from, to }) => now >= from && now < to)?.text ?? '' : '';
        context.drawImage(await image(frame({ scene, look, stills, style, title, place, caption })), 0, 0);
        if (recorder.state === 'inactive') recorder.start(1000);
        progress?.((passed + now) / whole);
        await new Promise(requestAnimationFrame);
      }
      cues.push(...own.map(cue => ({ ...cue, from: cue.from + passed, to: cue.to + passed })));
      passed += total;
    }
  } finally {
    if (recorder.state !== 'inactive') { recorder.stop(); await done; }
  }
  return { video: new Blob(chunks, { type: 'video/webm' }), captions: webVtt(cues) };
}
