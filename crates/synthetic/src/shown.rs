//! Figures of the catalogue as their reference flights fly them, after clearing turns and between stretches of straight flight, so that every recorder can be
//! carried along: the search over attempts is tried on every figure with them.
//!
//! The hand is without fault and nothing slips: what is tried is whether a figure is known for what it is by each kind of sensor, not
//! how well it was flown.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::frames::{Attitude, Body, Ned, Vec3};
use base::geodesy::{Geodetic, LocalLevel};
use base::kinds::{GeometricHeight, TrueAirspeed};
use base::math::{cos, exp, sin, tan};
use flight::air::Day;
use flight::airspeed::calibrated_from_true;
use flight::trajectory::FlightSample;
use maneuver::ReferenceFlight;

use crate::lesson::{Attempt, Flight, STEP_S, Sample};

/// Level flight before, s, and after.
const BEFORE_S: f64 = 220.0;
const AFTER_S: f64 = 60.0;
/// A figure that begins climbing or descending is entered so for this long, s, begun and ended over that.
const STEADY_S: (f64, f64) = (15.0, 10.0);
/// Clearing turns in it, first one way and then the other: how long before the figure the last is over, s, the bank, rad, how long it
/// is rolled in or out, s, and how long it is held, s. They show the wind to a recorder without airspeed.
const CLEARED_S: f64 = 60.0;
const CLEARING_RAD: f64 = 20.0 * base::factors::RAD_PER_DEG;
const ROLLING_S: f64 = 2.5;
const HELD_S: f64 = 18.0;
/// Bank is taken off, the nose brought level and the speed of the entry got back within about these times, s.
const LEVEL_S: f64 = 0.8;
const NOSE_S: f64 = 3.0;
const SPEED_S: f64 = 15.0;

/// The truth of a reference flight on a day, flown above a place, straight flight before and after. Linear in its length.
///
/// # Panics
/// When the reference has no samples.
#[must_use]
pub fn flight(reference: &ReferenceFlight, day: &Day, place: Geodetic) -> Flight {
    let states = laid_out(&reference.samples, day);
    let zero_s = states[0].time_s;
    let first_s = reference.samples[0].time_s;
    let last_s = reference.samples[reference.samples.len() - 1].time_s;
    let attempt =
        Attempt { figure: reference.maneuver, start_s: first_s - zero_s, end_s: last_s - zero_s };
    Flight { samples: samples(&states, day, place), attempts: vec![attempt] }
}

/// States every [`STEP_S`] from the straight flight before to that after.
fn laid_out(flown: &[FlightSample], day: &Day) -> Vec<FlightSample> {
    let (first, last) = (flown[0], flown[flown.len() - 1]);
    let mut states: Vec<FlightSample> = Vec::new();
    let count = (BEFORE_S / STEP_S) as usize;
    let mut here = first;
    for i in 1..=count {
        here = before(&first, &here, i as f64 * STEP_S, day);
        states.push(here);
    }
    states.reverse();
    let mut k = 0;
    let n = ((last.time_s - first.time_s) / STEP_S) as usize;
    for i in 0..=n {
        let time_s = first.time_s + i as f64 * STEP_S;
        while k + 2 < flown.len() && flown[k + 1].time_s <= time_s {
            k += 1;
        }
        let (a, b) = (flown[k], flown[k + 1]);
        states.push(a.mixed(&b, (time_s - a.time_s) / (b.time_s - a.time_s)));
    }
    let mut here = last;
    for i in 1..=(AFTER_S / STEP_S) as usize {
        here = after((&first, &last), &here, i as f64 * STEP_S, day);
        states.push(here);
    }
    states
}

/// One step earlier: at the speed of the entry, on its heading but for the clearing turns.
fn before(first: &FlightSample, later: &FlightSample, before_s: f64, day: &Day) -> FlightSample {
    let steady = ((before_s - STEADY_S.0) / STEADY_S.1).clamp(0.0, 1.0);
    let climb_rad = first.climb_rad * (1.0 - steady);
    let clearing_rad = clearing_bank_rad(before_s);
    let bank_rad = first.bank_rad * (1.0 - before_s / LEVEL_S).max(0.0) + clearing_rad;
    let turned = STEP_S * STANDARD_GRAVITY_MPS2 * tan(clearing_rad) / first.true_airspeed_mps;
    let state = FlightSample {
        climb_rad,
        bank_rad,
        pitch_rad: first.pitch_rad + climb_rad - first.climb_rad,
        course_rad: later.course_rad - turned,
        heading_rad: later.heading_rad - turned,
        ..*first
    };
    moved(&state, later, -STEP_S, day)
}

/// Bank of the clearing turns so long before the figure, rad: to the left first, then to the right.
fn clearing_bank_rad(before_s: f64) -> f64 {
    let one_s = HELD_S + 2.0 * ROLLING_S;
    let since_s = before_s - CLEARED_S;
    let (way, since_s) = if since_s < one_s { (1.0, since_s) } else { (-1.0, since_s - one_s) };
    let inside_s = since_s.min(one_s - since_s);
    way * CLEARING_RAD * (inside_s / ROLLING_S).clamp(0.0, 1.0)
}

