//! From the smoothed fixes to the joint smoother of all sensors and on to the columns.

mod hardly_any_lift;

use base::math::hypot;
use base::numerics::statistics::{median, quantile};
use base::written::signed;
use flight::air::Air;
use recording::{Note, NoteKind, QuantityKind, Recording};

use crate::body::{Body, Look, Place};
use crate::heights::Heights;
use crate::joint::layout::{
    ACCELERATION, FULL, INCIDENCE_SIGMA, PLAIN, POSITION, SIDESLIP_SIGMA, SLOW, THRUST, VELOCITY,
    WIND,
};
use crate::joint::{self, Scene, WindPrior};
use crate::output::{self, Support};
use crate::sensors::{self, Channel, DRAG, Global, Kind, Mount, Surroundings};
use crate::state::{HeightErrors, Motion, Offset};
use crate::track::Track;
use crate::wind::WindFound;
use crate::{Known, MotionError, factors, gusts, heights, smoother};

/// Wind told by the user: within so much a component, m/s.
const TOLD_WIND_MPS: f64 = 1.0;
/// How far the factor of drag may lie from one.
const DRAG_FACTOR_SIGMA: f64 = 0.3;
/// Slowest change of the wind, m/s in the square root of a second, and with height, m/s in the square root of a meter (our
/// judgement, no source): half a meter a second in ten minutes, two in a thousand meters.
const WIND_DRIFT: f64 = 0.02;
const WIND_SHEAR: f64 = 0.06;
/// Share of thrust that the rudder makes to the side, either way, to hold the nose against the propeller (our judgement, no source).
const PROPELLER_SIGMA: f64 = 0.05;
/// Sideslip that fin and rudder feel of a turn, as a share of the angle at the wing's tip (our judgement, no source).
const TURN_SIGMA: f64 = 0.3;
/// Rounds of the joint smoother.
const ROUNDS_PLAIN: usize = 2;
const ROUNDS_FULL: usize = 7;

/// What goes into the joint smoother.
#[derive(Debug)]
pub(crate) struct Given<'a> {
    pub(crate) recording: &'a Recording,
    pub(crate) known: &'a Known<'a>,
    pub(crate) track: &'a Track,
    pub(crate) air: &'a [Air],
    pub(crate) wind: &'a WindFound,
    /// Whether there are no positions: only the way through the air is known.
    pub(crate) alone: bool,
}

/// Whether sensors of attitude or rate are there, or a device that feels both. Loads alone are too coarse to show it.
pub(crate) fn shows_attitude(recording: &Recording) -> bool {
    use QuantityKind as Q;
    let kinds = [
        Q::BankDeg,
        Q::PitchDeg,
        Q::TrueHeadingDeg,
        Q::MagneticHeadingDeg,
        Q::RollRateRadps,
        Q::PitchRateRadps,
        Q::YawRateRadps,
        Q::DeviceForceXMps2,
    ];
    kinds.iter().any(|kind| recording.series_of(*kind).is_some())
}

/// Whether a bank was recorded and nothing that shows how it changes.
pub(crate) fn shows_roll(recording: &Recording) -> bool {
    use QuantityKind as Q;
    let rates = [Q::RollRateRadps, Q::PitchRateRadps, Q::YawRateRadps, Q::DeviceForceXMps2];
    let has = |kind: Q| recording.series_of(kind).is_some();
    has(Q::BankDeg) && !rates.into_iter().any(has)
}

/// The motion by all sensors together.
pub(crate) fn motion(given: &Given<'_>, notes: &mut Vec<Note>) -> Result<Motion, MotionError> {
    if shows_attitude(given.recording) {
        run::<FULL>(given, notes, ROUNDS_FULL)
    } else {
        run::<PLAIN>(given, notes, ROUNDS_PLAIN)
    }
}

fn run<const N: usize>(
    given: &Given<'_>,
    notes: &mut Vec<Note>,
    rounds: usize,
) -> Result<Motion, MotionError> {
    let track = given.track;
    let mut scene = scene(given, notes);
    let states = states::<N>(track, given.wind);
    let found = joint::solve(&mut scene, states, rounds)
        .map_err(|why| MotionError::NotDetermined { time_s: at(&track.time_s, why.knot) })?;
    let support = support(&scene, given);
    let airborne: Vec<bool> =
        track.velocity.iter().map(|v| hypot(v[0], v[1]) > AIRBORNE_MPS).collect();
    let mut heights = Heights::of(&scene.time_s, &airborne);
    let mut motion = output::columns(&scene, &found, given.air, &support, &mut heights);
    motion.origin = track.origin;
    motion.airborne = airborne;
    motion.offsets = offsets(&scene);
    motion.height_errors = HeightErrors {
        memory_s: heights.memory_s() / if has_climb(track) { heights::SOONER } else { 1.0 },
        scale_sigma: height_scale_sigma(given),
    };
    factors::apply(&mut motion, given, has_climb(track), scene.mount.is_some());
    tell(&scene, notes);
    tell_unseen_slip(&motion, notes);
    if scene.mount.is_some() {
        by_device_clock(&scene, &mut motion);
    }
    Ok(motion)
}

