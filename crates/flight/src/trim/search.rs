//! The search: from the first guess; by a sweep over the incidences; from other guesses; along a chain of easier conditions. Each is
//! bounded.

use base::kinds::TrueAirspeed;
use base::numerics::least_squares::{Control, Variable};
use base::numerics::newton::{Root, solve};
use base::units::{Angle, AngularRate, LoadFactor, Quantity};

use super::equations::{ALPHA, EFFORT, Equations, POWERPLANT, UNKNOWNS, Unknowns};
use super::sweep::Sweep;
use super::{Curve, Hold, Stop};

/// Below this root sum square of accelerations, m/s2 and rad/s2, a flight is steady.
pub(super) const STEADY: f64 = 1e-9;

pub(super) const CONTROL: Control =
    Control { residual: STEADY, step: 1e-13, evaluations_max: 60, difference: 1e-6, secant: false };

/// Steps of a chain at most, and shortest step.
const LINKS_MAX: usize = 40;
const LINK_LEAST: f64 = 0.02;

/// What a search came to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub(super) x: Unknowns,
    pub(super) r: Unknowns,
    pub(super) norm: f64,
    pub(super) stop: Stop,
    pub(super) evaluations: usize,
}

/// Searches until steady flight is found or every way is tried; then says why not.
pub(super) fn search(equations: &Equations<'_>) -> Found {
    let mut best = equations.from(&equations.guess());
    best.evaluations += 2 * LOOKS_ABOUT;
    if best.norm < STEADY {
        return equations.judge(equations.before_the_stall(best));
    }
    if let Some(limited) = equations.throttle_at_end(&best) {
        return limited;
    }
    if let Some(stop) = equations.lacks_lift_by_far(&best) {
        return Found { stop, ..best };
    }
    let nearest = match equations.sweep() {
        Sweep::Told(found) => {
            let evaluations = best.evaluations + found.evaluations;
            return equations.told(Found { evaluations, ..found });
        }
        Sweep::Silent { evaluations, nearest } => {
            best.evaluations += evaluations;
            nearest
        }
    };
    for way in [Equations::other_starts, Equations::gentler_first, Equations::faster_first] {
        let found = way(equations);
        best.evaluations += found.evaluations;
        if found.norm < best.norm {
            best = Found { evaluations: best.evaluations, ..found };
        }
        if best.norm < STEADY {
            return equations.judge(best);
        }
    }
    if let Some(limited) = equations.throttle_at_end(&best) {
        return limited;
    }
    let judged = equations.judge(best);
    match nearest {
        Some(found) if judged.stop == Stop::Iterations => {
            equations.told(Found { evaluations: judged.evaluations, ..found })
        }
        _ => judged,
    }
}

/// Evaluations of a first guess, about.
const LOOKS_ABOUT: usize = 20;

impl Equations<'_> {
    /// From one start.
    pub(super) fn from(&self, start: &Unknowns) -> Found {
        let mut variables = self.variables(start);
        self.pin_an_idle_engine(start, &mut variables[POWERPLANT]);
        let root: Root<UNKNOWNS, UNKNOWNS> = solve(|x| self.residuals(x), &variables, &CONTROL);
        let stop = if root.residual_norm < STEADY { Stop::Converged } else { Stop::Iterations };
        Found {
            x: root.values,
            r: root.residuals,
            norm: root.residual_norm,
            stop,
            evaluations: root.evaluations,
        }
    }

    /// An engine whose state has no rate of its own (none at all, or one that is always settled) is no unknown.
    pub(super) fn pin_an_idle_engine(&self, start: &Unknowns, variable: &mut Variable) {
        let mut moved = *start;
        moved[POWERPLANT] += 1e-3 * self.engine_size;
        let idle = self.residuals(start)[6] == 0.0 && self.residuals(&moved)[6] == 0.0;
        if idle {
            (variable.low, variable.high) = (variable.start, variable.start);
        }
    }

    /// The best of other first guesses.
    fn other_starts(&self) -> Found {
        let guess = self.guess();
        let mut best: Option<Found> = None;
        let mut evaluations = 0;
        for (alpha, effort) in [(0.05, 0.85), (0.15, 0.25), (0.3, 0.6), (0.55, 0.85)] {
            let mut start = guess;
            start[ALPHA] = alpha;
            if matches!(self.hold, Hold::Climb(_)) {
                start[EFFORT] = effort;
            }
            self.settle(&mut start);
            let found = self.from(&start);
            evaluations += found.evaluations;
            if best.as_ref().is_none_or(|b| found.norm < b.norm) {
                best = Some(found);
            }
            if found.norm < STEADY {
                break;
            }
        }
        let best = best.expect("there are four starts");
        Found { evaluations, ..best }
    }

    /// From straight and level to the curve and climb asked for.
    fn gentler_first(&self) -> Found {
        self.chain(|share| Equations {
            curve: self.part_curve(share),
            hold: self.part_hold(share),
            ..*self
        })
    }

    /// From a faster flight to the speed asked for.
    fn faster_first(&self) -> Found {
        self.chain(|share| {
            let speed = TrueAirspeed::from_mps(self.speed_mps * (1.6 - 0.6 * share));
            Equations { speed_mps: speed.to_mps(), ..*self }
        })
    }

    fn part_curve(&self, share: f64) -> Curve {
        match self.curve {
            Curve::Straight => Curve::Straight,
            Curve::Turn(rate) => Curve::Turn(AngularRate::from_radps(rate.to_si() * share)),
            Curve::Pull(rate) => Curve::Pull(AngularRate::from_radps(rate.to_si() * share)),
            Curve::TurnAtBank(bank) => Curve::TurnAtBank(Angle::from_rad(bank.to_rad() * share)),
            Curve::TurnAtLoad(load, side) => Curve::TurnAtLoad(part_load(load, share), side),
            Curve::PullAtLoad(load) => Curve::PullAtLoad(part_load(load, share)),
        }
    }

    fn part_hold(&self, share: f64) -> Hold {
        let part = |climb: Angle| Angle::from_rad(climb.to_rad() * share);
        match self.hold {
            Hold::Climb(climb) => Hold::Climb(part(climb)),
            Hold::Throttle(throttle) => Hold::Throttle(throttle),
            Hold::Both(climb, throttle) => Hold::Both(part(climb), throttle),
        }
    }

    /// Follows the flight from easy (share nil) to what is asked for (share one), shortening the links where one breaks.
    fn chain<'e>(&self, easier: impl Fn(f64) -> Equations<'e>) -> Found {
        let easy = easier(0.0);
        let mut last = easy.from(&easy.guess());
        let mut evaluations = last.evaluations;
        let (mut share, mut link) = (0.0, 0.25);
        for _ in 0..LINKS_MAX {
            if last.norm >= STEADY || share >= 1.0 || link < LINK_LEAST {
                break;
            }
            let next = f64::min(share + link, 1.0);
            let found = easier(next).from(&last.x);
            evaluations += found.evaluations;
            if found.norm < STEADY {
                (last, share, link) = (found, next, link * 1.5);
            } else {
                link *= 0.5;
            }
        }
        if share < 1.0 {
            last = self.from(&last.x);
            evaluations += last.evaluations;
        }
        Found { evaluations, ..last }
    }
}

fn part_load(load: LoadFactor, share: f64) -> LoadFactor {
    LoadFactor::from_g(1.001 + (load.to_g() - 1.001) * share)
}
