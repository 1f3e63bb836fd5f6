//! Accelerated stall: in a turn of 45 degrees of bank the pull is tightened to the first sign of the stall.

use super::stalling::{Play, play, recovered};
use super::{comfortable_roll_rate_radps, stall_calibrated};
use crate::definition::{Floor, Form, Maneuver, Maneuvering, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::Setting;
use crate::solve::scripted::{Law, Phase, Power, Until};
use base::factors::RAD_PER_DEG;
use base::units::Length;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct AcceleratedStall;

const FORMS: &[Form] = &[Form {
    key: "45",
    title: "45 degrees of bank",
    description: Sourced {
        text: "phases: roll in to 45 degrees, tighten the pull to the first sign, unload, wings level, fly on",
        source: "ACS-C",
    },
}];

impl Maneuver for AcceleratedStall {
    fn id(&self) -> &'static str {
        "accelerated-stall"
    }
    fn title(&self) -> &'static str {
        "Accelerated stall"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "a stall well above the stall speed of level flight: what load does, seen at the first sign and ended at once",
            source: "ACS-C",
        }
    }
    fn forms(&self) -> &'static [Form] {
        FORMS
    }
    fn shape(&self) -> Shape {
        Shape {
            progress: Progress::Phase,
            parts: 1,
            alternating: false,
            sided: true,
            span_deg: 500.0,
            checkpoints_deg: &[0.0, 100.0, 200.0, 300.0, 400.0, 500.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; no lower than 3,000 ft above the ground",
                source: "ACS-C",
            },
            Sourced {
                text: "at or below maneuvering speed, coordinated, 45 degrees of bank",
                source: "ACS-C",
            },
            Sourced {
                text: "a firm, smooth, growing pull to the first sign; then release it at once",
                source: "ACS-C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "uncoordinated: one wing goes first, a spin entry",
                source: "from-memory",
            },
            Sourced {
                text: "above maneuvering speed: overstress before the stall",
                source: "from-memory",
            },
            Sourced { text: "held past the first sign", source: "from-memory" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "a stall under load is sudden and may drop a wing: ball centered, release first",
                source: "common-practice",
            },
            Sourced { text: "never above maneuvering speed at this weight", source: "ACS-C" },
        ]
    }
    fn floor(&self) -> Floor {
        Floor {
            above_ground: Length::from_ft(3000.0),
            entry_above_ground: Some(Length::from_ft(4500.0)),
            source: "ACS-C",
        }
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "30 degrees",
                text: Sourced {
                    text: "30 degrees of bank, to the first sign",
                    source: "common-practice",
                },
            },
            Step {
                title: "45 degrees",
                text: Sourced {
                    text: "45 degrees of bank, to the first sign, both ways",
                    source: "common-practice",
                },
            },
        ]
    }
    fn maneuvering(&self) -> Maneuvering {
        Maneuvering::Never("ACS-C")
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
        let setting = Setting::new(airplane, day, entry, entry.speed.unwrap_or(stall * 1.45));
        let entry_mps = setting.calibrated_mps(setting.speed_mps, setting.height_m);
        let bank = 45.0 * RAD_PER_DEG;
        let roll_radps = comfortable_roll_rate_radps(airplane);
        let roll_s = bank / roll_radps;
        let phase = |name, law, bank_rad, share, until| Phase {
            name,
            law,
            bank_rad,
            power: Power::Share(share),
            until,
        };
        let phases = [
            phase("roll in", Law::Climb(0.0), bank, 0.4, Until::Time(roll_s + 0.5)),
            phase("tighten the pull", Law::Pull(0.3), bank, 0.4, Until::Lift(1.0)),
            phase("unload", Law::Pull(-1.2), bank, 1.0, Until::LiftBelow(0.6)),
            phase("wings level", Law::Climb(0.0), 0.0, 1.0, Until::Time(roll_s + 1.5)),
            phase("fly on", Law::Climb(0.0), 0.0, 1.0, Until::Faster(entry_mps)),
        ];
        let script = Play {
            start: setting.start(),
            power_share: setting.power_to_hold(1.0),
            roll_radps,
            phases: &phases,
            stalls: true,
            lost_after: None,
            stall_at: Some(1),
        };
        play(self, (airplane, entry), &setting, &script, recovered)
    }
}
