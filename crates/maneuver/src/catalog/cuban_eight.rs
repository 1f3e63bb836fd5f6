//! Cuban eight: two half Cuban eights end to end.

use super::{TOP_SHARE, vertical_entry, vertical_form};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight, Told};
use crate::solve::Setting;
use crate::solve::sampling::Begin;
use crate::solve::vertical::{half_loops, sampling};
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct CubanEight;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "45-degree lines, rolls the same way",
    description: Sourced {
        text: "five eighths of a loop, 45 degrees down inverted, half a roll, and straight from the line into the pull of the second, which ends level at entry height and heading",
        source: "from-memory",
    },
}];

impl Maneuver for CubanEight {
    fn id(&self) -> &'static str {
        "cuban-eight"
    }
    fn title(&self) -> &'static str {
        "Cuban eight"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "two half Cuban eights in one: equal loops, equal lines, rolls in their middle, back to entry height and heading",
            source: "CNATRA-P-1204",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::PitchAndRoll,
            parts: 2,
            alternating: false,
            sided: true,
            span_deg: 450.0,
            checkpoints_deg: &[0.0, 90.0, 180.0, 225.0, 315.0, 405.0, 450.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced { text: "maker's entry speed, level, on a line", source: "CNATRA-P-1204" },
            Sourced {
                text: "the pull out of the first line goes straight on into the second loop",
                source: "from-memory",
            },
            Sourced {
                text: "no sideslip is held in the rolls computed here: the line is kept by pushing more while inverted and pulling more once upright",
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
                text: "second loop larger or smaller than the first",
                source: "common-practice",
            },
            Sourced {
                text: "lines not 45 degrees, rolls not in their middle",
                source: "from-memory",
            },
            Sourced {
                text: "height or speed walks off from half to half",
                source: "common-practice",
            },
            Sourced { text: "drift off the line in the wind", source: "common-practice" },
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
                text: "twice the time under load of a loop: grey-out comes in the second half",
                source: "from-memory",
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
                title: "The half",
                text: Sourced {
                    text: "the half Cuban eight first, then two with a pause between",
                    source: "common-practice",
                },
            },
            Step {
                title: "The whole eight",
                text: Sourced { text: "end to end", source: "common-practice" },
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
        let mut setting = Setting::new(airplane, day, entry, speed);
        let end = (setting.height_m, setting.speed_mps);
        let mut begin = Begin { heading_rad: entry.heading.to_rad(), ..Begin::default() };
        let mut joint = half_loops::Joint { load_first_g: 1.0, pull_on: true };
        let (mut parts, mut told) = (Vec::new(), Told::default());
        for first in [true, false] {
            let (flown, unknowns, conditions) =
                half_loops::half_cuban(&setting, &form, joint, end)?;
            let flight = sampling::samples(&flown, entry.direction, begin);
            let last = flight.last().copied().unwrap_or_default();
            begin = Begin {
                time_s: last.time_s,
                heading_rad: last.heading_rad,
                air_north_m: last.air_north_m,
                air_east_m: last.air_east_m,
            };
            joint = half_loops::Joint { load_first_g: flown.load_factor, pull_on: false };
            let (speed_mps, height_m) = flown.speed_and_height();
            parts.push((entry.direction, flight));
            if first {
                told = Told { unknowns, conditions, ..told };
            } else {
                told.conditions.extend(conditions.into_iter().map(in_second_half));
            }
            (setting.speed_mps, setting.height_m) = (speed_mps, height_m);
        }
        ReferenceFlight::assemble((self.id(), &self.shape()), (airplane, entry), parts, told)
    }
}

/// The condition of the second half, named as such.
fn in_second_half(condition: Condition) -> Condition {
    let name = match condition.name {
        "line before the roll" => "line before the second roll",
        "line after the roll" => "line after the second roll",
        "height at the end against entry" => "height at the very end against entry",
        other => other,
    };
    Condition { name, ..condition }
}
