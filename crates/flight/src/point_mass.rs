//! Coordinated flight of a point mass: no sideslip, lift and bank chosen, everything else follows.
//!
//! Equations of motion over flat earth in the air mass (which may move with the wind), with `n` the load factor, `mu` the
//! bank of the lift about the velocity, `gamma` the climb angle and `chi` the course through the air:
//!
//! ```text
//! V'     = ((T - D) / m - g sin(gamma)) / (1 + m_r / m)
//! gamma' = g / V (n cos(mu) - cos(gamma))
//! chi'   = g n sin(mu) / (V cos(gamma))
//! h'     = V sin(gamma),   x' = V cos(gamma) cos(chi),   y' = V cos(gamma) sin(chi)
//! ```
//!
//! `m_r` is the mass that the turning propeller adds along the path where engine and propeller are charted, else nil.
//!
//! Left and right are mirror images at this level: torque, slipstream and the rest come with six degrees of freedom.
//! Thrust acts along the velocity: that of the engine and propeller of the six-degree data where the airplane has them
//! ([`crate::propulsion::thrust_chart`]), which brakes with the throttle closed; else by momentum theory. Range: climb angle within 85 degrees, incidence below the stall. Source: any text on
//! flight mechanics; propeller thrust by the momentum theory of Rankine and Froude (MOMENTUM) with a
//! share of the ideal that is constant or bends with airspeed as the airplane file says; power with height after Gagg and Ferrar (GF-1934), `sigma - (1 - sigma) / 7.55`.

pub(crate) mod performance;
pub mod slopes;
pub mod vertical;

use base::factors::STANDARD_GRAVITY_MPS2;
use base::kinds::GeometricHeight;
use base::math::sin_cos;
use base::numerics::dual::Real;
use base::numerics::interpolation::{cubic_powers, cubic_weights};

use crate::air::{Day, SEA_LEVEL_DENSITY_KGPM3};
use crate::airplane::{Airplane, EfficiencyFall, Propeller, PropellerPitch, Thrust};
use crate::propulsion::thrust_chart::{AtShare, Pull};

pub use performance::{
    LEVEL_POWER_MOST, LevelPower, SteadyPath, Sustained, best_climb, level_power, level_speed_max,
    steady_path, sustained_turn,
};

/// Density of the air over a range of heights, fast to evaluate.
#[derive(Debug, Clone, PartialEq)]
pub struct DensityColumn {
    bottom_m: f64,
    step_m: f64,
    density_kgpm3: Vec<f64>,
}

impl DensityColumn {
    /// The day's air from `bottom_m` to `top_m` above mean sea level; interpolated by cubics to about 1e-9.
    #[must_use]
    pub fn of_day(day: &Day, bottom_m: f64, top_m: f64) -> Self {
        let column = day.column();
        Self::of_law(bottom_m, top_m, |height_m| {
            column.air_at(GeometricHeight::from_m(height_m)).density.to_kgpm3()
        })
    }
    /// Air whose density, kg/m3, is a function of height, m, from `bottom_m` to `top_m`; interpolated by cubics in 100 m.
    #[must_use]
    pub fn of_law(bottom_m: f64, top_m: f64, density_kgpm3: impl Fn(f64) -> f64) -> Self {
        const STEP_M: f64 = 100.0;
        let n = ((top_m - bottom_m) / STEP_M).ceil().max(1.0) as usize + 3;
        let density = |i: usize| density_kgpm3(bottom_m + STEP_M * (i as f64 - 1.0));
        Self { bottom_m, step_m: STEP_M, density_kgpm3: (0..n).map(density).collect() }
    }
    /// The same density at every height.
    #[must_use]
    pub fn constant(density_kgpm3: f64) -> Self {
        Self { bottom_m: 0.0, step_m: 1.0, density_kgpm3: vec![density_kgpm3] }
    }
    /// Density at a height; held at the ends of the range.
    #[must_use]
    pub fn at(&self, height_m: f64) -> f64 {
        let table = &self.density_kgpm3;
        if table.len() < 4 {
            return table[0];
        }
        let (i, s) = self.place(height_m);
        let [a, b, c, d] = [table[i], table[i + 1], table[i + 2], table[i + 3]];
        let weights = cubic_weights(s);
        weights.iter().zip([a, b, c, d]).map(|(weight, value)| weight * value).sum()
    }
    /// First of the four values about a height, and the share of a step from the second; the table has four at least.
    fn place(&self, height_m: f64) -> (usize, f64) {
        let n = self.density_kgpm3.len();
        let place = ((height_m - self.bottom_m) / self.step_m).clamp(0.0, (n - 3) as f64);
        let i = (place as usize).min(n - 4);
        (i, place - i as f64)
    }
    /// First and second derivative by height, per m and per m2; nil beyond the range, where the density is held.
    #[must_use]
    pub fn slopes(&self, height_m: f64) -> (f64, f64) {
        let table = &self.density_kgpm3;
        if table.len() < 4
            || height_m < self.bottom_m
            || height_m > self.bottom_m + self.step_m * (table.len() - 3) as f64
        {
            return (0.0, 0.0);
        }
        let (i, s) = self.place(height_m);
        let [_, p1, p2, p3] = cubic_powers([table[i], table[i + 1], table[i + 2], table[i + 3]]);
        let first = (p1 + s * (2.0 * p2 + s * 3.0 * p3)) / self.step_m;
        (first, (2.0 * p2 + 6.0 * s * p3) / (self.step_m * self.step_m))
    }
}

