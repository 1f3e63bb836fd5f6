//! Differential equations: closed forms, order, event times.

use base::math::{cos, exp, hypot, ln, sin};
use base::numerics::ode::{Control, Solution, Stop, integrate};
use base::numerics::root;
use checks::assert_near;

fn control(tolerance: f64) -> Control {
    Control {
        relative: tolerance,
        absolute: tolerance,
        step_first: 1e-3,
        step_max: 10.0,
        steps_max: 1_000_000,
    }
}

/// Problems A2, A3, A4 of HULL-1972, with their
/// closed forms, at the end and between.
#[test]
fn val_scalar_problems_with_closed_forms() {
    let fine = control(1e-11);
    let check = |name: &str, solution: &Solution<1>, exact: &dyn Fn(f64) -> f64| {
        assert_eq!(solution.stop, Stop::End);
        assert_near(name, solution.state_end[0], exact(20.0), 1e-9);
        for i in 0..200 {
            let t = 0.1 * f64::from(i);
            assert_near(name, solution.state(t)[0], exact(t), 5e-8);
        }
    };
    let a2 = integrate(|_, y: &[f64; 1]| [-0.5 * y[0].powi(3)], (0.0, 20.0), [1.0], &fine, &[]);
    check("A2", &a2, &|t| 1.0 / (1.0 + t).sqrt());
    let a3 = integrate(|t, y: &[f64; 1]| [y[0] * cos(t)], (0.0, 20.0), [1.0], &fine, &[]);
    check("A3", &a3, &|t| exp(sin(t)));
    let logistic = |_: f64, y: &[f64; 1]| [0.25 * y[0] * (1.0 - y[0] / 20.0)];
    let a4 = integrate(logistic, (0.0, 20.0), [1.0], &fine, &[]);
    check("A4", &a4, &|t| 20.0 / (1.0 + 19.0 * exp(-0.25 * t)));
}

/// Problem D5 of the same set: two bodies, eccentricity 0.9, to t = 20, against Kepler's equation.
#[test]
fn val_two_bodies_of_eccentricity_nine_tenths() {
    let e: f64 = 0.9;
    let pull = |_: f64, y: &[f64; 4]| {
        let cube = hypot(y[0], y[1]).powi(3);
        [y[2], y[3], -y[0] / cube, -y[1] / cube]
    };
    let start = [1.0 - e, 0.0, 0.0, ((1.0 + e) / (1.0 - e)).sqrt()];
    let solution = integrate(pull, (0.0, 20.0), start, &control(1e-12), &[]);
    let anomaly = root::find(|u| u - e * sin(u) - 20.0, 0.0, 40.0, 1e-14).unwrap();
    assert_near("x", solution.state_end[0], cos(anomaly) - e, 1e-8);
    assert_near("y", solution.state_end[1], (1.0 - e * e).sqrt() * sin(anomaly), 1e-8);
}

/// The restricted three-body orbit of R. F. Arenstorf closes after 17.0652165601579625588917206249; figures and equations in
/// HNW-1993, section II.0.
#[test]
fn val_arenstorf_orbit_closes() {
    let small = 0.012_277_471;
    let large = 1.0 - small;
    let pull = |_: f64, y: &[f64; 4]| {
        let d1 = hypot(y[0] + small, y[1]).powi(3);
        let d2 = hypot(y[0] - large, y[1]).powi(3);
        [
            y[2],
            y[3],
            y[0] + 2.0 * y[3] - large * (y[0] + small) / d1 - small * (y[0] - large) / d2,
            y[1] - 2.0 * y[2] - large * y[1] / d1 - small * y[1] / d2,
        ]
    };
    let start = [0.994, 0.0, 0.0, -2.001_585_106_379_082_5];
    let period = 17.065_216_560_157_964;
    let miss = |tolerance: f64| {
        let end = integrate(pull, (0.0, period), start, &control(tolerance), &[]).state_end;
        hypot(end[0] - start[0], end[1] - start[1])
    };
    let (coarse, fine) = (miss(1e-9), miss(1e-13));
    println!("Arenstorf orbit: open by {coarse:.1e} at 1e-9, {fine:.1e} at 1e-13");
    assert!(fine < 1e-9 && fine < coarse);
}

/// Rates that are powers of time: a rule of order 5 is exact to the fourth power at the end of a step, its extension of order
/// 4 to the third between (order conditions of bushy trees; HNW-1993, sections II.1 and II.6). Every
/// coefficient of the rule takes part.
#[test]
fn val_powers_of_time_are_exact() {
    let one = Control { step_first: 2.0, step_max: 2.0, ..control(1e9) };
    for power in 0..=4 {
        let exact = |t: f64| (t.powi(power + 1) - 1.0) / f64::from(power + 1);
        let rate = |t: f64, _: &[f64; 1]| [t.powi(power)];
        let solution = integrate(rate, (1.0, 3.0), [0.0], &one, &[]);
        assert_eq!(solution.steps.len(), 1);
        assert_near("end", solution.state_end[0], exact(3.0), 3e-14);
        for i in 0..=20 {
            let t = 1.0 + 0.1 * f64::from(i);
            if power < 4 {
                assert_near("between", solution.state(t)[0], exact(t), 3e-14);
            }
        }
    }
}

