//! Faults of six-degree blocks, each with its line.

use crate::airplane::published::{ALL, RigidAirplane};
use crate::airplane::{Airplane, NoSixDegree, bundled};
use base::typed_toml::Fault;
use base::units::Mass;

fn text(id: &str) -> &'static str {
    ALL.iter().find(|(known, _)| *known == id).expect("it is bundled").1
}

/// Changes one line of a published file (the first that begins so, after a line that begins otherwise): the faults, and the
/// number of the changed line.
fn broken(id: &str, after: &str, line: &str, instead: &str) -> (Vec<Fault>, usize) {
    let lines: Vec<&str> = text(id).lines().collect();
    let from = lines.iter().position(|l| l.starts_with(after)).expect("the block is there");
    let at = from + lines[from..].iter().position(|l| l.starts_with(line)).expect("it is there");
    let mut changed = lines.clone();
    changed[at] = instead;
    let faults = RigidAirplane::from_toml(&changed.join("\n"), id).expect_err(instead).faults;
    (faults, at + 1)
}

/// A fault with a hint stands at the line that was changed and says this.
fn check(id: &str, (after, line, instead): (&str, &str, &str), says: &str) {
    let (faults, changed) = broken(id, after, line, instead);
    let told = |fault: &Fault| fault.line == changed && fault.what.contains(says);
    let found = faults.iter().find(|fault| told(fault));
    assert!(
        found.is_some_and(|fault| !fault.hint.is_empty()),
        "line {changed}, {says}: {faults:?}"
    );
}

#[test]
fn impossible_inertia_is_refused() {
    let says = "exceeds the sum";
    check("beaver", ("[inertia]", "zz", "zz = \"13000 kg m2\""), says);
    check("beaver", ("[inertia]", "xx", "xx = \"-5368 kg m2\""), "not positive definite");
    check("beaver", ("[inertia]", "xz", "xz = \"9000 kg m2\""), "not positive definite");
    check("beaver", ("[inertia]", "mass", "mass = \"0 kg\""), "above zero");
    check("beaver", ("[inertia]", "yy", "yy = 6928.93"), "needs a unit");
}

#[test]
fn missing_blocks_are_told() {
    let cut = |id: &str, block: &str| {
        let text = text(id);
        let start = text.find(block).expect("the block is there");
        let rest = &text[start + 1..];
        let end = rest.find("\n[").map_or(text.len(), |at| start + 1 + at);
        let cut = format!("{}{}", &text[..start], &text[end..]);
        RigidAirplane::from_toml(&cut, id).expect_err(block).faults[0].clone()
    };
    let line_of = |id: &str, line: &str| text(id).lines().position(|l| l == line).unwrap() + 1;
    let fault = cut("beaver", "[pressure_rise]");
    assert_eq!(
        (fault.line, fault.what.as_str()),
        (line_of("beaver", "[inertia]"), "no block says what pulls")
    );
    let fault = cut("navion-nelson", "[controls]");
    assert_eq!(fault.what, "[inertia] needs a block [controls] beside it");
    assert_eq!(fault.line, line_of("navion-nelson", "[inertia]"));
    let fault = cut("navion-nelson", "[derivatives.roll]");
    assert_eq!(fault.what, "block [derivatives.roll] is missing");
    assert_eq!(fault.line, line_of("navion-nelson", "[derivatives]"));
}

#[test]
fn two_blocks_for_one_thing_are_refused() {
    let text = format!(
        "{}\n[steady_thrust]\nsource = \"x\"\nlaw = \"constant-thrust\"\nthrust_max = \"9 N\"\n",
        text("beaver")
    );
    let faults = RigidAirplane::from_toml(&text, "x").unwrap_err().faults;
    assert_eq!(faults[0].what, "more than one block says what pulls");
}

#[test]
fn limits_that_contradict_are_refused() {
    let says = "not above alpha_least";
    check("beaver", ("[polynomial]", "alpha_most", "alpha_most = \"-5 deg\""), says);
    let says = "not above airspeed_least";
    check("beaver", ("[polynomial]", "airspeed_most", "airspeed_most = \"20 m/s\""), says);
    let says = "beyond its limit";
    let floats = "rudder = { most = \"25 deg\", tab_floats = \"26 deg\" }";
    check("beaver", ("[controls]", "rudder", floats), says);
    let says = "without lag";
    let rate = "rudder = { most = \"25 deg\", rate = \"50 deg/s\" }";
    check("beaver", ("[controls]", "rudder", rate), says);
    let says = "without a force";
    let trails = "rudder = { most = \"25 deg\", trails_per_deg = 0.2 }";
    check("beaver", ("[controls]", "rudder", trails), says);
    let says = "not above manifold_idle";
    check("beaver", ("[pressure_rise]", "manifold_max", "manifold_max = \"10 inHg\""), says);
}

#[test]
fn propeller_data_are_needed() {
    check("beaver", ("[pressure_rise]", "rise_zero", "rise_zero = \"x\""), "must be a number");
    check("single-230hp", ("[steady_thrust]", "power_max", "power_max = \"0 hp\""), "above zero");
    let (faults, _) = broken("single-230hp", "[steady_thrust]", "power_max", "");
    assert_eq!(faults[0].what, "steady_thrust.power_max is missing");
}

