//! Fits the unknowns of an airplane to the figures of its manual: weighted nonlinear least squares over logarithms, with the class as
//! prior; figures that cannot be right are set aside and named, not absorbed.
//!
//! The airplane that comes out keeps to the flight mechanics of `flight::point_mass`. A real one departs from them in ways that the
//! *doubts* of [`crate::model`] stand for: they are not fitted, but their spread is carried through the estimator into every
//! band ("consider" analysis, SCHMIDT-1966):
//!
//! ```text
//! estimate      u = argmin sum w_i (y_i - f_i(u))^2 / sigma_i^2 + sum (u_j - usual_j)^2 / sigma_j^2
//! its error     P + M Q M^T,        P = (J^T W J + L)^-1,   M = P J^T W G,   Q the spread of the doubts
//! a prediction  j (P + M Q M^T) j^T - 2 j M Q g^T + g Q g^T
//! ```

mod linear;
mod next;

use base::numerics::least_squares::{Control, Variable, minimize};
use base::numerics::statistics::SIGMAS_OF_95_PERCENT;

use crate::evidence::{self, Evidence};
use crate::figures::Figures;
use crate::model::{Condition, DOUBT_SIGMAS, DOUBTS, Frame, Model};
use crate::unknowns::{self, Unknown};

use linear::Linear;
pub use next::Helpful;

/// A figure this many standard deviations from what all others say is set aside.
pub const SET_ASIDE: f64 = 3.5;
/// A figure this many standard deviations off is told as a contradiction.
pub const CONTRADICTS: f64 = 2.8;
/// So many stretches that were flown decide between two readings of a contradiction.
const FLOWN_DECIDES: usize = 8;
/// Degrees of freedom of the weights (Student's t): LANGE-1989.
const FREEDOM: f64 = 4.0;
/// Step of differences, in standard deviations of the prior.
const STEP: f64 = 1e-3;

/// A predicted value with one standard deviation, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// As the airplane written would fly.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
}

impl Band {
    /// Ends of the 95 % band.
    #[must_use]
    pub fn ends(&self) -> (f64, f64) {
        let half = SIGMAS_OF_95_PERCENT * self.sigma;
        (self.value - half, self.value + half)
    }
}

/// A figure beside the fit.
#[derive(Debug, Clone, PartialEq)]
pub struct Residual {
    /// What the fit says, SI.
    pub model: f64,
    /// What all other figures and the class say without it, SI; its sigma includes the figure's own.
    pub others: Band,
    /// The figure less [`Residual::others`], in standard deviations.
    pub standardized: f64,
    /// Whether it was left out of the fit.
    pub set_aside: bool,
    /// Number of the figure that it contradicts most, when it does.
    pub against: Option<usize>,
}

/// The airplane of the other reading of a contradiction.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherReading {
    /// The unknowns.
    pub values: Vec<f64>,
    /// How likely it is beside the one that is written, 0 to 1: one when nothing was flown, or when both leave as much unexplained.
    pub weight: f64,
}

/// An airplane fitted to the figures of its manual.
#[derive(Debug, Clone)]
pub struct Fitted {
    /// What is known beforehand.
    pub frame: Frame,
    /// The unknowns with their priors.
    pub unknowns: Vec<Unknown>,
    /// Their values, in their own units, in that order.
    pub values: Vec<f64>,
    /// The figures used.
    pub evidence: Vec<Evidence>,
    /// Each beside the fit, in that order.
    pub residuals: Vec<Residual>,
    /// What could not be used, and why.
    pub notes: Vec<String>,
    /// The unknowns when of the worst contradiction the other figure is believed; bands hold both readings.
    pub other_reading: Option<OtherReading>,
    linear: Linear,
}

/// Fits an airplane. Never fails: without figures the class alone speaks, in wide bands.
#[must_use]
pub fn fit(figures: &Figures) -> Fitted {
    let (evidence, notes) = evidence::of(figures);
    fit_to(unknowns::frame(figures), unknowns::of(figures), evidence, notes)
}

