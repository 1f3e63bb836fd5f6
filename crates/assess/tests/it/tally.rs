//! Verdicts counted against those of the truth, by maneuver and row; shared by the tests of several crates.

use std::collections::BTreeMap;

use assess::Verdict;
use assess::attempt::{Attempt, AttemptPart, Finding};
use assess::debrief::Debrief;

/// Verdicts on one row: right, wrong, cannot tell.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Count {
    right: usize,
    wrong: usize,
    cannot: usize,
    /// Squares of the errors in sigmas, and the sigmas, summed.
    squares: f64,
    sigmas: f64,
    /// Of those whose band is no wider than half of the tolerance: all, and those that could not be told.
    supported: usize,
    supported_cannot: usize,
}

impl Count {
    pub(crate) const fn all(self) -> usize {
        self.right + self.wrong + self.cannot
    }
    pub(crate) fn wrong_share(self) -> f64 {
        self.wrong as f64 / self.all().max(1) as f64
    }
    pub(crate) fn supported_share(self) -> f64 {
        self.supported_cannot as f64 / self.supported.max(1) as f64
    }
    pub(crate) fn cannot_share(self) -> f64 {
        self.cannot as f64 / self.all().max(1) as f64
    }
}

/// Whether the sensors support a row: the 95 % band of what was read is no wider than half of what is allowed. A row with one edge
/// has no width, and is supported.
fn is_supported(finding: &Finding) -> bool {
    let Some(read) = finding.estimate else { return false };
    let width = finding.high.zip(finding.low).map_or(f64::INFINITY, |(high, low)| high - low);
    2.0 * 1.96 * read.sigma <= 0.5 * width
}

/// Counts by maneuver and row.
#[derive(Debug, Default)]
pub(crate) struct Tally(BTreeMap<(&'static str, String), Count>);

impl Tally {
    /// Rows that the truth gives no verdict on, and attempts that were not found alike, are not counted.
    pub(crate) fn add(&mut self, truth: &Debrief, found: &Debrief) {
        for wanted in &truth.attempts {
            let Some(attempt) = found.attempts.iter().find(|one| alike(wanted, one)) else {
                continue;
            };
            for (row, right) in findings(wanted) {
                let same = findings(attempt).into_iter().find(|(key, _)| *key == row);
                let Some((_, said)) = same.filter(|_| right.verdict != Verdict::CannotTell) else {
                    continue;
                };
                let count = self.0.entry((wanted.maneuver, right.id.clone())).or_default();
                if let (Some(exact), Some(read)) = (right.estimate, said.estimate) {
                    count.squares += ((read.value - exact.value) / read.sigma).powi(2);
                    count.sigmas += read.sigma;
                }
                let unsure = said.verdict == Verdict::CannotTell && said.estimate.is_some();
                if is_supported(said) {
                    count.supported += 1;
                    count.supported_cannot += usize::from(unsure);
                }
                match said.verdict {
                    Verdict::CannotTell if said.estimate.is_none() => {}
                    Verdict::CannotTell => count.cannot += 1,
                    verdict if verdict == right.verdict => count.right += 1,
                    _ => count.wrong += 1,
                }
            }
        }
    }
    pub(crate) fn total(&self) -> Count {
        self.0.values().fold(Count::default(), |sum, one| Count {
            right: sum.right + one.right,
            wrong: sum.wrong + one.wrong,
            cannot: sum.cannot + one.cannot,
            supported: sum.supported + one.supported,
            supported_cannot: sum.supported_cannot + one.supported_cannot,
            ..sum
        })
    }
    pub(crate) fn print(&self, what: &str) {
        for ((maneuver, row), count) in &self.0 {
            println!(
                "{what}: {maneuver} {row}: {} verdicts, {} wrong, {} cannot tell; error {:.2} sigma of {:.2}; supported {}, cannot tell {}",
                count.all(),
                count.wrong,
                count.cannot,
                (count.squares / count.all().max(1) as f64).sqrt(),
                count.sigmas / count.all().max(1) as f64,
                count.supported,
                count.supported_cannot
            );
        }
        let total = self.total();
        println!(
            "{what}: {} verdicts, wrong {:.1} %, cannot tell {:.1} %; {} where the sensors support the row, cannot tell {:.1} %",
            total.all(),
            100.0 * total.wrong_share(),
            100.0 * total.cannot_share(),
            total.supported,
            100.0 * total.supported_share()
        );
    }
}

/// The same attempt in two debriefs: begun and ended at the same moments, as far as the search can be asked for.
fn alike(a: &Attempt, b: &Attempt) -> bool {
    const APART_S: f64 = 3.0;
    let same = |(a, b): (&AttemptPart, &AttemptPart)| {
        (a.start_s - b.start_s).abs() < APART_S && (a.end_s - b.end_s).abs() < APART_S
    };
    let parts = a.parts.len() == b.parts.len() && a.parts.iter().zip(&b.parts).all(same);
    a.maneuver == b.maneuver && parts
}

/// Findings with the part they belong to.
fn findings(attempt: &Attempt) -> Vec<((usize, &str), &Finding)> {
    let parts = attempt.parts.iter().enumerate();
    let of_parts =
        parts.flat_map(|(k, part)| part.findings.iter().map(move |f| ((k + 1, f.id.as_str()), f)));
    attempt.findings.iter().map(|f| ((0, f.id.as_str()), f)).chain(of_parts).collect()
}
