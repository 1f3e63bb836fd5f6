//! First and second derivatives of the equations of motion, by hand where they are wanted fast.
//!
//! [`PointMass::path_rates`] with dual numbers gives the same, slower; a test holds the two together.
#![allow(clippy::needless_range_loop, reason = "matrix kernels read best with their indices")]

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{cos, sin};
use base::numerics::dual::{Dual, Real};

use super::{PointMass, pull_of};
use crate::air::SEA_LEVEL_DENSITY_KGPM3;
use crate::airplane::Thrust;

/// Order of the variables: true airspeed (m/s), climb angle (rad), height (m), lift coefficient, lift bank (rad), share of power.
pub const VARIABLES: usize = 6;
const SPEED: usize = 0;
const CLIMB: usize = 1;
const HEIGHT: usize = 2;
const LIFT: usize = 3;
const BANK: usize = 4;
const POWER: usize = 5;

/// What the derivatives at one point are made of.
#[derive(Debug, Clone, Copy, Default)]
pub struct PathPoint {
    speed: f64,
    sin_climb: f64,
    cos_climb: f64,
    sin_bank: f64,
    cos_bank: f64,
    /// Excess of thrust over drag for each kilogram, m/s2: value, slopes and curvature by speed, height, lift, power.
    excess: Curved,
    /// Share of the force along the path that speeds the airplane up where the propeller's rotation takes some: value, slopes and
    /// curvature as above; `None` where it takes none, and the excess above is then that of the force itself.
    kept: Option<Curved>,
    /// Lift over momentum, 1/s: value, slopes and curvature by speed, height, lift.
    lift: (f64, [f64; 3], [[f64; 3]; 3]),
}

/// Where the variables of the excess stand among all.
const OF_EXCESS: [usize; 4] = [SPEED, HEIGHT, LIFT, POWER];
/// Where those of the lift stand.
const OF_LIFT: [usize; 3] = [SPEED, HEIGHT, LIFT];

impl PathPoint {
    /// Works out a point from its variables in the order of [`VARIABLES`].
    #[must_use]
    pub fn new(body: &PointMass<'_>, v: &[f64; VARIABLES]) -> Self {
        let (speed, height) = (v[SPEED], v[HEIGHT]);
        let air = (body.air.at(height), body.air.slopes(height));
        let (excess, kept) = excess(body, air, (speed, v[LIFT], v[POWER]));
        Self {
            speed,
            sin_climb: sin(v[CLIMB]),
            cos_climb: cos(v[CLIMB]),
            sin_bank: sin(v[BANK]),
            cos_bank: cos(v[BANK]),
            excess,
            kept,
            lift: lift(body, air, speed, v[LIFT]),
        }
    }

    /// What gravity takes off the rate of the speed straight up, m/s2.
    fn weight(&self) -> f64 {
        STANDARD_GRAVITY_MPS2 * self.kept.map_or(1.0, |kept| kept.0)
    }

    /// Rates of speed, climb angle, course and height.
    #[must_use]
    pub fn rates(&self) -> [f64; 4] {
        let gravity = STANDARD_GRAVITY_MPS2;
        [
            self.excess.0 - self.weight() * self.sin_climb,
            self.lift.0 * self.cos_bank - gravity * self.cos_climb / self.speed,
            self.lift.0 * self.sin_bank / self.cos_climb,
            self.speed * self.sin_climb,
        ]
    }

    /// Their derivatives by the variables.
    #[must_use]
    pub fn jacobian(&self) -> [[f64; VARIABLES]; 4] {
        let gravity = STANDARD_GRAVITY_MPS2;
        let mut out = [[0.0; VARIABLES]; 4];
        for (place, slope) in OF_EXCESS.into_iter().zip(self.excess.1) {
            out[0][place] = slope;
        }
        if let Some((_, slopes, _)) = &self.kept {
            for (place, slope) in OF_EXCESS.into_iter().zip(slopes) {
                out[0][place] -= gravity * self.sin_climb * slope;
            }
        }
        out[0][CLIMB] = -self.weight() * self.cos_climb;
        for (place, slope) in OF_LIFT.into_iter().zip(self.lift.1) {
            out[1][place] = slope * self.cos_bank;
            out[2][place] = slope * self.sin_bank / self.cos_climb;
        }
        out[1][SPEED] += gravity * self.cos_climb / (self.speed * self.speed);
        out[1][CLIMB] = gravity * self.sin_climb / self.speed;
        out[1][BANK] = -self.lift.0 * self.sin_bank;
        out[2][CLIMB] =
            self.lift.0 * self.sin_bank * self.sin_climb / (self.cos_climb * self.cos_climb);
        out[2][BANK] = self.lift.0 * self.cos_bank / self.cos_climb;
        out[3][SPEED] = self.sin_climb;
        out[3][CLIMB] = self.speed * self.cos_climb;
        out
    }

