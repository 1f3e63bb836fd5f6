//! From velocity, acceleration and wind to airspeed, load factor, bank and pitch: coordinated flight in the moving air.
//!
//! The specific force square to the air-relative path is lift; its direction is the bank, its size the load factor. Sideslip is
//! not seen by a satellite receiver; it enters the uncertainty.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::frames::{Attitude, Ned, Vec3};
use base::kinds::{CalibratedAirspeed, IndicatedAirspeed, TrueAirspeed};
use base::math::{asin, atan2, cos, hypot, unwrap_angles};
use base::numerics::statistics::median;
use base::units::{Pressure, Temperature};
use base::written::signed;
use flight::air::{
    Air, geopotential_m, pressure_altitude_m, standard_pressure_pa, standard_temperature_k,
};
use flight::airspeed::{calibrated_from_true, true_from_calibrated};
use flight::wind::Wind;
use recording::{Note, NoteKind, QuantityKind, Recording};

use crate::recorded;
use crate::state::{Column, Motion};
use crate::track::Track;
use crate::wind::{self, TrueAirspeedSeen, WindFound};
use crate::{Known, MotionError};

/// Faster than any airplane these lessons are flown in, m/s.
const SPEED_MOST_MPS: f64 = 400.0;
/// More than any of them bears, g.
const LOAD_MOST: f64 = 20.0;

/// Sideslip of ordinary coordinated flying, one standard deviation (common practice, no source).
const SIDESLIP_SIGMA_RAD: f64 = 1.2 * RAD_PER_DEG;
/// Bank error for each unit of sideslip, measured on flown check data between 0.5 and 0.75 (methods note of this project).
const BANK_PER_SIDESLIP: f64 = 0.65;
/// Slope of lift, load of the wing and their spread, of light airplanes (common practice, no source).
const CLASS_LIFT_SLOPE: f64 = 4.8;
const CLASS_LIFT_AT_ZERO: f64 = 0.3;
const CLASS_WING_LOADING_PA: f64 = 620.0;
const CLASS_WING_LOADING_SHARE: f64 = 0.2;
/// Load factor is never known better: quick pulls are smoothed.
const LOAD_FLOOR: f64 = 0.01;
/// For changes of pitch only part of the incidence is in doubt: what grows with lift (our judgement, no source).
const INCIDENCE_CHANGE_SHARE: f64 = 0.35;
/// Doubt in the square root of density from temperature and pressure height, as a share of airspeed (our judgement, no source).
const DENSITY_SHARE: f64 = 0.006;
/// How late air data usually are, s (common practice, no source).
const AIR_DATA_DELAY_S: f64 = 0.2;
/// A speed over the ground from which an airplane is taken to fly, m/s.
const AIRBORNE_MPS: f64 = 18.0;

/// One knot worked out.
#[derive(Clone, Copy, Default)]
struct Knot {
    true_airspeed: f64,
    true_airspeed_sigma: f64,
    course: f64,
    path_angle: f64,
    path_angle_sigma: f64,
    lift_bank: f64,
    bank_sigma: f64,
    load: f64,
    load_sigma: f64,
    course_sigma: f64,
}