/// A point-mass airplane of one mass in one day's air.
#[derive(Debug, Clone)]
pub struct PointMass<'a> {
    /// The airplane.
    pub airplane: &'a Airplane,
    /// Its mass, kg.
    pub mass_kg: f64,
    /// The air.
    pub air: DensityColumn,
}

/// Index of a quantity in the state array.
pub mod state {
    /// True airspeed, m/s.
    pub const SPEED: usize = 0;
    /// Climb angle, rad.
    pub const CLIMB: usize = 1;
    /// Course through the air, rad.
    pub const COURSE: usize = 2;
    /// Height above mean sea level, m.
    pub const HEIGHT: usize = 3;
    /// North through the air, m.
    pub const NORTH: usize = 4;
    /// East through the air, m.
    pub const EAST: usize = 5;
    /// Work of thrust less drag for each kilogram, less what the turning propeller takes of it, J/kg (book-keeping).
    pub const WORK: usize = 6;
    /// Length of the state array.
    pub const COUNT: usize = 7;
}

/// State of the point mass; see [`state`] for the order.
pub type State = [f64; state::COUNT];

/// What the pilot commands at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Command {
    /// Lift coefficient.
    pub lift_coefficient: f64,
    /// Bank of the lift about the velocity, rad, right positive.
    pub lift_bank_rad: f64,
    /// Share of full power, 0 to 1.
    pub power_share: f64,
}