    /// Second derivatives of the weighted sum of the rates.
    #[must_use]
    pub fn curvature(&self, weights: &[f64; 4]) -> [[f64; VARIABLES]; VARIABLES] {
        let gravity = STANDARD_GRAVITY_MPS2;
        let mut out = [[0.0; VARIABLES]; VARIABLES];
        for (i, a) in OF_EXCESS.into_iter().enumerate() {
            for (j, b) in OF_EXCESS.into_iter().enumerate() {
                out[a][b] = weights[0] * self.excess.2[i][j];
            }
        }
        if let Some(kept) = &self.kept {
            self.add_kept(weights[0] * gravity, kept, &mut out);
        }
        let (sb, cb, sc, cc) = (self.sin_bank, self.cos_bank, self.sin_climb, self.cos_climb);
        // Lift turns the path by these shares of itself; and how they go with climb and bank.
        let share = weights[1] * cb + weights[2] * sb / cc;
        let by_climb = weights[2] * sb * sc / (cc * cc);
        let by_bank = -weights[1] * sb + weights[2] * cb / cc;
        for (i, a) in OF_LIFT.into_iter().enumerate() {
            for (j, b) in OF_LIFT.into_iter().enumerate() {
                out[a][b] += share * self.lift.2[i][j];
            }
            let slope = self.lift.1[i];
            for (other, by) in [(CLIMB, by_climb), (BANK, by_bank)] {
                out[a][other] += slope * by;
                out[other][a] += slope * by;
            }
        }
        let (lift, speed) = (self.lift.0, self.speed);
        let both = weights[2] * lift * cb * sc / (cc * cc);
        out[CLIMB][BANK] += both;
        out[BANK][CLIMB] += both;
        out[BANK][BANK] -= lift * share;
        out[CLIMB][CLIMB] += weights[0] * self.weight() * sc + weights[1] * gravity * cc / speed
            - weights[3] * speed * sc
            + weights[2] * lift * sb * (1.0 + sc * sc) / (cc * cc * cc);
        out[SPEED][SPEED] -= 2.0 * weights[1] * gravity * cc / (speed * speed * speed);
        let cross = weights[3] * cc - weights[1] * gravity * sc / (speed * speed);
        out[SPEED][CLIMB] += cross;
        out[CLIMB][SPEED] += cross;
        out
    }

    /// Curvature of what gravity takes where the share kept is not one.
    fn add_kept(
        &self,
        weight: f64,
        (_, slopes, curvature): &Curved,
        out: &mut [[f64; VARIABLES]; VARIABLES],
    ) {
        for (i, a) in OF_EXCESS.into_iter().enumerate() {
            for (j, b) in OF_EXCESS.into_iter().enumerate() {
                out[a][b] -= weight * self.sin_climb * curvature[i][j];
            }
            out[a][CLIMB] -= weight * self.cos_climb * slopes[i];
            out[CLIMB][a] -= weight * self.cos_climb * slopes[i];
        }
    }
}

/// A value with its slopes and curvature by speed, height, lift and power.
type Curved = (f64, [f64; 4], [[f64; 4]; 4]);

/// `1 / (1 + added / mass)` from the added mass by speed, density and power.
fn kept(added: &Dual<3>, mass_kg: f64, (by_height, twice): (f64, f64)) -> Curved {
    let share = Dual::constant(1.0) / (*added / mass_kg + 1.0);
    let (g, h) = (&share.gradient, &share.hessian);
    let gradient = [g[0], g[1] * by_height, 0.0, g[2]];
    let mut hessian = [[0.0; 4]; 4];
    let mut set = |i: usize, j: usize, value: f64| {
        hessian[i][j] = value;
        hessian[j][i] = value;
    };
    set(0, 0, h[0][0]);
    set(0, 1, h[0][1] * by_height);
    set(0, 3, h[0][2]);
    set(1, 1, h[1][1] * by_height * by_height + g[1] * twice);
    set(1, 3, h[1][2] * by_height);
    set(3, 3, h[2][2]);
    (share.value, gradient, hessian)
}

