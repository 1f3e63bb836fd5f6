//! Measures held against the rows of a standard: met, not met, cannot tell.
//!
//! The verdict is that of the single row. Standards speak of consistent exceedance and lack of prompt correction, so rows
//! that hold throughout also say for how long and whether it was corrected; the whole stays the examiner's.

mod chance;

use crate::attempt::{Estimate, Finding, Measure, Verdict};
use crate::held;
use crate::measure::{coordination, stall};
use crate::part::{BANK_MEMORY_S, BANK_SHARED, CUT, MIDDLE, Part};
use crate::trace::STEP_S;
use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
use base::written::fixed;
use chance::Together;
use maneuver::standard::{Measured, MeasuredAt, Row};

/// What rows are held against besides the part.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Around<'a> {
    /// Measures of the part, and those of the whole figure where it has one part or the part is its last.
    pub(crate) measures: &'a [Measure],
    /// Elevation of the ground, ft, when known.
    pub(crate) ground_ft: Option<f64>,
    /// Gusts found, m/s; nil when not found.
    pub(crate) gusts_mps: f64,
}

/// Judges one row on one part.
pub(crate) fn finding(part: &Part<'_>, row: &Row, around: &Around<'_>) -> Finding {
    let wider = row.wider_by_gusts * around.gusts_mps;
    let edges = |minus: Option<f64>, plus: Option<f64>| Bounds {
        low: minus.map(|minus| row.target - minus - wider),
        high: plus.map(|plus| row.target + plus + wider),
    };
    let bounds = edges(row.minus, row.plus);
    let read = Reading { part, row, around };
    let places = read.values();
    let judged = read.judge(bounds, &places);
    let narrow = (row.plus_excellent.is_some() || row.minus_excellent.is_some())
        .then(|| read.judge(edges(row.minus_excellent, row.plus_excellent), &places).verdict);
    let Judged { estimate, at, mut verdict, mut why, outside } = judged;
    // What is not met where the recording was cut may have been met after it.
    if row.place == MeasuredAt::End && verdict == Verdict::NotMet && part.is_cut() {
        (verdict, why) = (Verdict::CannotTell, Some(CUT.to_owned()));
    }
    // A number of the whole (a spread, a difference of the halves) is at no time outside.
    let outside = outside.filter(|_| !row.quantity.is_of_the_whole());
    Finding {
        id: row.id.clone(),
        title: title(row),
        estimate,
        at_s: at.map(|index| part.time_s(index)),
        unit: row.quantity.unit(),
        low: bounds.low,
        high: bounds.high,
        margin: estimate.map(|estimate| -bounds.excess(estimate.value)),
        tolerance: row.tolerance_text.clone(),
        source: if row.from_memory {
            format!("{} (from memory)", row.source)
        } else {
            row.source.clone()
        },
        training_aid: row.is_training_aid(),
        mark: narrow.map(|narrow| mark(verdict, narrow)),
        verdict,
        seconds_outside: outside.map(|outside| outside.seconds),
        corrected: outside.filter(|outside| outside.seconds > 0.0).map(|outside| outside.corrected),
        why,
    }
}

/// The word of the marking scale, from the verdicts on the allowed band and on the narrower one.
const fn mark(allowed: Verdict, narrow: Verdict) -> &'static str {
    match (allowed, narrow) {
        (Verdict::NotMet, _) => "needs work",
        (Verdict::Met, Verdict::Met) => "excellent",
        (Verdict::Met, Verdict::NotMet) => "satisfactory",
        (Verdict::Met, Verdict::CannotTell) => "satisfactory or better",
        (Verdict::CannotTell, _) => "cannot tell",
    }
}

/// Standard deviations of what was loaded between the typical and the greatest mass: the greatest is seldom passed (our judgement).
const LOADED_SIGMAS: f64 = 0.5;