impl PointMass<'_> {
    /// Weight, N.
    #[must_use]
    pub fn weight_n(&self) -> f64 {
        self.mass_kg * STANDARD_GRAVITY_MPS2
    }
    /// Dynamic pressure times wing area, N.
    #[must_use]
    pub fn pressure_area_n(&self, speed_mps: f64, height_m: f64) -> f64 {
        0.5 * self.air.at(height_m) * speed_mps * speed_mps * self.airplane.wing_area.to_m2()
    }
    /// Lift coefficient that gives this load factor.
    #[must_use]
    pub fn lift_coefficient_for(&self, load_factor: f64, speed_mps: f64, height_m: f64) -> f64 {
        load_factor * self.weight_n() / self.pressure_area_n(speed_mps, height_m)
    }
    /// Drag coefficient at a lift coefficient.
    #[must_use]
    pub fn drag_coefficient(&self, lift_coefficient: f64) -> f64 {
        let polar = &self.airplane.aerodynamics;
        polar.drag_zero_lift + polar.drag_induced * lift_coefficient * lift_coefficient
    }
    /// Drag, N.
    #[must_use]
    pub fn drag_n(&self, lift_coefficient: f64, speed_mps: f64, height_m: f64) -> f64 {
        self.pressure_area_n(speed_mps, height_m) * self.drag_coefficient(lift_coefficient)
    }
    /// Thrust, N.
    #[must_use]
    pub fn thrust_n(&self, power_share: f64, speed_mps: f64, height_m: f64) -> f64 {
        thrust_n(&self.airplane.thrust, power_share, speed_mps, self.air.at(height_m))
    }
    /// Mass that the turning propeller adds along the path, as a share of that of the airplane: the airplane speeds up and slows as if
    /// it were heavier by so much. Nil where engine and propeller are not charted.
    #[must_use]
    pub fn added_share(&self, power_share: f64, speed_mps: f64, height_m: f64) -> f64 {
        let (_, added) =
            pull_of(&self.airplane.thrust, power_share, speed_mps, self.air.at(height_m));
        added.unwrap_or(0.0) / self.mass_kg
    }
    /// Time, s, in which engine and propeller follow the throttle, about exponentially. Nil where a governor holds the speed of
    /// rotation, or nothing is charted.
    #[must_use]
    pub fn shaft_lag_s(&self, power_share: f64, speed_mps: f64, height_m: f64) -> f64 {
        let Thrust::Propeller(Propeller { chart: Some(chart), power_max, .. }) =
            &self.airplane.thrust
        else {
            return 0.0;
        };
        let share = power_share * (power_max.to_w() / chart.power_w());
        chart.lag_s(share, speed_mps, self.air.at(height_m)).unwrap_or(0.0)
    }
    /// Share of full power that gives this thrust, N (nil or more): the inverse of [`PointMass::thrust_n`]. Above one where full power
    /// does not give it; infinite where the engine gives none; below nil where a closed throttle gives more.
    #[must_use]
    pub fn power_share_for(&self, thrust_n: f64, speed_mps: f64, height_m: f64) -> f64 {
        let density_kgpm3 = self.air.at(height_m);
        let ratio = density_kgpm3 / SEA_LEVEL_DENSITY_KGPM3;
        match &self.airplane.thrust {
            polynomial @ Thrust::Polynomial { .. } => {
                thrust_n / self::thrust_n(polynomial, 1.0, speed_mps, density_kgpm3)
            }
            Thrust::Propeller(propeller) => {
                if let Some(chart) = &propeller.chart
                    && let Some(share) = chart.share_for(thrust_n, speed_mps, density_kgpm3)
                {
                    return share * chart.power_w() / propeller.power_max.to_w();
                }
                let radius_m = 0.5 * propeller.diameter.to_m();
                let disk_m2 = std::f64::consts::PI * radius_m * radius_m;
                let pressure = 2.0 * thrust_n / (density_kgpm3 * disk_m2);
                let through_mps = 0.5 * (speed_mps + (speed_mps * speed_mps + pressure).sqrt());
                let power_w = thrust_n * through_mps / efficiency(propeller, speed_mps);
                let full_w = available_power(propeller, speed_mps * ratio.sqrt());
                power_w / (power_lapse(ratio) * full_w)
            }
        }
    }
    /// True airspeed at which the wing stalls at one g, m/s.
    #[must_use]
    pub fn stall_speed_mps(&self, height_m: f64) -> f64 {
        let pressure_area = 0.5 * self.air.at(height_m) * self.airplane.wing_area.to_m2();
        (self.weight_n() / (pressure_area * self.airplane.aerodynamics.lift_max)).sqrt()
    }
    /// Engine and propeller at a share of full power that stays. Work: some two derivatives.
    #[must_use]
    pub fn steady_pull(&self, power_share: f64) -> SteadyPull<'_> {
        let thrust = &self.airplane.thrust;
        let chart = match thrust {
            Thrust::Propeller(Propeller { chart: Some(chart), power_max, .. }) => {
                chart.at_share(power_share * (power_max.to_w() / chart.power_w()))
            }
            Thrust::Propeller(_) | Thrust::Polynomial { .. } => None,
        };
        SteadyPull { thrust, power_share, chart }
    }
    /// Time derivative of the state under a command.
    #[must_use]
    pub fn derivative(&self, x: &State, command: &Command) -> State {
        let Command { lift_coefficient, lift_bank_rad, power_share } = *command;
        let pull = |speed, density| pull_of(&self.airplane.thrust, power_share, speed, density);
        self.derivative_pulled(x, [lift_coefficient, lift_bank_rad], pull)
    }
    /// [`PointMass::derivative`] at a lift coefficient and a bank of the lift, rad, with a power that stays: the same to rounding, in two
    /// thirds of the time.
    #[must_use]
    pub fn derivative_at(&self, x: &State, lift: [f64; 2], pull: &SteadyPull<'_>) -> State {
        self.derivative_pulled(x, lift, |speed, density| pull.of(speed, density))
    }
    #[inline]
    fn derivative_pulled(
        &self,
        x: &State,
        [lift_coefficient, lift_bank_rad]: [f64; 2],
        pull: impl Fn(f64, f64) -> (f64, Option<f64>),
    ) -> State {
        use state::{CLIMB, COUNT, COURSE, EAST, HEIGHT, NORTH, SPEED, WORK};
        let (sin_climb, cos_climb) = sin_cos(x[CLIMB]);
        let along = ([x[SPEED], x[HEIGHT]], [sin_climb, cos_climb]);
        let (turning, excess) = self.rates(along, [lift_coefficient, lift_bank_rad], pull);
        let (sin_course, cos_course) = sin_cos(x[COURSE]);
        let level = x[SPEED] * cos_climb;
        let mut rate = [0.0; COUNT];
        [rate[SPEED], rate[CLIMB], rate[COURSE], rate[HEIGHT]] = turning;
        rate[NORTH] = level * cos_course;
        rate[EAST] = level * sin_course;
        rate[WORK] = excess * x[SPEED];
        rate
    }
    /// The equations of motion in any numbers: rates of speed, climb angle, course and height, and the excess of thrust over drag
    /// for each kilogram, from speed, climb angle and height, and from lift coefficient, lift bank and share of power.
    pub fn path_rates<R: Real>(
        &self,
        [speed, climb, height]: [R; 3],
        [lift_coefficient, lift_bank, power_share]: [R; 3],
    ) -> ([R; 4], R) {
        let (sin_climb, cos_climb) = climb.sin_cos();
        let pull = |speed, density| pull_of(&self.airplane.thrust, power_share, speed, density);
        let along = ([speed, height], [sin_climb, cos_climb]);
        self.rates(along, [lift_coefficient, lift_bank], pull)
    }
    /// The same from sine and cosine of the climb angle, pulled by a law of speed and density.
    #[inline]
    fn rates<R: Real>(
        &self,
        ([speed, height], [sin_climb, cos_climb]): ([R; 2], [R; 2]),
        [lift_coefficient, lift_bank]: [R; 2],
        pull: impl Fn(R, R) -> (R, Option<R>),
    ) -> ([R; 4], R) {
        let density = height.chain(|h| self.air.at(h), |h| self.air.slopes(h));
        let polar = &self.airplane.aerodynamics;
        let pressure_area = density * 0.5 * speed * speed * self.airplane.wing_area.to_m2();
        let drag_coefficient =
            lift_coefficient * polar.drag_induced * lift_coefficient + polar.drag_zero_lift;
        let (thrust, added) = pull(speed, density);
        let mut excess = (thrust - pressure_area * drag_coefficient) / self.mass_kg;
        let weight = sin_climb * STANDARD_GRAVITY_MPS2;
        let mut faster = excess - weight;
        if let Some(added) = added {
            faster = faster / (added / self.mass_kg + 1.0);
            excess = faster + weight;
        }
        let lift = pressure_area * lift_coefficient / self.mass_kg;
        let (sin_bank, cos_bank) = lift_bank.sin_cos();
        let rates = [
            faster,
            (lift * cos_bank - cos_climb * STANDARD_GRAVITY_MPS2) / speed,
            lift * sin_bank / (speed * cos_climb),
            speed * sin_climb,
        ];
        (rates, excess)
    }
}

