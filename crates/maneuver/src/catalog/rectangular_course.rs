//! Rectangular course: a circuit about a field, at one distance from its boundary, in the wind.

use super::over_ground::{
    FLOOR_600, Scene, check_power, count_position, north_east_m, range_of, unknowns, wind_columns,
};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{
    Column, Condition, Entry, Infeasible, Mark, ReferenceFlight, Told, Unknown,
};
use crate::solve::fly;
use crate::solve::ground::{Drift, GroundPath, Piece, corner, law, steepest_rad, traced};
use crate::solve::sampling::{Begin, samples};
use base::factors::RAD_PER_DEG;
use base::math::{cos, hypot, sin};
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// The maneuver.
#[derive(Debug)]
pub(super) struct RectangularCourse;

const FORMS: &[Form] = &[
    Form {
        key: "three-eighths",
        title: "three eighths of a mile from the field",
        description: Sourced {
            text: "three eighths of a statute mile outside the boundary, the middle of the usual range",
            source: "from-memory",
        },
    },
    Form {
        key: "quarter-mile",
        title: "a quarter of a mile from the field",
        description: Sourced {
            text: "a quarter of a statute mile outside the boundary, corners of the same radius about the corners of the \
                   field",
            source: "from-memory",
        },
    },
    Form {
        key: "half-mile",
        title: "half a mile from the field",
        description: Sourced {
            text: "half a statute mile outside the boundary: shallower banks and longer legs, for first lessons and fast \
                   airplanes",
            source: "from-memory",
        },
    },
];

/// A field of one statute mile by half of one: a common piece of surveyed land (common practice, no source).
const FIELD_LONG: Length = Length::from_ft(5280.0);
const FIELD_WIDE: Length = Length::from_ft(2640.0);
/// Time flown straight toward the downwind leg before it is joined, s.
const ENTRY_S: f64 = 4.0;
/// Steepest bank of a turn in this figure, deg (common practice, no source).
const BANK_MOST_DEG: f64 = 45.0;

impl Maneuver for RectangularCourse {
    fn id(&self) -> &'static str {
        "rectangular-course"
    }
    fn title(&self) -> &'static str {
        "Rectangular course"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the tracks of a traffic pattern about a field: crab on the legs, bank by groundspeed in the corners, \
                   attention divided between airplane, ground and other traffic",
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
            span_deg: 360.0,
            // Abeam the middles of the sides, and in the turns at the corners.
            checkpoints_deg: &[0.0, 55.0, 90.0, 125.0, 180.0, 235.0, 270.0, 305.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; a field with straight sides along and across the wind, clear of traffic patterns; \
                       600 to 1,000 ft above the ground",
                source: "ACS-P",
            },
            Sourced { text: "enter at 45 degrees to the downwind leg", source: "ACS-P" },
            Sourced {
                text: "a distance outside the boundary at which the field stays in sight: a quarter to half of a mile",
                source: "from-memory",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "no crab on the legs across the wind: the course is drawn downwind",
                source: "AFH-3C",
            },
            Sourced {
                text: "the same bank in every corner: wide after the downwind leg, tight after the upwind one",
                source: "common-practice",
            },
            Sourced {
                text: "attention on the ground alone: height and speed wander",
                source: "AFH-3C",
            },
            Sourced { text: "a field chosen without a place to land nearby", source: "AFH-3C" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[Sourced {
            text: "low, with eyes outside: look-out first; stay clear of the traffic of an airport",
            source: "common-practice",
        }]
    }
    fn entered_by_wind(&self) -> Option<&'static str> {
        Some("at 45 degrees to the downwind leg")
    }
    fn floor(&self) -> Floor {
        FLOOR_600
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "one leg",
                text: Sourced {
                    text: "along one side both ways: find the crab that holds the distance",
                    source: "common-practice",
                },
            },
            Step {
                title: "half a mile out",
                text: Sourced {
                    text: "the whole course half a mile from the field, shallow banks",
                    source: "common-practice",
                },
            },
            Step {
                title: "a quarter of a mile out",
                text: Sourced {
                    text: "closer, both ways round, with the checks of a traffic pattern said aloud",
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
        let (mut scene, entry) = Scene::new((airplane, day, entry), 0.0)?;
        let course = Course::new(&mut scene, &entry)?;
        let entry =
            Entry { heading: base::kinds::TrueHeading::from_rad(scene.heading_rad), ..entry };
        let path = GroundPath::new(&scene.setting, course.drift, course.pieces.clone());
        let steepest = steepest_rad(course.drift, &course.pieces);
        let power_most = check_power(&path, steepest)?;
        let flown = fly(&scene.setting.body, scene.setting.start(), &path)
            .expect("level flight at the airspeed that power holds stays in the model");
        let begin = Begin { heading_rad: scene.heading_rad, ..Begin::default() };
        let mut flight = samples(&scene.setting, &path, &flown, entry.direction, begin);
        let place = |place_m| north_east_m(scene.heading_rad, entry.direction, place_m);
        let center_m = place(course.center_m);
        let downwind_rad = scene.heading_rad + entry.direction.sign() * course.leg_rad;
        let nil_rad = downwind_rad - entry.direction.sign() * FRAC_PI_2;
        count_position(&mut flight, center_m, (nil_rad, entry.direction));
        let mut columns = wind_columns(&flight, day);
        columns.push(boundary_column(&flight, center_m, downwind_rad));
        let corners = course.boundary_m().map(place).to_vec();
        let told = Told {
            conditions: conditions(&flight, &columns[2], &path, &course),
            unknowns: found(&course, (steepest, power_most), (&flight, &columns), &path),
            marks: vec![Mark { name: "field", line_m: corners }],
            columns,
            ..Told::default()
        };
        let parts = vec![(entry.direction, flight)];
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, &entry), parts, told)
    }
}