/// As [`fit`], from evidence that is put together already.
#[must_use]
pub fn fit_to(
    frame: Frame,
    unknowns: Vec<Unknown>,
    evidence: Vec<Evidence>,
    notes: Vec<String>,
) -> Fitted {
    let search = Search { frame: &frame, unknowns: &unknowns, evidence: &evidence };
    let mut weights = vec![1.0; evidence.len()];
    let mut logs: Vec<f64> = unknowns.iter().map(|unknown| base::math::ln(unknown.usual)).collect();
    for _ in 0..8 {
        logs = search.solve(&logs, &weights);
        let next: Vec<f64> = search.offsets_of_all(&logs).into_iter().map(heaviness).collect();
        let moved = next.iter().zip(&weights).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        weights = next;
        if moved < 0.01 {
            break;
        }
    }
    for _ in 0..3 {
        let linear = search.linear(&logs, &weights);
        let aside = |i: usize| linear.without(&[i]).against(&linear, i).abs() > SET_ASIDE;
        let next: Vec<f64> = (0..evidence.len())
            .map(|i| if aside(i) { 0.0 } else { heaviness(linear.offset(i)) })
            .collect();
        let same = next.iter().zip(&weights).all(|(a, b)| (a - b).abs() < 0.01);
        weights = next;
        logs = search.solve(&logs, &weights);
        if same {
            break;
        }
    }
    let linear = search.linear(&logs, &weights);
    let values = exps(&logs);
    let residuals: Vec<Residual> =
        (0..evidence.len()).map(|i| search.residual(&linear, &values, i)).collect();
    let other_reading = search.other_reading(&logs, &weights, &residuals);
    Fitted { frame, unknowns, values, evidence, residuals, notes, other_reading, linear }
}

/// Weight of a figure so many standard deviations off.
fn heaviness(offset: f64) -> f64 {
    ((FREEDOM + 1.0) / (FREEDOM + offset * offset)).min(1.0)
}

fn exps(logs: &[f64]) -> Vec<f64> {
    logs.iter().map(|log| base::math::exp(*log)).collect()
}

/// A value that is none stands for a figure far off.
const NONE_OFF: f64 = 30.0;

struct Search<'a> {
    frame: &'a Frame,
    unknowns: &'a [Unknown],
    evidence: &'a [Evidence],
}

