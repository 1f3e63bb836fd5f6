//! Text to quantities: what is read, what is refused and with what hint.

use base::kinds::{CalibratedAirspeed, PressureAltitude};
use base::quantity::{QuantityError, parse};
use base::units::{
    Angle, Area, Force, Length, LoadFactor, Mass, Power, Pressure, Quantity, Speed, Temperature,
};
use checks::assert_near;
use proptest::prelude::{ProptestConfig, proptest};

fn si<Q: Quantity>(text: &str) -> f64 {
    parse::<Q>(text).unwrap_or_else(|error| panic!("{error}; {}", error.hint())).to_si()
}

/// Texts as people type them, against definitions (see `units.rs` for their sources).
#[test]
fn val_texts_are_read_in_their_units() {
    assert_near("feet", si::<Length>("4500ft"), 1_371.6, 1e-9);
    assert_near("a blank", si::<Length>(" 4500 ft "), 1_371.6, 1e-9);
    assert_near("thousands", si::<Length>("4,500 ft"), 1_371.6, 1e-9);
    assert_near("millions", si::<Length>("1,234,567.5 m"), 1_234_567.5, 1e-9);
    assert_near("miles", si::<Length>("0.5 NM"), 926.0, 1e-9);
    assert_near("an exponent", si::<Length>("1.5e3m"), 1500.0, 1e-9);
    assert_near("a sign in it", si::<Length>("15e-1 km"), 1500.0, 1e-9);
    assert_near("no leading nil", si::<LoadFactor>("-.5 g"), -0.5, 1e-12);
    assert_near("a plus", si::<Angle>("+180 deg"), std::f64::consts::PI, 1e-15);
    assert_near("pressure", si::<Pressure>("1009 hPa"), 100_900.0, 1e-9);
    assert_near("standard pressure", si::<Pressure>("29.92 inHg"), 101_320.75, 0.01);
    assert_near("Celsius", si::<Temperature>("28C"), 301.15, 1e-9);
    assert_near("frost", si::<Temperature>("-40 F"), si::<Temperature>("-40 C"), 1e-9);
    assert_near("boiling water", si::<Temperature>("212 F"), 373.15, 1e-9);
    assert_near("knots", si::<CalibratedAirspeed>("100 kt"), 185_200.0 / 3600.0, 1e-12);
    assert_near("horsepower", si::<Power>("160 hp"), 119_311.98, 0.01);
    assert_near("another case", si::<Pressure>("1009 HPA"), 100_900.0, 1e-9);
    assert_near("nautical, not nano", si::<Length>("1 nm"), 1852.0, 1e-9);
    assert_near("height", si::<PressureAltitude>("-500 ft"), -152.4, 1e-9);
}

#[test]
fn a_bare_number_is_refused_with_what_to_write() {
    let error = parse::<Length>("4500").unwrap_err();
    assert!(matches!(error, QuantityError::NoUnit { .. }));
    assert_eq!(error.to_string(), "length needs a unit: \"4500\"");
    assert!(error.hint().starts_with("write 4500m ") && error.hint().contains("ft"));
    for text in ["0", "1e3", "-7.5", " 12 ", "4,500"] {
        assert!(matches!(parse::<Length>(text), Err(QuantityError::NoUnit { .. })), "{text}");
        assert!(matches!(parse::<LoadFactor>(text), Err(QuantityError::NoUnit { .. })), "{text}");
    }
}

#[test]
fn an_unknown_unit_is_refused_with_those_known() {
    let error = parse::<CalibratedAirspeed>("47 furlongs").unwrap_err();
    assert_eq!(
        error.to_string(),
        "unknown unit \"furlongs\" for calibrated airspeed: \"47 furlongs\""
    );
    assert_eq!(error.hint(), "units: m/s, kt, km/h, mph");
    // A unit of another quantity is unknown to this one.
    for text in ["100 ft", "100 hPa", "100 kts now", "100 °", "100 ktkt", "100 k t"] {
        let error = parse::<CalibratedAirspeed>(text).unwrap_err();
        assert!(matches!(error, QuantityError::UnknownUnit { .. }), "{text}: {error:?}");
    }
    assert!(parse::<Mass>("2.5 t").is_err() && parse::<Force>("3 kg").is_err());
    assert!(parse::<Area>("15 m").is_err() && parse::<Temperature>("300").is_err());
}

#[test]
fn what_is_no_number_is_refused() {
    for text in [
        "", "ft", "kt 100", "NaN kt", "inf kt", "--5 kt", "1.2.3 kt", "e5 kt", "+ kt", "1e999 kt",
        "٣ kt",
    ] {
        let error = parse::<Speed>(text).unwrap_err();
        assert!(matches!(error, QuantityError::NotANumber { .. }), "{text:?}: {error:?}");
        assert!(error.hint().contains("kt"));
    }
}

/// A comma is read only where thousands are parted: a decimal comma would be ten times too much.
#[test]
fn regress_a_decimal_comma_is_refused() {
    for text in [
        "1,5 kt",
        "29,92 kt",
        "12,34 kt",
        "1,0000 kt",
        ",5 kt",
        "5, kt",
        "1,,000 kt",
        "1.5,000 kt",
        "1234,567 kt",
        "0,500 kt",
    ] {
        let error = parse::<Speed>(text).unwrap_err();
        assert!(matches!(error, QuantityError::NotANumber { .. }), "{text:?}: {error:?}");
    }
    assert!(parse::<Speed>("1,5 kt").unwrap_err().hint().contains("point"));
}

/// A figure beyond all numbers is no fault of its unit.
#[test]
fn regress_a_figure_too_large_is_not_an_unknown_unit() {
    let error = parse::<Length>("1e308 km").unwrap_err();
    assert!(matches!(error, QuantityError::TooLarge { .. }), "{error:?}");
    assert!(error.hint().contains("exponent"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    /// Any text gives a value or an error with a hint; nothing panics.
    #[test]
    fn prop_any_text_is_answered(text in "\\PC{0,24}") {
        if let Err(error) = parse::<Speed>(&text) {
            assert!(!error.hint().is_empty() && !error.to_string().is_empty());
        }
    }

    /// A number with its unit comes back whatever the unit.
    #[test]
    fn prop_every_unit_reads_back(value in -1e5_f64..1e5) {
        for unit in Length::UNITS {
            let read = parse::<Length>(&format!("{value} {}", unit.symbol)).unwrap();
            assert_near(unit.symbol, read.to_si() / unit.scale, value, 1e-10);
        }
        for unit in Temperature::UNITS {
            let read = parse::<Temperature>(&format!("{value}{}", unit.symbol)).unwrap();
            assert_near(unit.symbol, (read.to_si() - unit.offset) / unit.scale, value, 1e-9);
        }
    }
}