/// The course laid out: everything in the frame that begins on the entry heading.
struct Course {
    drift: Drift,
    pieces: Vec<Piece>,
    distance_m: f64,
    /// Track of the downwind leg.
    leg_rad: f64,
    center_m: [f64; 2],
    /// Heading turned at the four corners.
    turned_rad: [f64; 4],
    /// Wind correction on the legs across the wind.
    crab_rad: f64,
}

impl Course {
    /// Lays the course out: the corners are rigid, the legs between them as long as the lines they must meet.
    fn new(scene: &mut Scene<'_>, entry: &Entry) -> Result<Self, Infeasible> {
        let miles = match entry.form.key {
            "quarter-mile" => 0.25,
            "half-mile" => 0.5,
            _ => 0.375,
        };
        let distance_m = miles * FIELD_LONG.to_m();
        let sign = entry.direction.sign();
        // With calm air the entry heading is the one told; else the downwind leg runs with the wind.
        let correction_rad = law::wind_correction_rad(scene.speed_mps, scene.wind_mps, FRAC_PI_4);
        let entry_course_rad = FRAC_PI_4 + correction_rad;
        if scene.wind_mps > 0.0 {
            scene.heading_rad += sign * entry_course_rad;
        }
        let leg_rad = -entry_course_rad;
        let drift = scene.drift(scene.heading_rad, entry.direction);
        let make = |from_rad: f64, to_rad: f64| {
            let radius_m = if to_rad > from_rad { distance_m } else { -distance_m };
            corner(drift, (leg_rad + from_rad, leg_rad + to_rad), radius_m, scene.roll_radps)
        };
        let joints: Option<Vec<Vec<Piece>>> = std::iter::once(make(FRAC_PI_4, 0.0))
            .chain((0..4).map(|k| make(f64::from(k) * FRAC_PI_2, f64::from(k + 1) * FRAC_PI_2)))
            .collect();
        let refuse = |needed_deg: f64| Infeasible {
            what: format!("bank in the turn from downwind on a radius of {distance_m:.0} m"),
            needed: needed_deg,
            available: BANK_MOST_DEG,
            unit: "deg",
            advice: "fly it farther from the field or slower, or on a day with less wind".into(),
        };
        let downwind_deg =
            law::bank_rad(scene.speed_mps, scene.wind_mps, distance_m, 0.0) / RAD_PER_DEG;
        let joints = joints.ok_or_else(|| refuse(downwind_deg))?;
        let most_rad = scene.lift_bank_rad(BANK_MOST_DEG * RAD_PER_DEG);
        let needed = joints.iter().map(|pieces| steepest_rad(drift, pieces)).fold(0.0, f64::max);
        if needed > most_rad {
            return Err(refuse(needed / RAD_PER_DEG));
        }
        let (center_m, turned_rad) = ([0.0; 2], [0.0; 4]);
        let pieces = Vec::new();
        Self { drift, pieces, distance_m, leg_rad, center_m, turned_rad, crab_rad: 0.0 }
            .laid(&joints)
    }
    /// Fills in the legs.
    fn laid(mut self, joints: &[Vec<Piece>]) -> Result<Self, Infeasible> {
        let (half_long, half_wide) = (0.5 * FIELD_LONG.to_m(), 0.5 * FIELD_WIDE.to_m());
        let (long, wide) = (half_long + self.distance_m, half_wide + self.distance_m);
        self.pieces.push(Piece::Straight { time_s: ENTRY_S });
        self.pieces.extend_from_slice(&joints[0]);
        // Joined half way from the near corner to the middle of the field.
        let mut at = [-0.5 * half_long, -wide];
        let goals = [[long, -wide], [long, wide], [-long, wide], [-long, -wide]];
        for (k, goal) in goals.into_iter().enumerate() {
            let track = k as f64 * FRAC_PI_2;
            let joint = &joints[k + 1];
            let course_rad = self.drift.course_for_track_rad(self.leg_rad + track);
            let knots = traced(self.drift, course_rad, joint);
            let moved = self.on_field(knots.last().expect("an end").place_m);
            self.turned_rad[k] = knots.last().expect("an end").course_rad - course_rad;
            // The corner ends on the line of the next leg: that leaves so much for this one.
            let ahead = |v: [f64; 2]| v[0] * cos(track) + v[1] * sin(track);
            self.leg(track, ahead(goal) - ahead(at) - ahead(moved))?;
            self.pieces.extend_from_slice(joint);
            let back = ahead(moved);
            at = [goal[0] + moved[0] - back * cos(track), goal[1] + moved[1] - back * sin(track)];
        }
        self.leg(0.0, -at[0])?;
        let crosswind = self.drift.course_for_track_rad(self.leg_rad + FRAC_PI_2);
        self.crab_rad = (crosswind - self.leg_rad - FRAC_PI_2).abs();
        let end = traced(self.drift, 0.0, &self.pieces).last().expect("an end").place_m;
        // It ends abeam the middle of the field, on the downwind leg.
        let (c, s) = (cos(self.leg_rad), sin(self.leg_rad));
        self.center_m = [end[0] - wide * s, end[1] + wide * c];
        Ok(self)
    }
    /// A straight leg of so many meters over the ground.
    fn leg(&mut self, track_rad: f64, length_m: f64) -> Result<(), Infeasible> {
        if length_m < 0.0 {
            return Err(Infeasible {
                what: "length of a leg between the corners of the course".into(),
                needed: 0.0,
                available: length_m,
                unit: "m",
                advice: "fly it closer to the field".into(),
            });
        }
        let course_rad = self.drift.course_for_track_rad(self.leg_rad + track_rad);
        let [ahead, right] = self.drift.over_ground_mps(course_rad);
        self.pieces.push(Piece::Straight { time_s: length_m / hypot(ahead, right) });
        Ok(())
    }
    /// A way of the frame along and to the right of the downwind leg.
    fn on_field(&self, way_m: [f64; 2]) -> [f64; 2] {
        let (c, s) = (cos(self.leg_rad), sin(self.leg_rad));
        [way_m[0] * c + way_m[1] * s, way_m[1] * c - way_m[0] * s]
    }
    /// The boundary of the field in the frame, closed.
    fn boundary_m(&self) -> [[f64; 2]; 5] {
        let (long, wide) = (0.5 * FIELD_LONG.to_m(), 0.5 * FIELD_WIDE.to_m());
        let (c, s) = (cos(self.leg_rad), sin(self.leg_rad));
        [[1.0, -1.0], [1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]].map(|[along, right]| {
            let (along, right) = (along * long, right * wide);
            [self.center_m[0] + along * c - right * s, self.center_m[1] + along * s + right * c]
        })
    }
}

