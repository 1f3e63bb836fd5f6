//! What the eyes see from the seat: where the horizon, the reference points, the wing tips and the cowl are at each checkpoint.
//!
//! Directions are given in the *seat frame*: the eye at the origin, azimuth nil straight ahead along the body axis (right
//! positive), elevation nil in the plane of the body axis and the wings (up positive). The horizon and the landmarks on it lie at
//! infinity; a pylon, a point or a road is as far as it is. Rotations of the attitude only, so that a loop is as good as a turn.

mod points;
#[cfg(test)]
mod tests;

use base::factors::RAD_PER_DEG;
use base::frames::{Attitude, Body, Vec3};
use base::math::{asin, atan, atan2, cos, sin};
use flight::airplane::{Airplane, Seat, WingPlace};
use flight::trajectory::FlightSample;

use crate::reference::ReferenceFlight;

/// What is seen in the course of one flight.
#[derive(Debug, Clone, PartialEq)]
pub struct Eye {
    /// In which seat.
    pub side: SeatSide,
    /// How far the cowl lies under the body axis, seen by the eye, degrees.
    pub cowl_below_axis_deg: f64,
    /// Azimuth at which the middle of the cowl is seen, degrees, right positive; nil in tandem. Who takes it for "straight ahead"
    /// flies with parallax.
    pub cowl_middle_azimuth_deg: f64,
    /// Direction of the wing tips in the seat frame: left, right.
    pub tips: [Direction; 2],
    /// Corners of the wings from the eye, m ahead, right, down: left, right. The chord is the mean one.
    pub wings_m: [Vec<[f64; 3]>; 2],
    /// At the checkpoints, over all parts.
    pub views: Vec<View>,
    /// The nose trace: what lies straight ahead of the eye, one value a sample. Azimuth against the heading at entry, degrees, not
    /// folded.
    pub nose_azimuth_deg: Vec<f64>,
    /// Elevation of the same above the horizon, degrees.
    pub nose_elevation_deg: Vec<f64>,
    /// Elevation above the horizon of the point over the middle of the cowl, at the height of the body axis, degrees: what the nose
    /// seems to do to one who takes the cowl's middle for straight ahead.
    pub cowl_middle_elevation_deg: Vec<f64>,
    /// What of the seat was not stated by the airplane file and is taken as usual for its class.
    pub assumed: Vec<&'static str>,
}

/// Which seat the eye is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SeatSide {
    /// The left one.
    Left,
    /// The right one.
    Right,
    /// In the middle.
    Tandem,
}

impl SeatSide {
    /// As written in outputs.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
            Self::Tandem => "tandem",
        }
    }
}

/// A direction in the seat frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Right of straight ahead, degrees, -180 to 180.
    pub azimuth_deg: f64,
    /// Above the plane of body axis and wings, degrees.
    pub elevation_deg: f64,
}

/// What is seen at one checkpoint.
#[derive(Debug, Clone, PartialEq)]
pub struct View {
    /// Part of the figure, from nil.
    pub part: usize,
    /// Progress of the part, degrees.
    pub progress_deg: f64,
    /// Heading, pitch and bank.
    pub attitude: Attitude,
    /// Height of the eye above the ground that marks lie on, m.
    pub above_ground_m: f64,
    /// Where the eye is over the ground, north and east of the start of the flight, m.
    pub place_m: [f64; 2],
    /// Which way this part turns.
    pub way: crate::definition::Direction,
    /// Elevation of the horizon straight ahead of the eye; `None` when it is not ahead (nose near the vertical).
    pub horizon_ahead_deg: Option<f64>,
    /// The same above the cowl, positive when it is in sight.
    pub horizon_over_cowl_deg: Option<f64>,
    /// Tilt of the horizon, degrees, positive when its right end is the higher one (as in a bank to the right).
    pub horizon_tilt_deg: f64,
    /// Left and right wing tip above the horizon, degrees.
    pub tips_over_horizon_deg: [f64; 2],
    /// Height of the middle of the cowl against the point straight ahead, over the horizon, degrees: the parallax of this bank.
    pub parallax_deg: f64,
    /// Reference points in the order of the figure.
    pub sights: Vec<Sight>,
}

