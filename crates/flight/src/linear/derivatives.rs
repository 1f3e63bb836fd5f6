//! The textbook's closed form: small-disturbance matrices of straight flight from derivatives, in stability axes.
//!
//! Any consistent units: SI, or feet, slugs and seconds. Source: NELSON-1998, sections 3.5 to 3.7, 4.4 and 5.4 (equations
//! and tables as used in the check data; tables 3.5 and 3.6 from memory).

use base::math::{cos, sin};

use super::Coordinate;

/// Order of the rows and columns of [`Longitudinal::matrix`].
pub const LONGITUDINAL: [Coordinate; 4] = super::LONGITUDINAL_BODY;
/// Order of the rows and columns of [`Lateral::matrix`].
pub const LATERAL: [Coordinate; 4] =
    [Coordinate::Sideslip, Coordinate::RollRate, Coordinate::YawRate, Coordinate::Bank];

/// A flight and an airplane, as derivatives refer to them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flight {
    /// Speed.
    pub speed: f64,
    /// Half density times speed squared.
    pub dynamic_pressure: f64,
    /// Gravity.
    pub gravity: f64,
    /// Climb angle, rad.
    pub climb_rad: f64,
    /// Mass.
    pub mass: f64,
    /// Wing area.
    pub area: f64,
    /// Mean chord.
    pub chord: f64,
    /// Span.
    pub span: f64,
    /// Moments of inertia about the stability axes: roll, pitch, yaw, and the product.
    pub inertia: [f64; 4],
}

/// Longitudinal coefficients and their derivatives, per radian; rates as `rate chord / 2 speed`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LongitudinalCoefficients {
    /// Lift.
    pub cl: f64,
    /// Drag.
    pub cd: f64,
    /// Lift by speed (`V dCL/dV`).
    pub cl_u: f64,
    /// Drag (less thrust) by speed.
    pub cd_u: f64,
    /// Moment by speed.
    pub cm_u: f64,
    /// Lift by incidence.
    pub cl_alpha: f64,
    /// Drag by incidence.
    pub cd_alpha: f64,
    /// Moment by incidence.
    pub cm_alpha: f64,
    /// Lift by rate of incidence.
    pub cl_alpha_rate: f64,
    /// Moment by rate of incidence.
    pub cm_alpha_rate: f64,
    /// Lift by pitch rate.
    pub cl_q: f64,
    /// Moment by pitch rate.
    pub cm_q: f64,
}

/// Longitudinal dimensional derivatives: forces over mass, moments over moment of inertia.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Longitudinal {
    /// Speed of the flight.
    pub speed: f64,
    /// Gravity.
    pub gravity: f64,
    /// Climb angle, rad.
    pub climb_rad: f64,
    /// Forward force by forward speed.
    pub x_u: f64,
    /// Forward force by downward speed.
    pub x_w: f64,
    /// Downward force by forward speed.
    pub z_u: f64,
    /// Downward force by downward speed.
    pub z_w: f64,
    /// Downward force by the rate of downward speed.
    pub z_w_rate: f64,
    /// Downward force by pitch rate.
    pub z_q: f64,
    /// Pitching moment by forward speed.
    pub m_u: f64,
    /// Pitching moment by downward speed.
    pub m_w: f64,
    /// Pitching moment by the rate of downward speed.
    pub m_w_rate: f64,
    /// Pitching moment by pitch rate.
    pub m_q: f64,
}

impl Longitudinal {
    /// From coefficients.
    #[must_use]
    pub fn new(flight: &Flight, c: &LongitudinalCoefficients) -> Self {
        let Flight { speed, dynamic_pressure, mass, area, chord, .. } = *flight;
        let force = dynamic_pressure * area / (mass * speed);
        let moment = dynamic_pressure * area * chord / (flight.inertia[1] * speed);
        let lag = chord / (2.0 * speed);
        Self {
            speed,
            gravity: flight.gravity,
            climb_rad: flight.climb_rad,
            x_u: -(c.cd_u + 2.0 * c.cd) * force,
            x_w: -(c.cd_alpha - c.cl) * force,
            z_u: -(c.cl_u + 2.0 * c.cl) * force,
            z_w: -(c.cl_alpha + c.cd) * force,
            z_w_rate: -c.cl_alpha_rate * lag * force,
            z_q: -c.cl_q * lag * force * speed,
            m_u: c.cm_u * moment,
            m_w: c.cm_alpha * moment,
            m_w_rate: c.cm_alpha_rate * lag * moment,
            m_q: c.cm_q * lag * moment * speed,
        }
    }

