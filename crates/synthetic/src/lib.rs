//! Flights with known truth, for tests and tools only: an invented airplane flown by our own equations of motion, a pilot
//! with feedback laws and a wandering hand, a receiver with errors.
//!
//! Nothing is drawn: every sample of the truth follows from lift, drag, thrust and gravity. What it cannot show: slip,
//! torque, gusts (see `cockpit`). It is the same physics that the references are solved with, so it proves the path from
//! recording to debrief, not the model of the airplane.
//!
//! * [`script`]: setting, pieces, deviations.
//! * [`fly`]: script to truth. [`flown`]: what was flown.
//! * [`receiver`]: truth to fixes. [`table`]: fixes to a file.
//! * [`demo`]: the demo flight.
//! * [`shown`]: figures of the catalogue as their references fly them, for every recorder.
//! * [`dice`]: seeded chance.

pub mod calibration;
mod cockpit;
pub mod demo;
pub mod dice;
pub mod flown;
pub mod lesson;
mod pilot;
pub mod receiver;
pub mod recorders;
pub mod script;
pub mod shown;
pub mod table;

pub use pilot::fly;
