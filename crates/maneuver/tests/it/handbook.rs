//! Handbook rows (checks/numeric-checks-handbook.csv; each row names its book there) on standards, rules and geometry of the
//! maneuvers. The rows on loads, stalls, turns and air are checked by the crate `flight`, which also lists the rows of other
//! topics and says why nothing here answers them.

use base::factors::{MPS_PER_KT, RAD_PER_DEG};
use base::kinds::GeometricHeight;
use base::units::{LoadFactor, Mass};
use checks::{Row, Table, assert_near};
use flight::airplane::{Airplane, bundled};
use maneuver::brief::{Brief, BriefRequest, Sides, brief};
use maneuver::standard::{self, Measured, MeasuredAt};
use maneuver::{Direction, ReferenceFlight, catalog};

/// Rows of the file that are checked here; one that vanishes or comes is seen.
const N_ROWS: usize = 52;

fn briefed(airplane: &Airplane, id: &str, form: &str, mass: Option<Mass>) -> Brief {
    let maneuver = catalog::find(id).expect("in the catalogue");
    let request = BriefRequest {
        form: maneuver.forms().iter().find(|known| known.key == form).copied(),
        sides: Sides::One(Direction::Right),
        mass,
        height: Some(GeometricHeight::from_ft(3500.0)),
        hands: false,
        field_told: true,
        ..BriefRequest::default()
    };
    brief(maneuver, airplane, &request)
}

fn limit(brief: &Brief, id: &str) -> f64 {
    let found = brief.limits.iter().find(|limit| limit.id == id);
    found.unwrap_or_else(|| panic!("{id}: {:?}", brief.reasons)).limit
}

/// A number that the safety sheet of every maneuver says with these words.
fn said(number: f64, words: &str) -> Option<f64> {
    let airplane = bundled::load("sandpiper-550").expect("bundled");
    let sheet = briefed(&airplane, "wing-over", "60", None).safety;
    let text = words.replace("{}", &format!("{number:.0}"));
    sheet.iter().any(|line| line.line.text.contains(&text)).then_some(number)
}

fn at(flight: &ReferenceFlight, turn_deg: f64) -> flight::trajectory::FlightSample {
    let part = &flight.parts[0];
    let found = part.checkpoints.iter().find(|at| (at.progress_deg - turn_deg).abs() < 1e-6);
    found.expect("a checkpoint").sample
}

/// Tolerance (plus), minus and target of a row of a standard.
fn row_of(
    standard: &str,
    maneuver: &str,
    quantity: Measured,
    place: MeasuredAt,
) -> Option<(f64, Option<f64>, Option<f64>)> {
    let standard = standard::bundled::load(standard).expect("bundled");
    let rows = standard.rows.into_iter();
    let mut mine = rows
        .filter(|row| row.maneuver == maneuver && row.quantity == quantity && row.place == place);
    mine.next().map(|row| (row.target, row.plus, row.minus))
}

fn symmetric(row: Option<(f64, Option<f64>, Option<f64>)>) -> Option<f64> {
    let (_, plus, minus) = row?;
    assert_eq!(plus, minus);
    plus
}

