//! Descending turn: half a turn in the glide, engine idle.

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
pub(super) struct DescendingTurn;

const FORMS: &[Form] = &[
    Form {
        key: "30",
        title: "30 degrees of bank",
        description: Sourced {
            text: "engine idle, the speed of the flattest glide, 30 degrees of bank",
            source: "common-practice",
        },
    },
    Form {
        key: "20",
        title: "20 degrees of bank",
        description: Sourced {
            text: "engine idle, the speed of the flattest glide, 20 degrees of bank, for first lessons",
            source: "common-practice",
        },
    },
];

impl Maneuver for DescendingTurn {
    fn id(&self) -> &'static str {
        "descending-turn"
    }
    fn title(&self) -> &'static str {
        "Descending turn"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a gliding turn: speed by the nose while bank and sink grow together, no slipstream to help the controls",
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
                text: "clear the area, below too; engine idle as the manual says, carburetor heat if fitted",
                source: "AFH-3C",
            },
            Sourced {
                text: "glide straight at the speed of the flattest glide; then roll in and lower the nose for the same speed",
                source: "from-memory",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "nose left where it was: the speed falls as the bank grows",
                source: "common-practice",
            },
            Sourced {
                text: "nose dropped too far: fast, and the height is gone",
                source: "common-practice",
            },
            Sourced {
                text: "back pressure instead of less bank when the speed is low",
                source: "common-practice",
            },
            Sourced {
                text: "right rudder of the climb kept in the glide",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "stall speed rises with the bank; a stall in a descending turn drops the lower wing first",
                source: "from-memory",
            },
            Sourced {
                text: "an idling engine cools and may ice: clear it now and then",
                source: "AFH-3C",
            },
        ]
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(1000.0),
            entry_above_ground: Some(Length::from_ft(3000.0)),
            source: "common-practice",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "20 degrees, a quarter",
                text: Sourced {
                    text: "20 degrees of bank through 90 degrees, speed by the nose",
                    source: "common-practice",
                },
            },
            Step {
                title: "30 degrees, half a turn",
                text: Sourced {
                    text: "30 degrees of bank through 180 degrees onto a heading",
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
        let bank_deg = if entry.form.key == "20" { 20.0 } else { 30.0 };
        let roll_radps = comfortable_roll_rate_radps(airplane);
        let kind = Kind { bank_rad: bank_deg * RAD_PER_DEG, roll_radps, power_share: 0.0 };
        fly_held(self, (airplane, day, entry), &kind)
    }
}
