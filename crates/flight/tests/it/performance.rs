//! Performance against reference tables, a published row and the closed forms of any text on flight mechanics; invariants.

use base::factors::{M_PER_FT, MPS_PER_FPM, N_PER_LBF, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::kinds::{GeometricHeight, IndicatedAirspeed, TrueAirspeed};
use base::math::{cos, sin, tan};
use base::units::{Angle, Area, Length, LoadFactor, Mass, Speed, Temperature};
use checks::{Table, assert_near};
use flight::air::{Day, SEA_LEVEL_DENSITY_KGPM3, geometric_m};
use flight::airplane::stated::Glide;
use flight::airplane::{Aerodynamics, Airplane, Thrust, bundled};
use flight::envelope::performance::climb::{Ceiling, SERVICE_CEILING_RATE};
use flight::envelope::performance::glide::PropellerDrag;
use flight::envelope::performance::turn::TurnMerit;
use flight::envelope::performance::{Bound, Performance, PerformanceError};
use flight::point_mass::power_lapse;

const SEA_LEVEL: GeometricHeight = GeometricHeight::from_m(0.0);
const CALM: Speed = Speed::ZERO;

/// An airplane of a parabolic polar and a thrust line, without position error, limited to 3.8 g.
fn made(area: Area, polar: [f64; 3], thrust: [f64; 3]) -> Airplane {
    let mut airplane = bundled::load("plover-160").expect("a bundled airplane");
    let [drag_zero_lift, drag_induced, lift_max] = polar;
    airplane.wing_area = area;
    airplane.aerodynamics =
        Aerodynamics { drag_zero_lift, drag_induced, lift_max, ..airplane.aerodynamics };
    let [static_n, slope_n_per_mps, curvature_n_per_mps2] = thrust;
    airplane.thrust = Thrust::Polynomial { static_n, slope_n_per_mps, curvature_n_per_mps2 };
    airplane.position_error.clear();
    airplane.speeds.never_exceed = IndicatedAirspeed::from_kt(300.0);
    airplane.categories.retain(|category| category.name == "normal");
    airplane.categories[0].mass_max = Mass::from_kg(5000.0);
    airplane.masses.maximum = Mass::from_kg(5000.0);
    airplane
}

/// Demo A and the Navion of checks/optimum/README.md.
fn reference_airplanes() -> [(&'static str, Airplane, Mass); 2] {
    let a = made(Area::from_m2(16.2), [0.034, 0.0566, 1.45], [2750.0, -14.0, -0.12]);
    // Slope of drag 0.33 and of lift 4.44 with incidence at a lift coefficient of 0.41, where drag is 0.05.
    let induced = 0.33 / (4.44 * 2.0 * 0.41);
    let polar = [0.05 - induced * 0.41 * 0.41, induced, 1.5];
    let n = made(Area::from_ft2(184.0), polar, [3950.0, -34.7, 0.045]);
    [("A", a, Mass::from_kg(1000.0)), ("N", n, Mass::from_lb(2750.0))]
}

fn of<'a>(airplane: &'a Airplane, mass: Mass, day: &'a Day) -> Performance<'a> {
    Performance::new(airplane, mass, day).expect("an allowed mass")
}

fn true_mps(speed: f64) -> TrueAirspeed {
    TrueAirspeed::from_mps(speed)
}

/// checks/optimum/KEY_5_sustained.csv (closed form, worked elsewhere): load, bank, rate and radius at every speed of the table, and which
/// of thrust and stall bounds.
#[test]
fn val_sustained_turns_by_speed() {
    let day = Day::standard();
    for (key, airplane, mass) in &reference_airplanes() {
        let performance = of(airplane, *mass, &day);
        let Some(table) = Table::read(&format!("optimum/{key}_5_sustained.csv")) else { return };
        assert!(table.len() > 60);
        for row in table.rows() {
            let speed = true_mps(row.number("V_m_s"));
            let turn = performance.sustained_turn_at(SEA_LEVEL, speed, CALM, 1.0).unwrap();
            assert_near("load", turn.load.to_g(), row.number("n_used"), 2e-6);
            assert_near("bank", turn.bank.to_deg(), row.number("bank_used_deg"), 2e-4);
            let rate_deg = row.number("turn_rate_deg_s");
            assert_near("rate", turn.rate.to_degps(), rate_deg, 1e-4);
            let radius_m = row.number("radius_m");
            assert_near("radius", turn.radius.to_m(), radius_m, 2e-5 * radius_m);
            let thrust_bounds = row.number("n_thrust_limit") < row.number("n_stall_limit");
            let bound = if thrust_bounds { Bound::Thrust } else { Bound::Stall };
            assert_eq!(turn.bound, bound, "at {speed:?}");
        }
    }
}

/// checks/optimum/KEY_5_power.csv: share of full thrust that holds a bank and a speed; what is left bleeds or builds the speed.
#[test]
fn val_power_in_level_turns() {
    let day = Day::standard();
    for (key, airplane, mass) in &reference_airplanes() {
        let performance = of(airplane, *mass, &day);
        let Some(table) = Table::read(&format!("optimum/{key}_5_power.csv")) else { return };
        for row in table.rows() {
            let (speed, load) = (true_mps(row.number("V_m_s")), row.number("n"));
            let power = performance.level_power(SEA_LEVEL, speed, LoadFactor::from_g(load));
            let share = power.and_then(flight::point_mass::LevelPower::share).unwrap();
            assert_near("share", share, row.number("thrust_fraction"), 1e-6);
            let bank = Angle::from_deg(row.number("bank_deg"));
            let change = performance.speed_change_mps2(SEA_LEVEL, speed, bank);
            if row.number("CL") > airplane.aerodynamics.lift_max {
                assert_eq!(change, None, "the wing stalls");
                continue;
            }
            let force_n = row.number("T_full_N") - row.number("D_N");
            assert_near("change of speed", change.unwrap(), force_n / mass.to_kg(), 1e-5);
        }
    }
}

/// checks/optimum/KEY_5_level*.csv (level turns flown there by an integrator of order 8): the speed bleeds or builds at every row as the
/// row's thrust and drag say, and the rows turn no tighter than the first instant allows.
#[test]
fn val_speed_bled_along_level_turns() {
    let day = Day::standard();
    for (key, airplane, mass) in &reference_airplanes() {
        let performance = of(airplane, *mass, &day);
        for case in ["180_bleed", "180_hold", "360_bleed", "360_hold"] {
            let name = format!("optimum/{key}_5_level{case}.csv");
            let Some(table) = Table::read(&name) else { return };
            for row in table.rows() {
                let (speed, bank) =
                    (true_mps(row.number("V_m_s")), Angle::from_deg(row.number("mu_deg")));
                let change = performance.speed_change_mps2(SEA_LEVEL, speed, bank).unwrap();
                let force_n = row.number("T_N") - row.number("D_N");
                assert_near(&name, change, force_n / mass.to_kg(), 2e-6);
                let most = performance.instantaneous_turn_at(SEA_LEVEL, speed).unwrap();
                assert!(row.number("n") <= most.load.to_g());
            }
        }
    }
}

/// checks/optimum/README.md, typed in: sustained without a cap on bank with 5 % over the stall (A 60.796 degrees at 39.246 m/s, the
/// Navion 48.666 at 36.059; 180 degrees in 7.0276 and 10.1605 s), best climb and level speed.
#[test]
fn val_reference_airplanes_typed_in() {
    let day = Day::standard();
    let wanted =
        [[60.796, 39.246, 7.0276, 4.5658, 61.715], [48.666, 36.059, 10.1605, 4.1064, 65.600]];
    for ((key, airplane, mass), [bank_deg, speed, half_s, climb, level]) in
        reference_airplanes().iter().zip(wanted)
    {
        let performance = of(airplane, *mass, &day);
        let best = performance.sustained_turn_best(SEA_LEVEL, TurnMerit::Rate, 1.05).unwrap();
        assert_near(key, best.bank.to_deg(), bank_deg, 1e-3);
        // A's best lies on a corner of two bounds, which the reference passes by 0.0013 m/s; ours is to turn no slower than that.
        assert_near(key, best.airspeeds.true_airspeed.to_mps(), speed, 2e-3);
        let found_s = 180.0 / best.rate.to_degps();
        assert_near(key, found_s, half_s, 5e-4);
        assert!(found_s <= half_s + 5e-5, "{key}: {found_s}");
        // The reference takes the lift of level flight: excess power over weight. Exact paths need a little less lift, so climb more.
        let excess = |speed: f64| {
            let change = performance.speed_change_mps2(SEA_LEVEL, true_mps(speed), Angle::ZERO);
            change.map_or(f64::MIN, |change| speed * change / STANDARD_GRAVITY_MPS2)
        };
        let best = (0..4000).map(|i| excess(25.0 + 0.01 * f64::from(i))).fold(f64::MIN, f64::max);
        assert_near(key, best, climb, 1e-4);
        let rate = performance.climb_best_rate(SEA_LEVEL).unwrap().rate.to_mps();
        assert!(rate > best && rate < 1.01 * best, "{key}: {rate} against {best}");
        let range = performance.level_range(SEA_LEVEL).unwrap();
        assert_near(key, range.fastest.true_airspeed.to_mps(), level, 1e-3);
        assert_eq!(range.slowest_bound, Bound::Stall);
    }
}

/// LOWRY-1999, row of the sample airplane (checks/lightplane/lowry_c182rg_check.csv): 3,100 lb, 174 ft2, span 36 ft, C_D0 0.02874, e 0.72,
/// 8,000 ft standard, 67.6 KTAS, thrust 453 lbf: drag 329 lbf, 273.2 ft/min, 2.28 degrees. And V_X with the root of weight for a thrust
/// that falls with the square of speed: 54.7 kt at 1,800 lb is 56.2 kt at 1,900 lb.
#[test]
fn val_a_published_climb() {
    let day = Day::standard();
    let height = GeometricHeight::from_m(geometric_m(8000.0 * M_PER_FT));
    let ratio = day.air_at(height).density.to_kgpm3() / SEA_LEVEL_DENSITY_KGPM3;
    let aspect_ratio = 36.0 * 36.0 / 174.0;
    let induced = 1.0 / (std::f64::consts::PI * 0.72 * aspect_ratio);
    // The thrust of the row, at any speed; the engine's lapse is taken out.
    let thrust_n = 453.0 * N_PER_LBF / power_lapse(ratio);
    let airplane = made(Area::from_ft2(174.0), [0.028_74, induced, 2.0], [thrust_n, 0.0, 0.0]);
    let performance = of(&airplane, Mass::from_lb(3100.0), &day);
    let climb = performance.climb_at(height, TrueAirspeed::from_kt(67.6), Angle::ZERO).unwrap();
    assert_near("rate, ft/min", climb.rate.to_fpm(), 273.2, 3.0);
    assert_near("angle, deg", climb.angle.to_deg(), 2.28, 0.03);
    let falling = made(Area::from_ft2(174.0), [0.037, 0.06, 2.0], [3000.0, 0.0, -0.4]);
    let best = |pounds| {
        let performance = of(&falling, Mass::from_lb(pounds), &day);
        performance.climb_best_angle(height).unwrap().airspeeds.calibrated
    };
    assert_near("V_X", 54.7 * (best(1900.0) / best(1800.0)), 56.2, 0.1);
}

/// Constant thrust and a parabolic polar (any text on flight mechanics): level speed, best climb (small angles), greatest sustained load
/// `T/W (L/D)max`, greatest rate at the speed of least drag, least radius.
#[test]
fn val_closed_forms_of_constant_thrust() {
    let day = Day::standard();
    let (area_m2, zero, induced) = (20.0, 0.02, 0.05);
    let (mass, thrust_n) = (Mass::from_kg(1500.0), 3000.0);
    let airplane = made(Area::from_m2(area_m2), [zero, induced, 6.0], [thrust_n, 0.0, 0.0]);
    let performance = of(&airplane, mass, &day);
    let density = day.air_at(SEA_LEVEL).density.to_kgpm3();
    let weight_n = mass.to_kg() * STANDARD_GRAVITY_MPS2;
    let (pull, loading) = (thrust_n / weight_n, weight_n / area_m2);
    let best_ratio = 0.5 / (zero * induced).sqrt();
    let root = (pull * pull - 4.0 * zero * induced).sqrt();
    let fastest = (loading * (pull + root) / (density * zero)).sqrt();
    let range = performance.level_range(SEA_LEVEL).unwrap();
    assert_near("fastest", range.fastest.true_airspeed.to_mps(), fastest, 1e-6);
    let gamma = 1.0 + (1.0 + 3.0 / (best_ratio * pull).powi(2)).sqrt();
    let climb_speed = (thrust_n / area_m2 * gamma / (3.0 * density * zero)).sqrt();
    let climb = performance.climb_best_rate(SEA_LEVEL).unwrap();
    let found = climb.airspeeds.true_airspeed.to_mps();
    assert_near("V_Y, small angles", found, climb_speed, 0.01 * climb_speed);
    let best = |merit| performance.sustained_turn_best(SEA_LEVEL, merit, 1.0).unwrap();
    assert_near("load", best(TurnMerit::Load).load.to_g(), pull * best_ratio, 1e-9);
    let rate = best(TurnMerit::Rate).airspeeds.true_airspeed.to_mps();
    let rate_speed = (2.0 * loading / density * (induced / zero).sqrt()).sqrt();
    assert_near("speed of the greatest rate", rate, rate_speed, 1e-5 * rate_speed);
    let tightest = best(TurnMerit::Radius);
    let radius_speed = 2.0 * (induced * loading / (density * pull)).sqrt();
    let found = tightest.airspeeds.true_airspeed.to_mps();
    assert_near("speed of the least radius", found, radius_speed, 1e-5 * radius_speed);
    let under = (1.0 - 4.0 * induced * zero / (pull * pull)).sqrt();
    let radius = 4.0 * induced * loading / (STANDARD_GRAVITY_MPS2 * density * pull * under);
    assert_near("least radius", tightest.radius.to_m(), radius, 1e-8 * radius);
}

/// Best glide at `C_L = sqrt(C_D0 / K)` with ratio `1 / (2 sqrt(C_D0 K))`, exact at any angle; least sink at `sqrt(3 C_D0 / K)` for small
/// angles. With a stated propeller drag area over the wing area added to `C_D0`.
#[test]
fn val_closed_forms_of_the_glide() {
    let day = Day::standard();
    let mass = Mass::from_kg(900.0);
    let density = day.air_at(SEA_LEVEL).density.to_kgpm3();
    let weight_n = mass.to_kg() * STANDARD_GRAVITY_MPS2;
    for (zero, induced, drag_area_m2) in [(0.012, 0.02, None), (0.033, 0.06, Some(0.1))] {
        let mut airplane = made(Area::from_m2(16.0), [zero, induced, 1.5], [2000.0, 0.0, 0.0]);
        let propeller_drag_area = drag_area_m2.map(Area::from_m2);
        airplane.stated.glide = Some(Glide { speed: None, ratio: None, propeller_drag_area });
        let performance = of(&airplane, mass, &day);
        let zero = zero + drag_area_m2.unwrap_or(0.0) / 16.0;
        let speed_at =
            |lift: f64, angle: f64| (2.0 * weight_n * cos(angle) / (density * 16.0 * lift)).sqrt();
        let best = performance.glide_best(SEA_LEVEL, CALM).unwrap();
        let ratio = 0.5 / (zero * induced).sqrt();
        assert_near("ratio", best.ratio, ratio, 1e-9);
        assert_near("over ground", best.ratio_over_ground, best.ratio, 1e-12);
        let wanted = speed_at((zero / induced).sqrt(), best.angle.to_rad());
        assert_near("speed", best.airspeeds.true_airspeed.to_mps(), wanted, 1e-5 * wanted);
        let told =
            if drag_area_m2.is_some() { PropellerDrag::Stated } else { PropellerDrag::NotStated };
        assert_eq!(best.propeller, told);
        let least = performance.glide_least_sink(SEA_LEVEL, Angle::ZERO).unwrap();
        let lift = (3.0 * zero / induced).sqrt();
        let wanted = speed_at(lift, least.angle.to_rad());
        assert_near("least sink", least.airspeeds.true_airspeed.to_mps(), wanted, 0.01 * wanted);
        assert!(least.sink < best.sink && least.ratio < best.ratio);
    }
}

/// A glider's turn at a lift coefficient loses height as `1 / sin(2 bank)`: least at 45 degrees, small glide angles (any text on the
/// turn back after an engine failure). Through 180 degrees `pi V^2 sin(angle) / (g tan(bank))`.
#[test]
fn val_the_gliding_turn_of_least_loss() {
    let day = Day::standard();
    let airplane = made(Area::from_m2(16.0), [0.008, 0.012, 1.5], [2000.0, 0.0, 0.0]);
    let performance = of(&airplane, Mass::from_kg(500.0), &day);
    let half = Angle::from_deg(180.0);
    let least = performance.glide_turn_least_loss(SEA_LEVEL, half, 1.05).unwrap();
    assert_near("bank", least.bank.to_deg(), 45.0, 0.5);
    let speed = least.glide.airspeeds.true_airspeed;
    let closed = std::f64::consts::PI * speed.to_mps().powi(2) * sin(least.glide.angle.to_rad())
        / (STANDARD_GRAVITY_MPS2 * tan(least.bank.to_rad()));
    assert_near("height lost", least.height_lost.to_m(), closed, 1e-9 * closed);
    for bank_deg in [30.0, 40.0, 50.0, 60.0] {
        let bank = Angle::from_deg(bank_deg);
        let speed = speed * (cos(45.0 * RAD_PER_DEG) / cos(bank.to_rad())).sqrt() * 1.001;
        let turn = performance.glide_turn(SEA_LEVEL, speed, bank, half).unwrap();
        assert!(turn.height_lost > least.height_lost, "{bank_deg}");
    }
    assert!(performance.glide_turn_least_loss(SEA_LEVEL, half, 0.9).is_none());
}

/// Against the wind glide faster, with it slower (any text); over the ground it goes less far and further.
#[test]
fn prop_the_glide_in_a_wind() {
    let day = Day::standard();
    let airplane = bundled::load("plover-160").unwrap();
    let performance = of(&airplane, airplane.masses.typical, &day);
    let best = |knots: f64| performance.glide_best(SEA_LEVEL, Speed::from_kt(knots)).unwrap();
    for pair in [-30.0, -15.0, 0.0, 15.0, 30.0].windows(2) {
        let (less, more) = (best(pair[0]), best(pair[1]));
        assert!(less.airspeeds.calibrated < more.airspeeds.calibrated);
        assert!(less.ratio_over_ground > more.ratio_over_ground);
    }
    assert!(best(30.0).ratio < best(0.0).ratio);
}

/// Climb falls with height, mass and heat; ceilings in order; speeds in order; corner and instantaneous turns.
#[test]
fn prop_performance_is_in_order() {
    let (day, mut hot) = (Day::standard(), Day::standard());
    hot.temperature_at_field = Temperature::from_c(35.0);
    for airplane in super::envelope::demo_airplanes() {
        let mass = airplane.masses.typical;
        let (typical, heavy) =
            (of(&airplane, mass, &day), of(&airplane, airplane.masses.maximum, &day));
        let warm = of(&airplane, mass, &hot);
        let feet = GeometricHeight::from_ft;
        let rate = |performance: &Performance<'_>, height_ft| {
            performance.climb_best_rate(feet(height_ft)).unwrap().rate.to_fpm()
        };
        for height_ft in [0.0, 3000.0, 6000.0, 9000.0] {
            assert!(rate(&typical, height_ft) > rate(&typical, height_ft + 1000.0));
            assert!(rate(&typical, height_ft) > rate(&heavy, height_ft));
            assert!(rate(&typical, height_ft) > rate(&warm, height_ft));
            let [vx, vy] = [
                typical.climb_best_angle(feet(height_ft)).unwrap(),
                typical.climb_best_rate(feet(height_ft)).unwrap(),
            ];
            assert!(vx.airspeeds.true_airspeed <= vy.airspeeds.true_airspeed);
            assert!(vx.gradient >= vy.gradient && vx.rate <= vy.rate);
            let range = typical.level_range(feet(height_ft)).unwrap();
            assert!(range.slowest.true_airspeed < range.fastest.true_airspeed);
        }
        let at = |performance: &Performance<'_>, rate| match performance.ceiling(rate) {
            Ceiling::At(height) => height,
            other => panic!("{other:?}"),
        };
        let (absolute, service) = (at(&typical, Speed::ZERO), at(&typical, SERVICE_CEILING_RATE));
        assert!(service < absolute && at(&heavy, Speed::ZERO) < absolute);
        assert!(at(&warm, Speed::ZERO) < absolute);
        assert_near("nothing left", rate(&typical, absolute.to_ft()), 0.0, 0.05);
        assert_near("100 left", rate(&typical, service.to_ft()), 100.0, 0.05);
        assert!(typical.level_range(absolute + Length::from_m(50.0)).is_none());
        assert_eq!(typical.ceiling(Speed::from_mps(100.0)), Ceiling::Nowhere);
        let corner = typical.corner_turn(feet(3000.0)).unwrap();
        let corner_speed = corner.airspeeds.true_airspeed;
        for share in [0.9, 0.97, 1.03, 1.2] {
            let turn = typical.instantaneous_turn_at(feet(3000.0), corner_speed * share).unwrap();
            assert!(turn.rate < corner.rate, "{share}");
            assert!(share > 1.0 || turn.bound == Bound::Stall);
            assert!(share < 1.0 || turn.bound == Bound::Limit);
        }
        let climbing = |fpm: f64| {
            let (height, speed) = (feet(1000.0), corner_speed * 0.8);
            let turn = typical.sustained_turn_at(height, speed, Speed::from_fpm(fpm), 1.05);
            turn.map_or(0.0, |turn| turn.bank.to_rad())
        };
        assert!(climbing(0.0) > climbing(300.0) && climbing(-300.0) > climbing(0.0));
    }
}

