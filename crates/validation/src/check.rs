//! One comparison with the outside, and the usual ways to make it.

/// How a comparison came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// Within the tolerance.
    Met,
    /// Outside, or not a number.
    NotMet,
    /// Not made: what it needs is not here.
    Skipped,
}

impl Verdict {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::NotMet => "not met",
            Self::Skipped => "skipped",
        }
    }
}

/// One comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Stable key, unique over all groups: lower-case words with hyphens, beginning with the group's key.
    pub id: String,
    /// Key of its group; filled in by [`crate::Group::run`].
    pub group: &'static str,
    /// What the engine gives.
    pub value: Option<f64>,
    /// What it should be; the bound where it is a bound.
    pub reference: Option<f64>,
    /// Value less reference; for a bound, by how much it is passed (nil when it is kept).
    pub difference: Option<f64>,
    /// Greatest difference allowed, either way.
    pub tolerance: Option<f64>,
    /// Unit of all four.
    pub unit: &'static str,
    /// Key of the source and the place in it.
    pub source: String,
    /// How it came out.
    pub verdict: Verdict,
    /// What else must be said; may be empty.
    pub note: String,
}

impl Check {
    /// Value against reference with an absolute tolerance.
    #[must_use]
    pub fn absolute(
        id: impl Into<String>,
        (value, reference, tolerance): (f64, f64, f64),
        unit: &'static str,
        source: impl Into<String>,
    ) -> Self {
        let difference = value - reference;
        let met = difference.abs() <= tolerance;
        Self::made(id.into(), [value, reference, difference, tolerance], met, unit, source.into())
    }
    /// Value against reference with a tolerance that is a share of the reference.
    #[must_use]
    pub fn relative(
        id: impl Into<String>,
        (value, reference, share): (f64, f64, f64),
        unit: &'static str,
        source: impl Into<String>,
    ) -> Self {
        Self::absolute(id, (value, reference, share * reference.abs()), unit, source)
    }
    /// Value that must not exceed a bound.
    #[must_use]
    pub fn at_most(
        id: impl Into<String>,
        (value, bound): (f64, f64),
        unit: &'static str,
        source: impl Into<String>,
    ) -> Self {
        let passed = if value <= bound { 0.0 } else { value - bound };
        Self::made(id.into(), [value, bound, passed, 0.0], value <= bound, unit, source.into())
            .with_note("at most")
    }
    /// Value that must reach a bound.
    #[must_use]
    pub fn at_least(
        id: impl Into<String>,
        (value, bound): (f64, f64),
        unit: &'static str,
        source: impl Into<String>,
    ) -> Self {
        let passed = if value >= bound { 0.0 } else { value - bound };
        Self::made(id.into(), [value, bound, passed, 0.0], value >= bound, unit, source.into())
            .with_note("at least")
    }
    /// The pair that is furthest apart of two series (values, then references), with an absolute tolerance: one line for a
    /// whole flight. Series of unequal length, or none, are not met.
    #[must_use]
    pub fn worst(
        id: impl Into<String>,
        pairs: &[(f64, f64)],
        tolerance: f64,
        unit: &'static str,
        source: impl Into<String>,
    ) -> Self {
        // A miss that is not a number counts as the greatest.
        let miss = |pair: &(f64, f64)| {
            let miss = (pair.0 - pair.1).abs();
            if miss.is_nan() { f64::INFINITY } else { miss }
        };
        let worst = pairs.iter().copied().max_by(|a, b| miss(a).total_cmp(&miss(b)));
        let (value, reference) = worst.unwrap_or((f64::NAN, f64::NAN));
        Self::absolute(id, (value, reference, tolerance), unit, source)
            .with_note(format!("worst of {}", pairs.len()))
    }
    /// Not made, and why.
    #[must_use]
    pub fn skipped(
        id: impl Into<String>,
        source: impl Into<String>,
        why: impl Into<String>,
    ) -> Self {
        Self {
            id: id.into(),
            group: "",
            value: None,
            reference: None,
            difference: None,
            tolerance: None,
            unit: "",
            source: source.into(),
            verdict: Verdict::Skipped,
            note: why.into(),
        }
    }
    /// Not made because a file of the check folder is not here.
    #[must_use]
    pub fn without_file(id: impl Into<String>, source: impl Into<String>, path: &str) -> Self {
        Self::skipped(id, source, format!("check file {path} is not here"))
    }
    /// The same with something else that must be said, after what is noted already.
    #[must_use]
    pub fn with_note(mut self, note: impl Into<String>) -> Self {
        let note = note.into();
        self.note = if self.note.is_empty() { note } else { format!("{}; {note}", self.note) };
        self
    }

    fn made(id: String, figures: [f64; 4], met: bool, unit: &'static str, source: String) -> Self {
        let [value, reference, difference, tolerance] = figures.map(Some);
        let verdict = if met { Verdict::Met } else { Verdict::NotMet };
        let (group, note) = ("", String::new());
        Self { id, group, value, reference, difference, tolerance, unit, source, verdict, note }
    }
}

#[cfg(test)]
mod tests {
    use super::{Check, Verdict};

    #[test]
    fn comparisons_come_out_right_and_what_is_no_number_is_not_met() {
        let verdict = |check: Check| check.verdict;
        assert_eq!(verdict(Check::absolute("a", (1.0, 1.1, 0.11), "", "s")), Verdict::Met);
        assert_eq!(verdict(Check::absolute("a", (1.0, 1.2, 0.11), "", "s")), Verdict::NotMet);
        assert_eq!(verdict(Check::absolute("a", (f64::NAN, 1.2, 9.0), "", "s")), Verdict::NotMet);
        assert_eq!(verdict(Check::relative("a", (-2.0, -2.01, 0.01), "", "s")), Verdict::Met);
        assert_eq!(verdict(Check::at_most("a", (3.0, 2.0), "", "s")), Verdict::NotMet);
        assert_eq!(verdict(Check::at_most("a", (f64::NAN, 2.0), "", "s")), Verdict::NotMet);
        assert_eq!(verdict(Check::at_least("a", (3.0, 2.0), "", "s")), Verdict::Met);
        let worst = Check::worst("a", &[(1.0, 1.0), (2.0, f64::NAN), (3.0, 9.0)], 1.0, "", "s");
        assert_eq!((worst.verdict, worst.value), (Verdict::NotMet, Some(2.0)));
        assert_eq!(verdict(Check::worst("a", &[], 1.0, "", "s")), Verdict::NotMet);
        let worst = Check::worst("a", &[(1.0, 1.0), (2.0, 2.5)], 1.0, "", "s");
        assert_eq!((worst.verdict, worst.difference), (Verdict::Met, Some(-0.5)));
    }
}
