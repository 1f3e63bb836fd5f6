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
    let (estimate, outside) = read.worst(bounds);
    let (verdict, why) = match (estimate, read.missing()) {
        (Some(estimate), _) => bounds.verdict(estimate, row.quantity.unit()),
        (None, why) => (Verdict::CannotTell, Some(why)),
    };
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
    /// How far outside; negative inside.
    fn excess(self, value: f64) -> f64 {
        let below = self.low.map_or(f64::NEG_INFINITY, |low| low - value);
        let above = self.high.map_or(f64::NEG_INFINITY, |high| value - high);
        below.max(above)
    }
    fn verdict(self, estimate: Estimate, unit: &str) -> (Verdict, Option<String>) {
        let half = SIGMAS_OF_95_PERCENT * estimate.sigma;
        let (from, to) = (estimate.value - half, estimate.value + half);
        let inside = self.excess(from) <= 0.0 && self.excess(to) <= 0.0;
        let beyond =
            self.low.is_some_and(|low| to < low) || self.high.is_some_and(|high| from > high);
        if inside {
            (Verdict::Met, None)
        } else if beyond {
            (Verdict::NotMet, None)
        } else {
            let why = format!(
                "the 95 % band from {from:.1} to {to:.1} {unit} reaches over the edge of the tolerance"
            );
            (Verdict::CannotTell, Some(why))
        }
    }
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
    /// The number that is judged: the one at the place, or the worst one; for rows that hold throughout also the time outside.
    fn worst(&self, bounds: Bounds) -> (Option<Estimate>, Option<Outside>) {
        let part = self.part;
        let all = || part.all();
        let extreme = |sign: f64| {
            all()
                .filter_map(|i| self.value(i))
                .max_by(|a, b| (sign * a.value).total_cmp(&(sign * b.value)))
        };
        match self.row.place {
            MeasuredAt::End => (self.value(part.end), None),
            MeasuredAt::Turn(turn_deg) => {
                let known = self.value(part.start).is_some();
                let value =
                    |i| self.value(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
                (part.at_turn(turn_deg, value).filter(|_| known), None)
            }
            MeasuredAt::Greatest => (extreme(1.0), None),
            MeasuredAt::Least => (extreme(-1.0), None),
            MeasuredAt::Throughout => self.throughout(bounds),
        }
    }
    fn throughout(&self, bounds: Bounds) -> (Option<Estimate>, Option<Outside>) {
        // Bank is not held during roll-in and roll-out; height and speed are.
        let places = match self.row.quantity {
            Measured::BankDeg => self.part.between(MIDDLE.0, MIDDLE.1),
            _ => self.part.all().collect(),
        };
        let values: Vec<Estimate> = places.iter().filter_map(|&i| self.value(i)).collect();
        let excess = |estimate: &Estimate| bounds.excess(estimate.value);
        let worst = values.iter().max_by(|a, b| excess(a).total_cmp(&excess(b))).copied();
        let outside = Outside {
            seconds: STEP_S * values.iter().filter(|value| excess(value) > 0.0).count() as f64,
            corrected: values.last().is_some_and(|last| excess(last) <= 0.0),
        };
        (worst, worst.map(|_| outside))
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
