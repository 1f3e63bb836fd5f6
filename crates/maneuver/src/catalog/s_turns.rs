//! S-turns across a road: half circles of one radius over the ground, one each side of a road that lies across the wind.

use super::over_ground::{
    FLOOR_600, Scene, check_power, count_position, distance_column, north_east_m, range_of,
    unknowns, wind_columns,
};
use crate::definition::{Direction, Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Column, Condition, Entry, Infeasible, Mark, ReferenceFlight, Told};
use crate::solve::fly;
use crate::solve::ground::{GroundPath, law, steepest_rad, turn};
use crate::solve::sampling::{Begin, samples};
use base::factors::RAD_PER_DEG;
use base::math::hypot;
use base::numerics::least_squares::{self, Variable};
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;
use std::f64::consts::{FRAC_PI_2, PI};

/// The maneuver.
#[derive(Debug)]
pub(super) struct STurns;

const FORMS: &[Form] = &[
    Form {
        key: "45",
        title: "radius of 45 degrees downwind",
        description: Sourced {
            text: "half circles of the radius that 45 degrees of bank keep directly downwind: as tight as the figure is flown",
            source: "AFH-3A",
        },
    },
    Form {
        key: "30",
        title: "radius of 30 degrees downwind",
        description: Sourced {
            text: "wider half circles for first lessons, of the radius that 30 degrees of bank keep directly downwind",
            source: "common-practice",
        },
    },
];

impl Maneuver for STurns {
    fn id(&self) -> &'static str {
        "s-turns"
    }
    fn title(&self) -> &'static str {
        "S-turns across a road"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "two equal half circles over the ground, one each side of a road across the wind: bank planned ahead of \
                   the groundspeed, and the wings level just as the road passes below",
            source: "AFH-3C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Position,
            parts: 2,
            alternating: true,
            sided: true,
            span_deg: 180.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; a straight road across the wind, 600 to 1,000 ft above the ground",
                source: "ACS-P",
            },
            Sourced {
                text: "cross the road downwind and square to it, and turn at once",
                source: "AFH-3C",
            },
            Sourced {
                text: "the roll-in from downwind is brisk and the bank then the steepest; upwind it is slow and shallow",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "slow to bank after the downwind crossing: the first half is drawn far from the road",
                source: "common-practice",
            },
            Sourced {
                text: "bank kept too steep on the upwind side: the road comes early and not square",
                source: "common-practice",
            },
            Sourced {
                text: "half circles of unequal size: the bank follows the nose, not the groundspeed",
                source: "from-memory",
            },
            Sourced {
                text: "turning with rudder to meet the road: slip or skid",
                source: "from-memory",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[Sourced {
            text: "low, with eyes outside: look-out first; a place to land after an engine failure; 500 ft from persons, \
                   vessels, vehicles and structures in the United States",
            source: "from-memory",
        }]
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
                title: "crossings",
                text: Sourced {
                    text: "fly straight across the road both ways and see what the drift does",
                    source: "common-practice",
                },
            },
            Step {
                title: "wide halves",
                text: Sourced {
                    text: "30 degrees of bank at the steepest; say steep, medium, shallow as the groundspeed falls",
                    source: "common-practice",
                },
            },
            Step {
                title: "the full figure",
                text: Sourced {
                    text: "45 degrees at the steepest, several halves in a row, wings level over the road each time",
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
        let steepest_deg = if entry.form.key == "30" { 30.0 } else { 45.0 };
        let lift_bank_rad = scene.lift_bank_rad(steepest_deg * RAD_PER_DEG);
        let radius_m = law::radius_m(scene.speed_mps, scene.wind_mps, lift_bank_rad);
        let shape = closed(&scene, entry.direction, radius_m)?;
        let mut road = Road::new(&scene, &entry, radius_m);
        let mut parts = Vec::new();
        for (index, direction) in
            [entry.direction, entry.direction.opposite()].into_iter().enumerate()
        {
            parts.push((direction, half(&scene, &shape, index, direction, &mut road)?));
        }
        let told = told(&parts, &road, &shape, day);
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, &entry), parts, told)
    }
}

