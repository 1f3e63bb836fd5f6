//! From a flown schedule to samples: mirrored for the left, turned to the entry heading, drifting with the wind.

use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueAirspeed};
use base::units::{LoadFactor, Mass};
use flight::airspeed::calibrated_from_true;
use flight::point_mass::state;
use flight::trajectory::FlightSample;

use super::{Flown, Schedule, Setting};
use crate::definition::Direction;

/// Where a part begins.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Begin {
    /// Time, s.
    pub time_s: f64,
    /// Heading, rad, unwrapped.
    pub heading_rad: f64,
    /// Position through the air, m.
    pub air_north_m: f64,
    /// Position through the air, m.
    pub air_east_m: f64,
}

/// Longest step between samples, s.
const STEP_MAX_S: f64 = 0.1;

/// Samples of one part from its beginning to its end, both included, evenly spaced, at most 0.1 s apart.
#[must_use]
pub fn samples(
    setting: &Setting<'_>,
    schedule: &impl Schedule,
    flown: &Flown,
    direction: Direction,
    begin: Begin,
) -> Vec<FlightSample> {
    samples_through(setting, schedule, (flown, &[]), direction, begin)
}

/// The same with a sample at each of these times, which rise: evenly spaced from one to the next.
#[must_use]
pub fn samples_through(
    setting: &Setting<'_>,
    schedule: &impl Schedule,
    (flown, through_s): (&Flown, &[f64]),
    direction: Direction,
    begin: Begin,
) -> Vec<FlightSample> {
    let (_, first) = flown.at(&setting.body, schedule, 0.0);
    let placed = Placed::new(setting, (direction, begin), first.heading_offset_rad);
    let at = |time_s: f64| one(setting, schedule, flown, &placed, time_s);
    let mut from_s = 0.0;
    let mut out = Vec::with_capacity((flown.end_s / STEP_MAX_S) as usize + through_s.len() + 3);
    out.push(at(0.0));
    for &to_s in through_s.iter().chain([&flown.end_s]) {
        let n = ((to_s - from_s) / STEP_MAX_S).ceil().max(1.0) as usize;
        out.extend((1..=n).map(|i| at(from_s + (to_s - from_s) * i as f64 / n as f64)));
        from_s = to_s;
    }
    out
}

/// Where and which way a part is laid: what is the same for all of its samples.
struct Placed {
    begin: Begin,
    /// Of the way: right positive.
    sign: f64,
    /// Heading less course at the beginning, rad.
    offset_first_rad: f64,
    course_begin_rad: f64,
    /// Sine and cosine of that.
    turned: (f64, f64),
    /// Wind to the north and east, m/s.
    wind_mps: [f64; 2],
}

impl Placed {
    fn new(
        setting: &Setting<'_>,
        (direction, begin): (Direction, Begin),
        offset_first_rad: f64,
    ) -> Self {
        let sign = direction.sign();
        // The path was flown from course nil to the right; mirror it, then turn it to the heading of the beginning. The course
        // differs from the heading by the offset of the nose, which is nil with wings level.
        let course_begin_rad = begin.heading_rad - sign * offset_first_rad;
        let turned = base::math::sin_cos(course_begin_rad);
        let wind = setting.day.wind.velocity();
        let wind_mps = [wind.north(), wind.east()];
        Self { begin, sign, offset_first_rad, course_begin_rad, turned, wind_mps }
    }
}

fn one(
    setting: &Setting<'_>,
    schedule: &impl Schedule,
    flown: &Flown,
    placed: &Placed,
    time_s: f64,
) -> FlightSample {
    let Placed { begin, sign, offset_first_rad, course_begin_rad, .. } = *placed;
    let (x, resolved) = flown.at(&setting.body, schedule, time_s);
    let (speed, height_m) = (x[state::SPEED], x[state::HEIGHT]);
    let turned = x[state::COURSE] + resolved.heading_offset_rad - offset_first_rad;
    let air = setting.column.air_at(GeometricHeight::from_m(height_m));
    let calibrated = calibrated_from_true(TrueAirspeed::from_mps(speed), &air);
    let (pressure_area_n, weight_n) =
        (setting.body.pressure_area_n(speed, height_m), setting.body.weight_n());
    let load = resolved.lift_coefficient * pressure_area_n / weight_n;
    let airplane = setting.body.airplane;
    // Of the load that this incidence would give without separation: the load as it is in flight that is not stalled. A stalled wing
    // carries less the deeper it is stalled; by that load the margin would grow, so it is by this one, and is negative.
    let asked = airplane.lift_coefficient(resolved.incidence_rad) * pressure_area_n / weight_n;
    let stall =
        airplane.stall_speed(Mass::from_kg(setting.body.mass_kg), LoadFactor::from_g(asked));
    let (north, east) = (x[state::NORTH], sign * x[state::EAST]);
    let (s, c) = placed.turned;
    let air_north_m = begin.air_north_m + c * north - s * east;
    let air_east_m = begin.air_east_m + s * north + c * east;
    let [wind_north_mps, wind_east_mps] = placed.wind_mps;
    let total_s = begin.time_s + time_s;
    FlightSample {
        time_s: total_s,
        progress_rad: turned,
        turned_rad: turned,
        north_m: air_north_m + wind_north_mps * total_s,
        east_m: air_east_m + wind_east_mps * total_s,
        air_north_m,
        air_east_m,
        height_m,
        true_airspeed_mps: speed,
        calibrated_airspeed_mps: calibrated.to_mps(),
        indicated_airspeed_mps: airplane
            .indicated(CalibratedAirspeed::from_mps(calibrated.to_mps()))
            .to_mps(),
        climb_rad: x[state::CLIMB],
        course_rad: course_begin_rad + sign * x[state::COURSE],
        lift_bank_rad: sign * resolved.lift_bank_rad,
        incidence_rad: resolved.incidence_rad,
        heading_rad: begin.heading_rad + sign * turned,
        pitch_rad: resolved.pitch_rad,
        bank_rad: sign * resolved.bank_rad,
        lift_coefficient: resolved.lift_coefficient,
        load_factor: load,
        power_share: schedule.power_share_in(time_s, &x),
        stall_speed_mps: stall.to_mps(),
    }
}
