//! Controls held against their stops: what the flight at six degrees of freedom asks of hand, foot and engine.

use base::factors::RAD_PER_DEG;
use flight::inverse::{Beyond, Excess};
use flight::trim::Limited;

use super::limits::Rule;
use super::{Limit, LimitSide};
use crate::reference::ReferenceFlight;
use crate::rigid::{ControlSample, NotFlown, RigidFlight};

/// A control that is asked for more than there is by up to this share is told with care: the hand that meets the stop flies the
/// figure that much slower. Beyond it the flight is not that of this airplane (training aid, our judgement).
const CARE_SHARE: f64 = 0.1;
/// Rounding of the solution breaks no stop, share.
const SLACK_SHARE: f64 = 5e-3;

/// How each control is kept: its key, its title, its travel.
type Held = (&'static str, &'static str, fn(&ControlSample) -> f64);
const HELD: &[Held] = &[
    ("control-elevator", "elevator, most of its travel", |at| at.stick_back),
    ("control-aileron", "aileron, most of its travel", |at| at.stick_right),
    ("control-rudder", "rudder, most of its travel", |at| at.pedal_right),
    ("control-throttle", "throttle, hands and feet flown", |at| at.throttle),
];

/// Whether a limit is one of these.
pub(super) fn is_one(limit: &Limit) -> bool {
    limit.id.starts_with("control-")
}

/// Travel of every control, worst over the sides that are flown; beyond the stop where the flight asks for more than there is.
pub(super) fn limits(hands: &[Result<RigidFlight, NotFlown>]) -> Vec<Limit> {
    let flown: Vec<&RigidFlight> = hands.iter().flatten().collect();
    let hold = |(id, title, travel): &Held| {
        let all = flown.iter().flat_map(|flight| &flight.controls);
        let reached = all.map(|sample| travel(sample).abs());
        // The hand stops at its stop; what it lacks there is an excess.
        let about = |excess: &&Excess| {
            excess.beyond == Beyond::Deflection && id.ends_with(excess.control.words())
        };
        let lacking = flown.iter().flat_map(|flight| &flight.excesses).filter(about).map(share);
        let most = reached.chain(lacking).max_by(f64::total_cmp)?;
        let make = if most > 1.0 + CARE_SHARE { Rule::hard } else { Rule::soft };
        let mut limit =
            make(id, title, "%", LimitSide::Above, "training-aid").hold(100.0 * most, 100.0);
        limit.kept = most <= 1.0 + SLACK_SHARE;
        Some(limit)
    };
    HELD.iter().filter_map(hold).collect()
}

/// What the controls say of the verdict, one sentence each.
#[derive(Debug, Default)]
pub(super) struct Reasons {
    /// What puts it outside limits.
    pub(super) outside: Vec<String>,
    /// What is told with care.
    pub(super) care: Vec<String>,
}

/// Sentences of the sides; the same one once, the worst side of each control.
pub(super) fn reasons(
    flights: &[ReferenceFlight],
    hands: &[Result<RigidFlight, NotFlown>],
) -> Reasons {
    let mut out = Reasons::default();
    let mut worst: Vec<(&'static str, f64, String)> = Vec::new();
    let mut note = |key: &'static str, over: f64, text: String| match worst
        .iter_mut()
        .find(|(known, ..)| *known == key)
    {
        Some(known) if known.1 >= over => {}
        Some(known) => *known = (key, over, text),
        None => worst.push((key, over, text)),
    };
    for (reference, hands) in flights.iter().zip(hands) {
        match hands {
            Ok(flight) => {
                for excess in &flight.excesses {
                    let (key, over) = (key(excess), share(excess) - 1.0);
                    note(key, over, sentence(excess, reference, flight));
                }
                let open = |sample: &&ControlSample| sample.throttle > 1.0;
                let most = flight.controls.iter().filter(open);
                if let Some(at) = most.max_by(|a, b| a.throttle.total_cmp(&b.throttle)) {
                    note("throttle", at.throttle - 1.0, throttle(at, reference));
                }
            }
            Err(why) => note_unflown(&mut out, why, reference),
        }
    }
    for (_, over, text) in worst {
        if over > CARE_SHARE {
            out.outside.push(text);
        } else if over > SLACK_SHARE {
            out.care.push(format!("care: {text}"));
        }
    }
    out
}

fn note_unflown(out: &mut Reasons, why: &NotFlown, reference: &ReferenceFlight) {
    let list = match why {
        // An airplane file without these data says so where hands and feet would stand.
        NotFlown::NoData(_) | NotFlown::Flaps(_) | NotFlown::Empty => return,
        NotFlown::Power { needed_share } if *needed_share > 1.0 + CARE_SHARE => &mut out.outside,
        _ => &mut out.care,
    };
    let text = format!("not confirmed with six degrees of freedom: {}", why.words(reference));
    if !list.contains(&text) {
        list.push(text);
    }
}

const fn key(excess: &Excess) -> &'static str {
    match (excess.control, excess.beyond) {
        (Limited::Elevator, Beyond::Deflection) => "elevator",
        (Limited::Elevator, Beyond::Rate) => "elevator rate",
        (Limited::Aileron, Beyond::Deflection) => "aileron",
        (Limited::Aileron, Beyond::Rate) => "aileron rate",
        (Limited::Rudder, Beyond::Deflection) => "rudder",
        (Limited::Rudder, Beyond::Rate) => "rudder rate",
    }
}

fn share(excess: &Excess) -> f64 {
    excess.needed / excess.available
}

fn sentence(excess: &Excess, reference: &ReferenceFlight, flight: &RigidFlight) -> String {
    let [needed, available] = crate::reference::read_apart(
        (excess.needed / RAD_PER_DEG).abs(),
        (excess.available / RAD_PER_DEG).abs(),
    );
    let off = |sample: &&ControlSample| (sample.time_s - excess.time_s).abs();
    let nearest = flight.controls.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let place =
        nearest.map(|at| reference.place_words(at.progress_rad / RAD_PER_DEG)).unwrap_or_default();
    let (what, whose) = (excess.control.words(), reference.figure_words());
    match excess.beyond {
        Beyond::Deflection => format!(
            "full {what} is not enough {place} {whose}: {needed} degrees needed, {available} are there"
        ),
        Beyond::Rate => format!(
            "the {what} does not move fast enough {place} {whose}: {needed} degrees a second needed, {available} \
             are there"
        ),
    }
}

fn throttle(at: &ControlSample, reference: &ReferenceFlight) -> String {
    let place = reference.place_words(at.progress_rad / RAD_PER_DEG);
    let needed = 100.0 * at.throttle;
    let decimals = usize::from(needed < 101.0);
    format!(
        "full power is not enough {place} {}: {needed:.decimals$} % needed with six degrees of freedom",
        reference.figure_words()
    )
}
