//! Power-on stall: the nose raised under climb power until the wing stalls, and the recovery.

use super::stalling::{FLOOR_STALLS, Play, play, recovered};
use super::{comfortable_roll_rate_radps, stall_calibrated};
use crate::definition::{Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::Setting;
use crate::solve::scripted::{Law, Phase, Power, Until};
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct PowerOnStall;

const FORMS: &[Form] = &[
    Form {
        key: "65",
        title: "65 percent of power",
        description: Sourced {
            text: "phases: level at a take-off speed, raise the nose under 65 percent of power until it stalls, full stall, lower the nose, recover, climb away",
            source: "ACS-C",
        },
    },
    Form {
        key: "full",
        title: "full power",
        description: Sourced {
            text: "the same at full power: a much higher nose",
            source: "ACS-C",
        },
    },
];

impl Maneuver for PowerOnStall {
    fn id(&self) -> &'static str {
        "power-on-stall"
    }
    fn title(&self) -> &'static str {
        "Power-on stall"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the stall of a take-off or departure: high nose, high power, right rudder, and a recovery that begins with the nose",
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
            sided: false,
            span_deg: 600.0,
            checkpoints_deg: &[0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; height for a recovery no lower than 1,500 ft above the ground",
                source: "ACS-C",
            },
            Sourced {
                text: "slow to a take-off speed, then at least 65 percent of power and the nose up",
                source: "ACS-C",
            },
            Sourced {
                text: "ball centered: right rudder grows as the speed falls",
                source: "from-memory",
            },
            Sourced {
                text: "recover: nose down until the warning ends, then wings level, power as needed",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "too little right rudder: the nose swings left and the left wing drops",
                source: "from-memory",
            },
            Sourced {
                text: "nose raised in a jerk: a steep picture, a sharp break",
                source: "common-practice",
            },
            Sourced { text: "aileron at the break", source: "from-memory" },
            Sourced { text: "a second stall from pulling too early", source: "from-memory" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "slow with high power and yaw at hand is how a spin begins: ball centered, an airplane approved for what may follow",
                source: "common-practice",
            },
            Sourced {
                text: "beyond 30 degrees of nose-up the parachute rule speaks, save for what a certificate requires",
                source: "14-CFR-91.307",
            },
            Sourced {
                text: "height lost here is an estimate for an unhurried hand",
                source: "common-practice",
            },
        ]
    }
    fn floor(&self) -> Floor {
        FLOOR_STALLS
    }
    fn steps(&self) -> &'static [Step] {
        &[
            Step {
                title: "approach to the stall",
                text: Sourced {
                    text: "to the first sign at 65 percent, recover",
                    source: "common-practice",
                },
            },
            Step {
                title: "full stall",
                text: Sourced {
                    text: "straight ahead, full stall and recovery",
                    source: "common-practice",
                },
            },
            Step {
                title: "more power",
                text: Sourced {
                    text: "at full power; the nose is then much higher",
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
        let setting = Setting::new(airplane, day, entry, entry.speed.unwrap_or(stall * 1.25));
        let share = if entry.form.key == "full" { 1.0 } else { 0.65 };
        let bank = 0.0;
        let phase = |name, law, bank_rad, share, until| Phase {
            name,
            law,
            bank_rad,
            power: Power::Share(share),
            until,
        };
        let up = |rate_deg: f64| Law::Nose {
            to_rad: 60.0 * RAD_PER_DEG,
            rate_radps: rate_deg * RAD_PER_DEG,
        };
        let level = Phase {
            name: "take-off speed",
            law: Law::Climb(0.0),
            bank_rad: bank,
            power: Power::HoldSpeed,
            until: Until::Time(4.0),
        };
        let phases = [
            level,
            phase("raise the nose", up(2.0), bank, share, Until::Lift(1.0)),
            phase("full stall", up(1.0), bank, share, Until::Time(1.0)),
            phase(
                "lower the nose",
                Law::Nose { to_rad: -4.0 * RAD_PER_DEG, rate_radps: 12.0 * RAD_PER_DEG },
                bank,
                share,
                Until::Faster((stall * 1.1).to_mps()),
            ),
            phase("recover", Law::Climb(4.0 * RAD_PER_DEG), 0.0, 1.0, Until::Level),
            phase("climb away", Law::Climb(1.5 * RAD_PER_DEG), 0.0, 1.0, Until::Time(5.0)),
        ];
        let script = Play {
            start: setting.start(),
            power_share: setting.power_to_hold(1.0),
            roll_radps: comfortable_roll_rate_radps(airplane),
            phases: &phases,
            stalls: true,
            lost_after: Some(1),
            stall_at: Some(1),
        };
        play(self, (airplane, entry), &setting, &script, recovered)
    }
}
