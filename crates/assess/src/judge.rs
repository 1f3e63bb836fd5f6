//! Measures held against the rows of a standard: met, not met, cannot tell.
//!
//! The verdict is that of the single row. Standards speak of consistent exceedance and lack of prompt correction, so rows
//! that hold throughout also say for how long and whether it was corrected; the whole stays the examiner's.

use crate::attempt::{Estimate, Finding, Verdict};
use crate::part::{MIDDLE, Part};
use crate::trace::STEP_S;
use base::factors::M_PER_FT;
use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
use maneuver::standard::{Measured, MeasuredAt, Row};

/// Judges one row on one part.
pub(crate) fn finding(part: &Part<'_>, row: &Row, ground_elevation_m: Option<f64>) -> Finding {
    let (low, high) =
        (row.minus.map(|minus| row.target - minus), row.plus.map(|plus| row.target + plus));
    let bounds = Bounds { low, high };
    let read = Reading { part, row, ground_ft: ground_elevation_m.map(|height| height / M_PER_FT) };
    let Judged { estimate, verdict, why, outside } = read.judge(bounds);
    Finding {
        id: row.id.clone(),
        title: title(row),
        estimate,
        unit: row.quantity.unit(),
        low,
        high,
        tolerance: row.tolerance_text.clone(),
        source: if row.from_memory {
            format!("{} (from memory)", row.source)
        } else {
            row.source.clone()
        },
        verdict,
        seconds_outside: outside.map(|outside| outside.seconds),
        corrected: outside.filter(|outside| outside.seconds > 0.0).map(|outside| outside.corrected),
        why,
    }
}

/// What is allowed.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    low: Option<f64>,
    high: Option<f64>,
}

impl Bounds {
    /// How far outside; negative inside; not a number of none.
    fn excess(self, value: f64) -> f64 {
        let below = self.low.map_or(f64::NEG_INFINITY, |low| low - value);
        let above = self.high.map_or(f64::NEG_INFINITY, |high| value - high);
        below.max(above)
    }
    /// How far the 95 % band reaches outside, and how far outside all of it lies; negative when it does not.
    fn reach(self, estimate: &Estimate) -> (f64, f64) {
        let half = SIGMAS_OF_95_PERCENT * estimate.sigma;
        let (from, to) = (estimate.value - half, estimate.value + half);
        let all_below = self.low.map_or(f64::NEG_INFINITY, |low| low - to);
        let all_above = self.high.map_or(f64::NEG_INFINITY, |high| from - high);
        (self.excess(from).max(self.excess(to)), all_below.max(all_above))
    }
    /// Verdict over every place that a row holds at: surely outside at one is not met, surely inside at all is met, anything
    /// else, a number that is none included, cannot be told. With the place that decides.
    fn verdict(
        self,
        values: &[Estimate],
        unit: &str,
    ) -> Option<(Verdict, Estimate, Option<String>)> {
        let most = |key: &dyn Fn(&Estimate) -> f64| {
            values.iter().max_by(|a, b| key(a).total_cmp(&key(b))).copied()
        };
        let unread = values.iter().find(|e| !(e.value.is_finite() && e.sigma.is_finite()));
        if let Some(unread) = unread {
            let why = "the recording gives no number at one of the places".to_string();
            return Some((Verdict::CannotTell, *unread, Some(why)));
        }
        let surest = most(&|e| self.reach(e).1)?;
        if self.reach(&surest).1 > 0.0 {
            // Of the places that are surely outside, the one farthest out is told.
            let beyond = |e: &Estimate| {
                if self.reach(e).1 > 0.0 { self.excess(e.value) } else { f64::NEG_INFINITY }
            };
            return Some((Verdict::NotMet, most(&beyond)?, None));
        }
        let widest = most(&|e| self.reach(e).0)?;
        if self.reach(&widest).0 <= 0.0 {
            return Some((Verdict::Met, most(&|e| self.excess(e.value))?, None));
        }
        let half = SIGMAS_OF_95_PERCENT * widest.sigma;
        let why = format!(
            "the 95 % band from {:.1} to {:.1} {unit} reaches over the edge of the tolerance",
            widest.value - half,
            widest.value + half
        );
        Some((Verdict::CannotTell, widest, Some(why)))
    }
}

