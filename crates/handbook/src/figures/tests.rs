//! Files of figures: the template, and slips named with their line and cause.

use super::{Figures, TEMPLATE};

fn told(from: &str, to: &str) -> Vec<(usize, String, String)> {
    assert!(TEMPLATE.contains(from), "{from}");
    let text = TEMPLATE.replacen(from, to, 1);
    let faults = Figures::from_toml(&text, "x.toml").unwrap_err();
    faults.faults.into_iter().map(|fault| (fault.line, fault.what, fault.hint)).collect()
}

fn line_of(part: &str) -> usize {
    TEMPLATE.lines().position(|line| line.starts_with(part)).unwrap() + 1
}

#[test]
fn the_template_has_no_fault() {
    let figures = Figures::from_toml(TEMPLATE, "template.toml").unwrap();
    assert_eq!(figures.stalls.len(), 2);
    assert_eq!(figures.climbs.len(), 2);
    let best = figures.speeds.best_rate.unwrap();
    assert!((best.step_si - base::factors::MPS_PER_KT).abs() < 1e-9, "one knot: {best:?}");
    assert_eq!(best.line, line_of("best_rate"));
}

#[test]
fn stall_above_maneuvering_is_a_slip_of_unit() {
    let faults = told("speed = \"48 kt\"", "speed = \"110 kt\"");
    assert!(
        faults.iter().any(|(line, what, hint)| {
            *line == line_of("speed = \"48")
                && what == "the stall speed (110 kt) is not below maneuvering (105 kt)"
                && hint == "mph entered as kt?"
        }),
        "{faults:?}"
    );
}

#[test]
fn miles_an_hour_are_named() {
    let faults = told("normal_max = \"129 kt\"", "normal_max = \"170 kt\"");
    assert!(
        faults.iter().any(|fault| fault
            .1
            .contains("normal_max (170 kt) is not below never_exceed (163 kt)")),
        "{faults:?}"
    );
    let faults = told("speed = \"48 kt\"", "speed = \"68 kt\"");
    assert!(faults.iter().any(|fault| fault.2 == "mph entered as kt?"), "{faults:?}");
}

#[test]
fn a_climb_at_a_negative_weight_is_refused_where_it_stands() {
    let faults = told("rate = \"730 ft/min\"", "rate = \"730 ft/min\"\nmass = \"-900 kg\"");
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].0, line_of("rate = \"730") + 1);
    assert_eq!(faults[0].1, "climb[1].mass must be above zero");
}

#[test]
fn a_cruise_table_in_mixed_units_names_the_row() {
    let more = "true_airspeed = \"115 kt\"\n[[cruise]]\nheight = \"6000 ft\"\npower_share = 0.7\ntrue_airspeed = \"134 kt\"\n";
    let faults = told("true_airspeed = \"115 kt\"\n", more);
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert_eq!(faults[0].2, "this row in mph, the others in kt? (mph entered as kt?)");
}

#[test]
fn a_propeller_larger_than_the_airplane_was_inches() {
    let faults = told("diameter = \"76 in\"", "diameter = \"76 m\"");
    assert_eq!(faults[0].1, "a propeller of 76.00 m is larger than the airplane (span 11.0 m)");
    assert_eq!(faults[0].2, "inches entered as meters?");
}

#[test]
fn pounds_and_feet_for_kilograms_and_meters() {
    let faults = told("maximum = \"1110 kg\"", "maximum = \"4500 kg\"");
    assert!(faults.iter().any(|fault| fault.2 == "lb entered as kg?"), "{faults:?}");
    let faults = told("span = \"11.0 m\"", "span = \"36 m\"");
    assert!(faults.iter().any(|fault| fault.2 == "feet entered as meters?"), "{faults:?}");
}

#[test]
fn a_climb_beyond_the_engine_is_named() {
    let faults = told("rate = \"730 ft/min\"", "rate = \"3700 ft/min\"");
    assert!(faults[0].1.contains("of the engine's power"), "{faults:?}");
}

#[test]
fn power_said_twice_and_unknown_keys() {
    let faults = told("power_share = 0.75", "power_share = 0.75\npower = \"135 hp\"");
    assert!(faults.iter().any(|fault| fault.1 == "the power of this row is said twice"));
    let faults = told("true_airspeed = \"118 kt\"", "true_airsped = \"118 kt\"");
    assert!(faults.iter().any(|fault| fault.2 == "did you mean true_airspeed?"), "{faults:?}");
}
