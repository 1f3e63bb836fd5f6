//! The airplane of a fit: unknowns and what follows from them. The same flight mechanics as [`flight::point_mass`], whose
//! propeller it uses, with *doubts*: ways in which a real airplane departs from it. They are nil in the airplane that is
//! written; they count in every band.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::{CalibratedAirspeed, TrueAirspeed};
use base::math::{acos, pow, sin};
use base::numerics::root;
use base::units::{Length, Power};
use flight::air::SEA_LEVEL_DENSITY_KGPM3;
use flight::airplane::{EfficiencyFall, Propeller, PropellerPitch, Rotation, Thrust};
use flight::point_mass::{power_lapse, thrust_n};

pub use crate::condition::{Condition, LevelPower, Moment, Pull, Stretch};
use crate::standard::{calibrated_mps, density_kgpm3, true_mps};

/// Places of the unknowns in a list of them.
pub mod place {
    /// Drag coefficient without lift.
    pub const DRAG_ZERO: usize = 0;
    /// Factor of the square of the lift coefficient.
    pub const DRAG_INDUCED: usize = 1;
    /// Share of the ideal thrust power that the propeller reaches.
    pub const EFFICIENCY: usize = 2;
    /// Greatest shaft power at sea level, W.
    pub const POWER: usize = 3;
    /// Drag area of the idling propeller, m2.
    pub const IDLE_DRAG: usize = 4;
    /// Share of full power that a fixed pitch takes up standing.
    pub const STATIC_SHARE: usize = 5;
    /// Equivalent airspeed from which a fixed pitch takes it all, m/s.
    pub const FULL_AT: usize = 6;
    /// Fuel volume for energy, m3/J.
    pub const FUEL: usize = 7;
    /// Effective share of the wing in the slipstream at the stall.
    pub const SLIPSTREAM: usize = 8;
    /// Share of the propeller's efficiency lost at nil and at twice its best airspeed.
    pub const BEND: usize = 9;
    /// True airspeed of the propeller's best efficiency, m/s.
    pub const BEST_AT: usize = 10;
    /// Greatest lift coefficient, flaps up; those of the flap positions follow.
    pub const LIFT_MAX: usize = 11;
}

/// How many doubts there are.
pub const DOUBTS: usize = 4;
/// One standard deviation of each: efficiency with speed beyond its bend (exponent), loss of power with height (share of the
/// loss), induced drag toward the stall (share), power of a fixed pitch between standing and full (share). Common practice, no
/// source; the coverage they give is measured in the tests on airplanes of another kind of model.
pub const DOUBT_SIGMAS: [f64; DOUBTS] = [0.06, 0.2, 0.2, 0.06];

/// What is known beforehand.
#[derive(Debug, Clone, PartialEq)]
pub struct Frame {
    /// Wing area, m2.
    pub area_m2: f64,
    /// Propeller diameter, m.
    pub diameter_m: f64,
    /// Whether a governor holds the speed.
    pub constant_speed: bool,
    /// Lift coefficient at nil incidence.
    pub lift_zero: f64,
    /// Slope of lift, 1/rad.
    pub lift_slope: f64,
    /// Thrust line above the axis that incidence is read on, rad.
    pub thrust_above_rad: f64,
    /// True airspeed at which the doubt of the propeller is nil, m/s.
    pub reference_mps: f64,
}

/// The airplane of one set of unknowns.
#[derive(Debug, Clone, Copy)]
pub struct Model<'a> {
    /// What is known beforehand.
    pub frame: &'a Frame,
    /// The unknowns, in their own units, by [`place`].
    pub values: &'a [f64],
    /// The doubts.
    pub doubts: [f64; DOUBTS],
}

/// A mass in air.
#[derive(Debug, Clone, Copy)]
struct Place {
    density_kgpm3: f64,
    weight_n: f64,
    height_m: f64,
}

impl Place {
    fn new(height_m: f64, mass_kg: f64) -> Self {
        let weight_n = mass_kg * STANDARD_GRAVITY_MPS2;
        Self { density_kgpm3: density_kgpm3(height_m), weight_n, height_m }
    }
}

