//! Where a figure is entered when nobody says: the floor, what the figure and a bad recovery need, rounded up.

use base::kinds::GeometricHeight;

use super::judge::{self, Case, thousands};
use super::recovery;
use crate::definition::Direction;
use crate::series;

/// Rounded up to this, ft.
const ROUND_FT: f64 = 500.0;
/// Above the floor for the trial flight, and where that flight cannot be flown, ft.
const TRIAL_FT: f64 = 2000.0;
/// Height is held to this at best, ft: the tolerance of the standards (ACS-C), added to the need.
const HELD_FT: f64 = 100.0;
/// Times the height is raised when the thinner air needs more.
const RAISES_MOST: usize = 6;

/// The usual entry height. The figure's own where it names one; else the lowest multiple of 500 ft from which neither the figure
/// nor a bad recovery from any point of it comes within 100 ft of the floor.
///
/// A figure that names its height and goes down is entered higher where the second side, begun where the first ended, needs it.
pub(super) fn usual(case: &Case<'_>, directions: &[Direction]) -> GeometricHeight {
    let direction = directions[0];
    let floor = case.maneuver.floor();
    let field_ft = case.day.field_elevation.to_ft();
    if let Some(above_ground) = floor.entry_above_ground {
        let named_ft = field_ft + above_ground.to_ft();
        return with_room_for_the_series(case, directions, named_ft);
    }
    let floor_ft = field_ft + floor.above_ground.to_ft();
    let round = |height_ft: f64| (height_ft / ROUND_FT - 1e-6).ceil() * ROUND_FT;
    let trial_ft = round(floor_ft + TRIAL_FT);
    let trial = Case { height: GeometricHeight::from_ft(trial_ft), ..*case };
    if !judge::refusals(&trial).is_empty() {
        return trial.height;
    }
    let need_ft = |height_ft: f64| {
        let height = GeometricHeight::from_ft(height_ft);
        let need_m = need_m(&Case { height, ..*case }, direction);
        need_m.map(|need_m| base::units::Length::from_m(need_m).to_ft() + HELD_FT)
    };
    let Some(mut need) = need_ft(trial_ft) else { return GeometricHeight::from_ft(trial_ft) };
    let mut height_ft = round(floor_ft + need);
    for _ in 0..RAISES_MOST {
        need = need_ft(height_ft).unwrap_or(need);
        if height_ft - need >= floor_ft {
            break;
        }
        height_ft = round(floor_ft + need).max(height_ft + ROUND_FT);
    }
    GeometricHeight::from_ft(height_ft)
}

/// The named height, or the lowest multiple of 500 ft above it from which the whole series stays above the floor.
fn with_room_for_the_series(
    case: &Case<'_>,
    directions: &[Direction],
    named_ft: f64,
) -> GeometricHeight {
    let floor_ft = case.day.field_elevation.to_ft() + case.maneuver.floor().above_ground.to_ft();
    let low_ft = |height_ft: f64| {
        let case = Case { height: GeometricHeight::from_ft(height_ft), ..*case };
        let refused = !judge::refusals(&case).is_empty();
        let fly = |direction: &Direction| case.fly(*direction).ok();
        let flights: Option<Vec<_>> = directions.iter().map(fly).collect();
        let flights = flights.filter(|flights| !refused && flights.len() > 1)?;
        Some(base::units::Length::from_m(series::of(&case, &flights).block.low_m).to_ft())
    };
    let mut height_ft = named_ft;
    for _ in 0..RAISES_MOST {
        match low_ft(height_ft) {
            Some(low_ft) if low_ft < floor_ft + HELD_FT => height_ft += ROUND_FT,
            _ => break,
        }
    }
    GeometricHeight::from_ft(height_ft)
}

/// Height needed below entry, m, by the figure and a bad recovery; `None` when it is not flown.
fn need_m(case: &Case<'_>, direction: Direction) -> Option<f64> {
    let category = case.category()?;
    let flight = [case.fly(direction).ok()?];
    let recoveries = recovery::of(&flight, case, category)?;
    let figure_m = -flight[0].extremes.height_low_m;
    Some(figure_m.max(-recoveries.bad.lowest_m).max(0.0))
}

/// A figure that finds its own entry height is not flown at the one asked for: said when a person would see it on the altimeter.
pub(super) fn other(asked: GeometricHeight, flown: GeometricHeight) -> Option<String> {
    const SEEN_FT: f64 = 20.0;
    let (asked_ft, flown_ft) = (asked.to_ft(), flown.to_ft());
    ((asked_ft - flown_ft).abs() > SEEN_FT).then(|| {
        format!(
            "its own entry height, {} ft: this figure finds it from the groundspeed, and is not flown at the {} ft asked for",
            thousands(flown_ft),
            thousands(asked_ft)
        )
    })
}
