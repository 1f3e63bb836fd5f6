//! Inverse simulations: chandelles and lazy eights by schedule.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use flight::point_mass::state;
use maneuver::optimum::Checkpoint;
use maneuver::optimum::history::where_turned;
use maneuver::solve::{Flown, Schedule, climbing_turn, course_half};

use super::cases::{Case, column};
use super::figure::Sheet;
use super::plane::STALL_MARGIN;

fn tolerance(_: &str, reference: f64) -> Option<f64> {
    Some(1e-4 * reference.abs().max(1.0))
}

/// Cases 2a and 2b.
pub(super) fn climbing_turn(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let setting = plane.setting();
    let bank_rad = plane.bank_modern_rad;
    let form = climbing_turn::Form {
        bank_first_rad: bank_rad,
        bank_90_rad: bank_rad,
        roll_in_s: 0.0,
        // The reading asks for the stall margin instead.
        speed_end_calibrated_mps: f64::NAN,
        power_entry_share: 1.0,
    };
    let reading = climbing_turn::Reading {
        lift_bank: case.name.starts_with("2a"),
        course: true,
        end_over_stall: Some(STALL_MARGIN),
    };
    let (schedule, flown, _, _) = climbing_turn::solve_read(&setting, form, reading)
        .map_err(|infeasible| infeasible.to_string())?;
    let (_, first) = flown.at(&setting.body, &schedule, 0.0);
    parameters(case, sheet, |key| {
        Some(match key {
            "theta0_deg" => first.pitch_rad / RAD_PER_DEG,
            "theta_max_deg" => schedule.pitch_max_rad / RAD_PER_DEG,
            "t90_s" => schedule.time_90_s,
            "t_rollout_s" => schedule.roll_out_s,
            "bank_rollout_rate_deg_s" => bank_rad / schedule.roll_out_s / RAD_PER_DEG,
            _ => return None,
        })
    })?;
    compare(case, &schedule, &flown, sheet)
}

/// Cases 3a, 3b and 3c.
pub(super) fn lazy_eight(case: &Case<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let plane = case.plane;
    let setting = plane.setting();
    let given = case.entry.entry("parameters")?;
    let bank_by = if given.has("delta_deg") {
        course_half::BankBy::Course { margin_rad: given.number("delta_deg")? * RAD_PER_DEG }
    } else {
        course_half::BankBy::Time
    };
    let speed_90_mps = setting.body.stall_speed_mps(plane.height_m) + 10.0 * MPS_PER_KT;
    let single = case.name.starts_with("3c");
    let form = course_half::Form {
        bank_max_rad: case.entry.number("bank_max_deg")? * RAD_PER_DEG,
        bank_by,
        speed_90_mps: (!single).then_some(speed_90_mps),
    };
    let (schedule, flown) =
        course_half::solve(&setting, &form).map_err(|infeasible| infeasible.to_string())?;
    parameters(case, sheet, |key| {
        Some(match key {
            "theta0_deg" => schedule.pitch_level_rad / RAD_PER_DEG,
            "A_up_deg" => schedule.amplitudes_rad[0] / RAD_PER_DEG,
            "A_down_deg" => schedule.amplitudes_rad[1] / RAD_PER_DEG,
            "thrust_scale" => schedule.power_share,
            "T_s" => flown.end_s,
            "V90_target_m_s" => speed_90_mps,
            _ => return None,
        })
    })?;
    compare(case, &schedule, &flown, sheet)
}

/// The parameters found.
fn parameters(
    case: &Case<'_>,
    sheet: &mut Sheet,
    value: impl Fn(&str) -> Option<f64>,
) -> Result<(), String> {
    for (key, reference) in case.entry.entry("parameters")?.numbers() {
        if let Some(value) = value(key) {
            sheet.share(&case.title, key, (value, reference), 1e-4);
        }
    }
    Ok(())
}

/// Summary, checkpoints and every row of the table.
fn compare(
    case: &Case<'_>,
    schedule: &impl Schedule,
    flown: &Flown,
    sheet: &mut Sheet,
) -> Result<(), String> {
    let body = case.plane.body();
    let end = flown.state(flown.end_s);
    let near = |reference: f64| 1e-4 * reference.abs().max(1.0);
    case.stated(sheet, ("time_s", flown.end_s), near)?;
    case.stated(sheet, ("height_gain_m", end[state::HEIGHT] - case.plane.height_m), near)?;
    case.stated(sheet, ("gamma_end_deg", end[state::CLIMB] / RAD_PER_DEG), near)?;
    case.checkpoints(
        sheet,
        |course| where_turned(flown, &body, schedule, course),
        (tolerance, None),
    )?;
    let table = case.folder.table(&case.table())?;
    let times = table.column("t_s")?;
    let rows: Vec<Checkpoint> = times
        .iter()
        .map(|&time_s| {
            let (state, resolved) = flown.at(&body, schedule, time_s);
            Checkpoint { time_s, state, resolved }
        })
        .collect();
    for name in [
        "x_m",
        "y_m",
        "h_m",
        "V_m_s",
        "gamma_deg",
        "chi_deg",
        "CL",
        "mu_deg",
        "n",
        "alpha_deg",
        "theta_deg",
        "phi_deg",
        "psi_deg",
        "D_N",
        "V_over_Vs",
    ] {
        let references = table.column(name)?;
        let pairs: Vec<(f64, f64)> = rows
            .iter()
            .zip(references)
            .filter_map(|(row, reference)| {
                Some((column(&body, case.plane.height_m, name, row)?, reference))
            })
            .collect();
        sheet.column(&case.title, name, &pairs);
    }
    Ok(())
}
