//! Steep turn: a level turn through 360 degrees at 45, 50 or 60 degrees of bank.

use super::{below_maneuvering, comfortable_roll_rate_radps, entry_speed, one_part};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::{Setting, level_turn};
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct SteepTurn;

const FORMS: &[Form] = &[
    Form {
        key: "45",
        title: "45 degrees of bank",
        description: Sourced {
            text: "bank about 45 degrees, the private pilot's standard",
            source: "ACS-P",
        },
    },
    Form {
        key: "50",
        title: "50 degrees of bank",
        description: Sourced {
            text: "bank about 50 degrees, the commercial pilot's standard",
            source: "ACS-C",
        },
    },
    Form {
        key: "60",
        title: "60 degrees of bank",
        description: Sourced {
            text: "bank 60 degrees: 2 g, the steepest of the handbook's range",
            source: "AFH-3C",
        },
    },
];

impl Maneuver for SteepTurn {
    fn id(&self) -> &'static str {
        "steep-turn"
    }
    fn title(&self) -> &'static str {
        "Steep turn"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a level turn of 360 degrees near the steepest bank the airplane holds: smooth and coordinated \
                   control while load, stall speed and the need for power all rise",
            source: "AFH-3C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Turn,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 90.0, 180.0, 270.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; choose a heading on an outside reference",
                source: "ACS-C",
            },
            Sourced {
                text: "maker's speed for it, else not above maneuvering speed at this weight",
                source: "ACS-C",
            },
            Sourced {
                text: "roll in at a steady rate while the nose comes up; add power passing medium bank",
                source: "AFH-3C",
            },
            Sourced {
                text: "lead the roll-out; half the bank is the handbook's rule",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "pull too early or too late in the roll-in: climbs or sinks at the start",
                source: "common-practice",
            },
            Sourced {
                text: "bank creeps up and the nose drops: take bank off first, then raise the nose",
                source: "common-practice",
            },
            Sourced {
                text: "pull kept in the roll-out: the airplane balloons",
                source: "common-practice",
            },
            Sourced { text: "power added late: speed bleeds", source: "common-practice" },
            Sourced { text: "eyes on the panel instead of outside", source: "AFH-3C" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "stall speed rises with the square root of the load: 19 % at 45, 41 % at 60 degrees of bank",
                source: "AFH-3C",
            },
            Sourced {
                text: "a nose-low steep turn tightened with back stick becomes a spiral with growing load",
                source: "from-memory",
            },
        ]
    }
    fn floor(&self) -> Floor {
        super::FLOOR_1500
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "medium bank first",
                text: Sourced {
                    text: "30 degrees of bank through 360, height by the horizon on the cowl, trim untouched",
                    source: "common-practice",
                },
            },
            Step {
                title: "half way round",
                text: Sourced {
                    text: "45 degrees for 180 degrees of turn, roll-out led by half the bank",
                    source: "common-practice",
                },
            },
            Step {
                title: "the full figure",
                text: Sourced {
                    text: "360 degrees at the bank asked for, height within 100 ft, each way",
                    source: "common-practice",
                },
            },
            Step {
                title: "one way into the other",
                text: Sourced {
                    text: "out of one straight into the other, power and pull let go through level and taken up again",
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
        let bank_rad = match entry.form.key {
            "45" => 45.0,
            "50" => 50.0,
            _ => 60.0,
        } * RAD_PER_DEG;
        let roll_s = bank_rad / comfortable_roll_rate_radps(airplane);
        let turn_rad = self.shape().span_deg * RAD_PER_DEG;
        below_maneuvering(airplane, entry, entry_speed(airplane, entry), |speed| {
            let setting = Setting::new(airplane, day, entry, speed);
            let found = level_turn::solve(&setting, bank_rad, roll_s, turn_rad)?;
            one_part(self, (airplane, entry), &setting, found)
        })
    }
}
