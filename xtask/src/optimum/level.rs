//! Level turns: the quickest ones, sustained limits, power required.

use base::factors::RAD_PER_DEG;
use base::math::{cos, tan};
use flight::point_mass::{level_power, state};
use maneuver::optimum::Mesh;
use maneuver::optimum::sustained::{bank_at, best_rate, load_limits, turn_rate};
use maneuver::optimum::turn::{LevelTurn, solve_turn};

use super::cases::Case;
use super::figure::Sheet;
use super::plane::{Plane, STALL_MARGIN};

/// Cases 5, quickest turns.
pub(super) fn turn(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let start_mps = case.entry.number("V_start_m_s")?;
    let hold = match case.entry.text("V_end")? {
        "free" => false,
        ">= V_start" => true,
        other => return Err(format!("V_end is {other:?}; known are \"free\" and \">= V_start\"")),
    };
    let asked = LevelTurn {
        turn_rad: case.entry.number("turn_deg")? * RAD_PER_DEG,
        bank_max_rad: case.entry.number("bank_max_deg")? * RAD_PER_DEG,
        roll_rate_radps: plane.roll_rate_radps,
        stall_margin: STALL_MARGIN,
        hold,
    };
    if hold {
        let best = best_rate(&plane.body(), plane.height_m, STALL_MARGIN, load_cap(plane));
        let (speed_mps, _) = best.ok_or("level flight is not held at full power")?;
        sheet.share(&case.title, "V_start_m_s", (speed_mps, start_mps), 1e-4);
    }
    let body = plane.body();
    let found = solve_turn(&body, (start_mps, plane.height_m), &asked, &Mesh::default())
        .map_err(|error| error.to_string())?;
    let flown = found.history.fly(&body, start_mps, plane.height_m);
    let flown = flown.ok_or("the best controls leave the model when flown again")?;
    case.stated(sheet, ("time_s", flown.end_s), |time| 5e-4 * time)?;
    let end = flown.state(flown.end_s);
    case.stated(sheet, ("V_end_m_s", end[state::SPEED]), |_| 0.2)?;
    sheet.add(&case.title, "turned", (end[state::COURSE], asked.turn_rad), 0.6 * RAD_PER_DEG);
    let bank = found.history.pieces.iter().map(|piece| piece.bank_rad[1]).fold(0.0, f64::max);
    if let Some(reference) = case.entry.entry("extremes")?.list("mu_range_deg")?.last() {
        let pair = (bank / RAD_PER_DEG, reference.as_number()?);
        sheet.add(&case.title, "largest mu_deg", pair, 0.6);
    }
    let table = case.folder.table(&case.table())?;
    let reference = table.column("t_s")?.last().copied().unwrap_or(f64::NAN);
    sheet.share(&case.title, "t_s, last row of the table", (flown.end_s, reference), 5e-4);
    Ok(())
}

fn load_cap(plane: &Plane) -> f64 {
    plane.load_limit.min(1.0 / cos(plane.bank_level_rad))
}

/// Closed forms: best sustained rates, limits against speed, power required.
pub(super) fn sustained(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    for (key, load_max) in
        [("best_rate_with_bank_cap", load_cap(plane)), ("best_rate_no_cap", plane.load_limit)]
    {
        let best = best_rate(&plane.body(), plane.height_m, STALL_MARGIN, load_max);
        let (speed_mps, load) = best.ok_or("level flight is not held at full power")?;
        let rate = turn_rate(load, speed_mps);
        for (name, reference) in case.entry.entry(key)?.numbers() {
            let value = match name {
                "V_m_s" => speed_mps,
                "bank_deg" => bank_at(load) / RAD_PER_DEG,
                "rate_deg_s" => rate / RAD_PER_DEG,
                "time_180_s" => std::f64::consts::PI / rate,
                "time_360_s" => std::f64::consts::TAU / rate,
                _ => continue,
            };
            sheet.share(&case.title, &format!("{key}: {name}"), (value, reference), 1e-4);
        }
    }
    limits_table(case, sheet)?;
    power_table(case, sheet)
}

