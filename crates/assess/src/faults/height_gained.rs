//! Height gained.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "height-gained",
    what: "higher at the end, or on the way, than the figure allows",
    why: "the two sides of the figure are not alike, or too much is pulled for the bank",
    measured: "level figures: more than 100 ft above entry anywhere; lazy eight and wing-over: more than 100 ft above entry at the end",
    remedy: "steep turn: relax the pull as the bank comes off; else: less power, or let the nose fall further below the horizon",
    causes: &[
        "the pull was kept in the roll-out",
        "the pull came early in the roll-in",
        "too much power for the figure",
    ],
    drill: "roll in and out of a level turn without looking inside: release the pull as the bank comes off",
    sided: true,
    mend: Some(Mend::HeightHeld),
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_FT: f64 = 100.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let key = if seen.level() { "height_change_greatest_ft" } else { "height_change_at_end_ft" };
    let height = seen.get(key).filter(|_| seen.comes_back())?;
    let severity = above(height, ALLOWED_FT, ALLOWED_FT)?;
    Some(Past { evidence: format!("height {} against entry", told(height, " ft")), severity })
}
