//! Handbook rows on the atmosphere, airspeed, density altitude and the wind triangle.

use base::factors::{M_PER_FT, M_PER_NM, MPS_PER_KT, RAD_PER_DEG};
use base::frames::{Ned, Vec3};
use base::kinds::{EquivalentAirspeed, GeometricHeight, PressureAltitude, Track};
use base::numerics::root;
use base::units::{Pressure, Speed, Temperature};
use checks::{Row, assert_near};
use flight::air::rules;
use flight::air::{Air, Day, SEA_LEVEL_DENSITY_KGPM3, geometric_m};
use flight::airspeed::true_from_equivalent;
use flight::wind::Wind;

use super::{after, input};

/// What the engine says for a row; `None` for rows that are not computed here.
pub(super) fn computed(row: &Row<'_>) -> Option<f64> {
    match row.text("topic") {
        "isa" => isa(row),
        "airspeed" => {
            // "Incompressible": the speed in the row is the equivalent one.
            let air = standard(input(row, "PA")?);
            Some(
                true_from_equivalent(EquivalentAirspeed::from_kt(input(row, "CAS")?), &air).to_kt(),
            )
        }
        "density_altitude" => density_altitude(row),
        "wind_triangle" => wind_triangle(row),
        _ => None,
    }
}

fn standard(pressure_altitude_ft: f64) -> Air {
    Air::standard(PressureAltitude::from_ft(pressure_altitude_ft))
}

fn isa(row: &Row<'_>) -> Option<f64> {
    let at = input(row, "pressure altitude").map(standard);
    // What a thousand feet change at low levels; the rules print whole numbers.
    let (low, high) = (standard(0.0), standard(1000.0));
    Some(match row.text("quantity") {
        "temperature" => at?.temperature.to_c(),
        "pressure" => at?.pressure.to_inhg(),
        "density ratio sigma" => at?.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3,
        "PHAK example at 3000 ft (rounded rule)" => {
            rules::standard_pressure_by_rule(PressureAltitude::from_ft(3000.0)).to_inhg()
        }
        "rule-of-thumb pressure lapse" => low.pressure.to_inhg() - high.pressure.to_inhg(),
        "rule-of-thumb temperature lapse" => low.temperature.to_c() - high.temperature.to_c(),
        _ => return None,
    })
}

fn day(elevation_ft: f64, qnh: Pressure) -> Day {
    // The books reckon feet as the altimeter does: geopotential ones.
    let elevation = GeometricHeight::from_m(geometric_m(elevation_ft * M_PER_FT));
    Day { field_elevation: elevation, qnh, ..Day::standard() }
}

fn density_altitude(row: &Row<'_>) -> Option<f64> {
    let qnh = input(row, "altimeter").map(Pressure::from_inhg);
    Some(match row.text("quantity") {
        "pressure altitude" => field(input(row, "elevation")?, qnh?),
        "pressure correction" => field(0.0, qnh?),
        "rule 120 ft per degC above ISA" => {
            // The station stands for the pressure altitude, as on paper.
            let station = PressureAltitude::from_ft(after(row, "station ")?);
            let outside = Temperature::from_c(input(row, "OAT")?);
            let standard = rules::standard_temperature_by_rule(station);
            let density = rules::density_altitude_by_rule(station, outside, standard);
            density.to_ft() - station.to_ft()
        }
        "density altitude (chart reading)" | "density altitude exact (dry)" => {
            let degrees = input(row, "OAT")?;
            let temperature = if row.text("inputs").ends_with('F') {
                Temperature::from_f(degrees)
            } else {
                Temperature::from_c(degrees)
            };
            of_pressure_altitude(input(row, "PA")?, temperature)
        }
        _ => return None,
    })
}

/// Pressure altitude, ft, of a field.
fn field(elevation_ft: f64, qnh: Pressure) -> f64 {
    let day = day(elevation_ft, qnh);
    day.air_at(day.field_elevation).pressure_altitude().to_ft()
}

/// Density altitude, ft.
fn of_pressure_altitude(pressure_altitude_ft: f64, temperature: Temperature) -> f64 {
    Air::new(standard(pressure_altitude_ft).pressure, temperature).density_altitude().to_ft()
}

fn wind_triangle(row: &Row<'_>) -> Option<f64> {
    if let Some(crosswind_kt) = input(row, "crosswind") {
        let wind = wind(90.0, crosswind_kt);
        return Some(-wind.velocity().east() * 3600.0 / M_PER_NM);
    }
    let (speed_kt, wind_kt) = (input(row, "TAS")?, input(row, "wind")?);
    let (correction_deg, ground_kt) = triangle(speed_kt, wind_kt, after(row, "from ")?);
    match row.text("quantity") {
        "wind correction angle" => Some(correction_deg),
        "groundspeed" => Some(ground_kt),
        _ => None,
    }
}

fn wind(from_deg: f64, speed_kt: f64) -> Wind {
    Wind { from: Track::from_deg(from_deg), speed: Speed::from_kt(speed_kt) }
}

/// Degrees into the wind and knots over the ground, on a track due north: the ground speed at which velocity over the ground less
/// that of the air is as long as the airspeed.
fn triangle(speed_kt: f64, wind_kt: f64, from_deg: f64) -> (f64, f64) {
    let of_air = wind(from_deg, wind_kt).velocity();
    let through_air = |ground_mps: f64| Vec3::<Ned>::new(ground_mps, 0.0, 0.0) - of_air;
    let excess = |ground_mps: f64| through_air(ground_mps).norm() - speed_kt * MPS_PER_KT;
    let ground_mps = root::find(excess, 0.0, 200.0, 1e-12).expect("the wind is slower");
    let air = through_air(ground_mps);
    (base::math::atan2(air.east(), air.north()) / RAD_PER_DEG, ground_mps / MPS_PER_KT)
}

/// Rows typed in: International Standard Atmosphere at 5,000 ft (5.09 C, 24.90 inHg, 0.8617), PHAK figure 10-3 of edition
/// 25A (205 ft for 29.70 inHg) and chapter 11, sample problem 1 (7,700 ft read off a chart); exact density altitude; wind of
/// 20 kt on the beam at 100 kt.
#[test]
fn val_air_rows_typed_in() {
    let air = standard(5000.0);
    assert_near("temperature", air.temperature.to_c(), 5.09, 0.02);
    assert_near("pressure", air.pressure.to_inhg(), 24.90, 0.01);
    assert_near("density", air.density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3, 0.8617, 0.0002);
    let tas = true_from_equivalent(EquivalentAirspeed::from_kt(100.0), &air);
    assert_near("true airspeed", tas.to_kt(), 107.7, 0.1);
    assert_near("correction", field(0.0, Pressure::from_inhg(29.70)), 205.0, 5.0);
    assert_near("chart", of_pressure_altitude(5718.0, Temperature::from_f(70.0)), 7700.0, 150.0);
    assert_near("exact", of_pressure_altitude(2000.0, Temperature::from_c(30.0)), 4161.0, 5.0);
    let (correction_deg, ground_kt) = triangle(100.0, 20.0, 90.0);
    assert_near("correction", correction_deg, 11.54, 0.05);
    assert_near("ground speed", ground_kt, 98.0, 0.1);
}
