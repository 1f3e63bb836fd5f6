//! The way out: what a recovery costs in height from the worst point of a figure, flown at the point-mass level.
//!
//! The recovery: controls stay as they are for the time it comes late (lift coefficient, bank and power as in the figure); then the
//! wings are rolled to the nearest horizon at half the roll rate that the airplane has at that speed, and the load is half of what is
//! available there (of the lesser of the limit load and what the wing gives; where half the limit would never round out a path, as with
//! flaps down, 1.5 g of it): at most half a g while the bank is beyond 90 degrees, and no more than holds the path while it still climbs. Power as the speed requires: full below 1.5 times the stall speed, idle
//! above maneuvering speed on the way down, else as in the figure. It ends when the path is level and the wings are. A *bad* recovery
//! is begun [`LATE_S`] late; a prompt one at once, by the same rule.
//!
//! Range: no stall, no spin; a spin takes far more height. Delay, shares and law are our judgement of a bad one (training aid).

use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::{CalibratedAirspeed, GeometricHeight, TrueAirspeed};
use base::math::{atan2, cos, sin};
use base::written::signed;
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use flight::airplane::{Airplane, Category};
use flight::point_mass::{DensityColumn, PointMass};
use flight::trajectory::FlightSample;

use super::judge::Case;
use crate::reference::ReferenceFlight;

/// Less height lost than this is rounding of the steps, m.
const ROUNDING_M: f64 = 0.01;
/// How late a bad recovery begins, s.
pub const LATE_S: f64 = 2.0;
/// Share of the available load and of the roll rate that is used.
const SHARE: f64 = 0.5;
/// Half of a limit below twice this is no pull-out: so much is pulled then (training aid).
const LEAST_PULL_G: f64 = 1.5;
/// Load while the lift points below the horizon, at most.
const INVERTED_LOAD: f64 = 0.5;
/// Slower than this many times the stall speed, power is what is needed.
const SLOW_OVER_STALL: f64 = 1.5;
/// Seconds between the points of the figure from which recoveries are flown.
const EVERY_S: f64 = 0.5;
const STEP_S: f64 = 0.02;
/// A recovery that takes longer is none.
const LONGEST_S: f64 = 40.0;

/// A recovery from the point of the figure where it goes lowest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recovery {
    /// How late it begins, s.
    pub late_s: f64,
    /// The state at that point.
    pub from: FlightSample,
    /// Part of the figure, from nil.
    pub part: usize,
    /// Lowest height relative to entry, m, below zero below it; the figure up to that point counts.
    pub lowest_m: f64,
    /// Height lost from the point to the lowest, m.
    pub lost_m: f64,
    /// From the point until the path is level, s.
    pub seconds: f64,
    /// Fastest, knots indicated.
    pub fastest_kt: f64,
    /// Whether it comes to level flight at all within 40 s.
    pub recovers: bool,
}

/// The prompt and the bad one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Recoveries {
    /// Begun at once.
    pub prompt: Recovery,
    /// Begun late.
    pub bad: Recovery,
    /// Begun late, from where it loses most height, however high that is.
    pub most_lost: Recovery,
}

/// The recoveries of flights, the lowest over their points; `None` without samples.
///
/// Cost grows with the seconds of the flights: some 40 ms of flight are computed in a microsecond.
pub(super) fn of(
    flights: &[ReferenceFlight],
    case: &Case<'_>,
    category: &Category,
) -> Option<Recoveries> {
    let height_m = case.height.to_m();
    let air = DensityColumn::of_day(&case.day, height_m - 1500.0, height_m + 3000.0);
    let body = PointMass { airplane: case.airplane, mass_kg: case.mass.to_kg(), air };
    let airplane = case.airplane;
    let maneuvering_mps = airplane.calibrated(airplane.maneuvering_speed(case.mass)).to_mps();
    let limit_g = category.load_factor_max.to_g();
    let exit = Exit { case, body, limit_g, maneuvering_mps };
    let (prompt, _) = exit.worst(flights, 0.0)?;
    let (bad, most_lost) = exit.worst(flights, LATE_S)?;
    Some(Recoveries { prompt, bad, most_lost })
}

/// What recoveries are flown with.
struct Exit<'a> {
    case: &'a Case<'a>,
    body: PointMass<'a>,
    limit_g: f64,
    /// Maneuvering speed at this mass, calibrated, held against the equivalent speed of the body: they differ by less than half a knot
    /// where these airplanes fly, and the equivalent one costs no power of a number at every step.
    maneuvering_mps: f64,
}

/// The point mass in the open: velocity and direction of lift, north, east, down.
#[derive(Debug, Clone, Copy)]
struct Body {
    velocity: [f64; 3],
    lift: [f64; 3],
    height_m: f64,
}

