// From what the program answers to what the pictures draw.
import { aheadOf, at, attitude, clockAt, makeFlight, mirrored, valueAt } from '../core/flight.js';
import { cos, meters, sin, text } from '../core/numbers.js';

/** @typedef {import('../types').Scene} Scene */
/** @typedef {import('../types').Way} Way */

/** Farther above or below the horizon a reference is no point on the ground far away. */
const FAR_DEG = 3;

/** @param {any} side @param {any} maneuver @param {number} ahead */
function flightOfSide(side, maneuver, ahead) {
  return makeFlight({
    role: 'reference', side: side.direction, span: maneuver.span_deg, ahead, columns: side.path,
    partsAt: side.parts?.map((/** @type {any} */ part) => part.start_s) ?? [0],
    partWays: side.parts?.map((/** @type {any} */ part) => part.direction) ?? [side.direction],
  });
}

/** @param {import('../types').Flight} flight @param {any[]} checkpoints of all parts, each with its part @returns {import('../types').Check[]} */
const checksOf = (flight, checkpoints) => checkpoints.map(({ part, progress_deg, phase, time_s }, i) => ({
  part, progress: progress_deg, clock: clockAt(flight, time_s), time_s, phase: phase ?? null, label: phase ?? `${text(progress_deg)}°`, mark: phase ? String(i + 1) : `${text(progress_deg)}°`,
}));

/** Marks of the ground in the frame of a flight. @param {any[]} marks @param {number} entryHeading @returns {import('../types').GroundMark[]} */
export const marksIn = (marks, entryHeading) => marks.map(mark => ({
  name: mark.name,
  along_m: mark.north_m.map((/** @type {number} */ north, /** @type {number} */ i) => north * cos(entryHeading) + mark.east_m[i] * sin(entryHeading)),
  across_m: mark.north_m.map((/** @type {number} */ north, /** @type {number} */ i) => mark.east_m[i] * cos(entryHeading) - north * sin(entryHeading)),
}));

/** So near, meters, marks of both sides are one: a road, a field. */
const SAME_MARK_M = 3;
/** Marks of two sides, each with the side that it is of where they are not the same. @param {import('../types').GroundMark[]} own @param {import('../types').GroundMark[]} others
 * @param {Way} side @param {Way} otherSide @returns {import('../types').GroundMark[]} */
function bothMarks(own, others, side, otherSide) {
  const same = (/** @type {import('../types').GroundMark} */ a, /** @type {import('../types').GroundMark} */ b) => a.name === b.name && a.along_m.length === b.along_m.length
    && a.along_m.every((along, i) => Math.hypot(along - b.along_m[i], a.across_m[i] - b.across_m[i]) < SAME_MARK_M);
  const alone = others.filter(mark => !own.some(one => same(one, mark)));
  return [...own.map(mark => (alone.some(({ name }) => name === mark.name) ? { ...mark, side } : mark)), ...alone.map(mark => ({ ...mark, side: otherSide }))];
}

/** Bearings of far references, from the directions in which they are seen at the first checkpoint.
 * @param {import('../types').Flight} flight @param {any} eye @param {import('../types').Check[]} checks */
function referencesOf(flight, eye, checks) {
  const view = eye?.views?.[0];
  if (!view || !checks.length) return [];
  const s = at(flight, checks[0].clock), r = attitude(s.heading, s.pitch, s.bank);
  return view.sights.flatMap((/** @type {any} */ sight) => {
    const b = [cos(sight.elevation_deg) * cos(sight.azimuth_deg), cos(sight.elevation_deg) * sin(sight.azimuth_deg), -sin(sight.elevation_deg)];
    const w = r.map(row => row[0] * b[0] + row[1] * b[1] + row[2] * b[2]);
    if (Math.abs(w[2]) > sin(FAR_DEG)) return [];
    return [{ name: sight.name.replace('-degree reference', '°').replace(' reference', ''), azimuth: (Math.atan2(w[1], w[0]) * 180) / Math.PI }];
  });
}

/** @param {any} side */
const checkpointsOf = side => (side.parts ? side.parts.flatMap((/** @type {any} */ part, /** @type {number} */ i) => part.checkpoints.map((/** @type {any} */ check) => ({ ...check, part: i }))) : side.checkpoints.map((/** @type {any} */ check) => ({ ...check, part: 0 })));

/** Where the numbers of a brief come from. @param {any} brief @returns {Scene['sources']} */
function briefSources(brief) {
  const of = `airplane file of ${brief.airplane_name}, ${text(brief.mass_kg)} kg, and the day as told`;
  return {
    path: `Computed: the point mass flown so that the figure comes out as its form asks; from the ${of}. No doubt is stated: that of the airplane’s figures stands under Entry speeds.`,
    hands: `Computed: the six-degree airplane held on the same flight, its controls and their causes found at each moment; from the ${of} (inertia, controls, components).`,
    speed: 'Indicated airspeed: calibrated, with the position error of the airplane file taken off.',
  };
}
/** @param {any} attempt @param {boolean} beside whether a reference stands beside it @returns {Scene['sources']} */
const attemptSources = (attempt, beside) => ({
  path: `Measured in the recording${beside ? '; the reference beside it is computed from the same entry by the point mass' : ''}. Doubt: the bands, 95 %, from the reconstruction; ${attempt.maneuver ? 'clock: the progress of the figure as found' : ''}.`,
  hands: 'Computed, of the reference flight: a recording does not show hands and feet.',
  speed: 'Calibrated airspeed: recorded, or estimated from track and wind where none was recorded (see the notes).',
});

