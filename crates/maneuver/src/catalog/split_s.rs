//! Split-S: half a roll and a pull through. Shown as a hazard, with its checks.

use super::{approved_entry, one_figure, stall_calibrated};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::vertical::half_loops;
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct SplitS;

const FORMS: &[Form] = &[
    Form {
        key: "firm",
        title: "firm pull from slow",
        description: Sourced {
            text: "from the speed of the top of a loop, engine idle: half a roll, then at once as much pull as the wing gives with margin, up to 4 g",
            source: "SACAA",
        },
    },
    Form {
        key: "gentle",
        title: "gentle pull",
        description: Sourced {
            text: "the same with 3 g at most: lower and faster at the end",
            source: "common-practice",
        },
    },
];

/// Greatest pull of each form, g.
const FIRM_G: f64 = 4.0;
const GENTLE_G: f64 = 3.0;
/// Entry speed as a multiple of the stall speed at one g: that of the top of a loop.
const OVER_STALL: f64 = 1.3;

impl Maneuver for SplitS {
    fn id(&self) -> &'static str {
        "split-s"
    }
    fn title(&self) -> &'static str {
        "Split-S"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "what a pull from inverted costs: shown so that nobody does it by instinct. Height is lost, speed and load grow together, and the floor decides",
            source: "SACAA",
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
            checkpoints_deg: &[0.0, 90.0, 180.0, 225.0, 270.0, 315.0, 360.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "slowed to the speed of the top of a loop, engine idle, never faster",
                source: "SACAA",
            },
            Sourced {
                text: "height for the whole of it, level again not below 2,000 ft above the ground",
                source: "SACAA",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "begun fast: the never-exceed speed and the load limit meet half way down",
                source: "common-practice",
            },
            Sourced {
                text: "pull eased because the speed frightens: lower and faster still",
                source: "common-practice",
            },
            Sourced {
                text: "pull past the stall: no less height is lost, more is",
                source: "common-practice",
            },
            Sourced {
                text: "inadvertent: pulling from inverted is the instinctive mistake of an upset; unload and roll upright to the nearest horizon",
                source: "from-memory",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            super::NO_FAA_STANDARD,
            Sourced {
                text: "never a way to turn back or down: a slow start and a firm pull save height and speed, and even so it takes a thousand feet and more",
                source: "common-practice",
            },
            Sourced {
                text: "upside down by mistake: push, roll to the nearest horizon; do not pull",
                source: "from-memory",
            },
            Sourced { text: "no aileron in the pull out", source: "common-practice" },
            Sourced {
                text: "relaxed sitters often grey out near 3 to 4 g held: a warning band, never a limit",
                source: "from-memory",
            },
        ]
    }
    fn unpublished(&self) -> Option<Sourced> {
        Some(super::NO_FAA_STANDARD)
    }
    fn hazard(&self) -> Option<Sourced> {
        Some(Sourced {
            text: "shown as a hazard, never proposed without its speed, load, height and lift checks: a pull from inverted loses height and gains speed faster than it looks",
            source: "common-practice",
        })
    }
    fn floor(&self) -> Floor {
        Floor { above_ground: Length::from_ft(2000.0), entry_above_ground: None, source: "SACAA" }
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
        let slow = stall_calibrated(airplane, entry.mass) * OVER_STALL;
        let speed = approved_entry(airplane, entry, self).unwrap_or(slow);
        let pull_g = if entry.form.key == "gentle" { GENTLE_G } else { FIRM_G };
        one_figure(self, (airplane, day, entry), speed, |setting| {
            half_loops::split_s(setting, pull_g)
        })
    }
}