/// Halving the step: the end gains a factor of 2^5, the value between steps 2^4 or better. DP-1980: order 5;
/// HNW-1993, section II.6: continuous extension of order 4 (local error of order 5).
#[test]
fn prop_step_halving_order_of_the_adaptive_rule() {
    let run = |h: f64| {
        let fixed = Control { step_first: h, step_max: h, ..control(1.0) };
        let derivative = |t: f64, y: &[f64; 1]| [y[0] * cos(t)];
        let solution = integrate(derivative, (0.0, 4.0), [1.0], &fixed, &[]);
        let exact = |t: f64| exp(sin(t));
        let between = (0..400)
            .map(|i| 0.01 * f64::from(i) + 0.003)
            .map(|t| (solution.state(t)[0] - exact(t)).abs())
            .fold(0.0, f64::max);
        ((solution.state_end[0] - exact(4.0)).abs(), between)
    };
    let (end_1, between_1) = run(0.1);
    let (end_2, between_2) = run(0.05);
    let (order_end, order_between) = ((end_1 / end_2).log2(), (between_1 / between_2).log2());
    println!("orders: {order_end:.2} at the end, {order_between:.2} between steps");
    assert!((4.5..6.5).contains(&order_end), "{order_end}");
    assert!((3.7..6.0).contains(&order_between), "{order_between}");
}

/// A pendulum let go at 90 degrees passes the lowest point after K(sin^2 45 deg) = 1.85407467730137: AS-1964,
/// table 17.1; let go at 60 degrees, K(0.25) = 1.68575035481260.
#[test]
fn val_quarter_period_of_a_pendulum() {
    for (degrees, quarter) in [(90.0_f64, 1.854_074_677_301_37), (60.0, 1.685_750_354_812_60)] {
        let swing = |_: f64, y: &[f64; 2]| [y[1], -sin(y[0])];
        let lowest = |_: f64, y: &[f64; 2]| -y[0];
        let start = [degrees.to_radians(), 0.0];
        let solution = integrate(swing, (0.0, 10.0), start, &control(1e-12), &[&lowest]);
        assert_eq!(solution.stop, Stop::Event(0));
        assert_near("quarter period", solution.t_end, quarter, 2e-9);
    }
}

/// Of two events the earlier one in time stops it, also when both fall into one step and stand in the other order.
#[test]
fn val_the_earlier_event_stops_it() {
    let fall = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let below = |level: f64| move |_: f64, y: &[f64; 2]| level - y[0];
    let (low, high) = (below(0.18), below(0.5));
    let long = Control { step_first: 5.0, ..control(1e-9) };
    let solution = integrate(fall, (0.0, 5.0), [1.0, 0.0], &long, &[&low, &high]);
    assert_eq!(solution.stop, Stop::Event(1));
    // Half a meter under unit gravity: one second.
    assert_near("time", solution.t_end, 1.0, 1e-9);
    assert_near("height", solution.state_end[0], 0.5, 1e-9);
    assert_near("asked later", solution.state(3.0)[0], 0.5, 1e-9);
}

/// An event that holds at the start waits until it has not held: a ball thrown up from the ground stops on coming back.
#[test]
fn val_an_event_true_at_the_start_waits() {
    let fall = |_: f64, y: &[f64; 2]| [y[1], -1.0];
    let landed = |_: f64, y: &[f64; 2]| -y[0];
    let short = Control { step_max: 0.1, ..control(1e-9) };
    let solution = integrate(fall, (0.0, 5.0), [0.0, 1.0], &short, &[&landed]);
    assert_eq!(solution.stop, Stop::Event(0));
    assert_near("time of flight", solution.t_end, 2.0, 1e-9);
    assert_near("speed", solution.state_end[1], -1.0, 1e-9);
}

/// The end is hit exactly and a solution asked outside its span answers with its ends.
#[test]
fn val_the_ends_of_the_span() {
    let decay = |_: f64, y: &[f64; 1]| [-y[0]];
    let solution = integrate(decay, (1.0, 1.0 + ln(2.0)), [1.0], &control(1e-12), &[]);
    assert_near("half-life", solution.state_end[0], 0.5, 1e-11);
    assert_near("end", solution.t_end, 1.0 + ln(2.0), 1e-13);
    assert_near("before", solution.state(0.0)[0], 1.0, 0.0);
    assert_near("after", solution.state(9.0)[0], solution.state_end[0], 0.0);
}