/// What closes a half: the radius of its arc and the slower of its roll rates.
struct HalfShape {
    /// Half of the distance between crossings, m.
    nominal_m: f64,
    /// Radius of the arc, m.
    arc_m: f64,
    /// Roll rate at the downwind crossing, rad/s.
    brisk_radps: f64,
    /// Roll rate at the upwind crossing, rad/s.
    slow_radps: f64,
}

/// Two unknowns, two conditions: the half begun downwind ends over the road, twice the nominal radius from where it began.
fn closed(
    scene: &Scene<'_>,
    direction: Direction,
    nominal_m: f64,
) -> Result<HalfShape, Infeasible> {
    let drift = scene.drift(scene.heading_rad, direction);
    let brisk_radps = scene.roll_radps;
    let residuals = |unknowns: &[f64], out: &mut [f64]| {
        let (arc_m, slow_radps) = (unknowns[0] * nominal_m, unknowns[1] * brisk_radps);
        let Some(pieces) = turn(drift, (0.0, PI), arc_m, [brisk_radps, slow_radps]) else {
            return out.fill(f64::NAN);
        };
        let path = GroundPath::new(&scene.setting, drift, pieces);
        let end = path.knots.last().expect("a path has an end").place_m;
        out[0] = end[0] / nominal_m;
        out[1] = end[1] / nominal_m - 2.0;
    };
    let variables = [
        Variable { start: 1.0, low: 0.3, high: 1.5, scale: 0.1 },
        Variable { start: 0.6, low: 0.02, high: 1.2, scale: 0.3 },
    ];
    let control = least_squares::Control { residual: 1e-12, ..Default::default() };
    let fit = least_squares::minimize(residuals, &variables, 2, &control);
    if fit.residual_norm > 1e-8 {
        return Err(Infeasible {
            what: "S-turns that meet the road square and wings level: the crossing is missed"
                .into(),
            needed: 0.0,
            available: fit.residual_norm * nominal_m,
            unit: "m",
            advice: "fly them wider, or on a day with less wind".into(),
        });
    }
    let (arc_m, slow_radps) = (fit.values[0] * nominal_m, fit.values[1] * brisk_radps);
    Ok(HalfShape { nominal_m, arc_m, brisk_radps, slow_radps })
}

/// The road and what has been flown over it.
struct Road {
    line_m: Vec<[f64; 2]>,
    heading_rad: f64,
    begin: Begin,
    columns: Vec<Column>,
    place_m: [f64; 2],
    steepest_rad: f64,
    power_most: f64,
}

impl Road {
    fn new(scene: &Scene<'_>, entry: &Entry, radius_m: f64) -> Self {
        let place = |right: f64| north_east_m(scene.heading_rad, entry.direction, [0.0, right]);
        Self {
            line_m: vec![place(-0.7 * radius_m), place(5.3 * radius_m)],
            heading_rad: scene.heading_rad,
            begin: Begin { heading_rad: scene.heading_rad, ..Begin::default() },
            columns: Vec::new(),
            place_m: [0.0; 2],
            steepest_rad: 0.0,
            power_most: 0.0,
        }
    }
}

