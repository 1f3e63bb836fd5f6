//! Case 7: thrust equals drag, load and bank constant; the energy invariant and its closed form.

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::cos;
use base::numerics::ode::{self, Solution};
use flight::airplane::Thrust;
use flight::point_mass::{Command, DensityColumn, PointMass, state};

use super::figure::Sheet;
use super::folder::{Entry, Folder};
use super::plane::airplane;

/// Flies one load and bank from level flight for a time.
fn flight(
    load_factor: f64,
    bank_rad: f64,
    speed_mps: f64,
    time_s: f64,
) -> Solution<{ state::COUNT }> {
    // Neither thrust nor drag; the rest does not matter when the load is given.
    let thrust =
        Thrust::Polynomial { static_n: 0.0, slope_n_per_mps: 0.0, curvature_n_per_mps2: 0.0 };
    let airplane = airplane((1000.0, 16.0), [0.0, 0.0], [0.0, 5.0, 1.5], thrust);
    let body =
        PointMass { airplane: &airplane, mass_kg: 1000.0, air: DensityColumn::constant(1.225) };
    let mut start = [0.0; state::COUNT];
    start[state::SPEED] = speed_mps;
    let control = ode::Control {
        relative: 1e-11,
        absolute: 1e-10,
        step_first: 0.01,
        step_max: 1.0,
        steps_max: 100_000,
    };
    let derivative = |_: f64, x: &[f64; state::COUNT]| {
        let command = Command {
            lift_coefficient: body.lift_coefficient_for(
                load_factor,
                x[state::SPEED],
                x[state::HEIGHT],
            ),
            lift_bank_rad: bank_rad,
            power_share: 1.0,
        };
        body.derivative(x, &command)
    };
    ode::integrate(derivative, (0.0, time_s), start, &control, &[])
}

/// Speed by the invariant `V (n cos(bank) - cos(climb))`.
fn closed(load_factor: f64, bank_rad: f64, speed_mps: f64, climb_rad: f64) -> f64 {
    let upright = load_factor * cos(bank_rad);
    speed_mps * (upright - 1.0) / (upright - cos(climb_rad))
}

/// Ends of every flight, and every row of the table.
pub(super) fn compare(folder: &Folder, root: &Entry<'_>, sheet: &mut Sheet) -> Result<(), String> {
    let cases = root.list("case_7_energy")?;
    let table = folder.table("7_energy.csv")?;
    let loads = table.column("n")?;
    let banks = table.column("mu_deg")?;
    let times = table.column("t_s")?;
    for case in &cases {
        let (load, bank_deg) = (case.number("n")?, case.number("mu_deg")?);
        let (speed, time_s) = (case.number("V0_m_s")?, case.number("time_s")?);
        let bank_rad = bank_deg * RAD_PER_DEG;
        let title = format!("7_energy n {load} mu {bank_deg}");
        let flown = flight(load, bank_rad, speed, time_s);
        let end = flown.state(time_s);
        let climb_rad = case.number("gamma_end_deg")? * RAD_PER_DEG;
        for (key, value) in [
            ("V_end_m_s", end[state::SPEED]),
            ("h_end_m", end[state::HEIGHT]),
            ("chi_end_deg", end[state::COURSE] / RAD_PER_DEG),
            ("gamma_end_deg", end[state::CLIMB] / RAD_PER_DEG),
        ] {
            sheet.exact(&title, key, (value, case.number(key)?));
        }
        let by_invariant = closed(load, bank_rad, speed, climb_rad);
        sheet.exact(&title, "V_end_m_s, closed form", (by_invariant, case.number("V_end_m_s")?));
        let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
        let rows: Vec<usize> = (0..times.len())
            .filter(|&i| near(loads[i], load) && near(banks[i], bank_deg))
            .collect();
        let gammas = table.column("gamma_deg")?;
        let speeds: Vec<f64> =
            gammas.iter().map(|gamma| closed(load, bank_rad, speed, gamma * RAD_PER_DEG)).collect();
        let heights =
            |i: usize| (speed * speed - speeds[i] * speeds[i]) / (2.0 * STANDARD_GRAVITY_MPS2);
        let columns: [(&str, &dyn Fn(usize) -> f64); 7] = [
            ("gamma_deg", &|i| flown.state(times[i])[state::CLIMB] / RAD_PER_DEG),
            ("V_dop_m_s", &|i| flown.state(times[i])[state::SPEED]),
            ("V_closed_m_s", &|i| speeds[i]),
            ("h_dop_m", &|i| flown.state(times[i])[state::HEIGHT]),
            ("h_closed_m", &|i| heights(i)),
            ("chi_dop_deg", &|i| flown.state(times[i])[state::COURSE] / RAD_PER_DEG),
            ("x_dop_m", &|i| flown.state(times[i])[state::NORTH]),
        ];
        for (name, value) in columns {
            let references = table.column(name)?;
            let pairs: Vec<(f64, f64)> = rows.iter().map(|&i| (value(i), references[i])).collect();
            sheet.column(&title, name, &pairs);
        }
    }
    Ok(())
}
