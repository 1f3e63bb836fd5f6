//! Units against their definitions; directions and headings.
//!
//! Sources: SI-9 (SI brochure), tables 4 and 8; SP-811 (NIST Special Publication 811), appendix B (factors in bold there are
//! exact).

use base::factors;
use base::kinds::{
    CalibratedAirspeed, GeometricHeight, MagneticHeading, Track, TrueAirspeed, TrueHeading,
    Variation,
};
use base::math::log10;
use base::units::{
    Angle, AngularRate, Area, Duration, Force, Length, Mass, Power, Pressure, Quantity, Speed,
    Temperature,
};
use checks::{Table, assert_near};
use proptest::prelude::{ProptestConfig, proptest};

fn exact(what: &str, found: f64, expected: f64) {
    assert_near(what, found, expected, 2.0 * f64::EPSILON * expected.abs());
}

/// SP 811 appendix B.8, exact factors; nautical mile and knot in the SI brochure's 8th ed., table 8.
#[test]
fn val_exact_definitions() {
    exact("foot", Length::from_ft(1.0).to_m(), 0.304_8);
    exact("inch", Length::from_in(1.0).to_m(), 0.025_4);
    exact("nautical mile", Length::from_nm(1.0).to_m(), 1852.0);
    exact("mile per hour", Speed::from_mph(1.0).to_mps(), 0.447_04);
    exact("foot per minute", Speed::from_fpm(1.0).to_mps(), 5.08e-3);
    exact("foot per second", Speed::from_fps(1.0).to_mps(), 0.304_8);
    exact("pound", Mass::from_lb(1.0).to_kg(), 0.453_592_37);
    exact("pound-force", Force::from_lbf(1.0).to_n(), 4.448_221_615_260_5);
    exact("square foot", Area::from_ft2(1.0).to_m2(), 9.290_304e-2);
    exact("standard gravity", factors::STANDARD_GRAVITY_MPS2, 9.806_65);
    exact("statute mile", factors::M_PER_MI, 1609.344);
    exact("degree", Angle::from_deg(180.0).to_rad(), std::f64::consts::PI);
    exact("revolution", AngularRate::from_rpm(60.0).to_radps(), std::f64::consts::TAU);
    exact("hour", Duration::from_h(1.0).to_s(), 3600.0);
    exact("minute", Duration::from_min(1.0).to_s(), 60.0);
    exact("hectopascal", Pressure::from_hpa(1013.25).to_pa(), 101_325.0);
}

/// SP 811 appendix B.8, factors printed to seven figures.
#[test]
fn val_printed_factors() {
    for (what, found, expected) in [
        ("knot", Speed::from_kt(1.0).to_mps(), 5.144_444e-1),
        ("kilometer per hour", Speed::from_kmh(1.0).to_mps(), 2.777_778e-1),
        ("horsepower (550 ft lbf/s)", Power::from_hp(1.0).to_w(), 7.456_999e2),
        ("inch of mercury, conventional", Pressure::from_inhg(1.0).to_pa(), 3.386_389e3),
        ("degree", Angle::from_deg(1.0).to_rad(), 1.745_329e-2),
        ("revolution per minute", AngularRate::from_rpm(1.0).to_radps(), 1.047_198e-1),
        ("degree per second", AngularRate::from_degps(1.0).to_radps(), 1.745_329e-2),
    ] {
        assert_near(what, found, expected, 5.1e-7 * 10.0_f64.powi(log10(expected).floor() as i32));
    }
}

/// SI brochure 9th ed., 2.3.4.4: `t/C = T/K - 273.15`. SP 811 B.8: `t/C = (t/F - 32) / 1.8`.
#[test]
fn val_temperatures() {
    exact("ice", Temperature::from_c(0.0).to_k(), 273.15);
    for (celsius, fahrenheit) in [(0.0, 32.0), (100.0, 212.0), (-40.0, -40.0), (15.0, 59.0)] {
        assert_near("F", Temperature::from_c(celsius).to_f(), fahrenheit, 1e-12 * 459.67);
        assert_near("C", Temperature::from_f(fahrenheit).to_c(), celsius, 1e-12 * 273.15);
    }
    assert_near("absolute zero", Temperature::from_f(-459.67).to_k(), 0.0, 1e-12);
}

/// The rows of checks/numeric-checks-handbook.csv on units, in the order of the file; typed in, and read when it is there.
#[test]
fn val_handbook_rows_on_units() {
    let gravity_ftps2 = factors::STANDARD_GRAVITY_MPS2 / factors::M_PER_FT;
    let kt_in_fps = Speed::from_kt(1.0).to_fps();
    let rows = [
        ("knot to ft/s", kt_in_fps, 1.687_81, 1e-5),
        ("nautical mile", Length::from_nm(1.0).to_ft(), 6076.12, 0.01),
        ("statute mile", factors::M_PER_MI / factors::M_PER_FT, 5280.0, 1e-11),
        ("standard gravity", gravity_ftps2, 32.1740, 0.0005),
        ("constant in R=", gravity_ftps2 / (kt_in_fps * kt_in_fps), 11.294, 0.002),
        ("constant in rate=", Angle::from_rad(gravity_ftps2 / kt_in_fps).to_deg(), 1092.2, 0.2),
    ];
    for (what, found, expected, tolerance) in rows {
        assert_near(what, found, expected, tolerance);
    }
    let Some(table) = Table::read("numeric-checks-handbook.csv") else { return };
    let listed: Vec<_> = table.rows().filter(|row| row.text("topic") == "units").collect();
    assert_eq!(listed.len(), rows.len());
    for (row, (what, found, ..)) in listed.iter().zip(rows) {
        assert!(row.text("quantity").starts_with(what), "{} is now {}", what, row.text("quantity"));
        let tolerance = row.text("tolerance_suggested").parse().unwrap_or(1e-11);
        assert_near(what, found, row.number("expected"), tolerance);
    }
}

