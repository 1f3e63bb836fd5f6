//! From the motion of a point in moving air to the airplane around it: attitude, forces and drag as functions of velocity,
//! acceleration, wind, sideslip and incidence, with their derivatives.
//!
//! The force square to the path through the air is lift and the side force of sideslip. The wings' axis lies so that the lateral
//! specific force is what the sideslip makes (nil without it: the ball in its cage) and the air comes from the side by the
//! sideslip; the nose stands above the path by the incidence.

#![allow(clippy::needless_range_loop, reason = "the indices are those of the formulas")]

use base::factors::{RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use flight::airplane::Airplane;

use crate::dual::{self, Dual, Three};

/// What attitude and forces depend on at a knot: velocity and acceleration (common axes), wind north and east, sideslip, the
/// knot's own share of incidence, the side force that is not that of the sideslip; and for the whole flight the level of incidence, the logarithm of its slope and that of the side
/// force.
pub(crate) const INPUTS: usize = 14;
pub(crate) const VELOCITY: usize = 0;
pub(crate) const ACCELERATION: usize = 3;
pub(crate) const WIND: usize = 6;
pub(crate) const SIDESLIP: usize = 8;
pub(crate) const INCIDENCE: usize = 9;
pub(crate) const SIDE_FREE: usize = 10;
pub(crate) const INCIDENCE_LEVEL: usize = 11;
pub(crate) const INCIDENCE_SLOPE: usize = 12;
pub(crate) const SIDE_FORCE: usize = 13;

pub(crate) type D = Dual<INPUTS>;

/// The airplane, as far as it is known: of the class of light singles (common practice, no source) or its own file.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Body {
    /// Weight over wing area, Pa.
    pub(crate) wing_loading_pa: f64,
    pub(crate) lift_at_zero: f64,
    pub(crate) lift_slope: f64,
    pub(crate) lift_max: f64,
    pub(crate) drag_zero_lift: f64,
    pub(crate) drag_induced: f64,
    /// Side force coefficient for each radian of sideslip.
    pub(crate) side_slope: f64,
    /// Doubt of the level of incidence (rad) and of its growth with lift (share).
    pub(crate) level_sigma: f64,
    pub(crate) slope_sigma: f64,
    /// Doubt of the logarithm of the side force.
    pub(crate) side_sigma: f64,
}

impl Body {
    pub(crate) fn of(airplane: Option<&Airplane>) -> Self {
        let class = Self {
            wing_loading_pa: 620.0,
            lift_at_zero: 0.3,
            lift_slope: 4.8,
            lift_max: 1.4,
            drag_zero_lift: 0.035,
            drag_induced: 0.06,
            side_slope: 0.32,
            level_sigma: 1.5 * RAD_PER_DEG,
            slope_sigma: 0.2,
            side_sigma: 0.35,
        };
        airplane.map_or(class, |airplane| Self {
            wing_loading_pa: airplane.masses.typical.to_kg() * STANDARD_GRAVITY_MPS2
                / airplane.wing_area.to_m2(),
            lift_at_zero: airplane.aerodynamics.lift_at_zero_incidence,
            lift_slope: airplane.aerodynamics.lift_slope_per_rad,
            lift_max: airplane.aerodynamics.lift_max,
            drag_zero_lift: airplane.aerodynamics.drag_zero_lift,
            drag_induced: airplane.aerodynamics.drag_induced,
            level_sigma: 0.4 * RAD_PER_DEG,
            slope_sigma: 0.08,
            ..class
        })
    }
}

/// Axes and air at a knot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    /// North, east and down of the place in the common axes.
    pub(crate) rows: [[f64; 3]; 3],
    /// What the turning of the earth adds to the acceleration, north, east, down, m/s2.
    pub(crate) coriolis: [f64; 3],
    /// Density of the air, kg/m3.
    pub(crate) density: f64,
    /// Whether the lift pulls toward the body's top (1) or its bottom (-1).
    pub(crate) sign: f64,
    /// What the lift leans on where there is hardly any: a little force toward where the top was and will be, m/s2.
    pub(crate) hold: [f64; 3],
}

/// What the state says at a knot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct State {
    pub(crate) velocity: [f64; 3],
    pub(crate) acceleration: [f64; 3],
    pub(crate) wind: [f64; 2],
    pub(crate) sideslip: f64,
    pub(crate) incidence: f64,
    /// Side force that is not that of the sideslip (rudder, gusts from the side), as the sideslip that would make it, rad.
    pub(crate) side_free: f64,
    pub(crate) incidence_level: f64,
    pub(crate) incidence_slope: f64,
    pub(crate) side_force: f64,
    /// Whether `sideslip` is told by the load that it makes, as the sideslip that would make it with the usual side force; else it is the
    /// angle itself. Where a lateral load was recorded the load is what is known, and how strong a side force is only says what
    /// sideslip made it. Told by the angle, the likeliest of both is a side force far too strong, which makes all sideslips small.
    pub(crate) slip_by_load: bool,
}

