//! The airplane file: good ones, and every kind of fault with its line and hint.

use base::typed_toml::Faults;
use flight::airplane::{Airplane, bundled};

#[test]
fn the_bundled_airplanes_have_no_fault() {
    for (id, text) in bundled::ALL {
        let airplane = Airplane::from_toml(text, id).unwrap();
        assert_eq!(&airplane.id, id);
        assert!(airplane.sources.len() >= 7, "every block has a source");
    }
}

fn fault_of(from: &str, to: &str) -> Faults {
    let text = bundled::ALL[0].1;
    assert!(text.contains(from), "the test must change something");
    Airplane::from_toml(&text.replacen(from, to, 1), "mine.toml").expect_err("a fault is told")
}

#[track_caller]
fn check(from: &str, to: &str, what: &str, hint: &str) {
    let faults = fault_of(from, to);
    let told = faults.to_string();
    assert!(told.contains(what), "told: {told}");
    assert!(faults.hint().contains(hint), "hinted: {}", faults.hint());
    assert!(faults.faults.iter().all(|fault| fault.line > 0));
}

#[test]
fn a_missing_figure_is_named() {
    check("maximum = \"1050 kg\"\n", "", "mass.maximum is missing", "maximum = ");
    check("area = \"15.8 m2\"\n", "", "wing.area is missing", "m2");
    check("source = \"invented\"\nempty", "empty", "mass.source is missing", "source");
}

#[test]
fn a_bare_number_and_a_wrong_unit_are_refused() {
    check("\"680 kg\"", "680", "mass.empty: mass needs a unit", "kg");
    check("\"47 kt\"", "\"47 furlongs\"", "unknown unit \"furlongs\"", "kt");
}

#[test]
fn impossible_figures_are_refused() {
    check("\"680 kg\"", "\"-680 kg\"", "mass.empty is outside 150 to 20000 kg", "unit");
    check("mass_max = \"950 kg\"", "mass_max = \"-950 kg\"", "must be above zero", "sign");
    check("\"10.4 m\"", "\"104 m\"", "wing.span is outside 4 to 40 m", "unit");
    check("\"160 hp\"", "\"9000 hp\"", "propeller.power_max is outside", "unit");
    check("\"4.4 g\"", "\"44 g\"", "load_factor_max is outside 2 to 15 g", "figure");
    check("\"3.8 g\"", "\"0.5 g\"", "load_factor_max is outside 2 to 15 g", "figure");
    check("\"680 kg\"", "\"1680 kg\"", "the empty mass is not below the maximum mass", "units");
    check("drag_zero_lift = 0.033", "drag_zero_lift = 3.3", "outside 0.005 to 0.2", "figure");
    check("\"-1.76 g\"", "\"1.76 g\"", "negative limit load factor", "minus sign");
}

/// The rules of bank hang on the category's name: another spelling would silently drop them.
#[test]
fn an_unknown_category_is_refused() {
    for name in ["Normal", "commuter", "aerobatic", "normal "] {
        let told = format!("category[2].name: {name:?} is not known");
        let hint = "one of: normal, utility, acrobatic";
        check("name = \"normal\"", &format!("name = \"{name}\""), &told, hint);
    }
}

#[test]
fn limits_that_contradict_are_refused() {
    check(
        "never_exceed = \"158 kt\"",
        "never_exceed = \"118 kt\"",
        "normal_max is not below never_exceed",
        "units",
    );
    check(
        "stall = \"47 kt\"",
        "stall = \"61 kt\"",
        "wing area, maximum mass and lift_max give 51.8 kt",
        "lift_max",
    );
    check("100, 120, 140", "120, 100, 140", "indicated_kt must rise", "sort");
}

#[test]
fn a_misspelled_key_is_not_silently_absent() {
    check(
        "never_exceed =",
        "never_exceeed =",
        "speeds.never_exceeed is not known",
        "did you mean never_exceed?",
    );
}

