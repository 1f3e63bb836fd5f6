// The figures of an airplane file as fields: each line `key = value` with its block, in words. What is changed is changed in its line; all
// else of the file stays as it is, comments too.

/** Blocks in the order of the form: title, whether it is open at first, and its figures in words. A figure that is not listed is called by its
 * key. @type {Record<string, { title: string, open?: boolean, words: Record<string, string> }>} */
export const FILE_BLOCKS = {
  '': { title: 'The airplane', words: { id: 'key', name: 'name', description: 'description' } },
  mass: { title: 'Weights', open: true, words: { empty: 'empty', typical: 'two up, half fuel', maximum: 'greatest', source: 'source' } },
  wing: { title: 'Wing', open: true, words: { area: 'area', span: 'span', place: 'high or low' } },
  aerodynamics: { title: 'Lift and drag', open: true, words: { drag_zero_lift: 'drag without lift, coefficient', drag_induced: 'drag with lift squared, coefficient', lift_at_zero_incidence: 'lift at zero incidence, coefficient', lift_slope_per_rad: 'lift slope, a radian', lift_max: 'greatest lift, coefficient', lift_min: 'greatest lift upside down, coefficient', roll_rate_max: 'greatest roll rate' } },
  propeller: { title: 'Propeller and power', open: true, words: { power_max: 'greatest power', diameter: 'diameter', efficiency_of_ideal: 'share of the ideal efficiency', efficiency_best_at: 'share best at', efficiency_bend: 'share lost at nil and twice that', rotation: 'turns, seen from the seat', pitch: 'pitch', static_power_share: 'share of the power standing still', full_power_at: 'full power from' } },
  thrust: { title: 'Thrust', words: {} },
  speeds: { title: 'Speeds, indicated', open: true, words: { stall: 'stall, flaps up, idle, at the greatest weight', maneuvering: 'maneuvering at the greatest weight (VA)', normal_max: 'greatest cruise (VNO)', never_exceed: 'never exceed (VNE)', maneuver_entry: 'recommended for training maneuvers' } },
  category: { title: 'Category', open: true, words: { name: 'name', mass_max: 'up to', load_factor_max: 'limit load', load_factor_min: 'limit load, negative', approved: 'approved maneuvers, keys' } },
  approved_entry: { title: 'Approved entry', words: { maneuver: 'maneuver, key', speed: 'entry speed, indicated' } },
  flap: { title: 'Flap position', words: { name: 'name', lift_max: 'greatest lift, coefficient', lift_added: 'lift added', drag_added: 'drag added', moment_added: 'pitching moment added', v_fe: 'flaps to here up to (VFE)', load_factor_max: 'limit load' } },
  power_on_stall: { title: 'Stall under power', words: { stall: 'stall under power', thrust_above_body: 'thrust above the body', slipstream_share: 'share of the wing in the slipstream' } },
  glide: { title: 'Glide', words: { speed: 'best glide at', ratio: 'best glide ratio', propeller_drag_area: 'drag area of the propeller, idle' } },
  design_speeds: { title: 'Design speeds', words: { cruise: 'design cruise (VC)', dive: 'design dive (VD)' } },
  position_error: { title: 'Position error of the airspeed', words: { indicated_kt: 'indicated, kt', calibrated_kt: 'calibrated, kt' } },
  balance: { title: 'Weight and balance', words: { empty_arm: 'empty arm', leading_edge: 'leading edge of the mean chord', chord: 'mean chord', tail_arm: 'tail arm', neutral_point: 'neutral point, mean chords', mass_kg: 'weights of the envelope, kg', forward_m: 'forward limits at them, m', aft_m: 'aft limits at them, m' } },
  station: { title: 'Loading station', words: { name: 'name', arm: 'arm', mass_max: 'up to', fuel: 'holds fuel' } },
  seat: { title: 'Seat and view', words: { eye_left: 'eye left of the middle', over_nose_below_axis: 'view over the nose below the axis', eye_above_wing: 'eye above the wing', wing_behind_eye: 'wing behind the eye', cowl_ahead: 'cowl ahead of the eye' } },
  inertia: { title: 'Inertia', words: { mass: 'at', xx: 'in roll', yy: 'in pitch', zz: 'in yaw', xz: 'roll with yaw', center_of_gravity: 'center of gravity, mean chords', reference_above: 'center of gravity below the reference' } },
  controls: { title: 'Controls', words: {} },
  'controls.elevator': { title: 'Elevator', words: { up: 'up', down: 'down', rate: 'fastest', lag: 'lag', tab_floats: 'full trim tab holds', force_n_per_deg_kpa: 'force, N a degree at 1 kPa', trails_per_deg: 'trails in the wind, a degree' } },
  'controls.aileron': { title: 'Ailerons', words: { most: 'either way', rate: 'fastest', lag: 'lag', tab_floats: 'full trim tab holds', force_n_per_deg_kpa: 'force, N a degree at 1 kPa', trails_per_deg: 'trails in the wind, a degree' } },
  'controls.rudder': { title: 'Rudder', words: { most: 'either way', rate: 'fastest', lag: 'lag', tab_floats: 'full trim tab holds', force_n_per_deg_kpa: 'force, N a degree at 1 kPa', trails_per_deg: 'trails in the wind, a degree' } },
  components: { title: 'Airframe', words: {} },
  'components.wing': { title: 'Wing, in six degrees of freedom', words: { chord: 'mean chord', taper: 'taper', moment_zero: 'pitching moment without lift', center_ahead: 'aerodynamic center ahead of the quarter chord, chords', center_back_separated: 'lift moves back when the flow separates, chords', roll_per_rad_sideslip: 'roll from sideslip, a radian', aileron_roll_per_rad: 'roll from ailerons, a radian', aileron_adverse: 'adverse yaw of the ailerons', wash_share: 'share in the wash of the propeller', stall_sharpness_per_rad: 'how abrupt the stall is (20 gentle, 60 abrupt)', flap_lift_per_rad: 'lift of the flaps, a radian', flap_drag_per_rad: 'drag of the flaps, a radian', flap_moment_per_rad: 'pitching moment of the flaps, a radian' } },
  'components.body': { title: 'Body', words: { drag_sideslip_per_rad2: 'drag from sideslip, a radian squared', side_per_rad: 'side force from sideslip, a radian', yaw_per_rad: 'yaw from sideslip without the fin, a radian' } },
  'components.tail': { title: 'Tail', words: { area: 'area', arm: 'arm', height: 'height', incidence: 'incidence', slope_per_rad: 'lift slope, a radian', control_share: 'share of the elevator', downwash_slope: 'downwash slope', wash_share: 'share in the wash of the propeller', lift_max: 'greatest lift, coefficient' } },
  'components.fin': { title: 'Fin', words: { area: 'area', arm: 'arm', height: 'height', incidence: 'incidence', slope_per_rad: 'lift slope, a radian', control_share: 'share of the rudder', sidewash_slope: 'sidewash slope', wash_share: 'share in the wash of the propeller', lift_max: 'greatest lift, coefficient' } },
  propulsion: { title: 'Engine and propeller, in six degrees of freedom', words: { speed_rated: 'rated speed', speed_idle: 'idle speed', power_with_height: 'power with height by', drag_share: 'drag of the engine, share of the rated torque', torque_rise: 'torque rise', blades: 'blades', chord_over_diameter: 'chord over diameter', twist_pitch_over_diameter: 'pitch of the twist over diameter', blade_angle: 'blade angle', fine_stop: 'fine stop', coarse_stop: 'coarse stop', governed_least: 'governed from', governed_most: 'governed to', inertia: 'inertia of all that turns', hub_ahead: 'hub ahead of the reference', hub_above: 'hub above the reference', shaft_down: 'shaft down', shaft_right: 'shaft to the right', swirl_straightened: 'share of the swirl taken out', blockage: 'share of the thrust taken back by the body' } },
};