impl Search<'_> {
    fn predict(&self, values: &[f64], doubts: [f64; DOUBTS], condition: &Condition) -> f64 {
        Model { frame: self.frame, values, doubts }.predict(condition)
    }

    fn offset(&self, values: &[f64], doubts: [f64; DOUBTS], evidence: &Evidence) -> f64 {
        let found = self.predict(values, doubts, &evidence.condition);
        let offset = (evidence.value - found) / evidence.sigma_whole();
        if offset.is_finite() { offset } else { NONE_OFF }
    }

    fn solve(&self, start: &[f64], weights: &[f64]) -> Vec<f64> {
        let ln = base::math::ln;
        let variables: Vec<Variable> = self
            .unknowns
            .iter()
            .zip(start)
            .map(|(unknown, start)| Variable {
                start: *start,
                low: ln(unknown.bounds.0),
                high: ln(unknown.bounds.1),
                scale: unknown.sigma_log,
            })
            .collect();
        let residuals = |logs: &[f64], out: &mut [f64]| {
            let values = exps(logs);
            let (data, prior) = out.split_at_mut(self.evidence.len());
            for ((out, evidence), weight) in data.iter_mut().zip(self.evidence).zip(weights) {
                let used = *weight > 0.0;
                *out = if used {
                    weight.sqrt() * self.offset(&values, [0.0; DOUBTS], evidence)
                } else {
                    0.0
                };
            }
            for ((out, unknown), log) in prior.iter_mut().zip(self.unknowns).zip(logs) {
                *out = (log - ln(unknown.usual)) / unknown.sigma_log;
            }
        };
        let control = Control {
            residual: 0.0,
            step: 1e-6,
            evaluations_max: 40,
            difference: STEP,
            ..Control::default()
        };
        minimize(residuals, &variables, self.evidence.len() + variables.len(), &control).values
    }

    /// Offset of each figure from the fit, in standard deviations of figure and doubts.
    fn offsets_of_all(&self, logs: &[f64]) -> Vec<f64> {
        let values = exps(logs);
        let one = |one: &Evidence| {
            let by_doubts = self.slopes_by_doubts(&values, &one.condition);
            let scaled = by_doubts.map(|slope| slope / one.sigma_whole());
            linear::doubted(self.offset(&values, [0.0; DOUBTS], one), &scaled)
        };
        self.evidence.iter().map(one).collect()
    }

    /// Slopes of a prediction by doubts.
    fn slopes_by_doubts(&self, values: &[f64], condition: &Condition) -> [f64; DOUBTS] {
        std::array::from_fn(|i| {
            let h = STEP * DOUBT_SIGMAS[i];
            let (mut up, mut down) = ([0.0; DOUBTS], [0.0; DOUBTS]);
            (up[i], down[i]) = (h, -h);
            let at = |doubts| self.predict(values, doubts, condition);
            finite((at(up) - at(down)) / (2.0 * h))
        })
    }

    /// Slopes of the offsets, in standard deviations, by logarithms and by doubts.
    fn slopes(&self, logs: &[f64], condition: &Condition) -> (Vec<f64>, [f64; DOUBTS]) {
        let at = |logs: &[f64], doubts| self.predict(&exps(logs), doubts, condition);
        let mut by_logs = Vec::with_capacity(logs.len());
        for (i, unknown) in self.unknowns.iter().enumerate() {
            let h = STEP * unknown.sigma_log;
            let mut moved = logs.to_vec();
            moved[i] = logs[i] + h;
            let up = at(&moved, [0.0; DOUBTS]);
            moved[i] = logs[i] - h;
            by_logs.push(finite((up - at(&moved, [0.0; DOUBTS])) / (2.0 * h)));
        }
        (by_logs, self.slopes_by_doubts(&exps(logs), condition))
    }

    fn linear(&self, logs: &[f64], weights: &[f64]) -> Linear {
        let values = exps(logs);
        let offsets = self.evidence.iter().map(|one| self.offset(&values, [0.0; DOUBTS], one));
        let prior: Vec<(f64, f64)> = self
            .unknowns
            .iter()
            .zip(logs)
            .map(|(unknown, log)| {
                let weight = 1.0 / (unknown.sigma_log * unknown.sigma_log);
                (weight, base::math::ln(unknown.usual) - log)
            })
            .collect();
        let rows: Vec<(Vec<f64>, [f64; DOUBTS])> = self
            .evidence
            .iter()
            .map(|one| {
                let (by_logs, by_doubts) = self.slopes(logs, &one.condition);
                let whole = one.sigma_whole();
                (by_logs.iter().map(|v| v / whole).collect(), by_doubts.map(|v| v / whole))
            })
            .collect();
        Linear::new(&rows, offsets.collect(), weights.to_vec(), prior)
    }

    /// The unknowns when the figure of the worst contradiction is believed and the one that it goes worst with is not.
    fn other_reading(
        &self,
        logs: &[f64],
        weights: &[f64],
        residuals: &[Residual],
    ) -> Option<OtherReading> {
        let off = |i: &usize| residuals[*i].standardized.abs();
        let worst = (0..residuals.len())
            .filter(|i| self.evidence[*i].line > 0)
            .max_by(|a, b| off(a).total_cmp(&off(b)))?;
        let against = residuals[worst].against?;
        let mut weights = weights.to_vec();
        (weights[worst], weights[against]) = (1.0, 0.0);
        let other = self.solve(logs, &weights);
        // Figures of one manual are few and share one hand: they cannot outvote each other. What was flown can.
        let flown = self.evidence.iter().filter(|one| one.line == 0).count();
        let worse =
            if flown < FLOWN_DECIDES { 0.0 } else { self.misfit(&other) - self.misfit(logs) };
        let weight = base::math::exp(-0.5 * worse.max(0.0));
        Some(OtherReading { values: exps(&other), weight })
    }

    /// Sum of squares of what is left, one that is set aside counted as just so far off.
    fn misfit(&self, logs: &[f64]) -> f64 {
        let values = exps(logs);
        let most = SET_ASIDE * SET_ASIDE;
        let data = self.evidence.iter().map(|one| {
            let offset = self.offset(&values, [0.0; DOUBTS], one);
            (offset * offset).min(most)
        });
        let prior = self.unknowns.iter().zip(logs).map(|(unknown, log)| {
            let offset = (log - base::math::ln(unknown.usual)) / unknown.sigma_log;
            offset * offset
        });
        data.sum::<f64>() + prior.sum::<f64>()
    }

    fn residual(&self, linear: &Linear, values: &[f64], i: usize) -> Residual {
        let one = &self.evidence[i];
        let model = self.predict(values, [0.0; DOUBTS], &one.condition);
        let others = linear.without(&[i]);
        let standardized = others.against(linear, i);
        let (offset, sigma) = others.offset_and_sigma(linear, i);
        let whole = one.sigma_whole();
        let against = (standardized.abs() > CONTRADICTS).then(|| linear.partner(i)).flatten();
        Residual {
            model,
            others: Band { value: one.value - offset * whole, sigma: sigma * whole },
            standardized,
            set_aside: linear.weight(i) == 0.0,
            against,
        }
    }
}

