//! Half Cuban eight: five eighths of a loop, a line down, half a roll, level the other way.

use super::{TOP_SHARE, one_figure, vertical_entry, vertical_form};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::half_loops;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct HalfCubanEight;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "45-degree line, half roll in its middle",
    description: Sourced {
        text: "pull as for a loop, over the top to 45 degrees nose down inverted, stop with forward stick, roll upright, hold the line, pull level at entry height the other way",
        source: "CNATRA-P-1204",
    },
}];

impl Maneuver for HalfCubanEight {
    fn id(&self) -> &'static str {
        "half-cuban-eight"
    }
    fn title(&self) -> &'static str {
        "Half Cuban eight"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "reversal of direction in the vertical plane that gives height and speed back: the loop cut by a line and a half roll, each of which must be clean",
            source: "CNATRA-P-1204",
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
            span_deg: 450.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 315.0, 405.0, 450.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "maker's entry speed, level, on a line; the pull of a loop",
                source: "CNATRA-P-1204",
            },
            Sourced {
                text: "no sideslip is held in the roll computed here: the line is kept by pushing more while inverted and pulling more once upright; with top rudder less push is needed",
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
            Sourced { text: "roll begun before the line is set", source: "from-memory" },
            Sourced {
                text: "line not 45 degrees: steeper is faster and lower",
                source: "from-memory",
            },
            Sourced {
                text: "forward stick forgotten while inverted: the line becomes a dive",
                source: "common-practice",
            },
            Sourced { text: "pull out late: below entry height, fast", source: "from-memory" },
            Sourced {
                text: "roll stopped short, or the nose drawn off the line with the ailerons",
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
                text: "nose low and gaining speed all the way: the height for the pull out is used up quickly; a floor is agreed before",
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
                    text: "first a loop that ends on its line at entry height",
                    source: "common-practice",
                },
            },
            Step {
                title: "Half rolls on a line down",
                text: Sourced {
                    text: "from level, nose 45 degrees down upright, roll inverted and back: the forward stick is learned where there is height",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole figure",
                text: Sourced {
                    text: "with the line held long at first, the roll unhurried",
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
        let form = vertical_form(airplane, entry, speed, TOP_SHARE);
        one_figure(self, (airplane, day, entry), speed, |setting| {
            let end = (setting.height_m, setting.speed_mps);
            half_loops::half_cuban(setting, &form, half_loops::Joint::ALONE, end)
        })
    }
}
