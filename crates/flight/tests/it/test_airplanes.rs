//! The airplanes of the check flights: their files are read, and say what the check data say.

use base::factors::{M_PER_FT, MPS_PER_FPM, MPS_PER_KT, RAD_PER_DEG};
use base::units::LoadFactor;
use checks::assert_near;
use flight::air::Day;
use flight::airplane::Airplane;
use flight::point_mass::{DensityColumn, PointMass, level_speed_max};

/// Figures of `airplanes.json` of the check flights, typed in: knots calibrated, degrees, feet a minute, feet.
struct Figures {
    id: &'static str,
    text: &'static str,
    stall_kt: f64,
    incidence_level_100_kt_deg: f64,
    /// Full-throttle climb at 85 kt: true airspeed, rate, height.
    climb: (f64, f64, f64),
    level_full_throttle_kt: f64,
}

const ALL: &[Figures] = &[
    Figures {
        id: "c172p",
        text: include_str!("../../../../data/test-airplanes/c172p.toml"),
        stall_kt: 49.6,
        incidence_level_100_kt_deg: 0.39,
        climb: (92.4, 1238.0, 5710.0),
        level_full_throttle_kt: 127.8,
    },
    Figures {
        id: "c182",
        text: include_str!("../../../../data/test-airplanes/c182.toml"),
        stall_kt: 53.1,
        incidence_level_100_kt_deg: 1.09,
        climb: (92.2, 1059.0, 5510.0),
        level_full_throttle_kt: 130.5,
    },
    Figures {
        id: "c172r",
        text: include_str!("../../../../data/test-airplanes/c172r.toml"),
        stall_kt: 55.0,
        incidence_level_100_kt_deg: 1.49,
        climb: (91.7, 679.0, 5145.0),
        level_full_throttle_kt: 123.0,
    },
];

fn read(figures: &Figures) -> Airplane {
    Airplane::from_toml(figures.text, figures.id)
        .unwrap_or_else(|faults| panic!("{faults} {}", faults.hint()))
}

#[test]
fn the_files_have_no_fault_and_are_not_for_a_brief() {
    for figures in ALL {
        let airplane = read(figures);
        assert_eq!(airplane.id, figures.id);
        assert!(airplane.sources.len() >= 7, "every block has a source");
        assert!(airplane.categories.iter().all(|category| category.approved.is_empty()));
    }
}

/// Stall speed from mass, area and greatest lift; incidence in level flight at 100 kt from the lift line.
#[test]
fn val_stall_and_incidence_of_the_check_airplanes() {
    for figures in ALL {
        let airplane = read(figures);
        let stall = airplane.stall_speed(airplane.masses.typical, LoadFactor::from_g(1.0));
        assert_near(figures.id, stall.to_kt(), figures.stall_kt, 0.3);
        let body = PointMass {
            airplane: &airplane,
            mass_kg: airplane.masses.typical.to_kg(),
            air: DensityColumn::constant(flight::air::SEA_LEVEL_DENSITY_KGPM3),
        };
        let lift = body.lift_coefficient_for(1.0, 100.0 * MPS_PER_KT, 0.0);
        let line = &airplane.aerodynamics;
        let incidence_deg =
            (lift - line.lift_at_zero_incidence) / line.lift_slope_per_rad / RAD_PER_DEG;
        assert_near(figures.id, incidence_deg, figures.incidence_level_100_kt_deg, 0.15);
    }
}

/// What the fitted drag and propeller give beside the figures they were fitted to: the climb at 85 kt within 100 ft/min, the
/// fastest level flight within a few knots (the first one's propeller overspeeds, which the engine model does not).
#[test]
fn val_climb_and_level_speed_of_the_check_airplanes() {
    for figures in ALL {
        let airplane = read(figures);
        let day = Day::standard();
        let body = PointMass {
            airplane: &airplane,
            mass_kg: airplane.masses.typical.to_kg(),
            air: DensityColumn::of_day(&day, 0.0, 3000.0),
        };
        let (true_kt, rate_fpm, height_ft) = figures.climb;
        let (speed, height_m) = (true_kt * MPS_PER_KT, height_ft * M_PER_FT);
        let lift = body.lift_coefficient_for(1.0, speed, height_m);
        let excess_n = body.thrust_n(1.0, speed, height_m) - body.drag_n(lift, speed, height_m);
        let found_fpm = excess_n / body.weight_n() * speed / MPS_PER_FPM;
        println!("{}: climb {found_fpm:.0} ft/min of {rate_fpm}", figures.id);
        assert_near(figures.id, found_fpm, rate_fpm, 100.0);
        let level_m = 5000.0 * M_PER_FT;
        let level = level_speed_max(&body, level_m).expect("it holds height");
        let ratio = body.air.at(level_m) / flight::air::SEA_LEVEL_DENSITY_KGPM3;
        let calibrated_kt = level * ratio.sqrt() / MPS_PER_KT;
        println!(
            "{}: level {calibrated_kt:.1} kt of {}",
            figures.id, figures.level_full_throttle_kt
        );
        assert_near(figures.id, calibrated_kt, figures.level_full_throttle_kt, 5.0);
    }
}
