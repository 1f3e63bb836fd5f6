//! The faults that can be named from measures. One more fault is one more file here and one more line in [`ALL`].
//!
//! A fault is named only when the measure lies past its line by more than its uncertainty explains: the chance that noise
//! alone brought it there is below one in twenty. Lines are those of the published standard where it has a number; else marking
//! bands of our own, labelled `training-aid`.

mod ballooned;
mod bank_in_stall;
mod bank_too_shallow;
mod bank_too_steep;
mod drifts_downwind;
mod height_gained;
mod height_lost;
mod hurried_roll;
mod late_recovery;
mod loop_not_round;
mod near_stall;
mod nose_dropped;
mod nose_low_at_the_end;
mod off_heading;
mod overbanked;
mod pinched_top;
mod pitch_rate_dies;
mod pitch_too_high_too_early;
mod pivotal_height;
mod power_changed;
mod pull_late;
mod radius_varies;
mod recovered_early;
mod roll_out_hunting;
mod rolled_out_early;
mod rolled_out_late;
mod secondary_stall;
mod seen;
mod slow_flight_too_fast;
mod slow_flight_too_slow;
mod speed_high_at_the_end;
mod speed_low_at_the_end;
mod speed_not_held;
mod stalled;
mod stopped_short;
mod uncoordinated;
mod uneven_halves;
mod wind_correction_missing;

use crate::attempt::{Estimate, FaultFound};
use crate::refly::Mend;
use base::written::fixed;
pub(crate) use seen::Seen;

/// Every fault.
pub const ALL: &[&Fault] = &[
    &rolled_out_early::FAULT,
    &stopped_short::FAULT,
    &rolled_out_late::FAULT,
    &bank_too_steep::FAULT,
    &bank_too_shallow::FAULT,
    &overbanked::FAULT,
    &hurried_roll::FAULT,
    &roll_out_hunting::FAULT,
    &pitch_too_high_too_early::FAULT,
    &pitch_rate_dies::FAULT,
    &nose_low_at_the_end::FAULT,
    &nose_dropped::FAULT,
    &height_lost::FAULT,
    &height_gained::FAULT,
    &pull_late::FAULT,
    &ballooned::FAULT,
    &speed_high_at_the_end::FAULT,
    &speed_low_at_the_end::FAULT,
    &speed_not_held::FAULT,
    &power_changed::FAULT,
    &uncoordinated::FAULT,
    &near_stall::FAULT,
    &stalled::FAULT,
    &recovered_early::FAULT,
    &late_recovery::FAULT,
    &secondary_stall::FAULT,
    &bank_in_stall::FAULT,
    &slow_flight_too_fast::FAULT,
    &slow_flight_too_slow::FAULT,
    &radius_varies::FAULT,
    &drifts_downwind::FAULT,
    &wind_correction_missing::FAULT,
    &pivotal_height::FAULT,
    &uneven_halves::FAULT,
    &loop_not_round::FAULT,
    &pinched_top::FAULT,
    &off_heading::FAULT,
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
    /// What usually brings it about.
    pub causes: &'static [&'static str],
    /// What to practise against it.
    pub drill: &'static str,
    /// Whether the hands and feet against it differ from left to right.
    pub sided: bool,
    /// The re-flight that mends it.
    pub mend: Option<Mend>,
    /// Source key of the line and of the advice.
    pub source: &'static str,
    look: fn(&Seen<'_>) -> Option<Past>,
}

impl Fault {
    /// Whether a part shows it.
    fn is_seen(&self, seen: &Seen<'_>) -> bool {
        (self.look)(seen).is_some()
    }
    /// What to try in this maneuver: of "steep turn: ...; else: ..." the clause that is meant.
    #[must_use]
    pub fn remedy_in(&self, maneuver: &str) -> &'static str {
        let Some((first, rest)) = self.remedy.split_once("; else: ") else { return self.remedy };
        match first.split_once(": ") {
            Some((name, words)) if name.replace(' ', "-") == maneuver => words,
            _ => rest,
        }
    }
}

/// The fault of a key.
#[must_use]
pub fn of(id: &str) -> Option<&'static Fault> {
    ALL.iter().copied().find(|fault| fault.id == id)
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
    format!("{} ± {half:.0}{unit}", fixed(estimate.value, 0))
}

/// The same with two decimals.
fn told_fine(estimate: Estimate, unit: &str) -> String {
    let half = base::numerics::statistics::SIGMAS_OF_95_PERCENT * estimate.sigma;
    format!("{} ± {half:.2}{unit}", fixed(estimate.value, 2))
}

/// Faults of how a figure is ended: not to be seen where the recording ends with it.
const OF_THE_END: [&str; 6] = [
    rolled_out_early::FAULT.id,
    stopped_short::FAULT.id,
    speed_high_at_the_end::FAULT.id,
    speed_low_at_the_end::FAULT.id,
    nose_low_at_the_end::FAULT.id,
    off_heading::FAULT.id,
];

/// The faults of a part, worst first.
pub(crate) fn find(seen: &Seen<'_>) -> Vec<FaultFound> {
    let whole = |fault: &&&Fault| !(seen.part.is_cut() && OF_THE_END.contains(&fault.id));
    let named = |fault: &&&Fault| {
        (fault.look)(seen).map(|past| FaultFound {
            id: fault.id,
            evidence: past.evidence,
            severity: past.severity,
            cause: None,
            refly: None,
        })
    };
    let looked_for = ALL.iter().filter(whole);
    let mut found: Vec<FaultFound> = looked_for.filter_map(|fault| named(&fault)).collect();
    found.sort_by(|a, b| b.severity.total_cmp(&a.severity));
    found
}