/// A row judged.
struct Judged {
    estimate: Option<Estimate>,
    verdict: Verdict,
    why: Option<String>,
    outside: Option<Outside>,
}

/// Time outside of a row that holds throughout.
#[derive(Debug, Clone, Copy)]
struct Outside {
    seconds: f64,
    corrected: bool,
}

/// A row read on a part.
struct Reading<'a> {
    part: &'a Part<'a>,
    row: &'a Row,
    ground_ft: Option<f64>,
}

impl Reading<'_> {
    fn value(&self, index: usize) -> Option<Estimate> {
        let part = self.part;
        match self.row.quantity {
            Measured::HeadingErrorDeg => {
                let turned = part.turned();
                Some(Estimate { value: turned.value - part.turn_wanted_deg, sigma: turned.sigma })
            }
            Measured::BankDeg => Some(part.bank(index)),
            Measured::PitchDeg => {
                let line = part.trace.pitch_deg.as_ref()?;
                Some(Estimate { value: line.value[index], sigma: line.sigma[index] })
            }
            Measured::HeightChangeFt => Some(part.height_change(index)),
            Measured::HeightAboveGroundFt => {
                let line = &part.trace.height_ft;
                let above = |ground| Estimate {
                    value: line.value[index] - ground,
                    sigma: line.sigma[index],
                };
                self.ground_ft.map(above)
            }
            Measured::AirspeedChangeKt => Some(part.airspeed_change(index)),
            Measured::AirspeedOverStallKt => part.over_stall(index, 1.0),
            Measured::LoadFactorG => {
                let line = part.trace.load_factor.as_ref()?;
                Some(Estimate { value: line.value[index], sigma: line.sigma[index] })
            }
            Measured::TurnDeg => None,
        }
    }
    /// Judges the row at its place, or at every place that it holds at; for rows that hold throughout with the time outside.
    fn judge(&self, bounds: Bounds) -> Judged {
        let values = self.values();
        let unit = self.row.quantity.unit();
        let Some((verdict, estimate, why)) = bounds.verdict(&values, unit) else {
            let why = Some(self.missing());
            return Judged { estimate: None, verdict: Verdict::CannotTell, why, outside: None };
        };
        let excess = |estimate: &Estimate| bounds.excess(estimate.value);
        let outside = (self.row.place == MeasuredAt::Throughout).then(|| Outside {
            seconds: STEP_S * values.iter().filter(|value| excess(value) > 0.0).count() as f64,
            corrected: values.last().is_some_and(|last| excess(last) <= 0.0),
        });
        let finite = estimate.value.is_finite() && estimate.sigma.is_finite();
        Judged { estimate: finite.then_some(estimate), verdict, why, outside }
    }
    /// The values at the places that the row holds at; none when it cannot be read.
    fn values(&self) -> Vec<Estimate> {
        let part = self.part;
        let every = |places: &mut dyn Iterator<Item = usize>| -> Vec<Estimate> {
            places.filter_map(|i| self.value(i)).collect()
        };
        match self.row.place {
            MeasuredAt::End => every(&mut std::iter::once(part.end)),
            MeasuredAt::Turn(turn_deg) => {
                let known = self.value(part.start).is_some();
                let value =
                    |i| self.value(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
                part.at_turn(turn_deg, value).filter(|_| known).into_iter().collect()
            }
            // Bank is not held during roll-in and roll-out; height and speed are.
            MeasuredAt::Throughout if self.row.quantity == Measured::BankDeg => {
                every(&mut part.between(MIDDLE.0, MIDDLE.1).into_iter())
            }
            // A bound on the far side of an extreme (a greatest bank of at least 60) is met by one place, not by all.
            MeasuredAt::Greatest if self.row.minus.is_some() => {
                extreme(every(&mut part.all()), 1.0)
            }
            MeasuredAt::Least if self.row.plus.is_some() => extreme(every(&mut part.all()), -1.0),
            MeasuredAt::Throughout | MeasuredAt::Greatest | MeasuredAt::Least => {
                every(&mut part.all())
            }
        }
    }
    /// Why there is no number.
    fn missing(&self) -> String {
        let part = self.part;
        match (self.row.quantity, self.row.place) {
            (Measured::AirspeedOverStallKt, _) if part.airplane.is_none() => {
                "the airplane is not known, so neither is its stall speed: give --airplane".into()
            }
            (Measured::HeightAboveGroundFt, _) if self.ground_ft.is_none() => {
                "the height of the ground is not known: give --ground-elevation".into()
            }
            (Measured::PitchDeg, _) if part.trace.pitch_deg.is_none() => {
                "pitch is not in this recording, and the airplane that would give it is not known"
                    .into()
            }
            (_, MeasuredAt::Turn(turn_deg)) => format!("{turn_deg:.0}° of turn were never reached"),
            _ => "not in this recording".into(),
        }
    }
}

