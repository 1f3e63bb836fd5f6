//! Uncoordinated.

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
    let line = seen.part.trace.lateral_load_g.as_ref()?;
    let places: Vec<usize> = seen.part.all().collect();
    let mut sizes: Vec<f64> = places.iter().map(|&i| line.value[i].abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let middle = sizes[sizes.len() / 2];
    let sigma = places.iter().map(|&i| line.sigma[i]).sum::<f64>() / places.len() as f64;
    let median = Estimate { value: middle, sigma: 0.5 * sigma };
    let severity = above(median, ALLOWED_G, ALLOWED_G)?;
    let mean = places.iter().map(|&i| line.value[i]).sum::<f64>() / places.len() as f64;
    let side = if mean < 0.0 { "right" } else { "left" };
    let evidence = format!("ball to the {side}, {} for half of the time", told_fine(median, " g"));
    Some(Past { evidence, severity })
}
