//! Which foot, and how much: what every instructor of tailwheel and propeller airplanes teaches, on the two trainers.
//!
//! Common practice, no source. Both propellers turn clockwise seen from the cockpit; rudder is counted in degrees to the right.

use base::factors::RAD_PER_DEG;
use base::frames::{Fixed, Vec3};
use base::kinds::TrueAirspeed;
use base::units::{Angle, LoadFactor};
use flight::air::{AirColumn, Day};
use flight::airplane::{Airplane, bundled};
use flight::earth::Earth;
use flight::trim::{Airspeed, Balance, Conditions, Curve, Hold, Trim, trim};
use flight::vehicle::{Vehicle, World};
use flight::wind::Wind;

use crate::check::Check;
use crate::files::Files;

const SOURCE: &str = "common-practice";
const TRAINERS: [&str; 2] = ["plover-160", "sandpiper-550"];
const BANK_DEG: f64 = 30.0;
/// Rate of roll of a brisk roll-out, rad/s.
const ROLL_RADPS: f64 = 20.0 * RAD_PER_DEG;

/// A trainer in the air.
struct Flying {
    id: &'static str,
    airplane: Airplane,
    vehicle: Vehicle,
    air: AirColumn,
}

impl Flying {
    fn new(id: &'static str) -> Self {
        let airplane = bundled::load(id).expect("the trainer is bundled");
        let vehicle =
            airplane.vehicle(airplane.masses.typical).expect("the trainer has six-degree data");
        Self { id, airplane, vehicle, air: AirColumn::of_day(&Day::standard(), 0.0, 4000.0) }
    }
    fn world(&self) -> World<'_> {
        World { earth: Earth::FLAT, air: &self.air, wind: &Wind::CALM }
    }
    /// Full power at a multiple of the stall speed of level flight; `None` when it cannot be flown.
    fn at_full_power(&self, multiple: f64, curve: Curve) -> Option<Trim> {
        let height: Vec3<Fixed> = Vec3::new(0.0, 0.0, -1000.0);
        let stall =
            self.airplane.stall_speed(self.airplane.masses.typical, LoadFactor::from_g(1.0));
        let density = self.air.at(1000.0).density_kgpm3 / flight::air::SEA_LEVEL_DENSITY_KGPM3;
        let speed = TrueAirspeed::from_mps(multiple * stall.to_mps() / density.sqrt());
        let conditions = Conditions {
            curve,
            hold: Hold::Throttle(1.0),
            balance: Balance::Ball,
            ..Conditions::level(height, Airspeed::True(speed))
        };
        let found = trim(&self.vehicle, &self.world(), &conditions).ok()?;
        found.converged().then_some(found)
    }
    fn turn(&self, multiple: f64, side: f64) -> Option<Trim> {
        self.at_full_power(
            multiple,
            Curve::TurnAtBank(Angle::from_rad(side * BANK_DEG * RAD_PER_DEG)),
        )
    }
    /// Right rudder, degrees, that keeps yaw steady while rolling at a steady rate out of a trimmed flight, ailerons as
    /// needed: two equations in two unknowns, solved by Newton's rule.
    fn rolling_rudder_deg(&self, from: &Trim, roll_radps: f64) -> f64 {
        let mut state = from.state;
        state.rates_radps.x += roll_radps;
        let mut inputs = from.inputs;
        let accelerations = |aileron: f64, rudder: f64| {
            let mut asked = inputs;
            asked.surfaces.aileron_rad = aileron;
            asked.surfaces.rudder_rad = rudder;
            let mut moved = state;
            moved.surfaces_rad[1] = aileron;
            moved.surfaces_rad[2] = rudder;
            let rate = self.vehicle.rate(&self.world(), 0.0, &moved.to_array(), &asked);
            [rate[10], rate[12]]
        };
        let (mut aileron, mut rudder) = (inputs.surfaces.aileron_rad, inputs.surfaces.rudder_rad);
        for _ in 0..12 {
            let h = 1e-5;
            let now = accelerations(aileron, rudder);
            let (by_aileron, by_rudder) =
                (accelerations(aileron + h, rudder), accelerations(aileron, rudder + h));
            let [a, c] = [0, 1].map(|i| (by_aileron[i] - now[i]) / h);
            let [b, d] = [0, 1].map(|i| (by_rudder[i] - now[i]) / h);
            let determinant = a * d - b * c;
            aileron -= (d * now[0] - b * now[1]) / determinant;
            rudder -= (a * now[1] - c * now[0]) / determinant;
        }
        inputs.surfaces.rudder_rad = rudder;
        right_deg(inputs.surfaces.rudder_rad)
    }
}

