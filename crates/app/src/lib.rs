//! Use cases: what people ask of the program, answered. Opens files, puts the engine crates together, adds context to
//! errors. No HTTP and no terminal here.
//!
//! * [`error`]: what can go wrong, with a hint and an exit status; how an answer ends.
//! * [`typed`]: quantities and days as people type them.
//! * [`files`]: opening files and standard input.
//! * [`answer`]: what every answer can do, and the forms it can be had in.
//! * [`choose`]: finding a maneuver, an airplane, a standard by what was typed.
//! * [`brief`], [`debrief`], [`reconstruct`]: the main jobs.
//! * [`flight`]: a debrief with what the page draws around it. [`units`]: the factors the page counts with.
//! * [`airplane_build`]: an airplane from the figures of its manual.
//! * [`airplane_fit`]: and from its own flights.
//! * [`airplane_balance`]: weight and balance of the day.
//! * [`questions`]: and from questions and answers.
//! * [`patter`]: what is said while a maneuver is flown.
//! * [`practice`]: a flight with a fault in it.
//! * [`recording`]: what a recording holds. [`reading`]: how it is to be read, as people say it.
//! * [`validate`]: the engine held against published figures.
//! * [`lists`]: lists and sheets of what the program knows.
//! * [`reference`](mod@reference): the reference pages of the repository.
//! * [`demo`]: the bundled flight.
//! * [`suggest`]: the nearest known name.

pub mod airplane_balance;
pub mod airplane_build;
pub mod airplane_fit;
pub mod answer;
pub mod brief;
pub mod choose;
pub mod corrections;
pub mod debrief;
pub mod demo;
pub mod error;
pub mod files;
pub mod flight;
pub mod lists;
pub mod many;
pub mod notes;
#[cfg(feature = "parquet")]
mod parquet;
pub mod patter;
pub mod practice;
pub mod questions;
pub mod reading;
pub mod reconstruct;
pub mod recording;
pub mod reference;
pub mod suggest;
mod table;
pub mod typed;
pub mod units;
pub mod validate;

pub use answer::Answer;
pub use error::{AppError, Outcome};
