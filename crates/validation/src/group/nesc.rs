//! NESC check cases 1 to 10: a sphere and a brick dropped and thrown. Source: NESC, Vol II, C.1, Tables 25 to 34.
//!
//! SIM 4 is the tightest integration of the consensus (checks/nesc/README.md); the end states of SIM 5 are typed here.

use base::factors::{M_PER_FT, RAD_PER_DEG};
use base::frames::{Attitude, Ned, Vec3};
use base::geodesy::Geodetic;
use base::numerics::ode;
use flight::air::{AirColumn, Day};
use flight::controls::Inputs;
use flight::earth::Earth;
use flight::vehicle::{COUNT, State, StateArray, Vehicle, World};
use flight::wind::{AirMotion, WindField};

use crate::bodies::{brick, sphere};
use crate::check::Check;
use crate::files::Files;
use crate::sampled::{Quantity, Sample};

const DURATION_S: f64 = 30.0;

/// What is thrown.
#[derive(Debug, Clone, Copy)]
enum Body {
    /// With this drag coefficient.
    Sphere(f64),
    /// With this rotary damping.
    Brick(f64),
}

/// A wind from the west that grows in a straight line with height.
#[derive(Debug, Clone, Copy)]
struct Westerly {
    at_sea_level_mps: f64,
    per_m: f64,
}

impl WindField for Westerly {
    fn at(&self, _time_s: f64, height_m: f64) -> AirMotion {
        let east_mps = self.at_sea_level_mps + self.per_m * height_m;
        AirMotion { velocity_mps: Vec3::new(0.0, east_mps, 0.0), ..AirMotion::STILL }
    }
}

const CALM: Westerly = Westerly { at_sea_level_mps: 0.0, per_m: 0.0 };
const STEADY: Westerly = Westerly { at_sea_level_mps: 20.0 * M_PER_FT, per_m: 0.0 };
const SHEAR: Westerly = Westerly { at_sea_level_mps: -20.0 * M_PER_FT, per_m: 0.003 };

/// One case: where it begins is 0 N 0 E.
#[derive(Debug, Clone, Copy)]
struct Case {
    number: u8,
    body: Body,
    earth: Earth,
    wind: Westerly,
    height_ft: f64,
    velocity_ftps: [f64; 3],
    heading_deg: f64,
    rates_degps: [f64; 3],
    /// End state of SIM 5: index of the component, value, tolerance.
    end: &'static [(Quantity, usize, f64, f64)],
}

const DROP: Case = Case {
    number: 1,
    body: Body::Sphere(0.0),
    earth: Earth::WGS84,
    wind: CALM,
    height_ft: 30_000.0,
    velocity_ftps: [0.0; 3],
    heading_deg: 0.0,
    rates_degps: [0.0; 3],
    end: &[],
};
const TUMBLE_DEGPS: [f64; 3] = [10.0, 20.0, 30.0];
/// Turn of the earth, degrees/s: the thrown spheres of cases 9 and 10 begin at rest relative to it.
const EARTH_DEGPS: f64 = Earth::WGS84.turn_radps / RAD_PER_DEG;

