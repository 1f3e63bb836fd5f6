//! Limits that an attempt came near or passed: rules of the air, and those of the airplane when it is known. Lines for the
//! reader, beginning with `limit:`; never a finding of a standard.

use std::ops::RangeInclusive;

use flight::airplane::Airplane;

use base::numerics::statistics::SIGMAS_OF_95_PERCENT;
use base::units::LoadFactor;

use crate::trace::{Line, Trace};

/// Bank and pitch beyond which occupants need parachutes unless only crew is aboard, degrees. Source: 14-CFR-91.307.
const PARACHUTE_BANK_DEG: f64 = 60.0;
const PARACHUTE_PITCH_DEG: f64 = 30.0;
/// Nearer to the stall than this is told, kt. Common practice, no source.
const STALL_NEAR_KT: f64 = 3.0;

/// Which way a limit is passed.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Side {
    Above,
    Below,
}

/// What was passed or may have been, in the order of weight.
pub(crate) fn passed(
    trace: &Trace,
    places: RangeInclusive<usize>,
    airplane: Option<&Airplane>,
) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(airplane) = airplane {
        of_the_airplane(&mut out, trace, &places, airplane);
    }
    let bank = magnitude(&trace.bank_deg, &places);
    out.extend(line("bank", "deg", &bank, PARACHUTE_BANK_DEG, Side::Above, RULE));
    if let Some(pitch) = &trace.pitch_deg {
        let pitch = magnitude(pitch, &places);
        out.extend(line("pitch", "deg", &pitch, PARACHUTE_PITCH_DEG, Side::Above, RULE));
    }
    out
}

const RULE: &str = "beyond it parachutes are required unless only crew is aboard (14 CFR 91.307)";

/// Load, speed and stall of the airplane at its typical mass.
fn of_the_airplane(
    out: &mut Vec<String>,
    trace: &Trace,
    places: &RangeInclusive<usize>,
    airplane: &Airplane,
) {
    let never_exceed = airplane.calibrated(airplane.speeds.never_exceed).to_kt();
    let speed = values(&trace.cas_kt, places);
    out.extend(line(
        "calibrated airspeed",
        "kt",
        &speed,
        never_exceed,
        Side::Above,
        "never exceed",
    ));
    let Some(load) = &trace.load_factor else { return };
    let loads = values(load, places);
    if let Some(category) = airplane.category(airplane.masses.typical) {
        let (most, least) = (category.load_factor_max.to_g(), category.load_factor_min.to_g());
        let whose = format!("limit load of the {} category at its typical mass", category.name);
        out.extend(line("load factor", "g", &loads, most, Side::Above, &whose));
        out.extend(line("load factor", "g", &loads, least, Side::Below, &whose));
    }
    let over_stall: Vec<(f64, f64)> = places
        .clone()
        .map(|i| {
            let load = load.value[i].max(0.0);
            let stall = airplane.stall_speed(airplane.masses.typical, LoadFactor::from_g(load));
            (trace.cas_kt.value[i] - stall.to_kt(), trace.cas_kt.sigma[i])
        })
        .collect();
    let near = "kt over the stall at that load and the typical mass";
    out.extend(line("speed", near, &over_stall, STALL_NEAR_KT, Side::Below, "near the stall"));
}

fn values(line: &Line, places: &RangeInclusive<usize>) -> Vec<(f64, f64)> {
    places.clone().map(|i| (line.value[i], line.sigma[i])).collect()
}

fn magnitude(line: &Line, places: &RangeInclusive<usize>) -> Vec<(f64, f64)> {
    places.clone().map(|i| (line.value[i].abs(), line.sigma[i])).collect()
}

/// The line for the place farthest past a limit; `None` when even its most likely value keeps it.
fn line(
    what: &str,
    unit: &str,
    values: &[(f64, f64)],
    limit: f64,
    side: Side,
    whose: &str,
) -> Option<String> {
    let sign = if side == Side::Above { 1.0 } else { -1.0 };
    let past = |(value, _): &(f64, f64)| sign * (value - limit);
    let (value, sigma) =
        *values.iter().filter(|v| v.1.is_finite()).max_by(|a, b| past(a).total_cmp(&past(b)))?;
    if past(&(value, sigma)) <= 0.0 {
        return None;
    }
    let band = SIGMAS_OF_95_PERCENT * sigma;
    let sure = if past(&(value, sigma)) > band { "past" } else { "perhaps past" };
    let decimals = usize::from(unit == "g" || unit == "deg") + usize::from(unit == "g");
    Some(format!(
        "limit: {what} {value:.decimals$} ± {band:.decimals$} {unit}, {sure} {limit:.decimals$}: {whose}"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_a_limit_is_told_with_how_sure_it_was_passed() {
        let told =
            |values: &[(f64, f64)], side| line("load factor", "g", values, 3.8, side, "limit load");
        assert_eq!(told(&[(3.7, 0.2), (1.0, 0.1)], Side::Above), None);
        let perhaps = told(&[(3.9, 0.2)], Side::Above).expect("told");
        assert_eq!(perhaps, "limit: load factor 3.90 ± 0.39 g, perhaps past 3.80: limit load");
        assert!(told(&[(4.4, 0.2)], Side::Above).expect("told").contains(", past 3.80"));
        assert!(told(&[(4.4, f64::NAN)], Side::Above).is_none());
        let below = line("load factor", "g", &[(-2.0, 0.1)], -1.5, Side::Below, "limit load");
        assert!(below.expect("told").contains(", past -1.50"));
    }
}