/// Doubt in the square root of density with and without a thermometer or a temperature told, and with and without a pressure height
/// or an altimeter setting told, as shares of airspeed: half of one, of three and of one per cent (common practice, no source).
const DOUBT_OF_TEMPERATURE: (f64, f64) = (0.003, 0.015);
const DOUBT_OF_PRESSURE: (f64, f64) = (0.001, 0.006);

/// Doubt of the scale of heights: those from pressure alone stretch with the warmth of the air.
fn height_scale_sigma(given: &Given<'_>) -> f64 {
    let by_pressure =
        given.alone || given.recording.height_datum == recording::HeightDatum::Pressure;
    let warm = given.known.temperature.is_some()
        || given.recording.series_of(QuantityKind::OutsideAirTemperatureK).is_some();
    match (by_pressure, warm) {
        (false, _) => 0.0,
        (true, true) => 2.0 * DOUBT_OF_TEMPERATURE.0,
        (true, false) => 2.0 * DOUBT_OF_TEMPERATURE.1,
    }
}

/// A speed over the ground from which an airplane is taken to fly, m/s.
pub(crate) const AIRBORNE_MPS: f64 = 18.0;

fn at(time_s: &[f64], knot: usize) -> f64 {
    time_s.get(knot).or(time_s.last()).copied().unwrap_or(0.0)
}

fn support(scene: &Scene, given: &Given<'_>) -> Support {
    let Given { known, recording, alone, .. } = given;
    let has = |kind: fn(&Kind) -> bool| scene.channels.iter().any(|c| kind(&c.kind));
    let warm = known.temperature.is_some()
        || recording.series_of(QuantityKind::OutsideAirTemperatureK).is_some();
    let pressed = known.qnh.is_some()
        || recording.series_of(QuantityKind::PressureAltitudeM).is_some()
        || recording.series_of(QuantityKind::StaticPressurePa).is_some();
    let share = |is_known: bool, (with, without): (f64, f64)| if is_known { with } else { without };
    Support {
        place: !alone,
        density_share: hypot(share(warm, DOUBT_OF_TEMPERATURE), share(pressed, DOUBT_OF_PRESSURE)),
        incidence: known.airplane.is_some() || has(|kind| *kind == Kind::Pitch),
        sideslip: has(|kind| matches!(kind, Kind::Force(1) | Kind::DeviceForce(_))),
    }
}

/// The unknowns that every flight has.
pub(crate) fn globals(body: &Body) -> Vec<Global> {
    vec![
        Global::new(1.0, DRAG_FACTOR_SIGMA, None),
        Global::new(0.0, body.level_sigma, None),
        Global::new(0.0, body.slope_sigma, None),
        Global::new(0.0, body.side_sigma, None),
    ]
}