/// Where one reference point is seen.
#[derive(Debug, Clone, PartialEq)]
pub struct Sight {
    /// Which: "90-degree reference", "pylon".
    pub name: String,
    /// Where.
    pub direction: Direction,
    /// In which window it is to be looked for.
    pub window: Window,
}

/// Where to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Window {
    /// Ahead, over the cowl.
    Ahead,
    /// Ahead, but under the cowl.
    BehindCowl,
    /// To the left side, in the free.
    Left,
    /// To the right side, in the free.
    Right,
    /// Hidden by the wing.
    BehindWing,
    /// Over the head.
    Above,
    /// Behind the shoulders, or under the floor.
    OutOfSight,
}

impl Window {
    /// As written in outputs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Ahead => "ahead",
            Self::BehindCowl => "under the cowl",
            Self::Left => "left window",
            Self::Right => "right window",
            Self::BehindWing => "behind the wing",
            Self::Above => "overhead",
            Self::OutOfSight => "out of sight",
        }
    }
}

/// The geometry of a seat, with what is usual where the airplane file is silent.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Geometry {
    eye_right_m: f64,
    eye_above_wing_m: f64,
    wing_behind_eye_m: f64,
    cowl_ahead_m: f64,
    cowl_below_axis_rad: f64,
    semispan_m: f64,
    chord_m: f64,
    wing: WingPlace,
}

/// What is usual of light airplanes where a file is silent (our judgement, no source): the eye 0.9 m above the tips of a low wing,
/// 0.3 m under those of a high one, the cowl's edge 1.6 m ahead.
const EYE_OVER_LOW_WING_M: f64 = 0.9;
const EYE_UNDER_HIGH_WING_M: f64 = 0.3;
const COWL_AHEAD_M: f64 = 1.6;
/// Half the width of a cabin (our judgement).
const CABIN_HALF_M: f64 = 0.6;
/// Half the width of the windshield and the reach of side windows, degrees (our judgement).
const WINDSHIELD_HALF_DEG: f64 = 45.0;
const SIDE_TO_DEG: f64 = 135.0;
const OVERHEAD_DEG: f64 = 50.0;
const FLOOR_DEG: f64 = -40.0;
/// Half the angle that the chord of a wing hides across the sight to its tip, degrees (our judgement).
const WING_HALF_DEG: f64 = 20.0;

