//! Reconstruction against truth on flights of several seeds.
