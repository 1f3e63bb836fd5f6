//! The envelope against published rows and the rule's own formulas; invariants on the demo airplanes.

use base::factors::MPS_PER_KT;
use base::kinds::{EquivalentAirspeed, IndicatedAirspeed, PressureAltitude};
use base::units::{Area, Density, Length, LoadFactor, Mass, Speed};
use checks::assert_near;
use flight::air::{Air, SEA_LEVEL_DENSITY_KGPM3};
use flight::airplane::stated::{DesignSpeeds, Flap, PowerOnStall};
use flight::airplane::{Airplane, bundled};
use flight::envelope::categories::{CategoryKind, rolling_limit_load, unsymmetrical_share};
use flight::envelope::diagram::{Diagram, MarkName, Point, SpeedBasis};
use flight::envelope::gust::{GustAt, design_gust};
use flight::envelope::maneuvering::Agreement;
use flight::envelope::stall::{StallBasis, StallCase, StallPower, StallUnknown};

/// The airplanes that come with the program.
pub(super) fn demo_airplanes() -> impl Iterator<Item = Airplane> {
    bundled::ALL.iter().map(|(id, _)| bundled::load(id).expect("a bundled airplane"))
}

fn plover() -> Airplane {
    bundled::load("plover-160").expect("a bundled airplane")
}

fn sea_level() -> Air {
    Air::standard(PressureAltitude::from_ft(0.0))
}

fn g(load: f64) -> LoadFactor {
    LoadFactor::from_g(load)
}

/// LOWRY-1999 p. 108 (checks/lightplane/lowry_c182rg_check.csv): 2,400 lb on 174 ft2 stall at 52 KCAS with a greatest lift coefficient
/// of 1.51.
#[test]
fn val_stall_speed_of_a_published_lift_coefficient() {
    let mut airplane = plover();
    airplane.wing_area = Area::from_ft2(174.0);
    airplane.aerodynamics.lift_max = 1.51;
    let stall = airplane.stall_speed(Mass::from_lb(2400.0), g(1.0));
    assert_near("stall, kt", stall.to_kt(), 52.0, 0.2);
}

/// 14 CFR 23.341 (c) worked by hand in its own units: 2,300 lb, 174 ft2, span 36 ft, slope 4.6, sea level (0.0023769 slug/ft3):
/// mu = 2 x 13.218 / (0.0023769 x 4.8333 x 4.6 x 32.174) = 15.548, K_g = 0.6563, at 100 kt and 50 ft/s
/// n = 1 + 0.6563 x 50 x 100 x 4.6 / (498 x 13.218) = 3.293. The rule rounds 498.
#[test]
fn val_gust_in_the_units_of_the_rule() {
    let mut airplane = plover();
    airplane.wing_area = Area::from_ft2(174.0);
    airplane.wing_span = Length::from_ft(36.0);
    airplane.aerodynamics.lift_slope_per_rad = 4.6;
    let density = Density::from_kgpm3(SEA_LEVEL_DENSITY_KGPM3);
    let answer = airplane.gust_answer(Mass::from_lb(2300.0), density);
    assert_near("mu", answer.mass_ratio, 15.548, 0.005);
    assert_near("K_g", answer.alleviation, 0.6563, 0.0001);
    let load = |speed_kt, gust| answer.load(EquivalentAirspeed::from_kt(speed_kt), gust).to_g();
    assert_near("n", load(100.0, Speed::from_fps(50.0)), 3.293, 0.005);
    assert_near("down", load(100.0, Speed::from_fps(-50.0)), 2.0 - 3.293, 0.005);
    // 14 CFR 23.333 (c): 50 and 25 ft/s to 20,000 ft, half of it at 50,000 ft.
    for (at, height_ft, gust_fps) in [
        (GustAt::Cruise, 0.0, 50.0),
        (GustAt::Cruise, 20_000.0, 50.0),
        (GustAt::Cruise, 35_000.0, 37.5),
        (GustAt::Cruise, 50_000.0, 25.0),
        (GustAt::Dive, 10_000.0, 25.0),
        (GustAt::Dive, 50_000.0, 12.5),
    ] {
        let gust = design_gust(at, PressureAltitude::from_ft(height_ft));
        assert_near("gust", gust.to_fps(), gust_fps, 1e-9);
    }
}

