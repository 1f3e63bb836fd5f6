//! Slow flight: level at a speed a little above the stall warning, a turn, and back to cruise.

use super::stalling::{FLAPS_STAY, FLOOR_STALLS, Play, configured, play};
use super::{comfortable_roll_rate_radps, stall_calibrated};
use crate::definition::{Flaps, Floor, Form, Maneuver, Progress, Shape, Sourced, Step};
use crate::reference::{Condition, Entry, Infeasible, ReferenceFlight};
use crate::solve::scripted::{self, Law, Phase, Power, Until};
use crate::solve::{Setting, state_at_end};
use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::kinds::CalibratedAirspeed;
use base::units::Speed;
use flight::air::Day;
use flight::airplane::Airplane;

/// The maneuver.
#[derive(Debug)]
pub(super) struct SlowFlight;

const FORMS: &[Form] = &[
    Form {
        key: "warning",
        title: "seven knots above the stall",
        description: Sourced {
            text: "phases: slow down level, hold, a turn of 90 degrees at 15 of bank, roll out, back to cruise; 7 kt above the stall at one g, the middle of the usual 5 to 10",
            source: "from-memory",
        },
    },
    Form {
        key: "older",
        title: "1.2 times the stall speed",
        description: Sourced {
            text: "the older speed: 1.2 times the stall speed at one g; the same phases",
            source: "PTS-OLD",
        },
    },
    Form {
        key: "landing",
        title: "seven knots above the stall, landing flaps",
        description: Sourced {
            text: "the same phases with the flaps down as for the landing all the way, entered below the greatest speed for them",
            source: "from-memory",
        },
    },
];

/// Times the stall speed with the flaps down, where it is begun.
const UNHURRIED_WITH_FLAPS: f64 = 1.5;
/// Entered below the greatest speed with the flaps down.
const FROM_FLAPS_SPEED: Speed = Speed::from_kt(-5.0);

/// Above the stall at one g, calibrated.
const OVER_STALL: Speed = Speed::from_kt(7.0);
const TURN_BANK_DEG: f64 = 15.0;

/// Speed it is begun at: an unhurried one; with flaps down, whose drag leaves little, nearer to the stall and below their greatest.
fn begun(airplane: &Airplane, entry: &Entry) -> CalibratedAirspeed {
    match &airplane.flaps_set {
        Some(flap) if entry.speed.is_none() => {
            let unhurried = stall_calibrated(airplane, entry.mass) * UNHURRIED_WITH_FLAPS;
            let most = airplane.calibrated(flap.extended_max) + FROM_FLAPS_SPEED;
            if unhurried < most { unhurried } else { most }
        }
        _ => super::over_ground::unhurried(airplane, entry),
    }
}

impl Maneuver for SlowFlight {
    fn id(&self) -> &'static str {
        "slow-flight"
    }
    fn title(&self) -> &'static str {
        "Slow flight"
    }
    fn purpose(&self) -> Sourced {
        Sourced {
            text: "the feel of the airplane near its lowest speed: soft controls, high nose, power for height and pitch for speed, and no stall warning",
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
            span_deg: 500.0,
            checkpoints_deg: &[0.0, 100.0, 200.0, 300.0, 400.0, 500.0],
            sought: true,
        }
    }
    fn entry(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "clear the area; no lower than 1,500 ft above the ground",
                source: "ACS-P",
            },
            Sourced {
                text: "slow down with the height held: power back, the nose comes up as the speed falls",
                source: "AFH-3C",
            },
            Sourced {
                text: "at the speed, power for height and pitch for speed; right rudder for the high power",
                source: "AFH-3C",
            },
            Sourced {
                text: "no stall warning: at the warning lower the nose and add power",
                source: "ACS-P",
            },
        ]
    }
    fn errors(&self) -> &'static [Sourced] {
        &[
            Sourced {
                text: "back pressure late or early as the power goes: height lost or gained",
                source: "AFH-3C",
            },
            Sourced { text: "too little right rudder at high power", source: "AFH-3C" },
            Sourced { text: "eyes on the instruments", source: "AFH-3C" },
            Sourced { text: "flap changes not anticipated", source: "AFH-3C" },
            Sourced { text: "a stall warning ignored", source: "AFH-3C" },
        ]
    }
    fn cautions(&self) -> &'static [Sourced] {
        &[
            FLAPS_STAY,
            Sourced {
                text: "on the back of the power curve more pull sinks: power first",
                source: "common-practice",
            },
            Sourced {
                text: "aileron at the edge of the stall drops a wing: keep the ball centered",
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
                title: "straight",
                text: Sourced {
                    text: "slow down, hold, and fly on, straight ahead",
                    source: "common-practice",
                },
            },
            Step {
                title: "with turns",
                text: Sourced {
                    text: "turns of 90 degrees at 10 to 15 degrees of bank",
                    source: "common-practice",
                },
            },
            Step {
                title: "to a figure",
                text: Sourced {
                    text: "as the standard asks, climbs and descents added",
                    source: "common-practice",
                },
            },
        ]
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
        let setting = Setting::new(airplane, day, entry, begun(airplane, entry));
        let stall = stall_calibrated(airplane, entry.mass);
        let slow = match entry.form.key {
            "older" => stall * 1.2,
            _ => stall + OVER_STALL,
        };
        let cruise_mps = setting.calibrated_mps(setting.speed_mps, setting.height_m);
        let speeds = (slow, cruise_mps);
        let flown = |mps: f64| flown((airplane, entry), &setting, mps, speeds);
        // The power comes up while the speed still falls: at which speed it does is found by the rule of the secant.
        let miss = |mps: f64| Ok(held_mps(airplane, &setting, mps, speeds)? - slow.to_mps());
        let mut before = (slow.to_mps(), miss(slow.to_mps())?);
        let mut at_mps = before.0 - before.1;
        for _ in 0..SEARCHES_MOST {
            let now = (at_mps, miss(at_mps)?);
            let gained = now.1 - before.1;
            if now.1.abs() < HELD_ENOUGH_MPS || gained.abs() < 0.1 * HELD_ENOUGH_MPS {
                break;
            }
            at_mps -= now.1 * (now.0 - before.0) / gained;
            before = now;
        }
        flown(at_mps)
    }
}

