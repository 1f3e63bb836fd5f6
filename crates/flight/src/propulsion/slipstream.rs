//! Momentum theory of the propeller disk: inflow, contracted slipstream, swirl.

use std::f64::consts::PI;

use base::numerics::root;

use super::Wash;

/// A disk with air going through it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disk {
    /// Airspeed ahead, along the shaft, m/s, nil or more.
    pub speed_mps: f64,
    /// Density, kg/m3.
    pub density_kgpm3: f64,
    /// Radius, m.
    pub radius_m: f64,
}

impl Disk {
    /// Area, m2.
    #[must_use]
    #[inline]
    pub fn area_m2(&self) -> f64 {
        PI * self.radius_m * self.radius_m
    }
    /// Rise of speed at the disk for a thrust, m/s: `T = 2 rho A (V + w) w`. For a braking propeller it is negative and held
    /// where momentum theory ends, at half the airspeed. Source: MOMENTUM.
    #[must_use]
    #[inline]
    pub fn inflow_mps(&self, thrust_n: f64) -> f64 {
        self.inflow_under_mps(thrust_n / (self.density_kgpm3 * self.area_m2()))
    }
    /// The same from the thrust over density and area, m2/s2.
    #[inline]
    fn inflow_under_mps(&self, load: f64) -> f64 {
        let v = self.speed_mps;
        0.5 * ((v * v + 2.0 * load).max(0.0).sqrt() - v)
    }
    /// Rise of speed at the disk for an ideal propeller of this power, m/s: `P = 2 rho A (V + w)^2 w`. Source: MOMENTUM.
    #[must_use]
    pub fn inflow_for_power_mps(&self, power_w: f64) -> f64 {
        let (v, scale) = (self.speed_mps, 2.0 * self.density_kgpm3 * self.area_m2());
        let excess = |w: f64| scale * (v + w) * (v + w) * w - power_w;
        let most = base::math::cbrt(power_w.max(0.0) / scale) + 1e-9;
        root::find(excess, 0.0, most, 1e-12).unwrap_or(0.0)
    }
    /// The slipstream far behind. `torque_nm` is that of the propeller on the air, in the sense of its rotation (`sense` 1
    /// clockwise seen from the cockpit); `straightened` the share of the swirl that wing and body take out.
    #[must_use]
    #[inline]
    pub fn wash(&self, thrust_n: f64, torque_nm: f64, sense: f64, straightened: f64) -> Wash {
        let per_density = 1.0 / self.density_kgpm3;
        let load = thrust_n * per_density / self.area_m2();
        let swirling = sense * (1.0 - straightened);
        self.wash_under(load, torque_nm * per_density * swirling)
    }
    /// The same from the thrust over density and area, m2/s2, and the torque over density, m5/s2, what is straightened gone.
    #[inline(always)]
    pub(super) fn wash_under(&self, load: f64, twist: f64) -> Wash {
        let w = self.inflow_under_mps(load);
        let (at_disk, behind) = (self.speed_mps + w, self.speed_mps + 2.0 * w);
        // Nothing blows away from a braking propeller at rest; the floor only keeps the ratio finite.
        let (through, away) = (at_disk.max(0.1), behind.max(0.1));
        let square_m2 = self.radius_m * self.radius_m;
        // Twice the torque over the stream and the square of its own radius; the two quotients do not wait for each other.
        let stream = (PI * square_m2 * square_m2) * behind.max(1.0);
        let swirl_radps = 2.0 * twist * (away * away) / (stream * (through * through));
        Wash {
            pressure_rise_pa: load * self.density_kgpm3,
            speed_rise_mps: 2.0 * w,
            radius_m: self.radius_m * (through / away).sqrt(),
            swirl_radps,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Disk;

    #[test]
    fn val_worked_row_of_momentum_theory() {
        // Closed form at standstill: w = (P / (2 rho A))^(1/3), T = (2 rho A P^2)^(1/3). Source: MOMENTUM.
        let disk = Disk { speed_mps: 0.0, density_kgpm3: 1.225, radius_m: 0.965 };
        let scale = 2.0 * 1.225 * disk.area_m2();
        let w = disk.inflow_for_power_mps(100_000.0);
        assert!((w - base::math::cbrt(100_000.0 / scale)).abs() < 1e-9);
        let thrust = scale * w * w;
        assert!((disk.inflow_mps(thrust) - w).abs() < 1e-9);
        assert!((thrust - base::math::cbrt(scale * 1e10)).abs() < 1e-6);
    }
}
