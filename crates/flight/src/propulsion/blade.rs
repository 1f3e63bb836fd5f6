//! Blade elements with momentum theory: thrust and power coefficients of a propeller from the shape of its blade.
//!
//! Each annulus is in balance: what the blade elements push is what the air gains, swirl included, with the loss of
//! few blades by Goldstein (see [`super::tip_loss`]). One unknown is left, the angle of the flow, found by bracketing, so that it converges for any advance ratio from
//! standstill to windmilling. Far into braking, momentum theory itself ends; the numbers there are an extrapolation.
//! Used when an airplane is loaded, to fill a [`super::chart::Chart`]; a step of a flight only reads the chart.
//!
//! Source: GLAUERT-1935; the equation in one unknown after NING-2014. Section data from memory, see [`SectionLaw`].

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use base::factors::RAD_PER_DEG;
use base::math::{atan, cos, exp, sin};
use base::numerics::interpolation::linear;
use base::numerics::root;

use super::tip_loss::{StationLoss, TipLoss};

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

impl BladeShape {
    /// Chord over diameter at a station; beyond the last one given the tip is rounded as an ellipse, to nothing at the radius.
    #[must_use]
    pub fn chord_at(&self, station: f64) -> f64 {
        let chord = linear(&self.station, &self.chord, station).max(0.0);
        let Some((&last, &at_last)) = self.station.last().zip(self.chord.last()) else {
            return chord;
        };
        if station <= last {
            return chord;
        }
        let out = ((station - last) / (1.0 - last)).min(1.0);
        at_last * (1.0 - out * out).sqrt()
    }
}

/// Lift and drag of a blade section by its thickness: Clark Y cut to thickness, angles from the flat face.
///
/// # Source
/// From memory of NACA reports on the Clark Y family: nil lift 46 degrees times thickness below the flat face (5.4 at 11.7 %),
/// the chord line 17 degrees times thickness above it, least drag 0.007 + 0.03 thickness, greatest lift by thickness. Slope
/// 0.094 per degree at rest: a little less than sections show by themselves (0.1), chosen while looking at NACA-640, as was how
/// gently the stall comes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SectionLaw {
    /// Angle of nil lift over thickness, rad, counted positive below the flat face.
    pub nil_lift_rad_per_thickness: f64,
    /// Angle of the chord line over thickness, rad, counted positive above the flat face.
    pub chord_rad_per_thickness: f64,
    /// Slope of lift in slow air, 1/rad.
    pub slope_per_rad: f64,
    /// Greatest lift coefficient by thickness: pairs, thickness rising.
    pub lift_max: [(f64, f64); 10],
}

impl SectionLaw {
    /// Clark Y cut to thickness.
    pub const CLARK_Y: Self = Self {
        nil_lift_rad_per_thickness: 46.0 * RAD_PER_DEG,
        chord_rad_per_thickness: 17.0 * RAD_PER_DEG,
        slope_per_rad: 5.4,
        lift_max: [
            (0.05, 0.95),
            (0.06, 1.05),
            (0.08, 1.25),
            (0.09, 1.33),
            (0.10, 1.40),
            (0.117, 1.50),
            (0.15, 1.55),
            (0.20, 1.40),
            (0.30, 1.00),
            (0.50, 0.60),
        ],
    };

    /// A section of some thickness at a Mach number. `held`: share of the lift lost in the stall that rotation gives back, nil for
    /// a wing (see [`rotation_holds`]).
    #[must_use]
    pub fn section(&self, thickness: f64, mach: f64, held: f64) -> Section {
        let (thicknesses, greatest): (Vec<f64>, Vec<f64>) = self.lift_max.iter().copied().unzip();
        let within = thickness.clamp(thicknesses[0], thicknesses[9]);
        // Prandtl and Glauert's rule; near the speed of sound it ends, and is held.
        let fast = mach.clamp(0.0, 0.7);
        Section {
            nil_lift_rad: -self.nil_lift_rad_per_thickness * thickness,
            chord_rad: self.chord_rad_per_thickness * thickness,
            slope_per_rad: self.slope_per_rad / (1.0 - fast * fast).sqrt(),
            lift_max: linear(&thicknesses, &greatest, within),
            drag_least: 0.007 + 0.03 * thickness,
            held,
        }
    }
}

