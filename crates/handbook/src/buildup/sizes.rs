//! Sizes of an airplane: as stated, else as is usual.

use base::units::Length;
use flight::airplane::WingPlace;

use crate::figures::Figures;

/// Lengths in m, areas in m2, angles in rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Wing area.
    pub area_m2: f64,
    /// Wing span.
    pub span_m: f64,
    /// Span squared over area.
    pub aspect: f64,
    /// Tip chord over root chord.
    pub taper: f64,
    /// Root chord.
    pub root_m: f64,
    /// Mean aerodynamic chord.
    pub chord_m: f64,
    /// Dihedral.
    pub dihedral_rad: f64,
    /// Height of the wing above the middle of the body.
    pub wing_above_m: f64,
    /// Length over all.
    pub length_m: f64,
    /// Greatest width of the body.
    pub width_m: f64,
    /// Greatest depth of the body.
    pub depth_m: f64,
    /// Horizontal tail: area, span, arm behind the quarter chord, height above the center of gravity.
    pub tail: SurfaceSizes,
    /// Fin: area, height, arm, height of its middle above the center of gravity.
    pub fin: SurfaceSizes,
    /// Center of gravity, mean chords behind the leading edge.
    pub center_of_gravity: f64,
}

/// Sizes of a tail surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SurfaceSizes {
    /// Area.
    pub area_m2: f64,
    /// Span.
    pub span_m: f64,
    /// Arm.
    pub arm_m: f64,
    /// Height.
    pub height_m: f64,
}

/// Tail volumes of light singles. Source: RAYMER-1992 table 6.4 (general aviation, one engine), from memory.
const TAIL_VOLUME: f64 = 0.70;
const FIN_VOLUME: f64 = 0.04;
/// Arm of the tail over the length, propeller in front. Source: RAYMER-1992, 60 % with the arm from the wing's quarter chord; 0.56 here
/// because length counts the spinner and the rudder (common practice, no source).
const ARM_OF_LENGTH: f64 = 0.56;
/// Aspect ratios. Source: RAYMER-1992 table 4.3 (middle of the ranges), from memory.
const TAIL_ASPECT: f64 = 4.0;
const FIN_ASPECT: f64 = 1.5;

impl Sizes {
    /// Of an airplane.
    #[must_use]
    pub fn of(figures: &Figures) -> Self {
        let (area_m2, span_m) = (figures.wing.area.to_m2(), figures.wing.span.to_m());
        let taper = figures.wing.taper.unwrap_or(0.7);
        let root_m = 2.0 * area_m2 / (span_m * (1.0 + taper));
        let chord_m = root_m * 2.0 / 3.0 * (1.0 + taper + taper * taper) / (1.0 + taper);
        let high = figures.layout.wing == WingPlace::High;
        // Usual dihedral: a low wing needs more (common practice, no source; RAYMER-1992 table 4.2 says 0 to 2 and 5 to 7 degrees).
        let usual_deg = if high { 1.5 } else { 6.0 };
        let length_m = length_m(figures);
        // Side by side or one behind the other (common practice, no source).
        let width_m =
            figures.body.width.map_or(if figures.layout.tandem { 0.75 } else { 1.1 }, Length::to_m);
        let depth_m = figures.body.depth.map_or(1.25, Length::to_m);
        let arm = |stated: Option<Length>| stated.map_or(ARM_OF_LENGTH * length_m, Length::to_m);
        let (tail_arm, fin_arm) = (arm(figures.tail.arm), arm(figures.fin.arm));
        let tail_area = figures
            .tail
            .area
            .map_or(TAIL_VOLUME * chord_m * area_m2 / tail_arm, base::units::Area::to_m2);
        let fin_area = figures
            .fin
            .area
            .map_or(FIN_VOLUME * span_m * area_m2 / fin_arm, base::units::Area::to_m2);
        let span = |stated: Option<Length>, area: f64, aspect: f64| {
            stated.map_or((area * aspect).sqrt(), Length::to_m)
        };
        let fin_span = span(figures.fin.span, fin_area, FIN_ASPECT);
        Self {
            area_m2,
            span_m,
            aspect: span_m * span_m / area_m2,
            taper,
            root_m,
            chord_m,
            dihedral_rad: figures
                .wing
                .dihedral
                .map_or(usual_deg * base::factors::RAD_PER_DEG, |a| a.to_rad()),
            wing_above_m: if high { 0.42 } else { -0.42 } * depth_m,
            length_m,
            width_m,
            depth_m,
            tail: SurfaceSizes {
                area_m2: tail_area,
                span_m: span(figures.tail.span, tail_area, TAIL_ASPECT),
                arm_m: tail_arm,
                height_m: 0.1 * depth_m,
            },
            fin: SurfaceSizes {
                area_m2: fin_area,
                span_m: fin_span,
                arm_m: fin_arm,
                height_m: 0.1 * depth_m + 0.42 * fin_span,
            },
            center_of_gravity: figures.masses.center_of_gravity.unwrap_or(0.26),
        }
    }
}

/// Length over all: as stated, or `4.37 W^0.23` ft, W in lb. Source: RAYMER-1992 table 6.3 (general aviation, one engine), from
/// memory.
fn length_m(figures: &Figures) -> f64 {
    let usual = || Length::from_ft(4.37 * base::math::pow(figures.masses.maximum.to_lb(), 0.23));
    figures.body.length.unwrap_or_else(usual).to_m()
}
