//! Published problems with closed-form answers.

use super::mesh::climb;
use super::{Control, Duration, Node, Problem, Rates, Rows, Stop, Trajectory, refine, solve};
use crate::math::{cos, sin};

/// Double integrator from rest to rest over one unit of length in least time, |acceleration| <= 1: full push for half the way, full
/// brake for the rest, 2 units of time. Source: BH-1975, minimum-time problems.
struct BangBang;

impl Problem<2, 1, 4, 1, 3> for BangBang {
    type Point = [f64; 4];
    fn durations(&self) -> &[Duration] {
        &[Duration::Parameter(0)]
    }
    fn start(&self) -> [f64; 2] {
        [0.0, 0.0]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); 1] {
        [(-1.0, 1.0)]
    }
    fn parameter_limits(&self) -> [(f64, f64); 3] {
        [(0.1, 10.0), (0.0, 0.0), (0.0, 0.0)]
    }
    fn rates(&self, _: usize, w: &[f64; 4]) -> ([f64; 2], f64) {
        ([w[1], w[2]], 0.0)
    }
    fn linearize(&self, phase: usize, w: &[f64; 4]) -> (Rates<2, 4>, Self::Point) {
        let (value, cost) = self.rates(phase, w);
        let jacobian = [[0.0, 1.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0]];
        (Rates { value, cost, jacobian, cost_gradient: [0.0; 4] }, *w)
    }
    fn curvature(&self, _: usize, _: &[f64; 4], _: (&[f64; 2], f64), _: &mut [[f64; 4]; 4]) {}
    fn inequalities(&self, _: Node, _: &[f64; 4], _: &mut Rows<1, 4>) {}
    fn equalities(&self, _: usize, w: &[f64; 4], rows: &mut Rows<3, 4>) {
        rows.point(w[0] - 1.0, &[(0, 1.0)]);
        rows.point(w[1], &[(1, 1.0)]);
    }
    fn end_cost(&self, w: &[f64; 4]) -> (f64, [f64; 4]) {
        (w[3], [0.0, 0.0, 0.0, 1.0])
    }
}

#[test]
fn val_bang_bang_double_integrator() {
    let guess = Trajectory::guess(&[20], &[3.0], |_, share| ([share, 0.3], [0.0]));
    let solution = solve(&BangBang, guess, &Control::default());
    assert_eq!(solution.stop, Stop::Solved, "{solution:?}");
    assert!((solution.objective - 2.0).abs() < 1e-7, "{}", solution.objective);
    let controls = &solution.trajectory.controls;
    assert!(controls[..10].iter().all(|u| u[0] > 0.999), "{controls:?}");
    assert!(controls[10..].iter().all(|u| u[0] < -0.999), "{controls:?}");
}

/// The same with least `integral u^2 / 2` in one unit of time: u = 6 - 12 t, cost 6. Source: BH-1975, minimum energy.
/// With a wall the speed may not pass 1.2 units (not published: the closed form is a parabola into the wall and out of it).
struct LeastEnergy {
    wall: f64,
}

impl Problem<2, 1, 3, 1, 2> for LeastEnergy {
    type Point = [f64; 3];
    fn durations(&self) -> &[Duration] {
        &[Duration::Fixed(1.0)]
    }
    fn start(&self) -> [f64; 2] {
        [0.0, 0.0]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); 1] {
        [(-100.0, 100.0)]
    }
    fn parameter_limits(&self) -> [(f64, f64); 2] {
        [(0.0, 0.0), (0.0, 0.0)]
    }
    fn rates(&self, _: usize, w: &[f64; 3]) -> ([f64; 2], f64) {
        ([w[1], w[2]], 0.5 * w[2] * w[2])
    }
    fn linearize(&self, phase: usize, w: &[f64; 3]) -> (Rates<2, 3>, Self::Point) {
        let (value, cost) = self.rates(phase, w);
        let jacobian = [[0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];
        (Rates { value, cost, jacobian, cost_gradient: [0.0, 0.0, w[2]] }, *w)
    }
    fn curvature(
        &self,
        _: usize,
        _: &[f64; 3],
        weights: (&[f64; 2], f64),
        out: &mut [[f64; 3]; 3],
    ) {
        out[2][2] += weights.1;
    }
    fn inequalities(&self, _: Node, w: &[f64; 3], rows: &mut Rows<1, 3>) {
        rows.path(self.wall - w[1], &[(1, -1.0)]);
    }
    fn equalities(&self, _: usize, w: &[f64; 3], rows: &mut Rows<2, 3>) {
        rows.point(w[0] - 1.0, &[(0, 1.0)]);
        rows.point(w[1], &[(1, 1.0)]);
    }
    fn end_cost(&self, _: &[f64; 3]) -> (f64, [f64; 3]) {
        (0.0, [0.0; 3])
    }
}

#[test]
fn val_least_energy_transfer() {
    let guess = Trajectory::guess(&[10], &[], |_, share| ([share, 1.0], [0.0]));
    let refined = refine(&LeastEnergy { wall: 9.0 }, guess, (1e-4, 6), &Control::default());
    assert_eq!(refined.solution.stop, Stop::Solved);
    // Controls constant on intervals cost a share 1/(n^2) more than the straight line they follow.
    let n = refined.solution.trajectory.controls.len() as f64;
    let exact = 6.0 * (1.0 + 1.0 / (n * n - 1.0));
    assert!(
        (refined.solution.objective - exact).abs() < 1e-6,
        "{} {n}",
        refined.solution.objective
    );
    assert!(refined.change.is_some_and(|change| change < 1e-4));
}

