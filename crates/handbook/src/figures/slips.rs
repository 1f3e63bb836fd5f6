//! Figures that are each possible but cannot belong together, with the slip that is likely behind them.
//!
//! Bounds are wide on purpose (common practice, no source): inside them the fit judges, outside them a unit or a digit is wrong.

use base::factors::{KG_PER_LB, M2_PER_FT2};
use base::factors::{M_PER_FT, M_PER_IN, MPS_PER_KT, MPS_PER_MPH, STANDARD_GRAVITY_MPS2};
use base::numerics::statistics::median;
use base::typed_toml::Section;
use flight::air::SEA_LEVEL_DENSITY_KGPM3;

use super::{CruisePower, CruiseSpeed, Figures, ManualAirspeed, PowerSetting};
use crate::standard::{density_kgpm3, true_mps};

/// Kilograms on a square meter of wing.
const WING_LOADING: (f64, f64) = (25.0, 260.0);
/// Span squared over area.
const ASPECT: (f64, f64) = (4.0, 24.0);
/// Kilograms for a kilowatt.
const POWER_LOADING: (f64, f64) = (1.5, 16.0);
/// Greatest lift coefficient, flaps up and down, idle and (more) under power.
const LIFT_MAX: (f64, f64) = (0.95, 2.1);
const LIFT_MAX_FLAPS: f64 = 3.4;
const LIFT_MAX_POWER: f64 = 1.6;
/// Share of the engine's power that can lift the airplane.
const CLIMB_SHARE: f64 = 0.85;
/// Drag coefficient without lift.
const DRAG: (f64, f64) = (0.008, 0.11);
/// How far a cruise row may stand off the others, as a ratio of speeds.
const ROW_SPREAD: f64 = 1.10;
/// Knots in a mile per hour: the slip of all slips.
const MPH_FOR_KT: f64 = MPS_PER_MPH / MPS_PER_KT;

const MPH: &str = "mph entered as kt?";

pub(super) fn check(root: &Section<'_>, figures: &Figures) {
    sizes(root, figures);
    masses(root, figures);
    propeller(root, figures);
    ladder(root, figures);
    stalls(root, figures);
    climbs(root, figures);
    cruises(root, figures);
    balance(root, figures);
}

/// Centers of gravity lie under the wing.
fn balance(root: &Section<'_>, figures: &Figures) {
    /// Mean chords behind the leading edge within which limits lie.
    const CHORDS: (f64, f64) = (-0.05, 0.6);
    let (Some(balance), Some(block)) = (&figures.balance, root.optional_section("balance")) else {
        return;
    };
    let usual_m = figures.wing.area.to_m2() / figures.wing.span.to_m();
    let chord_m = balance.chord.to_m();
    if outside((0.6, 1.7), chord_m / usual_m) {
        let what =
            format!("a mean chord of {chord_m:.2} m, where area over span is {usual_m:.2} m");
        block.fault("chord", what, "feet or inches entered as meters?");
        return;
    }
    for row in &balance.envelope {
        for (key, arm) in [("forward_m", row.forward), ("aft_m", row.aft)] {
            let chords = balance.chords(arm);
            if outside(CHORDS, chords) {
                let what = format!(
                    "the limit of {:.2} m at {:.0} kg lies {chords:.2} mean chords behind the leading edge",
                    arm.to_m(),
                    row.mass.to_kg()
                );
                let key = if block.has(key) { key } else { "mass_lb" };
                block.fault(
                    key,
                    what,
                    "inches entered as meters? another datum than leading_edge?",
                );
                return;
            }
        }
    }
    if figures.masses.empty.is_none() {
        block.fault("empty_arm", "weight and balance need the empty mass", "give mass.empty");
    }
}

fn outside((least, most): (f64, f64), value: f64) -> bool {
    !(least..=most).contains(&value)
}