/// The cases. Angles of SIM 5 in cases 2 and 3 carry the error of its integrator (checks/nesc/README.md): 1e-4 and 0.1
/// degrees; the tight comparison is with SIM 4.
const CASES: [Case; 10] = [
    Case {
        end: &[
            (Quantity::Altitude, 0, 15_598.904, 0.1),
            (Quantity::Velocity, 2, 960.293_1, 0.01),
            (Quantity::Euler, 2, -0.125_400, 1e-5),
        ],
        ..DROP
    },
    Case {
        number: 2,
        body: Body::Brick(0.0),
        rates_degps: TUMBLE_DEGPS,
        end: &[
            (Quantity::Euler, 0, -4.2893, 2e-4),
            (Quantity::Euler, 1, -3.8196, 2e-4),
            (Quantity::Euler, 2, -56.1513, 2e-4),
            (Quantity::Rates, 0, 12.6184, 1e-4),
            (Quantity::Rates, 1, -17.3974, 1e-4),
            (Quantity::Rates, 2, 31.1196, 1e-4),
        ],
        ..DROP
    },
    Case {
        number: 3,
        body: Body::Brick(-1.0),
        rates_degps: TUMBLE_DEGPS,
        end: &[
            (Quantity::Euler, 0, -111.3558, 0.1),
            (Quantity::Euler, 1, -38.6997, 0.1),
            (Quantity::Euler, 2, -5.1522, 0.1),
        ],
        ..DROP
    },
    Case {
        number: 4,
        body: Body::Sphere(0.1),
        earth: Earth::SPHERE_AT_REST,
        rates_degps: TUMBLE_DEGPS,
        end: &[(Quantity::Altitude, 0, 16_231.307, 0.1)],
        ..DROP
    },
    Case {
        number: 5,
        body: Body::Sphere(0.1),
        earth: Earth::SPHERE_TURNING,
        rates_degps: TUMBLE_DEGPS,
        ..DROP
    },
    Case {
        number: 6,
        body: Body::Sphere(0.1),
        end: &[
            (Quantity::Altitude, 0, 16_284.445, 0.1),
            (Quantity::Velocity, 1, 1.842_930, 1e-4),
            (Quantity::Velocity, 2, 864.010_8, 0.01),
        ],
        ..DROP
    },
    Case {
        number: 7,
        body: Body::Sphere(0.1),
        wind: STEADY,
        end: &[(Quantity::Velocity, 1, 4.708_380, 1e-4)],
        ..DROP
    },
    Case {
        number: 8,
        body: Body::Sphere(0.1),
        wind: SHEAR,
        end: &[(Quantity::Velocity, 1, 8.731_009, 1e-4)],
        ..DROP
    },
    Case {
        number: 9,
        body: Body::Sphere(0.1),
        height_ft: 0.0,
        velocity_ftps: [0.0, 1000.0, -1000.0],
        heading_deg: 90.0,
        rates_degps: [0.0, -EARTH_DEGPS, 0.0],
        end: &[(Quantity::Altitude, 0, 10_160.979, 0.1), (Quantity::Place, 1, 0.061_647_8, 3e-7)],
        ..DROP
    },
    Case {
        number: 10,
        body: Body::Sphere(0.1),
        height_ft: 0.0,
        velocity_ftps: [1000.0, 0.0, -1000.0],
        rates_degps: [EARTH_DEGPS, 0.0, 0.0],
        end: &[
            (Quantity::Altitude, 0, 10_114.795, 0.1),
            (Quantity::Place, 0, 0.062_135_6, 3e-7),
            (Quantity::Velocity, 1, -1.063_770, 1e-4),
        ],
        ..DROP
    },
];

/// All checks of the group.
pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let air = AirColumn::of_day(&Day::standard(), -500.0, 12_000.0);
    CASES.iter().flat_map(|case| check(case, &air, files)).collect()
}

fn check(case: &Case, air: &AirColumn, files: &Files<'_>) -> Vec<Check> {
    let vehicle = match case.body {
        Body::Sphere(drag) => sphere(drag),
        Body::Brick(damping) => brick(damping),
    }
    .expect("the published bodies are possible ones");
    let world = World { earth: case.earth, air, wind: &case.wind };
    let end = fly(&vehicle, &world, case.start(), &[0.0, DURATION_S]);
    let typed = |(quantity, index, reference, tolerance): &(Quantity, usize, f64, f64)| {
        let id = format!("{}-{}-{}-end", case.id(), quantity.key(), index + 1);
        let value = quantity.component(&end[1], *index);
        let source = format!("NESC case {}, SIM 5 at 30 s", case.number);
        Check::absolute(id, (value, *reference, *tolerance), quantity.unit(), source)
    };
    let mut checks: Vec<Check> = case.end.iter().map(typed).collect();
    checks.extend(against_file(case, &vehicle, &world, files));
    checks
}

