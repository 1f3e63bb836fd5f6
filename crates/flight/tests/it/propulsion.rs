//! The piston engine with its propeller: signs, symmetry, bounds, scaling, charts. The published charts, rules and worked tables
//! are held in the crate `validation`.

use base::factors::RAD_PER_DEG;
use base::frames::{Body, Vec3};
use base::math::sin;
use checks::assert_near;
use flight::air::AirState;
use flight::budget::{Budget, CAUSES, Cause, Switches};
use flight::controls::Inputs;
use flight::flow::Flow;
use flight::propulsion::blade::BladeElements;
use flight::propulsion::chart::{Chart, ChartRow};
use flight::propulsion::engine::PistonEngine;
use flight::propulsion::piston::{PistonPropeller, PistonPropellerData, Pitch, normal_force_slope};
use flight::propulsion::slipstream::Disk;
use flight::propulsion::{Propulsion, Running};
use proptest::prelude::*;

const SEA_LEVEL: AirState =
    AirState { density_kgpm3: 1.225, pressure_pa: 101_325.0, sound_mps: 340.294 };
const FIXED: Pitch = Pitch::Fixed { angle_rad: 19.0 * RAD_PER_DEG };
const GOVERNED: Pitch = Pitch::ConstantSpeed {
    fine_rad: 13.0 * RAD_PER_DEG,
    coarse_rad: 40.0 * RAD_PER_DEG,
    speed_least_radps: 180.0,
    speed_most_radps: 282.7,
};

fn data(pitch: Pitch) -> PistonPropellerData {
    PistonPropellerData {
        engine: PistonEngine::usual(119_000.0, 282.7),
        blades: BladeElements::usual(2.0, 0.066, 0.72),
        chord_over_diameter: 0.066,
        diameter_m: 1.88,
        pitch,
        clockwise: true,
        inertia_kgm2: 1.7,
        hub_m: Vec3::new(1.75, 0.1, -0.05),
        shaft_down_rad: 0.03,
        shaft_right_rad: 0.02,
        swirl_straightened: 0.5,
        blockage: 0.06,
    }
}

fn mirrored(mut data: PistonPropellerData) -> PistonPropellerData {
    data.hub_m = mirrored_vector(data.hub_m);
    data.shaft_right_rad = -data.shaft_right_rad;
    data.clockwise = !data.clockwise;
    data
}

fn straight(pitch: Pitch) -> PistonPropeller {
    let data = PistonPropellerData { shaft_down_rad: 0.0, shaft_right_rad: 0.0, ..data(pitch) };
    PistonPropeller::new(data)
}

fn mirrored_vector(vector: Vec3<Body>) -> Vec3<Body> {
    Vec3::new(vector.x, -vector.y, vector.z)
}

fn mirrored_moment(moment: Vec3<Body>) -> Vec3<Body> {
    Vec3::new(-moment.x, moment.y, -moment.z)
}

fn ahead(speed_mps: f64) -> Flow {
    Flow::new(Vec3::new(speed_mps, 0.0, 0.0), Vec3::ZERO, SEA_LEVEL)
}

fn lever(throttle: f64) -> Inputs {
    Inputs { throttle, propeller: 1.0, ..Inputs::default() }
}

fn run(engine: &PistonPropeller, flow: &Flow, inputs: &Inputs, state: f64) -> (Running, Budget) {
    let mut budget = Budget::new(Switches::ALL);
    let running = engine.run(flow, inputs, state, &mut budget);
    (running, budget)
}

fn any_state() -> impl Strategy<Value = (Flow, Inputs, f64)> {
    let velocity = (-30.0..140.0f64, -40.0..40.0f64, -60.0..60.0f64);
    let rates = (-4.0..4.0f64, -3.0..3.0f64, -3.0..3.0f64);
    let levers = (-0.2..1.2f64, -0.2..1.2f64, -5.0..600.0f64);
    (velocity, rates, levers, 0.2..1.4f64).prop_map(|(v, w, (throttle, propeller, state), rho)| {
        let pressure_pa = 101_325.0 * rho / 1.225;
        let air = AirState { density_kgpm3: rho, pressure_pa, sound_mps: 330.0 };
        let flow = Flow::new(Vec3::new(v.0, v.1, v.2), Vec3::new(w.0, w.1, w.2), air);
        (flow, Inputs { throttle, propeller, ..Inputs::default() }, state)
    })
}