/// 14 CFR 23.337 (edition before 2017) by category; 23.349 from memory.
#[test]
fn val_limit_loads_by_category() {
    let heavy = Mass::from_lb(12_500.0);
    let loads = |kind: CategoryKind, mass| {
        let loads = kind.limit_loads(mass);
        (loads.positive.to_g(), loads.negative.to_g())
    };
    let (positive, negative) = loads(CategoryKind::Normal, heavy);
    assert_near("normal, 12,500 lb", positive, 3.167, 0.001);
    assert_near("negative", negative, -0.4 * positive, 1e-12);
    assert_eq!(loads(CategoryKind::Acrobatic, heavy), (6.0, -3.0));
    assert_near("rolling", rolling_limit_load(g(3.8)).to_g(), 2.533, 0.001);
    assert_near("unsymmetrical", unsymmetrical_share(CategoryKind::Acrobatic), 0.6, 0.0);
    let mut weak = plover().categories[1].clone();
    weak.load_factor_max = g(3.5);
    assert_eq!(weak.short_of_rule().0, Some(g(3.8)));
}

/// The stall rises with mass and load, falls with flaps and power; what is not stated is refused.
#[test]
fn prop_stall_by_mass_load_flap_and_power() {
    let mut airplane = plover();
    let flap = |name: &str, lift_max| Flap {
        name: name.into(),
        lift_max,
        extended_max: IndicatedAirspeed::from_kt(90.0),
        load_factor_max: g(2.0),
        polar: None,
    };
    airplane.stated.flaps = vec![flap("half", 1.7), flap("full", 2.0)];
    let geometry = PowerOnStall::Geometry {
        thrust_above_body: base::units::Angle::from_deg(0.0),
        slipstream_share: 0.1,
    };
    airplane.stated.power_on_stall = Some(geometry);
    let full = StallPower::Full(Density::from_kgpm3(1.1));
    let stall = |airplane: &Airplane, mass_kg, load, flap, power| {
        airplane.stall(&StallCase { mass: Mass::from_kg(mass_kg), load: g(load), flap, power })
    };
    let kt = |mass_kg, load, flap, power| {
        stall(&airplane, mass_kg, load, flap, power).expect("stated").calibrated.to_kt()
    };
    for power in [StallPower::Idle, full] {
        for pair in [700.0, 800.0, 900.0, 1050.0].windows(2) {
            assert!(kt(pair[0], 1.0, None, power) < kt(pair[1], 1.0, None, power));
        }
        for pair in [0.5, 1.0, 2.0, 3.8].windows(2) {
            assert!(kt(900.0, pair[0], None, power) < kt(900.0, pair[1], None, power));
        }
    }
    let idle = StallPower::Idle;
    assert!(kt(900.0, 1.0, Some("full"), idle) < kt(900.0, 1.0, Some("half"), idle));
    assert!(kt(900.0, 1.0, Some("half"), idle) < kt(900.0, 1.0, None, idle));
    assert!(kt(900.0, 1.0, None, full) < kt(900.0, 1.0, None, idle));
    assert_near(
        "root of lift",
        kt(900.0, 1.0, Some("full"), idle),
        kt(675.0, 1.0, None, idle),
        1e-9,
    );
    assert!(kt(900.0, -1.0, None, idle) > kt(900.0, 1.0, None, idle));
    let refused = |flap, load, power| stall(&airplane, 900.0, load, flap, power).unwrap_err();
    let unknown = refused(Some("third"), 1.0, idle);
    assert_eq!(unknown.to_string(), "no flap position \"third\": half, full");
    assert!(unknown.hint().contains("[[flap]]"));
    assert!(matches!(refused(Some("full"), 1.0, full), StallUnknown::Power { .. }));
    assert!(matches!(refused(Some("full"), -1.0, idle), StallUnknown::NegativeWithFlaps { .. }));
    assert!(matches!(refused(None, -1.0, full), StallUnknown::Power { .. }));
    assert!(matches!(stall(&plover(), 900.0, 1.0, None, full), Err(StallUnknown::Power { .. })));
}

