//! Lazy eight: two opposite turns of 180 degrees, each a symmetrical climb and descent.

use super::{below_maneuvering, entry_speed, stall_calibrated, two_halves};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::pitch_half;
use base::factors::RAD_PER_DEG;
use base::units::Speed;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct LazyEight;

const FORMS: &[Form] = &[Form {
    key: "standard",
    title: "30 degrees at the steepest",
    description: Sourced {
        text: "nose highest at 45 degrees of turn with about 15 of bank, level at 90 with about 30 of bank and the \
               lowest speed, lowest at 135, entry height and speed at 180; then the same the other way",
        source: "AFH-3C",
    },
}];

/// Speed at the 90-degree point above the stall: near the upper end of the handbook's 5 to 10 kt, as it is a little less before.
const TOP_OVER_STALL: Speed = Speed::from_kt(9.5);
/// An entry faster than this multiple of the stall speed makes the climb longer than the figure is meant to be; and it ends a knot above
/// its entry, which is to stay below a maneuvering speed of 1.95 times the stall speed, the root of 3.8.
const ENTRY_OVER_STALL_MAX: f64 = 1.93;

impl Maneuver for LazyEight {
    fn id(&self) -> &'static str {
        "lazy-eight"
    }
    fn title(&self) -> &'static str {
        "Lazy eight"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "two opposite half turns, climbing then descending, in which pitch, bank and speed never stop changing: \
                   slow, smooth and exactly placed control",
            source: "AFH-3C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Turn,
            parts: 2,
            alternating: true,
            sided: true,
            span_deg: 180.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; pick references on the horizon at 45, 90 and 135 degrees",
                source: "AFH-3C",
            },
            Sourced {
                text: "level at the maker's entry speed or maneuvering speed; set the power once",
                source: "AFH-3C",
            },
            Sourced {
                text: "nose and bank come up together and slowly: rising pitch and bank quicken the turn",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "rolled in too quickly: over 25 degrees of bank at 45, a flat crest",
                source: "common-practice",
            },
            Sourced { text: "held up at the top: slow, then drops", source: "common-practice" },
            Sourced {
                text: "bank taken off late or early after 90: low and fast, or high and slow",
                source: "common-practice",
            },
            Sourced {
                text: "the same drift of height or speed each half: power is off",
                source: "common-practice",
            },
            Sourced {
                text: "halves unlike each other; the cowl used as the reference instead of the eye line",
                source: "CAA-1939",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "slowest near the 90-degree point, 5 to 10 kt above the stall",
                source: "AFH-3A",
            },
            Sourced {
                text: "15 degrees of bank turn a light airplane some three degrees a second: the first 45 degrees of turn take a \
                       quarter of a minute or more, and a half that is over in 30 s had 20 to 25 of bank there",
                source: "common-practice",
            },
            Sourced {
                text: "with the nose level at 90 the path already descends; level means the entry attitude",
                source: "common-practice",
            },
        ]
    }
    fn floor(&self) -> Floor {
        super::FLOOR_1500
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "one half, shallow",
                text: Sourced {
                    text: "180 degrees at 15 of bank at the steepest and a few degrees of nose: slow, and the points named aloud",
                    source: "common-practice",
                },
            },
            Step {
                title: "one half",
                text: Sourced {
                    text: "the full half, each way, stopped level at 180 to compare height and speed",
                    source: "common-practice",
                },
            },
            Step {
                title: "both halves",
                text: Sourced {
                    text: "one into the other without a pause, then three pairs: drift of height says what the power is worth",
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
        let stall = stall_calibrated(airplane, entry.mass);
        let usual = entry_speed(airplane, entry);
        let longest = stall * ENTRY_OVER_STALL_MAX;
        let speed = if entry.speed.is_none() && usual > longest { longest } else { usual };
        below_maneuvering(airplane, entry, speed, |speed| {
            two_halves(self, (airplane, day, entry), speed, |setting, before| {
                let rise_m = 0.03 * setting.speed_mps * setting.speed_mps;
                let form = pitch_half::Form {
                    bank_90_rad: 30.0 * RAD_PER_DEG,
                    bank_45_rad: 15.0 * RAD_PER_DEG,
                    manner: pitch_half::Manner::HANDBOOK,
                    speed_90_mps: setting
                        .true_mps((stall + TOP_OVER_STALL).to_mps(), setting.height_m + rise_m),
                };
                before.map_or_else(
                    || pitch_half::solve(setting, &form),
                    |known| pitch_half::solve_after(setting, &form, known),
                )
            })
        })
    }
}