fn standards(topic: &str, quantity: &str) -> Option<f64> {
    use Measured::{
        AirspeedChangeKt, BankDeg, HeadingErrorDeg, HeightAboveGroundFt, HeightChangeFt,
    };
    use MeasuredAt::{End, Greatest, Least, Throughout};
    let (maneuver, quantity) = match topic {
        "standard_steep_turn" => ("steep-turn", quantity),
        "standard_chandelle" => ("chandelle", quantity),
        "standard_lazy_eight" => ("lazy-eight", quantity),
        "standard_steep_spiral" => ("steep-spiral", quantity),
        "standard_eights_on_pylons" => ("eights-on-pylons", quantity),
        "standard_ground_reference" => ("turns-around-a-point", quantity),
        "standard_slow_flight" => ("slow-flight", quantity),
        "standard_stall_power_off" => ("power-off-stall", quantity),
        "standard_stall_power_on" => ("power-on-stall", quantity),
        "standard_stall_accelerated" => ("accelerated-stall", quantity),
        _ => return None,
    };
    let (key, what) = match quantity.split_once(": ") {
        Some(("private", rest)) => ("faa-private", rest),
        Some(("commercial", rest)) => ("faa-commercial", rest),
        _ if maneuver == "turns-around-a-point" => ("faa-private", quantity),
        _ => ("faa-commercial", quantity),
    };
    match what {
        "turns, at least" => Some(catalog::find(maneuver)?.shape().span_deg / 360.0),
        "bank, not above" | "bank in turning stall, not above" => {
            Some(row_of(key, maneuver, BankDeg, Greatest)?.0)
        }
        "bank tolerance: tolerance plus/minus" => row_of(key, maneuver, BankDeg, Greatest)?.1,
        "height band: low" => Some(row_of(key, maneuver, HeightAboveGroundFt, Least)?.0),
        "height band: high" => Some(row_of(key, maneuver, HeightAboveGroundFt, Greatest)?.0),
        "bank: target" => Some(row_of(key, maneuver, BankDeg, Throughout)?.0),
        "bank: tolerance plus/minus" => symmetric(row_of(key, maneuver, BankDeg, Throughout)),
        "altitude: tolerance plus/minus" => {
            symmetric(row_of(key, maneuver, HeightChangeFt, Throughout))
        }
        "airspeed: tolerance plus/minus" => {
            symmetric(row_of(key, maneuver, AirspeedChangeKt, Throughout))
        }
        "rollout heading: tolerance plus/minus" | "heading at 180 point: tolerance plus/minus" => {
            symmetric(row_of(key, maneuver, HeadingErrorDeg, End))
        }
        "altitude at 180 point: tolerance plus/minus" => {
            symmetric(row_of(key, maneuver, HeightChangeFt, End))
        }
        "airspeed at 180 point: tolerance plus/minus" => {
            symmetric(row_of(key, maneuver, AirspeedChangeKt, End))
        }
        "floor" => Some(row_of(key, maneuver, HeightAboveGroundFt, Least)?.0),
        _ => None,
    }
}

/// Tolerances of the European private pilot's test; those of take-off and approach are of no figure here.
fn european(quantity: &str) -> Option<f64> {
    let (measured, place) = match quantity.split_once(": ")?.0 {
        "PPL height normal flight" => (Measured::HeightChangeFt, MeasuredAt::Throughout),
        "PPL speed, other than take-off and approach" => {
            (Measured::AirspeedChangeKt, MeasuredAt::Throughout)
        }
        "PPL heading" => (Measured::HeadingErrorDeg, MeasuredAt::End),
        _ => return None,
    };
    symmetric(row_of("easa-ppl", "steep-turn", measured, place))
}

fn rules(topic: &str, quantity: &str, expected: f64) -> Option<f64> {
    let plover = bundled::load("plover-160").expect("bundled");
    let chandelle = || briefed(&plover, "chandelle", "shallow", None);
    // The plover's utility category ends at 950 kg; above it stands in the normal one.
    let heavy = || briefed(&plover, "chandelle", "shallow", Some(Mass::from_kg(1000.0)));
    match (topic, quantity) {
        ("legal_parachute", quantity) if quantity.starts_with("bank needing") => {
            Some(limit(&chandelle(), "parachute-bank"))
        }
        ("legal_parachute", quantity) if quantity.starts_with("pitch needing") => {
            let brief = chandelle();
            assert_near("nose down", limit(&brief, "parachute-nose-down"), expected, 1e-9);
            Some(limit(&brief, "parachute-nose-up"))
        }
        ("legal_aerobatic", "minimum altitude") => {
            Some(catalog::find("wing-over").expect("in the catalogue").floor().above_ground.to_ft())
        }
        ("legal_aerobatic", "minimum flight visibility") => said(expected, "{} statute miles"),
        ("legal_aerobatic", _) => said(expected, "{} NM of the centerline of a Federal airway"),
        ("legal_category", "bank limit: utility") => Some(limit(&chandelle(), "category-bank")),
        ("legal_category", _) => Some(limit(&heavy(), "category-bank")),
        ("standard_easa_skill_test", quantity) => european(quantity),
        ("standard_clearing_turn", "Navy: minimum heading change") => {
            said(expected, "at least {} degrees in all")
        }
        _ => None,
    }
}

