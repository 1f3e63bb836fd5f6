//! Linear models of the textbook's F-16, and its derivative test case: rates at one violent state. Source: SL-2003, examples
//! 3.8-1 and 3.8-2, chapter 4 (models), table 3.5-2 (rates).

use base::factors::{M_PER_FT, N_PER_LBF, RAD_PER_DEG};
use base::frames::{Attitude, Body, Vec3};
use base::math::{cos, sin};
use flight::budget::Cause;
use flight::controls::{Inputs, Surfaces};
use flight::linear::{self, Coordinate, Linear, linearize};
use flight::vehicle::{State, Vehicle, World};

use crate::check::Check;
use crate::files::Files;
use crate::table::Table;
use crate::textbook::Textbook;

const MODELS: &str = "f16/linearization.csv";
const RATES: &str = "f16/xdot_check.csv";
const SOURCE: &str = "SL-2003, examples 3.8-1, 3.8-2 and chapter 4";
const SOURCE_RATES: &str = "SL-2003, table 3.5-2";
/// Share of each element; and what counts as nil.
const SHARE: f64 = 0.005;
const NIL: f64 = 1e-6;
/// Share of each rate.
const SHARE_RATES: f64 = 1e-4;

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let book = match Textbook::read(files) {
        Ok(book) => book,
        Err(error) => return vec![Check::skipped("f16-linear-models", SOURCE, error.to_string())],
    };
    let mut checks = match files.table(MODELS) {
        None => vec![Check::without_file("f16-linear-models", SOURCE, MODELS)],
        Some(table) => elements(&book, &table),
    };
    match files.table(RATES) {
        None => checks.push(Check::without_file("f16-linear-rates", SOURCE_RATES, RATES)),
        Some(table) => checks.extend(rates(&book, &table)),
    }
    checks
}

/// Both models at one center of gravity.
struct Models {
    along: Linear<4, 2>,
    across: Linear<4, 2>,
}

impl Models {
    fn of(book: &Textbook, center: f64) -> Option<Self> {
        let airplane = book.airplane(center);
        let found = book.level(&airplane, 502.0, 0.0);
        let (world, at) = (book.world(), (&found.state, &found.inputs));
        let both = (&airplane, &world);
        let along =
            linearize(both, 0.0, at, linear::LONGITUDINAL, linear::LONGITUDINAL_CONTROLS).ok()?;
        let across = linearize(both, 0.0, at, linear::LATERAL, linear::LATERAL_CONTROLS).ok()?;
        Some(Self { along, across })
    }

    /// An element in the units of the book: ft, s, rad, surfaces in degrees.
    fn element(&self, matrix: &str, row: &str, column: &str) -> Option<f64> {
        let model = if matrix.contains("lat") { &self.across } else { &self.along };
        let state = |name: &str| model.states.iter().position(|s| *s == coordinate(name));
        let i = state(row)?;
        let size = |name: &str| if name == "VT" { M_PER_FT } else { 1.0 };
        if matrix.starts_with('A') {
            return Some(model.a[i][state(column)?] * size(column) / size(row));
        }
        let control = model.inputs.iter().position(|input| input.key() == column)?;
        Some(model.b[i][control] * RAD_PER_DEG / size(row))
    }
}

fn coordinate(name: &str) -> Coordinate {
    match name {
        "VT" => Coordinate::Speed,
        "alpha" => Coordinate::Incidence,
        "beta" => Coordinate::Sideslip,
        "theta" => Coordinate::Pitch,
        "phi" => Coordinate::Bank,
        "psi" => Coordinate::Heading,
        "p" | "P" => Coordinate::RollRate,
        "q" | "Q" => Coordinate::PitchRate,
        "r" | "R" => Coordinate::YawRate,
        "alt" => Coordinate::Height,
        _ => Coordinate::Engine,
    }
}

fn elements(book: &Textbook, table: &Table) -> Vec<Check> {
    let models = [0.30, 0.35].map(|center| (center, Models::of(book, center)));
    let check = |row: crate::table::Row<'_>| {
        let (matrix, center) = (row.text("matrix"), row.number("xcg"));
        let (to, of) = (row.text("row"), row.text("col"));
        let percent = 100.0 * center;
        let id = format!("f16-linear-{matrix}-{percent:.0}-{to}-{of}").to_lowercase();
        let id = id.replace('_', "-");
        let model = models.iter().find(|(known, _)| (known - center).abs() < 1e-9);
        let value = model.and_then(|(_, models)| models.as_ref()?.element(matrix, to, of));
        let printed = row.number("published");
        let tolerance = SHARE * printed.abs() + NIL;
        let figures = (value.unwrap_or(f64::NAN), printed, tolerance);
        Check::absolute(id, figures, "ft, s, rad; surfaces deg", SOURCE)
    };
    table.rows().map(check).collect()
}

