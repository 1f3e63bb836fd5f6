//! Half of eights on pylons: most of a circle at a medium bank that hardly changes, height giving way as the speed over the
//! ground does; the other way round the other pylon after a short straight.

use super::Prior::Around;
use super::{ANY_RATE, Signature};

pub(super) const ALL: &[Signature] = &[Signature {
    words: "half of eights on pylons",
    maneuver: Some("eights-on-pylons"),
    share: 0.02,
    priors: [
        Around(285.0, 40.0, 35.0),
        Around(34.0, 7.0, 8.0),
        Around(0.85, 0.15, 0.12),
        Around(0.85, 0.15, 0.12),
        Around(0.0, 2.2, 2.2),
        Around(0.0, 2.2, 2.2),
        Around(0.92, 0.07, 0.05),
        Around(1.0, 0.08, 0.08),
        Around(0.16, 0.08, 0.12),
        Around(0.0, 1.0, 1.0),
        ANY_RATE,
        Around(1.0, 0.40, 0.60),
    ],
}];
