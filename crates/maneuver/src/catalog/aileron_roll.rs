//! Aileron roll: nose up, eased, rolled with nearly full aileron.

use super::rolled;
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::rolls;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct AileronRoll;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "nose 20 to 30 degrees up first",
    description: Sourced {
        text: "nose raised 20 to 30 degrees above the horizon, elevator relaxed, aileron held, the nose 20 to 30 degrees below at the end, level again",
        source: "from-memory",
    },
}];

impl Maneuver for AileronRoll {
    fn id(&self) -> &'static str {
        "aileron-roll"
    }
    fn title(&self) -> &'static str {
        "Aileron roll"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a whole turn about the long axis: what the ailerons do, what the nose does meanwhile, orientation upside down for a moment",
            source: "common-practice",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Roll,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 180.0, 270.0, 315.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "maker's speed, else not above maneuvering speed; power as in cruise",
                source: "from-memory",
            },
            Sourced {
                text: "pull first, then ease the stick forward to where the airplane is light, then the aileron: never aileron under load",
                source: "common-practice",
            },
            Sourced {
                text: "clearing turn of at least 180 degrees, the last part the way of the figure, rolled out on a line with speed ready",
                source: "CNATRA-P-330",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "nose not high enough: steep and fast at the end",
                source: "common-practice",
            },
            Sourced {
                text: "pull kept while rolling: the nose is dragged round, the roll becomes a barrel, the load limit while rolling is two thirds",
                source: "from-memory",
            },
            Sourced {
                text: "roll stopped upside down, then a pull: that is a split-S",
                source: "common-practice",
            },
            Sourced {
                text: "aileron let go before the wings are level",
                source: "common-practice",
            },
            Sourced { text: "jerky stages, rushed controls", source: "CAA-1939" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            super::NO_FAA_STANDARD,
            Sourced {
                text: "stopped inverted: keep rolling, or push and roll on; do not pull",
                source: "common-practice",
            },
            Sourced {
                text: "load limit while rolling: commonly two thirds of the limit",
                source: "from-memory",
            },
        ]
    }
    fn unpublished(&self) -> Option<Sourced> {
        Some(super::NO_FAA_STANDARD)
    }
    fn floor(&self) -> Floor {
        super::FLOOR_1500
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "Nose up, ease, nose down",
                text: Sourced {
                    text: "the pull and the ease without the roll: the light seat",
                    source: "common-practice",
                },
            },
            Step {
                title: "Half a roll's worth of bank",
                text: Sourced {
                    text: "to 90 degrees and back with the stick eased",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole roll",
                text: Sourced {
                    text: "full aileron held until the horizon is level",
                    source: "common-practice",
                },
            },
        ]
    }
    fn needs_approval(&self, _: &Form) -> bool {
        true
    }
    fn fly(
        &self,
        airplane: &Airplane,
        day: &Day,
        entry: &Entry,
    ) -> Result<ReferenceFlight, Infeasible> {
        rolled(self, (airplane, day, entry), rolls::aileron)
    }
}
