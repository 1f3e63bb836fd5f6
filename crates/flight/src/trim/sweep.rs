//! Over the incidences: everything but the lift is brought into balance at each, so that what is left says whether one of them
//! carries the path.
//!
//! Near the stall the path that Newton's rule takes can miss the flight it looks for, and where there is none it cannot tell. The
//! sweep can: lift lacks at every incidence, or two of them lie on either side of the flight. Our own method.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::numerics::newton::{Root, solve};
use base::units::LoadFactor;

use super::Stop;
use super::equations::{ALPHA, Equations, POWERPLANT, UNKNOWNS, Unknowns};
use super::guess::{LOOKS, NEAREST_RAD};
use super::search::{CONTROL, Found, STEADY};

/// Residual that is left over at each incidence: acceleration down in the plane of lift.
const DOWN: usize = 2;
/// How often two incidences on either side of the flight are brought nearer before it is given up.
const HALVINGS: usize = 12;

/// First step down from a flight beyond the stall, rad, how the next ones grow, and how many there are at most.
const DESCENT_RAD: f64 = 0.01;
const DESCENT_GROWTH: f64 = 1.5;
const DESCENT_MOST: usize = 8;

/// In balance at one incidence, but for the lift.
#[derive(Debug, Clone, Copy)]
struct Balanced {
    x: Unknowns,
    /// Acceleration downwards that is left: lift that lacks over the mass, m/s2.
    lacking_mps2: f64,
}

/// What the sweep says.
pub(super) enum Sweep {
    /// The flight, or that none of the incidences carries it.
    Told(Found),
    /// Nothing for certain: beside the incidence that comes nearest something else than lift is out of balance.
    Silent {
        /// Evaluations it took.
        evaluations: usize,
        /// What comes nearest, if anything is in balance but for the lift.
        nearest: Option<Found>,
    },
}

