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
//! * [`inverse`]: from what is asked of it to hands and feet, and why they are where they are.
//! * [`linear`]: small disturbances about it, as matrices; [`modes`]: how they move, by name.
//! * [`point_mass`]: coordinated flight of a point mass: the equations of motion and what follows from them.
//! * [`trajectory`]: a flight as a series of samples, in the vocabulary every picture uses.
//!
//! Not here: ground effect and taxiing (flight is free of the ground), spins (what follows a stall is shown to the break and its
//! recovery, not predicted beyond), compressible drag rise.
//!
//! # Examples
//! Trim a trainer in a climb, see which cause takes how much rudder, then let go for ten seconds:
//! ```
//! use base::{frames::Vec3, kinds::TrueAirspeed};
//! use flight::air::{AirColumn, Day};
//! use flight::budget::Cause;
//! use flight::earth::Earth;
//! use flight::trim::{Airspeed, Conditions, Hold, trim};
//! use flight::vehicle::{Stepping, World};
//! use flight::wind::Wind;
//!
//! let airplane = flight::airplane::bundled::load("plover-160").expect("it is bundled");
//! let vehicle = airplane.vehicle(airplane.masses.typical)?;
//! let air = AirColumn::of_day(&Day::standard(), 0.0, 4000.0);
//! let world = World { earth: Earth::FLAT, air: &air, wind: &Wind::CALM };
//!
//! let speed = Airspeed::True(TrueAirspeed::from_kt(75.0));
//! let level = Conditions::level(Vec3::new(0.0, 0.0, -600.0), speed);
//! let climb = trim(&vehicle, &world, &Conditions { hold: Hold::Throttle(1.0), ..level })?;
//! assert!(climb.converged() && climb.climb_rate.to_fpm() > 500.0);
//! assert!(climb.stick.pedal_right.is_some_and(|pedal| pedal > 0.05), "right rudder in a climb");
//! let swirl = climb.instant.budget.share(Cause::Swirl).moment_nm.z;
//! assert!(swirl < 0.0, "the swirl yaws left");
//!
//! let stepping = Stepping { step_s: 0.01, keep_every: 100, seconds: 10.0 };
//! let flown = vehicle.fly(&world, &climb.state.to_array(), &stepping, |_| Some(climb.inputs));
//! let speed_end = flown.moments.last().expect("it was flown").instant.flow.speed_mps;
//! assert!((speed_end - TrueAirspeed::from_kt(75.0).to_mps()).abs() < 1.0, "a trimmed airplane stays trimmed");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod aerodynamics;
pub mod air;
pub mod airplane;
pub mod airspeed;
pub mod budget;
pub mod controls;
pub mod earth;
pub mod envelope;
pub mod flow;
pub mod inverse;
pub mod linear;
pub mod magnetic;
pub mod modes;
pub mod point_mass;
pub mod propulsion;
pub mod trajectory;
pub mod trim;
pub mod vehicle;
pub mod wind;
