//! South Africa.

use super::{About, Check, Country, rule};

pub(super) const RULES: Country = Country {
    key: "south-africa",
    title: "South Africa",
    rules: &[rule(
        "slow roll, half roll and pull-through: on an even keel by 2,000 ft above the ground (instructors' training procedures)",
        "SACAA",
        About::Aerobatic,
        Check::FloorFt(2000.0),
    )],
};