/// Figures of the reference flights. "About" in the books: half a degree.
fn geometry(topic: &str, quantity: &str, expected: f64) -> Option<f64> {
    let plover = bundled::load("plover-160").expect("bundled");
    let flown = |id, form| briefed(&plover, id, form, None).sides.remove(0);
    match (topic, quantity) {
        ("standard_stall_power_on", "power, not less than")
        | ("standard_stall_accelerated", "bank") => {
            let id = if topic.ends_with("on") { "power-on-stall" } else { "accelerated-stall" };
            catalog::find(id)?.forms()[0].key.parse().ok()
        }
        ("standard_chandelle", "bank at entry, approximately") => {
            Some(at(&flown("chandelle", "shallow"), 45.0).bank_rad / RAD_PER_DEG)
        }
        ("standard_lazy_eight", "bank at steepest, approximately" | "bank at 90 point, about") => {
            let flight = flown("lazy-eight", "standard");
            assert_near("steepest", flight.extremes.bank_max_deg, expected, 0.5);
            Some(at(&flight, 90.0).bank_rad / RAD_PER_DEG)
        }
        ("standard_lazy_eight", "bank at 45 point, about") => {
            Some(at(&flown("lazy-eight", "standard"), 45.0).bank_rad / RAD_PER_DEG)
        }
        // Five to ten knots over the stall: the rows are the ends of a range, and the stall speed is the one of the handbook, at 1 g:
        // at the load of that point, 0.85 there, the margin is some four knots more.
        ("standard_lazy_eight", quantity) if quantity.starts_with("speed at 90 point above") => {
            let flight = flown("lazy-eight", "standard");
            let stall = plover.stall_speed(plover.masses.typical, LoadFactor::from_g(1.0)).to_mps();
            let over_kt = (at(&flight, 90.0).calibrated_airspeed_mps - stall) / MPS_PER_KT;
            let inside =
                if quantity.ends_with("low") { over_kt >= expected } else { over_kt <= expected };
            inside.then_some(expected)
        }
        _ => None,
    }
}

/// Where the rows of this test stand in the file; `None` for rows of other tests.
fn computed(row: &Row<'_>) -> Option<f64> {
    let (topic, quantity) = (row.text("topic"), row.text("quantity"));
    let expected = row.text("expected").parse().unwrap_or(f64::NAN);
    standards(topic, quantity)
        .or_else(|| rules(topic, quantity, expected))
        .or_else(|| geometry(topic, quantity, expected))
}

#[test]
fn val_handbook_rows_of_standards_and_geometry() {
    let Some(table) = Table::read("numeric-checks-handbook.csv") else { return };
    let mut checked = 0;
    for row in table.rows() {
        let mine = [
            "standard_steep",
            "standard_chandelle",
            "standard_lazy",
            "standard_eights",
            "standard_ground",
            "standard_slow",
            "standard_stall",
            "standard_clearing",
            "standard_easa_skill",
            "legal_",
        ];
        if !mine.iter().any(|start| row.text("topic").starts_with(start)) {
            continue;
        }
        let name = format!("{}, {}", row.text("topic"), row.text("quantity"));
        let Some(value) = computed(&row) else {
            println!("not here: {name}");
            continue;
        };
        let about = 0.5;
        let exact = row.text("tolerance_suggested") == "exact"
            && !row.text("quantity").contains("about")
            && !row.text("quantity").contains("approximately");
        assert_near(&name, value, row.number("expected"), if exact { 1e-9 } else { about });
        checked += 1;
    }
    assert_eq!(checked, N_ROWS);
}

/// FAA-H-8083-3C p. 10-3 (row 94): begin the roll-out of a steep turn half the bank before the heading. MISSED: the reference rolls
/// at 15 degrees a second and needs less than this rule of thumb for an unhurried hand; today's values are held.
#[test]
fn val_the_roll_out_leads_the_heading() {
    let plover = bundled::load("plover-160").expect("bundled");
    for (form, bank_deg, today_deg) in [("45", 45.0, 12.0), ("60", 60.0, 23.9)] {
        let flight = briefed(&plover, "steep-turn", form, None).sides.remove(0);
        let lead = flight.unknowns.iter().find(|u| u.name.starts_with("roll-out begun"));
        let lead_deg = lead.expect("told").value;
        println!("bank {bank_deg}: lead {lead_deg:.1}");
        assert!(lead_deg < 0.5 * bank_deg, "{form}: {lead_deg} meets the rule: hold it to that");
        assert_near(form, lead_deg, today_deg, 0.1);
    }
}
