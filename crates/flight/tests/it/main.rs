//! `flight` against the outside. A table of contents: a new check goes into the module of its subject.

#![allow(clippy::print_stdout, reason = "skipped checks and achieved misses are printed")]

/// The standard atmosphere, airspeed conversion, density altitude against published rows and reference libraries.
mod air;
/// The airplane file: good ones, and every kind of fault.
mod airplane_file;
/// Stall, maneuvering speed, gusts and the diagram of speed and load.
mod envelope;
/// The airplane with its flaps down: limits, stall, what is refused.
mod flaps;
/// Handbook rows on loads, stalls, turns, energy.
mod handbook;
/// The World Magnetic Model against its official test values.
mod magnetic;
/// Modes and linear models against published roots and closed forms.
mod modes;
/// Wind profile, gusts, turbulence.
mod moving_air;
/// Level speeds, climb, turns and glide against closed forms, reference tables and a published row.
mod performance;
/// Thrust, drag, lift and work of the point mass, one by one.
mod point_mass;
/// Engine and propeller: signs, symmetry, bounds, scaling, charts.
mod propulsion;
/// The rigid airplane: symmetry, scaling, order, power, range, shares.
mod rigid_body;
/// The stall of the trainers: where it breaks, how the nose drops, what the recovery costs.
mod stall;
/// The airplanes of the check flights: their files are read and say what the check data say.
mod test_airplanes;
/// Rigid-body trainers against the same trainers as point masses.
mod trainers;
/// Steady flight: closed forms, mirrors, staying put, and the reasons of what cannot be.
mod trim;
