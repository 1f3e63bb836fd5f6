//! Pitch too high too early.

use super::{Fault, Past, Seen, above, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "pitch-too-high-too-early",
    what: "the nose was raised too far, or reached its highest too soon",
    why: "speed is gone before the figure is: hanging at the top, near the stall with bank on",
    measured: "chandelle: pitch at 45 degrees of turn over three quarters of the greatest; lazy eight and wing-over: highest before 35 degrees of turn, or a wing-over over 30 degrees",
    remedy: "bank first, then pace the pull so that the nose arrives on its reference",
    source: "training-aid",
    look,
};

/// The nose is highest at about 45 degrees of turn; before this it came too soon.
const EARLIEST_DEG: f64 = 35.0;
const EARLY_ALLOWED_DEG: f64 = 10.0;
/// In a chandelle about half of the pitch is reached at 45 degrees of turn.
const CHANDELLE_SHARE: f64 = 0.75;
/// The pitch beyond which passengers need parachutes (14 CFR 91.307): a wing-over keeps below.
const WING_OVER_MOST_DEG: f64 = 30.0;
const PITCH_ALLOWED_DEG: f64 = 3.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let greatest = seen.get("pitch_change_greatest_deg")?;
    if seen.is("steep-turn") {
        return None;
    }
    if seen.is("chandelle") {
        let early = seen.get("pitch_change_at_45_deg")?;
        let line_deg = CHANDELLE_SHARE * greatest.value;
        let severity = above(early, line_deg, PITCH_ALLOWED_DEG)?;
        let evidence = format!(
            "pitch at 45° of turn {} above entry, the greatest of the figure {}",
            told(early, "°"),
            told(greatest, "°")
        );
        return Some(Past { evidence, severity });
    }
    let place = seen.get("turn_at_pitch_greatest_deg")?;
    if let Some(severity) = below(place, EARLIEST_DEG, EARLY_ALLOWED_DEG) {
        let evidence = format!("nose highest at {} of turn, 45° wanted", told(place, "°"));
        return Some(Past { evidence, severity });
    }
    let severity =
        above(greatest, WING_OVER_MOST_DEG, PITCH_ALLOWED_DEG).filter(|_| seen.is("wing-over"))?;
    Some(Past { evidence: format!("nose raised {} above entry", told(greatest, "°")), severity })
}
