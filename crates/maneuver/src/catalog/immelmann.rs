//! Immelmann: half a loop, half a roll at its top, away the other way, higher.

use super::{one_figure, vertical_entry, vertical_form};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::half_loops;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct Immelmann;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "half roll at the top",
    description: Sourced {
        text: "pull as for a loop but from more speed; once inverted, with the nose still above the horizon, stop the pull and roll upright; level the other way, higher and slow",
        source: "CAA-1939",
    },
}];

/// Speed over the top as a share of entry: more than in a loop, for the roll.
const SHARE: f64 = 0.47;

impl Maneuver for Immelmann {
    fn id(&self) -> &'static str {
        "immelmann"
    }
    fn title(&self) -> &'static str {
        "Immelmann"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "reversal of direction with the greatest gain of height: half a loop that keeps speed enough for half a roll at its top",
            source: "CAA-1939",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::PitchAndRoll,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0, 270.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced { text: "more speed than for a loop, level, on a line", source: "CAA-1939" },
            Sourced {
                text: "no sideslip is held in the roll computed here: the path sags in it, so the roll begins with the path as far above the horizon; with top rudder it begins lower",
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
                text: "too little speed left for the roll: the ailerons answer slowly, the nose falls",
                source: "CAA-1939",
            },
            Sourced {
                text: "roll begun before the airplane is inverted: an inverted spin may follow",
                source: "CAA-1939",
            },
            Sourced {
                text: "sag in the roll: forward stick forgotten while inverted",
                source: "from-memory",
            },
            Sourced {
                text: "heading lost in the roll: no reference picked behind",
                source: "common-practice",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            super::NO_FAA_STANDARD,
            Sourced {
                text: "the push on the inverted line is a negative load: harness tight, loose articles stowed, and only in airplanes whose engine and manual allow it",
                source: "common-practice",
            },
            Sourced {
                text: "slow and at full power at the top, rolling: near the stall with yaw to be had. Nose down first, then roll",
                source: "common-practice",
            },
            Sourced {
                text: "relaxed sitters often grey out near 3 to 4 g held: a warning band, never a limit",
                source: "from-memory",
            },
            Sourced {
                text: "stalled upside down with power on is the way into an inverted spin: throttle closed, controls central",
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
                title: "The loop",
                text: Sourced {
                    text: "first a loop with speed to spare over the top",
                    source: "common-practice",
                },
            },
            Step {
                title: "Half rolls level",
                text: Sourced {
                    text: "from slow flight inverted to upright at height: the ailerons at low speed",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole figure",
                text: Sourced {
                    text: "from the highest entry speed that the manual gives",
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
        let speed = vertical_entry(airplane, entry, self, SHARE);
        let form = vertical_form(airplane, entry, speed, SHARE);
        one_figure(self, (airplane, day, entry), speed, |setting| {
            half_loops::immelmann(setting, &form)
        })
    }
}
