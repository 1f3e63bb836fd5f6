//! Small numerics shared by the engine: each a plain kernel in SI units with its limits stated.
//!
//! * [`root`]: one zero of a function of one variable between two bounds.
//! * [`optimal_control`]: optimal control over several phases, stage-wise, by an interior point.
//! * [`ode`]: adaptive and fixed-step Runge-Kutta with dense output and events.
//! * [`least_squares`]: Levenberg-Marquardt with bounds for small dense problems, and Newton's rule as its limit.
//! * [`newton`]: the same rule in fixed arrays, for a few equations in an inner loop.
//! * [`block_tridiagonal`]: symmetric positive definite block-tridiagonal systems with the selected inverse.
//! * [`interpolation`]: look-up in tables of one value against another.
//! * [`grid`]: look-up in rectangular tables of several axes.
//! * [`dual`]: numbers that carry their derivatives.
//! * [`random`]: numbers by chance from a seed.
//! * [`statistics`]: median, robust spread, the normal distribution.

pub mod block_tridiagonal;
pub mod dual;
pub mod grid;
pub mod interpolation;
pub mod least_squares;
pub mod newton;
pub mod ode;
pub mod optimal_control;
pub mod random;
pub mod root;
pub mod statistics;
