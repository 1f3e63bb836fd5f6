//! Optimal control of a few states over several phases: discretized stage by stage, solved by a primal-dual interior point.
//!
//! The problem: from a given state, choose controls, free times and other parameters so that a cost at the end plus an integral is
//! least, while the state obeys its differential equations, path and end conditions hold and everything stays within bounds. Phases
//! follow one another; each has its own length, conditions at its end, and bounds.
//!
//! **Discretization.** A phase is cut into equal intervals; controls are constant on each. An interval is one step of the classic
//! Runge-Kutta rule (KUTTA-1901), its defect an equation between neighboring nodes (direct multiple shooting). Compared with
//! collocation of the same order this needs no linear system inside an interval; controls that are constant on an interval limit
//! the accuracy of both alike. First and second derivatives are exact: the step is differentiated forward and backward through the
//! derivatives that the problem supplies.
//!
//! **Solution.** A primal-dual interior point with filter line search ([`interior_point`]). Its linear system is solved by a Riccati
//! recursion backward over the intervals ([`riccati`]); parameters and multipliers of the end conditions stand in a border. Barrier
//! terms along the path are weighted by the share of an interval, so that the path of the barrier does not depend on the mesh and a
//! coarse solution starts a fine one well ([`refine`]).
//!
//! # Cost
//! Linear in the number of intervals, cubic in the number of states and controls. Memory is taken once for each mesh, none in the
//! iterations.
//!
//! # Range
//! States, controls and parameters should be scaled to about one. Sized for up to some ten states and twenty border unknowns.

mod discretization;
pub mod interior_point;
pub mod mesh;
pub mod riccati;
mod small;

pub use interior_point::{Control, Solution, Stop, solve};
pub use mesh::{Refined, refine};

/// How long a phase takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Duration {
    /// This long.
    Fixed(f64),
    /// As long as the parameter of this index says.
    Parameter(usize),
}

/// Where conditions on the state are asked: a node after the first one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Node {
    /// The phase that the node lies in or ends.
    pub phase: usize,
    /// Whether the phase ends here.
    pub ends: bool,
}

/// Rates of the state and of the running cost with their first derivatives; see [`Problem`] for the order of the arguments.
#[derive(Debug, Clone, Copy)]
pub struct Rates<const NX: usize, const NW: usize> {
    /// Rates of the state.
    pub value: [f64; NX],
    /// Rate of the running cost.
    pub cost: f64,
    /// Derivatives of the rates, one row a state.
    pub jacobian: [[f64; NW]; NX],
    /// Derivatives of the rate of the cost.
    pub cost_gradient: [f64; NW],
}

impl<const NX: usize, const NW: usize> Default for Rates<NX, NW> {
    fn default() -> Self {
        Self { value: [0.0; NX], cost: 0.0, jacobian: [[0.0; NW]; NX], cost_gradient: [0.0; NW] }
    }
}

/// Values and gradients of conditions, filled row by row.
#[derive(Debug, Clone, Copy)]
pub struct Rows<const N: usize, const NW: usize> {
    pub(crate) count: usize,
    pub(crate) value: [f64; N],
    pub(crate) gradient: [[f64; NW]; N],
    pub(crate) point: [bool; N],
}

impl<const N: usize, const NW: usize> Default for Rows<N, NW> {
    fn default() -> Self {
        Self { count: 0, value: [0.0; N], gradient: [[0.0; NW]; N], point: [false; N] }
    }
}

impl<const N: usize, const NW: usize> Rows<N, NW> {
    /// A condition that holds along the path: its value and the derivatives that are not nil, by index.
    ///
    /// # Panics
    /// When there are more rows than the problem has room for.
    pub fn path(&mut self, value: f64, derivatives: &[(usize, f64)]) {
        self.push(value, derivatives, false);
    }
    /// A condition of this node alone.
    ///
    /// # Panics
    /// As [`Rows::path`].
    pub fn point(&mut self, value: f64, derivatives: &[(usize, f64)]) {
        self.push(value, derivatives, true);
    }
    fn push(&mut self, value: f64, derivatives: &[(usize, f64)], point: bool) {
        let row = self.count;
        self.value[row] = value;
        self.gradient[row] = [0.0; NW];
        for &(index, slope) in derivatives {
            self.gradient[row][index] = slope;
        }
        self.point[row] = point;
        self.count += 1;
    }
    /// Number of rows.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.count
    }
    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.count == 0
    }
    /// Value and gradient of a row.
    #[must_use]
    pub const fn row(&self, index: usize) -> (f64, &[f64; NW]) {
        (self.value[index], &self.gradient[index])
    }
}

/// An optimal control problem.
///
/// # Shape
/// `NX` states, `NU` controls and the parameters stand one after the other in the `NW` arguments `w` of every function; so there
/// are `NW - NX - NU` parameters. `NG`: most inequalities at a node. `NB`: parameters plus end conditions of all phases together.
/// In functions of a node the controls are not set and no derivative may be taken for them.
pub trait Problem<
    const NX: usize,
    const NU: usize,
    const NW: usize,
    const NG: usize,
    const NB: usize,
