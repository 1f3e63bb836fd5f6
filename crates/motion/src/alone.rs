//! A recording without positions: attitude, airspeed and height of a trainer's recorder tell how it flew, not where.
//!
//! The airplane is carried through the air mass from its first sample: bank turns it, airspeed and climb move it. That is where
//! the joint smoother begins; it then finds the motion that all sensors together make most likely, as with positions, but for
//! place, ground speed and wind, which nothing shows.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::CalibratedAirspeed;
use base::math::{cos, hypot, sin, tan, unwrap_angles};
use base::numerics::statistics::median;
use flight::air::{Air, geometric_m, pressure_altitude_m};
use flight::airspeed::true_from_calibrated;
use recording::{Note, NoteKind, QuantityKind, Recording, Series};

use crate::sensors::{self, AIRSPEED_SHARE};
use crate::smoother::{Noise, STATES, window_sum};
use crate::state::Motion;
use crate::track::{self, Learned, Track};
use crate::wind::WindFound;
use crate::{Known, MotionError, attitude, fuse, recorded};

/// Samples closer together than this share a knot, s.
const STEP_LEAST_S: f64 = 0.2;
/// Fewer samples are no flight.
const SAMPLES_LEAST: usize = 30;
/// Slowest airspeed that carries the airplane, m/s.
const SPEED_LEAST_MPS: f64 = 15.0;
/// Greatest bank that a turn is reckoned from, rad.
const BANK_MOST_RAD: f64 = 1.3;
/// Differences are taken over so many seconds to either side.
const DIFFERENCE_S: f64 = 1.5;
/// Doubt of a turn reckoned from bank and airspeed, as a share: the scale of the airspeed, and the sideslip in turns (our judgement, no
/// source).
const TURN_SHARE: f64 = 0.03;
/// Least intensity of jerk, m2/s5, and room for what the samples do not show of it.
const JERK_LEAST: f64 = 0.02;
const JERK_ROOM: f64 = 3.0;

/// The sensors without which there is no motion.
struct Sensors<'a> {
    airspeed: (&'a Series, QuantityKind),
    height: Vec<f64>,
    height_series: &'a Series,
    bank: &'a Series,
}

/// The motion of a recording without positions.
pub(crate) fn motion(recording: &Recording, known: &Known<'_>) -> Result<Motion, MotionError> {
    let too_few = MotionError::TooFewFixes { n: recording.fixes.len() };
    let sensors = sensors(recording).ok_or(too_few)?;
    let mut notes = vec![Note {
        kind: NoteKind::Missing,
        text: "no positions in this recording: place, ground speed, track and wind are absent"
            .into(),
    }];
    let mut track = knots(&sensors);
    let air = attitude::air_at_knots(recording, known, &track, &mut notes);
    let stretch = sensors::stretch_of_height(&air);
    for height_m in &mut track.height_m {
        *height_m *= stretch;
    }
    carry(&mut track, recording, &sensors, &air);
    let n = track.time_s.len();
    let wind = WindFound::still(n);
    let given =
        fuse::Given { recording, known, track: &track, air: &air, wind: &wind, alone: true };
    let mut motion = fuse::motion(&given, &mut notes)?;
    motion.origin = None;
    if heading(recording).is_none() {
        relative_heading(&mut motion, &mut notes);
    }
    own_up(&mut motion, usual_step_s(sensors.bank), &mut notes);
    motion.gaps.clone_from(&recording.gaps);
    motion.notes = notes;
    Ok(motion)
}

fn sensors(recording: &Recording) -> Option<Sensors<'_>> {
    let long = |series: &&Series| series.values.len() >= SAMPLES_LEAST;
    let airspeed = recorded::airspeed(recording).filter(|(series, _)| long(series))?;
    let of = |quantity: QuantityKind| recording.series_of(quantity).filter(long);
    let bank = of(QuantityKind::BankDeg)?;
    let (height_series, made): (&Series, fn(f64) -> f64) =
        if let Some(series) = of(QuantityKind::PressureAltitudeM) {
            (series, geometric_m)
        } else if let Some(series) = of(QuantityKind::StaticPressurePa) {
            (series, |pa| geometric_m(pressure_altitude_m(pa)))
        } else {
            (of(QuantityKind::IndicatedAltitudeM)?, geometric_m)
        };
    let height = height_series.values.iter().map(|value| made(*value)).collect();
    Some(Sensors { airspeed, height, height_series, bank })
}