pub(crate) fn assemble(
    recording: &Recording,
    known: &Known<'_>,
    track: &Track,
    mut notes: Vec<Note>,
) -> Result<Motion, MotionError> {
    if track.turned_rad != 0.0 {
        let text = format!(
            "the recorded tracks stand {} degrees off the way the positions go (from magnetic north?): turned",
            signed(track.turned_rad / RAD_PER_DEG, 1)
        );
        notes.push(note(NoteKind::Odd, &text));
    }
    let air = air_at_knots(recording, known, track, &mut notes);
    let airspeeds = airspeeds_seen(recording, known, track, &air, &mut notes);
    let wind = match known.wind {
        Some(wind) => {
            let velocity = wind.velocity();
            let told = [velocity.north(), velocity.east()];
            note_told_wind(
                track,
                &wind::find(track, &airspeeds, &air, known.airplane),
                told,
                &mut notes,
            );
            wind::told(track, told)
        }
        None => wind::find(track, &airspeeds, &air, known.airplane),
    };
    let knots: Vec<Knot> = (0..track.time_s.len()).map(|k| knot(track, &wind, k)).collect();
    note_wind(known, track, &wind, &airspeeds, &mut notes);
    note_impossible(track, &knots, &mut notes);
    if !track.has_height {
        let text = "no height in this recording (or too few): height, climb, pitch and calibrated airspeed are absent, and no \
                    maneuver can be told from another";
        notes.push(note(NoteKind::Missing, text));
    }
    if track.has_height {
        let given =
            crate::fuse::Given { recording, known, track, air: &air, wind: &wind, alone: false };
        let mut motion = crate::fuse::motion(&given, &mut notes)?;
        motion.gaps.clone_from(&recording.gaps);
        motion.notes = notes;
        return Ok(motion);
    }
    let mut motion = columns(known, track, &knots, &air, wind, &mut notes);
    if !track.has_height {
        motion.climb_mps = None;
        motion.path_angle_rad = None;
        motion.pitch_rad = None;
        motion.pitch_relative_rad = None;
        // Without a height there is no density; a recorded pressure altitude gives it.
        if recording.series_of(QuantityKind::PressureAltitudeM).is_none() {
            motion.calibrated_airspeed_mps = None;
        }
    }
    refine_with_recorded(recording, &mut motion, &mut notes);
    motion.gaps.clone_from(&recording.gaps);
    motion.notes = notes;
    Ok(motion)
}

/// Air at every knot: density from height and the day. The temperature's uncertainty goes into the airspeed.
pub(crate) fn air_at_knots(
    recording: &Recording,
    known: &Known<'_>,
    track: &Track,
    notes: &mut Vec<Note>,
) -> Vec<Air> {
    let pressure_series = recording.series_of(QuantityKind::PressureAltitudeM);
    let oat = recording.series_of(QuantityKind::OutsideAirTemperatureK);
    let shift_m = known.qnh.map_or(0.0, |qnh| pressure_altitude_m(qnh.to_pa()));
    let altitude = |k: usize| {
        let recorded = pressure_series.and_then(|series| recorded::at(series, track.time_s[k]));
        recorded.unwrap_or_else(|| geopotential_m(track.height_m[k]) + shift_m)
    };
    let told = known.temperature.map(|temperature| {
        let first = (0..track.time_s.len()).find(|k| flying(track, *k)).unwrap_or(0);
        temperature.to_k() - standard_temperature_k(altitude(first))
    });
    let recorded_offset = oat.and_then(|series| {
        let offsets: Vec<f64> = (0..track.time_s.len())
            .step_by(10)
            .filter(|k| flying(track, *k))
            .filter_map(|k| {
                recorded::at(series, track.time_s[k])
                    .map(|kelvin| kelvin - standard_temperature_k(altitude(k)))
            })
            .collect();
        median(&offsets)
    });
    let offset_k = told.or(recorded_offset).unwrap_or_else(|| {
        notes.push(note(
            NoteKind::Assumed,
            "no temperature: standard air is assumed; the outside air temperature, where it is told, makes airspeeds truer",
        ));
        0.0
    });
    (0..track.time_s.len())
        .map(|k| {
            let altitude_m = altitude(k);
            let kelvin = (standard_temperature_k(altitude_m) + offset_k).max(150.0);
            Air::new(
                Pressure::from_pa(standard_pressure_pa(altitude_m)),
                Temperature::from_k(kelvin),
            )
        })
        .collect()
}

fn flying(track: &Track, k: usize) -> bool {
    hypot(track.velocity[k][0], track.velocity[k][1]) > AIRBORNE_MPS
}

fn note(kind: NoteKind, text: &str) -> Note {
    Note { kind, text: text.into() }
}

