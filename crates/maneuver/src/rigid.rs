//! A reference flight at six degrees of freedom: what hands and feet do, why, and how far the two levels of flight agree.
//!
//! The reference flight ([`ReferenceFlight`]) is a coordinated point mass. [`fly`] takes from it what it asks (climb angle and
//! bank against time; load factor and bank where the bank is too steep for lift to say anything of climb; bank alone where height
//! is held; the whole attitude where it passes the vertical), rounds its corners to what a hand does, and flies the rigid airplane
//! through it ([`flight::inverse`]). What the form leaves open is found again at this level: the times of the legs, how steeply
//! it climbs, the power; the conditions are the same (heading at the knots, speed, height and path where they end).

mod agreement;
mod channels;
mod knobs;
mod plane;
mod search;
mod series;

use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::{Airplane, NoFlaps, NoSixDegree};
use flight::inverse::causes::Causes;
use flight::inverse::{Excess, Shortfall, Tracking};
use flight::trajectory::FlightSample;

use crate::catalog;
use crate::definition::Flaps;
use crate::reference::{Entry, ReferenceFlight, Unknown};

pub use agreement::Agreement;

/// A flight at six degrees of freedom.
#[derive(Debug, Clone)]
pub struct RigidFlight {
    /// Samples in time order. The time is that of the schedule: it begins before nil by as much as its first corner is rounded.
    pub samples: Vec<FlightSample>,
    /// Controls, one a sample.
    pub controls: Vec<ControlSample>,
    /// How far the two levels agree.
    pub agreement: Agreement,
    /// What was found again at this level.
    pub unknowns: Vec<Unknown>,
    /// How well the rigid body follows what was found, and how little the feedback had to do.
    pub tracking: Tracking,
    /// Controls that would have to go further or faster than they can; empty when all is within limits.
    pub excesses: Vec<Excess>,
    /// What the form asks and is not quite met, each within its tolerance; empty when all is met. More than the tolerance and there is
    /// no flight: [`NotFlown::Open`].
    pub misses: Vec<Missed>,
    /// Corners of the schedule are spread over this time, s.
    pub rounding_s: f64,
    /// Forces of hand and foot are known.
    pub forces_known: bool,
}

/// A condition of the form that is not quite met, or lift that lacked for a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Missed {
    /// What.
    pub what: &'static str,
    /// By how much, signed.
    pub miss: f64,
    /// How much is let pass.
    pub tolerance: f64,
    /// Unit of both.
    pub unit: &'static str,
    /// Where, rad of progress.
    pub progress_rad: f64,
}

impl std::fmt::Display for Missed {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { what, miss, tolerance, unit, progress_rad } = self;
        let at = progress_rad / RAD_PER_DEG;
        write!(
            out,
            "{what} is missed by {miss:.2} {unit} after {at:.0} degrees ({tolerance:.2} let pass)"
        )
    }
}

/// Hands and feet at one instant. Deflections are in the sense of the moment that they give: nose up, right wing down, nose
/// right positive; stick back, stick right and right pedal forward positive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlSample {
    /// Time of the sample, s.
    pub time_s: f64,
    /// Progress of the part, rad.
    pub progress_rad: f64,
    /// Stick or wheel aft, share of travel.
    pub stick_back: f64,
    /// Stick or wheel to the right, share of travel.
    pub stick_right: f64,
    /// Right pedal, share of travel.
    pub pedal_right: f64,
    /// Elevator, trailing edge up positive, rad.
    pub elevator_rad: f64,
    /// Aileron, right one up positive, rad.
    pub aileron_rad: f64,
    /// Rudder, trailing edge right positive, rad.
    pub rudder_rad: f64,
    /// Pull, N; `None` when the gradients are not known.
    pub stick_back_n: Option<f64>,
    /// Force to the right, N.
    pub stick_right_n: Option<f64>,
    /// Force on the right pedal, N.
    pub pedal_right_n: Option<f64>,
    /// Throttle, nil to one.
    pub throttle: f64,
    /// Elevator trim, share of its range in the sense of travel: set at entry, left alone; nil when there is none.
    pub trim: f64,
    /// Sideslip, wind from the right positive, rad.
    pub sideslip_rad: f64,
    /// Lateral specific force where the ball is, over the normal one, as an angle, rad: the ball lies to the left when positive.
    pub ball_rad: f64,
    /// Why: every deflection split by cause, rad, in the sense of the deflections above; the parts sum to them.
    pub causes: Causes,
}

/// Why there is no flight at six degrees.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotFlown {
    /// The airplane has no data for it.
    #[error("{0}")]
    NoData(#[from] NoSixDegree),
    /// Nothing is known of its flaps.
    #[error("{0}")]
    Flaps(#[from] NoFlaps),
    /// It cannot be begun.
    #[error("no steady flight at entry at six degrees of freedom: {0}")]
    Entry(flight::trim::Stop),
    /// What is asked is no condition of flight.
    #[error("entry at six degrees of freedom: {0}")]
    Conditions(#[from] flight::trim::ConditionsError),
    /// The airplane does not give it.
    #[error("after {:.0} degrees: {shortfall}", .progress_rad / RAD_PER_DEG)]
    Short {
        /// Where, rad of progress.
        progress_rad: f64,
        /// What lacks.
        shortfall: Shortfall,
    },
    /// More power than there is.
    #[error("needs {:.0} % of full power at six degrees of freedom", 100.0 * .needed_share)]
    Power {
        /// Share of full power.
        needed_share: f64,
    },
    /// The conditions of the form are not met together.
    #[error("the form does not close at six degrees of freedom: {0}")]
    Open(
        /// The condition that is missed most, against its tolerance.
        Missed,
    ),
    /// Nothing to fly.
    #[error("the reference flight has no samples")]
    Empty,
}

impl NotFlown {
    /// As [`std::fmt::Display`] says it, with the place of the figure named.
    #[must_use]
    pub fn words(&self, reference: &ReferenceFlight) -> String {
        match self {
            Self::Short { progress_rad, shortfall } => {
                let place = reference.place_words(progress_rad / RAD_PER_DEG);
                format!("{place}: {shortfall}")
            }
            other => other.to_string(),
        }
    }
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::NoData(inner) => inner.hint(),
            Self::Flaps(inner) => inner.hint(),
            Self::Entry(inner) => inner.hint(),
            Self::Conditions(inner) => inner.hint(),
            Self::Short { shortfall, .. } => shortfall.hint(),
            Self::Power { .. } => "fly it lighter or lower, or choose a shallower form",
            Self::Open(_) => "enter faster, lighter or lower, or choose another form",
            Self::Empty => "solve the reference flight first",
        }
    }
}

/// Flies a reference flight at six degrees of freedom, the flaps where its form has them.
///
/// # Errors
/// Why it is not flown: no data, or what the airplane does not give. Controls beyond their limits are no error: see
/// [`RigidFlight::excesses`].
pub fn fly(
    airplane: &Airplane,
    day: &Day,
    entry: &Entry,
    reference: &ReferenceFlight,
) -> Result<RigidFlight, NotFlown> {
    let flaps =
        catalog::find(reference.maneuver).map_or(Flaps::Up, |known| known.flaps(&entry.form));
    let airplane = flaps.set(airplane)?;
    let plane = plane::Plane::new(&airplane, day, entry, reference)?;
    let found = search::search(&plane)?;
    Ok(series::flight(&plane, &found))
}

#[cfg(test)]
mod tests;
