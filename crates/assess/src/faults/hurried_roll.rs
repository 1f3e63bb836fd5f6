//! Hurried roll.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "hurried-roll",
    what: "the bank went on faster than the figure unfolds",
    why: "pitch has no time to build: the crest is low and the 45-degree point comes too early",
    measured: "bank at 45 degrees of turn: over 25 in a lazy eight, over three quarters of the steepest in a wing-over",
    remedy: "slower roll; let the pitch lead the bank",
    causes: &[
        "bank moved with time instead of with the turn",
        "pitch was waited for with the bank already on",
    ],
    drill: "the first 45 degrees alone: pitch leads, bank follows, back to level",
    sided: false,
    mend: Some(Mend::RollRate),
    source: "training-aid",
    look,
};

/// In a lazy eight 15 to 25 degrees of bank are usual at the 45-degree point.
const LAZY_EIGHT_MOST_DEG: f64 = 25.0;
/// In a wing-over half to two thirds of the bank are usual at the 45-degree point.
const WING_OVER_SHARE: f64 = 0.75;
const ALLOWED_DEG: f64 = 5.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let bank = seen.get("bank_at_45_deg")?;
    let line_deg = match seen.part.maneuver {
        "lazy-eight" => LAZY_EIGHT_MOST_DEG,
        "wing-over" => WING_OVER_SHARE * seen.get("bank_greatest_deg")?.value,
        _ => return None,
    };
    let severity = above(bank, line_deg, ALLOWED_DEG)?;
    Some(Past {
        evidence: format!("bank at 45° of turn {}, at most {line_deg:.0}° wanted", told(bank, "°")),
        severity,
    })
}
