//! United States.

use super::{About, Check, Country, rule, yours};

pub(super) const RULES: Country = Country {
    key: "us",
    title: "United States",
    rules: &[
        rule(
            "aerobatic flight (an intentional abrupt change of attitude, abnormal attitude or acceleration that normal flight does not \
             need) not below 1,500 ft above the surface",
            "14-CFR-91.303",
            About::Aerobatic,
            Check::FloorFt(1500.0),
        ),
        rule(
            "aerobatic flight in a flight visibility of at least 3 statute miles",
            "14-CFR-91.303",
            About::Aerobatic,
            Check::VisibilityMi(3.0),
        ),
        yours(
            "aerobatic flight not over a congested area or an open-air assembly, not in the surface area of B, C, D or E airspace \
             designated for an airport, not within 4 NM of the centerline of a Federal airway",
            "14-CFR-91.303",
            About::Aerobatic,
        ),
        rule(
            "with anyone but crew aboard each occupant wears an approved parachute beyond 60 degrees of bank or 30 degrees of nose up or \
             down; exempt are spins and maneuvers that a certificate or rating requires, given by an instructor",
            "14-CFR-91.307",
            About::Every,
            Check::AnglesDeg { bank: 60.0, pitch: 30.0 },
        ),
        yours(
            "parachutes packed within 180 days (synthetic) or 60 days (natural fiber)",
            "14-CFR-91.307",
            About::Aerobatic,
        ),
        yours(
            "minimum safe altitudes (91.119): 1,000 ft over congested areas, 500 ft elsewhere, always a landing without undue hazard",
            "from-memory",
            About::Every,
        ),
        yours(
            "spins may follow a mishandled stall: an approved airplane and recoveries planned from above 3,500 ft above the ground for \
             spin practice",
            "AC-61-67",
            About::Stalls,
        ),
        yours(
            "oxygen for the crew above 12,500 ft after 30 minutes, above 14,000 ft always (91.211)",
            "from-memory",
            About::Every,
        ),
    ],
};
