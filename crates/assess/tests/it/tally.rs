//! Verdicts counted against those of the truth, by maneuver and row; shared by the tests of several crates and by `cargo xtask
//! verdicts`.

use std::collections::BTreeMap;

use assess::Verdict;
use assess::attempt::{Attempt, AttemptPart, Estimate, Finding};
use assess::debrief::Debrief;

/// One row of one attempt, judged on the truth and on what was read.
pub(crate) struct Pair<'a> {
    pub(crate) maneuver: &'static str,
    pub(crate) truth: &'a Finding,
    pub(crate) said: &'a Finding,
}

impl Pair<'_> {
    /// Whether the sensors support the row: the 95 % band of what was read is no wider than half of what is allowed. A row with one
    /// edge has no width, and is supported.
    pub(crate) fn is_supported(&self) -> bool {
        let Some(read) = self.said.estimate else { return false };
        let width =
            self.said.high.zip(self.said.low).map_or(f64::INFINITY, |(high, low)| high - low);
        2.0 * 1.96 * read.sigma <= 0.5 * width
    }
    /// Whether the attempt was flown nearer to an edge than half of the 95 % band: whoever keeps to it can hardly tell.
    pub(crate) fn is_near_an_edge(&self) -> bool {
        let (Some(exact), Some(read)) = (self.truth.estimate, self.said.estimate) else {
            return false;
        };
        let near = |edge: f64| (exact.value - edge).abs() < 1.96 * read.sigma;
        [self.said.low, self.said.high].into_iter().flatten().any(near)
    }
    /// What was read less what was flown, and its sigma, where both have a number.
    pub(crate) fn error(&self) -> Option<Estimate> {
        let (exact, read) = (self.truth.estimate?, self.said.estimate?);
        Some(Estimate { value: read.value - exact.value, sigma: read.sigma })
    }
}

/// The rows of the attempts found in both. Rows that the truth gives no verdict on, and attempts that were not found alike, are left
/// out.
pub(crate) fn pairs<'a>(truth: &'a Debrief, found: &'a Debrief) -> Vec<Pair<'a>> {
    let mut out = Vec::new();
    for wanted in &truth.attempts {
        let Some(attempt) = found.attempts.iter().find(|one| alike(wanted, one)) else {
            continue;
        };
        for (row, right) in findings(wanted) {
            let same = findings(attempt).into_iter().find(|(key, _)| *key == row);
            let Some((_, said)) = same.filter(|_| right.verdict != Verdict::CannotTell) else {
                continue;
            };
            out.push(Pair { maneuver: wanted.maneuver, truth: right, said });
        }
    }
    out
}

/// Verdicts on one row: right, wrong, cannot tell.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Count {
    right: usize,
    wrong: usize,
    cannot: usize,
    /// Numbers read beside numbers flown: how many, squares of the errors in sigmas and the sigmas summed, how many within one and
    /// within 1.96 sigmas.
    read: usize,
    squares: f64,
    sigmas: f64,
    within: [usize; 2],
    /// Of those whose band is no wider than half of the tolerance: all, those that could not be told, and those flown near an edge.
    supported: usize,
    supported_cannot: usize,
    supported_near: usize,
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
    fn add(&mut self, pair: &Pair<'_>) {
        if let Some(error) = pair.error() {
            let off = error.value / error.sigma;
            self.read += 1;
            self.squares += off * off;
            self.sigmas += error.sigma;
            self.within[0] += usize::from(off.abs() <= 1.0);
            self.within[1] += usize::from(off.abs() <= 1.96);
        }
        let said = pair.said;
        let unsure = said.verdict == Verdict::CannotTell && said.estimate.is_some();
        if pair.is_supported() {
            self.supported += 1;
            self.supported_cannot += usize::from(unsure);
            self.supported_near += usize::from(pair.is_near_an_edge());
        }
        match said.verdict {
            Verdict::CannotTell if said.estimate.is_none() => {}
            Verdict::CannotTell => self.cannot += 1,
            verdict if verdict == pair.truth.verdict => self.right += 1,
            _ => self.wrong += 1,
        }
    }
    fn plus(self, one: Self) -> Self {
        Self {
            right: self.right + one.right,
            wrong: self.wrong + one.wrong,
            cannot: self.cannot + one.cannot,
            read: self.read + one.read,
            squares: self.squares + one.squares,
            sigmas: self.sigmas + one.sigmas,
            within: [self.within[0] + one.within[0], self.within[1] + one.within[1]],
            supported: self.supported + one.supported,
            supported_cannot: self.supported_cannot + one.supported_cannot,
            supported_near: self.supported_near + one.supported_near,
        }
    }
}

/// Counts by maneuver and row.
#[derive(Debug, Default)]
pub(crate) struct Tally(BTreeMap<(&'static str, String), Count>);

impl Tally {
    /// Counts what [`pairs`] gives.
    pub(crate) fn add(&mut self, truth: &Debrief, found: &Debrief) {
        for pair in pairs(truth, found) {
            self.0.entry((pair.maneuver, pair.truth.id.clone())).or_default().add(&pair);
        }
    }
    pub(crate) fn total(&self) -> Count {
        self.0.values().fold(Count::default(), |sum, one| sum.plus(*one))
    }
    /// The rows with the most that could not be told first; errors are told in sigmas and by the share within one and 1.96 of them.
    pub(crate) fn print(&self, what: &str) {
        let mut rows: Vec<_> = self.0.iter().collect();
        rows.sort_by_key(|(_, count)| std::cmp::Reverse((count.supported_cannot, count.cannot)));
        println!(
            "{what}: {:<44} {:>8} {:>5} {:>6}   {:>9} {:>6} {:>6}   {:>7} {:>7} {:>5} {:>5}",
            "",
            "verdicts",
            "wrong",
            "cannot",
            "supported",
            "cannot",
            "edge",
            "sigma",
            "errors",
            "68 %",
            "95 %"
        );
        for ((maneuver, row), count) in rows {
            let read = count.read.max(1) as f64;
            println!(
                "{what}: {:<44} {:>8} {:>5} {:>6}   {:>9} {:>6} {:>6}   {:>7.2} {:>7.2} {:>5.0} {:>5.0}",
                format!("{maneuver} {row}"),
                count.all(),
                count.wrong,
                count.cannot,
                count.supported,
                count.supported_cannot,
                count.supported_near,
                count.sigmas / read,
                (count.squares / read).sqrt(),
                100.0 * count.within[0] as f64 / read,
                100.0 * count.within[1] as f64 / read
            );
        }
        let total = self.total();
        println!(
            "{what}: {} verdicts, wrong {:.1} %, cannot tell {:.1} %; {} where the sensors support the row, cannot tell {:.1} %, flown nearer to an edge than the band reaches {:.1} %",
            total.all(),
            100.0 * total.wrong_share(),
            100.0 * total.cannot_share(),
            total.supported,
            100.0 * total.supported_share(),
            100.0 * total.supported_near as f64 / total.supported.max(1) as f64
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