    /// The matrix of forward speed, downward speed, pitch rate and pitch. The book drops `z_w_rate` and `z_q`; here they
    /// count when they are given.
    #[must_use]
    pub fn matrix(&self) -> [[f64; 4]; 4] {
        let (s, c) = (sin(self.climb_rad) * self.gravity, cos(self.climb_rad) * self.gravity);
        let slower = 1.0 / (1.0 - self.z_w_rate);
        let z = [self.z_u, self.z_w, self.speed + self.z_q, -s].map(|value| value * slower);
        let m = [self.m_u, self.m_w, self.m_q, 0.0];
        [
            [self.x_u, self.x_w, 0.0, -c],
            z,
            std::array::from_fn(|j| m[j] + self.m_w_rate * z[j]),
            [0.0, 0.0, 1.0, 0.0],
        ]
    }
}

/// Lateral derivatives of coefficients, per radian; rates as `rate span / 2 speed`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct LateralCoefficients {
    /// Side force by sideslip, roll rate, yaw rate.
    pub side: [f64; 3],
    /// Rolling moment by the same.
    pub roll: [f64; 3],
    /// Yawing moment by the same.
    pub yaw: [f64; 3],
}

/// Lateral dimensional derivatives: forces over mass, moments over their moment of inertia; by sideslip, roll rate, yaw rate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Lateral {
    /// Speed of the flight.
    pub speed: f64,
    /// Gravity.
    pub gravity: f64,
    /// Climb angle, rad.
    pub climb_rad: f64,
    /// Side force.
    pub y: [f64; 3],
    /// Rolling moment.
    pub l: [f64; 3],
    /// Yawing moment.
    pub n: [f64; 3],
    /// Product of inertia over the moment in roll, and in yaw.
    pub product: [f64; 2],
}

impl Lateral {
    /// From coefficients.
    #[must_use]
    pub fn new(flight: &Flight, c: &LateralCoefficients) -> Self {
        let Flight { speed, dynamic_pressure, mass, area, span, .. } = *flight;
        let [xx, _, zz, xz] = flight.inertia;
        let lag = span / (2.0 * speed);
        let per = |[beta, p, r]: [f64; 3], size: f64| [beta * size, p * lag * size, r * lag * size];
        let force = dynamic_pressure * area;
        Self {
            speed,
            gravity: flight.gravity,
            climb_rad: flight.climb_rad,
            y: per(c.side, force / mass),
            l: per(c.roll, force * span / xx),
            n: per(c.yaw, force * span / zz),
            product: [xz / xx, xz / zz],
        }
    }

    /// The matrix of sideslip, roll rate, yaw rate and bank.
    #[must_use]
    pub fn matrix(&self) -> [[f64; 4]; 4] {
        let (y, v) = (self.y, self.speed);
        let [of_roll, of_yaw] = self.product;
        let shared = 1.0 / (1.0 - of_roll * of_yaw);
        let roll = |i: usize| (self.l[i] + of_roll * self.n[i]) * shared;
        let yaw = |i: usize| (self.n[i] + of_yaw * self.l[i]) * shared;
        let climb = base::math::tan(self.climb_rad);
        [
            [y[0] / v, y[1] / v, y[2] / v - 1.0, self.gravity * cos(self.climb_rad) / v],
            [roll(0), roll(1), roll(2), 0.0],
            [yaw(0), yaw(1), yaw(2), 0.0],
            [0.0, 1.0, climb, 0.0],
        ]
    }
}
