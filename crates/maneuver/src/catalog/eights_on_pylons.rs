//! Eights on pylons: the wing tip held on one pylon, then on another, at the height that the groundspeed asks for.

use super::over_ground::{Scene, north_east_m, point, range_of, unhurried, unknowns, wind_columns};
use crate::definition::{Direction, Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Column, Condition, Entry, Infeasible, Mark, ReferenceFlight, Told};
use crate::solve::pylon::{self, AboutPylon};
use crate::solve::sampling::{Begin, samples};
use crate::solve::{Flown, Setting};
use base::factors::{M_PER_FT, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::{GeometricHeight, TrueHeading};
use base::math::{atan2, hypot};
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::point_mass::state;
use flight::trajectory::FlightSample;

/// The maneuver.
#[derive(Debug)]
pub(super) struct EightsOnPylons;

const FORMS: &[Form] = &[
    Form {
        key: "35",
        title: "35 degrees at the steepest",
        description: Sourced {
            text: "pylons at a distance at which 35 degrees of bank point the wing at them; the standard allows 40",
            source: "ACS-C",
        },
    },
    Form {
        key: "30",
        title: "30 degrees at the steepest",
        description: Sourced {
            text: "a wider figure, 30 degrees of bank at the steepest",
            source: "from-memory",
        },
    },
];
/// Straight and level between the pylons, s (common practice, no source: three to five seconds).
const STRAIGHT_S: f64 = 4.0;

impl Maneuver for EightsOnPylons {
    fn id(&self) -> &'static str {
        "eights-on-pylons"
    }
    fn title(&self) -> &'static str {
        "Eights on pylons"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "two turns opposite ways, a pylon held on the wing tip by height alone: what groundspeed does to the pivotal height",
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
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 90.0, 180.0, 270.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; two pylons on a line across the wind, alike in height, in open country",
                source: "AFH-3C",
            },
            Sourced {
                text: "at the pivotal height for the groundspeed: knots squared over 11.3, in feet above the pylons",
                source: "AFH-3C",
            },
            Sourced {
                text: "fly diagonally downwind between them; the first turn is into the wind",
                source: "AFH-3C",
            },
            Sourced {
                text: "roll in as the pylon comes to the wing tip, and hold it there by height",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "the pylon slides back behind the wing: too low, climb; forward: too high, descend",
                source: "AFH-3C",
            },
            Sourced {
                text: "rudder used to pull the wing onto the pylon: slip or skid",
                source: "CAA-1939",
            },
            Sourced {
                text: "drift not allowed for on the straight leg: the second pylon is at another distance",
                source: "CAA-1939",
            },
            Sourced { text: "pylons not across the wind", source: "CAA-1939" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "low, turning, eyes on a wing tip: look-out between the pylons, ball centered always",
                source: "common-practice",
            },
            Sourced {
                text: "the handbook rule is exact in calm air only: with a tailwind it flies too high, with a headwind too low",
                source: "DENKER",
            },
            Sourced {
                text: "500 ft from persons, vessels, vehicles and structures in the United States",
                source: "from-memory",
            },
        ]
    }
    fn entered_by_wind(&self) -> Option<&'static str> {
        Some("downwind between the pylons")
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(500.0),
            entry_above_ground: Some(Length::from_ft(900.0)),
            source: "from-memory",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "pivotal height",
                text: Sourced {
                    text: "one pylon, one turn in calm air: find the height at which it stays on the wing",
                    source: "common-practice",
                },
            },
            Step {
                title: "in the wind",
                text: Sourced {
                    text: "one pylon in the wind: down as it turns upwind, up as it turns downwind",
                    source: "common-practice",
                },
            },
            Step {
                title: "both",
                text: Sourced {
                    text: "the eight, three to five seconds straight and level between the pylons",
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
        let (scene, entry) = at_pivotal_height((airplane, day, entry))?;
        let bank_deg = if entry.form.key == "30" { 30.0 } else { 35.0 };
        let form = pylon::Form {
            bank_rad: scene.lift_bank_rad(bank_deg * RAD_PER_DEG),
            roll_radps: scene.roll_radps,
            straight_s: STRAIGHT_S,
            wind_mps: scene.wind_mps,
        };
        let (about, flown) = pylon::solve(&scene.setting, form)?;
        let sign = entry.direction.sign();
        // In calm air the heading told is kept; else the legs lie so far off downwind.
        let heading_rad = if scene.wind_mps > 0.0 {
            scene.heading_rad + sign * about.off_downwind_rad
        } else {
            scene.heading_rad
        };
        let entry = Entry { heading: TrueHeading::from_rad(heading_rad), ..entry };
        let begin = Begin { heading_rad, ..Begin::default() };
        let mut eight = Eight::default();
        let first = eight.add((&scene.setting, &about, &flown), entry.direction, begin, [0.0; 2]);
        let end = *first.last().expect("a part has samples");
        let mut second = scene.setting.clone();
        (second.speed_mps, second.height_m) = crate::solve::state_at_end(&flown);
        let (again, flown_again) = about.again(&second).ok_or_else(|| stopped(&second))?;
        let begin = Begin {
            time_s: end.time_s,
            heading_rad: end.heading_rad,
            air_north_m: end.air_north_m,
            air_east_m: end.air_east_m,
        };
        let opposite = entry.direction.opposite();
        let place_m = [end.north_m, end.east_m];
        let later = eight.add((&second, &again, &flown_again), opposite, begin, place_m);
        let conditions = conditions(&scene, &about, &flown);
        let parts = vec![(entry.direction, first), (opposite, later)];
        let told = eight.told(&parts, (&about, day), conditions);
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, &entry), parts, told)
    }
}