/// Air and force along and across the path.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flow {
    /// Velocity through the air, north, east, down, m/s.
    pub(crate) air: Three<INPUTS>,
    /// Its size.
    pub(crate) speed: D,
    /// Specific force, north, east, down, m/s2.
    pub(crate) force: Three<INPUTS>,
    /// Specific force along the path.
    pub(crate) along: D,
    /// Its part square to the path, toward the body's top, and the size of that.
    pub(crate) square: Three<INPUTS>,
    pub(crate) size: D,
    /// Lift over mass, negative toward the bottom.
    pub(crate) lift: D,
}

/// Least force square to the path that has a direction, m/s2: about a tenth of a g.
const LIFT_LEAST_MPS2: f64 = 0.8;
/// Quick pulls reach beyond the greatest steady lift by so much (our judgement, no source).
const LIFT_ROOM: f64 = 1.15;
/// The side force stays below this share of the force square to the path.
const LEAN_MOST: f64 = 0.9;
/// Slowest motion through the air that has a direction, m/s.
pub(crate) const SPEED_LEAST_MPS: f64 = 3.0;

impl Flow {
    pub(crate) fn of(state: &State, place: &Place) -> Self {
        let mut air = [Dual::constant(0.0); 3];
        let mut force = [Dual::constant(0.0); 3];
        for i in 0..3 {
            let row = &place.rows[i];
            let along = |v: &[f64; 3]| row[0] * v[0] + row[1] * v[1] + row[2] * v[2];
            air[i].value = along(&state.velocity);
            force[i].value = along(&state.acceleration) + place.coriolis[i];
            air[i].slope[VELOCITY..VELOCITY + 3].copy_from_slice(row);
            force[i].slope[ACCELERATION..ACCELERATION + 3].copy_from_slice(row);
        }
        for i in 0..2 {
            air[i].value -= state.wind[i];
            air[i].slope[WIND + i] = -1.0;
        }
        force[2].value -= STANDARD_GRAVITY_MPS2;
        let speed = dual::dot(&air, &air).at_least(SPEED_LEAST_MPS * SPEED_LEAST_MPS).sqrt();
        let along = dual::dot(&force, &air) / speed;
        let square = dual::difference(&force, &dual::scale(&air, along / speed));
        let least = LIFT_LEAST_MPS2 * LIFT_LEAST_MPS2;
        let lift = dual::dot(&square, &square).at_least(1e-4).sqrt().times(place.sign);
        let mut square = square.map(|part| part.times(place.sign));
        for (part, hold) in square.iter_mut().zip(place.hold) {
            part.value += hold;
        }
        let size = dual::dot(&square, &square).at_least(least).sqrt();
        Self { air, speed, force, along, square, size, lift }
    }
    /// Drag over mass, m/s2, by the parabolic polar.
    pub(crate) fn drag(&self, body: &Body, density: f64) -> D {
        let pressure = (self.speed * self.speed).times(0.5 * density);
        let coefficient = lift_coefficient(self, body, pressure);
        let polar = (coefficient * coefficient).times(body.drag_induced).plus(body.drag_zero_lift);
        (pressure * polar).times(STANDARD_GRAVITY_MPS2 / body.wing_loading_pa)
    }
}

fn lift_coefficient(flow: &Flow, body: &Body, pressure: D) -> D {
    let coefficient =
        flow.lift.times(body.wing_loading_pa / STANDARD_GRAVITY_MPS2) / pressure.at_least(50.0);
    let most = if coefficient.value > 0.0 { LIFT_ROOM * body.lift_max } else { body.lift_max };
    coefficient.within(most)
}

/// A sideslip of many degrees is held by the rudder, whose side force takes this share of the sideslip's away: its yawing moment
/// balances the fin's, and both act at the tail (common practice, no source; three to six tenths by the derivatives of light airplanes,
/// from memory). One of a degree or so comes from feet that sleep, with
/// the rudder where it was; from about so much, rad, on it is held.
const RUDDER_SHARE: f64 = 0.4;
/// The same where the sideslip is told by its load (found on invented flights).
const RUDDER_SHARE_BY_LOAD: f64 = 0.3;
const HELD_RAD: f64 = 3.0 * RAD_PER_DEG;

/// What the rudder leaves of the side force of a sideslip, as a share.
fn rudder_left(sideslip: D, share: f64) -> D {
    let square = sideslip * sideslip;
    let held = square / square.plus(HELD_RAD * HELD_RAD);
    held.times(-share).plus(1.0)
}