impl Geometry {
    fn new(airplane: &Airplane, side: SeatSide) -> Self {
        let seat: &Seat = &airplane.seat;
        let left_m = seat.eye_left.to_m().abs();
        let usual_m = match seat.wing {
            WingPlace::Low => EYE_OVER_LOW_WING_M,
            WingPlace::High => -EYE_UNDER_HIGH_WING_M,
        };
        Self {
            eye_right_m: match side {
                SeatSide::Left => -left_m,
                SeatSide::Right => left_m,
                SeatSide::Tandem => 0.0,
            },
            eye_above_wing_m: seat.eye_above_wing.map_or(usual_m, |height| height.to_m()),
            wing_behind_eye_m: seat.wing_behind_eye.map_or(0.0, |back| back.to_m()),
            cowl_ahead_m: seat.cowl_ahead.map_or(COWL_AHEAD_M, |ahead| ahead.to_m()),
            cowl_below_axis_rad: seat.over_nose_below_axis.to_rad(),
            semispan_m: 0.5 * airplane.wing_span.to_m(),
            chord_m: airplane.wing_area.to_m2() / airplane.wing_span.to_m(),
            wing: seat.wing,
        }
    }
    fn assumed(seat: &Seat) -> Vec<&'static str> {
        let stated = [
            (seat.eye_above_wing.is_some(), "height of the eye over the wing tips"),
            (seat.wing_behind_eye.is_some(), "wing tips square to the eye"),
            (seat.cowl_ahead.is_some(), "distance from the eye to the edge of the cowl"),
        ];
        stated.into_iter().filter(|(stated, _)| !stated).map(|(_, what)| what).collect()
    }
    /// Azimuth of the middle of the cowl, rad.
    fn cowl_middle_rad(&self) -> f64 {
        atan(-self.eye_right_m / self.cowl_ahead_m)
    }
    /// Left and right wing tip from the eye, body axes, m.
    fn tips_m(&self) -> [Vec3<Body>; 2] {
        [-1.0, 1.0].map(|side| {
            let across_m = side * self.semispan_m - self.eye_right_m;
            Vec3::new(-self.wing_behind_eye_m, across_m, self.eye_above_wing_m)
        })
    }
    /// Corners of the left and the right wing from the eye, m: as a plate of the mean chord from the cabin's side to the tip.
    fn wings_m(&self) -> [Vec<[f64; 3]>; 2] {
        [-1.0, 1.0].map(|side| {
            let (root_m, tip_m) = (side * CABIN_HALF_M, side * self.semispan_m);
            let (back_m, half_m) = (self.wing_behind_eye_m, 0.5 * self.chord_m);
            let corner = |along_m: f64, across_m: f64| {
                [along_m - back_m, across_m - self.eye_right_m, self.eye_above_wing_m]
            };
            vec![
                corner(half_m, root_m),
                corner(half_m, tip_m),
                corner(-half_m, tip_m),
                corner(-half_m, root_m),
            ]
        })
    }
    /// Where to look for something.
    fn window(&self, at: Direction) -> Window {
        let Direction { azimuth_deg, elevation_deg } = at;
        let aside_deg = azimuth_deg.abs();
        if elevation_deg > OVERHEAD_DEG {
            // the roof of a high wing hides what is over the head
            return if self.wing == WingPlace::High { Window::BehindWing } else { Window::Above };
        }
        if aside_deg > SIDE_TO_DEG || elevation_deg < FLOOR_DEG {
            return Window::OutOfSight;
        }
        if aside_deg <= WINDSHIELD_HALF_DEG {
            let under_deg = -self.cowl_below_axis_rad / RAD_PER_DEG;
            return if elevation_deg < under_deg { Window::BehindCowl } else { Window::Ahead };
        }
        let tip = direction(self.tips_m()[usize::from(azimuth_deg > 0.0)]);
        let across_deg = (azimuth_deg - tip.azimuth_deg).abs();
        let beyond = match self.wing {
            WingPlace::Low => elevation_deg < tip.elevation_deg,
            WingPlace::High => elevation_deg > tip.elevation_deg,
        };
        match (beyond && across_deg < WING_HALF_DEG, azimuth_deg > 0.0) {
            (true, _) => Window::BehindWing,
            (false, true) => Window::Right,
            (false, false) => Window::Left,
        }
    }
}

/// The direction of a vector from the eye in body axes.
fn direction(from_eye: Vec3<Body>) -> Direction {
    let ahead = (from_eye.x * from_eye.x + from_eye.y * from_eye.y).sqrt();
    Direction {
        azimuth_deg: atan2(from_eye.y, from_eye.x) / RAD_PER_DEG,
        elevation_deg: atan2(-from_eye.z, ahead) / RAD_PER_DEG,
    }
}

/// How high a direction fixed in the airplane stands above the horizon, degrees.
fn over_horizon_deg(attitude: &Attitude, body: Vec3<Body>) -> f64 {
    let ned = attitude.body_from_ned().inverse().apply(body);
    asin((-ned.z / body.norm()).clamp(-1.0, 1.0)) / RAD_PER_DEG
}

fn attitude(sample: &FlightSample) -> Attitude {
    Attitude {
        heading_rad: sample.heading_rad,
        pitch_rad: sample.pitch_rad,
        bank_rad: sample.bank_rad,
    }
}

