//! European Union.

use super::{About, Country, yours};

pub(super) const RULES: Country = Country {
    key: "eu",
    title: "European Union (EASA)",
    rules: &[
        yours(
            "aerobatic flight only with the rating: 30 h as pilot in command after the licence and a course with at least 5 h of \
             aerobatic instruction (40 h in the older text)",
            "FCL.800",
            About::Aerobatic,
        ),
        yours(
            "minimum heights (SERA.5005): 1,000 ft over congested areas and assemblies, 500 ft elsewhere",
            "from-memory",
            About::Every,
        ),
        yours(
            "aerobatic flight not over congested areas or assemblies, and as the state's own rules allow (SERA.3130)",
            "from-memory",
            About::Aerobatic,
        ),
    ],
};
