//! Best flights: climbs within a time, with the bank free or programmed, wing-overs.

use base::factors::RAD_PER_DEG;
use flight::point_mass::state;
use maneuver::optimum::climb::{Climb, solve_climb};
use maneuver::optimum::history::where_turned;
use maneuver::optimum::programmed::solve_programmed;
use maneuver::optimum::wing_over::{WingOver, solve_wing_over};
use maneuver::optimum::{Limits, Mesh, Optimum};
use maneuver::solve::{Flown, Schedule, fly};

use super::cases::Case;
use super::figure::Sheet;
use super::folder::Folder;
use super::plane::Plane;

/// Shares of what was optimized, and of parameters found beside it.
const OBJECTIVE: f64 = 5e-4;

/// Tolerances at the checkpoints of an optimum.
pub(super) fn tolerance(key: &str, _: f64) -> Option<f64> {
    match key {
        "h_m" => Some(1.0),
        "V_m_s" => Some(0.2),
        "gamma_deg" | "theta_deg" | "mu_deg" | "phi_deg" | "alpha_deg" | "psi_deg" | "chi_deg" => {
            Some(0.6)
        }
        _ => None,
    }
}

fn refly(case: &Case<'_>, found: &Optimum) -> Result<Flown, String> {
    let plane = case.plane;
    // The bank may be on at the beginning, so the state is all that is level.
    let flown = found.history.fly(&plane.body(), plane.speed_mps, plane.height_m);
    flown.ok_or_else(|| "the best controls leave the model when flown again".into())
}

/// The lift at the very end turns nothing any more, so the objective hardly determines it; meshes differ there by degrees of incidence.
pub(super) const END_LIFT: &str = "the objective hardly determines the lift at the end";

/// Checkpoints and the end of an optimum flown again.
fn flown(case: &Case<'_>, found: &Optimum, sheet: &mut Sheet) -> Result<(), String> {
    let flown = refly(case, found)?;
    let body = case.plane.body();
    case.checkpoints(
        sheet,
        |course| where_turned(&flown, &body, &found.history, course),
        (tolerance, Some(END_LIFT)),
    )?;
    let end = flown.state(flown.end_s);
    let table = case.folder.table(&case.table())?;
    for (name, value) in
        [("h_m", end[state::HEIGHT] - case.plane.height_m), ("V_m_s", end[state::SPEED])]
    {
        let reference = table.column(name)?.last().copied().unwrap_or(f64::NAN);
        let what = format!("{name}, last row of the table");
        sheet.add(&case.title, &what, (value, reference), tolerance(name, 0.0).unwrap_or(0.0));
    }
    Ok(())
}

/// Cases 1a and 1b.
pub(super) fn climb(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let asked = Climb {
        limits: plane.limits(case.entry.number("bank_max_deg")? * RAD_PER_DEG),
        time_max_s: case.entry.number("time_max_s")?,
    };
    let found = solve_climb(&plane.body(), plane.entry(), &asked, &Mesh::default())
        .map_err(|error| error.to_string())?;
    gain(case, &found, sheet)
}

/// Height gained, time and the rest of a climb.
fn gain(case: &Case<'_>, found: &Optimum, sheet: &mut Sheet) -> Result<(), String> {
    let flown_again = refly(case, found)?;
    let height = flown_again.state(flown_again.end_s)[state::HEIGHT] - case.plane.height_m;
    case.stated(sheet, ("height_gain_m", height), |gain| OBJECTIVE * gain.abs())?;
    case.stated(sheet, ("time_s", flown_again.end_s), |time| OBJECTIVE * time)?;
    flown(case, found, sheet)
}

/// Case 1c.
pub(super) fn programmed(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let bank_rad = case.entry.number("bank_deg")? * RAD_PER_DEG;
    let time_max_s = case.entry.number("time_max_s")?;
    let asked = Climb { limits: plane.limits(bank_rad), time_max_s };
    let found =
        solve_programmed(&plane.body(), plane.entry(), (&asked, bank_rad), &Mesh::default())
            .map_err(|error| error.to_string())?;
    let rate = bank_rad / found.phases_s[1] / RAD_PER_DEG;
    case.stated(sheet, ("rollout_rate_deg_s", rate), |rate| 2e-3 * rate)?;
    gain(case, &found, sheet)
}

/// Case 4.
pub(super) fn wing_over(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let limits = Limits {
        load_min: 0.0,
        load_max: case.entry.number("n_max")?,
        bank_max_rad: case.entry.number("bank90_deg")? * RAD_PER_DEG,
        ..plane.limits(0.0)
    };
    let climb_45_rad = case.entry.number("gamma45_deg")? * RAD_PER_DEG;
    let asked = WingOver { limits, climb_45_rad };
    let mesh = Mesh { intervals: 10, ..Mesh::default() };
    let found = solve_wing_over(&plane.body(), plane.entry(), &asked, &mesh)
        .map_err(|error| error.to_string())?;
    if let Some(last) = case.entry.list("meshes")?.last() {
        let reference = last.number("objective")?;
        sheet.share(&case.title, "objective", (found.objective, reference), OBJECTIVE);
    }
    let flown_again = refly(case, &found)?;
    case.stated(sheet, ("thrust_scale", found.history.power_share), |share| OBJECTIVE * share)?;
    case.stated(sheet, ("time_s", flown_again.end_s), |time| OBJECTIVE * time)?;
    let body = plane.body();
    let top = where_turned(&flown_again, &body, &found.history, 90.0 * RAD_PER_DEG)
        .ok_or("the flight never turns 90 degrees")?;
    let share = top.state[state::SPEED] / plane.speed_mps;
    case.stated(sheet, ("V90_over_V0", share), |_| 0.2 / plane.speed_mps)?;
    let height = top.state[state::HEIGHT] - plane.height_m;
    case.stated(sheet, ("height_gain_at_90_m", height), |_| 1.0)?;
    flown(case, &found, sheet)
}

/// Best gain against the time allowed.
pub(super) fn time_sweep(folder: &Folder, plane: &Plane, sheet: &mut Sheet) -> Result<(), String> {
    let table = folder.table(&format!("{}_1_time_sweep.csv", plane.key))?;
    let (banks, times) = (table.column("bank_max_deg")?, table.column("time_max_s")?);
    let gains = table.column("height_gain_m")?;
    let solved = if table.has("solved") { table.column("solved")? } else { vec![1.0; gains.len()] };
    let title = format!("{} 1_time_sweep", plane.key);
    for i in 0..gains.len() {
        if solved[i] < 0.5 {
            continue;
        }
        let limits = plane.limits(banks[i] * RAD_PER_DEG);
        let asked = Climb { limits, time_max_s: times[i] };
        let what = format!("height_gain_m, bank {} deg, {} s", banks[i], times[i]);
        let found = solve_climb(&plane.body(), plane.entry(), &asked, &Mesh::default());
        match found
            .map_err(|error| error.to_string())
            .and_then(|found| end_height(plane, &found.history))
        {
            Ok(height) => sheet.share(&title, &what, (height, gains[i]), OBJECTIVE),
            Err(error) => sheet.note(&title, Err(format!("{what}: {error}"))),
        }
    }
    Ok(())
}

fn end_height(plane: &Plane, schedule: &impl Schedule) -> Result<f64, String> {
    let setting = plane.setting();
    let flown = fly(&setting.body, setting.start(), schedule)
        .ok_or("the best controls leave the model when flown again")?;
    Ok(flown.state(flown.end_s)[state::HEIGHT] - plane.height_m)
}