/// The steady path against the equations of motion: what climb_at says does not accelerate, straight and in a turn.
#[test]
fn prop_the_steady_climb_is_steady() {
    use flight::point_mass::{Command, DensityColumn, PointMass, state, steady_path};
    let airplane = bundled::load("sandpiper-550").unwrap();
    let body =
        PointMass { airplane: &airplane, mass_kg: 2300.0, air: DensityColumn::constant(1.1) };
    for (speed, bank, power_share) in [(60.0, 0.0, 1.0), (70.0, -0.7, 0.8), (90.0, 0.4, 0.0)] {
        let thrust_n = body.thrust_n(power_share, speed, 0.0);
        let path = steady_path(&body, thrust_n, speed, 0.0, bank).unwrap();
        let command =
            Command { lift_coefficient: path.lift_coefficient, lift_bank_rad: bank, power_share };
        let rate = body.derivative(&[speed, path.climb_rad, 0.0, 0.0, 0.0, 0.0, 0.0], &command);
        assert_near("speed", rate[state::SPEED], 0.0, 1e-12);
        assert_near("climb", rate[state::CLIMB], 0.0, 1e-14);
        let closed = STANDARD_GRAVITY_MPS2 * tan(bank) / speed;
        assert_near("turn", rate[state::COURSE], closed, 1e-13);
    }
    assert!(
        steady_path(&body, 30_000.0, 60.0, 0.0, 0.0).is_none(),
        "it would hang on the propeller"
    );
    assert!(steady_path(&body, 0.0, 300.0, 0.0, 0.0).is_none(), "faster than the vertical dive");
    assert!(steady_path(&body, 0.0, 60.0, 0.0, 95.0 * RAD_PER_DEG).is_none());
    assert!(steady_path(&body, 0.0, 0.0, 0.0, 0.0).is_none());
}

