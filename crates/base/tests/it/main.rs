//! `base` against the outside. A table of contents: a new check goes into the module of its subject.

#![allow(clippy::print_stdout, reason = "skipped checks and achieved misses are printed")]

/// Rotations and attitudes: textbook tables, closed forms, a spinning body in an official trajectory.
mod frames;
/// WGS-84 against published figures and reference libraries.
mod geodesy;
/// Sums of squares: the published problems of the trade and certified regressions.
mod least_squares;
/// Differential equations: closed forms, order, event times.
mod ode;
/// Text to quantities: what is read, what is refused.
mod quantity;
/// Zeros of functions with published values.
mod root;
/// Normal distribution, quantiles, the smoother's linear system.
mod statistics;
/// Instants: the examples of RFC 3339, leap days, refusals.
mod time;
/// Units against their definitions; directions and headings.
mod units;
