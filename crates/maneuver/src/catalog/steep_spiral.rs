//! Steep spiral: three gliding turns of one radius over the ground about a point.

use super::held_speed::glide_setting;
use super::over_ground::{
    Scene, count_position, distance_column, north_east_m, point, range_of, unknowns, wind_columns,
};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told, Unknown};
use crate::solve::Flown;
use crate::solve::sampling::{Begin, samples};
use crate::solve::speed_held::{self, Hold, SpeedHeld};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, hypot, tan};
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::point_mass::state;
use flight::trajectory::FlightSample;
use std::f64::consts::{FRAC_PI_2, TAU};

/// The maneuver.
#[derive(Debug)]
pub(super) struct SteepSpiral;

const FORMS: &[Form] = &[
    Form {
        key: "45",
        title: "45 degrees downwind",
        description: Sourced {
            text: "the radius that 45 degrees of bank keep directly downwind in the settled spiral, engine idle, three turns",
            source: "common-practice",
        },
    },
    Form {
        key: "50",
        title: "50 degrees downwind",
        description: Sourced {
            text: "tighter: the radius of 50 degrees directly downwind, well inside the 60 that the standard allows",
            source: "common-practice",
        },
    },
];
const TURNS: f64 = 3.0;
impl Maneuver for SteepSpiral {
    fn id(&self) -> &'static str {
        "steep-spiral"
    }
    fn title(&self) -> &'static str {
        "Steep spiral"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a gliding descent in circles of one radius about a point: bank by groundspeed, speed by the nose, a plan for the height",
            source: "AFH-3C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Position,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 1080.0,
            checkpoints_deg: &[0.0, 90.0, 180.0, 270.0, 360.0, 720.0, 1080.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area, below too; height for three turns that end no lower than 1,500 ft above the ground",
                source: "AFH-3C",
            },
            Sourced {
                text: "engine idle, carburetor heat if fitted, the speed of the flattest glide",
                source: "AFH-3C",
            },
            Sourced {
                text: "come to the point downwind; lower the nose and roll in abeam",
                source: "AFH-3C",
            },
            Sourced {
                text: "into the wind, every so often, open the throttle for some seconds",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "bank not changed with the groundspeed: the circle drifts downwind",
                source: "common-practice",
            },
            Sourced { text: "speed changes whenever the bank does", source: "AFH-3C" },
            Sourced {
                text: "slip or skid, most of it when the bank is taken off",
                source: "AFH-3C",
            },
            Sourced {
                text: "lost count of turns and height: no plan for the exit",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "a spiral tightened by back stick is an ever tighter spiral: take the bank off first",
                source: "from-memory",
            },
            Sourced {
                text: "stall speed rises with the bank: 19 % at 45, 25 % at 50 degrees",
                source: "AFH-3C",
            },
            Sourced {
                text: "a cold or iced engine may not answer: clear it while there is height",
                source: "AFH-3C",
            },
        ]
    }
    fn entered_by_wind(&self) -> Option<&'static str> {
        Some("downwind")
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(1500.0),
            entry_above_ground: Some(Length::from_ft(5000.0)),
            source: "AFH-3C",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "one turn at 30",
                text: Sourced {
                    text: "one gliding turn at 30 degrees about a point in little wind",
                    source: "common-practice",
                },
            },
            Step {
                title: "one turn in the wind",
                text: Sourced {
                    text: "one turn with the bank changed by the groundspeed, steepest downwind",
                    source: "common-practice",
                },
            },
            Step {
                title: "three turns",
                text: Sourced {
                    text: "three turns, a roll-out onto the entry heading, the engine cleared in each",
                    source: "common-practice",
                },
            },
        ]
    }
    fn needs_approval(&self, _: &Form) -> bool {
        false
    }
    fn fly(
        &self,
        airplane: &Airplane,
        day: &Day,
        entry: &Entry,
    ) -> Result<ReferenceFlight, Infeasible> {
        let setting = glide_setting((airplane, day, entry), 0.0);
        let (scene, entry) = Scene::of(setting, entry, 0.0)?;
        let drift = scene.drift(scene.heading_rad, entry.direction);
        let start = speed_held::straight(&scene.setting, 0.0)?;
        let level_mps = scene.speed_mps * cos(start[state::CLIMB]);
        let steepest_deg = if entry.form.key == "50" { 50.0 } else { 45.0 };
        // At the entry height, directly downwind, in the straight glide's descent: the bank is steepest there.
        let ground_mps = level_mps + scene.wind_mps;
        let upright = STANDARD_GRAVITY_MPS2 * cos(start[state::CLIMB]);
        let radius_m = ground_mps * ground_mps / (upright * tan(steepest_deg * RAD_PER_DEG));
        let form = speed_held::Form {
            hold: Hold::Circle { radius_m, wind_mps: drift.wind_mps },
            roll_radps: scene.roll_radps,
            power_share: 0.0,
            turn_rad: TURNS * TAU,
        };
        // In the wind a circle takes a little longer than without it.
        let calm_s = TURNS * TAU * radius_m / level_mps;
        let share = scene.wind_mps / level_mps;
        let (schedule, flown) =
            speed_held::solve(&scene.setting, form, calm_s / (1.0 - share * share))?;
        let begin = Begin { heading_rad: scene.heading_rad, ..Begin::default() };
        let mut flight = samples(&scene.setting, &schedule, &flown, entry.direction, begin);
        let center = center_m(&schedule, &flown, drift.wind_mps, radius_m);
        let center_m = north_east_m(scene.heading_rad, entry.direction, center);
        let nil_rad = scene.heading_rad - entry.direction.sign() * FRAC_PI_2;
        count_position(&mut flight, center_m, (nil_rad, entry.direction));
        let mut columns = wind_columns(&flight, day);
        columns.push(distance_column(&flight, "distance from the point", center_m));
        let on_circle: Vec<bool> = flight.iter().map(|s| schedule.holds(s.time_s)).collect();
        let conditions = conditions(&flight, &columns[2].values, &on_circle, radius_m);
        let told = Told {
            unknowns: measured(&flight, &on_circle, radius_m, range_of(&columns[0])),
            conditions,
            marks: vec![point("point", center_m)],
            columns,
            ..Told::default()
        };
        let parts = vec![(entry.direction, flight)];
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, &entry), parts, told)
    }
}

