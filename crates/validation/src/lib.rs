//! The engine held against the outside, value by value: published trajectories, tables, trims, closed forms.
//!
//! Knows no file and no maneuver: bytes of check files come in through [`Files`]. A check that needs no file carries its
//! typed figure with the source, so that a plain copy of the program checks something real of every kind.
//!
//! * [`bodies`], [`sampled`]: bodies of the check cases, and a flight read as the published ones are written.
//! * [`check`]: one comparison, and the usual ways to make it.
//! * [`mod@f16`]: the F-16 of check cases and textbook.
//! * [`files`]: what is there of the check folder.
//! * [`modal`]: roots of small motions through the whole vehicle.
//! * [`steady`]: straight steady flight as published trims state it.
//! * [`table`]: comma-separated tables by column name.
//! * [`textbook`]: the F-16 of the textbook, trimmed.
//! * [`group`]: groups of checks: one file each, and the list of them.

pub mod bodies;
pub mod check;
pub mod f16;
pub mod files;
pub mod group;
pub mod modal;
pub mod sampled;
pub mod steady;
pub mod table;
pub mod textbook;

pub use check::{Check, Verdict};
pub use files::Files;
pub use group::{GROUPS, Group};