fn heading(recording: &Recording) -> Option<&Series> {
    recording
        .series_of(QuantityKind::TrueHeadingDeg)
        .or_else(|| recording.series_of(QuantityKind::MagneticHeadingDeg))
}

/// A track with knots and heights, its speed that of the airspeed indicator, whatever the way.
fn knots(sensors: &Sensors<'_>) -> Track {
    let mut times: Vec<f64> = Vec::new();
    for &time_s in &sensors.airspeed.0.times_s {
        if times.last().is_none_or(|last| time_s >= last + STEP_LEAST_S) {
            times.push(time_s);
        }
    }
    let (time_s, _) = track::knots(&times, track::APART_FINE.first_s);
    let n = time_s.len();
    let along = |times_s: &[f64], values: &[f64], time_s: f64| {
        base::numerics::interpolation::linear(times_s, values, time_s)
    };
    let height_m: Vec<f64> = time_s
        .iter()
        .map(|time_s| along(&sensors.height_series.times_s, &sensors.height, *time_s))
        .collect();
    let speed =
        |time_s: &f64| along(&sensors.airspeed.0.times_s, &sensors.airspeed.0.values, *time_s);
    let velocity = time_s.iter().map(|time_s| [speed(time_s), 0.0, 0.0]).collect();
    Track {
        velocity,
        height_m,
        has_height: true,
        rows: vec![[[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]; n],
        coriolis: vec![[0.0; 3]; n],
        time_s,
        ..Track::default()
    }
}

/// Carries the airplane through the air: velocity, acceleration and place at every knot.
fn carry(track: &mut Track, recording: &Recording, sensors: &Sensors<'_>, air: &[Air]) {
    let time_s = track.time_s.clone();
    let n = time_s.len();
    let is_true = sensors.airspeed.1 == QuantityKind::TrueAirspeedMps;
    let speed: Vec<f64> = (0..n)
        .map(|k| {
            let recorded = track.velocity[k][0].max(SPEED_LEAST_MPS);
            let calibrated = CalibratedAirspeed::try_from_mps(recorded);
            match calibrated.filter(|_| !is_true) {
                Some(calibrated) => true_from_calibrated(calibrated, &air[k]).to_mps(),
                None => recorded,
            }
        })
        .collect();
    let climb = slope(&time_s, &track.height_m);
    let quickening = slope(&time_s, &speed);
    let loads = loads(recording, &time_s);
    let bank = |k: usize| {
        let deg = base::numerics::interpolation::linear(
            &sensors.bank.times_s,
            &sensors.bank.values,
            time_s[k],
        );
        (deg * base::factors::RAD_PER_DEG).clamp(-BANK_MOST_RAD, BANK_MOST_RAD)
    };
    let rate: Vec<f64> = (0..n).map(|k| STANDARD_GRAVITY_MPS2 * tan(bank(k)) / speed[k]).collect();
    let direction = directions(&time_s, &rate, heading(recording));
    let rising = slope(&time_s, &climb);
    // A recorded load shows a pull at once, the height a second later.
    let lifting = |k: usize| match loads[k] {
        Some(load) => STANDARD_GRAVITY_MPS2 * (load * cos(bank(k)) - 1.0),
        None => rising[k],
    };
    let mut states: [Vec<[f64; STATES]>; 3] = Default::default();
    let mut place = [0.0; 2];
    for k in 0..n {
        let flat = (speed[k] * speed[k] - climb[k] * climb[k]).max(1.0).sqrt();
        let (c, s) = (cos(direction[k]), sin(direction[k]));
        let turn = match loads[k] {
            Some(load) => STANDARD_GRAVITY_MPS2 * load * sin(bank(k)),
            None => flat * rate[k],
        };
        let velocity = [flat * c, flat * s, -climb[k]];
        let quick = quickening[k];
        let acceleration = [quick * c - turn * s, quick * s + turn * c, -lifting(k)];
        if k > 0 {
            let dt = (time_s[k] - time_s[k - 1]).min(5.0);
            place = [place[0] + dt * velocity[0], place[1] + dt * velocity[1]];
        }
        let position = [place[0], place[1], -track.height_m[k]];
        for axis in 0..3 {
            states[axis].push([position[axis], velocity[axis], acceleration[axis], 0.0]);
        }
        track.position.push(position);
        track.velocity[k] = velocity;
    }
    track.learned = learned(&time_s, &rate, states);
}

/// Recorded normal loads at the knots, where there are any.
fn loads(recording: &Recording, time_s: &[f64]) -> Vec<Option<f64>> {
    let Some(series) = recording.series_of(QuantityKind::NormalLoadG) else {
        return vec![None; time_s.len()];
    };
    // A recording whose normal load is nil in ordinary flight counts from one.
    let ordinary = median(&series.values).unwrap_or(1.0);
    let added = if ordinary.abs() < 0.5 { 1.0 } else { 0.0 };
    time_s.iter().map(|t| Some(recorded::at(series, *t)? + added)).collect()
}

/// Slope of a column over some seconds to either side.
fn slope(time_s: &[f64], values: &[f64]) -> Vec<f64> {
    (0..time_s.len())
        .map(|k| {
            let low = time_s.partition_point(|t| *t < time_s[k] - DIFFERENCE_S);
            let high = time_s.partition_point(|t| *t <= time_s[k] + DIFFERENCE_S) - 1;
            if high > low {
                (values[high] - values[low]) / (time_s[high] - time_s[low])
            } else {
                0.0
            }
        })
        .collect()
}

/// Direction of the path: recorded, or from nil by the rate of turn.
fn directions(time_s: &[f64], rate: &[f64], heading: Option<&Series>) -> Vec<f64> {
    if let Some(series) = heading {
        let rad: Vec<f64> =
            series.values.iter().map(|deg| deg * base::factors::RAD_PER_DEG).collect();
        let unwrapped = unwrap_angles(&rad);
        let at = |t: &f64| base::numerics::interpolation::linear(&series.times_s, &unwrapped, *t);
        return time_s.iter().map(at).collect();
    }
    let mut direction = 0.0;
    (0..time_s.len())
        .map(|k| {
            if k > 0 {
                let dt = (time_s[k] - time_s[k - 1]).min(1.0);
                direction += 0.5 * dt * (rate[k] + rate[k - 1]);
            }
            direction
        })
        .collect()
}

/// What the joint smoother is told of the flying: intensity of jerk from the changes of the acceleration carried.
fn learned(time_s: &[f64], rate: &[f64], states: [Vec<[f64; STATES]>; 3]) -> Learned {
    let intervals = time_s.len().saturating_sub(1);
    let turn_rate: Vec<f64> = (0..intervals).map(|k| 0.5 * (rate[k] + rate[k + 1])).collect();
    let middles: Vec<f64> = time_s.windows(2).map(|pair| 0.5 * (pair[0] + pair[1])).collect();
    let intensity = |axes: &[usize]| -> Vec<f64> {
        let squares: Vec<f64> = (0..intervals)
            .map(|k| {
                let dt = time_s[k + 1] - time_s[k];
                let turned = turn_rate[k] * dt;
                let (c, s) = (cos(turned), sin(turned));
                let a = |axis: usize, k: usize| states[axis][k][2];
                let left = |axis: usize| match axis {
                    0 => a(0, k + 1) - c * a(0, k) + s * a(1, k),
                    1 => a(1, k + 1) - s * a(0, k) - c * a(1, k),
                    _ => a(2, k + 1) - a(2, k),
                };
                axes.iter().map(|axis| left(*axis) * left(*axis)).sum::<f64>()
                    / (dt * axes.len() as f64)
            })
            .collect();
        let sums = window_sum(&middles, &squares, DIFFERENCE_S);
        let counts = window_sum(&middles, &vec![1.0; intervals], DIFFERENCE_S);
        let one = |(sum, count): (&f64, &f64)| (JERK_ROOM * sum / count).max(JERK_LEAST);
        sums.iter().zip(&counts).map(one).collect()
    };
    // No receiver, so no slow error of one.
    let noise = Noise { position_m: 1.0, velocity_mps: 1.0, slow_m: 0.01, slow_s: 60.0 };
    Learned {
        noise: [noise; 3],
        jerk: intensity(&[0, 1]),
        jerk_down: intensity(&[2]),
        turn_rate,
        states,
        ..Learned::default()
    }
}

/// What no other sensor can tell goes into the sigmas: how far the attitude itself lies behind, and how far the airspeed is off.
///
/// A row may have been taken at any moment of its step: evenly spread over it, that is a step over the root of three off.
fn own_up(motion: &mut Motion, step_s: f64, notes: &mut Vec<Note>) {
    let behind_s = step_s / 3.0f64.sqrt();
    let time_s = &motion.time_s;
    let columns = [
        &mut motion.bank_rad,
        &mut motion.pitch_rad,
        &mut motion.pitch_relative_rad,
        &mut motion.heading_rad,
        &mut motion.path_angle_rad,
        &mut motion.height_m,
        &mut motion.climb_mps,
        &mut motion.load_factor,
        &mut motion.angle_of_attack_rad,
        &mut motion.true_airspeed_mps,
        &mut motion.calibrated_airspeed_mps,
    ];
    for column in columns.into_iter().flatten() {
        let slopes = slope(time_s, &column.value);
        for (sigma, slope) in column.sigma.iter_mut().zip(slopes) {
            *sigma = hypot(*sigma, behind_s * slope);
        }
    }
    for column in [&mut motion.true_airspeed_mps, &mut motion.calibrated_airspeed_mps] {
        for column in column.iter_mut() {
            for (sigma, value) in column.sigma.iter_mut().zip(&column.value) {
                *sigma = hypot(*sigma, AIRSPEED_SHARE * value);
            }
        }
    }
    let text =
        "the recorded attitude keeps the time: everything may lie some tenths of a second behind";
    notes.push(Note { kind: NoteKind::Assumed, text: text.into() });
}

/// Usual time between samples, s.
fn usual_step_s(series: &Series) -> f64 {
    let steps: Vec<f64> = series.times_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    median(&steps).unwrap_or(1.0)
}

/// Without a recorded heading only its changes are known; sigma is then that of a change within a minute.
fn relative_heading(motion: &mut Motion, notes: &mut Vec<Note>) {
    const MINUTE_S: f64 = 60.0;
    let Some(heading) = motion.heading_rad.as_mut() else { return };
    let variance: Vec<f64> = heading.sigma.iter().map(|sigma| sigma * sigma).collect();
    let first = heading.value.first().copied().unwrap_or(0.0);
    let mut sigmas = Vec::with_capacity(variance.len());
    for k in 0..motion.time_s.len() {
        let before = motion.time_s.partition_point(|t| *t < motion.time_s[k] - MINUTE_S);
        let grown = (variance[k] - variance[before]).max(0.0);
        // An airspeed off by a share puts every turn off by as much.
        let turned = heading.value[k] - heading.value[before];
        sigmas.push(hypot((grown + variance[0]).sqrt(), TURN_SHARE * turned));
    }
    heading.sigma = sigmas;
    for value in &mut heading.value {
        *value -= first;
    }
    let text = "no heading in this recording: headings count from the start, with the sigma of a change within a minute";
    notes.push(Note { kind: NoteKind::Missing, text: text.into() });
}