/// A verdict is given when the chance of the other one is no more than this: what is shown as a band of 95 % has as much beyond either end.
const WRONG_MOST: f64 = 1.0 / 40.0;

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
    /// Verdict over every place that a row holds at: met when the chance that it was outside at one of them is no more than
    /// [`WRONG_MOST`], not met when the chance that it was inside at all is; anything else, a number that is none included, cannot be told.
    /// With the place that decides.
    fn verdict(
        self,
        values: &[Estimate],
        together: Together,
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
        let farthest = most(&|e| self.excess(e.value))?;
        let inside = chance::inside(self, values, together);
        if inside >= 1.0 - WRONG_MOST {
            return Some((Verdict::Met, farthest, None));
        }
        if inside <= WRONG_MOST {
            // Of the places that are surely outside, the one farthest out is told.
            let beyond = |e: &Estimate| {
                if self.reach(e).1 > 0.0 { self.excess(e.value) } else { f64::NEG_INFINITY }
            };
            let surest = most(&beyond).filter(|e| self.reach(e).1 > 0.0);
            return Some((Verdict::NotMet, surest.unwrap_or(farthest), None));
        }
        let widest = most(&|e| self.reach(e).0)?;
        let half = SIGMAS_OF_95_PERCENT * widest.sigma;
        let (from, to) = (widest.value - half, widest.value + half);
        let decimals = if unit == "g" { 2 } else { 1 };
        let band = format!(
            "the 95 % band from {} to {} {unit}",
            fixed(from, decimals),
            fixed(to, decimals)
        );
        let why = if self.reach(&widest).0 > 0.0 {
            format!("{band} reaches over the edge of the tolerance")
        } else {
            format!(
                "{band} at the worst place is inside, but there are too many such places to be sure of all"
            )
        };
        Some((Verdict::CannotTell, widest, Some(why)))
    }
}

/// A row judged.
struct Judged {
    estimate: Option<Estimate>,
    /// The place that decided, where it is one.
    at: Option<usize>,
    verdict: Verdict,
    why: Option<String>,
    outside: Option<Outside>,
}

/// Time outside of a row that holds at many places.
#[derive(Debug, Clone, Copy)]
struct Outside {
    seconds: f64,
    corrected: bool,
}

/// Values with their places; a value of the whole part has none.
type Values = Vec<(Option<usize>, Estimate)>;

/// A row read on a part.
struct Reading<'a> {
    part: &'a Part<'a>,
    row: &'a Row,
    around: &'a Around<'a>,
}

