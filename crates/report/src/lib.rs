//! What people read: a document model, pictures as vector scenes, and their renderers. Places given values; computes no
//! physics and no measurement.
//!
//! * [`model`]: a document as a list of blocks.
//! * [`scene`]: a picture as primitives with roles, never colors.
//! * [`trace`]: a flight, computed or reconstructed, ready to be drawn.
//! * [`pictures`]: the pictures, one file each.
//! * [`airplane_build`], [`airplane_fit`], [`airplane_balance`], [`brief`], [`patter`], [`debrief`], [`practice`], [`recorded`],
//!   [`lists`], [`validation`]: the documents.
//! * [`papers`]: documents for paper: the one-page brief, the kneeboard card, the safety sheet, the debrief sheet.
//! * [`layout`]: documents on pages.
//! * [`render`]: documents to bytes, one file per format and the list of them.
//! * [`numbers`]: how numbers are written. [`units`]: documents in the reader's units.

pub mod airplane_balance;
pub mod airplane_build;
pub mod airplane_fit;
pub mod brief;
pub mod debrief;
mod fit;
mod hands;
pub mod layout;
pub mod lists;
pub mod model;
pub mod numbers;
pub mod papers;
pub mod patter;
pub mod pictures;
pub mod practice;
pub mod recorded;
pub mod render;
pub mod scene;
mod seat;
pub mod trace;
pub mod units;
pub mod validation;

/// The sentence on every page.
pub const SAFETY_SENTENCE: &str = "Training aid, not approved data. The flight manual, placards, local rules and a \
                                   qualified instructor decide.";
