//! Pressure against geometric height.

use super::{LOOKS_LEAST, LOOKS_MOST, Onward, suspect};
use crate::normal::assemble::{Draft, median};
use crate::normal::{Fix, HeightDatum, NoteKind, QuantityKind as Q};
use base::factors::{M_PER_FT, PA_PER_HPA};
use base::math;

/// Sea-level pressure of the standard atmosphere, Pa. Source: DOC-7488, as the next two.
const STANDARD_PRESSURE_PA: f64 = 101_325.0;
/// Temperature over lapse rate at sea level, m.
const STANDARD_SCALE_M: f64 = 288.15 / 0.0065;
/// Gravity over gas constant and lapse rate.
const STANDARD_EXPONENT: f64 = 5.255_88;
/// An altimeter setting beyond these is none of this earth, Pa.
const SETTINGS_PA: std::ops::RangeInclusive<f64> = 92_000.0..=106_000.0;

/// Pressure altitude of a pressure, m.
fn pressure_altitude_m(pressure_pa: f64) -> f64 {
    STANDARD_SCALE_M
        * (1.0 - math::pow(pressure_pa / STANDARD_PRESSURE_PA, 1.0 / STANDARD_EXPONENT))
}

/// Density of the standard atmosphere over that at sea level.
pub(super) fn density_ratio(height_m: f64) -> f64 {
    math::pow((1.0 - height_m / STANDARD_SCALE_M).max(0.0), STANDARD_EXPONENT - 1.0)
}

/// The altimeter setting on which a pressure altitude reads as much more as the offset, Pa.
fn setting_pa(offset_m: f64) -> f64 {
    STANDARD_PRESSURE_PA
        * math::pow((1.0 + offset_m / STANDARD_SCALE_M).max(0.0), STANDARD_EXPONENT)
}

pub(super) fn pressure_against_height(draft: &mut Draft, fixes: &[Fix]) {
    if draft.height_datum == HeightDatum::Pressure {
        return;
    }
    let of = |q: Q| draft.series.iter().find(|series| series.quantity == q);
    let Some(series) = of(Q::PressureAltitudeM).or(of(Q::StaticPressurePa)) else { return };
    let is_pressure = series.quantity == Q::StaticPressurePa;
    let step = fixes.len().div_ceil(LOOKS_MOST).max(1);
    let mut pressures = Onward::new(&series.times_s, &series.values);
    let both: Vec<(f64, f64)> = fixes
        .iter()
        .step_by(step)
        .filter_map(|fix| {
            let value = pressures.at(fix.time_s)?;
            Some((if is_pressure { pressure_altitude_m(value) } else { value }, fix.height_m?))
        })
        .collect();
    let offsets: Vec<f64> =
        both.iter().map(|(pressure_m, height_m)| height_m - pressure_m).collect();
    let Some(offset_m) = median(offsets.clone()).filter(|_| both.len() >= LOOKS_LEAST) else {
        return;
    };
    let spread_m = median(offsets.iter().map(|offset| (offset - offset_m).abs()).collect());
    let origin = series.origin.clone();
    let name = if is_pressure {
        format!("the pressure altitude by {origin}")
    } else {
        format!("the pressure altitude ({origin})")
    };
    let slope = slope(&both);
    if let Some(slope) = slope.filter(|slope| math::ln(*slope).abs() > 0.25) {
        let what =
            format!("the height of the fixes changes by {slope:.2} m for each meter of {name}");
        let feet = math::ln(slope * M_PER_FT).abs().min(math::ln(slope / M_PER_FT).abs()) < 0.2;
        let cause = feet.then(|| "one of the two in feet, taken for meters".to_owned());
        suspect(draft, &what, cause);
        return;
    }
    let setting = setting_pa(offset_m);
    let words = format!(
        "the height of the fixes is {:.0} m {} {name} in the median (half of it within {:.0} m)",
        offset_m.abs(),
        if offset_m < 0.0 { "below" } else { "above" },
        spread_m.unwrap_or(0.0)
    );
    if SETTINGS_PA.contains(&setting) {
        let datum = match draft.height_datum {
            HeightDatum::Ellipsoid => ", if the geoid lay on the ellipsoid",
            HeightDatum::NotStated | HeightDatum::MeanSeaLevel | HeightDatum::Pressure => "",
        };
        let setting_hpa = setting / PA_PER_HPA;
        draft.note(
            NoteKind::Found,
            format!(
                "{words}: an altimeter setting of {setting_hpa:.0} hPa would explain it{datum}"
            ),
        );
    } else {
        draft.note(
            NoteKind::Odd,
            format!("{words}: no altimeter setting explains that; one of the two is wrong"),
        );
    }
}

/// Slope of height on pressure altitude, when both change enough to tell.
fn slope(both: &[(f64, f64)]) -> Option<f64> {
    let count = both.len() as f64;
    let mean = |get: fn(&(f64, f64)) -> f64| both.iter().map(get).sum::<f64>() / count;
    let (mx, my) = (mean(|p| p.0), mean(|p| p.1));
    let sum = |product: &dyn Fn(f64, f64) -> f64| {
        both.iter().map(|p| product(p.0 - mx, p.1 - my)).sum::<f64>()
    };
    let (xx, xy, yy) = (sum(&|x, _| x * x), sum(&|x, y| x * y), sum(&|_, y| y * y));
    let spread_m = (xx / count).sqrt().min((yy / count).sqrt());
    (spread_m > 30.0 && xy > 0.0 && xy * xy > 0.8 * xx * yy).then(|| xy / xx)
}