#[test]
fn unknown_variables_and_keys_are_refused() {
    let says = "\"alhpa\" is not a variable";
    check("beaver", ("[polynomial.roll]", "\"alpha^2 pressure_rise\"", "\"alhpa^2\" = 1.0"), says);
    check("beaver", ("[polynomial.roll]", "\"beta\"", "\"beta^0\" = 1.0"), "whole number from 1");
    check("beaver", ("[polynomial.roll]", "\"beta\"", "\"beta^4 alpha^4\" = 1.0"), "8 factors");
    check("beaver", ("[polynomial.roll]", "\"beta\"", "\"beta\" = \"1\""), "must be a number");
    check("navion-nelson", ("[derivatives.lift]", "elevator", "elevatr = 0.3"), "is not known");
    check("navion-nelson", ("[inertia]", "center_of_gravity", "cg = 0.3"), "is not known");
}

#[test]
fn signs_against_nature_are_refused() {
    let says = "aileron has the wrong sign";
    check("navion-nelson", ("[derivatives.roll]", "aileron", "aileron = -0.134"), says);
    check("navion-nelson", ("[derivatives.yaw]", "rudder", "rudder = 0.072"), "wrong sign");
    check("navion-nelson", ("[derivatives.roll]", "roll_rate", "roll_rate = 0.41"), "wrong sign");
    check("navion-nelson", ("[derivatives.drag]", "alpha", "alpha = 1000"), "outside");
}

const TABLES: &str = r#"
[[tables.table]]
of = "lift"
over = ["alpha"]
alpha_deg = [-10, 0, 10, 15]
values = [-0.5, 0.3, 1.1, 1.2]
[[tables.table]]
of = "roll"
over = ["alpha", "aileron"]
alpha_deg = [-10, 15]
aileron_deg = [-20, 0, 20]
values = [-0.04, 0.0, 0.04, -0.03, 0.0, 0.03]
[[tables.table]]
of = "pitch"
over = ["alpha"]
alpha_deg = [-10, 15]
values = [-1.2, -1.0]
times = "elevator"
"#;

fn tables(change: impl Fn(String) -> String) -> Result<RigidAirplane, (usize, String)> {
    let text = text("navion-nelson");
    let start = text.find("[derivatives.lift]").expect("it is there");
    let end = text.find("[controls]").expect("it is there");
    let head = text[..start]
        .replace("[derivatives]", "[tables]\naxes = \"stability\"\npitch_alpha_rate = -4.4");
    let whole = change(format!("{head}{TABLES}{}", &text[end..]));
    RigidAirplane::from_toml(&whole, "x").map_err(|faults| {
        let fault = &faults.faults[0];
        let line = whole.lines().nth(fault.line - 1).unwrap_or_default();
        (fault.line, format!("{line}: {}", fault.what))
    })
}

#[test]
fn tables_are_read_and_their_faults_told() {
    assert!(tables(|text| text).is_ok());
    let told = |from: &'static str, to: &'static str| {
        tables(|text| text.replace(from, to)).expect_err(to).1
    };
    let what = told("alpha_deg = [-10, 0, 10, 15]", "alpha_deg = [-10, 0, 0, 15]");
    assert!(
        what.starts_with("alpha_deg = [-10, 0, 0, 15]: ") && what.contains("does not rise"),
        "{what}"
    );
    let what = told("aileron_deg = [-20, 0, 20]", "aileron_deg = [-20, 0, -20]");
    assert!(what.starts_with("aileron_deg") && what.contains("does not rise"), "{what}");
    let what = told("values = [-0.5, 0.3, 1.1, 1.2]", "values = [-0.5, 0.3, 1.1]");
    assert!(what.starts_with("values") && what.contains("ask for 4 values"), "{what}");
    let what = told("over = [\"alpha\", \"aileron\"]", "over = [\"alpha\", \"stick\"]");
    assert!(what.starts_with("over") && what.contains("\"stick\" is not a variable"), "{what}");
    let what = told("times = \"elevator\"", "times = \"lever\"");
    assert!(what.starts_with("times") && what.contains("is not a variable"), "{what}");
    let what = told("of = \"lift\"", "of = \"force_x\"");
    assert!(what.starts_with("of") && what.contains("is not known"), "{what}");
    let what = told("alpha_most = \"8 deg\"", "alpha_most = \"18 deg\"");
    assert!(what.starts_with("alpha_deg") && what.contains("reach beyond the knots"), "{what}");
}

#[test]
fn a_full_file_may_hold_the_blocks_and_must_agree_with_itself() {
    let (name, plain) = bundled::ALL[0];
    let lone = Airplane { rigid: None, ..Airplane::from_toml(plain, name).unwrap() };
    let error = lone.vehicle(lone.masses.typical).unwrap_err();
    assert!(
        matches!(error, NoSixDegree::Missing { .. }) && error.to_string().contains("[inertia]")
    );
    let cut = plain.find("[inertia]").map_or(plain, |at| &plain[..at]);
    let published = text("navion-nelson");
    let blocks = &published[published.find("[inertia]").expect("it is there")..];
    let far = Airplane::from_toml(&format!("{cut}\n{blocks}"), name).unwrap_err();
    assert!(far.faults.iter().any(|fault| fault.what.starts_with("area is 17.09 here")), "{far}");
    let near = blocks.replace("\"184 ft2\"", "\"15.8 m2\"").replace("\"33.4 ft\"", "\"10.4 m\"");
    let airplane = Airplane::from_toml(&format!("{cut}\n{near}"), name).unwrap();
    let vehicle = airplane.vehicle(Mass::from_kg(900.0)).unwrap();
    assert!((vehicle.mass.mass_kg() - 900.0).abs() < 1e-12);
    let loading = airplane.rigid.unwrap().loading;
    let share = 900.0 / loading.mass.to_kg();
    assert!((vehicle.mass.inertia().yy - loading.inertia.yy * share).abs() < 1e-9);
}