/// The greatest (sign +1) or least (-1) of values alone.
fn extreme(values: Vec<Estimate>, sign: f64) -> Vec<Estimate> {
    let most = values.into_iter().max_by(|a, b| (sign * a.value).total_cmp(&(sign * b.value)));
    most.into_iter().collect()
}

/// What is judged and where, in words: "height change throughout".
fn title(row: &Row) -> String {
    let what = match row.quantity {
        Measured::HeadingErrorDeg => "heading",
        Measured::HeightChangeFt => "height against entry",
        Measured::AirspeedChangeKt => "airspeed against entry",
        Measured::AirspeedOverStallKt => "airspeed over the stall",
        other => other.word(),
    };
    match row.place {
        MeasuredAt::Turn(turn_deg) => format!("{what} at {turn_deg:.0}° of turn"),
        MeasuredAt::End if row.quantity == Measured::HeadingErrorDeg => {
            "heading at roll-out".into()
        }
        MeasuredAt::End => format!("{what} at the end"),
        MeasuredAt::Throughout => format!("{what}, worst"),
        MeasuredAt::Greatest => format!("greatest {what}"),
        MeasuredAt::Least => format!("least {what}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const BOUNDS: Bounds = Bounds { low: Some(-100.0), high: Some(100.0) };

    fn verdict(bounds: Bounds, values: &[(f64, f64)]) -> (Verdict, f64) {
        let values: Vec<Estimate> =
            values.iter().map(|&(value, sigma)| Estimate { value, sigma }).collect();
        let (verdict, estimate, why) = bounds.verdict(&values, "ft").expect("there are values");
        assert_eq!(why.is_some(), verdict == Verdict::CannotTell);
        (verdict, estimate.value)
    }

    #[test]
    fn prop_the_place_that_decides_is_judged_and_not_only_the_worst() {
        assert_eq!(verdict(BOUNDS, &[(10.0, 5.0), (-60.0, 5.0)]), (Verdict::Met, -60.0));
        // Farther inside but wider: the band reaches out.
        assert_eq!(verdict(BOUNDS, &[(80.0, 5.0), (70.0, 20.0)]), (Verdict::CannotTell, 70.0));
        // Farther out but unsure; the other is surely out.
        assert_eq!(verdict(BOUNDS, &[(150.0, 60.0), (120.0, 5.0)]), (Verdict::NotMet, 120.0));
        assert_eq!(verdict(BOUNDS, &[(90.0, 2.0)]).0, Verdict::Met);
        assert_eq!(verdict(BOUNDS, &[(96.5, 2.0)]).0, Verdict::CannotTell);
        assert_eq!(verdict(BOUNDS, &[(104.5, 2.0)]).0, Verdict::NotMet);
        assert!(BOUNDS.verdict(&[], "ft").is_none());
    }

    #[test]
    fn prop_no_number_is_never_met() {
        let one_sided = Bounds { low: Some(0.0), high: None };
        for bounds in [BOUNDS, one_sided] {
            for odd in [(f64::NAN, 1.0), (50.0, f64::NAN), (50.0, f64::INFINITY)] {
                let values: Vec<Estimate> = [(50.0, 1.0), odd]
                    .iter()
                    .map(|&(value, sigma)| Estimate { value, sigma })
                    .collect();
                let verdict = bounds.verdict(&values, "kt").map(|(verdict, ..)| verdict);
                assert_eq!(verdict, Some(Verdict::CannotTell));
            }
        }
    }
}
