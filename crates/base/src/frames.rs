//! Vectors and rotations that know the frame they are written in; a wrong chain does not compile.
//!
//! All frames are right-handed. Sign conventions, once for the whole project:
//!
//! ```text
//! Ecef   earth-centred, earth-fixed: x through 0 N 0 E, z through the north pole.
//! Fixed  turning with the earth in use: Ecef on a round one, Ned at the origin on a flat one (see `flight::earth`).
//! Ned    local level at a stated place: x north, y east, z down.
//! Body   fixed in the airplane: x forward, y right, z down.
//! Path   along the velocity through the air: x along it, z in the plane of lift pointing away from the lift at nil bank.
//!
//! heading  clockwise from true north        pitch  nose up positive       bank  right wing down positive
//! climb    path above the horizon positive  sideslip  wind from the right positive
//! ```
//!
//! What the types do not protect: `Ned` at one place is not `Ned` at another, and `Body` turns with time. Docs say
//! "of A, relative to B, expressed in C" where it matters.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Add, Mul, Neg, Sub};

use crate::math::{asin, atan2, cos, sin};

/// Earth-centred, earth-fixed frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ecef {}
/// Turning with the earth that is flown over: earth-centred on a round one, north-east-down at the origin on a flat one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fixed {}
/// Local north, east, down at a stated place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ned {}
/// Forward, right, down in the airplane.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Body {}
/// Velocity frame: along the path through the air; right; down at nil bank.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Path {}

/// A vector written in frame `F`.
pub struct Vec3<F> {
    /// First component.
    pub x: f64,
    /// Second component.
    pub y: f64,
    /// Third component.
    pub z: f64,
    frame: PhantomData<F>,
}

impl<F> Vec3<F> {
    /// From components in this frame.
    #[must_use]
    #[inline]
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z, frame: PhantomData }
    }
    /// The nil vector.
    pub const ZERO: Self = Self::new(0.0, 0.0, 0.0);
    /// Dot product.
    #[must_use]
    #[inline]
    pub const fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }
    /// Cross product.
    #[must_use]
    #[inline]
    pub const fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }
    /// Length of the vector.
    #[must_use]
    #[inline]
    pub fn norm(self) -> f64 {
        self.dot(self).sqrt()
    }
    /// The unit vector along it; `None` for the nil vector.
    #[must_use]
    pub fn unit(self) -> Option<Self> {
        let norm = self.norm();
        (norm > 0.0).then(|| self * (1.0 / norm))
    }
}

impl<F> Clone for Vec3<F> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<F> Copy for Vec3<F> {}
impl<F> PartialEq for Vec3<F> {
    fn eq(&self, other: &Self) -> bool {
        self.x == other.x && self.y == other.y && self.z == other.z
    }
}
impl<F> fmt::Debug for Vec3<F> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "({}, {}, {})", self.x, self.y, self.z)
    }
}
impl<F> Add for Vec3<F> {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }
}
impl<F> Sub for Vec3<F> {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.y - other.y, self.z - other.z)
    }
}
impl<F> Neg for Vec3<F> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::new(-self.x, -self.y, -self.z)
    }
}
impl<F> Mul<f64> for Vec3<F> {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor, self.z * factor)
    }
}

impl Vec3<Ned> {
    /// North component.
    #[must_use]
    pub const fn north(self) -> f64 {
        self.x
    }
    /// East component.
    #[must_use]
    pub const fn east(self) -> f64 {
        self.y
    }
    /// Down component.
    #[must_use]
    pub const fn down(self) -> f64 {
        self.z
    }
}

impl Vec3<Body> {
    /// Forward component.
    #[must_use]
    pub const fn forward(self) -> f64 {
        self.x
    }
    /// Right component.
    #[must_use]
    pub const fn right(self) -> f64 {
        self.y
    }
    /// Down component.
    #[must_use]
    pub const fn down(self) -> f64 {
        self.z
    }
}