/// The mirrored propeller in the mirrored flow gives the mirrored wrench, to the bit; every number is finite.
#[test]
fn prop_any_state_is_finite_and_has_its_mirror() {
    let pairs = [FIXED, GOVERNED].map(|pitch| {
        (PistonPropeller::new(data(pitch)), PistonPropeller::new(mirrored(data(pitch))))
    });
    proptest!(ProptestConfig::with_cases(3000), |((flow, inputs, state) in any_state())| {
        for (engine, mirror) in &pairs {
            let (running, budget) = run(engine, &flow, &inputs, state);
            let (velocity, rates) =
                (mirrored_vector(flow.velocity_mps), mirrored_moment(flow.rates_radps));
            let other_flow = Flow::new(velocity, rates, flow.air);
            let (other, other_budget) = run(mirror, &other_flow, &inputs, state);
            prop_assert!((running.wash.swirl_radps + other.wash.swirl_radps).abs() <= 0.0);
            prop_assert!((running.state_rate - other.state_rate).abs() <= 0.0);
            for &cause in Cause::ALL {
                let (share, turned) = (budget.share(cause), other_budget.share(cause));
                prop_assert_eq!(mirrored_vector(share.force_n), turned.force_n);
                prop_assert_eq!(mirrored_moment(share.moment_nm), turned.moment_nm);
                let (f, m) = (share.force_n, share.moment_nm);
                prop_assert!([f.x, f.y, f.z, m.x, m.y, m.z].iter().all(|x| x.is_finite()));
            }
            let Running { state_rate, wash, thrust_n, power_w, speed_radps } = running;
            let numbers = [state_rate, wash.pressure_rise_pa, wash.speed_rise_mps, wash.radius_m,
                wash.swirl_radps, thrust_n, power_w, speed_radps, engine.settled(&flow, &inputs)];
            prop_assert!(numbers.iter().all(|value| value.is_finite()), "{:?}", running);
        }
    });
}

/// No power is gained, and no more thrust than the ideal propeller of that power has.
#[test]
fn prop_no_propeller_beats_the_ideal_one() {
    for pitch in [FIXED, GOVERNED] {
        let engine = straight(pitch);
        proptest!(ProptestConfig::with_cases(4000),
            |(speed_mps in 0.0..120.0f64, state in 20.0..420.0f64, throttle in 0.0..1.0f64)| {
            let running = run(&engine, &ahead(speed_mps), &lever(throttle), state).0;
            if running.thrust_n > 0.0 {
                let disk = Disk { speed_mps, density_kgpm3: 1.225, radius_m: 0.94 };
                let w = disk.inflow_for_power_mps(running.power_w);
                let ideal_n = 2.0 * 1.225 * disk.area_m2() * (speed_mps + w) * w;
                prop_assert!(running.thrust_n <= ideal_n, "{speed_mps} {running:?} {ideal_n}");
                prop_assert!(running.thrust_n * speed_mps <= running.power_w);
            }
        });
    }
}

/// Wherever it settles nothing changes any more; a governor within its stops holds its speed.
#[test]
fn prop_settled_is_settled() {
    for pitch in [FIXED, GOVERNED] {
        let engine = straight(pitch);
        for speed in [0.0, 15.0, 30.0, 45.0, 60.0, 80.0] {
            for throttle in [0.0, 0.3, 0.6, 1.0] {
                let (flow, inputs) = (ahead(speed), lever(throttle));
                let settled = engine.settled(&flow, &inputs);
                let running = run(&engine, &flow, &inputs, settled).0;
                assert!(running.state_rate.abs() < 1e-5, "{speed} {throttle} {running:?}");
            }
        }
    }
    for throttle in [0.7, 0.85, 1.0] {
        assert_near(
            "governed",
            straight(GOVERNED).settled(&ahead(55.0), &lever(throttle)),
            282.7,
            1e-6,
        );
    }
}

