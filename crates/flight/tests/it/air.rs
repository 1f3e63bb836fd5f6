//! The standard atmosphere, airspeed conversion, density altitude.

use base::kinds::{CalibratedAirspeed, EquivalentAirspeed, GeometricHeight, PressureAltitude};
use base::units::{Pressure, Temperature};
use checks::{Table, assert_near};
use flight::air::rules;
use flight::air::{
    Air, Day, geometric_m, geopotential_m, pressure_altitude_m, standard_pressure_pa,
    standard_temperature_k,
};
use flight::airspeed::{
    calibrated_from_true, equivalent_from_true, mach, true_from_calibrated, true_from_equivalent,
};
use proptest::prelude::{ProptestConfig, proptest};

/// DOC-7488 rows at geopotential heights (printed rounding), typed in so that a plain clone checks them.
#[test]
fn val_icao_rows() {
    for (height_m, temperature_k, pressure_pa) in [
        (-1000.0, 294.65, 113_920.0),
        (0.0, 288.15, 101_325.0),
        (1000.0, 281.65, 89_874.0),
        (2000.0, 275.15, 79_495.0),
    ] {
        assert_near("temperature", standard_temperature_k(height_m), temperature_k, 0.005);
        assert_near("pressure", standard_pressure_pa(height_m), pressure_pa, 10.0);
    }
    assert_near("tropopause pressure", standard_pressure_pa(11_000.0), 22_632.0, 0.5);
    // Reference library ussa1976 0.3.4 (US-1976), geometric 11 km of geopotential height, r0 = 6,356,766 m.
    assert_near("geometric height", geometric_m(11_000.0), 11_019.067_832, 1e-4);
}

/// checks/geodesy/isa_published_rows.csv: printed rounding of each row.
#[test]
fn val_published_isa_rows() {
    let Some(table) = Table::read("geodesy/isa_published_rows.csv") else { return };
    for row in table.rows().filter(|row| row.number("H_m") <= 20_000.0) {
        let height_m = row.number("H_m");
        assert_near("temperature", standard_temperature_k(height_m), row.number("T_K"), 0.051);
        let pressure = row.number("p_Pa");
        assert_near("pressure", standard_pressure_pa(height_m), pressure, 1.2e-4 * pressure);
    }
}

/// checks/oracle/atmosphere.csv: ambiance 1.3.1 and ussa1976 0.3.4.
#[test]
fn val_atmosphere_reference_libraries() {
    let Some(table) = Table::read("oracle/atmosphere.csv") else { return };
    for row in table.rows().filter(|row| row.number("H_geopot_m") < 20_000.0) {
        let height_m = geopotential_m(row.number("h_geom_m"));
        assert_near("geopotential", height_m, row.number("H_geopot_m"), 1e-3);
        assert_near(
            "temperature",
            standard_temperature_k(height_m),
            row.number("T_K_ambiance"),
            1e-4,
        );
        // ambiance rounds its layer constants: 1.8e-6 at the tropopause, where ussa1976 has the printed digits.
        let pressure = row.number("p_Pa_ambiance");
        assert_near("pressure", standard_pressure_pa(height_m), pressure, 2.5e-6 * pressure);
        if !row.text("p_Pa_ussa1976").is_empty() {
            let pressure = row.number("p_Pa_ussa1976");
            assert_near("pressure", standard_pressure_pa(height_m), pressure, 1e-6 * pressure);
        }
        let air = Air::standard(PressureAltitude::from_m(height_m));
        assert_near("density", air.density.to_kgpm3(), row.number("rho_kg_m3_ambiance"), 1e-6);
        assert_near("sound", air.speed_of_sound().to_mps(), row.number("a_m_s_ambiance"), 1e-4);
    }
}