/// Recorded airspeed as true airspeed at the knots, its delay taken out against the change of ground speed.
fn airspeeds_seen(
    recording: &Recording,
    known: &Known<'_>,
    track: &Track,
    air: &[Air],
    notes: &mut Vec<Note>,
) -> Vec<TrueAirspeedSeen> {
    let Some((series, kind)) = recorded::airspeed(recording) else {
        let whose = if known.wind.is_some() { "told" } else { "found" };
        let text = format!(
            "no airspeed in this recording: speeds are estimated from the track and the wind {whose}"
        );
        notes.push(note(NoteKind::Missing, &text));
        return Vec::new();
    };
    let true_of = |value: f64, k: usize| match kind {
        QuantityKind::TrueAirspeedMps => Some(value),
        QuantityKind::IndicatedAirspeedMps => {
            let indicated = IndicatedAirspeed::try_from_mps(value)?;
            let calibrated = known.airplane.map_or_else(
                || CalibratedAirspeed::from_mps(indicated.to_mps()),
                |airplane| airplane.calibrated(indicated),
            );
            Some(true_from_calibrated(calibrated, &air[k]).to_mps())
        }
        _ => Some(true_from_calibrated(CalibratedAirspeed::try_from_mps(value)?, &air[k]).to_mps()),
    };
    // Only the wind to begin with comes from here: the joint smoother finds the delay.
    let lag = AIR_DATA_DELAY_S;
    (0..track.time_s.len())
        .filter(|k| flying(track, *k))
        .filter_map(|k| {
            let value_mps = true_of(recorded::at(series, track.time_s[k] + lag)?, k)?;
            // Knots between the samples of a 1 Hz log carry no news of their own: spread the information.
            (value_mps > 10.0).then_some(TrueAirspeedSeen { knot: k, value_mps, sigma_mps: 1.5 })
        })
        .collect()
}

fn note_wind(
    known: &Known<'_>,
    track: &Track,
    wind: &WindFound,
    airspeeds: &[TrueAirspeedSeen],
    notes: &mut Vec<Note>,
) {
    let flying_sigmas: Vec<f64> = (0..track.time_s.len())
        .filter(|k| flying(track, *k))
        .map(|k| hypot(wind.sigma_north[k], wind.sigma_east[k]) / 2.0f64.sqrt())
        .collect();
    let middle = median(&flying_sigmas).unwrap_or(f64::NAN);
    if known.wind.is_none() && airspeeds.is_empty() && middle > 3.0 {
        let text = "too little turning to find the wind: airspeeds are uncertain; say the wind if it is known";
        notes.push(note(NoteKind::Missing, text));
    }
}

/// A wind told by the user that the flying itself contradicts is said: a slip of the direction spoils every airspeed.
fn note_told_wind(track: &Track, found: &WindFound, told: [f64; 2], notes: &mut Vec<Note>) {
    /// Reports and winds aloft differ by so much without either being wrong, m/s a component.
    const ORDINARY_MPS: f64 = 3.0;
    const SIGMAS: f64 = 3.0;
    let places: Vec<usize> = (0..track.time_s.len()).filter(|k| flying(track, *k)).collect();
    let middle = |column: &[f64]| median(&places.iter().map(|&k| column[k]).collect::<Vec<_>>());
    let (Some(north), Some(east)) = (middle(&found.north), middle(&found.east)) else { return };
    let sigma =
        hypot(middle(&found.sigma_north).unwrap_or(0.0), middle(&found.sigma_east).unwrap_or(0.0));
    let away = hypot(north - told[0], east - told[1]);
    if away > hypot(SIGMAS * sigma, SIGMAS * ORDINARY_MPS / 2.0) {
        let words =
            |wind: Wind| format!("{:03.0}/{:.0} kt", wind.from.to_deg(), wind.speed.to_kt());
        let text = format!(
            "the wind told ({}) contradicts what the turns and speeds show ({}): airspeeds follow the wind told; leave it out \
             to have them follow the one found",
            words(Wind::from_velocity(told[0], told[1])),
            words(Wind::from_velocity(north, east))
        );
        notes.push(note(NoteKind::Odd, &text));
    }
}

/// Places where the fixes ask for a motion that no airplane has (a jump of place that lasts): said, for nothing there holds.
fn note_impossible(track: &Track, knots: &[Knot], notes: &mut Vec<Note>) {
    let impossible =
        |k: &usize| knots[*k].true_airspeed > SPEED_MOST_MPS || knots[*k].load > LOAD_MOST;
    let places: Vec<usize> = (0..knots.len()).filter(impossible).collect();
    if let Some(&first) = places.first() {
        let text = format!(
            "at {} places, first at {:.1} s, the fixes ask for a motion that no airplane has: values there do not hold",
            places.len(),
            track.time_s[first]
        );
        notes.push(note(NoteKind::Odd, &text));
    }
}

