//! The state of a rigid body: where it is, how it moves, how it is turned, and the states of its engine and controls.

use base::frames::{Attitude, Body, Fixed, Ned, Rot, Vec3};

use crate::earth::Earth;

/// Length of the state array.
pub const COUNT: usize = 17;

/// State as the integrators see it: position (3, m), velocity (3, m/s), quaternion (4), body rates (3, rad/s), engine (1),
/// elevator, aileron and rudder (3, rad). See [`State`] for what each means.
pub type StateArray = [f64; COUNT];

/// Index of the engine's state in the array.
pub const ENGINE: usize = 13;

/// State of a rigid body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Position of the center of gravity in axes turning with the earth, m.
    pub position_m: Vec3<Fixed>,
    /// Velocity relative to the earth, expressed in the same axes, m/s.
    pub velocity_mps: Vec3<Fixed>,
    /// Attitude: body to earth-turning axes.
    pub attitude: Quaternion,
    /// Angular velocity relative to inertial space, expressed in body axes, rad/s.
    pub rates_radps: Vec3<Body>,
    /// State of the engine (speed of rotation, rad/s, for a propeller).
    pub engine: f64,
    /// Where elevator, aileron and rudder are, rad.
    pub surfaces_rad: [f64; 3],
}

/// A rotation as a unit quaternion, scalar first. Its length need not be exactly one: it is divided out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quaternion(pub [f64; 4]);

impl Quaternion {
    /// No rotation.
    pub const IDENTITY: Self = Self([1.0, 0.0, 0.0, 0.0]);

    /// The rotation it stands for, from body to earth-turning axes.
    #[must_use]
    #[inline]
    pub fn fixed_from_body(&self) -> Rot<Body, Fixed> {
        let [w, x, y, z] = self.0;
        let s = 2.0 / (w * w + x * x + y * y + z * z);
        Rot::from_rows_unchecked([
            [1.0 - s * (y * y + z * z), s * (x * y - w * z), s * (x * z + w * y)],
            [s * (x * y + w * z), 1.0 - s * (x * x + z * z), s * (y * z - w * x)],
            [s * (x * z - w * y), s * (y * z + w * x), 1.0 - s * (x * x + y * y)],
        ])
    }
    /// From a rotation (the largest component first, so that it never divides by a small one).
    #[must_use]
    pub fn from_rotation(fixed_from_body: &Rot<Body, Fixed>) -> Self {
        let m = fixed_from_body.rows();
        let trace = m[0][0] + m[1][1] + m[2][2];
        let squares = [trace, 2.0 * m[0][0] - trace, 2.0 * m[1][1] - trace, 2.0 * m[2][2] - trace];
        let largest =
            (0..4).max_by(|&a, &b| squares[a].total_cmp(&squares[b])).expect("there are four");
        let big = 0.5 * (1.0 + squares[largest]).sqrt();
        let f = 0.25 / big;
        let (wx, wy, wz) = (m[2][1] - m[1][2], m[0][2] - m[2][0], m[1][0] - m[0][1]);
        let (xy, xz, yz) = (m[0][1] + m[1][0], m[0][2] + m[2][0], m[1][2] + m[2][1]);
        Self(match largest {
            0 => [big, f * wx, f * wy, f * wz],
            1 => [f * wx, big, f * xy, f * xz],
            2 => [f * wy, f * xy, big, f * yz],
            _ => [f * wz, f * xz, f * yz, big],
        })
    }
    /// Rate of change for an angular velocity of the body relative to the earth-turning axes, expressed in body axes.
    #[must_use]
    #[inline]
    pub fn rate(&self, relative_radps: Vec3<Body>) -> [f64; 4] {
        let [w, x, y, z] = self.0;
        let Vec3 { x: p, y: q, z: r, .. } = relative_radps * 0.5;
        [
            -x * p - y * q - z * r,
            w * p + y * r - z * q,
            w * q + z * p - x * r,
            w * r + x * q - y * p,
        ]
    }
}