fn scene(given: &Given<'_>, notes: &mut Vec<Note>) -> Scene {
    let Given { recording, known, track, air, wind, alone } = given;
    let body = Body::of(known.airplane);
    let mut places = places(track, air);
    let mut globals = globals(&body);
    let flying: Vec<bool> =
        track.velocity.iter().map(|v| hypot(v[0], v[1]) > AIRBORNE_MPS).collect();
    let bank_deg = settle_lift(given, &body, &mut places);
    let around = Surroundings {
        recording,
        known,
        time_s: &track.time_s,
        air,
        flying: &flying,
        bank_deg: Some(&bank_deg).filter(|_| !alone).map(Vec::as_slice),
        place: track.origin,
        satellites: !alone,
    };
    let mut built = sensors::channels(&around, &mut globals);
    notes.append(&mut built.notes);
    leave_out_lone_loads(recording, &mut built.channels, notes);
    let learned = track.learned.clone();
    let speed_mps = usual_speed_mps(track, &flying);
    let gust_mps = gusts::by_device_mps(recording).unwrap_or_else(|| {
        gusts::usual_mps(&track.time_s, &learned.jerk_down, &flying, has_climb(track))
    });
    let jerk_room = jerk_room(given, built.mount.is_some());
    let prior = wind_prior(known, *alone);
    let mut scene = Scene {
        alone: *alone,
        time_s: track.time_s.clone(),
        places,
        height_m: track.height_m.clone(),
        down_m: track.position.iter().map(|position| position[2]).collect(),
        body,
        measured: learned.measured,
        weights: learned.weights,
        noise: learned.noise,
        jerk_down: learned.jerk_down.iter().map(|jerk| jerk_room.1 * jerk).collect(),
        jerk: learned.jerk.iter().map(|jerk| jerk_room.0 * jerk).collect(),
        turn_rate: learned.turn_rate,
        slip_sigma: vec![SIDESLIP_SIGMA; track.time_s.len()],
        speed_mps,
        gust_mps,
        incidence_sigma: hypot(INCIDENCE_SIGMA, gust_mps / speed_mps),
        wind: prior,
        thrust_drift: 1.0 * wind.thrust_drift,
        channels: built.channels,
        globals,
        mount: None,
        follows_roll: false,
        slip_by_load: false,
        by_propeller: None,
    };
    follow_roll(&mut scene);
    if let Some(angles) = built.mount {
        let place = |k: usize| look_of_track(track, wind, &scene.places[k], &body, k);
        let looks: Vec<Look> = (0..track.time_s.len()).map(place).collect();
        mount(&mut scene, &looks, &flying, angles, notes);
    }
    scene
}

/// What a recorded bank and a recorded lateral load let be followed, with the unknowns of the flight that go with it.
fn follow_roll(scene: &mut Scene) {
    let has = |kind: fn(Kind) -> bool| scene.channels.iter().any(|c| kind(c.kind));
    let (banks, turns) = (has(|kind| kind == Kind::Bank), has(Kind::of_interval));
    let loads = has(|kind| kind == Kind::Force(1));
    scene.follows_roll = banks && !turns && !scene.alone;
    scene.slip_by_load = scene.follows_roll && loads;
    if scene.slip_by_load {
        scene.by_propeller = Some(scene.globals.len());
        scene.globals.push(Global::new(0.0, PROPELLER_SIGMA, None));
        scene.globals.push(Global::new(0.0, TURN_SIGMA, None));
    }
}

/// Room for level and vertical jerk that the fixes do not show: a device that feels every pull needs no ruler, and heights alone are
/// so coarse that what is learned of vertical jerk leans on quiet flight, by about half (found on invented flights).
fn jerk_room(given: &Given<'_>, device: bool) -> (f64, f64) {
    const DEVICE_ROOM: f64 = 4.0;
    const COARSE_ROOM: f64 = 2.0;
    if device {
        (DEVICE_ROOM, DEVICE_ROOM)
    } else if given.alone || has_climb(given.track) {
        (1.0, 1.0)
    } else {
        (1.0, COARSE_ROOM)
    }
}

/// Whether the fixes carry vertical velocities.
fn has_climb(track: &Track) -> bool {
    track.learned.measured[2].iter().any(|m| m.kind == smoother::Kind::Velocity)
}

/// The speed over the ground that is usual in flight, m/s.
fn usual_speed_mps(track: &Track, flying: &[bool]) -> f64 {
    let pairs = track.velocity.iter().zip(flying).filter(|(_, flies)| **flies);
    let speeds: Vec<f64> = pairs.map(|(v, _)| hypot(v[0], v[1])).collect();
    median(&speeds).unwrap_or(AIRBORNE_MPS)
}

/// What is known of the wind beforehand: what the user tells, else what is usual; none where only the way through the air is known.
fn wind_prior(known: &Known<'_>, alone: bool) -> WindPrior {
    if alone {
        return WindPrior { mean: [0.0; 2], sigma: 0.01, drift: 1e-3, shear: 1e-3 };
    }
    known.wind.map_or(
        WindPrior { mean: [0.0; 2], sigma: WIND_USUAL_MPS, drift: WIND_DRIFT, shear: WIND_SHEAR },
        |told| {
            let velocity = told.velocity();
            let mean = [velocity.north(), velocity.east()];
            WindPrior { mean, sigma: TOLD_WIND_MPS, drift: 1e-3, shear: 1e-3 }
        },
    )
}