/// The state and inputs of the test case.
fn violent(book: &Textbook) -> (State, Inputs) {
    let (alpha, beta) = (0.5, -0.2);
    let speed_mps = 500.0 * M_PER_FT;
    let through: Vec3<Body> =
        Vec3::new(cos(alpha) * cos(beta), sin(beta), sin(alpha) * cos(beta)) * speed_mps;
    let attitude = Attitude { heading_rad: -1.0, pitch_rad: 1.0, bank_rad: -1.0 };
    let velocity = attitude.body_from_ned().inverse().apply(through);
    let position = Vec3::new(1000.0, 900.0, -10_000.0) * M_PER_FT;
    let rates = Vec3::new(0.7, -0.8, 0.9);
    let mut state = State::at(&book.world().earth, position, velocity, attitude, rates);
    state.engine = 90.0;
    let surfaces = Surfaces {
        elevator_rad: 20.0 * RAD_PER_DEG,
        aileron_rad: -15.0 * RAD_PER_DEG,
        rudder_rad: -20.0 * RAD_PER_DEG,
        flap_rad: 0.0,
    };
    (state, Inputs { surfaces, throttle: 0.9, propeller: 0.0 })
}

fn rates(book: &Textbook, table: &Table) -> Vec<Check> {
    const STATES: [Coordinate; 11] = [
        Coordinate::Speed,
        Coordinate::Incidence,
        Coordinate::Sideslip,
        Coordinate::Bank,
        Coordinate::Pitch,
        Coordinate::Heading,
        Coordinate::RollRate,
        Coordinate::PitchRate,
        Coordinate::YawRate,
        Coordinate::Height,
        Coordinate::Engine,
    ];
    let airplane = book.airplane(0.4);
    let (state, inputs) = violent(book);
    let world = book.world();
    let model = linearize((&airplane, &world), 0.0, (&state, &inputs), STATES, []);
    let velocity = state.velocity_on(&world.earth);
    let turning = turning(&airplane, &world, &state, &inputs);
    let check = |row: crate::table::Row<'_>| {
        let name = row.text("state");
        let value = match name {
            "north" => velocity.x / M_PER_FT,
            "east" => velocity.y / M_PER_FT,
            "P" => turning[0],
            "Q" => turning[1],
            "R" => turning[2],
            _ => model.as_ref().map_or(f64::NAN, |model| {
                let i = STATES.iter().position(|s| *s == coordinate(name)).unwrap_or(0);
                let size = if matches!(name, "VT" | "alt") { M_PER_FT } else { 1.0 };
                model.drift[i] / size
            }),
        };
        let id = format!("f16-linear-rate-{}", name.to_lowercase());
        let figures = (value, row.number("published_xdot"), SHARE_RATES);
        let check = Check::relative(id, figures, "ft, s, rad, percent", SOURCE_RATES);
        let turning = matches!(name, "P" | "Q" | "R");
        if turning {
            check.with_note("with the rounded inertia coefficients of the book")
        } else {
            check
        }
    };
    table.rows().map(check).collect()
}

/// Angular accelerations, rad/s2, from the moments of this engine by the inertia coefficients that the book's program has
/// rounded to three or four digits (from memory): they shift the published rates by up to 2e-4 of themselves.
fn turning(airplane: &Vehicle, world: &World<'_>, state: &State, inputs: &Inputs) -> [f64; 3] {
    const C: [f64; 9] =
        [-0.770, 0.02755, 1.055e-4, 1.642e-6, 0.9604, 1.759e-2, 1.792e-5, -0.7336, 1.587e-5];
    const ROTOR_SLUGFT2PS: f64 = 160.0;
    let budget = airplane.instant(world, 0.0, &state.to_array(), inputs).budget;
    let moment = (budget.total().moment_nm - budget.share(Cause::Gyroscopic).moment_nm)
        * (1.0 / (N_PER_LBF * M_PER_FT));
    let Vec3 { x: p, y: q, z: r, .. } = state.rates_radps;
    [
        (C[1] * p + C[0] * r + C[3] * ROTOR_SLUGFT2PS) * q + C[2] * moment.x + C[3] * moment.z,
        (C[4] * p - C[6] * ROTOR_SLUGFT2PS) * r + C[5] * (r * r - p * p) + C[6] * moment.y,
        (C[7] * p - C[1] * r + C[8] * ROTOR_SLUGFT2PS) * q + C[3] * moment.x + C[8] * moment.z,
    ]
}
