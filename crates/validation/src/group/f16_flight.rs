//! Flights of the F-16 against the published tools: NESC check cases 11, 12, 13.1 to 13.4, 15, 16.
//!
//! The tools trimmed and timed each in its own way, so that they differ among themselves (checks/nesc/README.md). Of each
//! quantity the greatest distance of this engine to the nearer of SIM 4 and SIM 5 is held against the greatest difference
//! of these two; SIM 2, an outlier by that README, does not count. Inside the tools' own spread is a distance below that difference;
//! asked for is half of it, which is to run beside one of them, and the note of each line has the share. What comes nearest to a half
//! are the rates of case 13.3: there the roll rate swings from 101 to -54 deg/s between 15.3 and 15.5 s and the tools are 24 deg/s apart
//! (SIM 4 and 5 at 15.6 s); but for that second and 20.9 s they are within 0.6 deg/s.
//!
//! Where the cases leave the beginning open, it is that of SIM 5: angles to the local level at rest; in case 13 the autopilot
//! is engaged without a jerk, in cases 15 and 16 it is added to the inputs of the trimmed flight.

use std::sync::Arc;

use base::factors::{M_PER_FT, RAD_PER_DEG};
use base::frames::{Ned, Vec3};
use base::geodesy::Geodetic;
use base::numerics::ode;
use flight::air::{AirColumn, Day};
use flight::controls::Inputs;
use flight::earth::Earth;
use flight::vehicle::{COUNT, StateArray, Vehicle, World};
use flight::wind::Wind;

use crate::check::Check;
use crate::f16::{
    Autopilot, Commands, Edition, Route, Tables, TablesError, Trimmed, View, f16, level_trim,
    pitch_deg,
};
use crate::files::Files;
use crate::sampled::{Quantity, Sample};
use crate::table::Table;

/// Center of gravity of the check cases, share of the mean chord.
const CENTER_CHORD: f64 = 0.25;
const QUANTITIES: [Quantity; 5] =
    [Quantity::Altitude, Quantity::Place, Quantity::Velocity, Quantity::Euler, Quantity::Rates];

/// One case.
struct Case {
    /// As in file names.
    key: &'static str,
    place_deg: [f64; 2],
    height_ft: f64,
    velocity_ftps: [f64; 2],
    heading_deg: f64,
    /// Rows a second of the files.
    rate: &'static str,
    /// Compared from here on, s.
    from_s: f64,
    /// What the autopilot is asked for at a time, from what it was engaged with; `None` when it is off.
    commands: Option<fn(&Commands, f64) -> Commands>,
}

/// Distance to the nearer of two tools that is allowed, as a share of their greatest difference.
const NEAR: f64 = 0.5;

const NORTH_EAST: Case = Case {
    key: "",
    place_deg: [36.019_166_67, -75.674_444_44],
    height_ft: 10_013.0,
    velocity_ftps: [400.0, 400.0],
    heading_deg: 45.0,
    rate: "10hz",
    from_s: 0.0,
    commands: None,
};

/// The cases. Source: NESC, Vol II, C.1, Tables 35 to 43.
const CASES: [Case; 8] = [
    Case { key: "11", rate: "1hz", from_s: 8.0, ..NORTH_EAST },
    Case {
        key: "12",
        height_ft: 30_013.0,
        velocity_ftps: [1_414.213_562, 1_414.213_562],
        rate: "1hz",
        from_s: 8.0,
        ..NORTH_EAST
    },
    Case { key: "13p1", commands: Some(higher), ..NORTH_EAST },
    Case { key: "13p2", commands: Some(slower), ..NORTH_EAST },
    Case { key: "13p3", commands: Some(turned), ..NORTH_EAST },
    Case { key: "13p4", commands: Some(aside), ..NORTH_EAST },
    Case {
        key: "15",
        place_deg: [89.95, -45.0],
        height_ft: 10_000.0,
        velocity_ftps: [0.0, 563.643],
        heading_deg: 90.0,
        rate: "1hz",
        commands: Some(round_the_pole),
        ..NORTH_EAST
    },
    Case {
        key: "16",
        place_deg: [0.0, -179.95],
        height_ft: 10_000.0,
        velocity_ftps: [563.643, 0.0],
        heading_deg: 0.0,
        rate: "1hz",
        commands: Some(round_the_date_line),
        ..NORTH_EAST
    },
];

