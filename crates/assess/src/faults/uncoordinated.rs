//! Uncoordinated.

use crate::measure::coordination::ball;
use crate::refly::Mend;

use super::{Estimate, Fault, Past, Seen, above, told_fine};

pub(super) const FAULT: Fault = Fault {
    id: "uncoordinated",
    what: "the ball was out for a good part of the figure",
    why: "a slip or skid costs speed and turn, and near the stall it is how a wing drops",
    measured: "median of the damped lateral force: more than 0.025 g, about a third of a ball, where a sensor shows it",
    remedy: "step on the ball; look for the yaw of the nose against the horizon as the ailerons move",
    causes: &[
        "rudder not moved with the ailerons",
        "rudder not eased or added as speed and power change",
        "a foot resting on one pedal",
    ],
    drill: "rolls from 30 degrees of bank to 30 the other way on a point of the horizon, nose pinned by the feet",
    sided: true,
    mend: Some(Mend::Coordination),
    source: "AFH-3C",
    look,
};

/// About a third of a ball.
const ALLOWED_G: f64 = 0.025;

fn look(seen: &Seen<'_>) -> Option<Past> {
    let ball = ball(seen.part)?;
    let mut sizes: Vec<f64> = ball.iter().map(|one| one.value.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let middle = *sizes.get(sizes.len() / 2)?;
    let n = ball.len() as f64;
    let sigma = ball.iter().map(|one| one.sigma).sum::<f64>() / n;
    // Half of the time to one side: what the mounting feels is known better from the flight than at a place.
    let median = Estimate { value: middle, sigma: 0.5 * sigma };
    let severity = above(median, ALLOWED_G, ALLOWED_G)?;
    let mean = ball.iter().map(|one| one.value).sum::<f64>() / n;
    let side = if mean < 0.0 { "right" } else { "left" };
    let evidence = format!("ball to the {side}, {} for half of the time", told_fine(median, " g"));
    Some(Past { evidence, severity })
}