/// The airplane at the height above the field that the law asks for on the legs.
fn at_pivotal_height<'a>(
    (airplane, day, entry): (&'a Airplane, &'a Day, &Entry),
) -> Result<(Scene<'a>, Entry), Infeasible> {
    let wind = day.wind.velocity();
    let wind_mps = hypot(wind.north(), wind.east());
    let mut entry = *entry;
    // True airspeed changes little with so little height: two rounds settle it.
    for _ in 0..2 {
        let setting = Setting::new(airplane, day, &entry, unhurried(airplane, &entry));
        let speed = setting.speed_mps;
        // On the legs the wind is most of a tailwind: about half a radian off.
        let height_m = speed * (speed + 0.88 * wind_mps) / STANDARD_GRAVITY_MPS2;
        entry.height = GeometricHeight::from_m(day.field_elevation.to_m() + height_m);
    }
    Scene::new((airplane, day, &entry), 0.0)
}

fn stopped(setting: &Setting<'_>) -> Infeasible {
    Infeasible {
        what: "the turn about the second pylon is not completed: airspeed".into(),
        needed: setting.speed_mps / MPS_PER_KT,
        available: 0.0,
        unit: "kt true",
        advice: "another entry speed, less mass, or a day with less wind".into(),
    }
}

fn conditions(scene: &Scene<'_>, about: &AboutPylon<'_>, flown: &Flown) -> Vec<Condition> {
    let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
    let x = flown.state(flown.end_s);
    let wanted_deg = 360.0 - 2.0 * about.off_downwind_rad / RAD_PER_DEG;
    vec![
        condition("turn from leg to leg", wanted_deg, x[state::COURSE] / RAD_PER_DEG, "deg"),
        condition(
            "true airspeed at the end of a turn",
            scene.speed_mps / MPS_PER_KT,
            x[state::SPEED] / MPS_PER_KT,
            "kt",
        ),
        condition("wander downwind in a turn", 0.0, about.wander_m(flown), "m"),
    ]
}

/// What is gathered over both turns.
#[derive(Default)]
struct Eight {
    pylons_m: Vec<[f64; 2]>,
    above_ft: Vec<f64>,
    exact_ft: Vec<f64>,
    rule_ft: Vec<f64>,
    off_wing_deg: Vec<f64>,
    distance_m: Vec<f64>,
}

