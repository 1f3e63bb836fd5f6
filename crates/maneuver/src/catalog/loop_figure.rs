//! Loop: a full circle in the vertical plane, back to entry height.

use super::{TOP_SHARE, one_figure, vertical_entry, vertical_form};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::loops;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct Loop;

const FORMS: &[Form] = &[
    Form {
        key: "relaxed",
        title: "pull eased over the top",
        description: Sourced {
            text: "a steady, progressive pull from level, eased a little over the top, the pull again on the way down; ends at \
                   entry height",
            source: "TM-1-210",
        },
    },
    Form {
        key: "constant",
        title: "constant load",
        description: Sourced {
            text: "the same load all the way, over the top as much of it as the wing gives with margin; smaller above than below",
            source: "common-practice",
        },
    },
    Form {
        key: "round",
        title: "round, as judged from the ground",
        description: Sourced {
            text: "the same radius all the way, floating over the top with no load: without loss of energy the bottom then takes \
                   six times the weight",
            source: "from-memory",
        },
    },
];

impl Maneuver for Loop {
    fn id(&self) -> &'static str {
        "loop"
    }
    fn title(&self) -> &'static str {
        "Loop"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the pull through the vertical: pitch control over the whole range of speed, orientation upside down, the trade \
                   of speed for height and back",
            source: "CAA-1939",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Pitch,
            parts: 1,
            alternating: false,
            sided: false,
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "speed by a dive to the maker's entry speed, then level, wings level, along a line on the ground",
                source: "TM-1-210",
            },
            Sourced {
                text: "power opened smoothly as the pull begins; with a fixed-pitch propeller mind its limit in the dive",
                source: "CAA-1939",
            },
            Sourced {
                text: "clearing turn of at least 180 degrees, rolled out on the line with speed ready; height for the whole figure \
                       above the base",
                source: "CNATRA-P-330",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "a sharp pull: speed is lost to drag, and the airplane hangs at the top",
                source: "CAA-1939",
            },
            Sourced {
                text: "too little speed or pull: hangs at the top; ease off, let the nose fall through, do not pull",
                source: "common-practice",
            },
            Sourced {
                text: "the pull not eased over the top: buffet, a stall upside down",
                source: "NTSB-2014",
            },
            Sourced {
                text: "wings not level in the pull, or rudder forgotten as speed falls: comes off the line",
                source: "from-memory",
            },
            Sourced {
                text: "head kept forward: look up for the horizon behind as the nose passes the vertical",
                source: "common-practice",
            },
            Sourced {
                text: "throttle left open on the way down: too fast, too low, or too much pull",
                source: "TM-1-210",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            super::NO_FAA_STANDARD,
            Sourced {
                text: "the pull out is the greatest load and the greatest speed together: no aileron then",
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
                title: "Pull up and push over",
                text: Sourced {
                    text: "from entry speed pull to 30 degrees nose up, ease over to level: the onset of the load, the trade of \
                           speed for height",
                    source: "common-practice",
                },
            },
            Step {
                title: "Pull out of a dive",
                text: Sourced {
                    text: "from 30 degrees nose down at the speed of the last quarter, with the load of the figure: the body \
                           learns it",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole loop",
                text: Sourced {
                    text: "first with the instructor's hands following, then alone; start and finish height are read",
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
        let speed = vertical_entry(airplane, entry, self, TOP_SHARE);
        let eased = vertical_form(airplane, entry, speed, TOP_SHARE);
        let shape = match entry.form.key {
            "constant" => loops::Shape::Constant,
            "round" => loops::Shape::Round { top_g: 0.0 },
            _ => eased.shape,
        };
        let form = loops::Form { shape, ..eased };
        one_figure(self, (airplane, day, entry), speed, |setting| loops::solve(setting, &form))
    }
}