#[test]
fn all_faults_are_told_at_once() {
    let text = bundled::ALL[0].1.replace("\"680 kg\"", "680").replace("\"10.4 m\"", "\"10.4\"");
    assert_eq!(Airplane::from_toml(&text, "mine.toml").unwrap_err().faults.len(), 2);
}

/// The optional blocks, each with a source; the figures are made up for the test.
const STATED: &str = r#"
[[flap]]
source = "invented"
name = "half"
lift_max = 1.75
v_fe = "100 kt"

[[flap]]
source = "invented"
name = "full"
lift_max = 2.0
v_fe = "90 kt"
load_factor_max = "1.9 g"

[power_on_stall]
source = "invented"
thrust_above_body = "1 deg"
slipstream_share = 0.15

[glide]
source = "invented"
speed = "72 kt"
ratio = 9.5
propeller_drag_area = "0.1 m2"

[design_speeds]
source = "invented"
cruise = "126 kt"
dive = "178 kt"
"#;

/// A bundled file without its flaps: those of these tests come in their place.
fn plain_text() -> String {
    let text = bundled::ALL[0].1;
    let at = |block: &str| text.find(block).expect("the file has the block");
    let (from, to) = (at("[[flap]]"), at("[position_error]"));
    format!("{}{}", &text[..from], &text[to..])
}

#[test]
fn optional_blocks_are_read_with_their_sources() {
    let plain = Airplane::from_toml(&plain_text(), "plain").unwrap();
    // The bundled file states its weight and balance, and nothing else of these.
    assert!(plain.stated.balance.is_some());
    let balance = plain.stated.balance.clone();
    let nothing_else = flight::airplane::stated::Stated { balance, ..Default::default() };
    assert_eq!(plain.stated, nothing_else);
    let text = format!("{}{STATED}", plain_text());
    let airplane = Airplane::from_toml(&text, "mine.toml").unwrap();
    let stated = &airplane.stated;
    assert_eq!(stated.flaps.len(), 2);
    let half = stated.flap("half").unwrap();
    assert!((half.load_factor_max.to_g() - 2.0).abs() < 1e-12, "14 CFR 23.345 when none is stated");
    assert!(stated.flap("quarter").is_none());
    assert!(stated.power_on_stall.is_some() && stated.design_speeds.is_some());
    assert!(stated.glide.is_some_and(|glide| glide.ratio == Some(9.5)));
    assert_eq!(airplane.sources.len(), plain.sources.len() + 5);
}

#[test]
fn optional_blocks_that_contradict_are_refused() {
    let check = |from: &str, to: &str, what: &str, hint: &str| {
        assert!(STATED.contains(from), "the test must change something");
        let text = format!("{}{}", plain_text(), STATED.replacen(from, to, 1));
        let faults = Airplane::from_toml(&text, "mine.toml").expect_err("a fault is told");
        let told = faults.to_string();
        assert!(told.contains(what), "told: {told}");
        assert!(faults.hint().contains(hint), "hinted: {}", faults.hint());
        let first_line = plain_text().lines().count();
        assert!(faults.faults.iter().all(|fault| fault.line > first_line), "{faults:?}");
    };
    check("lift_max = 2.0", "lift_max = 1.4", "with flaps is below 1.5", "check both");
    check("\"full\"", "\"half\"", "a second flap position named \"half\"", "name of its own");
    check("\"90 kt\"", "\"190 kt\"", "v_fe is above never_exceed", "units");
    check("\"90 kt\"", "\"30 kt\"", "not above the stall speed of this position", "lift_max");
    check("source = \"invented\"\nname = \"full\"", "name = \"full\"", "source", "source");
    check("v_fe = \"90 kt\"\n", "", "v_fe is missing", "v_fe = ");
    let both = "slipstream_share = 0.15\nstall = \"40 kt\"";
    check("slipstream_share = 0.15", both, "either its speed or the geometry", "stall = ");
    let stall = "stall = \"55 kt\"";
    let geometry = "thrust_above_body = \"1 deg\"\nslipstream_share = 0.15";
    check(geometry, stall, "not below the idle one, 51.8 kt", "power lowers");
    check("\"72 kt\"", "\"40 kt\"", "glide speed is not above the stall speed, 51.8", "units");
    check("\"72 kt\"", "\"172 kt\"", "glide speed is above never_exceed", "both figures");
    check("ratio = 9.5", "ratio = 14", "the drag figures give at most", "drag_zero_lift");
    check("\"178 kt\"", "\"150 kt\"", "nine tenths of the dive speed", "V_NE");
    check("\"126 kt\"", "\"180 kt\"", "cruise is not below dive", "both figures");
    check("slipstream_share", "slipstream_shar", "slipstream_share is missing", "slipstream");
}