fn higher(start: &Commands, time_s: f64) -> Commands {
    let climb_ft = if time_s >= 5.0 { 100.0 } else { 0.0 };
    Commands { altitude_ft: start.altitude_ft + climb_ft, ..*start }
}

fn slower(start: &Commands, time_s: f64) -> Commands {
    Commands { keas: start.keas - if time_s >= 5.0 { 5.0 } else { 0.0 }, ..*start }
}

fn turned(start: &Commands, time_s: f64) -> Commands {
    let Route::Line { from, course_deg, .. } = start.route else { return *start };
    let course_deg = course_deg + if time_s >= 15.0 { 15.0 } else { 0.0 };
    Commands { route: Route::Line { from, course_deg, right_ft: None }, ..*start }
}

fn aside(start: &Commands, time_s: f64) -> Commands {
    let Route::Line { from, course_deg, .. } = start.route else { return *start };
    let right_ft = (time_s >= 20.0).then_some(2000.0);
    Commands { route: Route::Line { from, course_deg, right_ft }, ..*start }
}

fn round_the_pole(start: &Commands, _: f64) -> Commands {
    let center = Geodetic::from_deg(90.0, 0.0, 0.0);
    Commands { route: Route::Circle { center, radius_nm: 3.0 }, ..*start }
}

fn round_the_date_line(start: &Commands, _: f64) -> Commands {
    let center = Geodetic::from_deg(0.0, 180.0, 0.0);
    Commands { route: Route::Circle { center, radius_nm: 3.0 }, ..*start }
}

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let vehicle = match vehicle(files) {
        Ok(vehicle) => vehicle,
        Err(error) => return vec![Check::skipped("f16-flight-all", "NESC", error.to_string())],
    };
    let air = AirColumn::of_day(&Day::standard(), -500.0, 12_000.0);
    let world = World { earth: Earth::WGS84, air: &air, wind: &Wind::CALM };
    CASES.iter().flat_map(|case| case.check(&vehicle, &world, files)).collect()
}

fn vehicle(files: &Files<'_>) -> Result<Vehicle, TablesError> {
    let tables = Arc::new(Tables::read(files, Edition::Nasa)?);
    Ok(f16(&tables, CENTER_CHORD).expect("the published mass and inertia are possible ones"))
}

