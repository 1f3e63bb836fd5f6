//! Where each quantity stands in the state of a knot.

use base::factors::RAD_PER_DEG;

pub(crate) const POSITION: usize = 0;
pub(crate) const VELOCITY: usize = 3;
pub(crate) const ACCELERATION: usize = 6;
/// Slow error of the receiver's positions.
pub(crate) const SLOW: usize = 9;
pub(crate) const WIND: usize = 12;
pub(crate) const THRUST: usize = 14;
pub(crate) const SIDESLIP: usize = 15;
pub(crate) const INCIDENCE: usize = 16;
/// Side force that is not that of the sideslip, as the sideslip that would make it: rudder held against it, gusts.
pub(crate) const SIDE_FREE: usize = 17;

/// Rate at which the bank changes, rad/s.
pub(crate) const ROLL: usize = 18;

/// States without and with those that only sensors of attitude show.
pub(crate) const PLAIN: usize = 15;
pub(crate) const FULL: usize = 19;

/// Sideslip of ordinary flying, one standard deviation, and how long it stays (common practice, no source).
pub(crate) const SIDESLIP_SIGMA: f64 = 1.7 * RAD_PER_DEG;
pub(crate) const SIDESLIP_S: f64 = 6.0;
/// The same over all flying, lazy feet included, where no sensor shows it: the spread of a mixture, for most attempts have a degree or
/// so and some have six, and fixes do not tell which. The drag of eight degrees (0.1 to 0.3 m/s2) is far below what thrust wanders in
/// the time of a figure (a m/s2).
pub(crate) const SIDESLIP_UNSEEN_SIGMA: f64 = 2.0 * RAD_PER_DEG;
/// The rudder that holds a sideslip takes about so much of its side force away, more or less, and for how long (our judgement, no
/// source).
pub(crate) const SIDE_FREE_SHARE: f64 = 0.5;
/// The same where the sideslip is told by its load and what the propeller asks of the rudder is an unknown (found on invented flights).
pub(crate) const SIDE_FREE_SHARE_BY_LOAD: f64 = 0.27;
pub(crate) const SIDE_FREE_S: f64 = 6.0;
/// What power, flaps and gusts do to incidence, and how long (our judgement, no source).
pub(crate) const INCIDENCE_SIGMA: f64 = 0.5 * RAD_PER_DEG;
pub(crate) const INCIDENCE_S: f64 = 15.0;
/// How long a rate of roll keeps, s: the airplane's own roll mode, and the time in which a hand moves an aileron (common practice, no
/// source).
pub(crate) const ROLL_S: f64 = 0.5;
