//! The faults that can be named from measures. One more fault is one more file here and one more line in [`ALL`].
//!
//! A fault is named only when the measure lies past its line by more than its uncertainty explains: the chance that noise
//! alone brought it there is below one in twenty. Lines are those of the published standard where it has a number; else marking
//! bands of our own, labelled `training-aid`.

mod bank_too_shallow;
mod bank_too_steep;
mod height_gained;
mod height_lost;
mod hurried_roll;
mod nose_low_at_the_end;
mod pitch_too_high_too_early;
mod rolled_out_early;
mod rolled_out_late;
mod speed_high_at_the_end;
mod speed_low_at_the_end;
mod stopped_short;

use crate::attempt::{Estimate, FaultFound, Measure};
use crate::part::Part;

/// Every fault.
pub const ALL: &[&Fault] = &[
    &rolled_out_early::FAULT,
    &stopped_short::FAULT,
    &rolled_out_late::FAULT,
    &bank_too_steep::FAULT,
    &bank_too_shallow::FAULT,
    &hurried_roll::FAULT,
    &pitch_too_high_too_early::FAULT,
    &nose_low_at_the_end::FAULT,
    &height_lost::FAULT,
    &height_gained::FAULT,
    &speed_high_at_the_end::FAULT,
    &speed_low_at_the_end::FAULT,
];

/// A fault that can be named.
#[derive(Debug)]
pub struct Fault {
    /// Stable key, words of the trade.
    pub id: &'static str,
    /// What it is.
    pub what: &'static str,
    /// Why it matters.
    pub why: &'static str,
    /// How it is measured.
    pub measured: &'static str,
    /// What to try next time.
    pub remedy: &'static str,
    /// Source key of the line and of the advice.
    pub source: &'static str,
    look: fn(&Seen<'_>) -> Option<Past>,
}

/// What a fault looks at.
pub(crate) struct Seen<'a> {
    pub(crate) part: &'a Part<'a>,
    pub(crate) measures: &'a [Measure],
}

impl Seen<'_> {
    /// A measure by its key, when it could be had.
    fn get(&self, key: &str) -> Option<Estimate> {
        self.measures.iter().find(|measure| measure.key == key)?.estimate
    }
    fn is(&self, maneuver: &str) -> bool {
        self.part.maneuver == maneuver
    }
    /// Whether the figure is meant to end at entry height and speed.
    fn comes_back(&self) -> bool {
        !self.is("chandelle")
    }
    /// The bank that is judged against the form, and what the form asks: value, wanted, allowed above, allowed below.
    fn bank_of_form(&self) -> Option<(Estimate, &'static str, Wanted)> {
        let around =
            |wanted, allowed| Wanted { low: wanted - allowed, high: wanted + allowed, allowed };
        match (self.part.maneuver, self.part.form) {
            ("steep-turn", form) => {
                let wanted = match form {
                    "45" => 45.0,
                    "60" => 60.0,
                    _ => 50.0,
                };
                Some((
                    self.get("bank_mean_middle_deg")?,
                    "mean bank in the middle of the turn",
                    around(wanted, 5.0),
                ))
            }
            ("chandelle", "shallow") => Some((
                self.get("bank_mean_20_to_85_deg")?,
                "mean bank from 20° to 85° of turn",
                around(30.0, 5.0),
            )),
            ("lazy-eight", _) => {
                Some((self.get("bank_at_90_deg")?, "bank at 90° of turn", around(30.0, 6.0)))
            }
            ("wing-over", _) => {
                let wanted = Wanted { low: 60.0, high: 90.0, allowed: 10.0 };
                Some((self.get("bank_at_90_deg")?, "bank at 90° of turn", wanted))
            }
            _ => None,
        }
    }
}

/// What a form asks of the bank.
#[derive(Debug, Clone, Copy)]
struct Wanted {
    low: f64,
    high: f64,
    /// A unit of how bad it is.
    allowed: f64,
}

/// Past a line: what was seen, and how far in multiples of what is allowed.
#[derive(Debug, Clone, PartialEq)]
struct Past {
    evidence: String,
    severity: f64,
}

/// One-sided 95 % of a normal distribution, in standard deviations.
const SURE_SIGMAS: f64 = 1.645;

/// How far above a line, in multiples of `allowed` and counted from one at the line; `None` when not surely above.
fn above(estimate: Estimate, line: f64, allowed: f64) -> Option<f64> {
    let past = estimate.value - line;
    (past > SURE_SIGMAS * estimate.sigma).then_some(1.0 + past / allowed)
}

/// How far below a line; see [`above`].
fn below(estimate: Estimate, line: f64, allowed: f64) -> Option<f64> {
    above(Estimate { value: -estimate.value, sigma: estimate.sigma }, -line, allowed)
}

/// The number with its 95 % band, for the evidence.
fn told(estimate: Estimate, unit: &str) -> String {
    let half = base::numerics::statistics::SIGMAS_OF_95_PERCENT * estimate.sigma;
    format!("{:.0} ± {:.0}{unit}", estimate.value, half)
}

/// The faults of a part, worst first.
pub(crate) fn find(part: &Part<'_>, measures: &[Measure]) -> Vec<FaultFound> {
    let seen = Seen { part, measures };
    let named = |fault: &&&Fault| {
        (fault.look)(&seen).map(|past| FaultFound {
            id: fault.id,
            evidence: past.evidence,
            severity: past.severity,
        })
    };
    let mut found: Vec<FaultFound> = ALL.iter().filter_map(|fault| named(&fault)).collect();
    found.sort_by(|a, b| b.severity.total_cmp(&a.severity));
    found
}
