//! A constant-speed propeller on a climbing airplane: a printed row and a textbook example, reckoned from the general propeller
//! chart. Source: LOWRY-1999 (its printed thrust and drag are cut to a pound, not rounded).

use std::f64::consts::PI;

use base::factors::{M_PER_FT, MPS_PER_KT, N_PER_LBF, W_PER_HP};
use base::math::asin;
use flight::propulsion::general_chart::{GeneralPropeller, read};

use super::ratio_at_ft;
use crate::check::Check;

/// Power over density, turns to the third and diameter to the fifth, in the units of the source: hp, slug/ft3, 1/s, ft.
fn power_coefficient(power_hp: f64, density: f64, turns: f64, diameter_ft: f64) -> f64 {
    power_hp * 550.0 / (density * turns * turns * turns * diameter_ft.powi(5))
}

pub(super) fn checks() -> Vec<Check> {
    let mut out = example();
    out.extend(row());
    out
}

/// Example 6.4: its text takes 0.246 for the factor of the power coefficient, and no body.
fn example() -> Vec<Check> {
    let source = "LOWRY-1999, example 6.4, page 178";
    let advance = 253.2 / (40.0 * 7.0);
    let power = power_coefficient(200.0, 0.002_048, 40.0, 7.0);
    let efficiency = read(advance, power, 0.246).unwrap_or(f64::NAN);
    vec![
        Check::absolute("propulsion-example-advance", (advance, 0.9043, 0.5e-4), "J", source),
        Check::absolute("propulsion-example-power", (power, 0.049_93, 0.5e-5), "CP", source),
        Check::absolute("propulsion-example-efficiency", (efficiency, 0.764, 1e-3), "", source),
    ]
}

/// 3100 lb at 8000 ft, 60 KCAS (near enough equivalent), 65 % of 235 hp at 2300 rpm, from the data plate alone.
fn row() -> Vec<Check> {
    let source = "LOWRY-1999, constant-speed sample, 60 KCAS";
    let (weight_lbf, area_ft2, span_ft, turns) = (3100.0, 174.0, 36.0, 2300.0 / 60.0);
    let (density, power_hp) = (0.002_377 * ratio_at_ft(8000.0), 0.65 * 235.0);
    let speed_mps = 60.0 * MPS_PER_KT / ratio_at_ft(8000.0).sqrt();
    let speed_ftps = speed_mps / M_PER_FT;
    let propeller = GeneralPropeller { activity: 2.0 * 97.95, body: 0.688 };
    let advance = speed_ftps / (turns * 6.83);
    let power = power_coefficient(power_hp, density, turns, 6.83);
    let efficiency = propeller.efficiency(advance, power).unwrap_or(f64::NAN);
    let thrust_lbf = efficiency * power_hp * W_PER_HP / speed_mps / N_PER_LBF;
    let push = 0.5 * density * speed_ftps * speed_ftps * area_ft2;
    let aspect = span_ft * span_ft / area_ft2;
    let drag_lbf = 0.028_74 * push + weight_lbf * weight_lbf / (push * PI * aspect * 0.72);
    let spare = (thrust_lbf - drag_lbf) / weight_lbf;
    let climb_fpm = spare * speed_ftps * 60.0;
    let angle_deg = asin(spare) / base::factors::RAD_PER_DEG;
    let line = |id: &str, figures, unit| Check::absolute(id, figures, unit, source);
    vec![
        line("propulsion-row-speed", (speed_mps / MPS_PER_KT, 67.6, 0.1), "kt"),
        line("propulsion-row-efficiency", (efficiency, 0.6166, 0.5e-4), ""),
        line("propulsion-row-thrust", (thrust_lbf, 453.0, 0.55), "lbf"),
        line("propulsion-row-drag", (drag_lbf, 329.0, 1.0), "lbf"),
        line("propulsion-row-climb", (climb_fpm, 273.2, 0.05), "ft/min"),
        line("propulsion-row-climb-angle", (angle_deg, 2.28, 0.01), "deg"),
    ]
}