/** How sure a fit was of its figures: of those as they were. */
const DOUBT = 'doubt';

/** @typedef {{ block: string, index: number, key: string, words: string, kind: 'quantity' | 'number' | 'list' | 'word', value: string, line: number, before: string, after: string }} Figure
 * `line` from one; `before` and `after`: what of the line stays. */

const BLOCK = /^\s*\[\[?\s*([\w.-]+)\s*\]?\]/, FIGURE = /^(\s*([A-Za-z_][\w-]*)\s*=\s*)("(?:[^"\\]|\\.)*"|\[[^\][]*\]|[^\s#"[]+)(\s*(?:#.*)?)$/;

/** @param {string} value as the file has it @returns {{ kind: Figure['kind'], value: string } | null} */
function read(value) {
  try {
    if (value.startsWith('"')) return { kind: 'quantity', value: JSON.parse(value) };
    if (value.startsWith('[')) return { kind: 'list', value: JSON.parse(value).join(', ') };
  } catch {
    // Not as simple as that: it is edited in the file itself.
    return null;
  }
  return { kind: /^[+-]?[\d.]/.test(value) ? 'number' : 'word', value };
}

/** The figures of an airplane file that stand in a line of their own; where they come from and how sure a fit was of them are no figures. @param {string} text @returns {Figure[]} */
export function figuresOf(text) {
  let block = '';
  /** @type {Record<string, number>} */ const count = {};
  return text.split('\n').flatMap((line, i) => {
    const head = BLOCK.exec(line);
    if (head) { block = head[1]; count[block] = (count[block] ?? 0) + 1; return []; }
    const [, before, key, raw, after] = FIGURE.exec(line) ?? [], told = raw === undefined ? null : read(raw);
    if (!told || key === 'source' || block === DOUBT) return [];
    return [{ block, index: (count[block] ?? 1) - 1, key, words: FILE_BLOCKS[block]?.words[key] ?? key.replaceAll('_', ' '), ...told, line: i + 1, before, after }];
  });
}

/** @param {Figure} figure @param {string} typed */
function written({ kind }, typed) {
  const number = /^[+-]?\d[\d_]*(\.\d+)?(e[+-]?\d+)?$/i;
  if (kind === 'list') return `[${typed.split(',').map(word => word.trim()).filter(Boolean).map(word => (number.test(word) ? word : JSON.stringify(word))).join(', ')}]`;
  // What is no number stands in quotes, so that the program tells what it wants in this line.
  return (kind === 'number' && number.test(typed)) || (kind === 'word' && /^(true|false)$/.test(typed)) ? typed : JSON.stringify(typed);
}
/** The file with another value of a figure. @param {string} text @param {Figure} figure as it stands in this text @param {string} typed */
export function withFigure(text, figure, typed) {
  const lines = text.split('\n');
  lines[figure.line - 1] = `${figure.before}${written(figure, typed.trim())}${figure.after}`;
  return lines.join('\n');
}