/// Quantities compared along the whole trajectory, and their tolerances (of altitude and place: 0.1 ft).
fn compared(case: &Case) -> Vec<(Quantity, f64)> {
    let (euler_deg, rates_degps) = if case.number == 3 { (0.01, 1e-3) } else { (1e-5, 1e-5) };
    vec![
        (Quantity::Altitude, if case.number <= 3 { 0.01 } else { 0.1 }),
        (Quantity::Place, 3e-7),
        (Quantity::Velocity, if matches!(case.number, 7 | 8) { 1e-4 } else { 0.01 }),
        (Quantity::Euler, euler_deg),
        (Quantity::Rates, rates_degps),
        (Quantity::Gravitation, 1e-6),
        (Quantity::Density, 1e-8),
        (Quantity::Sound, 1e-3),
    ]
}

fn against_file(
    case: &Case,
    vehicle: &Vehicle,
    world: &World<'_>,
    files: &Files<'_>,
) -> Vec<Check> {
    let rate = if matches!(case.number, 2 | 3) { "10hz" } else { "1hz" };
    let path = format!("nesc/trajectories/atmos_{:02}_sim_04_{rate}.csv", case.number);
    let source = format!("NESC case {}, SIM 4, whole trajectory", case.number);
    let id = |quantity: Quantity| format!("{}-{}", case.id(), quantity.key());
    let Some(table) = files.table(&path) else {
        let skip = |(quantity, _)| Check::without_file(id(quantity), source.clone(), &path);
        return compared(case).into_iter().map(skip).collect();
    };
    let samples = fly(vehicle, world, case.start(), &table.column("time"));
    let check = |(quantity, tolerance): (Quantity, f64)| {
        let pairs = quantity.pairs(&samples, &table);
        Check::worst(id(quantity), &pairs, tolerance, quantity.unit(), source.clone())
    };
    compared(case).into_iter().map(check).collect()
}

impl Case {
    fn id(&self) -> String {
        format!("nesc-{:02}", self.number)
    }
    fn start(&self) -> StateArray {
        let place = Geodetic::from_deg(0.0, 0.0, self.height_ft * M_PER_FT);
        let vector = |v: [f64; 3], factor: f64| (v[0] * factor, v[1] * factor, v[2] * factor);
        let (north, east, down) = vector(self.velocity_ftps, M_PER_FT);
        let (p, q, r) = vector(self.rates_degps, RAD_PER_DEG);
        let heading_rad = self.heading_deg * RAD_PER_DEG;
        let attitude = Attitude { heading_rad, pitch_rad: 0.0, bank_rad: 0.0 };
        let velocity = Vec3::<Ned>::new(north, east, down);
        let position = self.earth.position(place);
        State::at(&self.earth, position, velocity, attitude, Vec3::new(p, q, r)).to_array()
    }
}

/// Flies to each of these times, rising from the start; a flight that breaks off gives no number from there on.
fn fly(vehicle: &Vehicle, world: &World<'_>, start: StateArray, times_s: &[f64]) -> Vec<Sample> {
    let control = ode::Control {
        relative: 1e-11,
        absolute: 1e-11,
        step_first: 1e-2,
        step_max: 1.0,
        steps_max: 20_000,
    };
    let inputs = Inputs::default();
    let rate = |t: f64, y: &StateArray| vehicle.rate(world, t, y, &inputs);
    let (mut time_s, mut state) = (times_s.first().copied().unwrap_or(0.0), start);
    let mut samples = Vec::with_capacity(times_s.len());
    for &next_s in times_s {
        if next_s > time_s {
            let flown = ode::integrate::<COUNT>(rate, (time_s, next_s), state, &control, &[]);
            let arrived = flown.stop == ode::Stop::End;
            (time_s, state) = (next_s, if arrived { flown.state_end } else { [f64::NAN; COUNT] });
        }
        samples.push(Sample::of(world, next_s, &state));
    }
    samples
}