/// Distance from the boundary of the field along a flight.
fn boundary_column(flight: &[FlightSample], center_m: [f64; 2], downwind_rad: f64) -> Column {
    let (half_long, half_wide) = (0.5 * FIELD_LONG.to_m(), 0.5 * FIELD_WIDE.to_m());
    let (c, s) = (cos(downwind_rad), sin(downwind_rad));
    let distance = |sample: &FlightSample| {
        let (north, east) = (sample.north_m - center_m[0], sample.east_m - center_m[1]);
        let (along, right) = (north * c + east * s, east * c - north * s);
        hypot((along.abs() - half_long).max(0.0), (right.abs() - half_wide).max(0.0))
    };
    Column {
        key: "distance_m",
        title: "distance from the boundary",
        unit: "m",
        values: flight.iter().map(distance).collect(),
        source: "AFH-3C",
    }
}

/// Whether a time lies on one of the legs: a straight piece after the entry.
fn on_leg(path: &GroundPath<'_>, course: &Course, time_s: f64) -> bool {
    let straight = |(index, piece): (usize, &Piece)| {
        let (from_s, to_s) = (path.knots[index].time_s, path.knots[index + 1].time_s);
        index > 0 && matches!(piece, Piece::Straight { .. }) && (from_s..=to_s).contains(&time_s)
    };
    course.pieces.iter().enumerate().any(straight)
}

