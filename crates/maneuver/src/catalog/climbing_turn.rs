//! Climbing turn: half a turn at climb power and the speed of the best climb.

use super::comfortable_roll_rate_radps;
use super::held_speed::{Kind, fly_held};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use base::factors::RAD_PER_DEG;
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct ClimbingTurn;

const FORMS: &[Form] = &[
    Form {
        key: "20",
        title: "20 degrees of bank",
        description: Sourced {
            text: "climb power, the speed of the best climb, 20 degrees of bank: steeper robs the climb",
            source: "from-memory",
        },
    },
    Form {
        key: "15",
        title: "15 degrees of bank",
        description: Sourced {
            text: "climb power, the speed of the best climb, 15 degrees of bank, for first lessons",
            source: "from-memory",
        },
    },
];

impl Maneuver for ClimbingTurn {
    fn id(&self) -> &'static str {
        "climbing-turn"
    }
    fn title(&self) -> &'static str {
        "Climbing turn"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a turn in a climb: the speed held by the nose, the climb that the bank costs, and the rudder that climb power asks for",
            source: "from-memory",
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
            span_deg: 180.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0],
            sought: false,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area, above too; climb straight at the speed of the best climb, power set",
                source: "common-practice",
            },
            Sourced {
                text: "roll in with aileron and rudder together; lower the nose a little for the same speed",
                source: "from-memory",
            },
            Sourced {
                text: "right rudder is in already: less of it to the left, more to the right",
                source: "from-memory",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "nose left where it was in the straight climb: the speed falls",
                source: "common-practice",
            },
            Sourced {
                text: "bank creeps up: the climb goes to nothing",
                source: "common-practice",
            },
            Sourced {
                text: "rudder forgotten when rolling: the nose goes the wrong way first",
                source: "AFH-3C",
            },
            Sourced {
                text: "the turn kept, the look-out given up: the nose hides what is ahead",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "slow, nose high, power on: a stall here drops the higher wing first",
                source: "from-memory",
            },
            Sourced {
                text: "what is ahead is under the nose: weave or lower it to look",
                source: "common-practice",
            },
        ]
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(1000.0),
            entry_above_ground: Some(Length::from_ft(2000.0)),
            source: "common-practice",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "15 degrees, a quarter",
                text: Sourced {
                    text: "15 degrees of bank through 90 degrees, speed by the nose",
                    source: "common-practice",
                },
            },
            Step {
                title: "20 degrees, half a turn",
                text: Sourced {
                    text: "20 degrees of bank through 180 degrees onto a heading",
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
        let bank_deg = if entry.form.key == "15" { 15.0 } else { 20.0 };
        let roll_radps = comfortable_roll_rate_radps(airplane);
        let kind = Kind { bank_rad: bank_deg * RAD_PER_DEG, roll_radps, power_share: 1.0 };
        fly_held(self, (airplane, day, entry), &kind)
    }
}
