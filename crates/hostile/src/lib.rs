//! Hostile recordings: made from good ones by mutation ([`mutate`]), and what every reader must hold on any bytes
//! ([`hold`]). Tests and tools only; the program `hostile` fuzzes one reader after another without special tools.
//!
//! * [`classes`]: ways in which files are broken, and what must be said of each.
//! * [`random`]: a seeded generator. [`seeds`]: good files of every format. [`dictionary`]: words of each format.
//! * [`minimize`]: the shortest input that still fails the same way.

pub mod classes;
pub mod dictionary;
pub mod hold;
pub mod minimize;
pub mod mutate;
pub mod pack;
pub mod random;
pub mod seeds;
