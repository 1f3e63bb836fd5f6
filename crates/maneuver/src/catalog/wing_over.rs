//! Wing-over, in a series of two: the nose up and over in a steep bank, back to entry height and speed the other way.

use super::{below_maneuvering, entry_speed, stall_calibrated, two_halves};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::half_figure;
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct WingOver;

const fn form(key: &'static str, title: &'static str) -> Form {
    Form {
        key,
        title,
        description: Sourced {
            text: "nose highest at 45 degrees of turn, through the horizon at 90 with the bank at its steepest and the \
                   speed at its lowest, lowest at 135, recovered by 180 at entry height and speed; constant power; then \
                   the same the other way",
            source: "CNATRA-P-1212",
        },
    }
}

const FORMS: &[Form] = &[
    form("60", "60 degrees of bank at the top"),
    form("75", "75 degrees of bank at the top"),
    form("90", "90 degrees of bank at the top"),
];

/// Speed at the 90-degree point as a share of the entry speed: inside 0.39 to 0.60 (common practice, no source).
const TOP_SHARE: f64 = 0.55;
/// But never slower than this multiple of the stall speed at one g.
const TOP_OVER_STALL: f64 = 1.2;

impl Maneuver for WingOver {
    fn id(&self) -> &'static str {
        "wing-over"
    }
    fn title(&self) -> &'static str {
        "Wing-over"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "reversal of direction by a climb, a steep roll over the top and a dive: orientation, energy and smooth \
                   control through a wide range of speed; the parent of chandelle and lazy eight",
            source: "CAA-1939",
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
                text: "checks done, area cleared by turns of 180 degrees; a line below, a reference 90 degrees off the nose",
                source: "CNATRA-P-1212",
            },
            Sourced {
                text: "maker's speed, else not above maneuvering speed; flaps up; power set once",
                source: "from-memory",
            },
            Sourced {
                text: "pull first, roll later: the Navy sheet pulls with wings level to 20 degrees nose up and rolls then; \
                       its highest nose and its bank at 45 degrees of turn are 45 each",
                source: "CNATRA-P-1212",
            },
            Sourced {
                text: "the flight computed here blends the two: it rolls from the start, slowly, with 15 to 25 degrees of bank \
                       as the nose passes 20, and is therefore at more than half its bank at 45 degrees of turn",
                source: "common-practice",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "bank before pitch: the nose never climbs; flat, fast and low",
                source: "common-practice",
            },
            Sourced {
                text: "pull held too long: the airplane hangs. Roll sooner; if slow, unload and roll to the nearest horizon",
                source: "common-practice",
            },
            Sourced {
                text: "roll stopped at the top: a dive. Keep rolling",
                source: "common-practice",
            },
            Sourced {
                text: "pull hardened in the dive with the bank still on: a spiral, and the load grows. Roll level first",
                source: "common-practice",
            },
            Sourced { text: "bottom rudder held: a skid at low speed", source: "common-practice" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "no published FAA standard exists for this figure; geometry after older and military manuals",
                source: "common-practice",
            },
            Sourced {
                text: "slow, steeply banked and at power over the top: never hold it there",
                source: "common-practice",
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
                title: "30 degrees of bank",
                text: Sourced {
                    text: "nose a little up, 30 of bank at the 90-degree point, back to entry height and speed: the shape without the steepness",
                    source: "common-practice",
                },
            },
            Step {
                title: "45 degrees of bank",
                text: Sourced {
                    text: "the same at 45: pull first, roll later",
                    source: "common-practice",
                },
            },
            Step {
                title: "60 degrees of bank",
                text: Sourced {
                    text: "the first form of the catalogue; beyond it parachutes and the category decide",
                    source: "common-practice",
                },
            },
            Step {
                title: "the full figure",
                text: Sourced {
                    text: "75 and 90 degrees where airplane, category, parachutes and instructor allow it",
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
        let least = stall_calibrated(airplane, entry.mass) * TOP_OVER_STALL;
        let bank_90_rad = match entry.form.key {
            "60" => 60.0,
            "75" => 75.0,
            _ => 90.0,
        } * RAD_PER_DEG;
        below_maneuvering(airplane, entry, entry_speed(airplane, entry), |speed| {
            let wanted = speed * TOP_SHARE;
            let top = if wanted > least { wanted } else { least };
            let form = half_figure::Form {
                bank_90_rad,
                pitch_90_rad: 0.0,
                speed_90_calibrated_mps: top.to_mps(),
            };
            two_halves(self, (airplane, day, entry), speed, |setting, before| {
                before.map_or_else(
                    || half_figure::solve(setting, &form),
                    |known| half_figure::solve_after(setting, &form, known),
                )
            })
        })
    }
}