fn conditions(
    flight: &[FlightSample],
    distance: &Column,
    path: &GroundPath<'_>,
    course: &Course,
) -> Vec<Condition> {
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let legs = || {
        let both = flight.iter().zip(&distance.values);
        both.filter(|(s, _)| on_leg(path, course, s.time_s)).map(|(_, distance)| *distance)
    };
    let (first, last) = (&flight[0], flight.last().expect("a part has samples"));
    let turned = (last.turned_rad - course.leg_rad) / RAD_PER_DEG;
    vec![
        condition("heading at the end against downwind", 360.0, turned, "deg"),
        condition(
            "least distance on the legs",
            course.distance_m,
            legs().fold(f64::INFINITY, f64::min),
            "m",
        ),
        condition(
            "greatest distance on the legs",
            course.distance_m,
            legs().fold(0.0, f64::max),
            "m",
        ),
        condition("height at the end against entry", 0.0, last.height_m - first.height_m, "m"),
    ]
}

fn found(
    course: &Course,
    (steepest_rad, power_most): (f64, f64),
    (flight, columns): (&[FlightSample], &[Column]),
    path: &GroundPath<'_>,
) -> Vec<Unknown> {
    // The entry joins the downwind leg where the fifth piece begins.
    let joined_s = path.knots[4].time_s;
    let corners = flight.iter().zip(&columns[2].values).filter(|(s, _)| s.time_s > joined_s);
    let farthest_m = corners.map(|(_, distance)| *distance).fold(0.0, f64::max);
    let (slow_kt, fast_kt) = range_of(&columns[0]);
    let turned = course.turned_rad.map(|rad| rad / RAD_PER_DEG);
    unknowns(&[
        ("wind correction on the legs across the wind", course.crab_rad / RAD_PER_DEG, "deg"),
        ("turn from downwind to base", turned[0], "deg"),
        ("turn from base to upwind", turned[1], "deg"),
        ("turn from upwind to crosswind", turned[2], "deg"),
        ("turn from crosswind to downwind", turned[3], "deg"),
        ("steepest bank of the lift", steepest_rad / RAD_PER_DEG, "deg"),
        ("greatest distance in the corners", farthest_m, "m"),
        ("fastest over the ground", fast_kt, "kt"),
        ("slowest over the ground", slow_kt, "kt"),
        ("power, most", 100.0 * power_most, "% of full"),
        ("time", path.end_s(), "s"),
    ])
}