/// Settles where the lift points; returns the bank by the fixes alone, degrees.
fn settle_lift(given: &Given<'_>, body: &Body, places: &mut [Place]) -> Vec<f64> {
    let Given { recording, track, wind, .. } = given;
    let glance = |place: &Place, k: usize| Glance::of(&look_of_track(track, wind, place, body, k));
    let mut glances: Vec<Glance> =
        places.iter().enumerate().map(|(k, place)| glance(place, k)).collect();
    let before = places.to_vec();
    hardly_any_lift::settle(&track.time_s, &glances, places);
    if let Some(series) = recording.series_of(QuantityKind::BankDeg) {
        hardly_any_lift::by_recorded_bank(&track.time_s, &glances, series, places);
    }
    for (k, (before, place)) in before.iter().zip(places.iter()).enumerate() {
        if before != place {
            glances[k] = glance(place, k);
        }
    }
    glances.iter().map(|glance| glance.bank_rad / base::factors::RAD_PER_DEG).collect()
}

/// Loads alone are too coarse to show the attitude.
fn leave_out_lone_loads(recording: &Recording, channels: &mut Vec<Channel>, notes: &mut Vec<Note>) {
    let loads = |c: &Channel| matches!(c.kind, Kind::Force(_));
    if !shows_attitude(recording) && channels.iter().any(loads) {
        channels.retain(|c| !loads(c));
        let text = "loads recorded without attitude or rates are not used";
        notes.push(Note { kind: NoteKind::LeftOut, text: text.into() });
    }
}

/// Axes and air at every knot.
fn places(track: &Track, air: &[Air]) -> Vec<Place> {
    let one = |k: usize| Place {
        rows: track.rows[k],
        coriolis: track.coriolis[k],
        density: air[k].density.to_kgpm3(),
        sign: 1.0,
        hold: [0.0; 3],
    };
    (0..track.time_s.len()).map(one).collect()
}

/// Prior of the wind, m/s a component: typical of the lower air (common practice, no source).
const WIND_USUAL_MPS: f64 = 8.0;

/// The airplane at a knot by the fixes alone.
fn look_of_track(track: &Track, wind: &WindFound, place: &Place, body: &Body, k: usize) -> Look {
    let three = |i: usize| std::array::from_fn(|axis| track.learned.states[axis][k][i]);
    let state = crate::body::State {
        velocity: three(1),
        acceleration: three(2),
        wind: [wind.north[k], wind.east[k]],
        sideslip: 0.0,
        incidence: 0.0,
        side_free: 0.0,
        incidence_level: 0.0,
        incidence_slope: 0.0,
        side_force: 0.0,
        slip_by_load: false,
    };
    Look::of(&state, place, body)
}

/// What is kept of such a look.
#[derive(Debug, Clone, Copy)]
struct Glance {
    lift_mps2: f64,
    /// Force square to the path.
    square_mps2: [f64; 3],
    bank_rad: f64,
}

impl Glance {
    fn of(look: &Look) -> Self {
        Self {
            lift_mps2: look.flow.lift.value,
            square_mps2: look.flow.square.map(|part| part.value),
            bank_rad: look.bank().value,
        }
    }
}

/// First guess of how a device lies and how late the fixes are; without one its channels are left out.
fn mount(
    scene: &mut Scene,
    looks: &[Look],
    flying: &[bool],
    angles: [usize; 3],
    notes: &mut Vec<Note>,
) {
    let turns = joint::turns(scene, looks);
    let mut expected = sensors::Expected::default();
    for k in 0..turns.len() {
        if flying[k] {
            expected.time_s.push(scene.time_s[k]);
            expected.force.push(std::array::from_fn(|axis| looks[k].force(axis).value));
            expected.rate.push(turns[k].rate);
        }
    }
    let device = |c: &&Channel| matches!(c.kind, Kind::DeviceForce(_) | Kind::DeviceRate(_));
    let channels: Vec<&Channel> = scene.channels.iter().filter(device).collect();
    let found = sensors::start_device(&expected, &channels);
    match found {
        Some((device_from_body, delay_s)) => {
            if let Some(channel) = channels.first() {
                let delay = &mut scene.globals[channel.delay];
                delay.value = delay_s;
                delay.prior = delay_s;
            }
            scene.mount = Some(Mount { device_from_body, globals: angles });
        }
        None => {
            scene.channels.retain(|c| !device(&c));
            let text = "the device moved too little together with the fixes to find how it lies: its accelerometer and \
                        gyroscope are not used";
            notes.push(Note { kind: NoteKind::Missing, text: text.into() });
        }
    }
}

/// States to begin with: what the fixes say, and the wind found from them.
fn states<const N: usize>(track: &Track, wind: &WindFound) -> Vec<[f64; N]> {
    (0..track.time_s.len())
        .map(|k| {
            let mut x = [0.0; N];
            for axis in 0..3 {
                let from = &track.learned.states[axis][k];
                x[POSITION + axis] = from[0];
                x[VELOCITY + axis] = from[1];
                x[ACCELERATION + axis] = from[2];
                x[SLOW + axis] = from[3];
            }
            x[WIND] = wind.north[k];
            x[WIND + 1] = wind.east[k];
            x[THRUST] = 1.0;
            x
        })
        .collect()
}

