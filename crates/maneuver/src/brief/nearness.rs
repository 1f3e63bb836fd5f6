//! The limits of a brief in the order in which they matter: what is passed, then the nearest. Pages and papers that show a few show the
//! first.

use super::Limit;

/// What is passed first, and of that what forbids the flight; then by the margin, in margins that are ample. Of a kind of limits (three
/// of heights, two of the nose in the parachute rule) the nearest stands in this order and the others after all kinds: few have room, and
/// they say one thing. What forbids the flight always stands first. `short` of power: the form asks for more than there is.
pub(super) fn sorted(mut limits: Vec<Limit>, short: bool) -> Vec<Limit> {
    let passed = |limit: &Limit| match (limit.kept, limit.hard) {
        (false, true) => 0,
        (false, false) => 1,
        (true, _) => 2,
    };
    let near = |limit: &Limit| nearness(limit, short);
    limits.sort_by(|a, b| passed(a).cmp(&passed(b)).then(near(a).total_cmp(&near(b))));
    let mut kinds = Vec::new();
    let (mut first, mut others) = (Vec::new(), Vec::new());
    for limit in limits {
        let seen = kinds.contains(&kind(&limit));
        kinds.push(kind(&limit));
        if seen && passed(&limit) > 0 { &mut others } else { &mut first }.push(limit);
    }
    first.append(&mut others);
    first
}

/// What a limit is of: those of one kind come near together.
fn kind(limit: &Limit) -> &'static str {
    let kinds = ["parachute-nose", "propeller-speed", "control", "load-factor", "stall-margin"];
    kinds.into_iter().find(|kind| limit.id.starts_with(kind)).unwrap_or(match limit.id {
        "floor" | "recovery-floor" | "series-floor" => "floor",
        "entry-speed" | "maneuvering-speed" => "maneuvering-speed",
        id => id,
    })
}

/// The margin in margins that are ample: of two limits the one with less is the nearer.
fn nearness(limit: &Limit, short: bool) -> f64 {
    // All of the power or of the throttle is how many forms are flown, and comes near as a limit only where they ask for more.
    if limit.unit == "%" && limit.margin.abs() < 0.05 && !(short && limit.id == "power") {
        return f64::INFINITY;
    }
    limit.margin / ample(limit)
}

/// A margin with which nobody asks farther, in the unit of the limit (common practice, no source).
fn ample(limit: &Limit) -> f64 {
    match limit.unit {
        // Of a speed of rotation; other shares are of power and of the travel of controls.
        "%" if limit.id.starts_with("propeller-speed") => 5.0,
        "kt" => 10.0,
        "g" => 1.0,
        "ft" => 500.0,
        "deg" => 15.0,
        "%" => 20.0,
        _ => (0.25 * limit.limit.abs()).max(f64::MIN_POSITIVE),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::brief::LimitSide;

    fn ids(limits: &[Limit]) -> Vec<&'static str> {
        limits.iter().map(|limit| limit.id).collect()
    }

    fn limit(id: &'static str, unit: &'static str, margin: f64, hard: bool) -> Limit {
        let kept = margin >= 0.0;
        let (value, limit, side) = (100.0 - margin, 100.0, LimitSide::Above);
        Limit {
            id,
            title: id,
            value,
            limit,
            unit,
            side,
            margin,
            source: "common-practice",
            kept,
            hard,
        }
    }

    #[test]
    fn what_is_passed_comes_first_and_then_what_is_near() {
        let limits = vec![
            limit("stall", "kt", 4.0, true),
            limit("throttle", "%", 0.0, false),
            limit("load", "g", 3.1, true),
            limit("floor", "ft", 100.0, true),
            limit("visibility", "km", 5.0, false),
            limit("parachute", "deg", -2.0, false),
            limit("fastest", "kt", -0.1, true),
        ];
        // 100 of 500 ft; 5 of 25 km; 4 of 10 kt; 3.1 of 1 g.
        let wanted = ["fastest", "parachute", "floor", "visibility", "stall", "load", "throttle"];
        assert_eq!(ids(&sorted(limits, false)), wanted);
    }

    #[test]
    fn full_power_is_near_where_the_form_asks_for_more() {
        let limits = || vec![limit("stall", "kt", 4.0, true), limit("power", "%", 0.0, true)];
        assert_eq!(ids(&sorted(limits(), true)), ["power", "stall"]);
        assert_eq!(ids(&sorted(limits(), false)), ["stall", "power"]);
    }

    #[test]
    fn of_a_kind_the_nearest_stands_for_all_unless_one_forbids_the_flight() {
        let limits = vec![
            limit("parachute-bank", "deg", -60.0, false),
            limit("parachute-nose-up", "deg", -30.0, false),
            limit("parachute-nose-down", "deg", -10.0, false),
            limit("floor", "ft", 400.0, true),
            limit("recovery-floor", "ft", -10.0, true),
            limit("series-floor", "ft", -20.0, true),
            limit("stall", "kt", 20.0, true),
        ];
        let wanted = [
            "series-floor",
            "recovery-floor",
            "parachute-bank",
            "parachute-nose-up",
            "stall",
            "parachute-nose-down",
            "floor",
        ];
        assert_eq!(ids(&sorted(limits, false)), wanted);
    }
}
