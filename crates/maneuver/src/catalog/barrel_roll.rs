//! Barrel roll: the nose goes round a point on the horizon to the side, load on all the way.

use super::rolled;
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::rolls;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct BarrelRoll;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "round a point 45 degrees off the nose",
    description: Sourced {
        text: "wings-level pull to 20 degrees nose up, then roll at a steady rate: bank 90 at 45 degrees of turn, inverted with the nose on the horizon at 90, bank 90 the other way at 45, ends at entry height, speed and heading",
        source: "CNATRA-P-1212",
    },
}];

impl Maneuver for BarrelRoll {
    fn id(&self) -> &'static str {
        "barrel-roll"
    }
    fn title(&self) -> &'static str {
        "Barrel roll"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a roll flown with the elevator as much as with the ailerons: the nose circles a point 45 degrees to the side, the load stays positive",
            source: "CNATRA-P-1212",
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
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced { text: "references 45 and 90 degrees off the nose", source: "CNATRA-P-1212" },
            Sourced {
                text: "maker's speed, else not above maneuvering speed; power set once",
                source: "from-memory",
            },
            Sourced {
                text: "the sheet of a jet begins the roll at 20 degrees nose up, with bank 90 and the nose highest at 45 degrees of turn; without sideslip nothing holds the nose up at that bank, and light airplanes need more climb first: the flight computed here meets the top and the end and tells what it has at 90 of bank",
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
                text: "nose not raised enough: dishes out below entry height",
                source: "from-memory",
            },
            Sourced {
                text: "roll too slow or slowed at the top: the nose falls through inverted",
                source: "AAIB-G-BZGK",
            },
            Sourced { text: "stopped inverted and pulled: a split-S", source: "from-memory" },
            Sourced {
                text: "load let go to nil, or kept as in a loop: light airplanes keep it between about 0.5 and 3 g",
                source: "from-memory",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            super::NO_FAA_STANDARD,
            Sourced {
                text: "roll rate lost at the top, nose low: keep rolling to the nearest horizon, then pull",
                source: "AAIB-G-BZGK",
            },
            Sourced {
                text: "aileron and load together: the limit while rolling is commonly two thirds",
                source: "from-memory",
            },
            Sourced {
                text: "relaxed sitters often grey out near 3 to 4 g held: a warning band, never a limit",
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
                title: "A wing-over",
                text: Sourced {
                    text: "at 45 and 60 degrees of bank first: the same beginning",
                    source: "common-practice",
                },
            },
            Step {
                title: "Round the point with the eyes",
                text: Sourced {
                    text: "on the ground, the nose's circle drawn with the hand round a reference",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole roll",
                text: Sourced {
                    text: "high and unhurried, the roll kept going at the top",
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
        rolled(self, (airplane, day, entry), rolls::barrel)
    }
}
