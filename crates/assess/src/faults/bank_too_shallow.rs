//! Bank too shallow.

use crate::refly::Mend;

use super::{Fault, Past, Seen, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "bank-too-shallow",
    what: "less bank than the form of the figure asks",
    why: "the turn takes too long: a chandelle runs out of speed before its turn is made",
    measured: "mean bank where it is held, bank at the 90-degree point where it is not",
    remedy: "set the bank first and check it against the horizon before pulling",
    causes: &["bank set by feel, not by the horizon", "bank taken off while pulling"],
    drill: "roll to the bank and hold it for ten seconds without pulling, both ways, reading the bank after saying it",
    sided: false,
    mend: Some(Mend::BankHeld),
    source: "AFH-3C",
    look,
};

fn look(seen: &Seen<'_>) -> Option<Past> {
    let (bank, words, wanted) = seen.bank_of_form()?;
    let severity = below(bank, wanted.low, wanted.allowed)?;
    Some(Past {
        evidence: format!("{words} {}, at least {:.0}° wanted", told(bank, "°"), wanted.low),
        severity,
    })
}