/// Calibrated airspeed at the end of the phase "hold", m/s, with the power coming up at a speed: flown that far.
fn held_mps(
    airplane: &Airplane,
    setting: &Setting<'_>,
    ends_at_mps: f64,
    speeds: (CalibratedAirspeed, f64),
) -> Result<f64, Infeasible> {
    let phases = phases(airplane, ends_at_mps, speeds);
    let roll_radps = comfortable_roll_rate_radps(airplane);
    let power_share = setting.power_to_hold(1.0);
    let (_, flown) =
        scripted::solve(setting, setting.start(), power_share, roll_radps, &phases[..HELD])?;
    let (speed_mps, height_m) = state_at_end(&flown);
    Ok(setting.calibrated_mps(speed_mps, height_m))
}

/// The speed held is that of the form to this, m/s.
const HELD_ENOUGH_MPS: f64 = 2e-5;
const SEARCHES_MOST: usize = 5;
/// Phases until the speed is held, and the progress at their end.
const HELD: usize = 2;
const HELD_RAD: f64 = 200.0 * RAD_PER_DEG;

/// The phases, with the power coming up at a speed, m/s, calibrated.
fn phases(
    airplane: &Airplane,
    ends_at_mps: f64,
    (_, cruise_mps): (CalibratedAirspeed, f64),
) -> [Phase; 5] {
    let phase = |name, bank_deg: f64, power, until| Phase {
        name,
        law: Law::Climb(0.0),
        bank_rad: bank_deg * RAD_PER_DEG,
        power,
        until,
    };
    let roll_out_s = TURN_BANK_DEG * RAD_PER_DEG / comfortable_roll_rate_radps(airplane) + 2.0;
    [
        phase("slow down", 0.0, Power::Share(0.15), Until::Slower(ends_at_mps)),
        phase("hold", 0.0, Power::HoldSpeed, Until::Time(8.0)),
        phase("turn", TURN_BANK_DEG, Power::HoldSpeed, Until::Turned(90.0 * RAD_PER_DEG)),
        phase("roll out", 0.0, Power::HoldSpeed, Until::Time(roll_out_s)),
        phase("back to cruise", 0.0, Power::Share(1.0), Until::Faster(cruise_mps)),
    ]
}

/// Flies it with the power coming up at a speed, m/s, calibrated.
fn flown(
    (airplane, entry): (&Airplane, &Entry),
    setting: &Setting<'_>,
    ends_at_mps: f64,
    (slow, cruise_mps): (CalibratedAirspeed, f64),
) -> Result<ReferenceFlight, Infeasible> {
    let phases = phases(airplane, ends_at_mps, (slow, cruise_mps));
    let roll_radps = comfortable_roll_rate_radps(airplane);
    let script = Play {
        start: setting.start(),
        power_share: setting.power_to_hold(1.0),
        roll_radps,
        phases: &phases,
        stalls: false,
        lost_after: None,
        stall_at: None,
    };
    play(&SlowFlight, (airplane, entry), setting, &script, |flight| {
        let (first, last) = (&flight[0], &flight[flight.len() - 1]);
        let kt = |mps: f64| mps / MPS_PER_KT;
        let after = flight.partition_point(|sample| sample.progress_rad < HELD_RAD);
        let held = match (after.checked_sub(1).and_then(|at| flight.get(at)), flight.get(after)) {
            (Some(a), Some(b)) => {
                let share = (HELD_RAD - a.progress_rad) / (b.progress_rad - a.progress_rad);
                a.mixed(b, share)
            }
            _ => *last,
        };
        let told = |name, wanted, reached, unit| Condition { name, wanted, reached, unit };
        vec![
            told(
                "calibrated airspeed held",
                kt(slow.to_mps()),
                kt(held.calibrated_airspeed_mps),
                "kt",
            ),
            told(
                "calibrated airspeed at the end",
                kt(cruise_mps),
                kt(last.calibrated_airspeed_mps),
                "kt",
            ),
            told("height at the end against entry", 0.0, last.height_m - first.height_m, "m"),
            told("bank at the end", 0.0, last.bank_rad / RAD_PER_DEG, "deg"),
        ]
    })
}
