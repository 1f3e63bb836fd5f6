//! Bank too steep.

use crate::refly::Mend;

use super::{Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "bank-too-steep",
    what: "more bank than the form of the figure asks",
    why: "load and stall speed grow with it; a chandelle arrives before its speed is used, a steep turn begins to sink",
    measured: "mean bank where it is held, bank at the 90-degree point where it is not",
    remedy: "hold against the overbanking tendency with a little opposite aileron; look at the horizon across the cowl",
    causes: &["overbanking tendency not held against", "bank set by feel, not by the horizon"],
    drill: "roll to the bank and hold it for ten seconds without pulling, both ways, reading the bank after saying it",
    sided: true,
    mend: Some(Mend::BankHeld),
    source: "AFH-3C",
    look,
};

fn look(seen: &Seen<'_>) -> Option<Past> {
    let (bank, words, wanted) = seen.bank_of_form()?;
    let severity = above(bank, wanted.high, wanted.allowed)?;
    Some(Past {
        evidence: format!("{words} {}, at most {:.0}° wanted", told(bank, "°"), wanted.high),
        severity,
    })
}
