//! Canada.

use super::{About, Check, Country, rule, yours};

pub(super) const RULES: Country = Country {
    key: "canada",
    title: "Canada",
    rules: &[
        rule(
            "aerobatic flight without special authority not below 2,000 ft above the ground (CAR 602.27)",
            "from-memory",
            About::Aerobatic,
            Check::FloorFt(2000.0),
        ),
        rule(
            "aerobatic flight without special authority in a visibility of at least 3 miles (CAR 602.27)",
            "from-memory",
            About::Aerobatic,
            Check::VisibilityMi(3.0),
        ),
        rule(
            "recovery from a stall complete by 2,000 ft above the ground, or the maker's figure where it is higher",
            "TC-TP",
            About::Stalls,
            Check::FloorFt(2000.0),
        ),
        yours(
            "minimum heights: 1,000 ft over built-up areas, 500 ft elsewhere from persons, vessels, vehicles and structures",
            "from-memory",
            About::Every,
        ),
    ],
};
