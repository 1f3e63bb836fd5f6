//! Place and day: cloud, visibility, sun, the edges and the top of the area; what the figure needs of them.

use base::factors::{M_PER_FT, M_PER_MI, M_PER_NM, RAD_PER_DEG};
use base::kinds::{GeometricHeight, TrueHeading};
use base::time::UtcInstant;
use base::units::Length;

use super::judge::Case;
use super::limits::Rule;
use super::{Limit, LimitSide};
use crate::definition::{Direction, Progress};
use crate::reference::ReferenceFlight;
use crate::series::Block;
use crate::sun::{Place, Sun, sun};

/// What is told of place and day. What is not told is not checked.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PlaceTold {
    /// Base of the cloud above mean sea level.
    pub cloud_base: Option<GeometricHeight>,
    /// Flight visibility.
    pub visibility: Option<Length>,
    /// Top of the airspace that may be used, above mean sea level.
    pub top: Option<GeometricHeight>,
    /// From the entry point to the nearest edge of the area.
    pub room: Option<Length>,
    /// When and where, for the sun.
    pub sun: Option<(UtcInstant, Place)>,
    /// Whether the entry heading was told; else no reference can be held against the sun.
    pub heading_told: bool,
}

/// Below the cloud by at least this, ft.
///
/// # Source
/// 14-CFR-91.155, from memory: 500 ft below cloud in airspace C, D and E.
const BELOW_CLOUD_FT: f64 = 500.0;
/// Least flight visibility, statute miles.
///
/// # Source
/// 14-CFR-91.303 for aerobatic flight; 14-CFR-91.155 (from memory) below 10,000 ft in controlled airspace.
const VISIBILITY_MI: f64 = 3.0;
/// A reference nearer to the sun than this cannot be looked at (common practice, no source).
pub const GLARE_DEG: f64 = 20.0;

/// Limits of place and day, of what was told.
pub(super) fn limits(case: &Case<'_>, block: &Block) -> Vec<Limit> {
    use LimitSide::{Above, Below};
    let told = &case.place;
    let high_ft = block.high_m / M_PER_FT;
    let mut out = Vec::new();
    if let Some(base) = told.cloud_base {
        let title = "highest to 500 ft below the cloud";
        out.push(
            Rule::hard("cloud-base", title, "ft", Above, "14-CFR-91.155")
                .hold(high_ft, base.to_ft() - BELOW_CLOUD_FT),
        );
    }
    if let Some(top) = told.top {
        out.push(
            Rule::hard("area-top", "highest to the top of the area", "ft", Above, "as-told")
                .hold(high_ft, top.to_ft()),
        );
    }
    if let Some(room) = told.room {
        let title = "farthest from the entry point to the edge of the area";
        out.push(
            Rule::hard("area-edge", title, "NM", Above, "as-told")
                .hold(block.farthest_m / M_PER_NM, room.to_nm()),
        );
    }
    if let Some(visibility) = told.visibility {
        let value = visibility.to_m() / M_PER_MI;
        let rule = if case.maneuver.needs_approval(&case.form) {
            let title = "visibility for aerobatic flight, United States";
            Rule::hard("visibility", title, "SM", Below, "14-CFR-91.303")
        } else {
            Rule::soft("visibility", "visibility", "SM", Below, "14-CFR-91.155")
        };
        out.push(rule.hold(value, VISIBILITY_MI));
    }
    out
}

/// The sun against the references of the figure.
#[derive(Debug, Clone, PartialEq)]
pub struct SunSeen {
    /// Where it stands.
    pub sun: Sun,
    /// References that lie within [`GLARE_DEG`] of it, one phrase each; empty without a heading.
    pub in_the_sun: Vec<String>,
    /// How far the glare reaches to either side of the sun's bearing along the horizon, degrees; `None` when it is too high or too
    /// low to lie on any reference.
    pub glare_half_deg: Option<f64>,
    /// Whether the wind decides the entry heading: none is then offered.
    pub by_wind: bool,
    /// Stretches of entry headings, degrees true, from and to, each at least [`HOLDABLE_DEG`] wide, that put no reference in the
    /// sun; empty when all headings are clear, or none is, or the wind decides.
    pub clear_headings_deg: Vec<[f64; 2]>,
    /// The same for each side flown alone, in the order of the sides; empty where there is one side.
    pub clear_by_side_deg: Vec<(Direction, Vec<[f64; 2]>)>,
    /// Whether every entry heading is clear.
    pub all_clear: bool,
}

/// A stretch of headings narrower than this is not held by eye, and none is offered, degrees (common practice, no source).
pub const HOLDABLE_DEG: f64 = 10.0;

/// True heading at which each side is entered: where the wind decides as it is flown, else as told; none when neither.
pub(super) fn headings(
    case: &Case<'_>,
    flights: &[ReferenceFlight],
    directions: &[Direction],
) -> Vec<(Direction, TrueHeading)> {
    if by_wind(case) && !flights.is_empty() {
        let entry = |flight: &ReferenceFlight| {
            let first = flight.samples.first()?;
            Some((flight.direction, TrueHeading::from_rad(first.heading_rad)))
        };
        return flights.iter().filter_map(entry).collect();
    }
    let told = directions.iter().filter(|_| case.place.heading_told);
    told.map(|side| (*side, case.heading)).collect()
}

/// Whether the wind decides at which heading a figure is entered.
fn by_wind(case: &Case<'_>) -> bool {
    case.maneuver.entered_by_wind().is_some() && case.day.wind.speed.to_mps() > 0.0
}