/// Rotation that takes a vector written in `A` and gives the same vector written in `B`.
///
/// ```
/// use base::frames::{Attitude, Body, Ned, Vec3};
/// let level_north = Attitude { heading_rad: 0.0, pitch_rad: 0.0, bank_rad: 0.0 }.body_from_ned();
/// let up: Vec3<Body> = level_north.apply(Vec3::<Ned>::new(0.0, 0.0, -1.0));
/// assert!((up.down() + 1.0).abs() < 1e-15);
/// ```
///
/// Adding vectors of different frames does not compile:
/// ```compile_fail
/// use base::frames::{Body, Ned, Vec3};
/// let wrong = Vec3::<Ned>::ZERO + Vec3::<Body>::ZERO;
/// ```
pub struct Rot<A, B> {
    m: [[f64; 3]; 3],
    frames: PhantomData<(A, B)>,
}

impl<A, B> Clone for Rot<A, B> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<A, B> Copy for Rot<A, B> {}
impl<A, B> fmt::Debug for Rot<A, B> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:?}", self.m)
    }
}

impl<A, B> Rot<A, B> {
    /// From rows, each the unit vector of an axis of `B` written in `A`. The one unchecked constructor: search for it.
    #[must_use]
    #[inline]
    pub const fn from_rows_unchecked(rows: [[f64; 3]; 3]) -> Self {
        Self { m: rows, frames: PhantomData }
    }
    /// The same vector, written in `B`.
    #[must_use]
    #[inline]
    pub const fn apply(&self, v: Vec3<A>) -> Vec3<B> {
        let m = &self.m;
        Vec3::new(
            m[0][0] * v.x + m[0][1] * v.y + m[0][2] * v.z,
            m[1][0] * v.x + m[1][1] * v.y + m[1][2] * v.z,
            m[2][0] * v.x + m[2][1] * v.y + m[2][2] * v.z,
        )
    }
    /// The rows: each the unit vector of an axis of `B` written in `A`.
    #[must_use]
    pub const fn rows(&self) -> &[[f64; 3]; 3] {
        &self.m
    }
    /// The way back.
    #[must_use]
    #[inline]
    pub const fn inverse(&self) -> Rot<B, A> {
        let m = &self.m;
        Rot::from_rows_unchecked([
            [m[0][0], m[1][0], m[2][0]],
            [m[0][1], m[1][1], m[2][1]],
            [m[0][2], m[1][2], m[2][2]],
        ])
    }
    /// First this, then `next`.
    #[must_use]
    #[inline]
    pub fn then<C>(&self, next: &Rot<B, C>) -> Rot<A, C> {
        let mut rows = [[0.0; 3]; 3];
        for (row, next_row) in rows.iter_mut().zip(next.m.iter()) {
            for (column, value) in row.iter_mut().enumerate() {
                *value = (0..3).map(|k| next_row[k] * self.m[k][column]).sum();
            }
        }
        Rot::from_rows_unchecked(rows)
    }
}

/// Attitude of the airplane relative to the local level: 3-2-1 angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Attitude {
    /// Clockwise from true north.
    pub heading_rad: f64,
    /// Nose up positive.
    pub pitch_rad: f64,
    /// Right wing down positive.
    pub bank_rad: f64,
}

