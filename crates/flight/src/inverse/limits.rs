//! Controls that would have to go further or faster than they can.

use super::Solved;
use crate::controls::{Actuator, Actuators};
use crate::trim::Limited;
use base::factors::RAD_PER_DEG;

/// What is beyond what it can.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Beyond {
    /// Deflection, rad.
    Deflection,
    /// Rate, rad/s.
    Rate,
}

/// A control that a flight needs more of than there is: the worst moment of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Excess {
    /// Which control.
    pub control: Limited,
    /// Deflection or rate.
    pub beyond: Beyond,
    /// When it is worst, s.
    pub time_s: f64,
    /// Needed, rad or rad/s, signed as the deflection.
    pub needed: f64,
    /// Available in that sense, rad or rad/s, signed alike.
    pub available: f64,
}

impl std::fmt::Display for Excess {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { control, beyond, time_s, needed, available } = self;
        let (needed, available) = (needed / RAD_PER_DEG, available / RAD_PER_DEG);
        let (what, unit) = match beyond {
            Beyond::Deflection => ("", "degrees"),
            Beyond::Rate => (" rate", "degrees a second"),
        };
        write!(
            out,
            "{}{what}: needs {needed:.0} {unit} after {time_s:.1} s, has {available:.0}",
            control.words()
        )
    }
}

/// Every control that a solved flight needs more of than it can give, the worst moment of each.
#[must_use]
pub fn excesses(flight: &[Solved], actuators: &Actuators) -> Vec<Excess> {
    let surfaces = [
        (Limited::Elevator, &actuators.elevator, 14),
        (Limited::Aileron, &actuators.aileron, 15),
        (Limited::Rudder, &actuators.rudder, 16),
    ];
    let mut out = Vec::new();
    for (control, actuator, index) in surfaces {
        out.extend(worst(
            flight.iter().map(|node| deflection(control, actuator, node.time_s, node.state[index])),
        ));
        out.extend(worst(flight.windows(3).map(|three| {
            let over_s = three[2].time_s - three[0].time_s;
            let rate = (three[2].state[index] - three[0].state[index]) / over_s;
            faster(control, actuator, three[1].time_s, rate)
        })));
    }
    out
}

fn worst(found: impl Iterator<Item = Option<Excess>>) -> Option<Excess> {
    let over = |excess: &Excess| (excess.needed - excess.available).abs();
    found.flatten().max_by(|a, b| over(a).total_cmp(&over(b)))
}

fn deflection(control: Limited, actuator: &Actuator, time_s: f64, needed: f64) -> Option<Excess> {
    let (least, most) = actuator.limits_rad;
    let available = if needed < 0.0 { least } else { most };
    let beyond = Beyond::Deflection;
    let excess = Excess { control, beyond, time_s, needed, available };
    (needed < least || needed > most).then_some(excess)
}

fn faster(control: Limited, actuator: &Actuator, time_s: f64, needed: f64) -> Option<Excess> {
    let available = actuator.rate_max_radps.copysign(needed);
    let excess = Excess { control, beyond: Beyond::Rate, time_s, needed, available };
    (needed.abs() > actuator.rate_max_radps).then_some(excess)
}
