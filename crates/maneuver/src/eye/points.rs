//! The points that a figure is flown by: landmarks on the horizon, and what lies on the ground.

use base::factors::RAD_PER_DEG;
use base::frames::{Ned, Vec3};
use base::math::{cos, sin};
use flight::trajectory::FlightSample;

use super::{Geometry, Sight, attitude, direction};
use crate::definition::{Direction, Progress};
use crate::reference::{Mark, ReferenceFlight};

/// Where the eye is, and where the part began.
pub(super) struct Place<'a> {
    /// First sample of the part.
    pub begin: &'a FlightSample,
    /// Where the eye is.
    pub now: &'a FlightSample,
    /// Height of the ground above mean sea level, m.
    pub ground_m: f64,
}

/// Every reference point of the figure as it is seen.
pub(super) fn of(
    flight: &ReferenceFlight,
    way: Direction,
    place: &Place<'_>,
    geometry: &Geometry,
) -> Vec<Sight> {
    let sight = |name: String, ned: Vec3<Ned>| {
        let direction = direction(attitude(place.now).body_from_ned().apply(ned));
        Sight { name, direction, window: geometry.window(direction) }
    };
    // What is named by a side lies there whichever way the figure goes.
    let side = if flight.progress == Progress::Turn { way.sign() } else { 1.0 };
    let horizon = |turned_deg: f64| {
        let azimuth_rad = place.begin.heading_rad + side * turned_deg * RAD_PER_DEG;
        Vec3::new(cos(azimuth_rad), sin(azimuth_rad), 0.0)
    };
    let named = |(name, turned_deg): &(&str, f64)| sight((*name).into(), horizon(*turned_deg));
    let mut out: Vec<Sight> =
        flight.marks.iter().map(|mark| sight(mark.name.into(), to(mark, place))).collect();
    out.extend(landmarks(flight.progress).iter().map(named));
    out
}

/// Landmarks on the horizon by degrees from the heading at the beginning of the part: of a turn the way of the turn, else to the right.
const fn landmarks(progress: Progress) -> &'static [(&'static str, f64)] {
    match progress {
        Progress::Turn => &[
            ("entry reference", 0.0),
            ("45-degree reference", 45.0),
            ("90-degree reference", 90.0),
            ("135-degree reference", 135.0),
            ("180-degree reference", 180.0),
        ],
        Progress::Pitch | Progress::Roll | Progress::PitchAndRoll => &[
            ("line ahead", 0.0),
            ("abeam, right", 90.0),
            ("line behind", 180.0),
            ("abeam, left", 270.0),
        ],
        Progress::Phase => &[("reference ahead", 0.0)],
        Progress::Position => &[],
    }
}

/// From the eye to a mark: its only point, or the nearest of its line.
fn to(mark: &Mark, place: &Place<'_>) -> Vec3<Ned> {
    let here = [place.now.north_m, place.now.east_m];
    let [north, east] = nearest(&mark.line_m, here);
    Vec3::new(north - here[0], east - here[1], place.now.height_m - place.ground_m)
}

/// The point of a line that is nearest to a place; the place itself where the line has no point.
fn nearest(line_m: &[[f64; 2]], here: [f64; 2]) -> [f64; 2] {
    let far =
        |p: &[f64; 2]| (p[0] - here[0]) * (p[0] - here[0]) + (p[1] - here[1]) * (p[1] - here[1]);
    let on = line_m.windows(2).map(|ends| {
        let (a, b) = (ends[0], ends[1]);
        let along = [b[0] - a[0], b[1] - a[1]];
        let length2 = along[0] * along[0] + along[1] * along[1];
        let reached = (here[0] - a[0]) * along[0] + (here[1] - a[1]) * along[1];
        let share = if length2 > 0.0 { (reached / length2).clamp(0.0, 1.0) } else { 0.0 };
        [a[0] + share * along[0], a[1] + share * along[1]]
    });
    on.chain(line_m.first().copied()).min_by(|a, b| far(a).total_cmp(&far(b))).unwrap_or(here)
}