/// Share of the lift lost in the stall that rotation gives back: `3.1 (c / r)^2` for a blade that turns in place, less where it
/// also moves along: chord over radius, and the speed of turning over the whole speed.
///
/// # Source
/// SNEL-1993, with the share of the speeds after LINDENBURG-2004; from memory.
#[must_use]
pub fn rotation_holds(chord_over_radius: f64, turning_share: f64) -> f64 {
    (3.1 * chord_over_radius * chord_over_radius * turning_share * turning_share).min(1.0)
}

/// One section, ready to be asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    nil_lift_rad: f64,
    chord_rad: f64,
    slope_per_rad: f64,
    lift_max: f64,
    drag_least: f64,
    held: f64,
}

/// The flow leaves the section over some degrees behind the greatest lift: half of it here, and how fast.
const STALL_RAD: f64 = 3.0 * RAD_PER_DEG;
/// Stalled upside down at this share of the greatest lift.
const INVERTED: f64 = 0.7;
/// Normal force of a plate across the flow: HOERNER-1965.
const PLATE: f64 = 1.98;

impl Section {
    /// Lift and drag coefficient at an angle from the flat face, rad.
    #[must_use]
    pub fn lift_and_drag(&self, angle_rad: f64) -> (f64, f64) {
        let from_nil_rad = angle_rad - self.nil_lift_rad;
        let linear = self.slope_per_rad * from_nil_rad;
        let most = if from_nil_rad < 0.0 { INVERTED * self.lift_max } else { self.lift_max };
        let bent = linear - 0.35;
        let attached =
            (linear.clamp(-most, most), (self.drag_least + 0.008 * bent * bent).min(0.3));
        let behind_rad = from_nil_rad.abs() - most / self.slope_per_rad - STALL_RAD;
        let spread = -2.0 * behind_rad / STALL_RAD;
        if spread > 14.0 {
            return attached;
        }
        let share = 1.0 / (1.0 + exp(spread));
        let (lift, drag) = self.separated(angle_rad + self.chord_rad, from_nil_rad);
        (attached.0 + share * (lift - attached.0), attached.1 + share * (drag - attached.1))
    }

    /// Without suction at the nose all force is normal to the chord: at small angles that of potential flow, across the flow that
    /// of a plate, their reciprocals mixed between; and what rotation gives back.
    fn separated(&self, chord_rad: f64, from_nil_rad: f64) -> (f64, f64) {
        let (s, c) = (sin(from_nil_rad), cos(from_nil_rad));
        let plate = s / (1.0 / TAU + (1.0 / PLATE - 1.0 / TAU) * s.abs());
        let normal = plate + self.held * (TAU * s * c * c - plate);
        (normal * cos(chord_rad), self.drag_least + normal * sin(chord_rad))
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
    /// Mach number of the tip's turning; nil for slow air.
    pub tip_mach: f64,
}

const ANNULI: usize = 24;

impl BladeElements {
    /// Made ready: what does not hang on the state of flight is worked out once.
    #[must_use]
    pub fn rotor(&self) -> Rotor {
        let loss = TipLoss::new(self.blades);
        // Midpoints in the angle of a circle: dense at the tip, where the load falls to nothing.
        let edge = |k: usize| {
            let share = k as f64 / ANNULI as f64;
            self.hub + (1.0 - self.hub) * sin(FRAC_PI_2 * share)
        };
        let annuli = (0..ANNULI).map(|i| self.annulus(edge(i), edge(i + 1), &loss)).collect();
        Rotor { annuli, section: self.section, blades: self.blades, tip_mach: self.tip_mach }
    }

    fn annulus(&self, inner: f64, outer: f64, loss: &TipLoss) -> Annulus {
        let shape = &self.shape;
        let station = 0.5 * (inner + outer);
        Annulus {
            station,
            width: outer - inner,
            chord: shape.chord_at(station),
            twist_rad: linear(&shape.station, &shape.twist_rad, station),
            thickness: linear(&shape.station, &shape.thickness, station).clamp(0.03, 0.5),
            loss: loss.at(station),
        }
    }

