//! Lift of wing and body over all angles of attack: attached, stalling, separated, flat plate.
//!
//! Attached share `X` of the upper surface falls from one to nil round the stall; lift is that of the attached wing times
//! `((1 + sqrt(X)) / 2)^2` (Kirchhoff's flow with a free streamline; KIRCHHOFF). Far behind the stall a flat plate
//! takes over. The angle at which separation is half done is solved so that the greatest lift is the stated one. Everything
//! is tabulated once; a look-up is one cubic.

use base::factors::RAD_PER_DEG;
use base::math::{cos, sin, tan, tanh};
use base::numerics::interpolation::{Cells, cubic_powers};
use base::numerics::root;

const STEP_RAD: f64 = 0.25 * RAD_PER_DEG;
const ROWS: usize = 1449;
const CELLS: Cells = Cells::new(ROWS - 3);
const FIRST_RAD: f64 = -181.0 * RAD_PER_DEG;
/// Normal-force coefficient of a plate of moderate span across the stream (S. F. Hoerner, Fluid-Dynamic Drag, from memory).
const PLATE: f64 = 1.2;
/// Share of the flow that leaves at the stall itself, and how far behind it half of the rest has left, rad.
const ABRUPT: f64 = 0.6;
const SLOW_RAD: f64 = 8.0 * RAD_PER_DEG;
/// Where the plate begins to take over, and where it alone is left, rad.
const PLATE_FROM_RAD: f64 = 25.0 * RAD_PER_DEG;
const PLATE_FULL_RAD: f64 = 45.0 * RAD_PER_DEG;

/// What the curve is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LiftFigures {
    /// Lift coefficient at nil incidence.
    pub zero: f64,
    /// Slope, attached, per radian.
    pub slope_per_rad: f64,
    /// Greatest lift coefficient.
    pub greatest: f64,
    /// Least (most negative) lift coefficient.
    pub least: f64,
    /// How sharply the flow separates with incidence, 1/rad: 20 gentle, 60 abrupt.
    pub sharpness_per_rad: f64,
}

/// Wing and body at one angle of attack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Lift coefficient.
    pub lift: f64,
    /// Its local slope, per radian.
    pub slope_per_rad: f64,
    /// Share of attached flow, nil to one.
    pub attached: f64,
    /// Drag coefficient of the separated flow.
    pub separated_drag: f64,
}

/// The tabulated curve.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftCurve {
    /// Powers of each interval, each for lift, slope, attached share and drag.
    intervals: Vec<[[f64; 4]; 4]>,
    stall_rad: f64,
    attached_to_rad: f64,
}

/// A curve without a stall where it is asked for.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("no stall within 45 degrees gives a lift coefficient of {wanted:.2}")]
pub struct NoStall {
    /// Lift coefficient asked for.
    pub wanted: f64,
}