/// Geometry without slipstream and with the thrust along the path bears nothing: the idle stall. A stated speed is told back at
/// maximum mass and falls with the root of mass.
#[test]
fn prop_stall_under_power_in_its_limits() {
    let mut airplane = plover();
    let incidence = airplane.incidence_rad(airplane.aerodynamics.lift_max);
    airplane.stated.power_on_stall = Some(PowerOnStall::Geometry {
        thrust_above_body: base::units::Angle::from_rad(-incidence),
        slipstream_share: 0.0,
    });
    let case = |mass, load, density| StallCase {
        mass,
        load,
        flap: None,
        power: StallPower::Full(Density::from_kgpm3(density)),
    };
    let mass = airplane.masses.maximum;
    let nothing = airplane.stall(&case(mass, g(2.0), 0.9)).unwrap();
    assert_near("idle", nothing.calibrated / airplane.stall_speed(mass, g(2.0)), 1.0, 1e-9);
    assert_eq!(nothing.basis, StallBasis::PropellerGeometry);
    // Thrust that points down at the stall raises it.
    airplane.stated.power_on_stall = Some(PowerOnStall::Geometry {
        thrust_above_body: base::units::Angle::from_rad(-incidence - 0.05),
        slipstream_share: 0.0,
    });
    let raised = airplane.stall(&case(mass, g(1.0), 1.2)).unwrap();
    assert!(raised.calibrated > airplane.stall_speed(mass, g(1.0)));
    airplane.stated.power_on_stall = Some(PowerOnStall::Speed(IndicatedAirspeed::from_kt(42.0)));
    let stated = airplane.stall(&case(mass, g(1.0), 1.225)).unwrap();
    assert_near("told back", stated.indicated.to_kt(), 42.0, 1e-9);
    let light = airplane.stall(&case(mass * 0.81, g(1.0), 1.225)).unwrap();
    assert_near("root of mass", light.calibrated / stated.calibrated, 0.9, 1e-12);
    assert!(airplane.stall(&case(mass, g(1.5), 1.225)).is_err(), "more load is not stated");
    assert!(airplane.stall(&case(mass, g(1.0), 1.0)).is_err(), "thin air is not stated");
}

/// `V_S sqrt(n)` against the stated speed, both ways.
#[test]
fn prop_maneuvering_speeds_are_held_against_each_other() {
    let mut airplane = plover();
    let mass = airplane.masses.maximum;
    let told = airplane.maneuvering(mass).unwrap();
    assert_eq!(told.agreement, Agreement::Agree, "{told:?}");
    assert_near(
        "stalls at the limit",
        airplane.stall_speed(mass, told.limit) / told.design,
        1.0,
        1e-12,
    );
    airplane.speeds.maneuvering = IndicatedAirspeed::from_kt(115.0);
    let higher = airplane.maneuvering(mass).unwrap();
    assert_eq!(higher.agreement, Agreement::StatedHigher);
    assert!(higher.load_at_stated > higher.limit && higher.lower() == higher.design);
    airplane.speeds.maneuvering = IndicatedAirspeed::from_kt(90.0);
    let lower = airplane.maneuvering(mass).unwrap();
    assert_eq!(lower.agreement, Agreement::StatedLower);
    assert!(lower.load_at_stated < lower.limit && lower.lower() == lower.stated);
    assert!(airplane.maneuvering(mass * 1.01).is_none());
    let light = airplane.maneuvering(mass * 0.85).unwrap();
    assert_near("utility", light.limit.to_g(), 4.4, 0.0);
}

fn diagrams() -> Vec<(Airplane, Diagram)> {
    let mut out = Vec::new();
    for mut airplane in demo_airplanes() {
        for design in [false, true] {
            if design {
                let of = |speed: IndicatedAirspeed, share: f64| {
                    EquivalentAirspeed::from_mps(airplane.calibrated(speed).to_mps() * share)
                };
                let (cruise, dive) =
                    (of(airplane.speeds.normal_max, 1.02), of(airplane.speeds.never_exceed, 1.12));
                airplane.stated.design_speeds = Some(DesignSpeeds { cruise, dive });
            }
            for category in &airplane.categories {
                for share in [0.8, 1.0] {
                    let mass = category.mass_max * share;
                    let diagram =
                        airplane.diagram(category, mass, &sea_level()).expect("an allowed mass");
                    out.push((airplane.clone(), diagram));
                }
            }
        }
    }
    out
}