fn sizes(root: &Section<'_>, figures: &Figures) {
    let (Some(mass), Some(wing)) = (root.optional_section("mass"), root.optional_section("wing"))
    else {
        return;
    };
    let (area_m2, span_m) = (figures.wing.area.to_m2(), figures.wing.span.to_m());
    let maximum_kg = figures.masses.maximum.to_kg();
    let loading = maximum_kg / area_m2;
    let aspect = span_m * span_m / area_m2;
    if outside(ASPECT, aspect) {
        let hint = if !outside(ASPECT, aspect * M_PER_FT * M_PER_FT) {
            "feet entered as meters?"
        } else if !outside(ASPECT, aspect / M2_PER_FT2) {
            "square feet entered as square meters?"
        } else {
            "check both and their units"
        };
        let what = format!(
            "span {span_m:.2} m and area {area_m2:.2} m2 make an aspect ratio of {aspect:.1}"
        );
        wing.fault("span", what, hint);
    } else if outside(WING_LOADING, loading) {
        let hint = if !outside(WING_LOADING, loading * KG_PER_LB) {
            "lb entered as kg?"
        } else if !outside(WING_LOADING, loading / KG_PER_LB) {
            "kg entered as lb?"
        } else {
            "check mass and area and their units"
        };
        let what = format!("{maximum_kg:.0} kg on {area_m2:.2} m2 is {loading:.0} kg/m2");
        mass.fault("maximum", what, hint);
    }
    let per_kw = maximum_kg / figures.engine.power.value.to_kw();
    if outside(POWER_LOADING, per_kw)
        && let Some(engine) = root.optional_section("engine")
    {
        let what = format!("{per_kw:.1} kg for each kW of the engine");
        engine.fault("power", what, "check power and mass: W, kW or hp?");
    }
}

fn masses(root: &Section<'_>, figures: &Figures) {
    let Some(block) = root.optional_section("mass") else { return };
    let masses = &figures.masses;
    if masses.empty.is_some_and(|empty| empty >= masses.maximum) {
        block.fault("empty", "the empty mass is not below the maximum mass", "check both units");
    }
    let typical = masses.typical;
    if typical.is_some_and(|typical| typical > masses.maximum)
        || typical.zip(masses.empty).is_some_and(|(typical, empty)| typical <= empty)
    {
        let what = "the typical mass is not between empty and maximum";
        block.fault("typical", what, "give a usual training mass");
    }
    for key in ["climb", "cruise", "glide", "stall"] {
        for row in root.sections(key) {
            let Some(mass) = row.has("mass").then(|| row.optional_quantity("mass")).flatten()
            else {
                continue;
            };
            let mass: base::units::Mass = mass;
            if mass > masses.maximum * 1.001 {
                let what = "the mass of this row is above the maximum mass";
                row.fault("mass", what, "lb entered as kg?");
            }
        }
    }
}

fn propeller(root: &Section<'_>, figures: &Figures) {
    let (Some(diameter), Some(block)) =
        (figures.propeller.diameter, root.optional_section("propeller"))
    else {
        return;
    };
    let (diameter_m, span_m) = (diameter.to_m(), figures.wing.span.to_m());
    if outside((0.9, 0.4 * span_m.min(12.0)), diameter_m) {
        let hint = if !outside((0.9, 4.0), diameter_m * M_PER_IN) {
            "inches entered as meters?"
        } else if !outside((0.9, 4.0), diameter_m / 100.0) {
            "centimeters entered as meters?"
        } else if !outside((0.9, 4.0), diameter_m * M_PER_FT) {
            "feet entered as meters?"
        } else {
            "check the figure and its unit"
        };
        let size =
            if diameter_m > span_m { "larger than the airplane" } else { "out of proportion" };
        let what = format!("a propeller of {diameter_m:.2} m is {size} (span {span_m:.1} m)");
        block.fault("diameter", what, hint);
    }
    if let Some(standing) = figures.propeller.speed_static
        && standing.value > figures.speed_rated() * 1.02
    {
        let what = "the speed of rotation standing is above the rated one";
        block.fault("speed_static", what, "check speed_static and engine.speed_rated");
    }
}

