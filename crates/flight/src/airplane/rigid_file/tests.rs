//! Faults of six-degree blocks, each with its line.
