//! How far the figures of an airplane file may be off, together: the doubt of a fit, carried so that what is computed can have bands.

use base::kinds::{CalibratedAirspeed, TrueAirspeed};
use base::math::exp;
use base::typed_toml::Section;
use base::units::{Area, Power};

use super::stated::PowerOnStall;
use super::{Airplane, PropellerPitch, Thrust};

/// Figures that may be in doubt, by their keys in an airplane file.
pub const FIGURES: [&str; 11] = [
    "drag_zero_lift",
    "drag_induced",
    "efficiency_of_ideal",
    "power_max",
    "propeller_drag_area",
    "static_power_share",
    "full_power_at",
    "slipstream_share",
    "efficiency_bend",
    "efficiency_best_at",
    "lift_max",
];

/// The doubt of the figures: independent directions, each of one standard deviation.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// Places in [`FIGURES`] of the figures in doubt.
    pub figures: Vec<usize>,
    /// Lower triangle of the root of the covariance of their logarithms, row by row: rows are figures, columns directions.
    pub root: Vec<f64>,
}

/// No figure is in more doubt than this, one standard deviation of its logarithm.
const MOST: f64 = 2.0;

impl Doubt {
    /// Number of independent directions.
    #[must_use]
    pub fn directions(&self) -> usize {
        self.figures.len()
    }
    /// Shift of the logarithm of a figure along a direction, for one standard deviation.
    fn shift(&self, figure: usize, direction: usize) -> f64 {
        if direction > figure { 0.0 } else { self.root[figure * (figure + 1) / 2 + direction] }
    }
}

/// Reads the block `[doubt]`.
pub(super) fn read(section: &Section<'_>) -> Option<Doubt> {
    let named = section.texts("figures");
    let root = section.numbers("root");
    section.refuse_unknown();
    let place = |name: &String| FIGURES.iter().position(|known| known == name);
    let figures: Option<Vec<usize>> = named.iter().map(place).collect();
    let Some(figures) = figures else {
        let what = "a figure here is none that may be in doubt";
        section.fault("figures", what, format!("the figures are {}", FIGURES.join(", ")));
        return None;
    };
    let n = figures.len();
    if n == 0 || root.len() != n * (n + 1) / 2 {
        let what = format!(
            "{n} figures need {} entries in root, there are {}",
            n * (n + 1) / 2,
            root.len()
        );
        section.fault("root", what, "leave the block as the fit wrote it, or leave it out");
        return None;
    }
    if root.iter().any(|entry| entry.is_nan() || entry.abs() > MOST) {
        section.fault("root", format!("an entry of root is beyond {MOST}"), "leave the block out");
        return None;
    }
    Some(Doubt { figures, root })
}

impl Airplane {
    /// The airplane moved along one independent direction of its doubt, by so many standard deviations; itself where it states none.
    #[must_use]
    pub fn doubted(&self, direction: usize, sigmas: f64) -> Self {
        let mut out = self.clone();
        let Some(doubt) = &self.stated.doubt else { return out };
        for (row, figure) in doubt.figures.iter().enumerate() {
            out.scale(*figure, exp(sigmas * doubt.shift(row, direction)));
        }
        out
    }

    /// One of [`FIGURES`] times a factor.
    fn scale(&mut self, figure: usize, factor: f64) {
        match FIGURES[figure] {
            "drag_zero_lift" => self.aerodynamics.drag_zero_lift *= factor,
            "drag_induced" => self.aerodynamics.drag_induced *= factor,
            "lift_max" => self.aerodynamics.lift_max *= factor,
            "propeller_drag_area" => {
                if let Some(glide) = &mut self.stated.glide {
                    let scaled = |area: Area| Area::from_m2(area.to_m2() * factor);
                    glide.propeller_drag_area = glide.propeller_drag_area.map(scaled);
                }
            }
            "slipstream_share" => {
                if let Some(PowerOnStall::Geometry { slipstream_share, .. }) =
                    &mut self.stated.power_on_stall
                {
                    *slipstream_share = (*slipstream_share * factor).min(1.0);
                }
            }
            other => self.scale_propeller(other, factor),
        }
    }

    fn scale_propeller(&mut self, figure: &str, factor: f64) {
        let Thrust::Propeller(propeller) = &mut self.thrust else { return };
        match figure {
            "efficiency_of_ideal" => {
                propeller.efficiency_of_ideal = (propeller.efficiency_of_ideal * factor).min(1.0);
            }
            "power_max" => {
                propeller.power_max = Power::from_w(propeller.power_max.to_w() * factor);
            }
            "efficiency_bend" => propeller.efficiency_fall.bend *= factor,
            "efficiency_best_at" => {
                let best = propeller.efficiency_fall.best_at.to_mps();
                propeller.efficiency_fall.best_at = TrueAirspeed::from_mps(best * factor);
            }
            _ => {
                if let PropellerPitch::Fixed { static_power_share, full_power_at } =
                    &mut propeller.pitch
                {
                    if figure == "static_power_share" {
                        *static_power_share = (*static_power_share * factor).min(1.0);
                    } else {
                        let speed = full_power_at.to_mps() * factor;
                        *full_power_at = CalibratedAirspeed::from_mps(speed);
                    }
                }
            }
        }
    }
}
