//! The cases of one airplane, each by its kind.

use base::factors::RAD_PER_DEG;
use flight::point_mass::{PointMass, level_speed_max, power_lapse, state};
use maneuver::optimum::Checkpoint;
use maneuver::optimum::sustained::best_excess_power;

use super::figure::Sheet;
use super::folder::{Entry, Folder};
use super::plane::Plane;
use super::{best, inverse, level};

/// What is known of a kind: how its names begin, and how it is compared.
type Compare = fn(&Case<'_>, &mut Sheet) -> Result<(), String>;
const KINDS: &[(&str, Compare)] = &[
    ("1a_", best::climb),
    ("1b_", best::climb),
    ("1c_", best::programmed),
    ("2a_", inverse::climbing_turn),
    ("2b_", inverse::climbing_turn),
    ("3", inverse::lazy_eight),
    ("4_", best::wing_over),
    ("5_sustained", level::sustained),
    ("5_level", level::turn),
];

/// One case of one airplane.
pub(super) struct Case<'a> {
    pub(super) folder: &'a Folder,
    pub(super) plane: &'a Plane,
    pub(super) entry: Entry<'a>,
    pub(super) name: &'a str,
    /// Airplane and case.
    pub(super) title: String,
}

impl Case<'_> {
    /// Name of its table.
    pub(super) fn table(&self) -> String {
        format!("{}_{}.csv", self.plane.key, self.name)
    }
    /// A figure of the case within a tolerance, when the case states it.
    pub(super) fn stated(
        &self,
        sheet: &mut Sheet,
        (key, value): (&str, f64),
        tolerance: impl Fn(f64) -> f64,
    ) -> Result<(), String> {
        if self.entry.has(key) {
            let reference = self.entry.number(key)?;
            sheet.add(&self.title, key, (value, reference), tolerance(reference));
        }
        Ok(())
    }
    /// Figures at the checkpoints, by a function from course to what is there.
    pub(super) fn checkpoints(
        &self,
        sheet: &mut Sheet,
        at: impl Fn(f64) -> Option<Checkpoint>,
        (tolerance, loose_end): (impl Fn(&str, f64) -> Option<f64>, Option<&'static str>),
    ) -> Result<(), String> {
        let turns = self.entry.list("checkpoints_deg_of_turn")?;
        let references = self.entry.list("checkpoints")?;
        if turns.len() != references.len() {
            return Err(format!("{} turns but {} checkpoints", turns.len(), references.len()));
        }
        let last = turns.len().saturating_sub(1);
        for (index, (turn, reference)) in turns.iter().zip(references).enumerate() {
            let turn_deg = turn.as_number()?;
            let found = at(turn_deg * RAD_PER_DEG);
            let found =
                found.ok_or_else(|| format!("the flight never turns {turn_deg} degrees"))?;
            let body = self.plane.body();
            for (key, reference) in reference.numbers() {
                let Some(value) = column(&body, self.plane.height_m, key, &found) else { continue };
                let Some(tolerance) = tolerance(key, reference) else { continue };
                let what = format!("{key} at {turn_deg} deg");
                sheet.add(&self.title, &what, (value, reference), tolerance);
                if let Some(why) = loose_end
                    && index == last
                    && matches!(key, "alpha_deg" | "theta_deg")
                {
                    sheet.loose(why);
                }
            }
        }
        Ok(())
    }
}

/// A quantity by the name of its column; `None` for names that are not compared.
pub(super) fn column(
    body: &PointMass<'_>,
    entry_m: f64,
    name: &str,
    at: &Checkpoint,
) -> Option<f64> {
    let (x, resolved) = (&at.state, &at.resolved);
    let (speed, height) = (x[state::SPEED], x[state::HEIGHT]);
    let degrees = |angle: f64| angle / RAD_PER_DEG;
    let load = || resolved.lift_coefficient * body.pressure_area_n(speed, height) / body.weight_n();
    Some(match name {
        "t_s" => at.time_s,
        "x_m" => x[state::NORTH],
        "y_m" => x[state::EAST],
        "h_m" => height - entry_m,
        "V_m_s" => speed,
        "V_over_Vs" => speed / body.stall_speed_mps(height),
        "gamma_deg" => degrees(x[state::CLIMB]),
        "chi_deg" => degrees(x[state::COURSE]),
        "theta_deg" => degrees(resolved.pitch_rad),
        "phi_deg" => degrees(resolved.bank_rad),
        "psi_deg" => degrees(x[state::COURSE] + resolved.heading_offset_rad),
        "mu_deg" => degrees(resolved.lift_bank_rad),
        "alpha_deg" => degrees(resolved.incidence_rad),
        "CL" => resolved.lift_coefficient,
        "n" => load(),
        "D_N" => body.drag_n(resolved.lift_coefficient, speed, height),
        _ => return None,
    })
}

/// Every case of an airplane; what fails is noted and the rest goes on.
pub(super) fn airplane(folder: &Folder, entry: &Entry<'_>, sheet: &mut Sheet) {
    let plane = match Plane::read(entry) {
        Ok(plane) => plane,
        Err(message) => return sheet.note("airplane", Err(message)),
    };
    let key = plane.key.clone();
    let result = steady(&plane, entry, sheet);
    sheet.note(&key, result);
    let cases = match entry.list("cases") {
        Ok(cases) => cases,
        Err(message) => return sheet.note(&key, Err(message)),
    };
    for case in cases {
        let name = match case.text("case") {
            Ok(name) => name,
            Err(message) => {
                sheet.note(&key, Err(message));
                continue;
            }
        };
        let title = format!("{key} {name}");
        let kind = KINDS.iter().find(|(begins, _)| name.starts_with(begins));
        let result = match kind {
            Some((_, compare)) => {
                let case = Case { folder, plane: &plane, entry: case, name, title: title.clone() };
                compare(&case, sheet)
            }
            None => {
                let known: Vec<&str> = KINDS.iter().map(|(begins, _)| *begins).collect();
                Err(format!("a case of unknown kind; known names begin with {}", known.join(" ")))
            }
        };
        sheet.note(&title, result);
    }
    let result = best::time_sweep(folder, &plane, sheet);
    sheet.note(&format!("{key} 1_time_sweep"), result);
}

/// Figures of the airplane at entry, closed forms.
fn steady(plane: &Plane, entry: &Entry<'_>, sheet: &mut Sheet) -> Result<(), String> {
    if !entry.has("steady_figures") {
        return Ok(());
    }
    let body = plane.body();
    let density = body.air.at(plane.height_m);
    let stall = body.stall_speed_mps(plane.height_m);
    let (climb_speed, climb) = best_excess_power(&body, plane.height_m);
    let title = format!("{} steady", plane.key);
    for (key, reference) in entry.entry("steady_figures")?.numbers() {
        let value = match key {
            "Vs_m_s" => stall,
            "Vs_kt" => stall / base::factors::MPS_PER_KT,
            "VA_m_s" => stall * plane.load_limit.sqrt(),
            "RCmax_m_s" => climb,
            "Vy_m_s" => climb_speed,
            "Vmax_level_m_s" => level_speed_max(&body, plane.height_m).unwrap_or(f64::NAN),
            "rho_entry" => density,
            "thrust_factor_entry" => power_lapse(density / 1.225),
            _ => continue,
        };
        sheet.share(&title, key, (value, reference), 1e-4);
    }
    Ok(())
}
