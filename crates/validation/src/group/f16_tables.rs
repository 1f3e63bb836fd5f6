//! The F-16's tables against NASA's own check data: 16 shots of the aerodynamics, 9 of the engine. Source: NESC
//! (F16_aero.dml, F16_prop.dml, check data with tolerances).

use std::sync::Arc;

use base::factors::M_PER_FT;
use base::numerics::grid::{Grid, Outside};

use crate::check::Check;
use crate::f16::{Airframe, Condition, Edition, REFERENCE, Tables};
use crate::files::Files;
use crate::table::Table;

const AERODYNAMICS: &str = "nesc/models/f16_aero_checkdata.csv";
const ENGINE: &str = "nesc/models/f16_prop_checkdata.csv";
const SOURCE: &str = "NESC F16_aero.dml check data";
const SOURCE_ENGINE: &str = "NESC F16_prop.dml check data";
const OUTPUTS: [&str; 6] = [
    "aeroBodyForceCoefficient_X",
    "aeroBodyForceCoefficient_Y",
    "aeroBodyForceCoefficient_Z",
    "aeroBodyMomentCoefficient_Roll",
    "aeroBodyMomentCoefficient_Pitch",
    "aeroBodyMomentCoefficient_Yaw",
];

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let mut checks = corners();
    checks.extend(against_files(files));
    checks
}

/// Two look-ups that need no file: the corners around a shot, typed.
fn corners() -> Vec<Check> {
    let grid = |first: [f64; 2], second: [f64; 2], values: [f64; 4]| {
        Grid::new([first.to_vec(), second.to_vec()], values.to_vec(), Outside::Held)
            .expect("the typed corners are a table")
    };
    let thrust = |values| grid([0.6, 0.8], [20_000.0, 30_000.0], values).at([0.625, 23_507.0]);
    let idle = thrust([-300.0, 350.0, -1300.0, -247.0]);
    let military = thrust([7090.0, 4660.0, 7750.0, 5320.0]);
    let found = idle + (military - idle) * 42.3 / 50.0;
    let pitch = grid([0.0, 12.0], [15.0, 20.0], [0.01, 0.006, -0.102, -0.097]).at([4.567, 16.2]);
    let id = |name: &str| format!("f16-tables-corners-{name}");
    let skewed = format!("{SOURCE}, shot of skewed inputs, signal cmt");
    let middle =
        format!("{SOURCE_ENGINE}, shot of the middle of the envelope, less than mil power");
    vec![
        Check::absolute(id("pitch"), (pitch, -0.032_763_273_333_333_35, 1e-6), "", skewed),
        Check::absolute(id("thrust"), (found, 5319.3491, 1e-3), "lbf", middle),
    ]
}

fn against_files(files: &Files<'_>) -> Vec<Check> {
    let tables = match Tables::read(files, Edition::Nasa) {
        Ok(tables) => Arc::new(tables),
        Err(error) => {
            return vec![
                Check::skipped("f16-tables-aerodynamics", SOURCE, error.to_string()),
                Check::skipped("f16-tables-engine", SOURCE_ENGINE, error.to_string()),
            ];
        }
    };
    let airframe = Airframe::new(Arc::clone(&tables));
    let mut checks = match files.table(AERODYNAMICS) {
        Some(table) => shots(&table).iter().map(|shot| aerodynamic(shot, &airframe)).collect(),
        None => vec![Check::without_file("f16-tables-aerodynamics", SOURCE, AERODYNAMICS)],
    };
    match files.table(ENGINE) {
        Some(table) => checks.extend(shots(&table).iter().map(|shot| engine(shot, &tables))),
        None => checks.push(Check::without_file("f16-tables-engine", SOURCE_ENGINE, ENGINE)),
    }
    checks
}

/// One shot: signals with value and tolerance.
struct Shot {
    name: String,
    inputs: Vec<(String, f64)>,
    outputs: Vec<(String, f64, f64)>,
}

impl Shot {
    fn input(&self, signal: &str) -> f64 {
        self.inputs.iter().find(|(name, _)| name == signal).map_or(f64::NAN, |(_, value)| *value)
    }
    fn output(&self, signal: &str) -> (f64, f64) {
        let found = self.outputs.iter().find(|(name, ..)| name == signal);
        found.map_or((f64::NAN, f64::NAN), |(_, value, tolerance)| (*value, *tolerance))
    }
    /// Its name in lower-case words with hyphens.
    fn key(&self) -> String {
        let plain = |c: char| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { ' ' };
        let words: String = self.name.chars().map(plain).collect();
        words.split_whitespace().collect::<Vec<_>>().join("-")
    }
}

fn shots(table: &Table) -> Vec<Shot> {
    let mut shots: Vec<Shot> = Vec::new();
    for row in table.rows() {
        let name = row.text("shot");
        if shots.last().is_none_or(|shot| shot.name != name) {
            shots.push(Shot { name: name.into(), inputs: Vec::new(), outputs: Vec::new() });
        }
        let Some(shot) = shots.last_mut() else { continue };
        let (signal, value) = (row.text("signal").to_string(), row.number("value"));
        match row.text("role") {
            "input" => shot.inputs.push((signal, value)),
            "output" => shot.outputs.push((signal, value, row.number("tol"))),
            _ => {}
        }
    }
    shots
}

/// The worst of the six coefficients, each against its own tolerance (they are all 1e-6).
fn aerodynamic(shot: &Shot, airframe: &Airframe) -> Check {
    let half = 0.5 / shot.input("trueAirspeed");
    let (span_ft, chord_ft) = (REFERENCE.span_m / M_PER_FT, REFERENCE.chord_m / M_PER_FT);
    let rate = |axis: &str, length_ft: f64| {
        shot.input(&format!("bodyAngularRate_{axis}")) * length_ft * half
    };
    let condition = Condition {
        alpha_deg: shot.input("angleOfAttack"),
        beta_deg: shot.input("angleOfSideslip"),
        roll: rate("Roll", span_ft),
        pitch: rate("Pitch", chord_ft),
        yaw: rate("Yaw", span_ft),
        elevator_deg: shot.input("elevatorDeflection"),
        aileron_deg: shot.input("aileronDeflection"),
        rudder_deg: shot.input("rudderDeflection"),
    };
    let found = airframe.coefficients(&condition);
    let published = OUTPUTS.map(|signal| shot.output(signal));
    let tolerance = published.iter().map(|(_, tolerance)| *tolerance).fold(f64::INFINITY, f64::min);
    let pairs: Vec<(f64, f64)> = found.into_iter().zip(published.map(|(value, _)| value)).collect();
    Check::worst(format!("f16-tables-{}", shot.key()), &pairs, tolerance, "", SOURCE)
}

fn engine(shot: &Shot, tables: &Tables) -> Check {
    let (power, mach) = (shot.input("powerLeverAngle"), shot.input("mach"));
    let found = tables.thrust_lbf(power, mach, shot.input("altitudeMSL"));
    let (published, tolerance) = shot.output("thrustBodyForce_X");
    let id = format!("f16-tables-engine-{}", shot.key());
    Check::absolute(id, (found, published, tolerance), "lbf", SOURCE_ENGINE)
}
