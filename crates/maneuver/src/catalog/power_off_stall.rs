//! Power-off stall: from the glide of an approach, the nose held up until the wing stalls, and the recovery.

use super::stalling::{FLAPS_STAY, FLOOR_STALLS, Play, configured, play, recovered};
use super::{comfortable_roll_rate_radps, stall_calibrated};
use crate::definition::{Flaps, Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Entry, Infeasible, ReferenceFlight};
use crate::solve::Setting;
use crate::solve::scripted::{Law, Phase, Power, Until};
use crate::solve::speed_held::straight;
use base::factors::RAD_PER_DEG;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::point_mass::state;

/// The maneuver.
#[derive(Debug)]
pub(super) struct PowerOffStall;

const FORMS: &[Form] = &[
    Form {
        key: "straight",
        title: "straight ahead",
        description: Sourced {
            text: "phases: glide, hold the nose up until it stalls, full stall, lower the nose, recover with power, climb away; flaps up",
            source: "ACS-P",
        },
    },
    Form {
        key: "turning",
        title: "in a turn of 20 degrees of bank",
        description: Sourced {
            text: "the same in a turn: bank of 20 degrees until the nose is down, then wings level",
            source: "ACS-P",
        },
    },
    Form {
        key: "landing",
        title: "straight ahead, landing flaps",
        description: Sourced {
            text: "the same straight ahead with the flaps down as for the landing, from a glide at 1.3 times the stall speed with flaps so; the flaps stay down",
            source: "ACS-P",
        },
    },
];

impl Maneuver for PowerOffStall {
    fn id(&self) -> &'static str {
        "power-off-stall"
    }
    fn title(&self) -> &'static str {
        "Power-off stall"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the stall of an approach: know its signs, and recover with the nose first and little height lost",
            source: "AFH-3C",
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
            span_deg: 600.0,
            checkpoints_deg: &[0.0, 100.0, 200.0, 300.0, 400.0, 500.0, 600.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; height for a recovery no lower than 1,500 ft above the ground",
                source: "ACS-P",
            },
            Sourced {
                text: "approach or landing configuration, a stabilized descent",
                source: "ACS-P",
            },
            Sourced {
                text: "nose smoothly to an attitude that stalls, heading or bank held",
                source: "ACS-P",
            },
            Sourced {
                text: "recover: nose down until the warning ends, then wings level, then power, back to the path",
                source: "AFH-3C",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced { text: "power before the nose is down", source: "from-memory" },
            Sourced { text: "a harsh push: negative load", source: "from-memory" },
            Sourced {
                text: "aileron at the break instead of rudder for the ball",
                source: "from-memory",
            },
            Sourced { text: "a second stall from pulling too early", source: "from-memory" },
            Sourced {
                text: "the signs unheeded: sight, sound, feel, buffet, horn",
                source: "AFH-3A",
            },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            FLAPS_STAY,
            Sourced {
                text: "which wing drops, and whether it spins, a point mass does not know: ball centered, an airplane approved for what may follow",
                source: "common-practice",
            },
            Sourced {
                text: "height lost here is an estimate for an unhurried hand; a late or harsh one loses more",
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
                text: Sourced { text: "to the first sign, recover", source: "common-practice" },
            },
            Step {
                title: "full stall",
                text: Sourced {
                    text: "straight ahead, full stall and recovery",
                    source: "common-practice",
                },
            },
            Step {
                title: "in a turn",
                text: Sourced {
                    text: "with 20 degrees of bank, as from base to final",
                    source: "common-practice",
                },
            },
        ]
    }
    fn sided(&self, form: &Form) -> bool {
        form.key == "turning"
    }
    fn flaps(&self, form: &Form) -> Flaps {
        if form.key == "landing" { Flaps::Landing } else { Flaps::Up }
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
        let airplane = &*configured(airplane, self.flaps(&entry.form))?;
        let stall = stall_calibrated(airplane, entry.mass);
        let setting = Setting::new(airplane, day, entry, entry.speed.unwrap_or(stall * 1.3));
        let start = straight(&setting, 0.0)?;
        let bank = if entry.form.key == "turning" { 20.0 * RAD_PER_DEG } else { 0.0 };
        let stalled_rad = airplane.incidence_rad(airplane.aerodynamics.lift_max);
        // The drag of the flaps asks for a nose further down, or the wing never comes out of the stall.
        let lowered_rad = RAD_PER_DEG
            * match self.flaps(&entry.form) {
                Flaps::Up => -10.0,
                Flaps::Landing => -16.0,
            };
        let phase = |name, law, bank_rad, share, until| Phase {
            name,
            law,
            bank_rad,
            power: Power::Share(share),
            until,
        };
        let deeper =
            Law::Nose { to_rad: stalled_rad + 4.0 * RAD_PER_DEG, rate_radps: 2.0 * RAD_PER_DEG };
        let phases = [
            phase("glide", Law::Climb(start[state::CLIMB]), bank, 0.0, Until::Time(5.0)),
            phase("hold the nose up", Law::Climb(0.0), bank, 0.0, Until::Lift(1.0)),
            phase("full stall", deeper, bank, 0.0, Until::Time(1.5)),
            phase(
                "lower the nose",
                Law::Nose { to_rad: lowered_rad, rate_radps: 12.0 * RAD_PER_DEG },
                bank,
                0.0,
                Until::Faster((stall * 1.1).to_mps()),
            ),
            phase("recover", Law::Climb(4.0 * RAD_PER_DEG), 0.0, 1.0, Until::Level),
            phase("climb away", Law::Climb(1.5 * RAD_PER_DEG), 0.0, 1.0, Until::Time(5.0)),
        ];
        let script = Play {
            start,
            power_share: 0.0,
            roll_radps: comfortable_roll_rate_radps(airplane),
            phases: &phases,
            stalls: true,
            lost_after: Some(1),
            stall_at: Some(1),
        };
        play(self, (airplane, entry), &setting, &script, recovered)
    }
}
