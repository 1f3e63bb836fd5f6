//! Between the pilot's hands and feet and the surfaces: gearing, limits, trim tabs, forces.
//!
//! One rule of sign: positive travel gives a positive moment. Stick back (nose up), stick right (right wing down), right
//! pedal (nose right); the surface then goes negative. A force is positive when the pilot pulls, pushes right, or pushes
//! the right pedal.

use super::{Actuator, Actuators, Surfaces};

/// Where the pilot's hands and feet are, as shares of full travel, -1 to 1.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Hands {
    /// Stick or wheel fore and aft, back positive.
    pub stick_back: f64,
    /// Stick or wheel to the side, right positive.
    pub stick_right: f64,
    /// Pedals, right foot forward positive.
    pub pedal_right: f64,
}

/// A trim tab: the surface floats off when nobody holds it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrimTab {
    /// Deflection of the surface that frees the hand at full tab, rad; the tab goes as far both ways.
    pub floats_rad: f64,
}

/// Force at the pilot's grip or pedal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StickForce {
    /// Force for one radian away from where the surface floats, over dynamic pressure, N/(rad Pa), positive.
    pub per_rad_pa: f64,
    /// How far the surface floats with the angle of the air (incidence, or sideslip for the rudder): radian of surface for
    /// one radian of air. A surface that trails in the wind has it negative for the elevator (air from below takes the
    /// trailing edge up) and positive for the rudder (air from the right takes it left).
    pub float_per_rad: f64,
}

/// One control, from the grip to the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// How the surface follows, with its limits: the least one below nil, the greatest above.
    pub actuator: Actuator,
    /// Trim tab, when there is one that is known.
    pub tab: Option<TrimTab>,
    /// Forces, when they are known.
    pub force: Option<StickForce>,
}

impl Channel {
    /// A control that is only known to be limited.
    #[must_use]
    pub const fn limited(least_rad: f64, most_rad: f64) -> Self {
        let actuator = Actuator {
            limits_rad: (least_rad, most_rad),
            rate_max_radps: f64::INFINITY,
            lag_s: 0.0,
        };
        Self { actuator, tab: None, force: None }
    }
    /// Deflection at a share of full travel, rad: straight lines from nil to either limit. Held at the limits.
    #[must_use]
    pub fn deflection_rad(&self, travel: f64) -> f64 {
        let (least, most) = self.actuator.limits_rad;
        let travel = travel.clamp(-1.0, 1.0);
        if travel > 0.0 { travel * least } else { -travel * most }
    }
    /// Share of full travel at a deflection, rad; beyond one when the deflection is beyond the limit.
    #[must_use]
    pub fn travel(&self, deflection_rad: f64) -> f64 {
        let (least, most) = self.actuator.limits_rad;
        if deflection_rad < 0.0 { deflection_rad / least } else { -deflection_rad / most }
    }
    /// Force of the pilot's hand or foot, N, in the sense of travel; `None` when it is not known. `tab` is the share of full
    /// tab in the sense of travel (-1 to 1): nil when there is no tab. `air_rad` is incidence, or sideslip for the rudder.
    #[must_use]
    pub fn force_n(
        &self,
        deflection_rad: f64,
        tab: f64,
        air_rad: f64,
        dynamic_pressure_pa: f64,
    ) -> Option<f64> {
        let force = self.force?;
        let tabbed = self.tab.map_or(0.0, |known| -known.floats_rad * tab.clamp(-1.0, 1.0));
        let floats = tabbed + force.float_per_rad * air_rad;
        Some(-force.per_rad_pa * dynamic_pressure_pa * (deflection_rad - floats))
    }
    /// Share of full tab that frees the hand, in the sense of travel; `None` when tab or forces are not known. Beyond one
    /// when the tab does not reach.
    #[must_use]
    pub fn tab_in_trim(&self, deflection_rad: f64, air_rad: f64) -> Option<f64> {
        let (tab, force) = (self.tab?, self.force?);
        Some(-(deflection_rad - force.float_per_rad * air_rad) / tab.floats_rad)
    }
}