fn knot(track: &Track, wind: &WindFound, k: usize) -> Knot {
    let [vn, ve, vd] = track.velocity[k];
    let air = Vec3::<Ned>::new(vn - wind.north[k], ve - wind.east[k], vd);
    let speed = air.norm().max(1.0);
    let horizontal = hypot(air.x, air.y).max(0.5);
    let along = air * (1.0 / speed);
    let [an, ae, ad] = track.acceleration[k];
    let force = Vec3::<Ned>::new(an, ae, ad - STANDARD_GRAVITY_MPS2);
    let lift = force - along * force.dot(along);
    // Right of the path and up from it, square to the path.
    let right = Vec3::<Ned>::new(-air.y / horizontal, air.x / horizontal, 0.0);
    let up = right.cross(along) * -1.0;
    let up = if up.z > 0.0 { -up } else { up };
    let (to_right, upward) = (lift.dot(right), lift.dot(up));
    let force_size = hypot(to_right, upward).max(0.1);
    let [sn, se, sd] = track.acceleration_sigma[k];
    let sigma_side = hypot(sn * right.x, se * right.y);
    let sigma_up = hypot(sd * up.z, hypot(sn * up.x, se * up.y));
    // A wind in error turns the path and moves along-track acceleration into the side: small but said.
    let wind_sigma = hypot(wind.sigma_north[k] * right.x, wind.sigma_east[k] * right.y);
    let along_acceleration = force.dot(along).abs();
    let side_from_wind = along_acceleration * wind_sigma / speed;
    let lift_bank = atan2(to_right, upward);
    let tilt = hypot(
        hypot(sigma_side, side_from_wind) * cos(lift_bank),
        sigma_up * base::math::sin(lift_bank),
    ) / force_size;
    let speed_wind_sigma = hypot(wind.sigma_north[k] * along.x, wind.sigma_east[k] * along.y);
    let [vsn, vse, vsd] = track.velocity_sigma[k];
    let speed_sigma = hypot(speed_wind_sigma, hypot(vsn * along.x, vse * along.y));
    let path_angle = asin((-along.z).clamp(-1.0, 1.0));
    Knot {
        true_airspeed: speed,
        true_airspeed_sigma: speed_sigma,
        course: atan2(air.y, air.x),
        course_sigma: hypot(wind_sigma, hypot(vsn, vse) * 0.7) / horizontal,
        path_angle,
        path_angle_sigma: hypot(vsd / speed, path_angle.abs() * speed_sigma / speed),
        lift_bank,
        bank_sigma: hypot(tilt, BANK_PER_SIDESLIP * SIDESLIP_SIGMA_RAD),
        load: force_size / STANDARD_GRAVITY_MPS2,
        load_sigma: hypot(
            hypot(sigma_up * cos(lift_bank), sigma_side * base::math::sin(lift_bank))
                / STANDARD_GRAVITY_MPS2,
            LOAD_FLOOR,
        ),
    }
}

/// Angle of attack and its sigma: from the airplane's lift where it is known, else typical of the class.
fn incidence(known: &Known<'_>, knot: &Knot, air: &Air) -> (f64, f64) {
    let pressure_pa = 0.5 * air.density.to_kgpm3() * knot.true_airspeed * knot.true_airspeed;
    match known.airplane {
        Some(airplane) => {
            let weight_n = airplane.masses.typical.to_kg() * STANDARD_GRAVITY_MPS2;
            let lift = (knot.load * weight_n / (pressure_pa * airplane.wing_area.to_m2()))
                .min(airplane.aerodynamics.lift_max);
            // The mass of the day and the straight lift line: a tenth of the part that grows with lift.
            let sigma = 0.10 * lift / airplane.aerodynamics.lift_slope_per_rad + 0.4 * RAD_PER_DEG;
            (airplane.incidence_rad(lift), sigma)
        }
        None => {
            let lift = (knot.load * CLASS_WING_LOADING_PA / pressure_pa).min(1.4);
            let sigma = CLASS_WING_LOADING_SHARE * lift / CLASS_LIFT_SLOPE + 0.6 * RAD_PER_DEG;
            ((lift - CLASS_LIFT_AT_ZERO) / CLASS_LIFT_SLOPE, sigma)
        }
    }
}

