//! Solver families: schedules in the progress angle flown by the equations of motion, unknowns found.