/// More throttle never gives less torque, down to a stopped engine and up to where the air is too thin to run.
#[test]
fn prop_torque_rises_with_the_throttle() {
    let engine = PistonEngine::usual(119_000.0, 282.7);
    for (speed, ratio) in [(5.0, 1.0), (60.0, 1.0), (180.0, 0.7), (282.7, 0.4), (400.0, 0.1)] {
        let torque = |i: u32| engine.torque_nm(f64::from(i) / 50.0, speed, ratio);
        assert!((0..50).all(|i| torque(i + 1) >= torque(i)), "{speed} {ratio}");
    }
}

/// At the same advance and blade angle thrust, power and P-factor go with density and the powers of size and speed that
/// their dimensions ask for.
#[test]
fn prop_scaling_of_size_and_density() {
    let mut large = data(FIXED);
    large.diameter_m *= 2.0;
    large.hub_m = large.hub_m * 2.0;
    let (small, large) = (PistonPropeller::new(data(FIXED)), PistonPropeller::new(large));
    for (speed, state) in [(10.0, 250.0), (30.0, 250.0), (50.0, 100.0)] {
        let flow = |factor: f64, density_kgpm3: f64| {
            let air = AirState { density_kgpm3, ..SEA_LEVEL };
            Flow::new(Vec3::new(speed, 3.0, 2.0) * factor, Vec3::new(0.1, 0.2, 0.3), air)
        };
        let (one, one_budget) = run(&small, &flow(1.0, 1.225), &lever(1.0), state);
        let (two, two_budget) = run(&large, &flow(2.0, 0.6125), &lever(1.0), state);
        let near =
            |what, two: f64, scaled: f64| assert_near(what, two, scaled, 1e-9 * scaled.abs());
        near("thrust", two.thrust_n, 8.0 * one.thrust_n);
        near("power", two.power_w, 16.0 * one.power_w);
        near("swirl", two.wash.swirl_radps, one.wash.swirl_radps);
        let across = |budget: &Budget| budget.share(Cause::NormalForce).moment_nm.z;
        near("P-factor", across(&two_budget), 16.0 * across(&one_budget));
    }
}

/// P-factor is taken at the blade angle of the instant: a governor that has gone coarse has more of it than one at the fine
/// stop by the ratio of the sines (RIBNER-1945, form from memory), everything else being the same.
#[test]
fn regress_p_factor_follows_the_blade_angle() {
    let slope = |degrees: f64| normal_force_slope(2.0, 0.066, degrees * RAD_PER_DEG);
    let ratio = slope(30.0) / slope(15.0);
    assert_near("ratio of sines", ratio, sin(33.0 * RAD_PER_DEG) / sin(18.0 * RAD_PER_DEG), 1e-12);
    // Windmilling within 0.1 N of no thrust in turn, so that the stream is the same, at two fixed angles.
    let force = |degrees: f64| {
        let pitch = Pitch::Fixed { angle_rad: degrees * RAD_PER_DEG };
        let engine = straight(pitch);
        let flow = Flow::new(Vec3::new(60.0, 0.0, 5.0), Vec3::ZERO, SEA_LEVEL);
        let thrust = |state: f64| run(&engine, &flow, &lever(0.5), state).0.thrust_n;
        let state = base::numerics::root::find(thrust, 60.0, 400.0, 1e-9).unwrap();
        run(&engine, &flow, &lever(0.5), state).1.share(Cause::NormalForce).force_n.z
    };
    assert_near("force", force(30.0) / force(15.0), ratio, 1e-5);
}