impl Attitude {
    /// Rotation from local level to body axes.
    #[must_use]
    pub fn body_from_ned(&self) -> Rot<Ned, Body> {
        Rot::from_rows_unchecked(rows_from_angles(self.heading_rad, self.pitch_rad, self.bank_rad))
    }
    /// The angles of a rotation from local level to body axes. At a pitch of 90 degrees heading and bank are not
    /// separable; bank is then reported as nil.
    #[must_use]
    pub fn from_rotation(body_from_ned: &Rot<Ned, Body>) -> Self {
        let m = &body_from_ned.m;
        let pitch_rad = asin((-m[0][2]).clamp(-1.0, 1.0));
        if m[0][2].abs() > 1.0 - 1e-12 {
            return Self { heading_rad: atan2(-m[1][0], m[1][1]), pitch_rad, bank_rad: 0.0 };
        }
        Self { heading_rad: atan2(m[0][1], m[0][0]), pitch_rad, bank_rad: atan2(m[1][2], m[2][2]) }
    }
    /// The attitude a share of the way from here to `next`, turning about one axis by the shortest way: right also where the
    /// angles jump, straight up and down.
    #[must_use]
    pub fn between(&self, next: &Self, share: f64) -> Self {
        let (from, to) = (self.body_from_ned(), next.body_from_ned());
        // The turn from the one body to the other, written in body axes: rows are the new axes in the old.
        let turn = from.inverse().then(&to).m;
        let cos_angle = (0.5 * (turn[0][0] + turn[1][1] + turn[2][2] - 1.0)).clamp(-1.0, 1.0);
        let twice = [turn[1][2] - turn[2][1], turn[2][0] - turn[0][2], turn[0][1] - turn[1][0]];
        let sin_angle =
            0.5 * (twice[0] * twice[0] + twice[1] * twice[1] + twice[2] * twice[2]).sqrt();
        // Without a turn, or with half a turn, there is no axis to be read: the nearer end.
        if sin_angle < 1e-9 {
            return if share < 0.5 { *self } else { *next };
        }
        let axis = twice.map(|component| 0.5 * component / sin_angle);
        let angle = share * atan2(sin_angle, cos_angle);
        let part = Rot::<Body, Body>::from_rows_unchecked(rows_about(axis, angle));
        Self::from_rotation(&from.then(&part))
    }
    /// Attitude of an airplane without sideslip from its path through the air.
    ///
    /// `course_rad` and `climb_rad` of the air-relative velocity, `lift_bank_rad` the bank of the lift about the
    /// velocity, `incidence_rad` the angle of attack.
    #[must_use]
    pub fn from_path(
        course_rad: f64,
        climb_rad: f64,
        lift_bank_rad: f64,
        incidence_rad: f64,
    ) -> Self {
        let path = Rot::<Ned, Path>::from_rows_unchecked(rows_from_angles(
            course_rad,
            climb_rad,
            lift_bank_rad,
        ));
        let (sin_a, cos_a) = (sin(incidence_rad), cos(incidence_rad));
        let body = Rot::<Path, Body>::from_rows_unchecked([
            [cos_a, 0.0, -sin_a],
            [0.0, 1.0, 0.0],
            [sin_a, 0.0, cos_a],
        ]);
        Self::from_rotation(&path.then(&body))
    }
}

/// Rows of axes turned by an angle about a unit axis, right-handed (Rodrigues).
fn rows_about(axis: [f64; 3], angle_rad: f64) -> [[f64; 3]; 3] {
    let (s, c) = (sin(angle_rad), cos(angle_rad));
    let [x, y, z] = axis;
    let v = 1.0 - c;
    [
        [c + x * x * v, x * y * v + z * s, x * z * v - y * s],
        [x * y * v - z * s, c + y * y * v, y * z * v + x * s],
        [x * z * v + y * s, y * z * v - x * s, c + z * z * v],
    ]
}

fn rows_from_angles(heading_rad: f64, pitch_rad: f64, bank_rad: f64) -> [[f64; 3]; 3] {
    let (sh, ch) = (sin(heading_rad), cos(heading_rad));
    let (sp, cp) = (sin(pitch_rad), cos(pitch_rad));
    let (sb, cb) = (sin(bank_rad), cos(bank_rad));
    [
        [cp * ch, cp * sh, -sp],
        [sb * sp * ch - cb * sh, sb * sp * sh + cb * ch, sb * cp],
        [cb * sp * ch + sb * sh, cb * sp * sh - sb * ch, cb * cp],
    ]
}
