//! From the figures of a flight manual to an airplane with uncertainty. No input or output here.
//!
//! * [`figures`]: what a manual says, as typed; slips named with their likely cause.
//! * [`model`], [`unknowns`], [`evidence`]: the airplane of a fit, what its class says, what the manual says of it.
//! * [`fit`](mod@fit): unknowns with their doubt, contradictions, bands, what one more figure would help.
//! * [`flown`]: the airplane from its flights besides.
//! * [`outlook`]: what the airplane will do, in bands.
//! * [`buildup`]: six-degree figures from sizes.
//! * [`file`](mod@file): the airplane file that comes of it.

#![warn(missing_docs)]

pub mod buildup;
mod condition;
pub mod evidence;
pub mod figures;
pub mod file;
pub mod fit;
pub mod flown;
pub mod library;
pub mod model;
pub mod outlook;
mod standard;
pub mod unknowns;

pub use figures::Figures;
pub use fit::{Fitted, fit};
