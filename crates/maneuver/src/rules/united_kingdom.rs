//! United Kingdom.

use super::{About, Country, yours};

pub(super) const RULES: Country = Country {
    key: "uk",
    title: "United Kingdom",
    rules: &[
        yours(
            "aerobatic flight only with the rating: 30 h as pilot in command after the licence and a course with at least 5 h of \
             aerobatic instruction",
            "FCL.800",
            About::Aerobatic,
        ),
        yours(
            "CAA Safety Sense Leaflet 19 is the advice on aerobatics (its title seen in a public report, its text not)",
            "AAIB",
            About::Aerobatic,
        ),
        yours(
            "minimum heights: 1,000 ft over congested areas, 500 ft from persons, vessels, vehicles and structures",
            "from-memory",
            About::Every,
        ),
    ],
};