fn check_airspeed(
    cas_kt: f64,
    altitude_ft: f64,
    offset_k: f64,
    mach_number: f64,
    tas_kt: f64,
    eas_kt: f64,
) {
    let standard = Air::standard(PressureAltitude::from_ft(altitude_ft));
    let air =
        Air::new(standard.pressure, Temperature::from_k(standard.temperature.to_k() + offset_k));
    let tas = true_from_calibrated(CalibratedAirspeed::from_kt(cas_kt), &air);
    assert_near("Mach", mach(tas, &air), mach_number, 1e-6);
    assert_near("true airspeed", tas.to_kt(), tas_kt, 1e-3);
    assert_near("equivalent airspeed", equivalent_from_true(tas, &air).to_kt(), eas_kt, 1e-3);
    assert_near("back to calibrated", calibrated_from_true(tas, &air).to_kt(), cas_kt, 1e-8);
    assert_near(
        "back to true",
        true_from_equivalent(EquivalentAirspeed::from_kt(eas_kt), &air).to_kt(),
        tas_kt,
        2e-3,
    );
}

/// Single rows of checks/oracle/airspeed.csv (ambiance 1.3.1, jsbsim 1.3.3, flightcondition 26.4.20 agree to 0.0005 kt).
#[test]
fn val_airspeed_rows_typed_in() {
    check_airspeed(140.0, 10_000.0, 0.0, 0.254_582, 162.508_2, 139.651_1);
    check_airspeed(100.0, 5_000.0, 20.0, 0.165_639, 111.469_0, 99.942_8);
}

#[test]
fn val_airspeed_reference_libraries() {
    let Some(table) = Table::read("oracle/airspeed.csv") else { return };
    for row in table.rows() {
        let number = |name| row.number(name);
        check_airspeed(
            number("CAS_kt"),
            number("pressure_altitude_ft"),
            number("dT_ISA_K"),
            number("Mach"),
            number("TAS_kt"),
            number("EAS_kt"),
        );
    }
}

fn day(elevation_ft: f64, qnh_hpa: f64, temperature_c: f64) -> Day {
    Day {
        field_elevation: GeometricHeight::from_ft(elevation_ft),
        qnh: Pressure::from_hpa(qnh_hpa),
        temperature_at_field: Temperature::from_c(temperature_c),
        wind: flight::wind::Wind::CALM,
    }
}

/// The geometric height in feet of a geopotential one: the closed-form altimetry of the reference takes field elevation as
/// geopotential, which differs by 1.4 ft at 5,431 ft.
fn geometric_ft(geopotential_ft: f64) -> f64 {
    geometric_m(geopotential_ft * base::factors::M_PER_FT) / base::factors::M_PER_FT
}

/// checks/oracle/density_altitude.csv: closed-form altimetry, density altitude cross-checked with ambiance 1.3.1.
#[test]
fn val_density_altitude() {
    let elevation = geometric_ft(5431.0);
    let air = day(elevation, 1016.0, 30.0).air_at(GeometricHeight::from_ft(elevation));
    assert_near("pressure altitude", air.pressure_altitude().to_ft(), 5355.979, 0.01);
    assert_near("density altitude", air.density_altitude().to_ft(), 8231.453, 0.01);
    let Some(table) = Table::read("oracle/density_altitude.csv") else { return };
    for row in table.rows() {
        let elevation = geometric_ft(row.number("elevation_ft"));
        let air = day(elevation, row.number("QNH_hPa"), row.number("OAT_C"))
            .air_at(GeometricHeight::from_ft(elevation));
        assert_near(
            "pressure altitude",
            air.pressure_altitude().to_ft(),
            row.number("pressure_altitude_ft"),
            0.01,
        );
        assert_near(
            "density altitude",
            air.density_altitude().to_ft(),
            row.number("density_altitude_ft"),
            0.01,
        );
    }
}

