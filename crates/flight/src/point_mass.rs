//! Coordinated flight of a point mass.
