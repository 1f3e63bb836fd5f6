//! Re-flight: a recorded attempt flown again with one thing mended, all else as the student flew it.
//!
//! * `flown`: what the student did, inferred from the motion: bank and attitude (or path, where a figure holds its height)
//!   against how far the figure has come, thrust against time, and the side force that the coordinated point mass does not explain.
//! * `fly`: the same equations run forward. The clock of the controls is the progress of the figure, not time: where the edited
//!   flight turns slower than the recorded one, so do the controls. The residual force is replayed, so that nothing edited gives
//!   the recorded attempt back, number by number.
//! * `mend`: the edits, one cause each.
//! * `outcome`: what would have come of it, with its uncertainty, and the sentence.
//! * `polar`: drag, incidence and stall, of the airplane where it is known, of a usual light single where not.
//!
//! What is replayed is what a pilot does, not what came of it: an attitude kept against the horizon, a bank, a throttle. Load replayed
//! against time runs away; the recorded path tracked would mend everything and prove nothing.

mod flown;
mod fly;
mod mend;
mod outcome;
mod polar;
#[cfg(test)]
mod tests;

pub use mend::Mend;
pub use outcome::{Refly, ReflyFigure};

use crate::part::Part;
use flown::Flown;
use polar::Polar;

/// What is taken as wanted where the form does not say it.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Intent {
    /// Bank to be held, degrees.
    pub(crate) bank_deg: Option<f64>,
}

/// Flies a part again with one thing mended; `other` is the other half of a figure of two. `None` when the motion does not tell
/// enough, or when the part leaves nothing of this kind to mend.
pub(crate) fn refly(
    part: &Part<'_>,
    other: Option<&Part<'_>>,
    mend: Mend,
    intent: Intent,
) -> Option<Refly> {
    refly_by(part, other, mend, (intent, Polar::of(part)))
}

/// Thrust over weight, at the speed of entry, before and after it fell most: means over three seconds. `None` when it did not fall,
/// or the motion does not tell it.
pub(crate) fn power(part: &Part<'_>) -> Option<(f64, f64)> {
    let polar = Polar::of(part);
    let flown = Flown::of(part, &polar, flown::Doubt::NONE)?;
    mend::power(&flown, &polar)
}

fn refly_by(
    part: &Part<'_>,
    other: Option<&Part<'_>>,
    mend: Mend,
    (intent, polar): (Intent, Polar),
) -> Option<Refly> {
    let flown = Flown::of(part, &polar, flown::Doubt::NONE)?;
    let other = other.and_then(|other| Flown::of(other, &polar, flown::Doubt::NONE));
    let subject =
        mend::Subject { part, flown: &flown, other: other.as_ref(), polar: &polar, intent };
    let script = mend.script(&subject)?;
    Some(outcome::tell(&subject, mend, &script))
}