/// Stall below maneuvering below cruise below never-exceed.
fn ladder(root: &Section<'_>, figures: &Figures) {
    let speeds = &figures.speeds;
    let stall = figures.stall_clean().and_then(|stall| match stall.speed.value {
        ManualAirspeed::Indicated(speed) => Some(speed.to_kt()),
        ManualAirspeed::Calibrated(_) => None,
    });
    let line = figures.stall_clean().map(|stall| stall.speed.line);
    let named = [
        ("the stall speed", stall, line),
        (
            "maneuvering",
            speeds.maneuvering.map(|s| s.value.to_kt()),
            speeds.maneuvering.map(|s| s.line),
        ),
        (
            "normal_max",
            speeds.normal_max.map(|s| s.value.to_kt()),
            speeds.normal_max.map(|s| s.line),
        ),
        (
            "never_exceed",
            speeds.never_exceed.map(|s| s.value.to_kt()),
            speeds.never_exceed.map(|s| s.line),
        ),
    ];
    let known: Vec<(&str, f64, usize)> =
        named.iter().filter_map(|(name, speed, line)| Some((*name, (*speed)?, (*line)?))).collect();
    for pair in known.windows(2) {
        let ((below, slow, line), (above, fast, _)) = (pair[0], pair[1]);
        if slow >= fast {
            let hint = if slow * MPH_FOR_KT < fast { MPH } else { "check both and their units" };
            let what = format!("{below} ({slow:.0} kt) is not below {above} ({fast:.0} kt)");
            root.fault_at(line, what, hint);
        }
    }
}

fn stalls(root: &Section<'_>, figures: &Figures) {
    for stall in &figures.stalls {
        let mass_kg = stall.mass.unwrap_or(figures.masses.maximum).to_kg();
        let speed_mps = figures.calibrated(stall.speed.value).to_mps();
        let pressure = 0.5 * SEA_LEVEL_DENSITY_KGPM3 * speed_mps * speed_mps;
        let lift = mass_kg * STANDARD_GRAVITY_MPS2 / (pressure * figures.wing.area.to_m2());
        let mut most = if stall.flaps == "up" { LIFT_MAX.1 } else { LIFT_MAX_FLAPS };
        if stall.power == PowerSetting::Full {
            most *= LIFT_MAX_POWER;
        }
        if outside((LIFT_MAX.0, most), lift) {
            let as_kt = lift / (MPH_FOR_KT * MPH_FOR_KT);
            let hint = if lift < LIFT_MAX.0 && !outside((LIFT_MAX.0, most), as_kt) {
                MPH
            } else if lift > most {
                "flaps down or at a lower mass? indicated without a position-error table?"
            } else {
                "check speed, mass and area and their units"
            };
            let what = format!(
                "a stall at {:.0} kt asks for a lift coefficient of {lift:.2}",
                speed_mps / MPS_PER_KT
            );
            root.fault_at(stall.speed.line, what, hint);
        }
    }
}

fn climbs(root: &Section<'_>, figures: &Figures) {
    for climb in &figures.climbs {
        let mass_kg = climb.mass.unwrap_or(figures.masses.maximum).to_kg();
        let lifting_w = mass_kg * STANDARD_GRAVITY_MPS2 * climb.rate.value.to_mps();
        let engine_w = figures.engine.power.value.to_w();
        if lifting_w > CLIMB_SHARE * engine_w {
            let what = format!(
                "climbing at {:.0} ft/min takes {:.0} % of the engine's power for the height alone",
                climb.rate.value.to_fpm(),
                100.0 * lifting_w / engine_w
            );
            root.fault_at(climb.rate.line, what, "check rate, mass and power: ft/min or m/s?");
        }
    }
}

