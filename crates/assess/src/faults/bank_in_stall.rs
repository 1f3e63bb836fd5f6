//! Bank in the stall.

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "bank-in-stall",
    what: "a stall straight ahead was flown with bank on, or a wing dropped",
    why: "the lower wing stalls deeper, and aileron then makes it worse",
    measured: "bank over 10 degrees between the slowest point and five seconds later",
    remedy: "wings level with the rudder until the wing flies again, then with the ailerons",
    causes: &["yaw not stopped before the break", "aileron used against a dropping wing"],
    drill: "dual: the approach with the nose held on a point by the feet, wings level to the break",
    sided: false,
    mend: None,
    source: "ACS-P",
    look,
};

const MOST_DEG: f64 = 10.0;
const ALLOWED_DEG: f64 = 5.0;
const AFTER: usize = 20;

fn look(seen: &Seen<'_>) -> Option<Past> {
    if !(seen.is("power-off-stall") || seen.is("power-on-stall")) || seen.turning_entry() {
        return None;
    }
    let slowest = seen.slowest();
    let bank = |i: usize| {
        let bank = seen.part.bank(i);
        Estimate { value: bank.value.abs(), sigma: bank.sigma }
    };
    let (_, most) =
        crate::part::Part::extreme(slowest..=(slowest + AFTER).min(seen.part.end), 1.0, bank)?;
    let severity = above(most, MOST_DEG, ALLOWED_DEG)?;
    Some(Past { evidence: format!("bank {} in the stall", told(most, "°")), severity })
}