    /// Coefficients at one advance ratio and blade angle: see [`Rotor::coefficients`], which is far faster for many.
    #[must_use]
    pub fn coefficients(&self, advance: f64, angle_rad: f64) -> Coefficients {
        self.rotor().coefficients(advance, angle_rad)
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
        Self { shape, section: SectionLaw::CLARK_Y, blades, hub: 0.15, tip_mach: 0.0 }
    }
}

/// A ring of the disk.
#[derive(Debug, Clone, PartialEq)]
struct Annulus {
    station: f64,
    width: f64,
    /// Over the diameter.
    chord: f64,
    twist_rad: f64,
    thickness: f64,
    loss: StationLoss,
}

/// A propeller as blades, ready to be asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Rotor {
    annuli: Vec<Annulus>,
    section: SectionLaw,
    blades: f64,
    tip_mach: f64,
}

impl Rotor {
    /// Coefficients at an advance ratio `J = V / (n D)`, nil or more, and a blade angle at 0.75 of the radius, rad.
    ///
    /// # Range
    /// From standstill to windmilling; an annulus without a balance (deep braking) adds nothing.
    #[must_use]
    pub fn coefficients(&self, advance: f64, angle_rad: f64) -> Coefficients {
        let mut sum = Coefficients::default();
        for annulus in &self.annuli {
            let Some((thrust, torque)) = self.loads(annulus, advance, angle_rad) else {
                continue;
            };
            sum.thrust += thrust * annulus.width;
            sum.power += torque * annulus.width;
        }
        sum
    }

    /// Thrust and power coefficient per unit of station.
    fn loads(&self, annulus: &Annulus, advance: f64, angle_rad: f64) -> Option<(f64, f64)> {
        let face_rad = angle_rad + annulus.twist_rad;
        // Speeds in units of n D: along V, around pi r / R.
        let (along, around) = (advance, PI * annulus.station);
        let whole = (along * along + around * around).sqrt();
        let held = rotation_holds(2.0 * annulus.chord / annulus.station, around / whole);
        let section = self.section.section(annulus.thickness, self.tip_mach * whole / PI, held);
        let solidity = self.blades * annulus.chord / (PI * annulus.station);
        // Loads along the shaft and around it, and how much they weigh against the flow: sine and cosine of its angle first.
        let at = |flow_rad: f64| {
            let (lift, drag) = section.lift_and_drag(face_rad - flow_rad);
            let (s, c) = (sin(flow_rad), cos(flow_rad));
            let (normal, tangent) = (lift * c - drag * s, lift * s + drag * c);
            (s, c, normal, tangent, solidity / (4.0 * annulus.loss.factor(s, c)))
        };
        // s (1 - a) = V / U c (1 + a'), gains a = w n / s^2 and a' = w t / (s c), times s: smooth down to nil.
        let balance = |flow_rad: f64| {
            let (s, c, normal, tangent, weight) = at(flow_rad);
            s * s - weight * normal - along / around * (s * c + weight * tangent)
        };
        let flow_rad = root::find(balance, 1e-4, FRAC_PI_2 - 1e-4, 1e-10).ok()?;
        let (s, c, normal, tangent, weight) = at(flow_rad);
        // Speed at the element from the swirl: around less what the air already turns.
        let speed = around / (1.0 + weight * tangent / (s * c)) / c;
        // dT = rho/2 W^2 B c normal dr with lengths over D: station is r/R, so dr = D/2 dstation.
        let pressure = 0.25 * speed * speed * self.blades * annulus.chord;
        Some((pressure * normal, pressure * tangent * around))
    }
}

#[cfg(test)]
mod tests {
    use super::{BladeElements, RAD_PER_DEG};

    #[test]
    fn a_section_reaches_its_greatest_lift() {
        let section = super::SectionLaw::CLARK_Y.section(0.09, 0.0, 0.0);
        let lifts = (0..400).map(|i| section.lift_and_drag(f64::from(i) * 0.1 * RAD_PER_DEG).0);
        let greatest = lifts.fold(f64::MIN, f64::max);
        assert!((greatest - 1.33).abs() < 0.06, "{greatest}");
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
