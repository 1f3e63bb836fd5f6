//! Height lost.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "height-lost",
    what: "lower at the end, or on the way, than the figure allows",
    why: "height is the first thing that a recovery needs",
    measured: "level figures: more than 100 ft below entry anywhere; lazy eight and wing-over: more than 100 ft below entry at the end",
    remedy: "steep turn: take bank off first, then raise the nose; else: raise the nose sooner after the 135-degree point",
    causes: &[
        "the nose dropped as the bank crept on",
        "the pull came late in the roll-in",
        "the nose was brought up too late in the second half",
    ],
    drill: "level turns at 30, then 45 degrees of bank: nose on its place on the horizon within two seconds of the bank being set",
    sided: true,
    mend: Some(Mend::HeightHeld),
    source: "ACS-C",
    look,
};

/// The tolerance of the published standard.
const ALLOWED_FT: f64 = 100.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let key = if seen.level() { "height_change_least_ft" } else { "height_change_at_end_ft" };
    let height = seen.get(key).filter(|_| seen.comes_back())?;
    let severity = below(height, -ALLOWED_FT, ALLOWED_FT)?;
    Some(Past { evidence: format!("height {} against entry", told(height, " ft")), severity })
}
