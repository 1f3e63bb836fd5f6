//! Australia.

use super::{About, Check, Country, rule, yours};

pub(super) const RULES: Country = Country {
    key: "australia",
    title: "Australia",
    rules: &[
        rule(
            "aerobatic begins beyond 60 degrees of bank or 45 degrees of pitch, or with an abrupt change of speed, direction, bank or \
             pitch; it takes the endorsement",
            "CASA",
            About::Every,
            Check::AnglesDeg { bank: 60.0, pitch: 45.0 },
        ),
        rule(
            "aerobatic flight not below 3,000 ft above the ground without a low-level endorsement (seen in a draft)",
            "from-memory",
            About::Aerobatic,
            Check::FloorFt(3000.0),
        ),
        yours(
            "only the maneuvers that flight manual and placards list for the category and loading",
            "CASA",
            About::Every,
        ),
    ],
};
