//! The tables, from the check files.

use base::numerics::grid::{Grid, GridError, Outside};
use serde_json::Value;

use super::{Edition, book};
use crate::files::Files;

/// Path of the aerodynamic tables below the check folder.
const AERODYNAMICS: &str = "nesc/models/f16_aero_tables.json";
/// Path of the engine's tables below the check folder.
const ENGINE: &str = "nesc/models/f16_prop_tables.json";

/// Why there are no tables.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum TablesError {
    /// The file is not here.
    #[error("check file {path} is not here")]
    NotHere {
        /// Its path below the check folder.
        path: &'static str,
    },
    /// It is not JSON.
    #[error("check file {path} is not JSON: {why}")]
    NotJson {
        /// Its path below the check folder.
        path: &'static str,
        /// What the parser says, with line and column.
        why: String,
    },
    /// A table is not in it, or not of the form expected.
    #[error("check file {path} has no table {table} of {axes} axes")]
    NoTable {
        /// Its path below the check folder.
        path: &'static str,
        /// Name of its output.
        table: &'static str,
        /// How many axes it should have.
        axes: usize,
    },
    /// A table that is not one.
    #[error("table {table}: {error}")]
    Wrong {
        /// Name of its output.
        table: &'static str,
        /// What is wrong.
        error: GridError,
    },
    /// Tables that should share an axis do not.
    #[error("table {table} is on axes other than its neighbors")]
    Axes {
        /// Name of its output.
        table: &'static str,
    },
}

impl TablesError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "take the check files as they were published; see where the check folder is"
    }
}

/// Derivatives along the angle of attack, in the order of [`Tables::rates`].
pub(super) const RATES: [&str; 9] = ["cxq", "cyr", "cyp", "czq", "clr", "clp", "cmq", "cnr", "cnp"];
/// Moments by aileron and rudder, in the order of [`Tables::moments`].
pub(super) const MOMENTS: [&str; 4] = ["dclda", "dcldr", "dcnda", "dcndr"];
/// Thrusts, in the order of [`Tables::thrusts`].
const THRUSTS: [&str; 3] = ["T_IDLE", "T_MIL", "T_MAX"];

/// Every table of one edition. Angles in degrees, altitude in feet, thrust in pounds-force, as published.
#[derive(Debug, Clone, PartialEq)]
pub struct Tables {
    edition: Edition,
    /// CX and Cm over elevator and angle of attack.
    pub(super) elevator: [Grid<2>; 2],
    /// CZ over angle of attack.
    pub(super) normal: Grid<1>,
    /// Cl and Cn over sideslip either way and angle of attack.
    pub(super) sideslip: [Grid<2>; 2],
    /// Damping derivatives over angle of attack.
    pub(super) rates: [Grid<1>; 9],
    /// Moments by aileron and rudder over sideslip and angle of attack.
    pub(super) moments: [Grid<2>; 4],
    /// Thrust, idle, military and maximum, over Mach number and altitude.
    pub(super) thrusts: [Grid<2>; 3],
}

impl Tables {
    /// Reads the tables of an edition. The book's differ from NASA's in what is typed in this crate and in how they are
    /// continued.
    ///
    /// # Errors
    /// A file that is not here, or tables that are not as published.
    pub fn read(files: &Files<'_>, edition: Edition) -> Result<Self, TablesError> {
        let outside = match edition {
            Edition::Nasa => Outside::Held,
            Edition::Book => Outside::Continued,
        };
        let aerodynamics = Source::open(files, AERODYNAMICS, outside)?;
        let engine = Source::open(files, ENGINE, outside)?;
        let mut tables = Self {
            edition,
            elevator: aerodynamics.grids(["cxt", "cmt"])?,
            normal: aerodynamics.grid("czt")?,
            sideslip: aerodynamics.grids(["absCl0", "absCn0"])?,
            rates: aerodynamics.grids(RATES)?,
            moments: aerodynamics.grids(MOMENTS)?,
            thrusts: engine.grids(THRUSTS)?,
        };
        if edition == Edition::Book {
            book::alter(&mut tables)?;
        }
        tables.check()?;
        Ok(tables)
    }
    /// Which edition they are.
    #[must_use]
    pub const fn edition(&self) -> Edition {
        self.edition
    }
    /// Thrust, lbf, with the engine at this power, percent, at this Mach number and altitude, ft.
    #[must_use]
    pub fn thrust_lbf(&self, power_pct: f64, mach: f64, altitude_ft: f64) -> f64 {
        let at = |index: usize| self.thrusts[index].at([mach, altitude_ft]);
        let military = at(1);
        if power_pct < 50.0 {
            let idle = at(0);
            idle + (military - idle) * power_pct / 50.0
        } else {
            military + (at(2) - military) * (power_pct - 50.0) / 50.0
        }
    }
    /// Tables that are read together must be on the same axes.
    fn check(&self) -> Result<(), TablesError> {
        let alpha = &self.normal.axes()[0];
        let wrong = |table| Err(TablesError::Axes { table });
        if let Some(n) = self.rates.iter().position(|grid| grid.axes()[0] != *alpha) {
            return wrong(RATES[n]);
        }
        let shared = |grids: &[Grid<2>]| {
            grids
                .iter()
                .all(|grid| grid.axes()[1] == *alpha && grid.axes()[0] == grids[0].axes()[0])
        };
        if !shared(&self.elevator) {
            return wrong("cmt");
        }
        if !shared(&self.sideslip) {
            return wrong("absCn0");
        }
        if shared(&self.moments) { Ok(()) } else { wrong(MOMENTS[0]) }
    }
}

/// One file of tables.
struct Source {
    path: &'static str,
    value: Value,
    outside: Outside,
}

impl Source {
    fn open(files: &Files<'_>, path: &'static str, outside: Outside) -> Result<Self, TablesError> {
        let bytes = files.bytes(path).ok_or(TablesError::NotHere { path })?;
        let value = serde_json::from_slice(&bytes)
            .map_err(|error| TablesError::NotJson { path, why: error.to_string() })?;
        Ok(Self { path, value, outside })
    }
    fn grids<const N: usize, const M: usize>(
        &self,
        names: [&'static str; M],
    ) -> Result<[Grid<N>; M], TablesError> {
        let grids: Vec<Grid<N>> =
            names.into_iter().map(|name| self.grid(name)).collect::<Result<_, _>>()?;
        Ok(grids.try_into().expect("there is one grid for each name"))
    }
    fn grid<const N: usize>(&self, name: &'static str) -> Result<Grid<N>, TablesError> {
        let missing = TablesError::NoTable { path: self.path, table: name, axes: N };
        let (knots, values) = self.figures(name).ok_or(missing)?;
        Grid::new(knots, values, self.outside)
            .map_err(|error| TablesError::Wrong { table: name, error })
    }
    fn figures<const N: usize>(&self, name: &str) -> Option<([Vec<f64>; N], Vec<f64>)> {
        let tables = self.value["tables"].as_array()?;
        let table = tables.iter().find(|table| table["output"] == name)?;
        let axes = table["axes"].as_array()?;
        let knots: Vec<Vec<f64>> =
            axes.iter().map(|axis| numbers(&axis["vals"])).collect::<Option<_>>()?;
        Some((knots.try_into().ok()?, numbers(&table["data_last_axis_fastest"])?))
    }
}

fn numbers(value: &Value) -> Option<Vec<f64>> {
    value.as_array()?.iter().map(Value::as_f64).collect()
}
