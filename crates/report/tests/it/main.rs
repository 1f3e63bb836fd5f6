//! Documents and pictures of the real catalogue and of a made-up recording of known motion.

#![allow(clippy::unwrap_used, reason = "helpers of tests stop at the first surprise")]

mod catalog;
mod documents;
mod json;
mod made;
mod papers;
mod pictures;
mod recorded;
mod verdict;