/// Lengths by 4 and times by 2 (gravity kept): speeds and rates of climb double, radii and heights grow fourfold, angles, loads and
/// ratios stay.
#[test]
fn prop_homogeneity() {
    let day = Day::standard();
    let small = made(Area::from_m2(15.0), [0.03, 0.06, 1.5], [2400.0, -12.0, -0.1]);
    let mut large =
        made(Area::from_m2(240.0), [0.03, 0.06, 1.5], [2400.0 * 64.0, -12.0 * 32.0, -0.1 * 16.0]);
    large.speeds.never_exceed = small.speeds.never_exceed * 2.0;
    large.categories[0].mass_max = Mass::from_kg(1e6);
    let (a, b) =
        (of(&small, Mass::from_kg(900.0), &day), of(&large, Mass::from_kg(57_600.0), &day));
    let grown = |what: &str, small: f64, large: f64, factor: f64| {
        assert_near(what, large, factor * small, 1e-6 * (factor * small).abs());
    };
    let climb = [&a, &b].map(|p| p.climb_best_rate(SEA_LEVEL).unwrap());
    grown("climb", climb[0].rate.to_mps(), climb[1].rate.to_mps(), 2.0);
    grown("angle", climb[0].gradient, climb[1].gradient, 1.0);
    let turn = [&a, &b].map(|p| p.sustained_turn_best(SEA_LEVEL, TurnMerit::Radius, 1.1).unwrap());
    grown("radius", turn[0].radius.to_m(), turn[1].radius.to_m(), 4.0);
    grown("load", turn[0].load.to_g(), turn[1].load.to_g(), 1.0);
    let half = Angle::from_deg(180.0);
    let glide = [&a, &b].map(|p| p.glide_turn_least_loss(SEA_LEVEL, half, 1.1).unwrap());
    grown("height lost", glide[0].height_lost.to_m(), glide[1].height_lost.to_m(), 4.0);
    grown("time", glide[0].time.to_s(), glide[1].time.to_s(), 2.0);
    let fastest =
        [&a, &b].map(|p| p.level_range(SEA_LEVEL).unwrap().fastest.true_airspeed.to_mps());
    grown("level speed", fastest[0], fastest[1], 2.0);
}