/// Limits against speed, the stall without a margin.
fn limits_table(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let table = case.folder.table(&format!("{}_5_sustained.csv", plane.key))?;
    let speeds = table.column("V_m_s")?;
    let body = plane.body();
    type Value = fn(f64, maneuver::optimum::sustained::LoadLimits) -> f64;
    let columns: &[(&str, Value)] = &[
        ("n_thrust_limit", |_, limits| limits.thrust.unwrap_or(f64::NAN)),
        ("bank_thrust_limit_deg", |_, limits| {
            limits.thrust.map_or(f64::NAN, |load| bank_at(load) / RAD_PER_DEG)
        }),
        ("n_stall_limit", |_, limits| limits.stall),
        ("bank_stall_limit_deg", |_, limits| bank_at(limits.stall) / RAD_PER_DEG),
        ("n_used", |_, limits| limits.used.unwrap_or(f64::NAN)),
        ("bank_used_deg", |_, limits| {
            limits.used.map_or(f64::NAN, |load| bank_at(load) / RAD_PER_DEG)
        }),
        ("turn_rate_deg_s", |v, limits| {
            limits.used.map_or(f64::NAN, |load| turn_rate(load, v) / RAD_PER_DEG)
        }),
        ("time_180_s", |v, limits| {
            limits.used.map_or(f64::NAN, |load| std::f64::consts::PI / turn_rate(load, v))
        }),
        ("time_360_s", |v, limits| {
            limits.used.map_or(f64::NAN, |load| std::f64::consts::TAU / turn_rate(load, v))
        }),
        ("radius_m", |v, limits| limits.used.map_or(f64::NAN, |load| v / turn_rate(load, v))),
    ];
    for (name, value) in columns {
        let references = table.column(name)?;
        let found = speeds.iter().map(|&speed_mps| {
            let at = (speed_mps, plane.height_m);
            value(speed_mps, load_limits(&body, at, 1.0, plane.load_limit))
        });
        // Cell by cell: radius and time grow without bound where the load comes near one.
        let pairs: Vec<(f64, f64)> = found.zip(references).collect();
        relative_column(sheet, (&format!("{} 5_sustained", plane.key), name), &pairs);
    }
    Ok(())
}

/// The cell of a column that is missed most as a share of itself; empty where nothing is must be empty here too.
fn relative_column(sheet: &mut Sheet, (title, name): (&str, &str), pairs: &[(f64, f64)]) {
    let miss = |pair: &(f64, f64)| {
        if pair.0.is_nan() && pair.1.is_nan() {
            return 0.0;
        }
        let miss = (pair.0 - pair.1).abs() / pair.1.abs().max(1e-3);
        if miss.is_nan() { f64::INFINITY } else { miss }
    };
    let stated = pairs.iter().filter(|pair| !(pair.0.is_nan() && pair.1.is_nan()));
    if let Some(worst) = stated.max_by(|a, b| miss(a).total_cmp(&miss(b))) {
        let what = format!("{name}, worst of {} rows", pairs.len());
        sheet.add(title, &what, *worst, 1e-4 * worst.1.abs().max(1e-3));
    }
}

fn power_table(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let table = case.folder.table(&format!("{}_5_power.csv", plane.key))?;
    let (banks, speeds) = (table.column("bank_deg")?, table.column("V_m_s")?);
    let (body, height_m) = (plane.body(), plane.height_m);
    let stall = body.stall_speed_mps(height_m);
    let row = |name: &str, bank_deg: f64, speed_mps: f64| {
        let bank_rad = bank_deg * RAD_PER_DEG;
        let load = 1.0 / cos(bank_rad);
        let lift = body.lift_coefficient_for(load, speed_mps, height_m);
        let drag = body.drag_n(lift, speed_mps, height_m);
        match name {
            "V_over_Vs" => speed_mps / stall,
            "n" => load,
            "CL" => lift,
            "D_N" => drag,
            "thrust_power_required_kW" => drag * speed_mps / 1000.0,
            "T_full_N" => body.thrust_n(1.0, speed_mps, height_m),
            "thrust_fraction" => {
                level_power(&body, load, speed_mps, height_m).share().unwrap_or(f64::NAN)
            }
            "V_over_Vs_in_turn" => speed_mps / (stall * load.sqrt()),
            _ => base::factors::STANDARD_GRAVITY_MPS2 * tan(bank_rad) / speed_mps / RAD_PER_DEG,
        }
    };
    for name in [
        "V_over_Vs",
        "n",
        "CL",
        "D_N",
        "thrust_power_required_kW",
        "T_full_N",
        "thrust_fraction",
        "V_over_Vs_in_turn",
        "turn_rate_deg_s",
    ] {
        let references = table.column(name)?;
        let pairs: Vec<(f64, f64)> = banks
            .iter()
            .zip(&speeds)
            .zip(references)
            .map(|((&bank, &speed), reference)| (row(name, bank, speed), reference))
            .collect();
        relative_column(sheet, (&format!("{} 5_power", plane.key), name), &pairs);
    }
    Ok(())
}