impl Equations<'_> {
    /// Sweeps the incidences that [`Equations::incidence`] looks at.
    pub(super) fn sweep(&self) -> Sweep {
        let (low, high) = self.incidences();
        let step_rad = (high - low) / (LOOKS - 1) as f64;
        let mut evaluations = 0;
        let mut row: [Option<Balanced>; LOOKS] = [None; LOOKS];
        let mut start = self.guess();
        for i in 0..LOOKS {
            row[i] = self.balanced(&start, low + step_rad * i as f64, &mut evaluations);
            let before = i.checked_sub(1).and_then(|before| row[before]);
            let Some(here) = row[i] else {
                // Once power or elevator lack they lack at more incidence too.
                if before.is_none() && row.iter().any(Option::is_some) {
                    break;
                }
                continue;
            };
            start = here.x;
            if let Some(before) = before
                && before.lacking_mps2 > 0.0
                && here.lacking_mps2 <= 0.0
            {
                return self.between(before, here, evaluations);
            }
        }
        let lacking = |at: &&Balanced| at.lacking_mps2;
        let best = row.iter().flatten().min_by(|a, b| lacking(a).total_cmp(&lacking(b)));
        match best.filter(|best| best.lacking_mps2 > 0.0) {
            Some(&best) => self.nearest_balanced(best, step_rad, evaluations),
            None => Sweep::Silent { evaluations, nearest: None },
        }
    }

    /// Lift that lacks at an incidence, over the mass, m/s2, with everything else in balance there; `None` where it cannot be.
    pub(super) fn lacking_in_balance(&self, x: &Unknowns) -> Option<f64> {
        let balanced = self.balanced(x, x[ALPHA], &mut 0)?;
        Some(balanced.lacking_mps2).filter(|&lacking_mps2| lacking_mps2 > 0.0)
    }

    /// Brings everything but the lift into balance at an incidence.
    fn balanced(
        &self,
        start: &Unknowns,
        alpha_rad: f64,
        evaluations: &mut usize,
    ) -> Option<Balanced> {
        let mut start = *start;
        start[ALPHA] = alpha_rad;
        let mut variables = self.variables(&start);
        self.pin_an_idle_engine(&start, &mut variables[POWERPLANT]);
        (variables[ALPHA].low, variables[ALPHA].high) = (alpha_rad, alpha_rad);
        let but_lift = |x: &Unknowns| {
            let mut left = self.residuals(x);
            left[DOWN] = 0.0;
            left
        };
        let root: Root<UNKNOWNS, UNKNOWNS> = solve(but_lift, &variables, &CONTROL);
        *evaluations += root.evaluations + 1;
        let lacking_mps2 = self.residuals(&root.values)[DOWN];
        (root.residual_norm < STEADY && lacking_mps2.is_finite())
            .then_some(Balanced { x: root.values, lacking_mps2 })
    }

    /// The flight between two incidences, the lower of which lacks lift.
    fn between(&self, mut low: Balanced, mut high: Balanced, mut evaluations: usize) -> Sweep {
        for _ in 0..HALVINGS {
            let share = low.lacking_mps2 / (low.lacking_mps2 - high.lacking_mps2);
            let at = |share: f64| -> Unknowns {
                std::array::from_fn(|i| low.x[i] + share * (high.x[i] - low.x[i]))
            };
            let mut found = self.from(&at(share));
            evaluations += found.evaluations;
            if found.norm < STEADY {
                found.evaluations = evaluations;
                return Sweep::Told(found);
            }
            let middle = at(0.5);
            let Some(middle) = self.balanced(&middle, middle[ALPHA], &mut evaluations) else {
                break;
            };
            if middle.lacking_mps2 > 0.0 { low = middle } else { high = middle }
        }
        Sweep::Silent { evaluations, nearest: None }
    }

    /// About the incidence that comes nearest: the one that comes nearer still, by halving the step, until one carries the path or
    /// the step is small. Where the last one has no neighbor in balance, lift is not all that lacks.
    fn nearest_balanced(
        &self,
        mut best: Balanced,
        mut step_rad: f64,
        mut evaluations: usize,
    ) -> Sweep {
        let mut alone = true;
        while step_rad > NEAREST_RAD {
            step_rad *= 0.5;
            alone = false;
            for alpha_rad in [best.x[ALPHA] - step_rad, best.x[ALPHA] + step_rad] {
                let Some(there) = self.balanced(&best.x, alpha_rad, &mut evaluations) else {
                    alone = true;
                    continue;
                };
                if there.lacking_mps2 <= 0.0 {
                    return self.beside(&best, &there, evaluations);
                }
                if there.lacking_mps2 < best.lacking_mps2 {
                    best = there;
                }
            }
        }
        let nearest = self.lacking(&best, evaluations);
        match nearest {
            Some(found) if !alone => Sweep::Told(found),
            _ => Sweep::Silent { evaluations, nearest },
        }
    }

    fn lacking(&self, best: &Balanced, evaluations: usize) -> Option<Found> {
        let lacking = LoadFactor::try_from_g(best.lacking_mps2 / STANDARD_GRAVITY_MPS2)?;
        let r = self.residuals(&best.x);
        let norm = r.iter().map(|value| value * value).sum::<f64>().sqrt();
        Some(Found { x: best.x, r, norm, stop: Stop::LacksLift { lacking }, evaluations })
    }

    /// Instead of a flight beyond the stall the one before it, where there is one.
    pub(super) fn before_the_stall(&self, found: Found) -> Found {
        if !self.beyond_the_stall(&found.x) {
            return found;
        }
        let mut evaluations = found.evaluations;
        let mut high: Option<Balanced> = None;
        let (mut last, mut step_rad) = (found.x, DESCENT_RAD);
        for _ in 0..DESCENT_MOST {
            let alpha_rad = last[ALPHA] - step_rad;
            step_rad *= DESCENT_GROWTH;
            let Some(here) = self.balanced(&last, alpha_rad, &mut evaluations) else { break };
            last = here.x;
            match high {
                Some(high) if here.lacking_mps2 > 0.0 => {
                    return match self.between(here, high, evaluations) {
                        Sweep::Told(before) => before,
                        Sweep::Silent { evaluations, .. } => Found { evaluations, ..found },
                    };
                }
                // None before the stall carries more than the path.
                None if here.lacking_mps2 > 0.0 => break,
                _ => high = Some(here),
            }
        }
        Found { evaluations, ..found }
    }

    /// Whether more incidence carries less.
    fn beyond_the_stall(&self, x: &Unknowns) -> bool {
        let mut more = *x;
        more[ALPHA] += NEAREST_RAD;
        self.residuals(&more)[DOWN] > self.residuals(x)[DOWN]
    }

    /// The flight beside an incidence that carries more than the path, the other of which lacks lift.
    fn beside(&self, lacks: &Balanced, carries: &Balanced, evaluations: usize) -> Sweep {
        if carries.x[ALPHA] > lacks.x[ALPHA] {
            return self.between(*lacks, *carries, evaluations);
        }
        let mut found = self.from(&carries.x);
        found.evaluations += evaluations;
        if found.norm < STEADY {
            return Sweep::Told(found);
        }
        Sweep::Silent { evaluations: found.evaluations, nearest: None }
    }
}
