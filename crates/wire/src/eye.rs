//! What is seen from the seat, in a brief.

use crate::number::rounded;
use maneuver::eye as engine;
use schemars::JsonSchema;
use serde::Serialize;

/// What is seen from the seat in the course of a flight. Directions in the seat frame: azimuth right of straight ahead, elevation
/// above the plane of body axis and wings.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Eye {
    /// `left`, `right` or `tandem`.
    pub seat: &'static str,
    /// How far the edge of the cowl lies under the body axis.
    pub cowl_below_axis_deg: f64,
    /// Azimuth at which the middle of the cowl is seen; who takes it for straight ahead flies with parallax.
    pub cowl_middle_azimuth_deg: f64,
    /// Direction of the left wing tip.
    pub left_tip: Direction,
    /// Direction of the right wing tip.
    pub right_tip: Direction,
    /// Corners of the left wing from the eye: metres ahead, right, down.
    pub left_wing_m: Vec<[f64; 3]>,
    /// Corners of the right wing from the eye: metres ahead, right, down.
    pub right_wing_m: Vec<[f64; 3]>,
    /// At the checkpoints, over all parts.
    pub views: Vec<View>,
    /// Nose trace, one value a sample of `path`: azimuth of what is straight ahead against the heading at entry, not folded.
    pub nose_azimuth_deg: Vec<f64>,
    /// Elevation of the same above the horizon.
    pub nose_elevation_deg: Vec<f64>,
    /// What the nose seems to do to one who takes the middle of the cowl for straight ahead.
    pub cowl_middle_elevation_deg: Vec<f64>,
    /// What of the seat the airplane file does not state and is taken as usual for its class.
    pub assumed: Vec<&'static str>,
}

/// A direction in the seat frame.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, JsonSchema)]
pub struct Direction {
    /// Right of straight ahead.
    pub azimuth_deg: f64,
    /// Above the plane of body axis and wings.
    pub elevation_deg: f64,
}

/// What is seen at one checkpoint.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct View {
    /// Part of the figure, from nil.
    pub part: usize,
    /// Progress of the part.
    pub progress_deg: f64,
    /// Elevation of the horizon straight ahead; null when it is not ahead.
    pub horizon_ahead_deg: Option<f64>,
    /// The same above the edge of the cowl, positive when it is in sight.
    pub horizon_over_cowl_deg: Option<f64>,
    /// Tilt of the horizon, positive when its right end is the higher one.
    pub horizon_tilt_deg: f64,
    /// Left wing tip above the horizon.
    pub left_tip_over_horizon_deg: f64,
    /// Right wing tip above the horizon.
    pub right_tip_over_horizon_deg: f64,
    /// By how much the middle of the cowl stands higher over the horizon than what is straight ahead of the eye.
    pub parallax_deg: f64,
    /// Reference points.
    pub sights: Vec<Sight>,
}

/// Where one reference point is seen.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct Sight {
    /// Which.
    pub name: String,
    /// Right of straight ahead.
    pub azimuth_deg: f64,
    /// Above the plane of body axis and wings.
    pub elevation_deg: f64,
    /// Where to look for it: `ahead`, `under the cowl`, `left window`, `right window`, `behind the wing`, `overhead` or
    /// `out of sight`.
    pub window: &'static str,
}

impl From<&engine::Eye> for Eye {
    fn from(eye: &engine::Eye) -> Self {
        let column = |values: &[f64]| values.iter().map(|value| rounded(*value, 2)).collect();
        Self {
            seat: eye.side.word(),
            cowl_below_axis_deg: rounded(eye.cowl_below_axis_deg, 2),
            cowl_middle_azimuth_deg: rounded(eye.cowl_middle_azimuth_deg, 2),
            left_tip: eye.tips[0].into(),
            right_tip: eye.tips[1].into(),
            left_wing_m: wing(&eye.wings_m[0]),
            right_wing_m: wing(&eye.wings_m[1]),
            views: eye.views.iter().map(view).collect(),
            nose_azimuth_deg: column(&eye.nose_azimuth_deg),
            nose_elevation_deg: column(&eye.nose_elevation_deg),
            cowl_middle_elevation_deg: column(&eye.cowl_middle_elevation_deg),
            assumed: eye.assumed.clone(),
        }
    }
}

impl From<engine::Direction> for Direction {
    fn from(at: engine::Direction) -> Self {
        Self {
            azimuth_deg: rounded(at.azimuth_deg, 2),
            elevation_deg: rounded(at.elevation_deg, 2),
        }
    }
}

fn wing(corners_m: &[[f64; 3]]) -> Vec<[f64; 3]> {
    corners_m.iter().map(|corner_m| corner_m.map(|at_m| rounded(at_m, 3))).collect()
}

fn view(view: &engine::View) -> View {
    let sight = |sight: &engine::Sight| Sight {
        name: sight.name.clone(),
        azimuth_deg: rounded(sight.direction.azimuth_deg, 2),
        elevation_deg: rounded(sight.direction.elevation_deg, 2),
        window: sight.window.words(),
    };
    View {
        part: view.part,
        progress_deg: rounded(view.progress_deg, 2),
        horizon_ahead_deg: view.horizon_ahead_deg.map(|at| rounded(at, 2)),
        horizon_over_cowl_deg: view.horizon_over_cowl_deg.map(|at| rounded(at, 2)),
        horizon_tilt_deg: rounded(view.horizon_tilt_deg, 2),
        left_tip_over_horizon_deg: rounded(view.tips_over_horizon_deg[0], 2),
        right_tip_over_horizon_deg: rounded(view.tips_over_horizon_deg[1], 2),
        parallax_deg: rounded(view.parallax_deg, 2),
        sights: view.sights.iter().map(sight).collect(),
    }
}