impl LiftCurve {
    /// Solves for the separation angles and tabulates.
    ///
    /// # Errors
    /// When the greatest or least lift cannot be reached within 45 degrees.
    pub fn new(figures: &LiftFigures) -> Result<Self, NoStall> {
        // Each side feels a little of the other: twice round settles both.
        let (mut upper_rad, mut lower_rad) = (3.0, -3.0);
        for _ in 0..2 {
            upper_rad = separation(figures, figures.greatest, 1.0, lower_rad)?;
            lower_rad = separation(figures, figures.least, -1.0, upper_rad)?;
        }
        let row = |i: usize| {
            let alpha_rad = FIRST_RAD + STEP_RAD * i as f64;
            let hair = 0.02 * RAD_PER_DEG;
            let lift = |a: f64| figures.lift(a, upper_rad, lower_rad);
            let slope = (lift(alpha_rad + hair) - lift(alpha_rad - hair)) / (2.0 * hair);
            let attached = figures.attached(alpha_rad, upper_rad, lower_rad);
            let plate = blend(alpha_rad.abs());
            let leaning = if plate < 1.0 { lift(alpha_rad) * tan(alpha_rad) } else { 0.0 };
            let across = PLATE * sin(alpha_rad) * sin(alpha_rad);
            let drag = (1.0 - attached) * ((1.0 - plate) * leaning.max(0.0) + plate * across);
            [lift(alpha_rad), slope, attached, drag]
        };
        let rows: Vec<[f64; 4]> = (0..ROWS).map(row).collect();
        let stall_rad = peak(|a| figures.lift(a, upper_rad, lower_rad), 1.0).0;
        // Where the flow is whole to a few hundredths on both sides.
        let whole = |i: &usize| {
            figures.attached(fine(*i), upper_rad, lower_rad) > 0.97
                && figures.attached(-fine(*i), upper_rad, lower_rad) > 0.97
        };
        let attached_to_rad = fine((0..450).take_while(whole).count());
        let interval = |four: &[[f64; 4]]| {
            let powers: [[f64; 4]; 4] =
                std::array::from_fn(|j| cubic_powers(std::array::from_fn(|i| four[i][j])));
            std::array::from_fn(|power| std::array::from_fn(|j| powers[j][power]))
        };
        let intervals = rows.windows(4).map(interval).collect();
        Ok(Self { intervals, stall_rad, attached_to_rad })
    }
    /// Angle of attack of the greatest lift, rad.
    #[must_use]
    pub const fn stall_rad(&self) -> f64 {
        self.stall_rad
    }
    /// How far an incidence, rad, nil or more, reaches into separating flow: nil where the flow is attached either way, one
    /// from two degrees on, smooth between.
    #[must_use]
    #[inline]
    pub fn reach(&self, alpha_rad: f64) -> f64 {
        if alpha_rad <= self.attached_to_rad {
            return 0.0;
        }
        let s = ((alpha_rad - self.attached_to_rad) / (2.0 * RAD_PER_DEG)).clamp(0.0, 1.0);
        s * s * (3.0 - 2.0 * s)
    }
    /// Wing and body at an angle of attack within half a turn either way, rad.
    #[must_use]
    #[inline]
    pub fn at(&self, alpha_rad: f64) -> Section {
        // The first interval lies between the second row and the third.
        let place = (alpha_rad - (FIRST_RAD + STEP_RAD)) * (1.0 / STEP_RAD);
        let (i, s) = CELLS.at(place);
        let [p0, p1, p2, p3] = &self.intervals[i];
        let [lift, slope_per_rad, attached, separated_drag] =
            std::array::from_fn(|j| p0[j] + s * (p1[j] + s * (p2[j] + s * p3[j])));
        Section { lift, slope_per_rad, attached, separated_drag }
    }
}

impl LiftFigures {
    fn attached(&self, alpha_rad: f64, upper_rad: f64, lower_rad: f64) -> f64 {
        // Most of the flow leaves at once, the rest over some twenty degrees: lift behind the stall is that of usual
        // sections, three quarters of the greatest (from memory of section data).
        let fall = |beyond_rad: f64, per_rad: f64| 0.5 * (1.0 - tanh(per_rad * beyond_rad));
        let share = |beyond_rad: f64| {
            ABRUPT * fall(beyond_rad, self.sharpness_per_rad)
                + (1.0 - ABRUPT) * fall(beyond_rad - SLOW_RAD, 8.0)
        };
        share(alpha_rad - upper_rad) * share(-(alpha_rad - lower_rad))
    }
    fn lift(&self, alpha_rad: f64, upper_rad: f64, lower_rad: f64) -> f64 {
        let root = self.attached(alpha_rad, upper_rad, lower_rad).sqrt();
        let share = 0.25 * (1.0 + root) * (1.0 + root);
        let thin = share * (self.zero + self.slope_per_rad * alpha_rad);
        let plate = PLATE * sin(alpha_rad) * cos(alpha_rad);
        let weight = blend(alpha_rad.abs());
        (1.0 - weight) * thin + weight * plate
    }
}

/// An angle of the search, rad.
fn fine(index: usize) -> f64 {
    0.05 * RAD_PER_DEG * index as f64
}

