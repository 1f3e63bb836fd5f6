//! The limits of a brief in the order in which they matter: what is passed, then the nearest. Pages and papers that show a few show the
//! first.

use super::Limit;

/// What is passed first, and of that what forbids the flight; then by the margin, in margins that are ample. Equals stay as they were.
pub(super) fn sorted(mut limits: Vec<Limit>) -> Vec<Limit> {
    let passed = |limit: &Limit| match (limit.kept, limit.hard) {
        (false, true) => 0,
        (false, false) => 1,
        (true, _) => 2,
    };
    limits.sort_by(|a, b| passed(a).cmp(&passed(b)).then(nearness(a).total_cmp(&nearness(b))));
    limits
}

/// The margin in margins that are ample: of two limits the one with less is the nearer.
fn nearness(limit: &Limit) -> f64 {
    // All of the power or of the throttle is how the form is flown, and not a limit that comes near.
    if limit.unit == "%" && limit.margin.abs() < 0.05 {
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

    fn limit(id: &'static str, unit: &'static str, margin: f64, hard: bool) -> Limit {
        let kept = margin >= 0.0;
        let (value, limit, side) = (100.0 - margin, 100.0, LimitSide::Above);
        Limit { id, title: id, value, limit, unit, side, margin, source: "common-practice", kept, hard }
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
        let ids: Vec<&str> = sorted(limits).iter().map(|limit| limit.id).collect();
        // 100 of 500 ft; 5 of 25 km; 4 of 10 kt; 3.1 of 1 g.
        let wanted = ["fastest", "parachute", "floor", "visibility", "stall", "load", "throttle"];
        assert_eq!(ids, wanted);
    }
}