/// A row of the cruise table as drag.
struct Row {
    line: usize,
    speed_kt: f64,
    /// Drag coefficient that the power pays for.
    drag: f64,
    /// Induced part of it, from the class.
    induced: f64,
}

/// Propeller efficiency and span efficiency that a row is judged with: middling ones.
const EFFICIENCY: f64 = 0.8;
const SPAN_EFFICIENCY: f64 = 0.75;

fn row(figures: &Figures, cruise: &super::CruiseFigure) -> Option<Row> {
    let rated_w = figures.engine.power.value.to_w();
    let height_m = cruise.height.to_m();
    let density = density_kgpm3(height_m);
    let full = flight::point_mass::power_lapse(density / SEA_LEVEL_DENSITY_KGPM3) * rated_w;
    let power_w = match cruise.power {
        CruisePower::Share(share) => share * rated_w,
        CruisePower::Shaft(power) | CruisePower::FullThrottle(Some(power)) => power.to_w(),
        CruisePower::FullThrottle(None) => full,
        CruisePower::Unknown => return None,
    };
    let speed_mps = match cruise.speed.value {
        CruiseSpeed::True(speed) => speed.to_mps(),
        CruiseSpeed::Calibrated(speed) => true_mps(speed, height_m),
    };
    let (area_m2, span_m) = (figures.wing.area.to_m2(), figures.wing.span.to_m());
    let pressure_area = 0.5 * density * speed_mps * speed_mps * area_m2;
    let mass_kg = cruise.mass.unwrap_or(figures.masses.maximum).to_kg();
    let lift = mass_kg * STANDARD_GRAVITY_MPS2 / pressure_area;
    let aspect = span_m * span_m / area_m2;
    Some(Row {
        line: cruise.speed.line,
        speed_kt: speed_mps / MPS_PER_KT,
        drag: EFFICIENCY * power_w / (pressure_area * speed_mps),
        induced: lift * lift / (std::f64::consts::PI * aspect * SPAN_EFFICIENCY),
    })
}

/// Power pays for drag: rows of one table must ask for nearly one drag without lift.
fn cruises(root: &Section<'_>, figures: &Figures) {
    let rows: Vec<Row> = figures.cruises.iter().filter_map(|cruise| row(figures, cruise)).collect();
    let middle = median(&rows.iter().map(|row| row.drag - row.induced).collect::<Vec<_>>());
    let middle = middle.unwrap_or(0.03).clamp(DRAG.0, DRAG.1);
    for Row { line, speed_kt, drag, induced } in &rows {
        // How much faster than the class, and than the other rows, for the same power.
        let faster = |drag_zero: f64| base::math::cbrt((drag_zero + induced) / drag);
        let ratio = faster(middle);
        if faster(DRAG.0) > 1.0 || faster(DRAG.1) < 1.0 {
            let mended = faster(DRAG.0) * MPH_FOR_KT < 1.0 && faster(DRAG.0) > 1.0;
            let hint = if mended { MPH } else { "check speed, power and height and their units" };
            let what = format!("{speed_kt:.0} kt true is not a level speed at this power");
            root.fault_at(*line, what, hint);
        } else if rows.len() > 2 && outside((1.0 / ROW_SPREAD, ROW_SPREAD), ratio) {
            let near = |slip: f64| (ratio / slip - 1.0).abs() < 0.06;
            let hint = if near(1.0 / MPH_FOR_KT) {
                "this row in mph, the others in kt? (mph entered as kt?)"
            } else if near(MPH_FOR_KT) {
                "this row in kt, the others in mph? (mph entered as kt?)"
            } else {
                "check speed, power and height of this row"
            };
            let what = format!(
                "the cruise table does not hang together: this row is {:.0} % {} the others",
                100.0 * (ratio - 1.0).abs(),
                if ratio > 1.0 { "faster than" } else { "slower than" }
            );
            root.fault_at(*line, what, hint);
        }
    }
}