/// Flies one half from the road to the road.
fn half(
    scene: &Scene<'_>,
    shape: &HalfShape,
    index: usize,
    direction: Direction,
    road: &mut Road,
) -> Result<Vec<FlightSample>, Infeasible> {
    let begin = road.begin;
    let drift = scene.drift(begin.heading_rad, direction);
    let (brisk, slow) = (shape.brisk_radps, shape.slow_radps);
    let rates = if index == 0 { [brisk, slow] } else { [slow, brisk] };
    let pieces = turn(drift, (0.0, PI), shape.arc_m, rates).expect("the halves mirror each other");
    road.steepest_rad = road.steepest_rad.max(steepest_rad(drift, &pieces));
    let path = GroundPath::new(&scene.setting, drift, pieces);
    road.power_most = road.power_most.max(check_power(&path, road.steepest_rad)?);
    let flown = fly(&scene.setting.body, scene.setting.start(), &path)
        .expect("level flight at the airspeed that power holds stays in the model");
    let mut flight = samples(&scene.setting, &path, &flown, direction, begin);
    let offset = |right: f64| north_east_m(begin.heading_rad, direction, [0.0, right]);
    let center = offset(shape.nominal_m);
    let center_m = [road.place_m[0] + center[0], road.place_m[1] + center[1]];
    let nil_rad = begin.heading_rad - direction.sign() * FRAC_PI_2;
    count_position(&mut flight, center_m, (nil_rad, direction));
    let mut columns = wind_columns(&flight, scene.setting.day);
    columns.push(distance_column(&flight, "distance from the center", center_m));
    if road.columns.is_empty() {
        road.columns = columns;
    } else {
        for (all, more) in road.columns.iter_mut().zip(columns) {
            all.values.extend(more.values);
        }
    }
    let last = flight.last().expect("a part has samples");
    road.place_m = [last.north_m, last.east_m];
    road.begin = Begin {
        time_s: last.time_s,
        heading_rad: last.heading_rad,
        air_north_m: last.air_north_m,
        air_east_m: last.air_east_m,
    };
    Ok(flight)
}

fn told(
    parts: &[(Direction, Vec<FlightSample>)],
    road: &Road,
    shape: &HalfShape,
    day: &Day,
) -> Told {
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let ahead = |s: &FlightSample| {
        s.north_m * base::math::cos(road.heading_rad) + s.east_m * base::math::sin(road.heading_rad)
    };
    let end = |part: usize| parts[part].1.last().expect("a part has samples");
    let (first, second) = (end(0), end(1));
    let apart = |a: [f64; 2], b: [f64; 2]| hypot(a[0] - b[0], a[1] - b[1]);
    let crossing = [first.north_m, first.east_m];
    let far = |part: usize| parts[part].1.iter().map(|s| ahead(s).abs()).fold(0.0, f64::max);
    let wind_mps = hypot(day.wind.velocity().north(), day.wind.velocity().east());
    let course = |s: &FlightSample| s.turned_rad / RAD_PER_DEG;
    let (slow_kt, fast_kt) = range_of(&road.columns[0]);
    let two_radii = 2.0 * shape.nominal_m;
    Told {
        unknowns: unknowns(&[
            ("radius: half of the distance between crossings", shape.nominal_m, "m"),
            ("radius of the arcs between the rolls", shape.arc_m, "m"),
            ("farthest from the road beyond the radius", far(0) - shape.nominal_m, "m"),
            ("steepest bank of the lift", road.steepest_rad / RAD_PER_DEG, "deg"),
            ("roll rate at the downwind crossing", shape.brisk_radps / RAD_PER_DEG, "deg/s"),
            ("roll rate at the upwind crossing", shape.slow_radps / RAD_PER_DEG, "deg/s"),
            ("wind across the road", wind_mps / base::factors::MPS_PER_KT, "kt"),
            ("fastest over the ground", fast_kt, "kt"),
            ("slowest over the ground", slow_kt, "kt"),
            ("power, most", 100.0 * road.power_most, "% of full"),
            ("time", second.time_s, "s"),
        ]),
        conditions: vec![
            condition("turn at the upwind crossing", 180.0, course(first), "deg"),
            condition("turn back at the downwind crossing", 180.0, course(second), "deg"),
            condition("distance from the road at the upwind crossing", 0.0, ahead(first), "m"),
            condition("distance from the road at the downwind crossing", 0.0, ahead(second), "m"),
            condition("bank over the road", 0.0, first.bank_rad / RAD_PER_DEG, "deg"),
            condition(
                "distance between the first crossings",
                two_radii,
                apart([0.0; 2], crossing),
                "m",
            ),
            condition(
                "distance between the second crossings",
                two_radii,
                apart(crossing, [second.north_m, second.east_m]),
                "m",
            ),
            condition("farthest from the road, second half against first", far(0), far(1), "m"),
        ],
        marks: vec![Mark { name: "road", line_m: road.line_m.clone() }],
        columns: road.columns.clone(),
        ..Told::default()
    }
}
