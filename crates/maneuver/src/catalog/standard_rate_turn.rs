//! Standard-rate turn: three degrees a second, a full turn in two minutes.

use super::{comfortable_roll_rate_radps, one_part, over_ground};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight, Unknown};
use crate::solve::{Setting, level_turn};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::math::{atan, cos, tan};
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::envelope::bank_for_rate_rad;

/// The maneuver.
#[derive(Debug)]
pub(super) struct StandardRateTurn;

const FORMS: &[Form] = &[
    Form {
        key: "level",
        title: "level, three degrees a second",
        description: Sourced {
            text: "bank for three degrees a second at the true airspeed, height held, a full turn in two minutes",
            source: "IFH",
        },
    },
    Form {
        key: "half",
        title: "level, one and a half degrees a second",
        description: Sourced {
            text: "half of the rate, for fast airplanes and first lessons",
            source: "IFH",
        },
    },
];

impl Maneuver for StandardRateTurn {
    fn id(&self) -> &'static str {
        "standard-rate-turn"
    }
    fn title(&self) -> &'static str {
        "Standard-rate turn"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the turn of instrument flying: three degrees of heading a second at whatever speed, from the bank that goes with it",
            source: "IFH",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Turn,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 360.0,
            checkpoints_deg: &[0.0, 90.0, 180.0, 270.0, 360.0],
            sought: false,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; level, on speed, on a heading",
                source: "common-practice",
            },
            Sourced {
                text: "the bank is about the tenth of the true airspeed in knots and half of that again",
                source: "IFH",
            },
            Sourced { text: "lead the roll-out by half of the bank", source: "IFH" },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "bank by the attitude indicator alone: the rate is not checked against the clock",
                source: "common-practice",
            },
            Sourced {
                text: "height lost in the roll-in, gained in the roll-out",
                source: "common-practice",
            },
            Sourced { text: "roll-out late: past the heading", source: "common-practice" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[Sourced { text: "under the hood or not, somebody looks out", source: "common-practice" }]
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(1000.0),
            entry_above_ground: Some(Length::from_ft(3000.0)),
            source: "common-practice",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "half rate",
                text: Sourced {
                    text: "one and a half degrees a second through 90 degrees",
                    source: "common-practice",
                },
            },
            Step {
                title: "timed turns",
                text: Sourced {
                    text: "three degrees a second, half a turn in a minute, heading against the clock",
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
        let setting = Setting::new(airplane, day, entry, over_ground::unhurried(airplane, entry));
        let rate_radps = if entry.form.key == "half" { 1.5 } else { 3.0 } * RAD_PER_DEG;
        let lift_bank_rad = bank_for_rate_rad(setting.speed_mps, rate_radps);
        let incidence_rad = airplane.incidence_rad(setting.body.lift_coefficient_for(
            1.0 / cos(lift_bank_rad),
            setting.speed_mps,
            setting.height_m,
        ));
        let bank_rad = atan(tan(lift_bank_rad) / cos(incidence_rad));
        let roll_s = bank_rad / comfortable_roll_rate_radps(airplane);
        let turn_rad = self.shape().span_deg * RAD_PER_DEG;
        let (schedule, flown, mut unknowns, conditions) =
            level_turn::solve(&setting, bank_rad, roll_s, turn_rad)?;
        let speed_kt = setting.speed_mps / MPS_PER_KT;
        // The books' rule of thumb: 15 % of the true airspeed in knots for three degrees a second (IFH).
        let rule_deg = 0.15 * speed_kt * rate_radps / (3.0 * RAD_PER_DEG);
        unknowns.extend([
            Unknown { name: "bank for the rate", value: lift_bank_rad / RAD_PER_DEG, unit: "deg" },
            Unknown { name: "bank by the rule of 15 percent", value: rule_deg, unit: "deg" },
            Unknown { name: "true airspeed", value: speed_kt, unit: "kt" },
        ]);
        let found = (schedule, flown, unknowns, conditions);
        one_part(self, (airplane, entry), &setting, found)
    }
}
