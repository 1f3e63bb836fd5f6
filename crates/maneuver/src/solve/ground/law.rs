//! Closed forms of flight over the ground in a steady wind, level, at constant airspeed. Angles in rad, all directions counted the
//! same way round from the direction the wind blows to (downwind).
//!
//! Source: the wind triangle; the turn about a point in the wind has an exact solution (TAP-2014); the height at which the wing
//! points at a pylon is airspeed times groundspeed over g when the groundspeed is that along the heading (DENKER); the handbook's
//! rule is the square of the groundspeed over g (AFH-3C).

use base::factors::STANDARD_GRAVITY_MPS2;
use base::math::{asin, atan, cos, sin};

/// Heading less track, rad, that keeps a track: the wind correction angle, positive when the nose is turned the way that angles are
/// counted. Not a number where the wind across is more than the airspeed.
#[must_use]
pub fn wind_correction_rad(speed_mps: f64, wind_mps: f64, track_rad: f64) -> f64 {
    asin(wind_mps * sin(track_rad) / speed_mps)
}

/// Groundspeed, m/s, along a track.
#[must_use]
pub fn groundspeed_mps(speed_mps: f64, wind_mps: f64, track_rad: f64) -> f64 {
    let across = wind_mps * sin(track_rad);
    wind_mps * cos(track_rad) + (speed_mps * speed_mps - across * across).sqrt()
}

/// Bank of the lift, rad, that keeps a radius over the ground where the track is `track_rad`: `tan(bank) = G^2 / (g R cos(wca))`.
#[must_use]
pub fn bank_rad(speed_mps: f64, wind_mps: f64, radius_m: f64, track_rad: f64) -> f64 {
    let ground = groundspeed_mps(speed_mps, wind_mps, track_rad);
    let correction = wind_correction_rad(speed_mps, wind_mps, track_rad);
    atan(ground * ground / (STANDARD_GRAVITY_MPS2 * radius_m * cos(correction)))
}

/// Radius over the ground, m, of which the steepest bank, rad, is this: flown directly downwind.
#[must_use]
pub fn radius_m(speed_mps: f64, wind_mps: f64, bank_steepest_rad: f64) -> f64 {
    let ground = speed_mps + wind_mps;
    ground * ground / (STANDARD_GRAVITY_MPS2 * base::math::tan(bank_steepest_rad))
}

/// Height above a pylon, m, at which the wing points at it in a level turn, by the exact law: `V (V + w cos(a)) / g`, with `a` the
/// angle between heading and downwind.
#[must_use]
pub fn pivotal_height_m(speed_mps: f64, wind_mps: f64, heading_rad: f64) -> f64 {
    speed_mps * (speed_mps + wind_mps * cos(heading_rad)) / STANDARD_GRAVITY_MPS2
}

/// The handbook's rule for it: groundspeed squared over g (over 11.3 in knots and feet). Exact in calm air only.
#[must_use]
pub fn pivotal_height_by_rule_m(groundspeed_mps: f64) -> f64 {
    groundspeed_mps * groundspeed_mps / STANDARD_GRAVITY_MPS2
}