fn finite(value: f64) -> f64 {
    if value.is_finite() { value } else { 0.0 }
}

impl Fitted {
    /// The airplane as it is written.
    #[must_use]
    pub fn model(&self) -> Model<'_> {
        Model { frame: &self.frame, values: &self.values, doubts: [0.0; DOUBTS] }
    }
    fn logs(&self) -> Vec<f64> {
        self.values.iter().map(|value| base::math::ln(*value)).collect()
    }
    fn search(&self) -> Search<'_> {
        Search { frame: &self.frame, unknowns: &self.unknowns, evidence: &self.evidence }
    }
    /// A condition with its band; `None` where the airplane has no such value.
    #[must_use]
    pub fn predict(&self, condition: &Condition) -> Option<Band> {
        let value = self.model().predict(condition);
        let (by_logs, by_doubts) = self.search().slopes(&self.logs(), condition);
        let own = condition.own_doubt() * value;
        let variance = self.linear.without(&[]).variance(&by_logs, &by_doubts);
        let apart = self.other_reading.as_ref().map_or(0.0, |other| {
            let there = Model { values: &other.values, ..self.model() }.predict(condition);
            let apart = finite(there - value);
            other.weight * apart * apart
        });
        let sigma = (variance + own * own + apart).sqrt();
        (value.is_finite() && sigma.is_finite()).then_some(Band { value, sigma })
    }
    /// One standard deviation of the logarithm of an unknown: its share of the value.
    #[must_use]
    pub fn sigma_log(&self, place: usize) -> f64 {
        let mut unit = vec![0.0; self.unknowns.len()];
        unit[place] = 1.0;
        self.linear.without(&[]).variance(&unit, &[0.0; DOUBTS]).sqrt()
    }
    /// Covariance of the logarithms of the unknowns, row by row.
    #[must_use]
    pub fn covariance(&self) -> Vec<f64> {
        self.linear.without(&[]).covariance()
    }
    /// Numbers of the figures that do not go with the others, worst first.
    #[must_use]
    pub fn contradictions(&self) -> Vec<usize> {
        let off = |i: usize| self.residuals[i].standardized.abs();
        let mut found: Vec<usize> =
            (0..self.residuals.len()).filter(|i| off(*i) > CONTRADICTS).collect();
        found.sort_by(|a, b| off(*b).total_cmp(&off(*a)));
        found
    }
    /// A contradiction in words.
    #[must_use]
    pub fn contradiction_words(&self, i: usize) -> String {
        let (one, residual) = (&self.evidence[i], &self.residuals[i]);
        let against = residual.against.map_or(String::new(), |other| {
            let other = &self.evidence[other];
            format!(", against \"{}\" (line {}) most of all", other.words, other.line)
        });
        let aside = if residual.set_aside { "; left out of the fit" } else { "" };
        format!(
            "line {}, {}: handbook {}, all other figures and the class say {} within {}{against}{aside}",
            one.line,
            one.words,
            one.unit.words(one.value),
            one.unit.words(residual.others.value),
            one.unit.words(2.0 * residual.others.sigma),
        )
    }
}
