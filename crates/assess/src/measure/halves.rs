//! Symmetry: one half of a figure against the other.

use crate::attempt::{Estimate, Measure};
use crate::part::Part;
use base::math::hypot;
use maneuver::standard::{Measured, MeasuredAt};

/// Both halves are slowest on about the same heading, so an error of the wind is the same for both: what is left of the error of
/// their difference (found on invented lessons). An airspeed that was recorded has no such error; what is off at the same speed is
/// the same.
const SAME_HEADING_LEFT: f64 = 0.5;
const SAME_SPEED_LEFT: f64 = 0.75;

/// Measures of a figure of two halves, the second less the first; none for figures of one piece.
pub(crate) fn measures(parts: &[Part<'_>]) -> Vec<Measure> {
    let [first, second] = parts else { return Vec::new() };
    let less = |of: &dyn Fn(&Part<'_>) -> Option<Estimate>, left: f64| {
        let (one, other) = (of(first)?, of(second)?);
        let sigma = left * hypot(one.sigma, other.sigma);
        Some(Estimate { value: other.value - one.value, sigma })
    };
    let slowest_left = if first.airspeed_recorded { SAME_SPEED_LEFT } else { SAME_HEADING_LEFT };
    let apart = |of: &dyn Fn(&Part<'_>) -> Option<Estimate>| less(of, 1.0);
    let add = |key, quantity, estimate| Measure { key, quantity, place: MeasuredAt::End, estimate };
    let extreme = |part: &Part<'_>, sign, of: &dyn Fn(usize) -> Estimate| {
        Part::extreme(part.all(), sign, of).map(|(_, estimate)| estimate)
    };
    let seconds = |part: &Part<'_>| {
        let value = part.time_s(part.end) - part.time_s(part.start);
        Some(Estimate { value, sigma: 1.0 })
    };
    let pitched = |part: &Part<'_>, sign| {
        part.trace.pitch_change_deg.as_ref()?;
        let none = Estimate { value: 0.0, sigma: f64::INFINITY };
        extreme(part, sign, &|i| part.pitch_change(i).unwrap_or(none))
    };
    vec![
        add(
            "crest_difference_ft",
            Measured::CrestDifferenceFt,
            apart(&|part| extreme(part, 1.0, &|i| part.height_change(i))),
        ),
        add(
            "slowest_difference_kt",
            Measured::SlowestDifferenceKt,
            less(&|part| extreme(part, -1.0, &|i| part.indicated(i)), slowest_left),
        ),
        add(
            "bank_at_90_difference_deg",
            Measured::BankDeg,
            apart(&|part| part.at_turn(90.0, |i| part.bank(i))),
        ),
        add("pitch_greatest_difference_deg", Measured::PitchDeg, apart(&|part| pitched(part, 1.0))),
        add("pitch_least_difference_deg", Measured::PitchDeg, apart(&|part| pitched(part, -1.0))),
        add("duration_difference_s", Measured::TimeS, apart(&seconds)),
    ]
}
