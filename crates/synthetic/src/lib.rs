//! Invented flights with known truth.
