//! Rolling on a heading: from bank to bank about a heading, coordinated.

use super::over_ground::{unhurried, unknowns};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told};
use crate::solve::rolling::Rolling;
use crate::solve::sampling::{Begin, samples};
use crate::solve::{Setting, fly};
use base::factors::RAD_PER_DEG;
use base::math::cos;
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::trajectory::FlightSample;

/// The maneuver.
#[derive(Debug)]
pub(super) struct RollingOnAHeading;

const FORMS: &[Form] = &[
    Form {
        key: "30",
        title: "30 degrees each way",
        description: Sourced {
            text: "from 30 degrees of bank to 30 the other way, height held; the first and the last of four swings go to less, so that \
                   the nose swings as far to either side of the point",
            source: "common-practice",
        },
    },
    Form {
        key: "15",
        title: "15 degrees each way",
        description: Sourced {
            text: "from 15 degrees of bank to 15 the other way, for first lessons",
            source: "common-practice",
        },
    },
    Form {
        key: "45",
        title: "45 degrees each way",
        description: Sourced {
            text: "from 45 degrees of bank to 45 the other way, for the practiced",
            source: "common-practice",
        },
    },
];
impl Maneuver for RollingOnAHeading {
    fn id(&self) -> &'static str {
        "rolling-on-a-heading"
    }
    fn title(&self) -> &'static str {
        "Rolling on a heading"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "aileron and rudder together: rolled from bank to bank with the nose on a point, so that adverse yaw and too much rudder are seen at once; some call it a Dutch roll, a name that belongs to a mode of the airplane",
            source: "common-practice",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Phase,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 400.0,
            checkpoints_deg: &[0.0, 50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 350.0, 400.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; level on a point on the horizon, an unhurried cruise",
                source: "common-practice",
            },
            Sourced {
                text: "aileron and rudder together, as much of each as keeps the nose from swinging against or with the roll",
                source: "AFH-3C",
            },
            Sourced {
                text: "do not wait at the bank: roll on through level to the other side",
                source: "common-practice",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "the nose swings away from the roll: too little rudder",
                source: "common-practice",
            },
            Sourced {
                text: "the nose swings into the roll: too much rudder",
                source: "common-practice",
            },
            Sourced { text: "the nose moves before the bank: rudder early", source: "AFH-3C" },
            Sourced {
                text: "height wanders: back pressure is needed at the banks only",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[Sourced {
            text: "a coordinated bank turns: the nose swings a few degrees to either side of the point, the more the steeper the bank and \
                   the slower the roll; holding it still takes a little rudder against it, and a slip",
            source: "common-practice",
        }]
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(1500.0),
            entry_above_ground: Some(Length::from_ft(3000.0)),
            source: "common-practice",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "15 degrees",
                text: Sourced { text: "slow, from 15 to 15 degrees", source: "common-practice" },
            },
            Step {
                title: "30 degrees",
                text: Sourced {
                    text: "from 30 to 30 degrees, at one even rate",
                    source: "common-practice",
                },
            },
            Step {
                title: "45 degrees",
                text: Sourced {
                    text: "from 45 to 45 degrees, height within 100 ft",
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
        let setting = Setting::new(airplane, day, entry, unhurried(airplane, entry));
        let bank_deg = match entry.form.key {
            "15" => 15.0,
            "45" => 45.0,
            _ => 30.0,
        };
        let amplitude_rad = bank_deg * RAD_PER_DEG;
        // Brisker than other figures, so that the banks turn little: 80 % of what the ailerons give, at most 60 degrees a second.
        let rate_radps = (0.8 * airplane.roll_rate_max.to_radps()).min(60.0 * RAD_PER_DEG);
        let schedule = Rolling::new(&setting, amplitude_rad, rate_radps);
        let power_most = setting.power_to_hold(1.0 / cos(amplitude_rad));
        if power_most > 1.0 {
            return Err(super::over_ground::short_of_power(amplitude_rad, power_most));
        }
        let flown = fly(&setting.body, setting.start(), &schedule)
            .expect("level flight at the airspeed that power holds stays in the model");
        let begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
        let mut flight = samples(&setting, &schedule, &flown, entry.direction, begin);
        for sample in &mut flight {
            sample.progress_rad = 100.0 * RAD_PER_DEG * schedule.swings_done(sample.time_s);
        }
        let (first, last) = (flight[0], flight[flight.len() - 1]);
        let swing = |s: &FlightSample| s.turned_rad / RAD_PER_DEG;
        let most = |side: f64| flight.iter().map(|s| side * swing(s)).fold(0.0, f64::max);
        let condition = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
        let told = Told {
            unknowns: unknowns(&[
                ("swing of the nose to one side, coordinated", most(1.0), "deg"),
                ("swing of the nose to the other side", most(-1.0), "deg"),
                (
                    "bank of the first and of the last swing",
                    schedule.first_bank_rad() / RAD_PER_DEG,
                    "deg",
                ),
                ("roll rate through level", schedule.rate_radps() / RAD_PER_DEG, "deg/s"),
                ("power, most", 100.0 * power_most, "% of full"),
            ]),
            conditions: vec![
                condition("heading at the end", 0.0, swing(&last), "deg"),
                condition("bank at the end", 0.0, last.bank_rad / RAD_PER_DEG, "deg"),
                condition(
                    "height at the end against entry",
                    0.0,
                    last.height_m - first.height_m,
                    "m",
                ),
            ],
            phases: vec!["first bank", "second bank", "third bank", "fourth bank"],
            ..Told::default()
        };
        let parts = vec![(entry.direction, flight)];
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, entry), parts, told)
    }
}
