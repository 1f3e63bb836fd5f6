//! Small numerics shared by the engine: each a plain kernel in SI units with its limits stated.
