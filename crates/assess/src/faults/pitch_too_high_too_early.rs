//! Pitch too high too early.

use crate::part::Part;
use crate::refly::Mend;

use super::{Estimate, Fault, Past, Seen, above, below, told};

pub(super) const FAULT: Fault = Fault {
    id: "pitch-too-high-too-early",
    what: "the nose was raised too far, or reached its highest too soon",
    why: "speed is gone before the figure is: hanging at the top, near the stall with bank on",
    measured: "chandelle: pitch at 45 degrees of turn over three quarters of the greatest; lazy eight and wing-over: highest before 35 degrees of turn, a wing-over over 30 degrees, or more than 3 degrees higher than in the other half",
    remedy: "bank first, then pace the pull so that the nose arrives on its reference",
    causes: &["the pull came before the bank", "the nose was watched instead of the turn"],
    drill: "bank first and hold it; then raise the nose a little at each 15 degrees of turn",
    sided: false,
    mend: Some(Mend::PitchPaced),
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
/// Two halves of one figure by one hand differ by less.
const OTHER_HALF_DEG: f64 = 3.0;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let greatest = seen.get("pitch_change_greatest_deg")?;
    if !["chandelle", "lazy-eight", "wing-over"].contains(&seen.part.maneuver) {
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
    if let Some(past) = higher_than_the_other(seen, greatest) {
        return Some(past);
    }
    let severity = above(over_level(seen, greatest), WING_OVER_MOST_DEG, PITCH_ALLOWED_DEG)
        .filter(|_| seen.is("wing-over"))?;
    Some(Past { evidence: format!("nose raised {} above entry", told(greatest, "°")), severity })
}

/// The nose raised well above where it was in the other half, read off the path, which needs no airplane.
fn higher_than_the_other(seen: &Seen<'_>, greatest: Estimate) -> Option<Past> {
    let steepest = |part: &Part<'_>| {
        let line = &part.trace.path_deg;
        let path = |i: usize| Estimate { value: line.value[i], sigma: line.sigma[i] };
        Part::extreme(part.all(), 1.0, path).map(|(_, path)| path)
    };
    let (own, before) = (steepest(seen.part)?, steepest(seen.other?)?);
    let more = Estimate {
        value: own.value - before.value,
        sigma: base::math::hypot(own.sigma, before.sigma),
    };
    let severity = above(more, OTHER_HALF_DEG, PITCH_ALLOWED_DEG)?;
    let evidence = format!(
        "nose raised {}, {:.0}° more than in the other half",
        told(greatest, "°"),
        more.value
    );
    Some(Past { evidence, severity })
}

/// The rise over the attitude that the figure began with, not over that which its second half was entered with.
fn over_level(seen: &Seen<'_>, greatest: Estimate) -> Estimate {
    let first = seen.other.filter(|other| other.start < seen.part.start);
    let Some((first, pitch)) = first.zip(seen.part.trace.pitch_change_deg.as_ref()) else {
        return greatest;
    };
    let lower = pitch.value[seen.part.start] - pitch.value[first.start];
    Estimate { value: greatest.value + lower, ..greatest }
}