/// Engine and propeller at a share of full power that stays, met in air of any density at any speed.
#[derive(Debug, Clone)]
pub struct SteadyPull<'a> {
    thrust: &'a Thrust,
    power_share: f64,
    chart: Option<AtShare>,
}

impl SteadyPull<'_> {
    /// Thrust, N, and the mass that turns with the propeller, kg along the path (nil where it is not charted), at a true airspeed, m/s, in
    /// air of a density, kg/m3.
    #[must_use]
    pub fn at(&self, speed_mps: f64, density_kgpm3: f64) -> (f64, f64) {
        let (thrust_n, added_kg) = self.of(speed_mps, density_kgpm3);
        (thrust_n, added_kg.unwrap_or(0.0))
    }
    #[inline]
    fn of(&self, speed_mps: f64, density_kgpm3: f64) -> (f64, Option<f64>) {
        self.chart.as_ref().map_or_else(
            || (thrust_of(self.thrust, self.power_share, speed_mps, density_kgpm3), None),
            |chart| {
                let Pull { thrust, added } = chart.pull(speed_mps, density_kgpm3);
                (thrust, Some(added))
            },
        )
    }
}

/// Thrust, N, at a share of full power, true airspeed and density.
#[must_use]
pub fn thrust_n(thrust: &Thrust, power_share: f64, speed_mps: f64, density_kgpm3: f64) -> f64 {
    thrust_of(thrust, power_share, speed_mps, density_kgpm3)
}

/// Thrust and the mass that turns with the propeller, kg along the path, in any numbers; `None` where it is not charted.
pub(crate) fn pull_of<R: Real>(
    thrust: &Thrust,
    power_share: R,
    speed: R,
    density: R,
) -> (R, Option<R>) {
    if let Thrust::Propeller(Propeller { chart: Some(chart), power_max, .. }) = thrust {
        let share = power_share * (power_max.to_w() / chart.power_w());
        if let Some(Pull { thrust, added }) = chart.pull(share, speed, density) {
            return (thrust, Some(added));
        }
    }
    (thrust_of(thrust, power_share, speed, density), None)
}