#[test]
fn what_is_not_finite_is_refused() {
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(Length::try_from_ft(value).is_none() && Speed::try_from_kt(value).is_none());
        assert!(CalibratedAirspeed::try_from_kt(value).is_none());
        assert!(TrueHeading::try_from_deg(value).is_none() && Mass::try_from_si(value).is_none());
    }
    assert!(Length::try_from_km(1e306).is_none(), "finite in kilometers, not in meters");
}

/// Variation east, magnetic least (FAA-H-8083-25C, ch. 16: true to magnetic subtracts easterly variation), through north too.
#[test]
fn val_variation_east_is_magnetic_least() {
    for (true_deg, variation_deg, magnetic_deg) in
        [(360.0, 10.0, 350.0), (5.0, 12.5, 352.5), (355.0, -11.0, 6.0), (180.0, -14.0, 194.0)]
    {
        let variation = Variation::from_deg(variation_deg);
        let magnetic = TrueHeading::from_deg(true_deg).to_magnetic(variation);
        assert_near("magnetic", magnetic.to_deg(), magnetic_deg, 1e-12);
        let back = MagneticHeading::from_deg(magnetic_deg).to_true(variation);
        assert_near("true", back.to_deg(), true_deg % 360.0, 1e-12);
    }
}

/// The shorter way, right positive; half a turn is to the right.
#[test]
fn val_turns_take_the_shorter_way() {
    for (start, end, turn) in [
        (350.0, 10.0, 20.0),
        (10.0, 350.0, -20.0),
        (0.0, 180.0, 180.0),
        (90.0, 270.0, 180.0),
        (270.0, 90.0, 180.0),
        (359.0, 178.0, 179.0),
        (1.0, 182.0, -179.0),
    ] {
        let found = Track::from_deg(end).turn_from(Track::from_deg(start)).to_deg();
        assert_near(&format!("{start} to {end}"), found, turn, 1e-12);
    }
}

/// Kinds of one dimension differ by a speed or a length, not by one of their own kind.
#[test]
fn val_differences_of_kinds() {
    let slower: Speed = TrueAirspeed::from_kt(110.0) - TrueAirspeed::from_kt(100.0);
    assert_near("difference", slower.to_kt(), 10.0, 1e-12);
    let climb: Length = GeometricHeight::from_ft(5500.0) - GeometricHeight::from_ft(4500.0);
    assert_near("difference", climb.to_m(), 304.8, 1e-9);
    let sum = GeometricHeight::from_ft(4500.0) + climb;
    assert_near("sum", sum.to_ft(), 5500.0, 1e-9);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn prop_there_and_back(value in -1e6_f64..1e6) {
        let near = |found: f64| assert_near("there and back", found, value, 1e-15 * value.abs() + 1e-300);
        near(Length::from_ft(value).to_ft());
        near(Length::from_nm(value).to_nm());
        near(Speed::from_kt(value).to_kt());
        near(Speed::from_fpm(value).to_fpm());
        near(Mass::from_lb(value).to_lb());
        near(Power::from_hp(value).to_hp());
        near(Pressure::from_inhg(value).to_inhg());
        assert_near("F", Temperature::from_f(value).to_f(), value, 2e-16 * (value.abs() + 1e3));
    }

    /// A direction is always in [0, 360) and the turn in (-180, 180], also a hair beside north.
    #[test]
    fn prop_directions_stay_in_the_circle(degrees in -1e4_f64..1e4, other in -1e4_f64..1e4, exponent in -320_i32..3) {
        for value in [degrees, -(10.0_f64.powi(exponent)), 360.0 - 10.0_f64.powi(exponent)] {
            let found = TrueHeading::from_deg(value);
            assert!((0.0..360.0).contains(&found.to_deg()), "{value:e} gives {}", found.to_deg());
            assert!((0.0..std::f64::consts::TAU).contains(&found.to_rad()));
        }
        let (start, end) = (TrueHeading::from_deg(other), TrueHeading::from_deg(degrees));
        let turn = end.turn_from(start);
        assert!(turn.to_rad() > -std::f64::consts::PI && turn.to_rad() <= std::f64::consts::PI);
        let miss = start.turned_by(turn).turn_from(end).to_rad();
        assert_near("arrived", miss, 0.0, 2e-15);
    }
}
