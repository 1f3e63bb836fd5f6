//! The safety sheet: what is computed here and what only people can check; the instructor's gates and the escape.

use super::{Limit, SafetyLine, Whose};
use crate::definition::{Maneuver, Sourced};

const YOURS: &[Sourced] = &[
    Sourced {
        text: "the flight manual and placards: that this figure is approved for this airplane, category and loading",
        source: "common-practice",
    },
    Sourced {
        text: "clearing turns: at least 180 degrees in all, the last part the way of the figure",
        source: "CNATRA-P-1212",
    },
    Sourced {
        text: "not over a congested area or an open-air assembly, not in the surface area of controlled airspace, not within 4 NM of an airway's centerline, visibility 3 statute miles, for aerobatic flight in the United States",
        source: "14-CFR-91.303",
    },
    Sourced {
        text: "outside the United States: the country's own floors, limits and ratings",
        source: "from-memory",
    },
    Sourced {
        text: "loose articles stowed, belts, fuel, engine in the green, a field within reach",
        source: "common-practice",
    },
    Sourced {
        text: "the body: pulling up drains blood from the head, fatigue and dehydration lower what it bears",
        source: "AIM-8-1-7",
    },
    Sourced {
        text: "instructor's gates, agreed before the flight: the bank, pitch, speed, height and load at which control is taken; those proposed here are the computed flight with a margin, a training aid",
        source: "training-aid",
    },
    Sourced {
        text: "escape, from any point: unload, roll to the nearest horizon, power as the speed requires",
        source: "common-practice",
    },
];

const FLOOR: Sourced = Sourced {
    text: "the floor: no lower than 1,500 ft above the ground; the elevation of the field was not told, so it is not computed here",
    source: "ACS-C",
};

/// The lines of one maneuver.
pub(super) fn lines(
    maneuver: &dyn Maneuver,
    limits: &[Limit],
    field_told: bool,
) -> Vec<SafetyLine> {
    let here =
        |text, source| SafetyLine { line: Sourced { text, source }, whose: Whose::CheckedHere };
    let mut out = Vec::new();
    if !limits.is_empty() {
        out.push(here(
            "load, stall margin and speeds of the computed flight against this airplane's limits",
            "common-practice",
        ));
        if field_told {
            out.push(here(
                "height of the computed flight against 1,500 ft above the field",
                "ACS-C",
            ));
        }
        out.push(here(
            "bank and pitch of the computed flight against the parachute rule (60 and 30 degrees)",
            "14-CFR-91.307",
        ));
    }
    let yours = |line: &Sourced| SafetyLine { line: *line, whose: Whose::YoursToCheck };
    if !field_told {
        out.push(yours(&FLOOR));
    }
    out.extend(maneuver.cautions().iter().map(yours));
    out.extend(YOURS.iter().map(yours));
    out
}