impl State {
    /// From the array.
    #[must_use]
    #[inline]
    pub const fn from_array(a: &StateArray) -> Self {
        Self {
            position_m: Vec3::new(a[0], a[1], a[2]),
            velocity_mps: Vec3::new(a[3], a[4], a[5]),
            attitude: Quaternion([a[6], a[7], a[8], a[9]]),
            rates_radps: Vec3::new(a[10], a[11], a[12]),
            engine: a[ENGINE],
            surfaces_rad: [a[14], a[15], a[16]],
        }
    }
    /// To the array.
    #[must_use]
    pub const fn to_array(&self) -> StateArray {
        let (p, v, w) = (self.position_m, self.velocity_mps, self.rates_radps);
        let [q0, q1, q2, q3] = self.attitude.0;
        let [elevator, aileron, rudder] = self.surfaces_rad;
        [
            p.x,
            p.y,
            p.z,
            v.x,
            v.y,
            v.z,
            q0,
            q1,
            q2,
            q3,
            w.x,
            w.y,
            w.z,
            self.engine,
            elevator,
            aileron,
            rudder,
        ]
    }
    /// At a position over an earth, with the attitude and velocity of the local level there, and body rates relative to
    /// inertial space. Engine and surfaces nil.
    #[must_use]
    pub fn at(
        earth: &Earth,
        position_m: Vec3<Fixed>,
        velocity_mps: Vec3<Ned>,
        attitude: Attitude,
        rates_radps: Vec3<Body>,
    ) -> Self {
        let fixed_from_ned = earth.place(position_m).ned_from_fixed.inverse();
        let fixed_from_body = attitude.body_from_ned().inverse().then(&fixed_from_ned);
        Self {
            position_m,
            velocity_mps: fixed_from_ned.apply(velocity_mps),
            attitude: Quaternion::from_rotation(&fixed_from_body),
            rates_radps,
            engine: 0.0,
            surfaces_rad: [0.0; 3],
        }
    }
    /// Angles relative to the local level.
    #[must_use]
    pub fn attitude_on(&self, earth: &Earth) -> Attitude {
        let ned_from_fixed = earth.place(self.position_m).ned_from_fixed;
        let ned_from_body = self.attitude.fixed_from_body().then(&ned_from_fixed);
        Attitude::from_rotation(&ned_from_body.inverse())
    }
    /// Velocity over the earth, north, east, down, m/s.
    #[must_use]
    pub fn velocity_on(&self, earth: &Earth) -> Vec3<Ned> {
        earth.place(self.position_m).ned_from_fixed.apply(self.velocity_mps)
    }
}

#[cfg(test)]
mod tests {
    use super::{Earth, Quaternion, State, Vec3};
    use base::frames::Attitude;
    use base::geodesy::Geodetic;

    #[test]
    fn angles_survive_the_quaternion() {
        for (heading, pitch, bank) in
            [(0.0, 0.0, 0.0), (3.0, 0.2, -0.5), (-2.0, -1.4, 3.1), (1.0, 1.5, 2.0)]
        {
            let attitude = Attitude { heading_rad: heading, pitch_rad: pitch, bank_rad: bank };
            let place = Earth::WGS84.position(Geodetic::from_deg(48.0, 11.0, 500.0));
            let state = State::at(&Earth::WGS84, place, Vec3::ZERO, attitude, Vec3::ZERO);
            let found = State::from_array(&state.to_array()).attitude_on(&Earth::WGS84);
            assert!((found.heading_rad - heading).abs() < 1e-12, "{found:?}");
            assert!((found.pitch_rad - pitch).abs() < 1e-12, "{found:?}");
            assert!((found.bank_rad - bank).abs() < 1e-12, "{found:?}");
        }
    }

    #[test]
    fn the_rate_turns_the_right_way() {
        // A little roll to the right from level takes the right wing down.
        let rate = Quaternion::IDENTITY.rate(Vec3::new(1.0, 0.0, 0.0));
        let rolled = Quaternion([1.0, rate[1] * 0.1, 0.0, 0.0]).fixed_from_body();
        assert!(rolled.apply(Vec3::new(0.0, 1.0, 0.0)).z > 0.09);
    }
}
