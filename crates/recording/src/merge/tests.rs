//! Recordings of one flight made one.