/// The three controls of an airplane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlSystem {
    /// Elevator.
    pub elevator: Channel,
    /// Ailerons.
    pub aileron: Channel,
    /// Rudder.
    pub rudder: Channel,
}

impl ControlSystem {
    /// How the surfaces follow.
    #[must_use]
    pub const fn actuators(&self) -> Actuators {
        Actuators {
            elevator: self.elevator.actuator,
            aileron: self.aileron.actuator,
            rudder: self.rudder.actuator,
        }
    }
    /// Surfaces asked for by hands and feet; flaps stay as they are.
    #[must_use]
    pub fn surfaces(&self, hands: &Hands, flap_rad: f64) -> Surfaces {
        Surfaces {
            elevator_rad: self.elevator.deflection_rad(hands.stick_back),
            aileron_rad: self.aileron.deflection_rad(hands.stick_right),
            rudder_rad: self.rudder.deflection_rad(hands.pedal_right),
            flap_rad,
        }
    }
    /// Where hands and feet are when the surfaces are here.
    #[must_use]
    pub fn hands(&self, surfaces: &Surfaces) -> Hands {
        Hands {
            stick_back: self.elevator.travel(surfaces.elevator_rad),
            stick_right: self.aileron.travel(surfaces.aileron_rad),
            pedal_right: self.rudder.travel(surfaces.rudder_rad),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Channel, ControlSystem, Hands, StickForce, TrimTab};

    fn elevator() -> Channel {
        Channel {
            tab: Some(TrimTab { floats_rad: 0.2 }),
            force: Some(StickForce { per_rad_pa: 0.2, float_per_rad: -0.3 }),
            ..Channel::limited(-0.45, 0.3)
        }
    }

    #[test]
    fn prop_travel_and_deflection_undo_each_other() {
        let system = ControlSystem {
            elevator: elevator(),
            aileron: Channel::limited(-0.35, 0.35),
            rudder: Channel::limited(-0.4, 0.4),
        };
        for i in -10..=10 {
            let share = f64::from(i) / 10.0;
            let hands = Hands { stick_back: share, stick_right: -share, pedal_right: 0.5 * share };
            let found = system.hands(&system.surfaces(&hands, 0.0));
            assert!((found.stick_back - share).abs() < 1e-15);
            assert!((found.stick_right + share).abs() < 1e-15);
            assert!((found.pedal_right - 0.5 * share).abs() < 1e-15);
        }
        assert!(
            system.surfaces(&Hands { stick_back: 1.0, ..Hands::default() }, 0.0).elevator_rad < 0.0
        );
    }

    /// In a slip to the right (air from the right) a rudder that trails wants to go left: holding it straight takes right
    /// foot, and less so the more it is already left.
    #[test]
    fn a_trailing_rudder_pulls_the_foot_away_from_the_wind() {
        let rudder = Channel {
            force: Some(StickForce { per_rad_pa: 0.8, float_per_rad: 0.2 }),
            ..Channel::limited(-0.4, 0.4)
        };
        assert!(rudder.force_n(0.0, 0.0, 0.1, 1000.0).unwrap() > 0.0);
        assert!(rudder.force_n(0.02, 0.0, 0.1, 1000.0).unwrap().abs() < 1e-12);
    }

    #[test]
    fn stick_back_is_pulled_and_the_tab_frees_the_hand() {
        let channel = elevator();
        let pull = channel.force_n(-0.1, 0.0, 0.0, 1000.0).unwrap();
        assert!((pull - 20.0).abs() < 1e-12, "trailing edge up is held by a pull: {pull}");
        assert!((channel.force_n(-0.1, 0.0, 0.0, 2000.0).unwrap() / pull - 2.0).abs() < 1e-12);
        let tab = channel.tab_in_trim(-0.1, 0.05).unwrap();
        assert!(channel.force_n(-0.1, tab, 0.05, 1000.0).unwrap().abs() < 1e-12);
        assert_eq!(
            Channel::limited(-0.4, 0.4).force_n(0.1, 0.0, 0.0, 1000.0),
            None,
            "unknown is not nil"
        );
    }
}