/// The thrust in any numbers.
pub(crate) fn thrust_of<R: Real>(thrust: &Thrust, power_share: R, speed: R, density: R) -> R {
    let ratio = density / SEA_LEVEL_DENSITY_KGPM3;
    match thrust {
        Thrust::Polynomial { static_n, slope_n_per_mps, curvature_n_per_mps2 } => {
            let line = speed * (speed * *curvature_n_per_mps2 + *slope_n_per_mps) + *static_n;
            power_share * lapse(ratio) * line
        }
        Thrust::Propeller(propeller) => {
            if let Some(chart) = &propeller.chart {
                // Another greatest power than that charted is another share of it.
                let share = power_share * (propeller.power_max.to_w() / chart.power_w());
                if let Some(thrust) = chart.thrust(share, speed, density) {
                    return thrust;
                }
            }
            let power =
                power_share * lapse(ratio) * available_power(propeller, speed * ratio.sqrt());
            propeller_thrust(propeller, power, speed, density)
        }
    }
}

/// Share of sea-level power of an unsupercharged piston engine at a density ratio. Source: GF-1934.
#[must_use]
pub fn power_lapse(density_ratio: f64) -> f64 {
    lapse(density_ratio)
}

fn lapse<R: Real>(ratio: R) -> R {
    let share = ratio - (-ratio + 1.0) / 7.55;
    if share.value() < 0.0 { R::constant(0.0) } else { share }
}

fn available_power<R: Real>(propeller: &Propeller, equivalent_airspeed: R) -> R {
    let full_w = propeller.power_max.to_w();
    match propeller.pitch {
        PropellerPitch::ConstantSpeed => R::constant(full_w),
        PropellerPitch::Fixed { static_power_share, full_power_at } => {
            let reached = equivalent_airspeed / full_power_at.to_mps();
            let reached = if reached.value() < 0.0 {
                R::constant(0.0)
            } else if reached.value() > 1.0 {
                R::constant(1.0)
            } else {
                reached
            };
            (reached * (1.0 - static_power_share) + static_power_share) * full_w
        }
    }
}

/// Share of the ideal at a true airspeed.
fn efficiency<R: Real>(propeller: &Propeller, speed: R) -> R {
    let EfficiencyFall { best_at, bend } = propeller.efficiency_fall;
    let off = speed / best_at.to_mps() - 1.0;
    let left = -(off * off * bend) + 1.0;
    let least = EfficiencyFall::LEAST;
    let left = if left.value() < least { R::constant(least) } else { left };
    left * propeller.efficiency_of_ideal
}

/// Momentum theory: `eta P = T (V + w)` and `T = 2 rho A w (V + w)`, so `w (V + w)^2 = eta P / (2 rho A)`.
///
/// Newton's rule from above: the left side rises and is convex for positive `w`, so it converges without overshoot, also
/// at standstill.
fn propeller_thrust<R: Real>(propeller: &Propeller, power: R, speed: R, density: R) -> R {
    let radius_m = 0.5 * propeller.diameter.to_m();
    let disk_m2 = std::f64::consts::PI * radius_m * radius_m;
    let useful = if propeller.efficiency_fall.bend > 0.0 {
        power * efficiency(propeller, speed)
    } else {
        power * propeller.efficiency_of_ideal
    };
    if useful.value() <= 0.0 {
        return R::constant(0.0);
    }
    let target = useful / (density * 2.0 * disk_m2);
    let speed = if speed.value() < 0.0 { R::constant(0.0) } else { speed };
    // Both bounds lie above the solution; the lesser is nearer.
    let (v, t) = (speed.value(), target.value());
    let mut w = if v * v * v > t { t / (v * v) } else { base::math::cbrt(t) };
    for _ in 0..30 {
        let sum = speed.value() + w;
        let step = (w * sum * sum - target.value()) / (sum * (speed.value() + 3.0 * w));
        w -= step;
        // The error is squared by each step: after this one it is lost in rounding.
        if step.abs() < 1e-8 * (1.0 + w) {
            break;
        }
    }
    let mut w = R::constant(w);
    if R::DERIVATIVES {
        // From the solution each step of Newton's rule gives the derivatives of one order more.
        for _ in 0..2 {
            let sum = speed + w;
            w = w - (w * sum * sum - target) / (sum * (speed + w * 3.0));
        }
    }
    useful / (speed + w)
}

#[cfg(test)]
mod tests;