/// A sensor that strays so many times as far as is usual is told (our judgement, no source).
const OVERRULED: f64 = 5.0;

/// The unknowns that are told.
pub(crate) fn offsets(scene: &Scene) -> Vec<Offset> {
    let told = |global: &Global| {
        let told = global.told.as_ref()?;
        Some(Offset {
            sensor: told.sensor.clone(),
            what: told.what,
            unit: told.unit,
            value: global.value * told.factor,
            sigma: global.sigma * told.factor,
        })
    };
    debug_assert!(scene.globals[DRAG].told.is_none());
    scene.globals.iter().filter_map(told).collect()
}

/// What a sideslip that nobody sees would do, in words.
fn tell_unseen_slip(motion: &Motion, notes: &mut Vec<Note>) {
    const HELD_DEG: f64 = 8.0;
    const QUANTILE: f64 = 0.9;
    let Some(slopes) = &motion.bank_by_sideslip else { return };
    let flown = slopes.iter().zip(&motion.airborne).filter(|(_, flies)| **flies);
    let sizes: Vec<f64> = flown.map(|(slope, _)| slope.abs()).collect();
    let Some(most) = quantile(&sizes, QUANTILE) else { return };
    let text = format!(
        "no sensor shows sideslip: the bands of bank, pitch and heading are for working and lazy feet together; {HELD_DEG:.0} degrees \
         of it held put the bank off by {:.0} degrees, the heading by {HELD_DEG:.0}",
        HELD_DEG * most
    );
    notes.push(Note { kind: NoteKind::Missing, text });
}

/// What was found of the sensors, in words.
pub(crate) fn tell(scene: &Scene, notes: &mut Vec<Note>) {
    let words = |global: &Global| {
        let told = global.told.as_ref()?;
        (global.sigma < 0.7 * global.prior_sigma).then(|| {
            format!(
                "{} {} {} {}",
                told.sensor,
                told.what,
                signed(global.value * told.factor, 2),
                told.unit
            )
        })
    };
    let found: Vec<String> = scene.globals.iter().filter_map(words).collect();
    for channel in scene.channels.iter().filter(|c| c.sigma > OVERRULED * c.usual) {
        let text = format!(
            "the recorded {} contradicts the other sensors: it strays {:.0} times as far as is usual and hardly counts; check its \
             unit and what its column is taken for",
            channel.kind.words(),
            channel.sigma / channel.usual
        );
        notes.push(Note { kind: NoteKind::Odd, text });
    }
    if !found.is_empty() {
        let text = format!("found with the motion and taken out: {}", found.join(", "));
        notes.push(Note { kind: NoteKind::Assumed, text });
    }
}

/// A device's own clock keeps the time of what it felt; its fixes come later. The motion is told by that clock.
fn by_device_clock(scene: &Scene, motion: &mut Motion) {
    let device = scene.channels.iter().find(|c| matches!(c.kind, Kind::DeviceForce(_)));
    let Some(channel) = device else { return };
    let delay = &scene.globals[channel.delay];
    for time_s in &mut motion.time_s {
        *time_s += delay.value;
    }
    motion.offsets.push(Offset {
        sensor: "satellite fixes of the device".into(),
        what: "delay",
        unit: "s",
        value: -delay.value,
        sigma: delay.sigma,
    });
    if let Some(mount) = &scene.mount {
        let rotation = base::frames::Rot::from_rows_unchecked(transposed(&mount.device_from_body));
        let angles = base::frames::Attitude::from_rotation(&rotation);
        let named = [
            ("mounting heading", angles.heading_rad),
            ("mounting pitch", angles.pitch_rad),
            ("mounting bank", angles.bank_rad),
        ];
        let sigma_rad = mount.globals.map(|g| scene.globals[g].sigma);
        let spread = sigma_rad.iter().map(|s| s * s).sum::<f64>().sqrt();
        for (what, value_rad) in named {
            motion.offsets.push(Offset {
                sensor: "device".into(),
                what,
                unit: "deg",
                value: value_rad / base::factors::RAD_PER_DEG,
                sigma: spread / base::factors::RAD_PER_DEG,
            });
        }
    }
}

fn transposed(m: &[[f64; 3]; 3]) -> [[f64; 3]; 3] {
    std::array::from_fn(|i| std::array::from_fn(|j| m[j][i]))
}
