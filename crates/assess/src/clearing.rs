//! Clearing turns before an attempt: seen, not seen, cannot tell.
//!
//! Looked for in the three minutes before: one turn of half a circle, or two of a quarter each, less what a hurried turn falls short
//! of them; turns of other attempts count, since the area is seen in them too. Less than three minutes of recording before the
//! attempt without a clearing turn cannot tell.

use crate::attempt::Clearing;
use crate::trace::{STEP_S, Trace};

/// Looked for so long before an attempt, s. Our reading of "clear the area" as the first skill of every maneuver (ACS-P, ACS-C).
const BEFORE_S: f64 = 180.0;
/// A turn is banked at least so far, degrees.
const BANKED_DEG: f64 = 10.0;
/// Half a circle, or two quarters (P-330-181), less a ninth.
const HALF_DEG: f64 = 160.0;
const QUARTER_DEG: f64 = 80.0;
/// A heading not known to this says nothing of turns, degrees.
const UNSURE_DEG: f64 = 15.0;

/// Looks before a place of the trace.
pub(crate) fn before(trace: &Trace, start: usize) -> Clearing {
    let wanted = (BEFORE_S / STEP_S) as usize;
    let from = start.saturating_sub(wanted);
    let looked = (from..start).rev().take_while(|&i| trace.usable[i]).count();
    let first = start - looked;
    let turns = turns(trace, first, start);
    let half = turns.iter().any(|turn| turn.abs() >= HALF_DEG);
    let quarters = turns.iter().filter(|turn| turn.abs() >= QUARTER_DEG).count() >= 2;
    let sigma = trace.heading_deg.sigma.get(first..start).unwrap_or_default();
    let unsure = sigma.iter().any(|sigma| sigma.is_nan() || *sigma >= UNSURE_DEG);
    if unsure {
        Clearing::CannotTell
    } else if half || quarters {
        Clearing::Seen
    } else if looked < wanted {
        Clearing::CannotTell
    } else {
        Clearing::NotSeen
    }
}

/// Degrees turned in each stretch of bank to one side.
fn turns(trace: &Trace, first: usize, after: usize) -> Vec<f64> {
    let (bank, heading) = (&trace.bank_deg.value, &trace.heading_deg.value);
    let side = |i: usize| {
        if bank[i].abs() < BANKED_DEG {
            0
        } else if bank[i] > 0.0 {
            1
        } else {
            -1
        }
    };
    let mut out = Vec::new();
    let mut begin = first;
    for i in first..after {
        if i + 1 == after || side(i + 1) != side(begin) {
            if side(begin) != 0 {
                out.push(heading[i] - heading[begin]);
            }
            begin = i + 1;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Straight for so long, then turns of so many degrees at 3 degrees a second and 20 of bank, ten seconds apart.
    fn flown(straight_s: f64, turns_deg: &[f64], after_s: f64) -> Trace {
        let mut trace = Trace::default();
        let mut heading = 90.0;
        let mut add = |seconds: f64, bank: f64, rate: f64| {
            for _ in 0..(seconds / STEP_S) as usize {
                heading += rate * STEP_S;
                trace.time_s.push(trace.time_s.len() as f64 * STEP_S);
                trace.bank_deg.value.push(bank);
                trace.heading_deg.value.push(heading);
                trace.heading_deg.sigma.push(1.0);
                trace.usable.push(true);
            }
        };
        add(straight_s, 0.0, 0.0);
        for turn in turns_deg {
            add(turn.abs() / 3.0, 20.0 * turn.signum(), 3.0 * turn.signum());
            add(10.0, 0.0, 0.0);
        }
        add(after_s, 0.0, 0.0);
        trace
    }

    #[test]
    fn prop_clearing_turns_are_seen_not_seen_or_cannot_be_told() {
        let looked = |trace: Trace| before(&trace, trace.len() - 1);
        assert_eq!(looked(flown(120.0, &[180.0], 20.0)), Clearing::Seen);
        assert_eq!(looked(flown(120.0, &[90.0, -90.0], 20.0)), Clearing::Seen);
        assert_eq!(looked(flown(170.0, &[60.0, -45.0], 20.0)), Clearing::NotSeen);
        // Too long ago, too short a recording, a heading not known.
        assert_eq!(looked(flown(30.0, &[180.0], 200.0)), Clearing::NotSeen);
        assert_eq!(looked(flown(60.0, &[], 20.0)), Clearing::CannotTell);
        let mut vague = flown(120.0, &[180.0], 20.0);
        vague.heading_deg.sigma.fill(f64::NAN);
        assert_eq!(looked(vague), Clearing::CannotTell);
    }
}
