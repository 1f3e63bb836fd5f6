//! Moments of a flight that integration can stop at: functions of time and state that rise through zero there.
//!
//! They go to [`base::numerics::ode::integrate`] as events.

use base::math::wrap_pi;

use super::{State, StateArray, Vehicle, World};
use crate::controls::Inputs;
use crate::earth::Earth;

/// Turned by `turn_rad` (right positive, less than a whole turn either way) from the heading of `start`.
pub fn turned(
    earth: Earth,
    start: &StateArray,
    turn_rad: f64,
) -> impl Fn(f64, &StateArray) -> f64 + use<> {
    let target_rad = State::from_array(start).attitude_on(&earth).heading_rad + turn_rad;
    let side = turn_rad.signum();
    move |_, state| {
        let heading_rad = State::from_array(state).attitude_on(&earth).heading_rad;
        near(side * wrap_pi(heading_rad - target_rad))
    }
}

/// An angle still to go, negative, cut to a quarter turn; what lies further off either way counts as not yet there, so that
/// the jump of half a turn, met when turning the wrong way or over the back, is no crossing.
fn near(angle_rad: f64) -> f64 {
    let quarter = std::f64::consts::FRAC_PI_2;
    if angle_rad.abs() > quarter { -quarter } else { angle_rad }
}

/// Wings level, coming from a right (`side` 1) or left (`side` -1) bank.
pub fn wings_level(earth: Earth, side: f64) -> impl Fn(f64, &StateArray) -> f64 {
    move |_, state| near(-side * State::from_array(state).attitude_on(&earth).bank_rad)
}

/// Rising (`side` 1) or sinking (`side` -1) through a height, m.
pub fn height(earth: Earth, height_m: f64, side: f64) -> impl Fn(f64, &StateArray) -> f64 {
    move |_, state| side * (earth.place(State::from_array(state).position_m).height_m - height_m)
}

/// Angle of attack growing through that of the stall, rad, with inputs held.
pub fn stall<'a>(
    vehicle: &'a Vehicle,
    world: World<'a>,
    inputs: Inputs,
    stall_rad: f64,
) -> impl Fn(f64, &StateArray) -> f64 + 'a {
    move |time_s, state| vehicle.instant(&world, time_s, state, &inputs).flow.alpha_rad - stall_rad
}

#[cfg(test)]
mod tests {
    use super::{Earth, State, turned, wings_level};
    use base::factors::RAD_PER_DEG;
    use base::frames::{Attitude, Vec3};

    fn heading(degrees: f64, bank: f64) -> super::StateArray {
        let attitude = Attitude {
            heading_rad: degrees * RAD_PER_DEG,
            pitch_rad: 0.0,
            bank_rad: bank * RAD_PER_DEG,
        };
        State::at(&Earth::FLAT, Vec3::ZERO, Vec3::ZERO, attitude, Vec3::ZERO).to_array()
    }

    #[test]
    fn a_turn_is_counted_through_north_and_either_way() {
        for (start, turn) in [(350.0, 90.0), (10.0, -90.0), (200.0, 270.0), (0.0, -180.0)] {
            let event = turned(Earth::FLAT, &heading(start, 0.0), turn * RAD_PER_DEG);
            let at = |share: f64| event(0.0, &heading(start + share * turn, 0.0));
            assert!(at(0.99) < 0.0 && at(1.01) > 0.0, "{start} {turn}");
            assert!(at(1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_wobble_the_wrong_way_is_no_turn() {
        for turn in [180.0, -180.0, 150.0] {
            let event = turned(Earth::FLAT, &heading(123.0, 0.0), turn * RAD_PER_DEG);
            for wrong in [-1.0, -10.0, -31.0, -60.0, 0.0, 1.0] {
                let state = heading(123.0 + wrong * f64::signum(turn), 0.0);
                assert!(event(0.0, &state) < 0.0, "{turn} {wrong}");
            }
        }
        // Rolling over the back is no level flight.
        let level = wings_level(Earth::FLAT, 1.0);
        assert!(level(0.0, &heading(0.0, 179.0)) < 0.0 && level(0.0, &heading(0.0, -179.0)) < 0.0);
    }

    #[test]
    fn wings_come_level_from_either_side() {
        let right = wings_level(Earth::FLAT, 1.0);
        assert!(right(0.0, &heading(0.0, 10.0)) < 0.0 && right(0.0, &heading(0.0, -1.0)) > 0.0);
    }
}
