//! What every other crate stands on: units and kinds, frames, time, positions on the earth, small numerics.
//!
//! Nothing here knows about airplanes, recordings or maneuvers, and nothing here does input or output.
//! Modules in reading order:
//!
//! * [`factors`]: every conversion factor of the project, exact by definition. Nowhere else.
//! * [`units`]: newtypes (`Length`, `Speed`, `Angle`, ...) with `from_kt` / `to_kt` style conversion.
//! * [`kinds`]: the same dimension, different meaning (`CalibratedAirspeed` is not `TrueAirspeed`).
//! * [`quantity`]: text to units and back (`"4500ft"`), the one parser used by commands and files.
//! * [`written`]: numbers as sentences and tables write them.
//! * [`math`]: transcendental functions that give the same bits on every system.
//! * [`frames`]: vectors and rotations that know the frame they are written in.
//! * [`geodesy`]: WGS-84 positions, earth-centred coordinates, local north-east-down.
//! * [`time`]: instants in UTC.
//! * [`typed_toml`]: TOML files read into typed values, every fault with its line and a hint.
//! * [`numerics`]: roots, integrators, least squares, splines, banded systems, statistics.

pub mod factors;
pub mod frames;
pub mod geodesy;
pub mod kinds;
pub mod math;
pub mod numerics;
pub mod quantity;
pub mod time;
pub mod typed_toml;
pub mod units;
pub mod written;