/// Rules of thumb, columns `rule30_PA_ft` and `rule120_DA_ft` of checks/oracle/density_altitude.csv (the latter from the exact pressure
/// altitude and standard temperature); the row of 5,431 ft, 1,016 hPa, 30 C typed in.
#[test]
fn val_altitudes_by_the_rules_of_thumb() {
    let check = |elevation_ft, qnh_hpa, temperature_c, pressure_ft, density_ft| {
        let elevation = GeometricHeight::from_ft(elevation_ft);
        let by_rule = rules::pressure_altitude_by_hpa(elevation, Pressure::from_hpa(qnh_hpa));
        assert_near("30 ft a hPa", by_rule.to_ft(), pressure_ft, 0.051);
        let field = geometric_ft(elevation_ft);
        let day = day(field, qnh_hpa, temperature_c);
        let exact = day.altitudes_of_field().exact.pressure;
        let standard = Air::standard(exact).temperature;
        let outside = Temperature::from_c(temperature_c);
        let density = rules::density_altitude_by_rule(exact, outside, standard);
        assert_near("120 ft a degree", density.to_ft(), density_ft, 0.06);
    };
    check(5431.0, 1016.0, 30.0, 5348.5, 8429.3);
    let Some(table) = Table::read("oracle/density_altitude.csv") else { return };
    for row in table.rows() {
        let number = |name| row.number(name);
        check(
            number("elevation_ft"),
            number("QNH_hPa"),
            number("OAT_C"),
            number("rule30_PA_ft"),
            number("rule120_DA_ft"),
        );
    }
}

/// Exact and by rule side by side: near standard they agree, on a hot day high up the rule tells some hundred feet too much.
#[test]
fn prop_rules_of_thumb_beside_the_exact_altitudes() {
    let near = day(0.0, 1013.25, 15.0).altitudes_of_field();
    assert_near("standard", near.density_miss().to_ft(), 0.0, 1e-6);
    let hot = day(5431.0, 1016.0, 30.0).altitudes_of_field();
    let miss_ft = hot.density_miss().to_ft();
    assert!((100.0..400.0).contains(&miss_ft), "{miss_ft}");
    assert!((hot.by_rule.pressure.to_ft() - hot.exact.pressure.to_ft()).abs() < 20.0);
}

/// PHAK (FAA-H-8083-25) chapter 11, sample problem 1: 5,883 ft, 30.10 inHg gives 5,718 ft; exact dry density altitude 7,709 ft.
#[test]
fn val_handbook_density_altitude() {
    let qnh_pa = Pressure::from_inhg(30.10).to_pa();
    assert_near(
        "pressure altitude",
        (5883.0 + pressure_altitude_m(qnh_pa) / base::factors::M_PER_FT).round(),
        5718.0,
        5.0,
    );
    let air = day(5883.0, Pressure::from_inhg(30.10).to_hpa(), Temperature::from_f(70.0).to_c());
    assert_near(
        "density altitude",
        air.air_at(GeometricHeight::from_ft(5883.0)).density_altitude().to_ft(),
        7709.0,
        5.0,
    );
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn prop_airspeed_round_trip(cas_kt in 5.0..300.0f64, altitude_ft in -1000.0..25000.0f64, offset_k in -40.0..40.0f64) {
        let standard = Air::standard(PressureAltitude::from_ft(altitude_ft));
        let air = Air::new(standard.pressure, Temperature::from_k(standard.temperature.to_k() + offset_k));
        let tas = true_from_calibrated(CalibratedAirspeed::from_kt(cas_kt), &air);
        assert_near("round trip", calibrated_from_true(tas, &air).to_kt(), cas_kt, 1e-6);
    }

    /// Temperature and pressure of any day are hydrostatic: dp/dH = -rho g0.
    #[test]
    fn prop_the_day_is_hydrostatic(elevation_ft in 0.0..8000.0f64, qnh in 970.0..1045.0f64, celsius in -30.0..45.0f64, height_m in 0.0..4000.0f64) {
        let day = day(elevation_ft, qnh, celsius);
        let at = |m: f64| day.air_at(GeometricHeight::from_m(m));
        let slope = (at(height_m + 1.0).pressure.to_pa() - at(height_m - 1.0).pressure.to_pa())
            / (geopotential_m(height_m + 1.0) - geopotential_m(height_m - 1.0));
        let weight = -at(height_m).density.to_kgpm3() * base::factors::STANDARD_GRAVITY_MPS2;
        assert_near("hydrostatic", slope / weight, 1.0, 1e-6);
    }
}
