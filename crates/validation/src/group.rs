//! Groups of checks. A group is one file and one line in [`GROUPS`].

mod beaver;
mod f16_flight;
mod f16_linear;
mod f16_tables;
mod f16_trim;
mod f16_turn;
mod navion;
mod navion_vehicle;
mod nesc;
mod propulsion;
mod rudder;
mod single;
mod transport;

use crate::check::Check;
use crate::files::Files;

/// A group of checks.
#[derive(Debug, Clone, Copy)]
pub struct Group {
    /// Stable key: lower-case words with hyphens.
    pub name: &'static str,
    /// What is held against what, in one sentence.
    pub about: &'static str,
    /// Makes the checks.
    pub checks: fn(&Files<'_>) -> Vec<Check>,
}

impl Group {
    /// Makes the checks and marks them as of this group.
    #[must_use]
    pub fn run(&self, files: &Files<'_>) -> Vec<Check> {
        let mut checks = (self.checks)(files);
        for check in &mut checks {
            check.group = self.name;
        }
        checks
    }
}

/// Every group, in the order of the answer.
pub const GROUPS: &[Group] = &[
    Group {
        name: "nesc",
        about: "Free flight of a sphere and a brick over turning and resting earths, in still and moving air, against the \
                trajectories of the NESC check cases 1 to 10.",
        checks: nesc::checks,
    },
    Group {
        name: "f16-tables",
        about: "Tables of several axes: aerodynamics and engine of the F-16 against the check shots published with them.",
        checks: f16_tables::checks,
    },
    Group {
        name: "f16-flight",
        about: "A whole airplane with tables, engine and autopilot: NESC check cases 11 to 16, inside the spread of the \
                published tools.",
        checks: f16_flight::checks,
    },
    Group {
        name: "f16-trim",
        about: "Trim of the textbook's F-16 in level flight at sixteen speeds, at three centers of gravity, and in a turn.",
        checks: f16_trim::checks,
    },
    Group {
        name: "f16-linear",
        about: "Linear models of the textbook's F-16, element by element, and its rates at a violent state.",
        checks: f16_linear::checks,
    },
    Group {
        name: "f16-turn",
        about: "Ground track of the textbook's F-16 in a turn at 0.3 rad/s, flown from its trim for 50 s.",
        checks: f16_turn::checks,
    },
    Group {
        name: "navion",
        about: "Modes of the Navion from the printed matrices and from its derivatives, against the printed roots.",
        checks: navion::checks,
    },
    Group {
        name: "transport",
        about: "Trim of the textbook's medium transport at three conditions.",
        checks: transport::checks,
    },
    Group {
        name: "beaver",
        about: "Trims of the Beaver with power against the published one, and the rudder that power takes.",
        checks: beaver::checks,
    },
    Group {
        name: "navion-vehicle",
        about: "Roots of the Navion's small motions through file, vehicle, trim and linear model against the textbook's.",
        checks: navion_vehicle::checks,
    },
    Group {
        name: "single-230hp",
        about: "Roots of the small motions of a single of 230 hp against our own from the same derivatives: plausibility.",
        checks: single::checks,
    },
    Group {
        name: "rudder",
        about: "Which foot, and how much, in climbing turns, slow climbs and roll-outs under power: common practice on the two \
                trainers.",
        checks: rudder::checks,
    },
    Group {
        name: "propulsion",
        about: "Blade elements against the charts of a tested propeller; power with height; slipstream, swirl and gyroscopic \
                moment against worked momentum theory; a constant-speed propeller.",
        checks: propulsion::checks,
    },
];

/// The group of a name.
#[must_use]
pub fn find(name: &str) -> Option<&'static Group> {
    GROUPS.iter().find(|group| group.name == name)
}
