//! The fit to the figures of the manual and to flights together.

use base::math::{hypot, ln};

use super::guard::{self, Doubtful};
use super::pulls::{Engine, classify};
use super::stretches::{Found, Kind, find};
use super::{Flight, stretches};
use crate::evidence::{self, Evidence, Unit};
use crate::figures::Figures;
use crate::fit::{self, Fitted};
use crate::model::{Condition, Pull, Stretch};
use crate::unknowns::{self, Unknown};

/// One standard deviation of the mass of a flight, as a share: told, and not told.
pub const MASS_SIGMA: (f64, f64) = (0.03, 0.08);
/// The same of true airspeed.
pub const SPEED_SIGMA: f64 = 0.012;
/// What a stretch departs by from any airplane of the model, as a share of what the engine puts in (our judgement, no source): full or
/// idle, and by the speed of rotation.
const OWN: (f64, f64) = (0.025, 0.05);
/// The same at least, m/s.
const OWN_LEAST_MPS: f64 = 0.12;
/// Stretches one after the other share errors: each counts less, by this factor on its sigma (our judgement, no source).
const SHARED: f64 = 1.4;
/// Each second stands in two of them: besides by this.
pub(super) const TWICE: f64 = std::f64::consts::SQRT_2;

/// Nearer the stall than this share of the greatest lift, drag is not that of a parabola, and beyond it nobody knows it.
const LIFT_SHARE_MOST: f64 = 0.95;

/// A stretch beside the airplane of the figures and the one with the flights.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Number of the flight.
    pub flight: usize,
    /// Beginning, s from time zero of its recording.
    pub start_s: f64,
    /// What it is.
    pub kind: Kind,
    /// What pulled.
    pub engine: Engine,
    /// Mean calibrated airspeed, m/s.
    pub calibrated_mps: f64,
    /// Mean load factor.
    pub load: f64,
    /// Specific excess power flown, m/s.
    pub flown_mps: f64,
    /// By the airplane of the figures alone, m/s; blades of a recorded speed of rotation are not known to it.
    pub before_mps: Option<f64>,
    /// By the airplane of figures and flights, m/s.
    pub after_mps: f64,
    /// Residual after, in standard deviations.
    pub standardized: f64,
    /// Whether it was left out of the fit.
    pub set_aside: bool,
}

/// What one flight says of its mass and airspeed.
#[derive(Debug, Clone, PartialEq)]
pub struct FlightFound {
    /// Name of the recording.
    pub name: String,
    /// Mass told or taken, kg.
    pub mass_kg: f64,
    /// Whether it was told.
    pub mass_told: bool,
    /// Mass over that, with one standard deviation.
    pub mass_share: (f64, f64),
    /// True airspeed over the one found, with one standard deviation.
    pub speed_share: (f64, f64),
    /// Stretches used, of all found.
    pub used: usize,
    /// Stretches found.
    pub found: usize,
}

/// An airplane of figures and flights.
#[derive(Debug, Clone)]
pub struct Updated {
    /// By the figures alone.
    pub before: Fitted,
    /// By figures and flights.
    pub after: Fitted,
    /// The stretches used.
    pub stretches: Vec<Compared>,
    /// What each flight says of itself.
    pub flights: Vec<FlightFound>,
    /// Why it is not to be believed; empty when nothing speaks against it.
    pub doubtful: Vec<Doubtful>,
}

/// A stretch on its way into the fit.
pub(super) struct Used {
    pub(super) flight: usize,
    pub(super) found: Found,
    pub(super) engine: Engine,
}

/// Fits figures and flights together. Never fails: what cannot be believed is named in [`Updated::doubtful`].
#[must_use]
pub fn update(figures: &Figures, flights: &[Flight]) -> Updated {
    let before = fit::fit(figures);
    let masses: Vec<f64> = flights.iter().map(|flight| mass_kg(figures, flight)).collect();
    let found: Vec<Vec<Found>> = flights.iter().map(|flight| find(&flight.track)).collect();
    // What pulls is told by the airplane of the figures first, then by the one that comes of it.
    let first = known(&before, &masses, &found);
    let problem = Problem { figures, flights, masses: &masses, used: &first, before: &before };
    let nearer = problem.solve(1.0, 1.0);
    let used = known(&nearer, &masses, &found);
    let problem = Problem { used: &used, ..problem };
    let mut after = problem.solve(1.0, 1.0);
    after.notes.extend(overspeed(figures, &used));
    let doubtful = guard::doubts(&problem, &after);
    let stretches = problem.compared(&after);
    let flights = (0..flights.len()).map(|i| problem.flight(&after, i, found[i].len())).collect();
    Updated { before, after, stretches, flights, doubtful }
}