/// One step later: wings level, nose level, speed back to that of the entry.
fn after(
    (first, last): (&FlightSample, &FlightSample),
    here: &FlightSample,
    after_s: f64,
    day: &Day,
) -> FlightSample {
    let climb_rad = last.climb_rad * exp(-after_s / NOSE_S);
    let bank_rad = last.bank_rad * exp(-after_s / LEVEL_S);
    let speed = |first: f64, last: f64| first + (last - first) * exp(-after_s / SPEED_S);
    let speed_mps = speed(first.true_airspeed_mps, last.true_airspeed_mps);
    let turned = STEP_S * STANDARD_GRAVITY_MPS2 * tan(bank_rad) / speed_mps;
    let level = first.pitch_rad - first.climb_rad;
    let off_level = (last.pitch_rad - last.climb_rad - level) * exp(-after_s / SPEED_S);
    let state = FlightSample {
        climb_rad,
        bank_rad,
        pitch_rad: climb_rad + level + off_level,
        course_rad: here.course_rad + turned,
        heading_rad: here.heading_rad + turned,
        true_airspeed_mps: speed_mps,
        ..*last
    };
    moved(&state, here, STEP_S, day)
}

/// A state put where its velocity leads from a neighbor.
fn moved(state: &FlightSample, from: &FlightSample, step_s: f64, day: &Day) -> FlightSample {
    let velocity = velocity(state, day);
    FlightSample {
        time_s: from.time_s + step_s,
        north_m: from.north_m + step_s * velocity.north(),
        east_m: from.east_m + step_s * velocity.east(),
        height_m: from.height_m - step_s * velocity.down(),
        ..*state
    }
}

/// Over the ground.
fn velocity(state: &FlightSample, day: &Day) -> Vec3<Ned> {
    let wind = day.wind.velocity();
    let along = state.true_airspeed_mps * cos(state.climb_rad);
    Vec3::new(
        along * cos(state.course_rad) + wind.north(),
        along * sin(state.course_rad) + wind.east(),
        -state.true_airspeed_mps * sin(state.climb_rad),
    )
}

fn attitude(state: &FlightSample) -> Attitude {
    Attitude {
        heading_rad: base::math::wrap_pi(state.heading_rad),
        pitch_rad: state.pitch_rad,
        bank_rad: base::math::wrap_pi(state.bank_rad),
    }
}

fn samples(states: &[FlightSample], day: &Day, place: Geodetic) -> Vec<Sample> {
    let local = LocalLevel::at(Geodetic { height_m: 0.0, ..place });
    let wind = day.wind.velocity();
    let one = |i: usize| {
        let state = &states[i];
        // Turning and accelerating are those between the neighbors, over two tenths of a second: the reference is given in tenths.
        let (a, b) = (&states[i.saturating_sub(5)], &states[(i + 5).min(states.len() - 1)]);
        let over_s = b.time_s - a.time_s;
        let acceleration = (velocity(b, day) - velocity(a, day)) * (1.0 / over_s);
        let felt = acceleration - Vec3::new(0.0, 0.0, STANDARD_GRAVITY_MPS2);
        let air = day.air_at(GeometricHeight::from_m(state.height_m));
        let speed = TrueAirspeed::from_mps(state.true_airspeed_mps);
        let at = local.to_geodetic(Vec3::new(state.north_m, state.east_m, 0.0));
        Sample {
            time_s: i as f64 * STEP_S,
            place: Geodetic { height_m: state.height_m, ..at },
            velocity_mps: velocity(state, day),
            attitude: attitude(state),
            rates_radps: rates(&attitude(a), &attitude(b), over_s),
            specific_force_mps2: attitude(state).body_from_ned().apply(felt),
            alpha_rad: state.incidence_rad,
            beta_rad: 0.0,
            true_airspeed_mps: speed.to_mps(),
            calibrated_airspeed_mps: calibrated_from_true(speed, &air).to_mps(),
            wind_mps: Vec3::new(wind.north(), wind.east(), 0.0),
            air_mps: Vec3::new(wind.north(), wind.east(), 0.0),
            pressure_pa: air.pressure.to_pa(),
            temperature_k: air.temperature.to_k(),
            throttle: state.power_share,
            engine_radps: 0.0,
        }
    };
    (0..states.len()).map(one).collect()
}

/// Rotation about the body's axes between two attitudes close to each other.
fn rates(from: &Attitude, to: &Attitude, over_s: f64) -> Vec3<Body> {
    let m = *from.body_from_ned().inverse().then(&to.body_from_ned()).rows();
    let about = |a: f64, b: f64| 0.5 * (a - b) / over_s;
    Vec3::new(about(m[1][2], m[2][1]), about(m[2][0], m[0][2]), about(m[0][1], m[1][0]))
}

#[cfg(test)]
mod tests {
    use super::*;
    use base::kinds::TrueHeading;
    use flight::airplane::bundled;
    use maneuver::{Direction, Entry, catalog};

    /// Positions give the velocities and loops come round: what the recorders are told hangs together.
    #[test]
    fn prop_positions_and_velocities_of_a_shown_figure_agree() {
        let airplane = bundled::load("sandpiper-550").expect("bundled");
        let maneuver = catalog::find("loop").expect("in the catalogue");
        let day = Day::standard();
        let entry = Entry {
            form: maneuver.forms()[0],
            direction: Direction::Left,
            mass: airplane.masses.typical,
            height: GeometricHeight::from_ft(4000.0),
            heading: TrueHeading::from_deg(80.0),
            speed: None,
        };
        let reference = maneuver.fly(&airplane, &day, &entry).expect("it flies");
        let flight = flight(&reference, &day, Geodetic::from_deg(46.0, -30.0, 0.0));
        for three in flight.samples.windows(3).step_by(29) {
            let [a, b, c] = three else { unreachable!("windows of three") };
            let local = LocalLevel::at(b.place);
            let moved = (local.to_local(c.place) - local.to_local(a.place)) * (0.5 / STEP_S);
            assert!((moved - b.velocity_mps).norm() < 0.7, "{} {:?}", b.time_s, moved);
        }
        let most = flight.samples.iter().map(Sample::load_factor).fold(0.0, f64::max);
        assert!((2.0..6.5).contains(&most), "{most}");
    }
}