/// The airplane at a knot.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Look {
    pub(crate) flow: Flow,
    /// Body axes forward, right, down, each written north, east, down.
    pub(crate) axes: [Three<INPUTS>; 3],
    /// Angle of attack, rad.
    pub(crate) incidence: D,
}

impl Look {
    pub(crate) fn of(state: &State, place: &Place, body: &Body) -> Self {
        let flow = Flow::of(state, place);
        let pressure = (flow.speed * flow.speed).times(0.5 * place.density);
        let along = dual::scale(&flow.air, flow.speed.recip());
        let up = dual::scale(&flow.square, flow.size.recip());
        let right = dual::cross(&along, &up);
        let told = Dual::variable(state.sideslip, SIDESLIP);
        let side_force = Dual::variable(state.side_force, SIDE_FORCE);
        let (sideslip, stronger, rudder) = if state.slip_by_load {
            (told * (-side_force).exp(), Dual::constant(1.0), RUDDER_SHARE_BY_LOAD)
        } else {
            (told, side_force.exp(), RUDDER_SHARE)
        };
        let (sin_slip, cos_slip) = (sideslip.sin(), sideslip.cos());
        let felt = told * rudder_left(told, rudder) + Dual::variable(state.side_free, SIDE_FREE);
        let side = (pressure * felt * stronger)
            .times(-body.side_slope * STANDARD_GRAVITY_MPS2 / body.wing_loading_pa);
        let lean = ((side - sin_slip * flow.along) / (cos_slip * flow.size)).within(LEAN_MOST);
        let level = (Dual::constant(1.0) - lean * lean).sqrt();
        let across = dual::sum(&dual::scale(&right, level), &dual::scale(&up, lean));
        let wing = dual::sum(&dual::scale(&along, sin_slip), &dual::scale(&across, cos_slip));
        // The part of the airflow in the plane of symmetry, and what is square to it downwards.
        let in_plane = dual::difference(&along, &dual::scale(&wing, dual::dot(&along, &wing)));
        let stable = dual::scale(&in_plane, dual::dot(&in_plane, &in_plane).sqrt().recip());
        let below = dual::cross(&stable, &wing);
        let slope = Dual::variable(state.incidence_slope, INCIDENCE_SLOPE).exp();
        let lifted = lift_coefficient(&flow, body, pressure).plus(-body.lift_at_zero);
        let incidence = lifted.times(1.0 / body.lift_slope) * slope
            + Dual::variable(state.incidence, INCIDENCE)
            + Dual::variable(state.incidence_level, INCIDENCE_LEVEL);
        let (sin_a, cos_a) = (incidence.sin(), incidence.cos());
        let forward = dual::difference(&dual::scale(&stable, cos_a), &dual::scale(&below, sin_a));
        let down = dual::sum(&dual::scale(&stable, sin_a), &dual::scale(&below, cos_a));
        Self { flow, axes: [forward, wing, down], incidence }
    }
    pub(crate) fn bank(&self) -> D {
        self.axes[1][2].atan2(self.axes[2][2])
    }
    pub(crate) fn pitch(&self) -> D {
        let [north, east, down] = self.axes[0];
        (-down).atan2((north * north + east * east).at_least(1e-9).sqrt())
    }
    pub(crate) fn heading(&self) -> D {
        self.axes[0][1].atan2(self.axes[0][0])
    }
    /// Climb of the path through the air.
    pub(crate) fn path_angle(&self) -> D {
        let [north, east, down] = self.flow.air;
        (-down).atan2((north * north + east * east).at_least(1e-9).sqrt())
    }
    /// Specific force along a body axis, m/s2.
    pub(crate) fn force(&self, axis: usize) -> D {
        dual::dot(&self.flow.force, &self.axes[axis])
    }
    /// How the body turns about its own axes for each input.
    pub(crate) fn turning(&self) -> [[f64; INPUTS]; 3] {
        let [x, y, z] = &self.axes;
        let about = |fixed: &Three<INPUTS>, moved: &Three<INPUTS>| {
            let mut out = [0.0; INPUTS];
            for (part, moving) in fixed.iter().zip(moved) {
                for (out, slope) in out.iter_mut().zip(&moving.slope) {
                    *out += part.value * slope;
                }
            }
            out
        };
        [about(z, y), about(x, z), about(y, x)]
    }
    /// Body axes (rows) in the common axes.
    pub(crate) fn rotation(&self, place: &Place) -> [[f64; 3]; 3] {
        let mut out = [[0.0; 3]; 3];
        for (out, axis) in out.iter_mut().zip(&self.axes) {
            for (part, row) in axis.iter().zip(&place.rows) {
                for (out, row) in out.iter_mut().zip(row) {
                    *out += part.value * row;
                }
            }
        }
        out
    }
}