impl Case {
    fn id(&self, what: &str) -> String {
        format!("f16-flight-{}-{what}", self.key)
    }
    fn check(&self, vehicle: &Vehicle, world: &World<'_>, files: &Files<'_>) -> Vec<Check> {
        let path = |sim: u8| {
            format!("nesc/trajectories/atmos_{}_sim_{sim:02}_{}.csv", self.key, self.rate)
        };
        let source = format!("NESC case {}, SIM 4 and SIM 5", self.key.replace('p', "."));
        let (Some(four), Some(five)) = (files.table(&path(4)), files.table(&path(5))) else {
            return vec![Check::without_file(self.id("all"), source, &path(4))];
        };
        let Some(trimmed) = self.trim(vehicle, world) else {
            return vec![Check::absolute(self.id("trim"), (f64::NAN, 0.0, 0.0), "deg", source)];
        };
        let pitch = [four.column("eulerAngle_deg_Pitch"), five.column("eulerAngle_deg_Pitch")]
            .map(|column| column.first().copied().unwrap_or(f64::NAN));
        let value = pitch_deg(&world.earth, &trimmed);
        let ours = (value - pitch[0]).abs().min((value - pitch[1]).abs());
        let trim = self.spread("trim-pitch", ours, (pitch[0] - pitch[1]).abs(), "deg", &source);
        let samples = self.fly(vehicle, world, &trimmed, &four.column("time"));
        let compare =
            |quantity: Quantity| self.compare(quantity, &samples, [&four, &five], &source);
        std::iter::once(trim).chain(QUANTITIES.map(compare)).collect()
    }
    fn place(&self) -> Geodetic {
        Geodetic::from_deg(self.place_deg[0], self.place_deg[1], self.height_ft * M_PER_FT)
    }
    fn trim(&self, vehicle: &Vehicle, world: &World<'_>) -> Option<Trimmed> {
        let [north, east] = self.velocity_ftps.map(|speed| speed * M_PER_FT);
        let velocity = Vec3::<Ned>::new(north, east, 0.0);
        level_trim(vehicle, world, self.place(), velocity, self.heading_deg * RAD_PER_DEG)
    }
    /// Flies to each of these times.
    fn fly(
        &self,
        vehicle: &Vehicle,
        world: &World<'_>,
        trimmed: &Trimmed,
        times_s: &[f64],
    ) -> Vec<Sample> {
        let view = |t: f64, y: &StateArray| {
            View::of(world, y, &vehicle.instant(world, t, y, &trimmed.inputs))
        };
        let first = view(0.0, &trimmed.state);
        let route =
            Route::Line { from: self.place(), course_deg: self.heading_deg, right_ft: None };
        let start = Commands { altitude_ft: self.height_ft, keas: first.keas, route };
        let control = self.commands.map(|commands| {
            let autopilot = match commands(&start, 0.0) {
                Commands { route: Route::Circle { .. }, .. } => Autopilot::added(&trimmed.inputs),
                line => Autopilot::engaged(&trimmed.inputs, &first, &line),
            };
            (autopilot, commands)
        });
        // A command given at a row's time acts from that row on: within a step it does not change.
        let inputs = |from_s: f64, t: f64, y: &StateArray| -> Inputs {
            let Some((autopilot, commands)) = &control else { return trimmed.inputs };
            autopilot.inputs(&view(t, y), &commands(&start, from_s))
        };
        let integration = ode::Control {
            relative: 1e-9,
            absolute: 1e-9,
            step_first: 1e-2,
            step_max: 1.0,
            steps_max: 20_000,
        };
        let (mut time_s, mut state) = (0.0, trimmed.state);
        let mut samples = Vec::with_capacity(times_s.len());
        for &next_s in times_s {
            if next_s > time_s {
                let from_s = time_s + 1e-6; // the time stamps of the files are rounded
                let rate =
                    |t: f64, y: &StateArray| vehicle.rate(world, t, y, &inputs(from_s, t, y));
                let span = (time_s, next_s);
                let flown = ode::integrate::<COUNT>(rate, span, state, &integration, &[]);
                let arrived = flown.stop == ode::Stop::End;
                let end = if arrived { flown.state_end } else { [f64::NAN; COUNT] };
                (time_s, state) = (next_s, end);
            }
            samples.push(Sample::of(world, next_s, &state));
        }
        samples
    }

    /// Our greatest distance to the nearer tool against half of the greatest difference of the two: we run beside one of them.
    fn compare(
        &self,
        quantity: Quantity,
        samples: &[Sample],
        tools: [&Table; 2],
        source: &str,
    ) -> Check {
        let (mut ours, mut theirs) = (0.0, 0.0);
        let greatest = |most: &mut f64, miss: f64| {
            if miss.is_nan() || miss > *most {
                *most = miss;
            }
        };
        for (index, column) in quantity.columns().iter().enumerate() {
            let [four, five] = tools.map(|table| table.column(column));
            for (row, sample) in samples.iter().enumerate() {
                if sample.time_s < self.from_s - 1e-6 {
                    continue;
                }
                let value = quantity.component(sample, index);
                let published = |tool: &[f64]| tool.get(row).copied().unwrap_or(f64::NAN);
                let (four, five) = (published(&four), published(&five));
                let apart = |a: f64, b: f64| quantity.distance(a, b);
                let (to_four, to_five) = (apart(value, four), apart(value, five));
                greatest(&mut ours, if to_five < to_four { to_five } else { to_four });
                greatest(&mut theirs, apart(five, four));
            }
        }
        self.spread(quantity.key(), ours, theirs, quantity.unit(), source)
    }
    fn spread(
        &self,
        what: &str,
        ours: f64,
        theirs: f64,
        unit: &'static str,
        source: &str,
    ) -> Check {
        let share = 100.0 * ours / theirs;
        Check::at_most(self.id(what), (ours, NEAR * theirs), unit, source).with_note(format!(
            "greatest distance to the nearer tool, and half of the greatest difference of the tools; of that difference, {theirs:.3e}, \
             it is {share:.2} %: inside below 100, asked for is 50"
        ))
    }
}