/// More than this over the rated speed of rotation is told.
const OVERSPEED: f64 = 1.03;

/// Full throttle turns fixed blades faster than they are rated: told, not believed away.
fn overspeed(figures: &Figures, used: &[Used]) -> Option<String> {
    let rated = figures.engine.speed_rated.filter(|_| !figures.propeller.constant_speed)?;
    let full = used.iter().filter(|used| used.engine == Engine::Full);
    let turns: Vec<f64> = full.filter_map(|used| used.found.rotation()).map(|r| r.0).collect();
    let most_rpm = 60.0 * turns.into_iter().fold(f64::NAN, f64::max);
    let over = most_rpm / rated.to_rpm();
    (over > OVERSPEED).then(|| {
        format!(
            "at full throttle the propeller turned {most_rpm:.0} rpm, {:.0} % over its rated {:.0}: the tachometer, the propeller or the rated \
             power is not that of the manual; power and efficiency follow what was flown",
            100.0 * (over - 1.0),
            rated.to_rpm()
        )
    })
}

/// The stretches in which it is known what pulls.
fn known(fitted: &Fitted, masses: &[f64], found: &[Vec<Found>]) -> Vec<Used> {
    let of_flight = |(flight, found): (usize, &Vec<Found>)| {
        let engines = classify(&fitted.model(), masses[flight], found);
        let share =
            |moment: &crate::model::Moment| fitted.model().lift_share(moment, masses[flight]);
        let flying = |one: &Found| one.moments.iter().all(|moment| share(moment) < LIFT_SHARE_MOST);
        let known = found
            .iter()
            .zip(engines)
            .filter(|(one, engine)| *engine != Engine::Unknown && flying(one));
        known
            .map(|(found, engine)| Used { flight, found: found.clone(), engine })
            .collect::<Vec<_>>()
    };
    found.iter().enumerate().flat_map(of_flight).collect()
}

/// Mass of a flight: as told, else the usual one.
fn mass_kg(figures: &Figures, flight: &Flight) -> f64 {
    let masses = &figures.masses;
    let usual = || {
        let empty = masses.empty.map_or(0.62 * masses.maximum.to_kg(), base::units::Mass::to_kg);
        masses.typical.map_or(empty + 0.65 * (masses.maximum.to_kg() - empty), |m| m.to_kg())
    };
    flight.mass_kg.unwrap_or_else(usual)
}

/// Everything that a fit to flights is made from.
pub(super) struct Problem<'a> {
    pub(super) figures: &'a Figures,
    pub(super) flights: &'a [Flight],
    pub(super) masses: &'a [f64],
    pub(super) used: &'a [Used],
    pub(super) before: &'a Fitted,
}