/// Pitch sigma from the path, the incidence and the sideslip, which in a bank lifts or lowers the nose against the path.
fn pitch_sigma(knot: &Knot, incidence_sigma: f64) -> f64 {
    let slip = SIDESLIP_SIGMA_RAD * base::math::sin(knot.lift_bank).abs();
    hypot(hypot(knot.path_angle_sigma, incidence_sigma * cos(knot.lift_bank).abs()), slip)
}

/// Calibrated airspeed and its sigma, m/s; the air's own uncertainty is part of it.
fn calibrated(knot: &Knot, air: &Air) -> (f64, f64) {
    let speed = TrueAirspeed::from_mps(knot.true_airspeed.min(SPEED_MOST_MPS));
    let calibrated = calibrated_from_true(speed, air).to_mps();
    (
        calibrated,
        hypot(knot.true_airspeed_sigma * calibrated / speed.to_mps(), DENSITY_SHARE * calibrated),
    )
}

/// Attitude of every knot, with the sigma of its incidence.
fn attitudes(known: &Known<'_>, knots: &[Knot], air: &[Air]) -> Vec<(Attitude, f64)> {
    let courses = unwrap_angles(&knots.iter().map(|knot| knot.course).collect::<Vec<_>>());
    let one = |((knot, air), course): ((&Knot, &Air), &f64)| {
        let (incidence_rad, sigma) = incidence(known, knot, air);
        (Attitude::from_path(*course, knot.path_angle, knot.lift_bank, incidence_rad), sigma)
    };
    knots.iter().zip(air).zip(&courses).map(one).collect()
}

fn columns(
    known: &Known<'_>,
    track: &Track,
    knots: &[Knot],
    air: &[Air],
    wind: WindFound,
    notes: &mut Vec<Note>,
) -> Motion {
    let n = knots.len();
    let column = |f: &dyn Fn(usize) -> (f64, f64)| {
        let (value, sigma) = (0..n).map(f).unzip();
        Some(Column { value, sigma })
    };
    let attitudes = attitudes(known, knots, air);
    let headings = unwrap_angles(
        &attitudes.iter().map(|(attitude, _)| attitude.heading_rad).collect::<Vec<_>>(),
    );
    let pitch = |share: f64| {
        column(&|k| {
            let (attitude, incidence_sigma) = attitudes[k];
            (attitude.pitch_rad, pitch_sigma(&knots[k], share * incidence_sigma))
        })
    };
    let pitch_relative = pitch(INCIDENCE_CHANGE_SHARE);
    if known.airplane.is_none() {
        let text = "airplane not known: no absolute pitch; changes of pitch use the incidence of a typical light airplane";
        notes.push(note(NoteKind::Missing, text));
    }
    let heading_extra = 0.5 * RAD_PER_DEG;
    let directions = track.direction();
    let speeds = track.ground_speed();
    let velocity_sigma =
        |k: usize| hypot(track.velocity_sigma[k][0], track.velocity_sigma[k][1]) / 2.0f64.sqrt();
    let slip = |k: usize| SIDESLIP_SIGMA_RAD * cos(knots[k].lift_bank).abs();
    Motion {
        gusts_mps: None,
        time_s: track.time_s.clone(),
        origin: track.origin,
        north_m: column(&|k| (track.position[k][0], track.position_sigma[k][0])),
        east_m: column(&|k| (track.position[k][1], track.position_sigma[k][1])),
        height_m: if track.has_height {
            column(&|k| (track.height_m[k], track.position_sigma[k][2]))
        } else {
            None
        },
        ground_speed_mps: column(&|k| (speeds[k], velocity_sigma(k))),
        track_rad: column(&|k| (directions[k], velocity_sigma(k) / speeds[k].max(0.5))),
        climb_mps: column(&|k| (-track.velocity[k][2], track.velocity_sigma[k][2])),
        heading_rad: column(&|k| {
            (headings[k], hypot(hypot(knots[k].course_sigma, heading_extra), slip(k)))
        }),
        path_angle_rad: column(&|k| (knots[k].path_angle, knots[k].path_angle_sigma)),
        bank_rad: column(&|k| (attitudes[k].0.bank_rad, knots[k].bank_sigma)),
        pitch_rad: known.airplane.and_then(|_| pitch(1.0)),
        pitch_relative_rad: pitch_relative,
        load_factor: column(&|k| (knots[k].load, knots[k].load_sigma)),
        true_airspeed_mps: column(&|k| (knots[k].true_airspeed, knots[k].true_airspeed_sigma)),
        calibrated_airspeed_mps: column(&|k| calibrated(&knots[k], &air[k])),
        wind_north_mps: Some(Column { value: wind.north, sigma: wind.sigma_north }),
        wind_east_mps: Some(Column { value: wind.east, sigma: wind.sigma_east }),
        airborne: (0..n).map(|k| flying(track, k)).collect(),
        ..Motion::default()
    }
}

