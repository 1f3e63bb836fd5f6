//! Why a search ended where it did.

use base::factors::STANDARD_GRAVITY_MPS2;
use base::units::{Angle, LoadFactor, Power};

use super::equations::{AILERON, ALPHA, EFFORT, ELEVATOR, Equations, RUDDER, Unknowns};
use super::search::{Found, STEADY};
use super::{Hold, Limited, Stop};
use crate::vehicle::OutsideData;

impl Equations<'_> {
    /// When the throttle stands at an end: the same flight with the throttle there and the climb angle free. Where that is
    /// steady, power is what lacks, and the two climb angles say how much.
    pub(super) fn throttle_at_end(&self, found: &Found) -> Option<Found> {
        let Hold::Climb(asked) = self.hold else {
            return None;
        };
        let throttle = found.x[EFFORT];
        if found.norm < STEADY || (throttle > 0.0 && throttle < 1.0) {
            return None;
        }
        let free = Equations { hold: Hold::Throttle(throttle), ..*self };
        let mut start = found.x;
        start[EFFORT] = asked.to_rad();
        let mut best = free.from(&start);
        if best.norm >= STEADY {
            best = free.from(&free.guess());
        }
        if best.norm < STEADY {
            // Beyond the stall more power lacks than before it.
            best = free.before_the_stall(best);
        }
        let climb_rad = best.x[EFFORT];
        let steeper = base::math::sin(asked.to_rad()) - base::math::sin(climb_rad);
        let lacks = (throttle >= 1.0) == (steeper > 0.0);
        if best.norm >= STEADY || !lacks {
            return None;
        }
        let weight_n = self.vehicle.mass.mass_kg() * self.gravity_mps2();
        let lacking = Power::try_from_w(weight_n * self.speed_mps * steeper)?;
        let evaluations = found.evaluations + best.evaluations;
        let stop = Stop::CannotHold { lacking, climb: Some(Angle::from_rad(climb_rad)) };
        Some(Found { stop, evaluations, ..*found })
    }

    /// When no incidence comes near to carrying the path, at any throttle: nothing is left to search for. Only where the climb
    /// angle is held, so that what must be carried is known.
    pub(super) fn lacks_lift_by_far(&self, found: &Found) -> Option<Stop> {
        const FAR: f64 = 0.05;
        let Hold::Climb(_) = self.hold else {
            return None;
        };
        let mut least: Option<(Unknowns, f64)> = None;
        for throttle in [found.x[EFFORT], 1.0] {
            let mut x = self.guess();
            x[EFFORT] = throttle;
            self.settle(&mut x);
            let lacking_mps2;
            (x[ALPHA], lacking_mps2) = self.incidence(&x);
            if lacking_mps2 <= 0.0 {
                return None;
            }
            if least.is_none_or(|(_, l)| lacking_mps2 < l) {
                least = Some((x, lacking_mps2));
            }
        }
        let (x, lacking_mps2) = least?;
        if lacking_mps2 < FAR * STANDARD_GRAVITY_MPS2 {
            return None;
        }
        let lacking_mps2 = self.lacking_in_balance(&x).unwrap_or(lacking_mps2);
        let lacking = LoadFactor::try_from_g(lacking_mps2 / STANDARD_GRAVITY_MPS2)?;
        Some(Stop::LacksLift { lacking })
    }

    /// What a sweep of the incidences told, unless the data do not reach there.
    pub(super) fn told(&self, found: Found) -> Found {
        Found { stop: self.outside(&found.x).map_or(found.stop, Stop::OutsideData), ..found }
    }

    /// The reason for where it ended.
    pub(super) fn judge(&self, found: Found) -> Found {
        let stop = self.outside(&found.x).map(Stop::OutsideData);
        let stop = stop.or_else(|| (found.norm < STEADY).then_some(Stop::Converged));
        let stop = stop.or_else(|| self.lacks_lift(&found.x));
        let stop = stop.or_else(|| self.surface_at_limit(&found.x).map(Stop::ControlLimit));
        let stop = stop.or_else(|| self.lacks_power(&found));
        Found { stop: stop.unwrap_or(Stop::Iterations), ..found }
    }

    fn outside(&self, x: &Unknowns) -> Option<OutsideData> {
        let posed = self.pose(x);
        let instant = self.vehicle.instant(self.world, self.time_s, &posed.state, &posed.inputs);
        let domain = self.vehicle.aerodynamics.domain();
        let at_edge = x[ALPHA] <= domain.alpha_rad.0 || x[ALPHA] >= domain.alpha_rad.1;
        let edge = OutsideData::of(&instant.flow);
        self.vehicle.check(&instant).err().or_else(|| at_edge.then_some(edge))
    }

    fn surface_at_limit(&self, x: &Unknowns) -> Option<Limited> {
        let actuators = &self.vehicle.actuators;
        let surfaces = [
            (Limited::Elevator, ELEVATOR, actuators.elevator.limits_rad),
            (Limited::Aileron, AILERON, actuators.aileron.limits_rad),
            (Limited::Rudder, RUDDER, actuators.rudder.limits_rad),
        ];
        let at = |&(_, i, (low, high)): &(Limited, usize, (f64, f64))| x[i] <= low || x[i] >= high;
        surfaces.iter().find(|surface| at(surface)).map(|surface| surface.0)
    }

    /// The wing does not carry the path at any incidence, with the power and bank where the search ended.
    fn lacks_lift(&self, x: &Unknowns) -> Option<Stop> {
        // With the climb angle free a search may end falling steeply, where little lift is asked for: not what was meant.
        let guess = self.guess();
        let free = matches!(self.hold, Hold::Throttle(_));
        let (_, lacking) = self.incidence(if free { &guess } else { x });
        let lacking = lacking / STANDARD_GRAVITY_MPS2;
        let lacking = LoadFactor::try_from_g(lacking).filter(|load| load.to_g() > 0.0)?;
        Some(Stop::LacksLift { lacking })
    }

    fn lacks_power(&self, found: &Found) -> Option<Stop> {
        let at_end = matches!(self.hold, Hold::Climb(_))
            && (found.x[EFFORT] <= 0.0 || found.x[EFFORT] >= 1.0);
        let mass_kg = self.vehicle.mass.mass_kg();
        let lacking = Power::try_from_w(-found.r[0] * mass_kg * self.speed_mps)?;
        at_end.then_some(Stop::CannotHold { lacking, climb: None })
    }
}