impl Problem<'_> {
    /// Number of unknowns of the airplane itself.
    fn own(&self) -> usize {
        self.before.unknowns.len()
    }
    fn turning(&self) -> bool {
        self.used.iter().any(|used| used.engine == Engine::Turning)
    }
    /// Places of a flight's mass and airspeed.
    pub(super) fn places(&self, flight: usize) -> (usize, usize) {
        let first = self.own() + if self.turning() { 3 } else { 0 } + 2 * flight;
        (first, first + 1)
    }

    /// The fit; the priors of mass and airspeed of the flights are widened by factors.
    pub(super) fn solve(&self, wider_mass: f64, wider_speed: f64) -> Fitted {
        let mut unknowns = unknowns::of(self.figures);
        if self.turning() {
            unknowns.extend(blades());
        }
        for (number, flight) in self.flights.iter().enumerate() {
            let mass =
                if flight.mass_kg.is_some() { MASS_SIGMA.0 } else { MASS_SIGMA.1 } * wider_mass;
            let one = |what: &str, words: &str, sigma_log: f64| Unknown {
                key: format!("flight_{}_{what}", number + 1),
                words: format!("flight {}: {words}", number + 1),
                usual: 1.0,
                sigma_log,
                bounds: (0.4, 2.5),
                source: "common-practice",
            };
            unknowns.push(one("mass_share", "mass over the one told", mass));
            let speed = SPEED_SIGMA * wider_speed;
            unknowns.push(one("airspeed_share", "true airspeed over the one found", speed));
        }
        let (mut evidence, notes) = evidence::of(self.figures);
        evidence.extend(self.used.iter().map(|used| self.evidence(used)));
        fit::fit_to(unknowns::frame(self.figures), unknowns, evidence, notes)
    }

    pub(super) fn condition(&self, used: &Used) -> Condition {
        let pull = match used.engine {
            Engine::Full => Pull::Full,
            Engine::Idle => Pull::Idle,
            Engine::Turning | Engine::Unknown => Pull::Rotation(self.own()),
        };
        Condition::Flown(Box::new(Stretch {
            moments: used.found.moments.clone(),
            pull,
            mass_kg: self.masses[used.flight],
            kinetic_mps: used.found.kinetic_mps,
            places: self.places(used.flight),
        }))
    }

    fn evidence(&self, used: &Used) -> Evidence {
        let found = &used.found;
        let full =
            1.0 / self.before.model().thrust_share(found.middle(), self.masses[used.flight], 0.0);
        let weight = self.masses[used.flight] * base::factors::STANDARD_GRAVITY_MPS2;
        let moment = found.middle();
        let pressure = 0.5 * moment.density_kgpm3 * moment.true_mps * moment.true_mps;
        let drag_n = pressure * self.before.frame.area_m2 * 0.05;
        let put_in = match used.engine {
            Engine::Full => full.clamp(0.3, 6.0),
            _ => 1.0,
        } * drag_n
            * moment.true_mps
            / weight;
        let share = if used.engine == Engine::Turning { OWN.1 } else { OWN.0 };
        let own = (share * put_in).max(OWN_LEAST_MPS);
        Evidence {
            words: words(used),
            line: 0,
            condition: self.condition(used),
            value: found.excess_mps,
            sigma: SHARED * TWICE * hypot(found.sigma_mps, own),
            unit: Unit::FPM,
        }
    }

    fn compared(&self, after: &Fitted) -> Vec<Compared> {
        let first = after.evidence.len() - self.used.len();
        let mut early = self.before.values.clone();
        early.extend(vec![1.0; after.values.len() - early.len()]);
        let early = crate::model::Model { values: &early, ..self.before.model() };
        let one = |(i, used): (usize, &Used)| {
            let (evidence, residual) = (&after.evidence[first + i], &after.residuals[first + i]);
            let known = used.engine != Engine::Turning;
            Compared {
                flight: used.flight,
                start_s: used.found.start_s,
                kind: used.found.kind,
                engine: used.engine,
                calibrated_mps: used.found.calibrated_mps,
                load: used.found.load(),
                flown_mps: evidence.value,
                before_mps: known.then(|| early.predict(&evidence.condition)),
                after_mps: residual.model,
                standardized: TWICE * residual.standardized,
                set_aside: residual.set_aside,
            }
        };
        self.used.iter().enumerate().map(one).collect()
    }

    fn flight(&self, after: &Fitted, i: usize, found: usize) -> FlightFound {
        let (mass, speed) = self.places(i);
        let share =
            |place: usize| (after.values[place], after.values[place] * after.sigma_log(place));
        FlightFound {
            name: self.flights[i].name.clone(),
            mass_kg: self.masses[i],
            mass_told: self.flights[i].mass_kg.is_some(),
            mass_share: share(mass),
            speed_share: share(speed),
            used: self.used.iter().filter(|used| used.flight == i).count(),
            found,
        }
    }
}

/// Thrust of blades by their advance ratio (fixed-pitch propellers of light singles: common practice, no source).
fn blades() -> Vec<Unknown> {
    let one = |key: &str, words: &str, usual: f64, sigma_log: f64| Unknown {
        key: key.into(),
        words: words.into(),
        usual,
        sigma_log,
        bounds: (0.2 * usual, 5.0 * usual),
        source: "common-practice",
    };
    vec![
        one("thrust_standing", "thrust coefficient of the blades, standing", 0.09, 0.3),
        one("advance_no_thrust", "advance ratio of no thrust", 0.9, 0.15),
        one("thrust_bend", "exponent of thrust over advance ratio", 1.7, 0.25),
    ]
}

fn words(used: &Used) -> String {
    let engine = match used.engine {
        Engine::Full => "full throttle",
        Engine::Idle => "idle",
        Engine::Turning | Engine::Unknown => "by rpm",
    };
    format!(
        "flight {} at {:.0} s: {}, {engine}, {:.0} kt",
        used.flight + 1,
        used.found.start_s,
        used.found.kind.words(),
        used.found.calibrated_mps / base::factors::MPS_PER_KT
    )
}

/// Length of a stretch, s.
#[must_use]
pub fn stretch_s() -> f64 {
    stretches::STEPS as f64 * super::track::STEP_S
}

/// Logarithm of a share over its own standard deviation.
pub(super) fn sigmas(share: f64, sigma_log: f64) -> f64 {
    ln(share) / sigma_log
}