fn right_deg(rudder_rad: f64) -> f64 {
    -rudder_rad / RAD_PER_DEG
}

fn right_rudder_deg(found: &Trim) -> f64 {
    right_deg(found.inputs.surfaces.rudder_rad)
}

pub(super) fn checks(_: &Files<'_>) -> Vec<Check> {
    TRAINERS.iter().flat_map(|id| of_trainer(&Flying::new(id))).collect()
}

fn of_trainer(flying: &Flying) -> Vec<Check> {
    let id = |what: &str| format!("rudder-{}-{what}", flying.id);
    let mut out = Vec::new();
    for multiple in [1.2, 1.3, 1.6] {
        let percent = (multiple * 100.0_f64).round();
        let pair = flying.turn(multiple, 1.0).zip(flying.turn(multiple, -1.0));
        let (right, left) = pair
            .map_or((f64::NAN, f64::NAN), |(a, b)| (right_rudder_deg(&a), right_rudder_deg(&b)));
        out.push(
            Check::at_least(id(&format!("turns-{percent}")), (right - left, 0.05), "deg", SOURCE)
                .with_note(format!(
                    "climbing turns at {BANK_DEG} degrees and full power, {percent} % of the stall speed: \
                     right turn {right:.2}, left turn {left:.2} degrees of right rudder"
                )),
        );
    }
    let pair = flying.turn(1.3, 1.0).zip(flying.turn(1.3, -1.0));
    let mean = pair.map_or(f64::NAN, |(a, b)| 0.5 * (right_rudder_deg(&a) + right_rudder_deg(&b)));
    out.push(Check::at_least(id("power"), (mean, 0.5), "deg", SOURCE).with_note(
        "mean right rudder of both climbing turns at full power, 130 % of the stall speed: the propeller's own share",
    ));
    let climbs: Vec<f64> = [1.2, 1.4, 1.6, 1.8]
        .iter()
        .map(|&multiple| {
            let found = flying.at_full_power(multiple, Curve::Straight);
            found.map_or(f64::NAN, |found| right_rudder_deg(&found))
        })
        .collect();
    let least = climbs
        .windows(2)
        .map(|pair| pair[0] - pair[1])
        .fold(f64::INFINITY, |a, b| if b.is_nan() { f64::NAN } else { a.min(b) });
    out.push(Check::at_least(id("slower"), (least, 0.05), "deg", SOURCE).with_note(format!(
        "right rudder in straight climbs at 120, 140, 160, 180 % of the stall speed: {climbs:.2?}; least growth from \
         one to the next slower"
    )));
    let outs = flying.turn(1.2, -1.0).zip(flying.turn(1.2, 1.0)).map(|(left, right)| {
        (
            flying.rolling_rudder_deg(&left, ROLL_RADPS),
            -flying.rolling_rudder_deg(&right, -ROLL_RADPS),
        )
    });
    let (to_right, to_left) = outs.unwrap_or((f64::NAN, f64::NAN));
    out.push(Check::at_least(id("roll-out"), (to_right - to_left, 0.1), "deg", SOURCE).with_note(
        format!(
            "rolling out at 20 deg/s near the stall at full power: of a left turn {to_right:.2} of right rudder, of a right \
             turn {to_left:.2} of left rudder"
        ),
    ));
    out
}