/// Angle of half separation for which the greatest lift on one side (`side` 1 or -1) is `wanted`; the other side separates at
/// `other_rad`.
fn separation(
    figures: &LiftFigures,
    wanted: f64,
    side: f64,
    other_rad: f64,
) -> Result<f64, NoStall> {
    let excess = |angle_rad: f64| {
        let (upper, lower) =
            if side > 0.0 { (angle_rad, other_rad) } else { (other_rad, angle_rad) };
        side * (peak(|a| figures.lift(a, upper, lower), side).1 - wanted)
    };
    let (near_rad, far_rad) = (side * 0.5 * RAD_PER_DEG, side * 45.0 * RAD_PER_DEG);
    root::find(excess, near_rad, far_rad, 1e-10).map_err(|_| NoStall { wanted })
}

/// Angle and value of the greatest (`side` 1) or least (-1) lift within 25 degrees, before the plate takes over.
fn peak(lift: impl Fn(f64) -> f64, side: f64) -> (f64, f64) {
    let fine = 0.05 * RAD_PER_DEG;
    // Every half degree first: the curve bends no more sharply than that; then the angles about the best.
    const EVERY: usize = 10;
    let best_of = |from: usize, to: usize, every: usize| {
        let all = (from..to).step_by(every).map(|i| (i, side * lift(side * fine * i as f64)));
        all.max_by(|a, b| a.1.total_cmp(&b.1)).map_or(from, |(i, _)| i)
    };
    let near = best_of(0, 500, EVERY);
    let best = best_of(near.saturating_sub(EVERY), (near + EVERY + 1).min(500), 1);
    let best = side * fine * best as f64;
    // A parabola through the best and its neighbors.
    let (left, middle, right) = (lift(best - fine), lift(best), lift(best + fine));
    let bend = left - 2.0 * middle + right;
    if bend.abs() < 1e-15 {
        return (best, middle);
    }
    let shift = (0.5 * (left - right) / bend).clamp(-1.0, 1.0);
    (best + shift * fine, middle - 0.25 * (left - right) * shift)
}

/// Share of the plate: nil, smoothly up, one.
fn blend(angle_rad: f64) -> f64 {
    // Backwards there is no attached flow worth the name.
    if angle_rad > std::f64::consts::FRAC_PI_2 {
        return 1.0;
    }
    let s = ((angle_rad - PLATE_FROM_RAD) / (PLATE_FULL_RAD - PLATE_FROM_RAD)).clamp(0.0, 1.0);
    s * s * (3.0 - 2.0 * s)
}

#[cfg(test)]
mod tests {
    use super::{LiftCurve, LiftFigures};
    use base::factors::RAD_PER_DEG;

    const FIGURES: LiftFigures = LiftFigures {
        zero: 0.26,
        slope_per_rad: 4.6,
        greatest: 1.5,
        least: -0.9,
        sharpness_per_rad: 60.0,
    };

    #[test]
    fn the_curve_keeps_its_figures() {
        let curve = LiftCurve::new(&FIGURES).unwrap();
        let lifts = (0..2400).map(|i| curve.at(f64::from(i - 1200) * 0.02 * RAD_PER_DEG).lift);
        let (least, greatest) =
            lifts.fold((f64::MAX, f64::MIN), |(a, b), lift| (a.min(lift), b.max(lift)));
        assert!((greatest - 1.5).abs() < 2e-3 && (least + 0.9).abs() < 2e-3, "{least} {greatest}");
        assert!((curve.at(0.0).lift - 0.26).abs() < 0.01);
        assert!((curve.at(curve.stall_rad()).lift - 1.5).abs() < 2e-3);
        assert!(curve.at(0.0).attached > 0.98 && curve.at(1.0).attached < 1e-3);
    }

    #[test]
    fn behind_the_stall_lift_falls_and_the_plate_takes_over() {
        let curve = LiftCurve::new(&FIGURES).unwrap();
        let stall = curve.stall_rad();
        assert!(curve.at(stall + 5.0 * RAD_PER_DEG).lift < 1.35);
        let across = curve.at(90.0 * RAD_PER_DEG);
        assert!(across.lift.abs() < 0.02 && (across.separated_drag - 1.2).abs() < 0.02);
        assert!(curve.at(-3.1).lift.is_finite() && curve.at(3.1).lift.is_finite());
    }
}