/** The modes a brief can be shown in. @param {any} brief @returns {string[]} */
export function modesOf(brief) {
  const sides = brief.sides.map((/** @type {any} */ side) => side.direction);
  return [...sides, ...(sides.length > 1 ? ['both', 'mirrored'] : [])];
}

/** @param {any} brief @param {any} maneuver its entry of the catalogue @param {string} mode @returns {Scene | null} */
export function sceneOfBrief(brief, maneuver, mode) {
  if (!brief.sides.length) return null;
  const sides = /** @type {any[]} */ (brief.sides), two = sides.length > 1 && (mode === 'both' || mode === 'mirrored');
  const lead = sides.find(side => side.direction === (two ? 'right' : mode)) ?? sides[0], other = sides.find(side => side !== lead);
  const ahead = aheadOf(sides.map(side => side.path.progress_deg));
  const flight = flightOfSide(lead, maneuver, ahead), checks = checksOf(flight, checkpointsOf(lead));
  const flights = [flight];
  if (two && other) flights.push(mode === 'mirrored' ? mirrored(flightOfSide(other, maneuver, ahead)) : flightOfSide(other, maneuver, ahead));
  const wind = brief.day.wind, field = brief.day.field_elevation_ft ?? 0;
  /** @param {(side: any) => any} take */
  const bySide = take => Object.fromEntries(sides.map(side => [side.direction, take(side)]));
  const ofOther = two && other ? marksIn(other.marks, flights[1].entryHeading).map(mark => (mode === 'mirrored' ? { ...mark, across_m: mark.across_m.map(value => -value) } : mark)) : [];
  const flightOf = (/** @type {any} */ side) => (side === lead ? flight : flightOfSide(side, maneuver, ahead));
  return {
    flights, mode: /** @type {any} */ (two ? mode : lead.direction), progress: brief.progress, span: maneuver.span_deg, parts: lead.parts?.length ?? 1, checks,
    marks: bothMarks(marksIn(lead.marks, flight.entryHeading), ofOther, lead.direction, other?.direction),
    wind: { toward_deg: wind.from_deg + 180 - flight.entryHeading, speed_kt: wind.speed_kt },
    eyes: bySide(side => side.eye), controls: bySide(side => side.controls),
    controlsNote: lead.controls_missing, groundBelow_m: meters(flight.entryHeight_ft - field),
    bankRule_deg: brief.limits.find((/** @type {any} */ limit) => limit.id === 'parachute-bank')?.limit ?? null,
    sources: briefSources(brief),
    references: bySide(side => (side.marks.length ? [] : referencesOf(flightOf(side), side.eye, side === lead ? checks : checksOf(flightOf(side), checkpointsOf(side))))),
  };
}

/** A heading that comes so far round has turned. */
const TURNED_DEG = 20;
/** The side of an attempt. Slow flight tells none and has that of its first turn, as its reference has; what is flown straight is drawn as to
 * the right. @param {any} attempt @param {any} beside @returns {'left' | 'right'} */
export function sideOf(attempt, beside) {
  if (attempt.direction === 'left' || attempt.direction === 'right') return attempt.direction;
  const { direction, path } = beside?.reference ?? {}, headings = path?.heading_deg ?? [];
  return direction === 'left' && headings.some((/** @type {number} */ heading) => Math.abs(heading - headings[0]) > TURNED_DEG) ? 'left' : 'right';
}

/** An attempt over its reference; the re-flight when there is one.
 * @param {any} attempt @param {any} beside what stands beside it @param {any} maneuver @param {any} [brief] of the reference, for seat and hands @param {string | null} [handsMissing] why there are none @returns {Scene} */
