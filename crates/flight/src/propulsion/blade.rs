//! Blade elements with momentum theory: thrust and power coefficients of a propeller from the shape of its blade.
//!
//! Each annulus is in balance: what the blade elements push is what the air gains, swirl included, with Prandtl's loss at the
//! tip. One unknown is left, the angle of the flow, found by bracketing, so that it converges for any advance ratio from
//! standstill to windmilling. Far into braking, momentum theory itself ends; the numbers there are an extrapolation.
//! Used when an airplane is loaded, to fill a [`super::chart::Chart`]; a step of a flight only reads the chart.
//!
//! Source: GLAUERT-1935; the equation in one unknown after NING-2014. Section data from memory, see [`SectionLaw`].

use std::f64::consts::{FRAC_PI_2, PI};

use base::factors::RAD_PER_DEG;
use base::math::{acos, atan, cos, exp, sin};
use base::numerics::interpolation::linear;
use base::numerics::root;

/// Shape of a blade, at rising stations.
#[derive(Debug, Clone, PartialEq)]
pub struct BladeShape {
    /// Radius of the station over that of the tip, rising, within 0 to 1.
    pub station: Vec<f64>,
    /// Chord over diameter there.
    pub chord: Vec<f64>,
    /// Angle of the section's flat face there less that at 0.75 of the radius, rad.
    pub twist_rad: Vec<f64>,
    /// Thickness over chord there.
    pub thickness: Vec<f64>,
}

/// Lift and drag of a blade section by its thickness: Clark Y cut to thickness, angles from the flat face.
///
/// # Source
/// From memory of NACA reports on the Clark Y family: nil lift 46 degrees times thickness below the flat face (5.4 at 11.7 %),
/// slope 0.1 per degree, least drag 0.007 + 0.03 thickness. Greatest lift 1.7: that of the section, 1.55, and a little more,
/// because rotation delays the stall of a blade.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionLaw {
    /// Angle of nil lift over thickness, rad, counted positive below the flat face.
    pub nil_lift_rad_per_thickness: f64,
    /// Slope of lift, 1/rad.
    pub slope_per_rad: f64,
    /// Greatest lift coefficient.
    pub lift_max: f64,
}

impl SectionLaw {
    /// Clark Y cut to thickness.
    pub const CLARK_Y: Self =
        Self { nil_lift_rad_per_thickness: 46.0 * RAD_PER_DEG, slope_per_rad: 5.73, lift_max: 1.7 };

    /// Lift and drag coefficient at an angle from the flat face, rad.
    #[must_use]
    pub fn lift_and_drag(&self, angle_rad: f64, thickness: f64) -> (f64, f64) {
        let from_nil_rad = angle_rad + self.nil_lift_rad_per_thickness * thickness;
        let linear = self.slope_per_rad * from_nil_rad;
        // Up to the stall linear; behind it a plate: 2 sin cos, drag 2 sin squared, blended over some degrees behind the stall,
        // so that the greatest lift is reached.
        let stall_rad = self.lift_max / self.slope_per_rad;
        let behind_rad = from_nil_rad.abs() - stall_rad - 5.0 * RAD_PER_DEG;
        let beyond = behind_rad / (3.0 * RAD_PER_DEG);
        let separated = 1.0 / (1.0 + exp(-2.0 * beyond));
        let plate = 2.0 * sin(from_nil_rad) * cos(from_nil_rad);
        let lift =
            (1.0 - separated) * linear.clamp(-self.lift_max, self.lift_max) + separated * plate;
        let least = 0.007 + 0.03 * thickness;
        let attached = least + 0.008 * (linear - 0.35).clamp(-2.0, 2.0) * (linear - 0.35);
        let across = 2.0 * sin(from_nil_rad) * sin(from_nil_rad);
        (lift, (1.0 - separated) * attached.min(0.5) + separated * (least + across))
    }
}

/// Thrust and power coefficients: `CT = T / (rho n^2 D^4)`, `CP = P / (rho n^3 D^5)`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Coefficients {
    /// Thrust coefficient.
    pub thrust: f64,
    /// Power coefficient.
    pub power: f64,
}

/// A propeller as blades.
#[derive(Debug, Clone, PartialEq)]
pub struct BladeElements {
    /// Shape of one blade.
    pub shape: BladeShape,
    /// Its sections.
    pub section: SectionLaw,
    /// How many.
    pub blades: f64,
    /// Where the hub ends, as a share of the radius.
    pub hub: f64,
}

const ANNULI: usize = 24;

impl BladeElements {
    /// Coefficients at an advance ratio `J = V / (n D)`, nil or more, and a blade angle at 0.75 of the radius, rad.
    ///
    /// # Range
    /// From standstill to windmilling; an annulus without a balance (deep braking) adds nothing.
    #[must_use]
    pub fn coefficients(&self, advance: f64, angle_rad: f64) -> Coefficients {
        // Midpoints in the angle of a circle: dense at the tip, where the load falls to nothing.
        let mut sum = Coefficients::default();
        for i in 0..ANNULI {
            let edge = |k: usize| {
                let share = k as f64 / ANNULI as f64;
                self.hub + (1.0 - self.hub) * sin(FRAC_PI_2 * share)
            };
            let (inner, outer) = (edge(i), edge(i + 1));
            let station = 0.5 * (inner + outer);
            let width = outer - inner;
            let Some((thrust, torque)) = self.annulus(station, advance, angle_rad) else {
                continue;
            };
            sum.thrust += thrust * width;
            sum.power += torque * width;
        }
        sum
    }

