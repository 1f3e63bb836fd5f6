//! Figures with their references.

/// One figure held against its reference.
#[derive(Debug, Clone)]
pub(super) struct Figure {
    pub(super) case: String,
    pub(super) what: String,
    pub(super) value: f64,
    pub(super) reference: f64,
    pub(super) tolerance: f64,
    /// Why a miss may say little: the objective hardly determines the figure. It counts as a miss all the same.
    pub(super) loose: Option<&'static str>,
}

impl Figure {
    pub(super) fn met(&self) -> bool {
        (self.value - self.reference).abs() <= self.tolerance
    }
}

/// All figures, and what could not be compared.
#[derive(Debug, Default)]
pub(super) struct Sheet {
    pub(super) figures: Vec<Figure>,
    pub(super) problems: Vec<String>,
}

impl Sheet {
    /// A figure with its tolerance in its own unit.
    pub(super) fn add(
        &mut self,
        case: &str,
        what: &str,
        (value, reference): (f64, f64),
        tolerance: f64,
    ) {
        let (case, what) = (case.to_string(), what.to_string());
        self.figures.push(Figure { case, what, value, reference, tolerance, loose: None });
    }
    /// Marks the figure added last as one that the objective hardly determines.
    pub(super) fn loose(&mut self, why: &'static str) {
        if let Some(figure) = self.figures.last_mut() {
            figure.loose = Some(why);
        }
    }
    /// A figure within 1e-4 of its reference, or of one unit where the reference is less than that.
    pub(super) fn exact(&mut self, case: &str, what: &str, pair: (f64, f64)) {
        self.add(case, what, pair, 1e-4 * pair.1.abs().max(1.0));
    }
    /// A figure within 1e-4 of its reference itself.
    pub(super) fn share(&mut self, case: &str, what: &str, pair: (f64, f64), share: f64) {
        self.add(case, what, pair, share * pair.1.abs());
    }
    /// The row of a table where a column is missed most, within 1e-4 of the column's largest value.
    pub(super) fn column(&mut self, case: &str, what: &str, pairs: &[(f64, f64)]) {
        let largest = pairs.iter().map(|pair| pair.1.abs()).fold(0.0, f64::max);
        let miss = |pair: &(f64, f64)| {
            let miss = (pair.0 - pair.1).abs();
            if miss.is_nan() { f64::INFINITY } else { miss }
        };
        if let Some(worst) = pairs.iter().max_by(|a, b| miss(a).total_cmp(&miss(b))) {
            let what = format!("{what}, worst of {} rows", pairs.len());
            self.add(case, &what, *worst, 1e-4 * largest.max(1e-9));
        }
    }
    /// What went wrong with a case, if anything did.
    pub(super) fn note(&mut self, case: &str, result: Result<(), String>) {
        if let Err(message) = result {
            self.problems.push(format!("{case}: {message}"));
        }
    }
    pub(super) fn missed(&self) -> usize {
        self.figures.iter().filter(|figure| !figure.met()).count()
    }
    /// Every figure, then the problems.
    pub(super) fn print(&self) {
        println!(
            "{:<36} {:<40} {:>14} {:>14} {:>10} {:>9}",
            "case", "figure", "value", "reference", "difference", "tolerance"
        );
        for figure in &self.figures {
            let Figure { case, what, value, reference, tolerance, .. } = figure;
            let word = match (figure.met(), figure.loose) {
                (true, _) => "met".to_string(),
                (false, None) => "NOT MET".to_string(),
                (false, Some(why)) => format!("NOT MET: {why}"),
            };
            println!(
                "{case:<36} {what:<40} {value:>14.6} {reference:>14.6} {:>10.1e} {tolerance:>9.1e} {word}",
                value - reference
            );
        }
        for problem in &self.problems {
            println!("PROBLEM {problem}");
        }
        println!(
            "{} of {} figures met, {} not met, {} problems",
            self.figures.len() - self.missed(),
            self.figures.len(),
            self.missed(),
            self.problems.len()
        );
    }
}