/// What was found of the spiral: its circle, bank, height lost, speeds.
fn measured(
    flight: &[FlightSample],
    on_circle: &[bool],
    radius_m: f64,
    (slow_kt, fast_kt): (f64, f64),
) -> Vec<Unknown> {
    let (first, last) = (flight[0], *flight.last().expect("a part has samples"));
    let bank = |pick: fn(f64, f64) -> f64, from: f64| {
        let circle = flight.iter().zip(on_circle).filter(|(_, on)| **on);
        circle.map(|(s, _)| s.bank_rad.abs() / RAD_PER_DEG).fold(from, pick)
    };
    let speeds =
        flight.iter().map(|s| (s.calibrated_airspeed_mps - first.calibrated_airspeed_mps).abs());
    let lost_ft = (first.height_m - last.height_m) / M_PER_FT;
    unknowns(&[
        ("radius", radius_m, "m"),
        ("steepest bank", bank(f64::max, 0.0), "deg"),
        ("shallowest bank", bank(f64::min, f64::INFINITY), "deg"),
        ("height lost", lost_ft, "ft"),
        ("height lost in a turn", lost_ft / TURNS, "ft"),
        ("fastest over the ground", fast_kt, "kt"),
        ("slowest over the ground", slow_kt, "kt"),
        ("greatest change of calibrated airspeed", speeds.fold(0.0, f64::max) / MPS_PER_KT, "kt"),
        ("time", last.time_s, "s"),
    ])
}

/// Center of the circle in the frame of the flight, from a state half way.
fn center_m(
    schedule: &SpeedHeld<'_>,
    flown: &Flown,
    wind_mps: [f64; 2],
    radius_m: f64,
) -> [f64; 2] {
    let time_s = 0.5 * schedule.end_s;
    let x = flown.state(time_s);
    let level = x[state::SPEED] * cos(x[state::CLIMB]);
    let north = level * cos(x[state::COURSE]) + wind_mps[0];
    let east = level * base::math::sin(x[state::COURSE]) + wind_mps[1];
    let share = radius_m / hypot(north, east);
    [
        x[state::NORTH] + wind_mps[0] * time_s - share * east,
        x[state::EAST] + wind_mps[1] * time_s + share * north,
    ]
}

fn conditions(
    flight: &[FlightSample],
    distance_m: &[f64],
    on_circle: &[bool],
    radius_m: f64,
) -> Vec<Condition> {
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let circle = || distance_m.iter().zip(on_circle).filter(|(_, on)| **on).map(|(d, _)| *d);
    let last = flight.last().expect("a part has samples");
    vec![
        condition("heading at the end", 360.0 * TURNS, last.turned_rad / RAD_PER_DEG, "deg"),
        condition("bank at the end", 0.0, last.bank_rad / RAD_PER_DEG, "deg"),
        condition(
            "least distance on the circle",
            radius_m,
            circle().fold(f64::INFINITY, f64::min),
            "m",
        ),
        condition("greatest distance on the circle", radius_m, circle().fold(0.0, f64::max), "m"),
    ]
}