#[test]
fn what_has_no_answer_gets_none() {
    let day = Day::standard();
    let airplane = bundled::load("plover-160").unwrap();
    let mass = airplane.masses.typical;
    let too_heavy = Performance::new(&airplane, Mass::from_kg(1100.0), &day).unwrap_err();
    assert_eq!(too_heavy.to_string(), "no category of this airplane allows 1100 kg");
    assert!(Performance::new(&airplane, Mass::ZERO, &day).is_err());
    let power = of(&airplane, mass, &day).with_power(1.2).unwrap_err();
    assert_eq!(power, PerformanceError::Power { share: 1.2 });
    let performance = of(&airplane, mass, &day);
    let (high, speed) = (GeometricHeight::from_m(12_000.0), true_mps(50.0));
    assert!(performance.climb_best_rate(high).is_none());
    assert!(performance.level_range(high).is_none());
    assert!(performance.climb_at(SEA_LEVEL, true_mps(15.0), Angle::ZERO).is_none(), "stalled");
    assert!(performance.climb_at(SEA_LEVEL, true_mps(0.0), Angle::ZERO).is_none());
    assert!(performance.glide_at(SEA_LEVEL, true_mps(-50.0), Angle::ZERO, CALM).is_none());
    assert!(performance.sustained_turn_at(SEA_LEVEL, true_mps(90.0), CALM, 1.0).is_none());
    assert!(performance.sustained_turn_at(SEA_LEVEL, speed, CALM, 0.5).is_none());
    let idle = performance.with_power(0.0).unwrap();
    assert!(idle.level_range(SEA_LEVEL).is_none());
    assert!(idle.climb_best_rate(SEA_LEVEL).unwrap().rate.to_mps() < -100.0 * MPS_PER_FPM);
}