/// A cause that is switched off is nil, and leaves the others as they were.
#[test]
fn prop_each_effect_can_be_switched_off() {
    let engine = PistonPropeller::new(data(GOVERNED));
    let flow = Flow::new(Vec3::new(45.0, 3.0, 5.0), Vec3::new(0.2, 0.1, 0.3), SEA_LEVEL);
    let all = run(&engine, &flow, &lever(0.9), 280.0).1;
    let of_propeller = [Cause::Thrust, Cause::Torque, Cause::NormalForce, Cause::Gyroscopic];
    assert!(of_propeller.len() < CAUSES);
    for off in of_propeller {
        let mut budget = Budget::new(Switches::ALL.without(off));
        engine.run(&flow, &lever(0.9), 280.0, &mut budget);
        for cause in of_propeller {
            let nil = budget.share(cause) == flight::budget::Wrench::ZERO;
            assert_eq!(nil, cause == off);
            assert!(nil || budget.share(cause) == all.share(cause));
        }
    }
}

/// NACA-640, 3 blades: four points each of the charts for 20 and 25 degrees.
fn published() -> Vec<ChartRow> {
    let row = |degrees: f64, advance: [f64; 4], thrust: [f64; 4], power: [f64; 4]| ChartRow {
        angle_rad: degrees * RAD_PER_DEG,
        advance: advance.to_vec(),
        thrust: thrust.to_vec(),
        power: power.to_vec(),
    };
    vec![
        row(
            20.0,
            [0.113, 0.4661, 0.6933, 1.0099],
            [0.16, 0.12, 0.08, 0.01],
            [0.08939, 0.08571, 0.06857, 0.01551],
        ),
        row(
            25.0,
            [0.3507, 0.7041, 0.926, 1.2425],
            [0.16, 0.12, 0.08, 0.01],
            [0.11741, 0.11215, 0.08866, 0.02146],
        ),
    ]
}

/// A published chart is read back at its points, between its blade angles, and goes on into braking.
#[test]
fn val_a_published_chart_is_read_back() {
    let deg = RAD_PER_DEG;
    let chart = Chart::of_rows(&published(), 20.0 * deg, 25.0 * deg).unwrap();
    let read = |advance: f64, degrees: f64| chart.at_angle(&chart.place(advance), degrees * deg);
    // Between knots of the grid: a cubic through points of a broken line.
    assert_near("CT", read(0.4661, 20.0).thrust, 0.12, 3e-3);
    assert_near("CP", read(0.926, 25.0).power, 0.08866, 3e-3);
    let (low, between, high) = (read(0.6, 20.0), read(0.6, 22.5), read(0.6, 25.0));
    assert_near("between", between.power, 0.5 * (low.power + high.power), 1e-12);
    let braking = read(1.6, 25.0);
    assert!(braking.thrust < 0.0 && braking.power < 0.0, "{braking:?}");
    let mut data = data(GOVERNED);
    data.blades.blades = 3.0;
    let engine = PistonPropeller::with_chart(data, &published()).unwrap();
    let running = run(&engine, &ahead(40.0), &lever(1.0), 260.0).0;
    assert!(running.thrust_n > 500.0 && running.state_rate.is_finite(), "{running:?}");
}

#[test]
fn an_impossible_chart_is_refused() {
    let refuse = |change: &dyn Fn(&mut Vec<ChartRow>), what: &str| {
        let mut rows = published();
        change(&mut rows);
        let error = Chart::of_rows(&rows, 0.3, 0.4).unwrap_err();
        assert!(error.to_string().contains(what) && !error.hint().is_empty(), "{error}");
    };
    refuse(&|rows| rows.clear(), "no blade angle");
    refuse(&|rows| rows.swap(0, 1), "do not rise at row 2");
    refuse(&|rows| rows[1].advance.swap(0, 1), "row 2 of the chart: advance ratio 0.3507");
    refuse(&|rows| rows[0].advance[0] = -0.1, "advance ratio -0.1");
    refuse(&|rows| rows[0].power.truncate(2), "4 advance ratios, 4 thrust and 2 power");
    refuse(&|rows| rows[0].thrust[1] = f64::NAN, "not finite");
    refuse(&|rows| rows[1].power[2] = 0.05, "more power comes out");
}
