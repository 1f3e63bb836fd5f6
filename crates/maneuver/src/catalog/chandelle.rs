//! Chandelle: a climbing turn of 180 degrees that ends wings level, nose high, just above the stall.

use super::{
    below_maneuvering, comfortable_roll_rate_radps, entry_speed, one_part, stall_calibrated,
};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::{Setting, climbing_turn};
use base::factors::RAD_PER_DEG;
use base::units::Speed;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct Chandelle;

const FORMS: &[Form] = &[
    Form {
        key: "shallow",
        title: "shallow form",
        description: Sourced {
            text: "30 degrees of bank held to the 90-degree point while the nose rises to its highest there; then the \
                   nose is held and the bank comes off at a constant rate to wings level at 180",
            source: "AFH-3C",
        },
    },
    Form {
        key: "steep",
        title: "steep form",
        description: Sourced {
            text: "bank and climb grow together to about 60 degrees of bank at the 90-degree point; the bank is then \
                   taken off faster than the climb",
            source: "CAA-1939",
        },
    },
    Form {
        key: ADVANCED,
        title: "older advanced form",
        description: Sourced {
            text: "in the dive for speed a bank of not over 25 degrees is set and the heading held with opposite rudder; \
                   then a straight pull, in which the bank grows to vertical by itself and stays there to the 90-degree \
                   point: half a loop in an oblique plane",
            source: "CAA-1939",
        },
    },
];

/// Key of the form that is kept as history.
const ADVANCED: &str = "advanced";
/// Bank of that form in the dive, heading held, at most, degrees (CAA-1939).
const ADVANCED_BANK_DEG: f64 = 25.0;
/// Why it is not flown here.
const KEPT_AS_HISTORY: Sourced = Sourced {
    text: "it begins in a slip, up to 25 degrees of bank on and the heading held with opposite rudder, of which a coordinated \
           reference flight has none; the figures known of it hold no speed, load or pitch to solve for; and it passes \
           through a vertical bank, near half a loop",
    source: "common-practice",
};

/// How far above the stall the figure ends. Inside the satisfactory band of the training aid (1 to 10 kt).
const END_OVER_STALL: Speed = Speed::from_kt(4.0);

impl Maneuver for Chandelle {
    fn id(&self) -> &'static str {
        "chandelle"
    }
    fn title(&self) -> &'static str {
        "Chandelle"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a climbing turn of 180 degrees that asks for all the airplane has: planning, and a touch that changes \
                   with falling speed",
            source: "AFH-3C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn history(&self, form: &Form) -> Option<Sourced> {
        (form.key == ADVANCED).then_some(KEPT_AS_HISTORY)
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Turn,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 180.0,
            checkpoints_deg: &[0.0, 45.0, 90.0, 135.0, 180.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; flaps and gear up; pick the reference off the wing tip, 90 degrees from the nose",
                source: "AFH-3C",
            },
            Sourced {
                text: "level or from a shallow dive at the maker's speed, often maneuvering speed",
                source: "AFH-3C",
            },
            Sourced {
                text: "bank first, then pull at a constant rate while power goes to the recommended setting",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "pull too early: near the stall before 180. Bank first, pace the nose",
                source: "common-practice",
            },
            Sourced {
                text: "timid pull: fast at the end, little gained. Aim for a higher picture at 90",
                source: "common-practice",
            },
            Sourced {
                text: "bank creeps past 30: arrives early. Hold it off against the overbanking tendency",
                source: "AFH-3C",
            },
            Sourced {
                text: "bank too shallow: the speed is gone before the turn is",
                source: "AFH-3C",
            },
            Sourced {
                text: "roll-out begun before or after the 90-degree point: stops short, or goes past",
                source: "common-practice",
            },
            Sourced {
                text: "back stick not increased in the second half: the nose sags and the end is fast",
                source: "AFH-3C",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "ends slow at high power: a stall here comes with yaw at hand, and a spin with it",
                source: "common-practice",
            },
            Sourced {
                text: "right rudder grows as speed falls; most of it in the roll-out from a left chandelle",
                source: "from-memory",
            },
        ]
    }
    fn floor(&self) -> Floor {
        super::FLOOR_1500
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "the climb alone",
                text: Sourced {
                    text: "wings level, from entry speed to the attitude that ends just over the stall; the feet keep it straight",
                    source: "common-practice",
                },
            },
            Step {
                title: "30 degrees, half the pull",
                text: Sourced {
                    text: "180 degrees at 30 of bank with half the rise of the nose: the points of the ground come first",
                    source: "common-practice",
                },
            },
            Step {
                title: "the full figure",
                text: Sourced {
                    text: "the rise complete at 90, the bank off at a constant rate to level at 180, each way",
                    source: "common-practice",
                },
            },
            Step {
                title: "the other form",
                text: Sourced {
                    text: "bank and climb together, where airplane and category allow it",
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
        if self.history(&entry.form).is_some() {
            return Err(not_flown());
        }
        let end = stall_calibrated(airplane, entry.mass) + END_OVER_STALL;
        let speed_end_calibrated_mps = end.to_mps();
        let shallow_rad = 30.0 * RAD_PER_DEG;
        let form = |power_entry_share: f64| match entry.form.key {
            "shallow" => climbing_turn::Form {
                bank_first_rad: shallow_rad,
                bank_90_rad: shallow_rad,
                roll_in_s: shallow_rad / comfortable_roll_rate_radps(airplane),
                speed_end_calibrated_mps,
                power_entry_share,
            },
            _ => climbing_turn::Form {
                bank_first_rad: 10.0 * RAD_PER_DEG,
                bank_90_rad: 60.0 * RAD_PER_DEG,
                roll_in_s: 10.0 * RAD_PER_DEG / comfortable_roll_rate_radps(airplane),
                speed_end_calibrated_mps,
                power_entry_share,
            },
        };
        let mut known = None;
        below_maneuvering(airplane, entry, entry_speed(airplane, entry), |speed| {
            let setting = Setting::new(airplane, day, entry, speed);
            let form = form(setting.power_to_hold(1.0).min(1.0));
            let found = climbing_turn::solve_near(&setting, form, known.as_ref())?;
            known = Some(found.0);
            one_part(self, (airplane, entry), &setting, found)
        })
    }
}

/// The form kept as history: a coordinated flight keeps its heading at no bank at all.
fn not_flown() -> Infeasible {
    Infeasible {
        what: "the older advanced form is kept as history and not flown here: bank held with the heading".into(),
        needed: ADVANCED_BANK_DEG,
        available: 0.0,
        unit: "deg",
        advice: "take the shallow or the steep form".into(),
    }
}