proptest::proptest! {
    /// Any question gets a finite answer or none: nothing panics, nothing is not a number.
    #[test]
    fn prop_any_question_has_a_finite_answer_or_none(
        share in 0.0..1.0f64,
        height_m in -700.0..12_000.0f64,
        speed in -10.0..300.0f64,
        bank_deg in -120.0..120.0f64,
        power in 0.0..=1.0f64,
        wind_kt in -80.0..80.0f64,
    ) {
        let day = Day::standard();
        for airplane in super::envelope::demo_airplanes() {
            let masses = &airplane.masses;
            let mass = masses.empty + (masses.maximum - masses.empty) * share;
            let performance = of(&airplane, mass, &day).with_power(power).expect("a share");
            let (height, speed) = (GeometricHeight::from_m(height_m), true_mps(speed));
            let (bank, wind) = (Angle::from_deg(bank_deg), Speed::from_kt(wind_kt));
            if let Some(climb) = performance.climb_at(height, speed, bank) {
                assert!(climb.gradient.is_finite());
            }
            if let Some(glide) = performance.glide_at(height, speed, bank, wind) {
                assert!(glide.ratio.is_finite() && glide.ratio_over_ground.is_finite());
            }
            if let Some(turn) = performance.sustained_turn_at(height, speed, wind, 1.05) {
                assert!((1.0 - 1e-9..=6.0).contains(&turn.load.to_g()) || wind_kt != 0.0);
            }
            let change = performance.speed_change_mps2(height, speed, bank);
            assert!(change.is_none_or(f64::is_finite));
            let limit_g = airplane.category(mass).expect("an allowed mass").load_factor_max.to_g();
            let instant = performance.instantaneous_turn_at(height, speed);
            assert!(instant.is_none_or(|turn| (1.0..=limit_g).contains(&turn.load.to_g())));
            let turn = performance.glide_turn(height, speed, bank, Angle::from_deg(180.0));
            assert!(turn.is_none_or(|turn| turn.height_lost > Length::ZERO));
            let inside = (-500.0..=11_000.0).contains(&height_m);
            assert_eq!(performance.glide_best(height, wind).is_some(), inside);
            let range = performance.level_range(height);
            assert!(range.is_none_or(|range| range.slowest.calibrated <= range.fastest.calibrated));
            let air = day.air_at(GeometricHeight::from_m(height_m.clamp(-500.0, 11_000.0)));
            let category = airplane.category(mass).expect("an allowed mass");
            assert!(airplane.diagram(category, mass, &air).is_ok());
        }
    }
}