#[test]
fn prop_the_diagram_closes_inside_its_limits() {
    for (airplane, diagram) in diagrams() {
        let category = airplane.categories.iter().find(|c| c.name == diagram.category).unwrap();
        let edge = airplane.calibrated(airplane.speeds.never_exceed);
        let at_rest = |point: &Point| point.speed.to_mps() == 0.0 && point.load.to_g() == 0.0;
        assert!(at_rest(&diagram.outline[0]) && at_rest(diagram.outline.last().unwrap()));
        for point in &diagram.outline {
            assert!(point.speed.to_mps() <= edge.to_mps() + 1e-9);
            assert!(point.load.to_g() <= category.load_factor_max.to_g() + 1e-9);
            assert!(point.load.to_g() >= category.load_factor_min.to_g() - 1e-9);
            // Never more lift than the wing has.
            let lift = if point.load.to_g() > 0.0 { 1.0 } else { -1.0 };
            let stall = airplane
                .stall(&StallCase {
                    mass: diagram.mass,
                    load: g(lift),
                    flap: None,
                    power: StallPower::Idle,
                })
                .unwrap()
                .calibrated;
            let most = (point.speed / stall).powi(2);
            assert!(point.load.to_g().abs() <= most + 1e-9, "{point:?}");
        }
        let mark = |name| diagram.marks.iter().find(|mark| mark.name == name).unwrap().point;
        let corner = mark(MarkName::ManeuveringDesign);
        let design = airplane.stall_speed(diagram.mass, category.load_factor_max);
        assert_near("corner", corner.speed / design, 1.0, 1e-12);
        assert_near("limit", corner.load.to_g(), category.load_factor_max.to_g(), 1e-9);
        assert_near("one g", mark(MarkName::Stall).load.to_g(), 1.0, 1e-12);
        assert_near("minus one g", mark(MarkName::StallNegative).load.to_g(), -1.0, 1e-12);
        assert!(diagram.marks.windows(2).all(|pair| pair[0].point.speed <= pair[1].point.speed));
    }
}

/// 14 CFR 23.333 (b): at the design dive speed the negative limit is nil (normal) or -1 (utility, acrobatic).
#[test]
fn val_negative_limit_falls_off_to_the_dive_speed() {
    for (airplane, diagram) in diagrams() {
        let edge = airplane.calibrated(airplane.speeds.never_exceed);
        let least = diagram.outline.iter().filter(|p| p.speed == edge).map(|p| p.load.to_g());
        let least = least.fold(f64::MAX, f64::min);
        let wanted = if diagram.category == "normal" { 0.0 } else { -1.0 };
        if diagram.dive.1 == SpeedBasis::OperatingLimit {
            assert_near("at V_NE taken for V_D", least, wanted, 1e-9);
        } else {
            assert!(least < wanted - 0.1, "V_D is beyond V_NE, so more is left there: {least}");
        }
    }
}

#[test]
fn prop_gust_lines_and_flaps() {
    let mut airplane = plover();
    airplane.stated.flaps = vec![Flap {
        name: "full".into(),
        lift_max: 2.0,
        extended_max: IndicatedAirspeed::from_kt(90.0),
        load_factor_max: g(2.0),
        polar: None,
    }];
    let category = airplane.category(airplane.masses.maximum).unwrap().clone();
    let diagram =
        |mass: Mass| airplane.diagram(&category, mass, &sea_level()).expect("an allowed mass");
    let (heavy, light) = (diagram(category.mass_max), diagram(category.mass_max * 0.75));
    assert_eq!(heavy.gusts.len(), 4);
    for (a, b) in heavy.gusts.iter().zip(&light.gusts) {
        let change = |line: &flight::envelope::gust::GustAt, load: LoadFactor| {
            assert!(matches!(line, GustAt::Cruise | GustAt::Dive));
            (load.to_g() - 1.0).abs()
        };
        assert!(change(&a.at, a.end.load) < change(&b.at, b.end.load), "lighter is rougher");
    }
    let flap = &heavy.flaps[0];
    assert_near("limit", flap.end.load.to_g(), 2.0, 1e-12);
    assert_near(
        "ends at V_FE",
        flap.end.speed.to_kt(),
        airplane.calibrated(IndicatedAirspeed::from_kt(90.0)).to_kt(),
        1e-9,
    );
    assert_near("stall line", flap.stall.last().unwrap().load.to_g(), 2.0, 1e-9);
    let gust_mps = flap.gusts[0].gust.to_mps();
    assert_near("25 ft/s", gust_mps / MPS_PER_KT, Speed::from_fps(25.0).to_kt(), 1e-9);
    let told = airplane.diagram(&category, category.mass_max * 1.2, &sea_level()).unwrap_err();
    assert_eq!(told.to_string(), "1260 kg is above the 1050 kg of the normal category");
}
