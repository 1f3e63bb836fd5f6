//! Uneven halves.

use crate::part::Part;

use super::{Estimate, Fault, Past, Seen, above, told};

pub(super) const FAULT: Fault = Fault {
    id: "uneven-halves",
    what: "the two halves of the figure are not alike",
    why: "a lazy eight and S-turns are judged by their symmetry",
    measured: "crest more than 100 ft or slowest speed more than 10 kt apart; S-turns: radii more than a fifth apart; told at the second half",
    remedy: "use the eye line from the seat, not the center of the cowl; fly both sides to the same picture",
    causes: &[
        "the center of the cowl was used instead of the eye line",
        "one side flown to the numbers, the other by feel",
    ],
    drill: "one half to the weak side, three times, between two good ones",
    sided: true,
    mend: None,
    source: "training-aid",
    look,
};

const CREST_FT: f64 = 100.0;
const SLOWEST_KT: f64 = 10.0;
/// The deviation of one half is told there; that they differ is less.
const LIGHTLY: f64 = 0.5;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let other = seen.other.filter(|other| other.start < seen.part.start)?;
    if !(seen.is("lazy-eight") || seen.is("wing-over")) {
        return None;
    }
    let apart = |sign: f64, of: &dyn Fn(&Part<'_>, usize) -> Estimate| {
        let one = Part::extreme(seen.part.all(), sign, |i| of(seen.part, i))?.1;
        let before = Part::extreme(other.all(), sign, |i| of(other, i))?.1;
        let sigma = base::math::hypot(one.sigma, before.sigma);
        Some(Estimate { value: (one.value - before.value).abs(), sigma })
    };
    let crest = apart(1.0, &|part, i| part.height_change(i))?;
    if let Some(severity) = above(crest, CREST_FT, CREST_FT) {
        return Some(Past {
            evidence: format!("crests {} apart", told(crest, " ft")),
            severity: LIGHTLY * severity,
        });
    }
    let cas = |part: &Part<'_>, i: usize| {
        let line = &part.trace.cas_kt;
        Estimate { value: line.value[i], sigma: line.sigma[i] }
    };
    let slowest = apart(-1.0, &cas)?;
    let severity = LIGHTLY * above(slowest, SLOWEST_KT, SLOWEST_KT)?;
    Some(Past { evidence: format!("slowest speeds {} apart", told(slowest, " kt")), severity })
}