/// What is seen in the course of a flight from one seat. `ground_m` is the height of the ground above mean sea level, on which marks
/// lie. Linear in the samples.
#[must_use]
pub fn eye(flight: &ReferenceFlight, airplane: &Airplane, side: SeatSide, ground_m: f64) -> Eye {
    let seat = &airplane.seat;
    // an eye on the center line has no side
    let side = if seat.eye_left.to_m().abs() < 1e-3 { SeatSide::Tandem } else { side };
    let geometry = Geometry::new(airplane, side);
    let middle_rad = geometry.cowl_middle_rad();
    let middle = Vec3::new(cos(middle_rad), sin(middle_rad), 0.0);
    let first_rad = flight.samples.first().map_or(0.0, |sample| sample.heading_rad);
    Eye {
        side,
        cowl_below_axis_deg: geometry.cowl_below_axis_rad / RAD_PER_DEG,
        cowl_middle_azimuth_deg: middle_rad / RAD_PER_DEG,
        tips: geometry.tips_m().map(direction),
        wings_m: geometry.wings_m(),
        views: views(flight, &geometry, ground_m),
        nose_azimuth_deg: flight
            .samples
            .iter()
            .map(|sample| (sample.heading_rad - first_rad) / RAD_PER_DEG)
            .collect(),
        nose_elevation_deg: flight.samples.iter().map(|s| s.pitch_rad / RAD_PER_DEG).collect(),
        cowl_middle_elevation_deg: flight
            .samples
            .iter()
            .map(|sample| over_horizon_deg(&attitude(sample), middle))
            .collect(),
        assumed: Geometry::assumed(seat),
    }
}

fn views(flight: &ReferenceFlight, geometry: &Geometry, ground_m: f64) -> Vec<View> {
    let mut out = Vec::new();
    for (index, part) in flight.parts.iter().enumerate() {
        let begin = flight.samples[part.first];
        for checkpoint in &part.checkpoints {
            let place = points::Place { begin: &begin, now: &checkpoint.sample, ground_m };
            let sights = points::of(flight, part.direction, &place, geometry);
            out.push(view(
                (index, part.direction, checkpoint.progress_deg),
                &checkpoint.sample,
                (geometry, ground_m),
                sights,
            ));
        }
    }
    out
}

fn view(
    (part, way, progress_deg): (usize, crate::definition::Direction, f64),
    sample: &FlightSample,
    (geometry, ground_m): (&Geometry, f64),
    sights: Vec<Sight>,
) -> View {
    let attitude = attitude(sample);
    let ahead = Vec3::new(1.0, 0.0, 0.0);
    let middle_rad = geometry.cowl_middle_rad();
    let middle = Vec3::new(cos(middle_rad), sin(middle_rad), 0.0);
    let horizon_ahead_deg = horizon_ahead_deg(&attitude);
    View {
        part,
        progress_deg,
        attitude,
        above_ground_m: sample.height_m - ground_m,
        place_m: [sample.north_m, sample.east_m],
        way,
        horizon_ahead_deg,
        horizon_over_cowl_deg: horizon_ahead_deg
            .map(|at| at + geometry.cowl_below_axis_rad / RAD_PER_DEG),
        horizon_tilt_deg: sample.bank_rad / RAD_PER_DEG,
        tips_over_horizon_deg: geometry.tips_m().map(|tip| over_horizon_deg(&attitude, tip)),
        parallax_deg: over_horizon_deg(&attitude, middle) - over_horizon_deg(&attitude, ahead),
        sights,
    }
}

/// Elevation in the seat frame at which the horizon crosses the plane straight ahead: down = sin(e) cos(pitch) cos(bank) - cos(e)
/// sin(pitch) nil. `None` when that plane meets it behind or not within 80 degrees.
fn horizon_ahead_deg(attitude: &Attitude) -> Option<f64> {
    let across = cos(attitude.pitch_rad) * cos(attitude.bank_rad);
    let at_deg = atan2(-sin(attitude.pitch_rad) * across.signum(), across.abs()) / RAD_PER_DEG;
    (at_deg.abs() < 80.0 && across.abs() > 0.05).then_some(at_deg)
}
