//! The airplane of a case, from its parameters alone.

use base::factors::RAD_PER_DEG;
use base::math::pow;
use base::units::{Area, Mass};
use flight::air::Day;
use flight::airplane::{Airplane, Thrust, bundled};
use flight::point_mass::{DensityColumn, PointMass};
use maneuver::optimum::Limits;
use maneuver::solve::Setting;

use super::folder::Entry;

/// Parameters of an airplane and its entry.
pub(super) struct Plane {
    pub(super) key: String,
    pub(super) airplane: Airplane,
    pub(super) day: Day,
    pub(super) mass_kg: f64,
    pub(super) air: DensityColumn,
    pub(super) speed_mps: f64,
    pub(super) height_m: f64,
    pub(super) load_limit: f64,
    pub(super) load_min: f64,
    /// Greatest load of the climbing turns.
    pub(super) load_climb: f64,
    pub(super) lift_rate_per_s: f64,
    pub(super) roll_rate_radps: f64,
    pub(super) bank_modern_rad: f64,
    pub(super) bank_level_rad: f64,
}

impl Plane {
    /// Reads the entry of one airplane.
    pub(super) fn read(entry: &Entry<'_>) -> Result<Self, String> {
        let parameters = entry.entry("airplane")?;
        let number = |key: &str| parameters.number(key);
        let thrust = Thrust::Polynomial {
            static_n: number("T0")?,
            slope_n_per_mps: number("T1")?,
            curvature_n_per_mps2: number("T2")?,
        };
        let lift = [number("CL_alpha0")?, number("CLalpha")?, number("CLmax")?];
        let polar = [number("CD0")?, number("K")?];
        let airplane = airplane((number("m")?, number("S")?), polar, lift, thrust);
        let height_m = number("h0")?;
        let air = match parameters.text("rho_mode")? {
            "const" => DensityColumn::constant(number("rho")?),
            "isa" => standard_air(height_m),
            other => return Err(format!("rho_mode is {other:?}; known are const and isa")),
        };
        let plane = Self {
            key: entry.text("key")?.to_string(),
            airplane,
            day: Day::standard(),
            mass_kg: number("m")?,
            air,
            speed_mps: number("V0")?,
            height_m,
            load_limit: number("n_lim")?,
            load_min: number("n_min")?,
            load_climb: number("n_case")?,
            lift_rate_per_s: number("CLdot")?,
            roll_rate_radps: number("mudot")? * RAD_PER_DEG,
            bank_modern_rad: number("bank_modern")? * RAD_PER_DEG,
            bank_level_rad: number("bank_level")? * RAD_PER_DEG,
        };
        let positive = [
            ("m", plane.mass_kg),
            ("S", number("S")?),
            ("V0", plane.speed_mps),
            ("CLmax", lift[2]),
        ];
        match positive.iter().find(|(_, value)| value.is_nan() || *value <= 0.0) {
            Some((key, value)) => {
                Err(format!("{}: {key} is {value}; it must be above nil", plane.key))
            }
            None => Ok(plane),
        }
    }
    pub(super) fn body(&self) -> PointMass<'_> {
        PointMass { airplane: &self.airplane, mass_kg: self.mass_kg, air: self.air.clone() }
    }
    pub(super) fn setting(&self) -> Setting<'_> {
        let (speed_mps, height_m) = (self.speed_mps, self.height_m);
        let column = self.day.column();
        Setting { body: self.body(), day: &self.day, column, speed_mps, height_m }
    }
    /// Speed and height at entry.
    pub(super) fn entry(&self) -> (f64, f64) {
        (self.speed_mps, self.height_m)
    }
    /// Limits of the climbing turns with a bank limit.
    pub(super) fn limits(&self, bank_max_rad: f64) -> Limits {
        Limits {
            lift_rate_per_s: self.lift_rate_per_s,
            roll_rate_radps: self.roll_rate_radps,
            load_min: self.load_min,
            load_max: self.load_climb,
            bank_max_rad,
            stall_margin: STALL_MARGIN,
        }
    }
}

/// Speed over the stall speed that the cases keep and end at.
pub(super) const STALL_MARGIN: f64 = 1.05;

/// Density of the tropospheric standard by the rounded power law of the reference.
pub(super) fn standard_air(entry_m: f64) -> DensityColumn {
    DensityColumn::of_law(entry_m - 1500.0, entry_m + 2500.0, |height_m| {
        1.225 * pow(1.0 - 2.255_77e-5 * height_m, 4.255_88)
    })
}

/// An airplane of these coefficients; what the point mass does not read stays that of a demo airplane.
pub(super) fn airplane(
    (mass_kg, wing_m2): (f64, f64),
    [drag_zero_lift, drag_induced]: [f64; 2],
    [lift_at_zero_incidence, lift_slope_per_rad, lift_max]: [f64; 3],
    thrust: Thrust,
) -> Airplane {
    let mut airplane = bundled::load("plover-160").expect("the demo airplane is bundled");
    airplane.masses.maximum = Mass::from_kg(mass_kg);
    airplane.wing_area = Area::from_m2(wing_m2);
    let polar = &mut airplane.aerodynamics;
    (polar.drag_zero_lift, polar.drag_induced) = (drag_zero_lift, drag_induced);
    polar.lift_at_zero_incidence = lift_at_zero_incidence;
    polar.lift_slope_per_rad = lift_slope_per_rad;
    polar.lift_max = lift_max;
    airplane.thrust = thrust;
    airplane
}