/// True airspeeds are looked for between these multiples of the stall speed.
const SPEEDS: (f64, f64) = (1.02, 4.0);

impl Model<'_> {
    /// Value of a condition, SI; not a number where the airplane has none.
    #[must_use]
    pub fn predict(&self, condition: &Condition) -> f64 {
        match *condition {
            Condition::RatedPower => self.values[place::POWER],
            Condition::StaticShare => self.values[place::STATIC_SHARE],
            Condition::FullPower { height_m, calibrated_mps } => {
                let place = Place::new(height_m, 1.0);
                let speed = true_mps(CalibratedAirspeed::from_mps(calibrated_mps), height_m);
                self.full_power_w(&place, speed)
            }
            Condition::Stall { position, mass_kg } => {
                let place = Place::new(0.0, mass_kg);
                self.stall_mps(&place, self.values[place::LIFT_MAX + position])
            }
            Condition::StallFullPower { height_m, mass_kg } => {
                self.stall_full_power(&Place::new(height_m, mass_kg))
            }
            Condition::Climb { height_m, mass_kg, calibrated_mps } => {
                let place = Place::new(height_m, mass_kg);
                match calibrated_mps {
                    Some(speed) => self
                        .climb_mps(&place, true_mps(CalibratedAirspeed::from_mps(speed), height_m)),
                    None => self.best(&place, |speed| self.climb_mps(&place, speed)).1,
                }
            }
            Condition::ClimbAtPower { height_m, mass_kg, calibrated_mps, shaft_w } => {
                let place = Place::new(height_m, mass_kg);
                let speed = true_mps(CalibratedAirspeed::from_mps(calibrated_mps), height_m);
                self.rate_mps(&place, speed, |v| self.thrust_n(&place, v, shaft_w), 0.0)
            }
            Condition::BestRate { height_m, mass_kg } => {
                let place = Place::new(height_m, mass_kg);
                let best = self.best(&place, |speed| self.climb_mps(&place, speed)).0;
                calibrated_mps(best, height_m)
            }
            Condition::BestAngle { height_m, mass_kg } => {
                let place = Place::new(height_m, mass_kg);
                let best = self.best(&place, |speed| self.climb_mps(&place, speed) / speed).0;
                calibrated_mps(best, height_m)
            }
            Condition::Sink { height_m, mass_kg, calibrated_mps } => {
                let place = Place::new(height_m, mass_kg);
                let speed = true_mps(CalibratedAirspeed::from_mps(calibrated_mps), height_m);
                -self.rate_mps(&place, speed, |_| 0.0, self.values[place::IDLE_DRAG])
            }
            Condition::BestGlide { mass_kg } => self.glide(mass_kg).0,
            Condition::GlideRatio { mass_kg } => self.glide(mass_kg).1,
            Condition::LevelSpeed { height_m, mass_kg, power } => {
                self.level_mps(&Place::new(height_m, mass_kg), power)
            }
            Condition::Fuel { power } => {
                let place = Place::new(0.0, 1.0);
                self.values[place::FUEL] * self.power_w(&place, 60.0, power)
            }
            Condition::FuelAtSpeed { height_m, mass_kg, true_mps } => {
                let place = Place::new(height_m, mass_kg);
                self.values[place::FUEL] * self.level_power_w(&place, true_mps)
            }
            Condition::SustainedBank { height_m, mass_kg } => {
                let place = Place::new(height_m, mass_kg);
                let load = self.best(&place, |speed| self.load_held(&place, speed)).1;
                acos((1.0 / load).clamp(0.0, 1.0))
            }
            Condition::Flown(ref stretch) => self.flown(stretch),
            Condition::LiftReached => self.values[place::LIFT_MAX],
        }
    }

    /// Mean specific excess power over a stretch, m/s, less what a wrong airspeed puts into its speed.
    fn flown(&self, stretch: &Stretch) -> f64 {
        let mass_kg = stretch.mass_kg * self.values[stretch.places.0];
        let faster = self.values[stretch.places.1];
        let one = |moment: &Moment| {
            let place = Place {
                density_kgpm3: moment.density_kgpm3,
                weight_n: mass_kg * STANDARD_GRAVITY_MPS2,
                height_m: 0.0,
            };
            let speed = moment.true_mps * faster;
            self.pull_less_drag_n(&place, speed, moment, stretch.pull) * speed / place.weight_n
        };
        // Trapezoid over even steps.
        let (n, moments) = (stretch.moments.len(), &stretch.moments);
        let ends = 0.5 * (one(&moments[0]) + one(&moments[n - 1]));
        let middle: f64 = moments[1..n - 1].iter().map(one).sum();
        (ends + middle) / (n - 1) as f64 - (faster * faster - 1.0) * stretch.kinetic_mps
    }

    fn pull_less_drag_n(&self, place: &Place, speed: f64, moment: &Moment, pull: Pull) -> f64 {
        match pull {
            Pull::Full => {
                self.thrust_n(place, speed, self.full_power_w(place, speed))
                    - self.drag_n(place, speed, moment.load, 0.0)
            }
            Pull::Idle => -self.drag_n(place, speed, moment.load, self.values[place::IDLE_DRAG]),
            Pull::Rotation(first) => {
                let (a, j_none, power) =
                    (self.values[first], self.values[first + 1], self.values[first + 2]);
                let tip = moment.rotation_rps.unwrap_or(f64::NAN) * self.frame.diameter_m;
                let share = 1.0 - pow(speed / tip / j_none, power);
                let diameter = self.frame.diameter_m;
                place.density_kgpm3 * tip * tip * diameter * diameter * a * share
                    - self.drag_n(place, speed, moment.load, 0.0)
            }
        }
    }

    /// Thrust asked for by an excess power, m/s, at one moment, over the thrust at full throttle.
    #[must_use]
    pub fn thrust_share(&self, moment: &Moment, mass_kg: f64, excess_mps: f64) -> f64 {
        let weight_n = mass_kg * STANDARD_GRAVITY_MPS2;
        let place = Place { density_kgpm3: moment.density_kgpm3, weight_n, height_m: 0.0 };
        let speed = moment.true_mps;
        let asked = excess_mps * weight_n / speed + self.drag_n(&place, speed, moment.load, 0.0);
        asked / self.thrust_n(&place, speed, self.full_power_w(&place, speed))
    }

    /// Lift coefficient at one moment over the greatest, flaps up.
    #[must_use]
    pub fn lift_share(&self, moment: &Moment, mass_kg: f64) -> f64 {
        let pressure = 0.5 * moment.density_kgpm3 * moment.true_mps * moment.true_mps;
        let lift_n = moment.load * mass_kg * STANDARD_GRAVITY_MPS2;
        lift_n / (pressure * self.frame.area_m2 * self.values[place::LIFT_MAX])
    }

    /// What the idling propeller brakes with at one moment, over the thrust at full throttle, below nil.
    #[must_use]
    pub fn idle_share(&self, moment: &Moment) -> f64 {
        let place = Place { density_kgpm3: moment.density_kgpm3, weight_n: 1.0, height_m: 0.0 };
        let speed = moment.true_mps;
        let pressure = 0.5 * moment.density_kgpm3 * speed * speed;
        let full_n = self.thrust_n(&place, speed, self.full_power_w(&place, speed));
        -pressure * self.values[place::IDLE_DRAG] / full_n
    }

    /// Thrust, N, of a shaft power, W, at a height, m, and a true airspeed, m/s.
    #[must_use]
    pub fn thrust_at_n(&self, height_m: f64, true_mps: f64, power_w: f64) -> f64 {
        self.thrust_n(&Place::new(height_m, 1.0), true_mps, power_w)
    }

    fn stall_mps(&self, place: &Place, lift: f64) -> f64 {
        (2.0 * place.weight_n / (place.density_kgpm3 * self.frame.area_m2 * lift)).sqrt()
    }

    /// The fastest of even steps, then golden section: place and value of the greatest.
    fn best(&self, place: &Place, f: impl Fn(f64) -> f64) -> (f64, f64) {
        const SCAN: usize = 24;
        let stall = self.stall_mps(place, self.values[place::LIFT_MAX]);
        let (low, high) = (SPEEDS.0 * stall, SPEEDS.1 * stall);
        let step = (high - low) / SCAN as f64;
        let at = |i: usize| low + step * i as f64;
        let best =
            (0..=SCAN).map(at).max_by(|a, b| f(*a).total_cmp(&f(*b))).expect("the scan has places");
        let golden = 0.5 * (5.0f64.sqrt() - 1.0);
        let (mut a, mut b) = ((best - step).max(low), (best + step).min(high));
        let (mut left, mut right) = (b - golden * (b - a), a + golden * (b - a));
        let (mut f_left, mut f_right) = (f(left), f(right));
        for _ in 0..36 {
            if f_left < f_right {
                (a, left, f_left) = (left, right, f_right);
                right = a + golden * (b - a);
                f_right = f(right);
            } else {
                (b, right, f_right) = (right, left, f_left);
                left = b - golden * (b - a);
                f_left = f(left);
            }
        }
        let middle = 0.5 * (a + b);
        (middle, f(middle))
    }

    fn full_power_w(&self, place: &Place, speed_mps: f64) -> f64 {
        let ratio = place.density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3;
        // What is lost with height, and the doubt of it, as a share.
        let lost = (1.0 - power_lapse(ratio)) * (1.0 + self.doubts[1]);
        let full = self.values[place::POWER] * (1.0 - lost).max(0.0);
        if self.frame.constant_speed {
            return full;
        }
        let reached = (speed_mps * ratio.sqrt() / self.values[place::FULL_AT]).clamp(0.0, 1.0);
        let share = self.values[place::STATIC_SHARE];
        let bend = 4.0 * self.doubts[3] * reached * (1.0 - reached);
        full * (share + (1.0 - share) * reached) * (1.0 + bend)
    }

    fn power_w(&self, place: &Place, speed_mps: f64, power: LevelPower) -> f64 {
        match power {
            LevelPower::Share(share) => share * self.values[place::POWER],
            LevelPower::Shaft(power_w) => power_w,
            LevelPower::Full => self.full_power_w(place, speed_mps),
        }
    }

    fn thrust_n(&self, place: &Place, speed_mps: f64, power_w: f64) -> f64 {
        let faster = pow((speed_mps / self.frame.reference_mps).max(0.05), self.doubts[0]);
        let propeller = Propeller {
            power_max: Power::from_w(power_w.max(0.0)),
            diameter: Length::from_m(self.frame.diameter_m),
            efficiency_of_ideal: self.values[place::EFFICIENCY] * faster,
            efficiency_fall: EfficiencyFall {
                best_at: TrueAirspeed::from_mps(self.values[place::BEST_AT]),
                bend: self.values[place::BEND],
            },
            rotation: Rotation::Clockwise,
            pitch: PropellerPitch::ConstantSpeed,
            chart: None,
        };
        let lapse = power_lapse(place.density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3);
        let thrust = Thrust::Propeller(propeller);
        thrust_n(&thrust, 1.0 / lapse, speed_mps, place.density_kgpm3)
    }

    fn drag_n(&self, place: &Place, speed_mps: f64, load: f64, area_m2: f64) -> f64 {
        let pressure = 0.5 * place.density_kgpm3 * speed_mps * speed_mps;
        let lift = load * place.weight_n / (pressure * self.frame.area_m2);
        let most = self.values[place::LIFT_MAX];
        let toward_stall = 1.0 + self.doubts[2] * (lift / most) * (lift / most);
        let induced = self.values[place::DRAG_INDUCED] * lift * lift * toward_stall;
        let drag = self.values[place::DRAG_ZERO] + induced;
        pressure * (self.frame.area_m2 * drag + area_m2)
    }

    /// Vertical speed of a steady straight flight with this thrust and drag area beyond the polar, m/s.
    fn rate_mps(
        &self,
        place: &Place,
        speed_mps: f64,
        thrust: impl Fn(f64) -> f64,
        area_m2: f64,
    ) -> f64 {
        let (thrust_n, mut sine) = (thrust(speed_mps), 0.0_f64);
        for _ in 0..8 {
            let load = (1.0 - sine * sine).max(0.0).sqrt();
            let excess = thrust_n - self.drag_n(place, speed_mps, load, area_m2);
            sine = (excess / place.weight_n).clamp(-0.99, 0.99);
        }
        speed_mps * sine
    }

    fn climb_mps(&self, place: &Place, speed_mps: f64) -> f64 {
        let thrust = |speed| self.thrust_n(place, speed, self.full_power_w(place, speed));
        self.rate_mps(place, speed_mps, thrust, 0.0)
    }

    fn glide(&self, mass_kg: f64) -> (f64, f64) {
        let place = Place::new(0.0, mass_kg);
        let idle = self.values[place::IDLE_DRAG];
        let sine = |speed: f64| self.rate_mps(&place, speed, |_| 0.0, idle) / speed;
        let (speed, sine) = self.best(&place, sine);
        (speed, (1.0 / (sine * sine) - 1.0).max(0.0).sqrt())
    }

    fn level_mps(&self, place: &Place, power: LevelPower) -> f64 {
        let excess = |speed: f64| {
            self.thrust_n(place, speed, self.power_w(place, speed, power))
                - self.drag_n(place, speed, 1.0, 0.0)
        };
        let stall = self.stall_mps(place, self.values[place::LIFT_MAX]);
        let low = (0..16)
            .map(|i| stall * (1.0 + 0.08 * f64::from(i)))
            .max_by(|a, b| excess(*a).total_cmp(&excess(*b)))
            .expect("the scan has places");
        root::find(excess, low, 8.0 * stall, 1e-9).unwrap_or(f64::NAN)
    }

    /// Shaft power of a level flight, W: momentum theory the other way round.
    fn level_power_w(&self, place: &Place, speed_mps: f64) -> f64 {
        let drag = self.drag_n(place, speed_mps, 1.0, 0.0);
        let excess = |power: f64| self.thrust_n(place, speed_mps, power) - drag;
        root::find(excess, 0.0, 20.0 * drag * speed_mps, 1e-6).unwrap_or(f64::NAN)
    }

    /// Load factor held level at full throttle, the stall bounding it.
    fn load_held(&self, place: &Place, speed_mps: f64) -> f64 {
        let thrust = self.thrust_n(place, speed_mps, self.full_power_w(place, speed_mps));
        let pressure_area = 0.5 * place.density_kgpm3 * speed_mps * speed_mps * self.frame.area_m2;
        let left = (thrust / pressure_area - self.values[place::DRAG_ZERO])
            / self.values[place::DRAG_INDUCED];
        let most = self.values[place::LIFT_MAX];
        let bend = self.doubts[2] / (most * most);
        // x + bend x^2 = left, x the square of the lift coefficient; the root without cancellation.
        let inner = (1.0 + 4.0 * bend * left).max(0.0).sqrt();
        let square = (2.0 * left / (1.0 + inner)).max(0.0);
        square.sqrt().min(most) * pressure_area / place.weight_n
    }

    /// As [`flight::airplane::Airplane::stall`] has it on the propeller's geometry.
    fn stall_full_power(&self, place: &Place) -> f64 {
        let most = self.values[place::LIFT_MAX];
        let incidence = (most - self.frame.lift_zero) / self.frame.lift_slope;
        let upward = sin(incidence + self.frame.thrust_above_rad);
        let radius_m = 0.5 * self.frame.diameter_m;
        let disk_m2 = std::f64::consts::PI * radius_m * radius_m;
        let lift_area = most * self.frame.area_m2;
        let blown = self.values[place::SLIPSTREAM] * lift_area / disk_m2;
        let left = |speed: f64| {
            let thrust = self.thrust_n(place, speed, self.full_power_w(place, speed));
            0.5 * place.density_kgpm3 * speed * speed * lift_area + thrust * (blown + upward)
                - place.weight_n
        };
        let idle = self.stall_mps(place, most);
        let found = root::find(left, 0.1 * idle, 1.5 * idle, 1e-9);
        found.map_or(f64::NAN, |speed| calibrated_mps(speed, place.height_m))
    }
}