impl Eight {
    /// One turn as samples, with what is told of it; not a number outside of the turn about the pylon.
    fn add(
        &mut self,
        (setting, about, flown): (&Setting<'_>, &AboutPylon<'_>, &Flown),
        direction: Direction,
        begin: Begin,
        place_m: [f64; 2],
    ) -> Vec<FlightSample> {
        let mut flight = samples(setting, about, flown, direction, begin);
        let offset = north_east_m(begin.heading_rad, direction, about.pylon_m);
        let pylon_m = [place_m[0] + offset[0], place_m[1] + offset[1]];
        let first = flight[0];
        let nil_rad = atan2(first.east_m - pylon_m[1], first.north_m - pylon_m[0]);
        super::over_ground::count_position(&mut flight, pylon_m, (nil_rad, direction));
        let [_, rolled_s, turned_s, ..] = about.ends_s();
        let wind = setting.day.wind.velocity();
        for sample in &flight {
            let time_s = sample.time_s - begin.time_s;
            let held = (rolled_s..=turned_s).contains(&time_s);
            let only = |value: f64| if held { value } else { f64::NAN };
            let (x, resolved) = flown.at(&setting.body, about, time_s);
            let level = sample.true_airspeed_mps * base::math::cos(sample.climb_rad);
            let north = level * base::math::cos(sample.course_rad) + wind.north();
            let east = level * base::math::sin(sample.course_rad) + wind.east();
            let rule_m = crate::solve::ground::law::pivotal_height_by_rule_m(hypot(north, east));
            self.above_ft.push((sample.height_m - about.foot_m) / M_PER_FT);
            self.exact_ft.push(only(about.pivotal_m(&x) / M_PER_FT));
            self.rule_ft.push(only(rule_m / M_PER_FT));
            self.off_wing_deg.push(only(about.off_wing_rad(time_s, (&x, &resolved)) / RAD_PER_DEG));
            let away = hypot(sample.north_m - pylon_m[0], sample.east_m - pylon_m[1]);
            self.distance_m.push(only(away));
        }
        self.pylons_m.push(pylon_m);
        flight
    }
    fn told(
        self,
        parts: &[(Direction, Vec<FlightSample>)],
        (about, day): (&AboutPylon<'_>, &Day),
        conditions: Vec<Condition>,
    ) -> Told {
        let column = |key, title, unit, values, source| Column { key, title, unit, values, source };
        let flight: Vec<FlightSample> = parts.iter().flat_map(|(_, part)| part).copied().collect();
        let apart_ft: Vec<f64> = self
            .exact_ft
            .iter()
            .zip(&self.rule_ft)
            .map(|(exact, rule)| (exact - rule).abs())
            .collect();
        let mut columns = vec![
            column("height_above_pylon_ft", "height above pylon", "ft", self.above_ft, "AFH-3C"),
            column("pivotal_exact_ft", "pivotal height, exact", "ft", self.exact_ft, "DENKER"),
            column("pivotal_rule_ft", "pivotal height, rule", "ft", self.rule_ft, "AFH-3C"),
            column("off_wing_deg", "pylon off the wing tip", "deg", self.off_wing_deg, "DENKER"),
            column("distance_m", "distance from the pylon", "m", self.distance_m, "DENKER"),
        ];
        let between = hypot(
            self.pylons_m[1][0] - self.pylons_m[0][0],
            self.pylons_m[1][1] - self.pylons_m[0][1],
        );
        let apart = apart_ft.into_iter().filter(|v| v.is_finite()).fold(0.0, f64::max);
        let [low_ft, high_ft] = [range_of(&columns[1]).0, range_of(&columns[1]).1];
        let speeds = |pick: fn(f64, f64) -> f64, from: f64| {
            flight.iter().map(|s| s.indicated_airspeed_mps / MPS_PER_KT).fold(from, pick)
        };
        let unknowns = unknowns(&[
            ("legs off downwind", about.off_downwind_rad / RAD_PER_DEG, "deg"),
            ("distance between the pylons", between, "m"),
            ("nearest to a pylon", range_of(&columns[4]).0, "m"),
            ("farthest from it while held", range_of(&columns[4]).1, "m"),
            ("highest above the pylon by the exact law", high_ft, "ft"),
            ("lowest above it by the exact law", low_ft, "ft"),
            ("handbook rule against the exact law, most", apart, "ft"),
            ("pylon off the wing tip, most", range_of(&columns[3]).1, "deg"),
            ("fastest indicated", speeds(f64::max, 0.0), "kt"),
            ("slowest indicated", speeds(f64::min, f64::INFINITY), "kt"),
            ("power", 100.0 * about.power(), "% of full"),
            ("time", flight.last().map_or(0.0, |s| s.time_s), "s"),
        ]);
        columns.truncate(4);
        columns.extend(wind_columns(&flight, day).into_iter().take(1));
        let names = ["first pylon", "second pylon"];
        let marks: Vec<Mark> = names
            .into_iter()
            .zip(&self.pylons_m)
            .map(|(name, &place)| point(name, place))
            .collect();
        Told { unknowns, conditions, marks, columns, ..Told::default() }
    }
}