const CHART: &str = "twist_pitch_over_diameter = ";

/// The light trainer with a published chart in place of its blades.
fn charted(chart: &str) -> Result<Airplane, Faults> {
    let text = bundled::ALL[0].1;
    let twist = text.lines().find(|line| line.starts_with(CHART)).expect("it has blades");
    let angle = text.lines().find(|line| line.starts_with("blade_angle = ")).expect("fixed pitch");
    let text = text.replacen(twist, "", 1);
    Airplane::from_toml(&format!("{text}\n[[propulsion.chart]]\n{angle}\n{chart}\n"), "mine.toml")
}

#[test]
fn a_published_chart_takes_the_place_of_the_blades() {
    let good = "advance = [0, 0.4, 0.8]\nthrust = [0.10, 0.07, 0.01]\npower = [0.06, 0.05, 0.02]";
    let airplane = charted(good).expect("a good chart");
    let vehicle = airplane.vehicle(base::units::Mass::from_kg(900.0)).expect("six-degree data");
    let air = flight::air::Air::standard(base::kinds::PressureAltitude::from_m(0.0)).into();
    let zero = base::frames::Vec3::ZERO;
    let speed = base::frames::Vec3::new(40.0, 0.0, 0.0);
    let flow = flight::flow::Flow::new(speed, zero, air);
    let inputs = flight::controls::Inputs { throttle: 1.0, ..Default::default() };
    // 40 m/s at 1.88 m and 53.19 turns a second is an advance ratio of 0.4: the chart's second point.
    let turns: f64 = 40.0 / (0.4 * 1.88);
    let mut budget = flight::budget::Budget::new(flight::budget::Switches::ALL);
    let running =
        vehicle.propulsion.run(&flow, &inputs, turns * std::f64::consts::TAU, &mut budget);
    let per_thrust = flow.air.density_kgpm3 * turns * turns * 1.88f64.powi(4);
    assert!(
        (running.thrust_n / per_thrust - 0.07).abs() < 1e-3,
        "{}",
        running.thrust_n / per_thrust
    );
}

#[test]
fn a_chart_that_cannot_be_is_refused_with_its_line() {
    let told = |chart: &str, what: &str| {
        let faults = charted(chart).expect_err("a fault is told");
        assert!(faults.to_string().contains(what), "{faults}");
        assert!(faults.faults.iter().all(|fault| fault.line > 100), "{faults}");
    };
    let rest = "thrust = [0.10, 0.07]\npower = [0.06, 0.05]";
    told(&format!("advance = [0.4, 0]\n{rest}"), "does not rise");
    told(&format!("advance = [0, 0.4, 0.8]\n{rest}"), "3 advance ratios, 2 thrust");
    told("advance = [0, 0.9]\nthrust = [0.1, 0.1]\npower = [0.06, 0.05]", "more power comes out");
    told(&format!("advance = [0, 0.4]\n{rest}\ncolor = 3"), "color");
    let text = format!("advance = [0, 0.4]\n{rest}");
    let twice = format!("{text}\n[[propulsion.chart]]\nblade_angle = \"10 deg\"\n{text}");
    told(&twice, "blade angles of the chart do not rise");
}
