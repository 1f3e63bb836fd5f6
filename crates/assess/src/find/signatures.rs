//! How each thing that an airplane may be doing while it turns tends to look. One more maneuver is one more file here and one
//! more line in [`ALL`]. What a signature is: `signature`.

mod chandelle;
mod climbing_turn;
mod descending_turn;
mod eights_on_pylons;
mod lazy_eight;
mod ordinary;
mod s_turns;
mod standard_rate_turn;
mod steep_spiral;
mod steep_turn;
mod turns_around_a_point;
mod wing_over;

use super::features::N;
use super::signature::Prior;

/// How one kind of turning tends to look.
pub(super) type Signature = super::signature::Signature<N>;

/// Everything that competes to explain a turn.
pub(super) const ALL: &[&[Signature]] = &[
    steep_turn::ALL,
    chandelle::ALL,
    lazy_eight::ALL,
    wing_over::ALL,
    steep_spiral::ALL,
    s_turns::ALL,
    turns_around_a_point::ALL,
    eights_on_pylons::ALL,
    standard_rate_turn::ALL,
    climbing_turn::ALL,
    descending_turn::ALL,
    ordinary::ALL,
];

/// Roundness over the ground of a figure that keeps no place on the ground, and of one that does.
const NOT_ROUND: Prior = Prior::Around(0.9, 0.8, 1.0);
const ROUND: Prior = Prior::Around(-1.2, 0.7, 0.5);
/// Rate of turn that nobody holds on purpose.
const ANY_RATE: Prior = Prior::Between(-2.5, 3.0);
/// Height against the pivotal height: held whatever the ground does, bought with speed, or anything.
const HEIGHT_HELD: Prior = Prior::Around(0.0, 0.35, 0.35);
const SPEED_FOR_HEIGHT: Prior = Prior::Around(-0.4, 0.4, 0.4);
const ANY_PIVOT: Prior = Prior::Around(0.0, 0.5, 0.5);

/// The same through another number of degrees: the first feature.
const fn turning(mut priors: [Prior; N], through: Prior) -> [Prior; N] {
    priors[super::features::Feature::Turn as usize] = through;
    priors
}