/// With speed limited to v the time at the wall follows from the distance: rise time a = 3 (1 - 1/v), cost 4 v^2 / (3 a).
/// Own derivation (u falls linearly to nil at the wall).
#[test]
fn prop_speed_limit_is_kept() {
    let wall = 1.2;
    let guess = Trajectory::guess(&[20], &[], |_, share| ([share, 1.0], [0.0]));
    let solution = climb(&LeastEnergy { wall }, guess, 3, &Control::default());
    assert_eq!(solution.stop, Stop::Solved);
    let rise = 1.5 * (1.0 - 1.0 / wall);
    let exact = 4.0 * wall * wall / (3.0 * rise);
    assert!((solution.objective / exact - 1.0).abs() < 2e-3, "{} {exact}", solution.objective);
    assert!(solution.trajectory.states.iter().all(|x| x[1] < wall + 1e-8));
}

/// A bead that slides down a wire from rest: quickest from (0, 0) to (1, 1) below, in units with gravity one, along a cycloid.
/// Source: Johann Bernoulli, Acta Eruditorum, June 1696; BH-1975. The cycloid x = r (a - sin a),
/// y = r (1 - cos a) through (1, 1) has a = 2.412 011 143 913 525, r = 0.572 917 037 530 175 and takes a sqrt(r).
struct Brachistochrone;

impl Problem<3, 1, 5, 1, 3> for Brachistochrone {
    type Point = [f64; 5];
    fn durations(&self) -> &[Duration] {
        &[Duration::Parameter(0)]
    }
    fn start(&self) -> [f64; 3] {
        [0.0, 0.0, 0.0]
    }
    fn control_limits(&self, _: usize) -> [(f64, f64); 1] {
        [(-0.5, 1.6)]
    }
    fn parameter_limits(&self) -> [(f64, f64); 3] {
        [(0.5, 5.0), (0.0, 0.0), (0.0, 0.0)]
    }
    fn rates(&self, _: usize, w: &[f64; 5]) -> ([f64; 3], f64) {
        ([w[2] * cos(w[3]), w[2] * sin(w[3]), sin(w[3])], 0.0)
    }
    fn linearize(&self, phase: usize, w: &[f64; 5]) -> (Rates<3, 5>, Self::Point) {
        let (value, cost) = self.rates(phase, w);
        let (s, c) = (sin(w[3]), cos(w[3]));
        let jacobian =
            [[0.0, 0.0, c, -w[2] * s, 0.0], [0.0, 0.0, s, w[2] * c, 0.0], [0.0, 0.0, 0.0, c, 0.0]];
        (Rates { value, cost, jacobian, cost_gradient: [0.0; 5] }, *w)
    }
    fn curvature(
        &self,
        _: usize,
        w: &[f64; 5],
        (weights, _): (&[f64; 3], f64),
        out: &mut [[f64; 5]; 5],
    ) {
        let (s, c) = (sin(w[3]), cos(w[3]));
        let mixed = -weights[0] * s + weights[1] * c;
        out[2][3] += mixed;
        out[3][2] += mixed;
        out[3][3] -= w[2] * (weights[0] * c + weights[1] * s) + weights[2] * s;
    }
    fn inequalities(&self, _: Node, _: &[f64; 5], _: &mut Rows<1, 5>) {}
    fn equalities(&self, _: usize, w: &[f64; 5], rows: &mut Rows<3, 5>) {
        rows.point(w[0] - 1.0, &[(0, 1.0)]);
        rows.point(w[1] - 1.0, &[(1, 1.0)]);
    }
    fn end_cost(&self, w: &[f64; 5]) -> (f64, [f64; 5]) {
        (w[4], [0.0, 0.0, 0.0, 0.0, 1.0])
    }
}

#[test]
fn val_brachistochrone() {
    let guess = Trajectory::guess(&[10], &[2.5], |_, share| ([share, share, 1.4 * share], [0.8]));
    let refined = refine(&Brachistochrone, guess, (1e-5, 5), &Control::default());
    let solution = &refined.solution;
    assert_eq!(solution.stop, Stop::Solved, "{solution:?}");
    let exact = 2.412_011_143_913_525 * 0.572_917_037_530_175_f64.sqrt();
    assert!((solution.objective / exact - 1.0).abs() < 1e-5, "{} {exact}", solution.objective);
}

/// A problem without an answer says so, and soon: the wall is too low to arrive in time.
#[test]
fn what_cannot_be_met_is_said() {
    let guess = Trajectory::guess(&[10], &[], |_, share| ([share, 0.5], [0.0]));
    let solution = solve(&LeastEnergy { wall: 0.9 }, guess, &Control::default());
    assert!(matches!(solution.stop, Stop::NoStep | Stop::Iterations), "{:?}", solution.stop);
    assert!(solution.violation > 1e-3);
    let guess = Trajectory::guess(&[10], &[], |_, _| ([f64::NAN, 0.5], [0.0]));
    let solution = solve(&LeastEnergy { wall: 2.0 }, guess, &Control::default());
    assert_eq!(solution.stop, Stop::NotFinite);
}