impl Exit<'_> {
    /// The recovery that goes lowest and the one that loses most.
    fn worst(&self, flights: &[ReferenceFlight], late_s: f64) -> Option<(Recovery, Recovery)> {
        let mut worst: Option<(Recovery, Recovery)> = None;
        for flight in flights {
            let entry_m = flight.samples.first()?.height_m;
            for (part, range) in flight.parts.iter().enumerate() {
                let samples = flight.part_samples(range);
                let mut next_s = f64::NEG_INFINITY;
                for (index, from) in samples.iter().enumerate() {
                    if from.time_s < next_s && index + 1 < samples.len() {
                        continue;
                    }
                    next_s = from.time_s + EVERY_S;
                    let out = self.fly(from, late_s, part, entry_m);
                    let (lowest, most_lost) = worst.get_or_insert((out, out));
                    if out.lowest_m < lowest.lowest_m {
                        *lowest = out;
                    }
                    if out.lost_m > most_lost.lost_m {
                        *most_lost = out;
                    }
                }
            }
        }
        worst
    }

    /// One recovery.
    fn fly(&self, from: &FlightSample, late_s: f64, part: usize, entry_m: f64) -> Recovery {
        let mut body = Body::of(from);
        let (mut time_s, mut lowest_m) = (0.0, from.height_m);
        // Equivalent and true airspeed and height where it is fastest.
        let mut fastest = (0.0, 0.0, from.height_m);
        let mut recovers = false;
        while time_s < LONGEST_S {
            let speed = length(body.velocity);
            let equivalent_mps = self.equivalent_mps(speed, body.height_m);
            if equivalent_mps > fastest.0 {
                fastest = (equivalent_mps, speed, body.height_m);
            }
            if time_s >= late_s && self.is_level(&body, speed) {
                recovers = true;
                break;
            }
            body = self.step(&body, from, equivalent_mps, time_s < late_s);
            lowest_m = lowest_m.min(body.height_m);
            time_s += STEP_S;
        }
        // What the steps lose of a flight that stays level is no height lost.
        if from.height_m - lowest_m < ROUNDING_M {
            lowest_m = from.height_m;
        }
        let fastest = self.calibrated(fastest.1, fastest.2);
        Recovery {
            late_s,
            from: *from,
            part,
            lowest_m: lowest_m - entry_m,
            lost_m: from.height_m - lowest_m,
            seconds: time_s,
            fastest_kt: self.case.airplane.indicated(fastest).to_kt(),
            recovers,
        }
    }

    /// Level or climbing, wings level, and the half load holds the path.
    fn is_level(&self, body: &Body, speed: f64) -> bool {
        let climb = -body.velocity[2] / speed;
        let roll = roll_left_rad(body, speed).unwrap_or(0.0).abs();
        climb >= 0.0 && roll < 5.0 * RAD_PER_DEG && self.load(speed, body.height_m) >= 0.99
    }

    /// Half of the available load; of a low limit [`LEAST_PULL_G`], where the wing gives twice that.
    fn load(&self, speed: f64, height_m: f64) -> f64 {
        let lift_max = self.body.airplane.aerodynamics.lift_max;
        let wing = lift_max * self.body.pressure_area_n(speed, height_m) / self.body.weight_n();
        (SHARE * wing).min((SHARE * self.limit_g).max(LEAST_PULL_G.min(self.limit_g)))
    }

    fn step(&self, body: &Body, from: &FlightSample, equivalent_mps: f64, waits: bool) -> Body {
        let speed = length(body.velocity);
        let along = scaled(body.velocity, 1.0 / speed);
        let descends = along[2] > 0.0;
        let airplane = self.body.airplane;
        let (mut lift, lift_coefficient, power_share) = if waits {
            (body.lift, from.lift_coefficient, from.power_share)
        } else {
            let left = roll_left_rad(body, speed);
            let most = self.roll_rate_radps(airplane, equivalent_mps) * STEP_S;
            let rolled = left.unwrap_or(0.0).clamp(-most, most);
            let lift = turned(body.lift, along, rolled);
            let half = self.load(speed, body.height_m);
            let load = match left.unwrap_or(0.0).abs() {
                left if left > 0.5 * std::f64::consts::PI => half.min(INVERTED_LOAD),
                _ if !descends => half.min((1.0 - along[2] * along[2]).max(0.0).sqrt()),
                _ => half,
            };
            let slow = speed < SLOW_OVER_STALL * self.body.stall_speed_mps(body.height_m);
            let power = self.power_share(from, slow, equivalent_mps, descends);
            (lift, self.body.lift_coefficient_for(load, speed, body.height_m), power)
        };
        let area_n = self.body.pressure_area_n(speed, body.height_m);
        let drag_n = area_n * self.body.drag_coefficient(lift_coefficient);
        let thrust_n = self.body.thrust_n(power_share, speed, body.height_m);
        let (pull, excess) = (
            area_n * lift_coefficient / self.body.mass_kg,
            (thrust_n - drag_n) / self.body.mass_kg,
        );
        let gravity = [0.0, 0.0, STANDARD_GRAVITY_MPS2];
        let velocity: [f64; 3] = std::array::from_fn(|i| {
            body.velocity[i] + STEP_S * (pull * lift[i] + excess * along[i] + gravity[i])
        });
        // The wings keep their place about the new path.
        let along = scaled(velocity, 1.0 / length(velocity));
        let across = dot(lift, along);
        lift = std::array::from_fn(|i| lift[i] - across * along[i]);
        lift = scaled(lift, 1.0 / length(lift));
        let height_m = body.height_m - 0.5 * STEP_S * (body.velocity[2] + velocity[2]);
        Body { velocity, lift, height_m }
    }

    /// Power as the speed requires.
    fn power_share(
        &self,
        from: &FlightSample,
        slow: bool,
        equivalent_mps: f64,
        descends: bool,
    ) -> f64 {
        if slow {
            1.0
        } else if descends && equivalent_mps > self.maneuvering_mps {
            0.0
        } else {
            from.power_share
        }
    }

    /// Half the roll rate of full aileron, which goes with the equivalent airspeed up to maneuvering speed.
    fn roll_rate_radps(&self, airplane: &Airplane, equivalent_mps: f64) -> f64 {
        let share = (equivalent_mps / self.maneuvering_mps).min(1.0);
        SHARE * airplane.roll_rate_max.to_radps() * share
    }

    fn equivalent_mps(&self, true_mps: f64, height_m: f64) -> f64 {
        true_mps * (self.body.air.at(height_m) / SEA_LEVEL_DENSITY_KGPM3).sqrt()
    }

    fn calibrated(&self, true_mps: f64, height_m: f64) -> CalibratedAirspeed {
        let air = self.case.day.air_at(GeometricHeight::from_m(height_m));
        flight::airspeed::calibrated_from_true(TrueAirspeed::from_mps(true_mps), &air)
    }
}