    /// Thrust and power coefficient per unit of station.
    fn annulus(&self, station: f64, advance: f64, angle_rad: f64) -> Option<(f64, f64)> {
        let shape = &self.shape;
        let chord = linear(&shape.station, &shape.chord, station).max(0.0);
        let twist_rad = linear(&shape.station, &shape.twist_rad, station);
        let thickness = linear(&shape.station, &shape.thickness, station).clamp(0.03, 0.5);
        let face_rad = angle_rad + twist_rad;
        // Speeds in units of n D: along V, around pi r / R.
        let (along, around) = (advance, PI * station);
        let solidity = self.blades * chord / (PI * station);
        let loads = |flow_rad: f64| {
            let (lift, drag) = self.section.lift_and_drag(face_rad - flow_rad, thickness);
            let (s, c) = (sin(flow_rad), cos(flow_rad));
            (lift * c - drag * s, lift * s + drag * c)
        };
        let loss = |flow_rad: f64| {
            let reach = 0.5 * self.blades * (1.0 - station) / (station * sin(flow_rad).max(1e-6));
            (2.0 / PI * acos(exp(-reach).min(1.0))).max(1e-4)
        };
        let gains = |flow_rad: f64| {
            let (normal, tangent) = loads(flow_rad);
            let (s, c, f) = (sin(flow_rad), cos(flow_rad), loss(flow_rad));
            (solidity * normal / (4.0 * f * s * s), solidity * tangent / (4.0 * f * s * c))
        };
        let balance = |flow_rad: f64| {
            let (axial, swirl) = gains(flow_rad);
            sin(flow_rad) * (1.0 - axial) - along / around * cos(flow_rad) * (1.0 + swirl)
        };
        let flow_rad = root::find(balance, 1e-4, FRAC_PI_2 - 1e-4, 1e-10).ok()?;
        let (normal, tangent) = loads(flow_rad);
        // Speed at the element from the swirl: around less what the air already turns.
        let (_, swirl) = gains(flow_rad);
        let speed_around = around / (1.0 + swirl);
        let speed = speed_around / cos(flow_rad);
        // dT = rho/2 W^2 B c normal dr with lengths over D: station is r/R, so dr = D/2 dstation.
        let pressure = 0.25 * speed * speed * self.blades * chord;
        Some((pressure * normal, pressure * tangent * around))
    }

    /// A blade of usual form, of which only the chord at 0.75 of the radius over the diameter is known: common practice, no
    /// source.
    #[must_use]
    pub fn usual(blades: f64, chord_over_diameter: f64, pitch_over_diameter: f64) -> Self {
        let station: Vec<f64> = vec![0.15, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.9, 0.95, 1.0];
        let form = [0.55, 0.7, 0.95, 1.08, 1.12, 1.12, 1.05, 1.0, 0.93, 0.75, 0.6, 0.35];
        let thickness =
            vec![0.4, 0.32, 0.2, 0.145, 0.12, 0.105, 0.093, 0.09, 0.086, 0.08, 0.078, 0.075];
        let helix = |s: f64| atan(pitch_over_diameter / (PI * s));
        let twist_rad = station.iter().map(|s: &f64| helix(s.max(0.2)) - helix(0.75)).collect();
        let chord = form.iter().map(|share| share * chord_over_diameter).collect();
        let shape = BladeShape { station, chord, twist_rad, thickness };
        Self { shape, section: SectionLaw::CLARK_Y, blades, hub: 0.15 }
    }
}

#[cfg(test)]
mod tests {
    use super::{BladeElements, RAD_PER_DEG};

    #[test]
    fn a_section_reaches_its_greatest_lift() {
        let law = super::SectionLaw::CLARK_Y;
        let lifts = (0..400).map(|i| law.lift_and_drag(f64::from(i) * 0.1 * RAD_PER_DEG, 0.09).0);
        let greatest = lifts.fold(f64::MIN, f64::max);
        assert!((greatest - law.lift_max).abs() < 0.06, "{greatest}");
    }

    #[test]
    fn prop_a_propeller_never_beats_momentum_theory() {
        let propeller = BladeElements::usual(2.0, 0.062, 0.6);
        for i in 1..14 {
            let advance = 0.08 * f64::from(i);
            let found = propeller.coefficients(advance, 20.0 * RAD_PER_DEG);
            if found.thrust < 0.0 {
                continue;
            }
            // Ideal: CP = CT (J + w), w = (-J + sqrt(J^2 + 8 CT / pi)) / 2.
            let inflow = 0.5
                * (-advance
                    + (advance * advance + 8.0 * found.thrust / std::f64::consts::PI).sqrt());
            assert!(found.power > found.thrust * (advance + inflow), "{advance} {found:?}");
        }
        let standing = propeller.coefficients(0.0, 20.0 * RAD_PER_DEG);
        assert!((0.05..0.2).contains(&standing.thrust), "{standing:?}");
        let diving = propeller.coefficients(1.4, 20.0 * RAD_PER_DEG);
        assert!(diving.thrust < 0.0 && diving.power < 0.0, "{diving:?}");
    }
}