impl Reading<'_> {
    /// The quantity at a place; `None` for those that are no course over the part, and for what is not known.
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
                self.around.ground_ft.map(above)
            }
            Measured::AirspeedChangeKt => Some(part.airspeed_change(index)),
            Measured::AirspeedOverStallKt => part.over_stall(index, 1.0),
            Measured::AirspeedOver12StallKt => part.over_multiple_of_stall(index, 1.0, 1.2),
            Measured::AirspeedOverManeuveringKt => self.over_maneuvering(index),
            Measured::LoadFactorG => {
                let line = part.trace.load_factor.as_ref()?;
                Some(Estimate { value: line.value[index], sigma: line.sigma[index] })
            }
            _ => None,
        }
    }
    /// Indicated airspeed above the maneuvering speed, or above the entry speed that the maker states where that is higher. Maneuvering
    /// speed falls with mass, and a recording does not tell the mass: that of the typical one, as the reference is flown, with the doubt
    /// of what was loaded.
    fn over_maneuvering(&self, index: usize) -> Option<Estimate> {
        let airplane = self.part.airplane?;
        let masses = &airplane.masses;
        let of = |mass| airplane.maneuvering_speed(mass).to_kt();
        let stated = airplane.approved_entry(self.part.maneuver).or(airplane.speeds.maneuver_entry);
        let here = self.part.indicated(index);
        let over = |limit_kt: f64, sigma_kt: f64| Estimate {
            value: here.value - limit_kt,
            sigma: base::math::hypot(here.sigma, sigma_kt),
        };
        let usual_kt = of(masses.typical);
        let doubt_kt = LOADED_SIGMAS * (of(masses.maximum) - usual_kt);
        match stated.map(base::kinds::IndicatedAirspeed::to_kt) {
            Some(stated_kt) if stated_kt > usual_kt => Some(over(stated_kt, 0.0)),
            _ => Some(over(usual_kt, doubt_kt)),
        }
    }
    /// How the errors of this quantity hang together over a part: found on invented lessons (shared variance and memory of the rest).
    fn together(&self) -> Together {
        let memory = |seconds: f64| (seconds / STEP_S) as usize;
        match self.row.quantity {
            Measured::BankDeg | Measured::BankKeptDeg => {
                Together { shared: BANK_SHARED, memory: memory(2.0 * BANK_MEMORY_S) }
            }
            _ => Together::ALL,
        }
    }
    /// Judges the row at its place, or at every place that it holds at; for rows that hold at many with the time outside.
    fn judge(&self, bounds: Bounds, places: &Values) -> Judged {
        let values: Vec<Estimate> = places.iter().map(|(_, value)| *value).collect();
        let unit = self.row.quantity.unit();
        let Some((verdict, estimate, why)) = bounds.verdict(&values, self.together(), unit) else {
            let why = Some(self.missing());
            return Judged {
                estimate: None,
                at: None,
                verdict: Verdict::CannotTell,
                why,
                outside: None,
            };
        };
        let excess = |estimate: &Estimate| bounds.excess(estimate.value);
        let many = matches!(
            self.row.place,
            MeasuredAt::Throughout
                | MeasuredAt::BeforeBreak
                | MeasuredAt::Greatest
                | MeasuredAt::Least
        ) && places.len() > 1;
        let outside = (many || self.row.place == MeasuredAt::Throughout).then(|| Outside {
            seconds: STEP_S * values.iter().filter(|value| excess(value) > 0.0).count() as f64,
            corrected: values.last().is_some_and(|last| excess(last) <= 0.0),
        });
        let finite = estimate.value.is_finite() && estimate.sigma.is_finite();
        let at = places.iter().find(|(_, value)| *value == estimate).and_then(|(index, _)| *index);
        Judged { estimate: finite.then_some(estimate), at, verdict, why, outside }
    }
    /// The values at the places that the row holds at; none when it cannot be read.
    fn values(&self) -> Values {
        if let Some(course) = self.course() {
            return course;
        }
        if let Some(value) = self.of_the_whole() {
            return vec![(None, value)];
        }
        let part = self.part;
        let every = |places: &mut dyn Iterator<Item = usize>| -> Values {
            places.filter_map(|i| Some((Some(i), self.value(i)?))).collect()
        };
        match self.row.place {
            MeasuredAt::Start => every(&mut std::iter::once(part.start)),
            MeasuredAt::End => {
                let known = self.value(part.end).is_some();
                let value =
                    |i| self.value(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
                if known { vec![(Some(part.end), part.at_end(value))] } else { Vec::new() }
            }
            MeasuredAt::LevelOff => Vec::new(),
            MeasuredAt::BeforeBreak => every(&mut (part.start..=stall::break_at(part))),
            MeasuredAt::Turn(turn_deg) => {
                let known = self.value(part.start).is_some();
                let value =
                    |i| self.value(i).unwrap_or(Estimate { value: 0.0, sigma: f64::INFINITY });
                let place = part.reached(turn_deg).map(|(index, _)| index);
                let found = part.at_turn(turn_deg, value).filter(|_| known);
                found.map(|value| (place, value)).into_iter().collect()
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
    /// Quantities with places of their own: what is held between rollings, the pitch after the 90-degree point, the ball.
    fn course(&self) -> Option<Values> {
        let part = self.part;
        let placed = |values: Vec<(usize, Estimate)>| {
            values.into_iter().map(|(index, value)| (Some(index), value)).collect()
        };
        match self.row.quantity {
            Measured::HeadingChangeDeg => {
                let before_break = self.row.place == MeasuredAt::BeforeBreak;
                let until = if before_break { stall::break_at(part) } else { part.end };
                Some(placed(held::headings(part, until)))
            }
            Measured::BankKeptDeg => Some(placed(held::banks(part))),
            Measured::PitchHeldDeg => Some(placed(self.pitch_held())),
            Measured::LateralLoadG => {
                let ball = coordination::ball(part).unwrap_or_default();
                Some(placed(part.all().zip(ball).collect()))
            }
            _ => None,
        }
    }
    /// Pitch against that at the 90-degree point, from there to wings level.
    fn pitch_held(&self) -> Vec<(usize, Estimate)> {
        /// Changes of pitch over some ten seconds share that much of the variance of their errors.
        const SHARED: f64 = 0.45;
        let part = self.part;
        let of = |i: usize| part.pitch_change(i);
        let none = Estimate { value: 0.0, sigma: f64::INFINITY };
        let Some((from, there)) = part
            .reached(90.0)
            .zip(part.at_turn(90.0, |i| of(i).unwrap_or(none)))
            .filter(|_| part.trace.pitch_change_deg.is_some())
        else {
            return Vec::new();
        };
        let last = part.level.max(from.0);
        let one = |i: usize| {
            let here = of(i)?;
            let sigma = base::math::hypot(here.sigma, there.sigma) * (1.0 - SHARED).sqrt();
            Some((i, Estimate { value: here.value - there.value, sigma }))
        };
        (from.0..=last).filter_map(one).collect()
    }
    /// Quantities of the whole part or figure, which are measures.
    fn of_the_whole(&self) -> Option<Estimate> {
        let row = self.row;
        let fits = |m: &&Measure| m.quantity == row.quantity && m.place == row.place;
        self.around.measures.iter().find(fits).filter(|_| row.quantity.is_of_the_whole())?.estimate
    }
    /// Why there is no number.
    fn missing(&self) -> String {
        let part = self.part;
        match (self.row.quantity, self.row.place) {
            (
                Measured::AirspeedOverStallKt
                | Measured::AirspeedOver12StallKt
                | Measured::AirspeedOverManeuveringKt,
                _,
            ) if part.airplane.is_none() => {
                "the airplane is not known, so neither are its speeds: say which was flown".into()
            }
            (Measured::HeightAboveGroundFt, _) if self.around.ground_ft.is_none() => {
                "the height of the ground is not known: say its elevation".into()
            }
            (Measured::PitchDeg, _) if part.trace.pitch_deg.is_none() => {
                "pitch is not in this recording, and the airplane that would give it is not known"
                    .into()
            }
            (Measured::LateralLoadG, _) => "no sensor of this recording shows the ball".into(),
            (Measured::HeadingChangeDeg, _) => "it was not flown straight ahead".into(),
            (Measured::CrestDifferenceFt | Measured::SlowestDifferenceKt, _) => {
                "one half alone was flown".into()
            }
            (_, MeasuredAt::Turn(turn_deg)) => format!("{turn_deg:.0}° of turn were never reached"),
            _ => "not in this recording".into(),
        }
    }
}

/// The greatest (sign +1) or least (-1) of values alone.
fn extreme(values: Values, sign: f64) -> Values {
    let most = values.into_iter().max_by(|a, b| (sign * a.1.value).total_cmp(&(sign * b.1.value)));
    most.into_iter().collect()
}

/// What is judged and where, in words: "height change throughout".
fn title(row: &Row) -> String {
    let what = match row.quantity {
        Measured::HeadingErrorDeg => "heading",
        Measured::HeightChangeFt => "height against entry",
        Measured::AirspeedChangeKt => "airspeed against entry",
        Measured::AirspeedOverStallKt => "airspeed over the stall",
        Measured::AirspeedOver12StallKt => "airspeed over 1.2 times the stall",
        Measured::AirspeedOverManeuveringKt => "airspeed over the maneuvering speed",
        Measured::HeadingChangeDeg => "heading held",
        Measured::BankKeptDeg => "bank held",
        Measured::PitchHeldDeg => "pitch held after the 90° point",
        Measured::LateralLoadG => "ball",
        Measured::TurnOfHighestPitchDeg => "degrees of turn at the highest pitch",
        Measured::TurnOfLowestPitchDeg => "degrees of turn at the lowest pitch",
        other => other.word(),
    };
    if row.quantity.is_of_the_whole() && row.place != MeasuredAt::LevelOff {
        return what.into();
    }
    match row.place {
        MeasuredAt::Start => format!("{what} at the start"),
        MeasuredAt::BeforeBreak => format!("{what} until the break"),
        MeasuredAt::LevelOff => format!("{what} in the level-off"),
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
        let all = Together::ALL;
        let values: Vec<Estimate> =
            values.iter().map(|&(value, sigma)| Estimate { value, sigma }).collect();
        let (verdict, estimate, why) =
            bounds.verdict(&values, all, "ft").expect("there are values");
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
        // One in forty is 1.96 standard deviations.
        assert_eq!(verdict(BOUNDS, &[(96.0, 2.0)]).0, Verdict::Met);
        assert_eq!(verdict(BOUNDS, &[(96.5, 2.0)]).0, Verdict::CannotTell);
        assert_eq!(verdict(BOUNDS, &[(103.5, 2.0)]).0, Verdict::CannotTell);
        assert_eq!(verdict(BOUNDS, &[(104.5, 2.0)]).0, Verdict::NotMet);
        assert!(BOUNDS.verdict(&[], Together::ALL, "ft").is_none());
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
                let verdict =
                    bounds.verdict(&values, Together::ALL, "kt").map(|(verdict, ..)| verdict);
                assert_eq!(verdict, Some(Verdict::CannotTell));
            }
        }
    }
}