/// Recorded attitude, its delay and bias found against the track, takes the lead where it is there.
fn refine_with_recorded(recording: &Recording, motion: &mut Motion, notes: &mut Vec<Note>) {
    if let (Some(series), Some(bank)) =
        (recording.series_of(QuantityKind::BankDeg), motion.bank_rad.as_mut())
    {
        let reference: Vec<f64> = bank.value.iter().map(|rad| rad / RAD_PER_DEG).collect();
        if let Some(lag) = recorded::delay_s(series, &motion.time_s, &reference, 25.0) {
            let bias = merge(series, &motion.time_s, bank, lag, true);
            notes.push(note(
                NoteKind::Assumed,
                &format!("recorded bank: {lag:.2} s behind and {bias:+.1} degrees off the track in the mean; both taken out"),
            ));
            if let (Some(pitch_series), Some(pitch)) =
                (recording.series_of(QuantityKind::PitchDeg), motion.pitch_relative_rad.as_mut())
            {
                // The bias of pitch cannot be told from the incidence of an airplane that is not known.
                let bias_known = motion.pitch_rad.is_some();
                merge(pitch_series, &motion.time_s, pitch, lag, bias_known);
                motion.pitch_rad = Some(pitch.clone());
                let text = "recorded pitch is used with the delay of the recorded bank";
                notes.push(note(NoteKind::Assumed, text));
            }
        }
    }
}

/// Joins a recorded angle (degrees) into a column (radians) by inverse variance; returns the bias taken out, degrees.
fn merge(
    series: &recording::Series,
    time_s: &[f64],
    column: &mut Column,
    lag_s: f64,
    remove_bias: bool,
) -> f64 {
    let differences: Vec<f64> = (0..time_s.len())
        .filter_map(|k| {
            let value = recorded::at(series, time_s[k] + lag_s)?;
            let reference = column.value[k] / RAD_PER_DEG;
            (reference.abs() < 20.0 && recorded::bend_at(series, time_s[k] + lag_s) < 2.0)
                .then_some(value - reference)
        })
        .collect();
    let bias = if remove_bias { median(&differences).unwrap_or(0.0) } else { 0.0 };
    for (k, &time) in time_s.iter().enumerate() {
        let Some(value) = recorded::at(series, time + lag_s) else { continue };
        let recorded_sigma =
            hypot(0.45, 0.2 * recorded::bend_at(series, time + lag_s)) * RAD_PER_DEG;
        let recorded_sigma =
            if remove_bias { recorded_sigma } else { hypot(recorded_sigma, 0.5 * RAD_PER_DEG) };
        let (a, b) =
            (1.0 / (recorded_sigma * recorded_sigma), 1.0 / (column.sigma[k] * column.sigma[k]));
        column.value[k] = ((value - bias) * RAD_PER_DEG * a + column.value[k] * b) / (a + b);
        column.sigma[k] = (1.0 / (a + b)).sqrt();
    }
    bias
}