export function sceneOfAttempt(attempt, beside, maneuver, brief = null, handsMissing = null) {
  const partsAt = attempt.parts?.map((/** @type {any} */ part) => part.start_s) ?? [attempt.start_s];
  const partWays = attempt.parts?.map((/** @type {any} */ part) => part.direction) ?? [attempt.direction];
  const span = maneuver?.span_deg ?? 180, side = sideOf(attempt, beside);
  const own = columnsOf(attempt.track);
  if ((attempt.progress ?? 'turn') !== 'turn') own.columns.progress_deg = progressOf(attempt);
  const ahead = aheadOf([own.columns.progress_deg, beside?.reference?.path.progress_deg].filter(Boolean));
  const flight = makeFlight({ role: 'attempt', side, span, ahead, partsAt, partWays, columns: own.columns, sigmas: own.sigmas });
  const frame = { heading: flight.entryHeading }, flights = [flight], reference = beside?.reference;
  if (reference) flights.unshift(makeFlight({ role: 'reference', side, span, ahead, partsAt: reference.parts_s.map((/** @type {number[]} */ part) => part[0]), partWays, frame, columns: calibratedOnly(reference.path) }));
  const mended = refliesOf(attempt);
  if (mended) {
    const { north_m: north, east_m: east } = own.columns, origin = { north: north?.[0] ?? 0, east: east?.[0] ?? 0, height: own.columns.height_ft?.[0] ?? 0 };
    flights.push(makeFlight({ role: 'reflight', side, span, ahead, partsAt, partWays, frame: { ...frame, origin }, onlyPart: (mended.part ?? 1) - 1, columns: mended.refly.path }));
  }
  const checkpoints = attempt.parts ? attempt.parts.flatMap((/** @type {any} */ part, /** @type {number} */ i) => part.checkpoints.map((/** @type {any} */ check) => ({ ...check, part: i }))) : attempt.checkpoints.map((/** @type {any} */ check) => ({ ...check, part: 0 }));
  const named = brief?.sides?.flatMap((/** @type {any} */ one) => one.checkpoints ?? []) ?? [];
  const checks = checkpoints.map((/** @type {any} */ check, /** @type {number} */ i) => {
    const progress = check.progress_deg ?? check.turn_deg;
    // A recording has no names of phases: they are those of its reference, as soon as that is there.
    const phase = check.phase ?? (attempt.progress === 'phase' ? named.find((/** @type {any} */ one) => Math.abs(one.progress_deg - progress) < 0.5)?.phase : null) ?? null;
    return { part: check.part, progress, clock: clockAt(flight, check.time_s), time_s: check.time_s, phase, label: phase ?? (attempt.progress === 'phase' ? `phase ${i + 1}` : `${text(progress)}°`), mark: phase || attempt.progress === 'phase' ? String(i + 1) : `${text(progress)}°` };
  });
  const wind = beside?.wind_from_deg == null ? null : { toward_deg: beside.wind_from_deg + 180 - flight.entryHeading, speed_kt: beside.wind_speed_kt };
  const sideBrief = brief?.sides?.find((/** @type {any} */ one) => one.direction === side);
  return {
    flights, mode: side, progress: attempt.progress ?? maneuver?.progress ?? 'turn', span, parts: partsAt.length, checks, marks: reference ? marksIn(reference.marks, flight.entryHeading) : [], wind,
    eyes: { [side]: sideBrief?.eye }, controls: { [side]: sideBrief?.controls },
    controlsNote: sideBrief ? sideBrief.controls_missing : reference ? handsMissing : beside?.compared ? 'A recording does not show hands and feet: hold the attempt against its reference to see those of the reference.' : 'A recording does not show hands and feet, and without the airplane there is no reference to show them of.',
    sources: attemptSources(attempt, Boolean(reference)), groundBelow_m: null, bankRule_deg: null, references: { [side]: sideBrief ? referencesOf(flights[0], sideBrief.eye, checks) : [] },
  };
}

/** Columns of estimates apart into values and sigmas. @param {any} track */
function columnsOf(track) {
  /** @type {Record<string, any>} */
  const columns = { time_s: track.time_s };
  /** @type {Record<string, any>} */
  const raw = {};
  for (const [name, column] of Object.entries(track)) {
    if (name === 'time_s' || !column) continue;
    columns[name] = /** @type {any} */ (column).value ?? column;
    raw[name] = /** @type {any} */ (column).sigma;
  }
  const sigmas = { bank: raw.bank_deg, pitch: raw.pitch_deg, speed_kt: raw.cas_kt, height_ft: raw.height_ft, load: raw.load_factor, heading: raw.heading_deg,
    across_m: raw.north_m && raw.east_m ? raw.north_m.map((/** @type {number} */ sigma, /** @type {number} */ i) => Math.hypot(sigma, raw.east_m[i]) / Math.SQRT2) : undefined };
  return { columns, sigmas };
}

/** A recording tells calibrated airspeed: what it is held against must be calibrated too. @param {any} path */
const calibratedOnly = ({ ias_kt: _indicated, ...rest }) => rest;

/** Progress where it is not heading turned: between the checkpoints in proportion to time. @param {any} attempt */
function progressOf(attempt) {
  const checks = (attempt.parts ?? [attempt]).flatMap((/** @type {any} */ part) => part.checkpoints).filter((/** @type {any} */ check) => check.progress_deg != null);
  if (checks.length < 2) return attempt.track.time_s.map(() => 0);
  const [times, values] = [checks.map((/** @type {any} */ check) => check.time_s), checks.map((/** @type {any} */ check) => check.progress_deg)];
  return attempt.track.time_s.map((/** @type {number} */ t) => valueAt(times, values, t));
}

/** The first fault whose re-flight passes no limit and has a path: others are told in words and not drawn. @param {any} attempt @returns {any} */
export const refliesOf = attempt => (attempt.faults ?? []).find((/** @type {any} */ fault) => fault.refly?.path?.time_s?.length && fault.refly.offered !== false) ?? null;
