//! What the airplane can bear and hold, from its file: limits, stall, maneuvering speed, gusts, the diagram of speed and load.
//!
//! * [`level_turn`]: load, bank, rate and radius of level turns.
//! * [`categories`]: limit loads by category, rolling and with flaps down.
//! * [`stall`]: stall speed by mass, load, flap and power.
//! * [`maneuvering`]: maneuvering speed by mass, from the stall and as stated, one against the other.
//! * [`gust`]: load of a gust by the formula of 14 CFR 23.341.
//! * [`diagram`]: the diagram of speed and load as data.
//! * [`performance`]: level speed, climb and ceilings, turns, glide, at a mass on a day.
//!
//! Everything here is computed from figures of the file: the flight manual of the airplane itself comes first.

mod airspeed_system;
pub mod categories;
pub mod diagram;
pub mod gust;
pub mod level_turn;
mod lift_line;
pub mod maneuvering;
pub mod performance;
pub mod stall;

pub use categories::normal_category_limit_load;
pub use level_turn::{
    bank_for_rate_rad, level_turn_bank, level_turn_load_factor, level_turn_radius_m,
    level_turn_rate_radps,
};
