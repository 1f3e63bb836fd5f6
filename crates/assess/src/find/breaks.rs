//! Stalls: moments where the speed is least, the nose falls and the speed comes back.
//!
//! Every low of the airspeed, and every peak of lift in a bank, is looked at and read as a few numbers (`Feature`); the signatures of the stalls compete with the
//! other ways of having a least speed: going around, the top of a wing-over, the end of slow flight, a landing. Where the stall speed of
//! the airplane is not known, the speed is read against that of the entry, which says less. Linear in the length of the recording.

mod accelerated_stall;
mod ordinary;
mod power_off_stall;
mod power_on_stall;
mod read;

use super::signature::{Signature, Weighed};
use super::{Claim, FoundPart, Phases, Scene};
use crate::trace::STEP_S;
use base::math::exp;
use base::written::signed;
use maneuver::Direction;
use maneuver::definition::Progress;
use read::Low;

/// Number of features.
const N: usize = 15;

/// Names of the features, in the order of the arrays.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(dead_code, reason = "every place of the arrays has its name; the evidence tells some")]
enum Feature {
    /// Logarithm of the least speed over the stall speed at one g (nil and wide where the airplane is not known).
    OverStall,
    /// Least speed as a share of that at the start.
    SpeedShare,
    /// Nose raised from the start to the highest before the break, degrees.
    Raised,
    /// Nose fallen from there within a few seconds, degrees.
    Fallen,
    /// Least load about the break, g.
    LoadLeast,
    /// Greatest load before the break, g.
    LoadMost,
    /// Change of speed over the last seconds before the least, knots a second.
    Slowing,
    /// Gain of energy height over the last seconds before the break, hundreds of feet a minute: idle loses, power holds.
    Energy,
    /// Bank before the break, degrees, absolute.
    Bank,
    /// Heading turned from five seconds before the least to five after, degrees, absolute.
    Turned,
    /// Height gained from the start to the break, ft.
    Climbed,
    /// Nose lower after the break than at the start, degrees: a stall is recovered with the nose low, a zoom is not.
    NoseBelow,
    /// Revolutions over the last seconds before the break as a share of the most of the flight.
    Power,
    /// Logarithm of the greatest lift coefficient before the break over that of the stall: of the airplane where it is known, else the
    /// greatest that the wing gave elsewhere in this flight, which it can give again. A wing that has given more is not stalled.
    Lift,
    /// Least lift coefficient within a few seconds after that as a share of it: how quickly the wing is unloaded.
    LiftLeft,
}

/// How a low of the airspeed tends to look.
type Break = Signature<N>;

/// Everything that competes to explain a low of the airspeed.
const ALL: &[&[Break]] =
    &[power_off_stall::ALL, power_on_stall::ALL, accelerated_stall::ALL, ordinary::ALL];

/// On a soaring flight lows of the speed are so many times likelier ordinary than on another one.
const SOARING: f64 = 20.0;
/// A stall may go to a side only with so much bank before the break, degrees.
const SIDED_FROM_DEG: f64 = 10.0;

/// Everything that may be a stall.
pub(super) fn claims(scene: &Scene<'_>) -> Vec<Claim> {
    read::lows(scene).iter().filter_map(|low| claim(scene, low)).collect()
}

fn claim(scene: &Scene<'_>, low: &Low) -> Option<Claim> {
    // With every lift the nose is pulled up and pushed over again.
    let soaring = if scene.soaring { SOARING } else { 1.0 };
    let likeliest = Weighed::new(ALL, &low.value, &low.sigma).ordinary_times(soaring).best()?;
    let maneuver = likeliest.maneuver;
    let bank = low.bank_deg;
    let turning = maneuver == "power-off-stall" && bank.abs() > SIDED_FROM_DEG;
    let sided = maneuver == "accelerated-stall" || turning;
    let way = if bank < 0.0 { Direction::Left } else { Direction::Right };
    let part = FoundPart {
        direction: sided.then_some(way),
        progress: Progress::Phase,
        start: low.start,
        end: low.end,
        level: low.end,
        phases: phases(maneuver, low),
    };
    Some(likeliest.claim(looks(scene, low), vec![part]))
}

/// Where the phases of the catalogue end in what was flown: slowing, the pull to the highest nose, the break, the recovery.
fn phases(maneuver: &str, low: &Low) -> Phases {
    let last = if maneuver == "accelerated-stall" { 500.0 } else { 600.0 };
    Phases::new(&[
        (low.start, 0.0),
        (low.slowing, 100.0),
        (low.highest, 200.0),
        (low.least, 300.0),
        (low.lowest, 400.0),
        (low.end, last),
    ])
}

/// The features in words.
fn looks(scene: &Scene<'_>, low: &Low) -> String {
    let get = |feature: Feature| low.value[feature as usize];
    let speed = &scene.trace.cas_kt.value;
    let stall =
        scene.stall_kt.map_or_else(String::new, |stall| format!(" (stall speed {stall:.0})"));
    format!(
        "{:.0} kt falling to {:.0}{stall}, last by {:.1} kt a second; {:.0} % of the lift of {}; nose up {:.0}°, then down {:.0}°; load {:.2} at the least; energy \
         height {} ft/min before; {:.0}° of bank; {} ft from the start to the break; {:.0} s",
        speed[low.start],
        speed[low.least],
        -get(Feature::Slowing),
        100.0 * exp(get(Feature::Lift)),
        if scene.stall_kt.is_some() { "the stall" } else { "the slowest flying" },
        get(Feature::Raised),
        get(Feature::Fallen),
        get(Feature::LoadLeast),
        signed(100.0 * get(Feature::Energy), 0),
        get(Feature::Bank),
        signed(get(Feature::Climbed), 0),
        STEP_S * (low.end - low.start) as f64,
    )
}
