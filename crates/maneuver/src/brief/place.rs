//! Place and day: cloud, visibility, sun, the edges and the top of the area; what the figure needs of them.

use base::factors::{M_PER_FT, M_PER_MI, M_PER_NM, RAD_PER_DEG};
use base::kinds::GeometricHeight;
use base::time::UtcInstant;
use base::units::Length;

use super::judge::Case;
use super::limits::Rule;
use super::{Limit, LimitSide};
use crate::definition::{Direction, Progress};
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
    /// Entry headings, degrees true, from and to, that put no reference in the sun; empty when it is high or down.
    pub clear_headings_deg: Vec<[f64; 2]>,
}

/// Where the sun stands and what lies in it; `None` when time and place were not told.
pub(super) fn sun_seen(case: &Case<'_>, directions: &[Direction]) -> Option<SunSeen> {
    let (at, place) = case.place.sun?;
    let sun = sun(at, &place);
    let references = references(case, directions);
    let glares = |entry_rad: f64, turned_deg: f64| {
        let azimuth_rad = entry_rad + turned_deg * RAD_PER_DEG;
        sun.elevation_rad > -RAD_PER_DEG
            && sun.from_horizon_point_rad(azimuth_rad) < GLARE_DEG * RAD_PER_DEG
    };
    let entry_rad = case.heading.to_rad();
    let in_the_sun = if case.place.heading_told {
        let lit = references.iter().filter(|(turned_deg, _)| glares(entry_rad, *turned_deg));
        lit.map(|(turned_deg, what)| {
            let azimuth = (case.heading.to_deg() + turned_deg).rem_euclid(360.0);
            format!("{what} (true bearing {azimuth:03.0})")
        })
        .collect()
    } else {
        Vec::new()
    };
    let clear = |heading_deg: i32| {
        let entry_rad = f64::from(heading_deg) * RAD_PER_DEG;
        references.iter().all(|(turned_deg, _)| !glares(entry_rad, *turned_deg))
    };
    Some(SunSeen { sun, in_the_sun, clear_headings_deg: stretches(clear) })
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

/// Stretches of headings, in steps of five degrees, at which a condition holds; none when it holds at all of them or at none.
fn stretches(holds: impl Fn(i32) -> bool) -> Vec<[f64; 2]> {
    const STEP_DEG: i32 = 5;
    let on: Vec<bool> = (0..360 / STEP_DEG).map(|i| holds(i * STEP_DEG)).collect();
    let n = on.len();
    let mut out = Vec::new();
    for begin in (0..n).filter(|&i| on[i] && !on[(i + n - 1) % n]) {
        let length = (0..n).take_while(|k| on[(begin + k) % n]).count();
        let deg = |i: usize| f64::from(STEP_DEG) * (i % n) as f64;
        out.push([deg(begin), deg(begin + length - 1)]);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::stretches;

    #[test]
    fn prop_stretches_go_round_north() {
        assert_eq!(stretches(|h| !(90..=180).contains(&h)), [[185.0, 85.0]]);
        assert!(stretches(|_| true).is_empty() && stretches(|_| false).is_empty());
        assert_eq!(stretches(|h| h == 0 || h == 90).len(), 2);
    }
}