/// Product of two.
fn times(a: &Curved, b: &Curved) -> Curved {
    let gradient = std::array::from_fn(|i| a.0 * b.1[i] + a.1[i] * b.0);
    let hessian = std::array::from_fn(|i| {
        std::array::from_fn(|j| {
            a.0 * b.2[i][j] + a.1[i] * b.1[j] + a.1[j] * b.1[i] + a.2[i][j] * b.0
        })
    });
    (a.0 * b.0, gradient, hessian)
}

/// Density with its slopes by height.
type Air = (f64, (f64, f64));

fn excess(
    body: &PointMass<'_>,
    (density, (by_height, twice)): Air,
    (speed, lift, power): (f64, f64, f64),
) -> (Curved, Option<Curved>) {
    let polar = &body.airplane.aerodynamics;
    let half_area = 0.5 * body.airplane.wing_area.to_m2();
    let drag_coefficient = polar.drag_zero_lift + polar.drag_induced * lift * lift;
    let by_lift = 2.0 * polar.drag_induced * lift;
    let square = half_area * speed * speed;
    let drag = Dual::<3> {
        value: square * density * drag_coefficient,
        // By speed, density, lift.
        gradient: [
            2.0 * half_area * speed * density * drag_coefficient,
            square * drag_coefficient,
            square * density * by_lift,
        ],
        hessian: [[0.0; 3]; 3],
    };
    let (thrust, added) = pull(&body.airplane.thrust, power, speed, density);
    let per_kg = 1.0 / body.mass_kg;
    let by_density = thrust.gradient[1] - drag.gradient[1];
    let speed_density = thrust.hessian[0][1] - 2.0 * half_area * speed * drag_coefficient;
    let gradient = [
        per_kg * (thrust.gradient[0] - drag.gradient[0]),
        per_kg * by_density * by_height,
        -per_kg * drag.gradient[2],
        per_kg * thrust.gradient[2],
    ];
    let mut hessian = [[0.0; 4]; 4];
    let mut set = |i: usize, j: usize, value: f64| {
        hessian[i][j] = per_kg * value;
        hessian[j][i] = per_kg * value;
    };
    set(0, 0, thrust.hessian[0][0] - 2.0 * half_area * density * drag_coefficient);
    set(0, 1, speed_density * by_height);
    set(0, 2, -2.0 * half_area * speed * density * by_lift);
    set(0, 3, thrust.hessian[0][2]);
    set(1, 1, thrust.hessian[1][1] * by_height * by_height + by_density * twice);
    set(1, 2, -square * by_lift * by_height);
    set(1, 3, thrust.hessian[1][2] * by_height);
    set(2, 2, -2.0 * square * density * polar.drag_induced);
    set(3, 3, thrust.hessian[2][2]);
    let force = (per_kg * (thrust.value - drag.value), gradient, hessian);
    let Some(added) = added else { return (force, None) };
    let kept = kept(&added, body.mass_kg, (by_height, twice));
    (times(&force, &kept), Some(kept))
}

/// Thrust and the mass that the propeller adds, by speed, density and share of power.
fn pull(thrust: &Thrust, power: f64, speed: f64, density: f64) -> (Dual<3>, Option<Dual<3>>) {
    match thrust {
        Thrust::Polynomial { static_n, slope_n_per_mps, curvature_n_per_mps2 } => {
            let line = static_n + speed * (slope_n_per_mps + speed * curvature_n_per_mps2);
            let slope = slope_n_per_mps + 2.0 * speed * curvature_n_per_mps2;
            let lapse = super::power_lapse(density / SEA_LEVEL_DENSITY_KGPM3);
            let lapse_slope =
                if lapse > 0.0 { (1.0 + 1.0 / 7.55) / SEA_LEVEL_DENSITY_KGPM3 } else { 0.0 };
            let speed_density = power * lapse_slope * slope;
            let (speed_power, density_power) = (lapse * slope, lapse_slope * line);
            let thrust = Dual {
                value: power * lapse * line,
                gradient: [power * speed_power, power * density_power, lapse * line],
                hessian: [
                    [2.0 * power * lapse * curvature_n_per_mps2, speed_density, speed_power],
                    [speed_density, 0.0, density_power],
                    [speed_power, density_power, 0.0],
                ],
            };
            (thrust, None)
        }
        Thrust::Propeller(_) => {
            let share = if power > 0.0 { Dual::variable(power, 2) } else { Dual::constant(power) };
            pull_of(thrust, share, Dual::variable(speed, 0), Dual::variable(density, 1))
        }
    }
}