/// Where the sun stands and what lies in it, for sides entered at headings; `None` when time and place were not told.
pub(super) fn sun_seen(
    case: &Case<'_>,
    directions: &[Direction],
    headings: &[(Direction, TrueHeading)],
) -> Option<SunSeen> {
    let (at, place) = case.place.sun?;
    let sun = sun(at, &place);
    let glares = |entry_rad: f64, turned_deg: f64| {
        let azimuth_rad = entry_rad + turned_deg * RAD_PER_DEG;
        sun.elevation_rad > -RAD_PER_DEG
            && sun.from_horizon_point_rad(azimuth_rad) < GLARE_DEG * RAD_PER_DEG
    };
    let mut in_the_sun: Vec<String> = Vec::new();
    for (side, entry) in headings {
        for (turned_deg, what) in references(case, &[*side]) {
            let azimuth = (entry.to_deg() + turned_deg).rem_euclid(360.0);
            let said = format!("{what} (true bearing {azimuth:03.0})");
            if glares(entry.to_rad(), turned_deg) && !in_the_sun.contains(&said) {
                in_the_sun.push(said);
            }
        }
    }
    let by_wind = by_wind(case);
    let clear = |directions: &[Direction]| {
        if by_wind {
            return Vec::new();
        }
        let references = references(case, directions);
        stretches(|heading_deg| {
            let entry_rad = f64::from(heading_deg) * RAD_PER_DEG;
            references.iter().all(|(turned_deg, _)| !glares(entry_rad, *turned_deg))
        })
    };
    let several =
        directions.len() > 1 && !by_wind && case.maneuver.shape().progress == Progress::Turn;
    let alone = directions.iter().filter(|_| several).map(|side| (*side, clear(&[*side])));
    let glare_half_deg = glare_half_deg(&sun);
    Some(SunSeen {
        sun,
        in_the_sun,
        glare_half_deg,
        by_wind,
        clear_headings_deg: clear(directions),
        clear_by_side_deg: alone.collect(),
        all_clear: glare_half_deg.is_none(),
    })
}

/// How far along the horizon the sun lies within [`GLARE_DEG`], to either side, degrees.
fn glare_half_deg(sun: &Sun) -> Option<f64> {
    let up_rad = sun.elevation_rad;
    let reach = base::math::cos(GLARE_DEG * RAD_PER_DEG) / base::math::cos(up_rad);
    (up_rad > -RAD_PER_DEG && reach < 1.0).then(|| base::math::acos(reach) / RAD_PER_DEG)
}

/// What is looked at on the horizon: degrees turned from the entry heading, right positive, and its name.
fn references(case: &Case<'_>, directions: &[Direction]) -> Vec<(f64, String)> {
    let mut out = vec![(0.0, "the entry heading".to_string())];
    let shape = case.maneuver.shape();
    if shape.progress != Progress::Turn {
        out.push((180.0, "the opposite heading".into()));
        return out;
    }
    for direction in directions {
        for at in shape.checkpoints_deg.iter().filter(|at| **at > 0.0 && **at < 360.0) {
            out.push((
                direction.sign() * at,
                format!("the {at:.0}-degree point to the {}", direction.word()),
            ));
        }
    }
    out
}

/// Stretches of headings, in steps of a degree, at which a condition holds, as wide as [`HOLDABLE_DEG`] or more; none when it holds
/// at all of them or at none.
fn stretches(holds: impl Fn(i32) -> bool) -> Vec<[f64; 2]> {
    let on: Vec<bool> = (0..360).map(holds).collect();
    let n = on.len();
    let mut out = Vec::new();
    for begin in (0..n).filter(|&i| on[i] && !on[(i + n - 1) % n]) {
        let length = (0..n).take_while(|k| on[(begin + k) % n]).count();
        if length as f64 > HOLDABLE_DEG {
            out.push([begin, begin + length - 1].map(|i| (i % n) as f64));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{GLARE_DEG, Sun, glare_half_deg, stretches};
    use base::factors::RAD_PER_DEG;

    #[test]
    fn prop_stretches_go_round_north_and_are_wide_enough_to_hold() {
        assert_eq!(stretches(|h| !(90..=180).contains(&h)), [[181.0, 89.0]]);
        assert!(stretches(|_| true).is_empty() && stretches(|_| false).is_empty());
        assert!(stretches(|h| (0..=5).contains(&h)).is_empty(), "six headings are none to hold");
        assert_eq!(stretches(|h| (0..=10).contains(&h) || (90..=120).contains(&h)).len(), 2);
    }

    /// The spherical triangle of sun, its foot on the horizon and the edge of the glare, from the other side.
    #[test]
    fn prop_the_edge_of_the_glare_lies_at_its_width_from_the_sun() {
        for elevation_deg in [0.0, 8.0, 19.0] {
            let sun = Sun { azimuth_rad: 4.0, elevation_rad: elevation_deg * RAD_PER_DEG };
            let half_deg = glare_half_deg(&sun).unwrap();
            let away = sun.from_horizon_point_rad(sun.azimuth_rad + half_deg * RAD_PER_DEG);
            assert!((away / RAD_PER_DEG - GLARE_DEG).abs() < 1e-6, "{elevation_deg} {half_deg}");
        }
        let high = Sun { azimuth_rad: 4.0, elevation_rad: 21.0 * RAD_PER_DEG };
        assert!(glare_half_deg(&high).is_none());
    }
}
