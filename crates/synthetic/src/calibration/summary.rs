//! From the errors of attempts to figures with intervals.

use super::{Errors, Scored};
use crate::dice::Dice;

/// Figures of one quantity over attempts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Attempts in which the motion had the quantity.
    pub attempts: usize,
    /// Root mean square of the error, in the unit of the quantity.
    pub rms: f64,
    /// Share of samples inside the 95 % band.
    pub cover: f64,
    /// Interval of that share that holds 95 % of draws of the attempts.
    pub cover_interval: (f64, f64),
    /// Root mean square of error over sigma.
    pub ratio: f64,
    /// Its interval.
    pub ratio_interval: (f64, f64),
}

impl Summary {
    /// Whether the interval of the share holds 0.95 and the ratio lies in 0.85 to 1.15.
    #[must_use]
    pub fn calibrated(&self) -> bool {
        let (low, high) = self.cover_interval;
        (low..=high).contains(&0.95) && (0.85..=1.15).contains(&self.ratio)
    }
}

/// Times that the attempts are drawn anew.
const DRAWS: usize = 400;

/// Figures of the quantity with this index over attempts; `None` when none has it. The intervals are those of the bootstrap:
/// attempts drawn anew with replacement. Linear in draws times attempts.
#[must_use]
pub fn summarize<'a>(
    scored: impl IntoIterator<Item = &'a Scored>,
    quantity: usize,
) -> Option<Summary> {
    let each: Vec<Errors> = scored
        .into_iter()
        .map(|attempt| attempt.errors[quantity])
        .filter(|errors| errors.n > 0.0)
        .collect();
    if each.is_empty() {
        return None;
    }
    let whole = sum(each.iter().copied());
    let mut dice = Dice::new(each.len() as u64, 50 + quantity as u64);
    let mut covers = Vec::with_capacity(DRAWS);
    let mut ratios = Vec::with_capacity(DRAWS);
    for _ in 0..DRAWS {
        let drawn = (0..each.len()).map(|_| {
            let index = (dice.share() * each.len() as f64) as usize;
            each[index.min(each.len() - 1)]
        });
        let drawn = sum(drawn);
        covers.push(drawn.inside / drawn.n);
        ratios.push((drawn.normalized / drawn.n).sqrt());
    }
    Some(Summary {
        attempts: each.len(),
        rms: (whole.squares / whole.n).sqrt(),
        cover: whole.inside / whole.n,
        cover_interval: middle(&mut covers),
        ratio: (whole.normalized / whole.n).sqrt(),
        ratio_interval: middle(&mut ratios),
    })
}

fn sum(each: impl Iterator<Item = Errors>) -> Errors {
    each.fold(Errors::default(), |sum, one| Errors {
        n: sum.n + one.n,
        squares: sum.squares + one.squares,
        normalized: sum.normalized + one.normalized,
        inside: sum.inside + one.inside,
    })
}

/// The middle 95 % of values.
fn middle(values: &mut [f64]) -> (f64, f64) {
    values.sort_by(f64::total_cmp);
    let at = |share: f64| values[((values.len() - 1) as f64 * share).round() as usize];
    (at(0.025), at(0.975))
}

#[cfg(test)]
mod tests {
    use super::{Scored, Summary, summarize};
    use crate::calibration::{Errors, Group, QUANTITIES};
    use crate::dice::Dice;

    /// Attempts whose errors share a part each, as those of a reconstruction do, against a sigma that is `told` times theirs.
    fn drawn(told: f64) -> Summary {
        let mut dice = Dice::new(8, 1);
        let attempt = |dice: &mut Dice| {
            let mut errors = vec![Errors::default(); QUANTITIES.len()];
            let shared = dice.normal();
            for _ in 0..80 {
                let error = 0.6 * shared + 0.8 * dice.normal();
                errors[0].add(error, told);
            }
            Scored { seed: 0, group: Group::Coordinated, figure: "drawn", errors }
        };
        let scored: Vec<Scored> = (0..1200).map(|_| attempt(&mut dice)).collect();
        assert!(summarize(&scored, 1).is_none(), "nothing was counted");
        summarize(&scored, 0).expect("errors")
    }

    #[test]
    fn prop_honest_sigmas_are_found_calibrated_and_others_not() {
        let honest = drawn(1.0);
        assert!(honest.calibrated(), "{honest:?}");
        assert!((honest.rms - 1.0).abs() < 0.05 && (honest.ratio - 1.0).abs() < 0.05, "{honest:?}");
        for told in [0.8, 1.25] {
            let wrong = drawn(told);
            assert!(!wrong.calibrated(), "{wrong:?}");
            assert!((wrong.ratio * told - 1.0).abs() < 0.05, "{wrong:?}");
        }
    }

    #[test]
    fn a_sigma_of_nil_is_outside() {
        let mut errors = Errors::default();
        errors.add(0.1, 0.0);
        errors.add(f64::NAN, 1.0);
        errors.add(0.1, 1.0);
        assert!((errors.inside - 1.0).abs() < 1e-12 && errors.normalized.is_infinite());
    }
}