/// `rho V S C_L / (2 m)`.
fn lift(
    body: &PointMass<'_>,
    (density, (by_height, twice)): Air,
    speed: f64,
    lift: f64,
) -> (f64, [f64; 3], [[f64; 3]; 3]) {
    let k = 0.5 * body.airplane.wing_area.to_m2() / body.mass_kg;
    let (sh, sl, hl) = (k * by_height * lift, k * density, k * by_height * speed);
    let hh = k * twice * speed * lift;
    (
        k * density * speed * lift,
        [k * density * lift, k * by_height * speed * lift, k * density * speed],
        [[0.0, sh, sl], [sh, hh, hl], [sl, hl, 0.0]],
    )
}

#[cfg(test)]
mod tests {
    use super::{PathPoint, VARIABLES};
    use crate::air::Day;
    use crate::airplane::{Airplane, EfficiencyFall, Thrust, bundled};
    use crate::point_mass::{Command, DensityColumn, PointMass};
    use base::kinds::TrueAirspeed;
    use base::numerics::dual::Dual;

    fn airplanes() -> Vec<Airplane> {
        let mut polynomial = bundled::load("plover-160").unwrap();
        polynomial.thrust = Thrust::Polynomial {
            static_n: 2700.0,
            slope_n_per_mps: -13.0,
            curvature_n_per_mps2: -0.1,
        };
        let mut bent = bundled::load("plover-160").unwrap();
        if let Thrust::Propeller(propeller) = &mut bent.thrust {
            propeller.efficiency_fall =
                EfficiencyFall { best_at: TrueAirspeed::from_mps(50.0), bend: 0.4 };
            propeller.chart = None;
        }
        let ids = ["plover-160", "sandpiper-550"];
        ids.into_iter().map(|id| bundled::load(id).unwrap()).chain([polynomial, bent]).collect()
    }

    #[test]
    fn prop_slopes_by_hand_are_those_of_dual_numbers() {
        let near = |what: &str, found: f64, wanted: f64| {
            checks::assert_near(what, found, wanted, 1e-11 * (1.0 + wanted.abs()));
        };
        for airplane in &airplanes() {
            let air = DensityColumn::of_day(&Day::standard(), -500.0, 3000.0);
            let body = PointMass { airplane, mass_kg: 950.0, air };
            for v in [
                [47.0, 0.2, 812.0, 0.7, 0.6, 0.8],
                [31.0, -0.3, 1240.0, 1.1, 1.2, 1.0],
                [55.0, 0.0, 60.0, 0.3, 0.0, 0.4],
            ] {
                let [speed, climb, height, lift, bank, power] =
                    std::array::from_fn(|i| Dual::<VARIABLES>::variable(v[i], i));
                let (exact, _) = body.path_rates([speed, climb, height], [lift, bank, power]);
                let point = PathPoint::new(&body, &v);
                let (rates, jacobian) = (point.rates(), point.jacobian());
                let weights = [0.7, -1.3, 0.4, 2.0];
                let curvature = point.curvature(&weights);
                for i in 0..4 {
                    near("rate", rates[i], exact[i].value);
                    for j in 0..VARIABLES {
                        near("slope", jacobian[i][j], exact[i].gradient[j]);
                    }
                }
                for i in 0..VARIABLES {
                    for j in 0..VARIABLES {
                        let wanted = (0..4).map(|k| weights[k] * exact[k].hessian[i][j]).sum();
                        near("curvature", curvature[i][j], wanted);
                    }
                }
            }
        }
    }

    /// The dual numbers themselves against differences of the plain equations.
    #[test]
    fn prop_dual_slopes_are_those_of_the_motion() {
        for airplane in &airplanes() {
            let air = DensityColumn::of_day(&Day::standard(), -500.0, 3000.0);
            let body = PointMass { airplane, mass_kg: 950.0, air };
            let v = [47.0, 0.2, 812.0, 0.7, 0.6, 0.8];
            let rate = |v: &[f64; VARIABLES]| {
                let command =
                    Command { lift_coefficient: v[3], lift_bank_rad: v[4], power_share: v[5] };
                let x = [v[0], v[1], 0.0, v[2], 0.0, 0.0, 0.0];
                let [speed, climb, course, height, ..] = body.derivative(&x, &command);
                [speed, climb, course, height]
            };
            let jacobian = PathPoint::new(&body, &v).jacobian();
            for j in 0..VARIABLES {
                let step = 1e-5 * (1.0 + v[j].abs());
                let (mut low, mut high) = (v, v);
                low[j] -= step;
                high[j] += step;
                for i in 0..4 {
                    let slope = (rate(&high)[i] - rate(&low)[i]) / (2.0 * step);
                    checks::assert_near("slope", jacobian[i][j], slope, 1e-7);
                }
            }
        }
    }
}
