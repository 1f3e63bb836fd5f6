//! Turns around a point: two circles of one radius over the ground about a point, in the wind.

use super::over_ground::{
    FLOOR_600, Scene, check_power, count_position, distance_column, north_east_m, point, range_of,
    unknowns, wind_columns,
};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told};
use crate::solve::fly;
use crate::solve::ground::{Drift, GroundPath, law, turn};
use crate::solve::sampling::{Begin, samples};
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;
use std::f64::consts::FRAC_PI_2;

/// The maneuver.
#[derive(Debug)]
pub(super) struct TurnsAroundAPoint;

const FORMS: &[Form] = &[
    Form {
        key: "45",
        title: "45 degrees at the steepest",
        description: Sourced {
            text: "as tight as 45 degrees of bank allow on the downwind side: the radius follows from the wind",
            source: "AFH-3A",
        },
    },
    Form {
        key: "30",
        title: "30 degrees at the steepest",
        description: Sourced {
            text: "a wider circle for first lessons, 30 degrees of bank on the downwind side",
            source: "common-practice",
        },
    },
];

const TURNS: f64 = 2.0;

impl Maneuver for TurnsAroundAPoint {
    fn id(&self) -> &'static str {
        "turns-around-a-point"
    }
    fn title(&self) -> &'static str {
        "Turns around a point"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "circles of one radius about a point on the ground: bank and crab change all the way round with the \
                   groundspeed, while height and airspeed do not",
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
            span_deg: 360.0 * TURNS,
            checkpoints_deg: &[0.0, 90.0, 180.0, 270.0, 360.0, 540.0, 720.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; a point that is easy to keep in sight, a field within reach, 600 to 1,000 ft above \
                       the ground",
                source: "ACS-P",
            },
            Sourced {
                text: "enter downwind, at the distance of the radius: the first bank is the steepest",
                source: "AFH-3C",
            },
            Sourced {
                text: "a height or radius at which the wing does not hide the point",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "bank left as it is from downwind to crosswind: the circle closes in on the point",
                source: "common-practice",
            },
            Sourced {
                text: "bank not taken off enough upwind: the circle is drawn downwind turn by turn",
                source: "common-practice",
            },
            Sourced {
                text: "rudder used to bring the wing back to the point: slip or skid",
                source: "from-memory",
            },
            Sourced {
                text: "eyes on the point alone: height wanders, no look-out",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "low, with eyes outside: a skidding turn tightened here is how spins near the ground begin",
                source: "common-practice",
            },
            Sourced {
                text: "500 ft from persons, vessels, vehicles and structures in the United States, and a place to land \
                       after an engine failure",
                source: "from-memory",
            },
        ]
    }
    fn entered_by_wind(&self) -> Option<&'static str> {
        Some("downwind")
    }
    fn floor(&self) -> Floor {
        FLOOR_600
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "wide and calm",
                text: Sourced {
                    text: "30 degrees of bank in little wind, one turn, the instructor keeps the look-out",
                    source: "common-practice",
                },
            },
            Step {
                title: "in the wind",
                text: Sourced {
                    text: "the same radius in wind: say aloud steep, medium, shallow, medium before each quarter",
                    source: "common-practice",
                },
            },
            Step {
                title: "45 degrees, both ways",
                text: Sourced {
                    text: "45 degrees at the steepest, two turns to the left and two to the right",
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
        let (scene, entry) = Scene::new((airplane, day, entry), 0.0)?;
        let drift = scene.drift(scene.heading_rad, entry.direction);
        let radius_m = radius_m(&scene, entry.form.key);
        let path = path(&scene, drift, radius_m);
        let steepest_rad = law::bank_rad(scene.speed_mps, scene.wind_mps, radius_m, 0.0);
        let power_most = check_power(&path, steepest_rad)?;
        let flown = fly(&scene.setting.body, scene.setting.start(), &path)
            .expect("level flight at the airspeed that power holds stays in the model");
        let begin = Begin { heading_rad: scene.heading_rad, ..Begin::default() };
        let mut flight = samples(&scene.setting, &path, &flown, entry.direction, begin);
        let center = path.center_m(1).expect("the second piece is the arc");
        let center_m = north_east_m(scene.heading_rad, entry.direction, center);
        let nil_rad = scene.heading_rad - entry.direction.sign() * FRAC_PI_2;
        count_position(&mut flight, center_m, (nil_rad, entry.direction));
        let mut columns = wind_columns(&flight, day);
        columns.push(distance_column(&flight, "distance from the point", center_m));
        let conditions = conditions(&flight, &path, radius_m, center_m);
        let (slow_kt, fast_kt) = range_of(&columns[0]);
        let shallowest =
            law::bank_rad(scene.speed_mps, scene.wind_mps, radius_m, std::f64::consts::PI);
        let told = Told {
            unknowns: unknowns(&[
                ("radius", radius_m, "m"),
                ("steepest bank of the lift", steepest_rad / RAD_PER_DEG, "deg"),
                ("shallowest bank of the lift", shallowest / RAD_PER_DEG, "deg"),
                ("greatest wind correction", range_of(&columns[1]).1, "deg"),
                ("fastest over the ground", fast_kt, "kt"),
                ("slowest over the ground", slow_kt, "kt"),
                ("roll-in begun before abeam", path.knots[1].time_s, "s"),
                ("power, most", 100.0 * power_most, "% of full"),
                ("time", path.end_s(), "s"),
            ]),
            conditions,
            marks: vec![point("point", center_m)],
            columns,
            ..Told::default()
        };
        let parts = vec![(entry.direction, flight)];
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, &entry), parts, told)
    }
}

/// Radius of a form: that of its steepest bank directly downwind.
fn radius_m(scene: &Scene<'_>, form: &str) -> f64 {
    let steepest_deg = if form == "30" { 30.0 } else { 45.0 };
    let lift_bank_rad = scene.lift_bank_rad(steepest_deg * RAD_PER_DEG);
    law::radius_m(scene.speed_mps, scene.wind_mps, lift_bank_rad)
}

/// Roll-in that ends on the circle, the circle, roll-out that ends on the entry heading.
fn path<'a>(scene: &'a Scene<'_>, drift: Drift, radius_m: f64) -> GroundPath<'a> {
    let end_rad = TURNS * std::f64::consts::TAU;
    let pieces = turn(drift, (0.0, end_rad), radius_m, [scene.roll_radps; 2])
        .expect("the arc needs 45 degrees at most");
    GroundPath::new(&scene.setting, drift, pieces)
}

fn conditions(
    flight: &[FlightSample],
    path: &GroundPath<'_>,
    radius_m: f64,
    center_m: [f64; 2],
) -> Vec<Condition> {
    let (arc_begin_s, arc_end_s) = (path.knots[1].time_s, path.knots[2].time_s);
    let distance =
        |s: &FlightSample| base::math::hypot(s.north_m - center_m[0], s.east_m - center_m[1]);
    let circle = || flight.iter().filter(|s| (arc_begin_s..=arc_end_s).contains(&s.time_s));
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let last = flight.last().expect("a part has samples");
    let first = &flight[0];
    vec![
        condition("heading at the end", 360.0 * TURNS, last.turned_rad / RAD_PER_DEG, "deg"),
        condition(
            "least distance on the circle",
            radius_m,
            circle().map(distance).fold(f64::INFINITY, f64::min),
            "m",
        ),
        condition(
            "greatest distance on the circle",
            radius_m,
            circle().map(distance).fold(0.0, f64::max),
            "m",
        ),
        condition("height at the end against entry", 0.0, last.height_m - first.height_m, "m"),
    ]
}
