//! Mass and its distribution.

use base::frames::{Body, Vec3};

/// Moments and product of inertia about the center of gravity in body axes, kg m2; symmetric about the plane of symmetry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Inertia {
    /// About the forward axis.
    pub xx: f64,
    /// About the right axis.
    pub yy: f64,
    /// About the down axis.
    pub zz: f64,
    /// Product `sum(m x z)`: positive when the mass ahead lies low.
    pub xz: f64,
}

/// Mass properties of a rigid body, checked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MassProperties {
    mass_kg: f64,
    per_kg: f64,
    inertia: Inertia,
    per_determinant: f64,
    per_yy: f64,
}

/// Mass properties that no body has.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MassError {
    /// Mass not above zero.
    #[error("the mass {mass_kg} kg is not above zero")]
    Mass {
        /// As given.
        mass_kg: f64,
    },
    /// A moment of inertia not above zero, or a product too large for the moments.
    #[error("the inertia {inertia:?} is not positive definite")]
    NotPositive {
        /// As given.
        inertia: Inertia,
    },
    /// One principal moment exceeds the sum of the others: no distribution of mass has that.
    #[error("one principal moment of the inertia {inertia:?} exceeds the sum of the two others")]
    Triangle {
        /// As given.
        inertia: Inertia,
    },
}

impl MassError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        "check the figures and their units: each moment must be above zero and at most the sum of the two others"
    }
}

impl MassProperties {
    /// Checked mass properties.
    ///
    /// # Errors
    /// What no body can have: a mass or moment not above zero, or moments that break the triangle rule.
    pub fn new(mass_kg: f64, inertia: Inertia) -> Result<Self, MassError> {
        if !(mass_kg > 0.0 && mass_kg.is_finite()) {
            return Err(MassError::Mass { mass_kg });
        }
        let Inertia { xx, yy, zz, xz } = inertia;
        let determinant = xx * zz - xz * xz;
        let finite = determinant.is_finite() && yy.is_finite();
        if !(finite && xx > 0.0 && yy > 0.0 && zz > 0.0 && determinant > 0.0) {
            return Err(MassError::NotPositive { inertia });
        }
        // Principal moments in the plane of symmetry; a hair of rounding is allowed for flat bodies.
        let middle = 0.5 * (xx + zz);
        let spread = (0.25 * (xx - zz) * (xx - zz) + xz * xz).sqrt();
        let (least, most) = (middle - spread, middle + spread);
        let slack = 1.0 + 1e-12;
        if most > (least + yy) * slack || yy > (least + most) * slack {
            return Err(MassError::Triangle { inertia });
        }
        Ok(Self {
            mass_kg,
            per_kg: 1.0 / mass_kg,
            inertia,
            per_determinant: 1.0 / determinant,
            per_yy: 1.0 / yy,
        })
    }
    /// Mass, kg.
    #[must_use]
    pub const fn mass_kg(&self) -> f64 {
        self.mass_kg
    }
    /// One over the mass, 1/kg.
    #[must_use]
    #[inline]
    pub const fn per_kg(&self) -> f64 {
        self.per_kg
    }
    /// The inertia.
    #[must_use]
    pub const fn inertia(&self) -> Inertia {
        self.inertia
    }
    /// Angular momentum of the body at these rates, kg m2/s.
    #[must_use]
    #[inline]
    pub fn angular_momentum(&self, rates_radps: Vec3<Body>) -> Vec3<Body> {
        let Inertia { xx, yy, zz, xz } = self.inertia;
        let Vec3 { x: p, y: q, z: r, .. } = rates_radps;
        Vec3::new(xx * p - xz * r, yy * q, zz * r - xz * p)
    }
    /// Angular acceleration, rad/s2, from a moment about the center of gravity, N m, at these rates, rad/s: Euler's equation.
    #[must_use]
    #[inline]
    pub fn angular_acceleration(
        &self,
        moment_nm: Vec3<Body>,
        rates_radps: Vec3<Body>,
    ) -> Vec3<Body> {
        let net = moment_nm - rates_radps.cross(self.angular_momentum(rates_radps));
        let Inertia { xx, zz, xz, .. } = self.inertia;
        Vec3::new(
            (zz * net.x + xz * net.z) * self.per_determinant,
            net.y * self.per_yy,
            (xz * net.x + xx * net.z) * self.per_determinant,
        )
    }
}

#[cfg(test)]
mod tests {
    use super::{Inertia, MassError, MassProperties, Vec3};

    #[test]
    fn impossible_bodies_are_refused() {
        let good = Inertia { xx: 1000.0, yy: 2000.0, zz: 2900.0, xz: 50.0 };
        assert!(MassProperties::new(900.0, good).is_ok());
        assert!(matches!(MassProperties::new(0.0, good), Err(MassError::Mass { .. })));
        let thin = Inertia { xz: 2000.0, ..good };
        assert!(matches!(MassProperties::new(900.0, thin), Err(MassError::NotPositive { .. })));
        let long = Inertia { zz: 3100.0, ..good };
        assert!(matches!(MassProperties::new(900.0, long), Err(MassError::Triangle { .. })));
        let nan = Inertia { xx: f64::NAN, ..good };
        assert!(matches!(MassProperties::new(900.0, nan), Err(MassError::NotPositive { .. })));
    }

    #[test]
    fn the_acceleration_gives_back_the_moment() {
        let inertia = Inertia { xx: 1000.0, yy: 2000.0, zz: 2900.0, xz: 50.0 };
        let body = MassProperties::new(900.0, inertia).unwrap();
        let rates = Vec3::new(0.3, -0.2, 0.5);
        let moment = Vec3::new(10.0, -20.0, 30.0);
        let turned = body.angular_momentum(body.angular_acceleration(moment, rates))
            + rates.cross(body.angular_momentum(rates));
        assert!((turned - moment).norm() < 1e-11);
    }
}