>
{
    /// What is kept of a point between its first and its second derivatives.
    type Point: Copy;
    /// Length of each phase, in their order.
    fn durations(&self) -> &[Duration];
    /// State at the beginning.
    fn start(&self) -> [f64; NX];
    /// Least and greatest value of each control in a phase.
    fn control_limits(&self, phase: usize) -> [(f64, f64); NU];
    /// Least and greatest value of each parameter; the rest of the array is not read.
    fn parameter_limits(&self) -> [(f64, f64); NB];
    /// Rates of the state and of the running cost.
    fn rates(&self, phase: usize, w: &[f64; NW]) -> ([f64; NX], f64);
    /// The same with their derivatives, and whatever [`Problem::curvature`] wants to know of the point.
    fn linearize(&self, phase: usize, w: &[f64; NW]) -> (Rates<NX, NW>, Self::Point);
    /// Adds the second derivatives of `weights . rates + cost_weight cost` to a full symmetric matrix.
    fn curvature(
        &self,
        phase: usize,
        point: &Self::Point,
        weights: (&[f64; NX], f64),
        out: &mut [[f64; NW]; NW],
    );
    /// Conditions that must not be negative at a node. Their number and kind must depend on the node alone.
    fn inequalities(&self, node: Node, w: &[f64; NW], rows: &mut Rows<NG, NW>);
    /// Adds the second derivatives of `weights . inequalities`.
    fn inequality_curvature(
        &self,
        _node: Node,
        _w: &[f64; NW],
        _weights: &[f64; NG],
        _out: &mut [[f64; NW]; NW],
    ) {
    }
    /// Conditions that must be nil at the end of a phase.
    fn equalities(&self, phase: usize, w: &[f64; NW], rows: &mut Rows<NB, NW>);
    /// Adds the second derivatives of `weights . equalities`; weights in the order of the rows of this phase.
    fn equality_curvature(
        &self,
        _phase: usize,
        _w: &[f64; NW],
        _weights: &[f64],
        _out: &mut [[f64; NW]; NW],
    ) {
    }
    /// Cost of the state and the parameters at the end of the last phase, with its gradient; must be linear.
    fn end_cost(&self, w: &[f64; NW]) -> (f64, [f64; NW]);
}

/// A trajectory on a mesh with its multipliers: what is iterated on, where a search begins, what it gives.
#[derive(Debug, Clone, PartialEq)]
pub struct Trajectory<const NX: usize, const NU: usize, const NG: usize, const NB: usize> {
    /// Number of intervals of each phase.
    pub intervals: Vec<usize>,
    /// How much shorter intervals are at the ends of a phase than on average, 0 (all alike) to below 1.
    pub crowding: f64,
    /// States at the nodes: one more than there are intervals.
    pub states: Vec<[f64; NX]>,
    /// Controls on the intervals.
    pub controls: Vec<[f64; NU]>,
    /// Parameters, followed by the multipliers of the end conditions.
    pub border: [f64; NB],
    /// Multipliers of the equations of motion at the nodes: the costates.
    pub costates: Vec<[f64; NX]>,
    pub(crate) slacks: Vec<[f64; NG]>,
    pub(crate) duals: Vec<[f64; NG]>,
    pub(crate) control_duals: Vec<[[f64; 2]; NU]>,
    pub(crate) parameter_duals: [[f64; 2]; NB],
    /// The barrier it was left at; nil for a first guess.
    pub(crate) barrier: f64,
}

impl<const NX: usize, const NU: usize, const NG: usize, const NB: usize>
    Trajectory<NX, NU, NG, NB>
{
    /// A first guess: state and control by phase and share of the phase, 0 to 1, and the parameters.
    pub fn guess(
        intervals: &[usize],
        parameters: &[f64],
        at: impl Fn(usize, f64) -> ([f64; NX], [f64; NU]),
    ) -> Self {
        Self::guess_crowded((intervals, 0.0), parameters, at)
    }
    /// The same with intervals crowded toward the ends of each phase, where controls act and bounds are met.
    pub fn guess_crowded(
        (intervals, crowding): (&[usize], f64),
        parameters: &[f64],
        at: impl Fn(usize, f64) -> ([f64; NX], [f64; NU]),
    ) -> Self {
        let mut states = vec![at(0, 0.0).0];
        let mut controls = Vec::new();
        for (phase, &n) in intervals.iter().enumerate() {
            for i in 0..n {
                controls.push(at(phase, place(i as f64 + 0.5, n, crowding)).1);
                states.push(at(phase, place((i + 1) as f64, n, crowding)).0);
            }
        }
        let mut border = [0.0; NB];
        border[..parameters.len()].copy_from_slice(parameters);
        let (nodes, n) = (states.len(), controls.len());
        Self {
            intervals: intervals.to_vec(),
            crowding,
            states,
            controls,
            border,
            costates: vec![[0.0; NX]; nodes],
            slacks: vec![[1.0; NG]; nodes],
            duals: vec![[1.0; NG]; nodes],
            control_duals: vec![[[1.0; 2]; NU]; n],
            parameter_duals: [[1.0; 2]; NB],
            barrier: 0.0,
        }
    }
    /// Phase, share of the phase at its beginning, and length as a share of the phase, of every interval.
    pub fn cells(&self) -> impl Iterator<Item = (usize, f64, f64)> + '_ {
        let crowding = self.crowding;
        self.intervals.iter().enumerate().flat_map(move |(phase, &n)| {
            (0..n).map(move |i| {
                let begins = place(i as f64, n, crowding);
                (phase, begins, place((i + 1) as f64, n, crowding) - begins)
            })
        })
    }
}

/// Share of a phase at a count of its intervals.
fn place(count: f64, intervals: usize, crowding: f64) -> f64 {
    let even = count / intervals as f64;
    let turn = std::f64::consts::TAU;
    if crowding > 0.0 { even - crowding * crate::math::sin(turn * even) / turn } else { even }
}

#[cfg(test)]
mod tests;
