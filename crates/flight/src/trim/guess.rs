//! Where to begin: bank and curvature from closed forms, incidence and effort from a few looks at the forces.

use base::math::{acos, asin, atan, cos, tan};
use base::units::Quantity;

use super::equations::{
    ALPHA, BANK, BETA, CURVATURE, EFFORT, ELEVATOR, Equations, POWERPLANT, UNKNOWNS, Unknowns,
};
use super::{Balance, Curve, Hold};

/// Looks at the forces over the range of incidence.
pub(super) const LOOKS: usize = 12;
/// How finely the incidence of greatest lift is sought where none carries the path, rad.
pub(super) const NEAREST_RAD: f64 = 1e-4;
/// Incidences that are looked at, rad, where the data reach so far.
const ALPHA_LOOK: (f64, f64) = (-0.1, 0.7);

impl Equations<'_> {
    /// A first guess.
    pub(super) fn guess(&self) -> Unknowns {
        let mut x = [0.0; UNKNOWNS];
        (x[BANK], x[CURVATURE]) = self.bank_and_curvature();
        match self.balance {
            Balance::Sideslip(angle) => x[BETA] = angle.to_rad(),
            Balance::Bank(bank) => x[BANK] = bank.to_rad(),
            Balance::Ball => {}
        }
        if matches!(self.hold, Hold::Climb(_)) {
            x[EFFORT] = 0.5;
        }
        x[POWERPLANT] = self.settled(0.1, self.throttle(&x));
        x[ALPHA] = self.incidence(&x).0;
        x[ELEVATOR] = self.elevator(&x);
        x[EFFORT] = self.effort(&x);
        self.settle(&mut x);
        x
    }

    /// Puts the engine where it settles.
    pub(super) fn settle(&self, x: &mut Unknowns) {
        let settled = self.settled(x[ALPHA], self.throttle(x));
        if settled.is_finite() {
            x[POWERPLANT] = settled;
        }
    }

    /// Bank about the velocity and turn rate or rate of pull, as for a point mass without side force.
    fn bank_and_curvature(&self) -> (f64, f64) {
        let (g, v) = (self.gravity_mps2(), self.speed_mps);
        let climb = match self.hold {
            Hold::Climb(climb) | Hold::Both(climb, _) => cos(climb.to_rad()),
            Hold::Throttle(_) => 1.0,
        };
        let turn = |bank: f64| g * tan(bank) / v;
        match self.curve {
            Curve::Straight => (0.0, 0.0),
            Curve::Pull(rate) => (0.0, rate.to_si()),
            Curve::PullAtLoad(load) => (0.0, g * (load.to_g() - climb) / v),
            Curve::Turn(rate) => (atan(v * rate.to_si() / g), rate.to_si()),
            Curve::TurnAtBank(bank) => (bank.to_rad(), turn(bank.to_rad())),
            Curve::TurnAtLoad(load, side) => {
                let bank = side.sign() * acos((climb / load.to_g()).clamp(0.0, 1.0));
                (bank, turn(bank.clamp(-1.5, 1.5)))
            }
        }
    }

    /// The incidences that are looked at, rad.
    pub(super) fn incidences(&self) -> (f64, f64) {
        let (low, high) = self.vehicle.aerodynamics.domain().alpha_rad;
        (low.max(ALPHA_LOOK.0), high.min(ALPHA_LOOK.1))
    }

    /// The least incidence whose lift carries the path, between looks, and what lacks there, m/s2; where none carries it, the
    /// one that comes nearest.
    pub(super) fn incidence(&self, x: &Unknowns) -> (f64, f64) {
        let (low, high) = self.incidences();
        let mut best = (0.5 * (low + high), f64::INFINITY);
        let mut before: Option<(f64, f64)> = None;
        for i in 0..LOOKS {
            let alpha = low + (high - low) * i as f64 / (LOOKS - 1) as f64;
            let mut look = *x;
            look[ALPHA] = alpha;
            look[ELEVATOR] = self.elevator(&look);
            let lacking = self.residuals(&look)[2];
            if let Some((last_alpha, last)) = before
                && last > 0.0
                && lacking <= 0.0
            {
                return (last_alpha + (alpha - last_alpha) * last / (last - lacking), 0.0);
            }
            if lacking.abs() < best.1.abs() {
                best = (alpha, lacking);
            }
            before = Some((alpha, lacking));
        }
        self.nearest(x, best, (high - low) / (LOOKS - 1) as f64)
    }

    /// Where none carries the path: the incidence that comes nearest, between the looks either side of the best, by halving
    /// the step; so that what lacks is what the wing lacks, not what the looks missed.
    fn nearest(&self, x: &Unknowns, mut best: (f64, f64), mut step_rad: f64) -> (f64, f64) {
        while step_rad > NEAREST_RAD {
            step_rad *= 0.5;
            for alpha in [best.0 - step_rad, best.0 + step_rad] {
                let mut look = *x;
                look[ALPHA] = alpha;
                look[ELEVATOR] = self.elevator(&look);
                let lacking = self.residuals(&look)[2];
                if lacking.abs() < best.1.abs() {
                    best = (alpha, lacking);
                }
            }
        }
        best
    }

    /// The elevator that balances the pitching moment, to first order.
    fn elevator(&self, x: &Unknowns) -> f64 {
        const STEP_RAD: f64 = 0.02;
        let mut moved = *x;
        moved[ELEVATOR] = 0.0;
        let neutral = self.residuals(&moved)[4];
        moved[ELEVATOR] = STEP_RAD;
        let slope = (self.residuals(&moved)[4] - neutral) / STEP_RAD;
        let (low, high) = self.vehicle.actuators.elevator.limits_rad;
        let at = -neutral / slope;
        if at.is_finite() { at.max(low.max(-0.5)).min(high.min(0.5)) } else { 0.0 }
    }

    /// Throttle, climb angle or change of speed from the force along the path.
    fn effort(&self, x: &Unknowns) -> f64 {
        let along = |effort: f64| {
            let mut look = *x;
            look[EFFORT] = effort;
            self.settle(&mut look);
            self.residuals(&look)[0]
        };
        match self.hold {
            Hold::Climb(_) => {
                let (low, high) = (along(0.2), along(0.8));
                let at = 0.2 + 0.6 * low / (low - high);
                if at.is_finite() { at.clamp(0.05, 0.95) } else { 0.5 }
            }
            Hold::Throttle(_) => asin((along(0.0) / self.gravity_mps2()).clamp(-0.7, 0.9)),
            Hold::Both(..) => along(0.0),
        }
    }
}
