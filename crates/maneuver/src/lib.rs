//! The catalogue of maneuvers: what each is, how it is flown by an airplane on a day, what standard it is held against.
//!
//! * [`catalog`]: one file per maneuver and the list of them.
//! * [`definition`]: the words a maneuver is described with: forms, checkpoints, sides, cautions.
//! * [`explain`]: what changes most between left and right.
//! * [`reference`](mod@reference): the reference flight, solved for the airplane and the day.
//! * [`standard`]: published tolerances as data, each with its source.
//! * [`patter`]: what is said while it is flown, in step with the reference flight.
//! * [`brief`]: a maneuver for an airplane and a day: both sides, limits, verdict, safety.
//! * [`eye`]: what is seen from the seat.
//! * [`rigid`]: the reference flight at six degrees of freedom: hands, feet, causes.
//! * [`optimum`]: best flights by optimal control.
//! * [`series`]: one side after the other, each from where the one before ended.
//! * [`rules`]: rules of the air by country; [`sun`]: where it stands.
//! * [`solve`]: the solver families that fly schedules; one serves many maneuvers.

pub mod brief;
pub mod catalog;
pub mod definition;
pub mod explain;
pub mod eye;
pub mod optimum;
pub mod patter;
pub mod reference;
pub mod rigid;
pub mod rules;
pub mod series;
pub mod solve;
pub mod sources;
pub mod standard;
pub mod sun;

pub use definition::{Direction, Form, Maneuver, Sourced};
pub use reference::{Entry, Infeasible, ReferenceFlight};
