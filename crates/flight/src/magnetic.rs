//! Variation from the World Magnetic Model.
