//! Flight mechanics of one airplane in one day's air. Knows nothing of maneuvers, students, grades or recordings.
//!
//! * [`air`]: the standard atmosphere and the day that differs from it.
//! * [`airspeed`]: exact compressible conversion between calibrated, equivalent, true airspeed and Mach number.
//! * [`wind`]: the motion of the air over the ground.
//! * [`envelope`]: stall speed, maneuvering speed, limit loads, airspeed through the position error.
//! * [`magnetic`]: variation from the World Magnetic Model.
//! * [`airplane`]: the airplane as data, read from TOML, checked.
//! * [`earth`]: the earth flown over, flat or round, at rest or turning.
//! * [`flow`]: how the air meets the airplane at one instant.
//! * [`budget`]: forces and moments by cause.
//! * [`aerodynamics`], [`propulsion`], [`controls`]: what makes them, each behind one trait or type.
//! * [`vehicle`]: the rigid body: its state, its equations of motion over any earth.
//! * [`trim`]: steady flight of it: straight, climbing, turning, pulling.
//! * [`point_mass`]: coordinated flight of a point mass: the equations of motion and what follows from them.
//! * [`trajectory`]: a flight as a series of samples, in the vocabulary every picture uses.

pub mod aerodynamics;
pub mod air;
pub mod airplane;
pub mod airspeed;
pub mod budget;
pub mod controls;
pub mod earth;
pub mod envelope;
pub mod flow;
pub mod magnetic;
pub mod point_mass;
pub mod propulsion;
pub mod trajectory;
pub mod trim;
pub mod vehicle;
pub mod wind;