impl Body {
    fn of(sample: &FlightSample) -> Self {
        let (sc, cc) = (sin(sample.climb_rad), cos(sample.climb_rad));
        let (sk, ck) = (sin(sample.course_rad), cos(sample.course_rad));
        let (sb, cb) = (sin(sample.lift_bank_rad), cos(sample.lift_bank_rad));
        let (upward, right) = ([-sc * ck, -sc * sk, -cc], [-sk, ck, 0.0]);
        Self {
            velocity: scaled([cc * ck, cc * sk, -sc], sample.true_airspeed_mps),
            lift: std::array::from_fn(|i| cb * upward[i] + sb * right[i]),
            height_m: sample.height_m,
        }
    }
}

/// Roll about the path that brings the lift upright, rad, positive to the right; `None` straight up or down, where there is no
/// upright.
fn roll_left_rad(body: &Body, speed: f64) -> Option<f64> {
    let along = scaled(body.velocity, 1.0 / speed);
    let up = [0.0, 0.0, -1.0];
    let share = dot(up, along);
    let upright: [f64; 3] = std::array::from_fn(|i| up[i] - share * along[i]);
    let size = length(upright);
    if size < 0.02 {
        return None;
    }
    let upright = scaled(upright, 1.0 / size);
    Some(atan2(dot(along, cross(body.lift, upright)), dot(body.lift, upright)))
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}
fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}
fn length(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
fn scaled(a: [f64; 3], factor: f64) -> [f64; 3] {
    a.map(|part| factor * part)
}
/// A vector square to an axis, turned about it.
fn turned(a: [f64; 3], axis: [f64; 3], angle_rad: f64) -> [f64; 3] {
    let (s, c) = (sin(angle_rad), cos(angle_rad));
    let side = cross(axis, a);
    std::array::from_fn(|i| c * a[i] + s * side[i])
}

impl Recovery {
    /// From where, in words: "13 s after entry, bank 30, nose 15 up, 55 kt".
    #[must_use]
    pub fn place(&self) -> String {
        let s = &self.from;
        format!(
            "from {:.0} s after entry, bank {:.0} degrees, nose {} degrees, {:.0} kt indicated",
            s.time_s,
            s.bank_rad.abs() / RAD_PER_DEG,
            signed(s.pitch_rad / RAD_PER_DEG, 0),
            s.indicated_airspeed_mps / MPS_PER_KT
        )
    }
}

#[cfg(test)]
mod tests;
