//! Handbook rows on loads, stalls, turns and limits.

use base::factors::{M_PER_FT, M_PER_NM, MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::IndicatedAirspeed;
use base::units::{Angle, LoadFactor, Mass};
use checks::Row;
use flight::airplane::{Airplane, Category, bundled};
use flight::envelope::categories::CategoryKind;
use flight::envelope::{
    bank_for_rate_rad, level_turn_bank, level_turn_load_factor, level_turn_radius_m,
    level_turn_rate_radps, normal_category_limit_load,
};

use super::{after, input};

/// A mass at which the cap of the normal category holds.
const LIGHT: Mass = Mass::from_kg(1000.0);
/// Standard rate of turn: three degrees a second.
const STANDARD_RATE_RADPS: f64 = 3.0 * RAD_PER_DEG;

/// What the engine says for a row; `None` for rows that are not computed here.
pub(super) fn computed(row: &Row<'_>) -> Option<f64> {
    let load = input(row, "n").map(LoadFactor::from_g);
    let bank = input(row, "bank").map(Angle::from_deg);
    match (row.text("topic"), row.text("quantity")) {
        ("load_factor", "bank at which a level turn reaches n") => {
            Some(level_turn_bank(load?).to_deg())
        }
        ("load_factor", _) => Some(level_turn_load_factor(bank?).to_g()),
        ("stall_vs_bank", "stall speed") => {
            Some(input(row, "Vs1g")? * stall_factor(level_turn_load_factor(bank?)))
        }
        ("stall_vs_bank", _) => Some(stall_factor(level_turn_load_factor(bank?))),
        ("stall_vs_load", _) => Some(stall_factor(load?)),
        ("stall_vs_weight", "stall speed") => {
            let (light, heavy) = (input(row, "W")?, after(row, "at ")?);
            Some(input(row, "Vs")? * stall_by_mass(Mass::from_lb(light), Mass::from_lb(heavy)))
        }
        ("maneuvering_speed", "VA at weight W") => {
            let (stated, maximum, mass) = (input(row, "VA")?, after(row, "at ")?, input(row, "W")?);
            Some(maneuvering_kt(stated, Mass::from_lb(maximum), Mass::from_lb(mass)))
        }
        ("limit_load", _) => limit_load(row),
        ("turn_radius" | "turn_rate" | "standard_rate", _) => turn(row),
        _ => None,
    }
}

fn turn(row: &Row<'_>) -> Option<f64> {
    let speed = input(row, "TAS").map(|knots| knots * MPS_PER_KT);
    let bank = input(row, "bank").map(|degrees| degrees * RAD_PER_DEG);
    // Definitions name no speed; they hold at any.
    let any_speed = 100.0 * MPS_PER_KT;
    Some(match (row.text("topic"), row.text("quantity")) {
        ("turn_radius", "bank for radius 1 NM") => {
            bank_for_rate_rad(speed?, speed? / M_PER_NM) / RAD_PER_DEG
        }
        ("turn_radius", "radius, exercise uses g=10") => {
            with_gravity_10(level_turn_radius_m(speed?, bank?))
        }
        ("turn_radius", _) => level_turn_radius_m(speed?, bank?) / M_PER_FT,
        ("turn_rate", "time for 360 deg") => circle_s(speed?, bank?),
        ("turn_rate", _) => level_turn_rate_radps(speed?, bank?) / RAD_PER_DEG,
        // The two definitions against each other: the bank of a circle in two minutes turns at three degrees a second.
        ("standard_rate", "definition: rate") => {
            let bank = bank_for_rate_rad(any_speed, 360.0 * RAD_PER_DEG / 120.0);
            level_turn_rate_radps(any_speed, bank) / RAD_PER_DEG
        }
        ("standard_rate", "definition: time for 360") => {
            circle_s(any_speed, bank_for_rate_rad(any_speed, STANDARD_RATE_RADPS))
        }
        ("standard_rate", "bank exact") => {
            bank_for_rate_rad(speed?, STANDARD_RATE_RADPS) / RAD_PER_DEG
        }
        ("standard_rate", "radius") => {
            let bank = bank_for_rate_rad(speed?, STANDARD_RATE_RADPS);
            level_turn_radius_m(speed?, bank) / M_PER_FT
        }
        _ => return None,
    })
}

fn circle_s(speed_mps: f64, bank_rad: f64) -> f64 {
    360.0 * RAD_PER_DEG / level_turn_rate_radps(speed_mps, bank_rad)
}

/// A radius, m, as the exercise has it that takes g for 10 m/s2: radius goes with the inverse of g, ours is 2 % longer.
pub(super) fn with_gravity_10(radius_m: f64) -> f64 {
    radius_m * STANDARD_GRAVITY_MPS2 / 10.0
}

/// Limits: the expression by weight, and the category limits as the demo airplanes' files have them.
fn limit_load(row: &Row<'_>) -> Option<f64> {
    // By the rule; the demo airplanes' files say the same.
    let negative = |name: &str| {
        let category = category(name)?;
        assert_eq!(category.short_of_rule(), (None, None));
        Some(category.kind()?.limit_loads(LIGHT).negative.to_g())
    };
    match (row.text("quantity"), row.text("inputs")) {
        ("normal category n = min(3.8, 2.1+24000/(W+10000))", _) => {
            Some(normal_category_limit_load(Mass::from_lb(input(row, "W")?)).to_g())
        }
        ("positive limit load factor n1", inputs) => {
            let name = inputs.strip_prefix("category=")?;
            let kind = category(name)?.kind()?;
            assert_eq!(kind.simplified_limit_loads().positive, kind.limit_loads(LIGHT).positive);
            assert_eq!(category(name)?.load_factor_max, kind.limit_loads(LIGHT).positive);
            Some(kind.simplified_limit_loads().positive.to_g())
        }
        ("negative limit n2 as a fraction of n1 (Appendix A simplified criteria)", _) => {
            let shares = CategoryKind::ALL.map(|kind| {
                let loads = kind.simplified_limit_loads();
                loads.negative / loads.positive
            });
            let same = |a: f64, b: f64| (a - b).abs() < 1e-12;
            (same(shares[0], shares[1]) && same(shares[1], shares[2])).then_some(shares[0])
        }
        ("negative limit", "normal, 23.337(b): -0.4 n1") => negative("normal"),
        ("negative limit", "utility, 23.337(b): -0.4 n1") => negative("utility"),
        ("negative limit", "acrobatic, 23.337(b): -0.5 n1") => negative("acrobatic"),
        _ => None,
    }
}

/// A category of the demo airplanes.
fn category(name: &str) -> Option<Category> {
    let airplanes = bundled::ALL.iter().filter_map(|(id, _)| bundled::load(id));
    airplanes.flat_map(|airplane| airplane.categories).find(|category| category.name == name)
}

fn airplane() -> Airplane {
    bundled::load("plover-160").expect("a bundled airplane")
}

/// Ratio of stall speeds at a load and at one g, by the engine's own stall speed.
pub(super) fn stall_factor(load: LoadFactor) -> f64 {
    let airplane = airplane();
    let mass = airplane.masses.typical;
    airplane.stall_speed(mass, load) / airplane.stall_speed(mass, LoadFactor::from_g(1.0))
}

/// Ratio of stall speeds at two masses.
pub(super) fn stall_by_mass(mass: Mass, reference: Mass) -> f64 {
    let one = LoadFactor::from_g(1.0);
    airplane().stall_speed(mass, one) / airplane().stall_speed(reference, one)
}

/// Maneuvering speed, kt, at a mass of an airplane without position error whose stated one holds at `maximum`.
pub(super) fn maneuvering_kt(stated_kt: f64, maximum: Mass, mass: Mass) -> f64 {
    let mut airplane = airplane();
    airplane.position_error.clear();
    airplane.masses.maximum = maximum;
    airplane.speeds.maneuvering = IndicatedAirspeed::from_kt(stated_kt);
    airplane.maneuvering_speed(mass).to_kt()
}
