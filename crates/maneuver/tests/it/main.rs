//! The catalogue, the standards and the brief against published figures.

/// Handbook rows that concern the four maneuvers and their rules.
mod ground;
mod handbook;
