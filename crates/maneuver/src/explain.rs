//! What changes most between left and right, in a plain sentence, from the controls of both flights.
//!
//! A symmetric airplane would fly the left figure as the mirror image of the right one. The controls of both sides are laid over
//! each other at the same share of each part's time; what is left of the mirror image is what propeller and rigging do. Nothing
//! is said when nothing differs by more than the solution itself is uncertain.

use base::factors::RAD_PER_DEG;
use flight::inverse::Smoothing;
use flight::inverse::causes::{Parts, Reason};

use crate::rigid::{ControlSample, RigidFlight};

/// A control of hand or foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Control {
    /// Pedals.
    Pedal,
    /// Stick or wheel to the side.
    StickRight,
    /// Stick or wheel fore and aft.
    StickBack,
}

impl Control {
    /// Every control.
    pub const ALL: &'static [Self] = &[Self::Pedal, Self::StickRight, Self::StickBack];

    /// Share of travel.
    #[must_use]
    pub const fn travel(self, sample: &ControlSample) -> f64 {
        match self {
            Self::Pedal => sample.pedal_right,
            Self::StickRight => sample.stick_right,
            Self::StickBack => sample.stick_back,
        }
    }
    /// Deflection by cause, rad.
    const fn parts(self, sample: &ControlSample) -> &Parts {
        match self {
            Self::Pedal => &sample.causes.rudder,
            Self::StickRight => &sample.causes.aileron,
            Self::StickBack => &sample.causes.elevator,
        }
    }
    /// Deflection, rad.
    const fn deflection(self, sample: &ControlSample) -> f64 {
        match self {
            Self::Pedal => sample.rudder_rad,
            Self::StickRight => sample.aileron_rad,
            Self::StickBack => sample.elevator_rad,
        }
    }
    /// Sign that a mirror image gives it.
    const fn mirrored(self) -> f64 {
        match self {
            Self::Pedal | Self::StickRight => -1.0,
            Self::StickBack => 1.0,
        }
    }
    /// Where the tracking keeps it.
    const fn index(self) -> usize {
        match self {
            Self::StickRight => 0,
            Self::StickBack => 1,
            Self::Pedal => 2,
        }
    }
    /// A reason as it is taught for this control.
    const fn reason_words(self, reason: Reason) -> &'static str {
        match (self, reason) {
            (Self::StickRight, Reason::OtherControl) => "roll due to rudder",
            (Self::StickRight, Reason::YawRate) => "the overbanking tendency",
            (Self::StickRight, Reason::RollRate) => "damping in roll",
            (Self::Pedal, Reason::YawRate) => "damping in yaw",
            (Self::Pedal, Reason::RollRate) => "yaw due to rolling",
            (Self::StickBack, Reason::Airframe) => "incidence",
            _ => reason.words(),
        }
    }
    /// What it moves.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Pedal => "rudder",
            Self::StickRight => "aileron",
            Self::StickBack => "elevator",
        }
    }
    /// A travel in words: "11 % right pedal".
    fn words(self, travel: f64) -> String {
        let percent = (100.0 * travel.abs()).round();
        let (plus, minus) = match self {
            Self::Pedal => ("right pedal", "left pedal"),
            Self::StickRight => ("right stick", "left stick"),
            Self::StickBack => ("back stick", "forward stick"),
        };
        if percent == 0.0 {
            return match self {
                Self::Pedal => "no pedal".into(),
                Self::StickRight | Self::StickBack => "the stick in the middle".into(),
            };
        }
        format!("{percent:.0} % {}", if travel > 0.0 { plus } else { minus })
    }
}

/// What changes most between left and right.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The control.
    pub control: Control,
    /// Part in which the difference is greatest, from nil.
    pub part: usize,
    /// Progress of that part there, degrees.
    pub at_deg: f64,
    /// There, in the left figure, share of travel.
    pub left: f64,
    /// There, in the right figure.
    pub right: f64,
    /// Share of travel by which the right figure differs from the mirror image of the left one.
    pub difference: f64,
    /// Differences below this say nothing, share of travel.
    pub noise: f64,
    /// What makes most of the difference there.
    pub reason: Reason,
    /// All of it in a sentence.
    pub sentence: String,
}

/// What changes most between the left and the right figure; `None` when nothing differs beyond the noise of the solution.
#[must_use]
pub fn explain(left: &RigidFlight, right: &RigidFlight) -> Option<Explanation> {
    let mut pairs = pairs(left, right);
    // With wings level there is no left and right.
    let banked = |flight: &RigidFlight, i: usize| flight.samples[i].bank_rad.abs() > BANKED_RAD;
    pairs.retain(|&(i, j)| banked(left, i) && banked(right, j));
    let found = Control::ALL.iter().filter_map(|&control| differing(control, left, right, &pairs));
    found.max_by(|a, b| a.difference.abs().total_cmp(&b.difference.abs()))
}

/// Less bank than this is none, rad.
const BANKED_RAD: f64 = 3.0 * RAD_PER_DEG;

/// Samples of both flights at the same share of the same part.
fn pairs(left: &RigidFlight, right: &RigidFlight) -> Vec<(usize, usize)> {
    let (a, b) = (parts(&left.controls), parts(&right.controls));
    let mut out = Vec::new();
    for (a, b) in a.iter().zip(&b) {
        let pace = (b.len() - 1) as f64 / (a.len() - 1).max(1) as f64;
        out.extend(a.clone().enumerate().map(|(i, index)| {
            (index, (b.start + (i as f64 * pace).round() as usize).min(b.end - 1))
        }));
    }
    out
}

/// Index ranges of the parts: progress begins anew with each.
fn parts(controls: &[ControlSample]) -> Vec<std::ops::Range<usize>> {
    const DROP_RAD: f64 = 30.0 * RAD_PER_DEG;
    let mut starts = vec![0];
    let anew = |pair: &[ControlSample]| pair[1].progress_rad < pair[0].progress_rad - DROP_RAD;
    starts.extend((1..controls.len()).filter(|&i| anew(&controls[i - 1..=i])));
    let ends = starts.iter().skip(1).copied().chain([controls.len()]);
    starts.iter().copied().zip(ends).map(|(start, end)| start..end).collect()
}

/// Which part a sample belongs to, from nil.
fn part_of(controls: &[ControlSample], index: usize) -> usize {
    parts(controls).iter().position(|part| part.contains(&index)).unwrap_or_default()
}

/// Angle of a surface within which two flights of one schedule are found alike: ten times what the search leaves.
const FOUND_RAD: f64 = 0.3 * RAD_PER_DEG;
/// Differences are smoothed over boxes of four tenths of a second, so that a corner that comes a little earlier is none.
const EVENING: Smoothing = Smoothing { half: 2 };

fn differing(
    control: Control,
    left: &RigidFlight,
    right: &RigidFlight,
    pairs: &[(usize, usize)],
) -> Option<Explanation> {
    let (a, b) = (&left.controls, &right.controls);
    let mirrored = control.mirrored();
    let apart: Vec<f64> = pairs
        .iter()
        .map(|&(i, j)| control.travel(&b[j]) - mirrored * control.travel(&a[i]))
        .collect();
    let smooth = EVENING.apply(&apart);
    let most = (0..smooth.len()).max_by(|&i, &j| smooth[i].abs().total_cmp(&smooth[j].abs()))?;
    let (i, j) = pairs[most];
    let index = control.index();
    let feedback =
        left.tracking.feedback_max_rad[index].max(right.tracking.feedback_max_rad[index]);
    let noise = (FOUND_RAD + 2.0 * feedback) * per_rad(control, a);
    let difference = smooth[most];
    if difference.abs() < noise {
        return None;
    }
    let (here, there) = (control.parts(&a[i]), control.parts(&b[j]));
    let share = |reason: Reason| there.of(reason) - mirrored * here.of(reason);
    let along = |reason: Reason| share(reason) * difference.signum();
    let reason = Reason::ALL.iter().copied().max_by(|&a, &b| along(a).total_cmp(&along(b)))?;
    let (left, right) = (control.travel(&a[i]), control.travel(&b[j]));
    let at_deg = 0.5 * (a[i].progress_rad + b[j].progress_rad) / RAD_PER_DEG;
    let mut found = Explanation {
        control,
        part: part_of(a, i),
        at_deg,
        left,
        right,
        difference,
        noise,
        reason,
        sentence: String::new(),
    };
    found.sentence = found.words(&format!("at {at_deg:.0} degrees"));
    Some(found)
}

/// Travel for one radian of surface: from the sample that moves most.
fn per_rad(control: Control, samples: &[ControlSample]) -> f64 {
    let size = |sample: &ControlSample| control.deflection(sample).abs();
    let most = samples.iter().max_by(|a, b| size(a).total_cmp(&size(b)));
    most.map_or(0.0, |sample| (control.travel(sample) / control.deflection(sample)).abs())
}

impl Explanation {
    /// All of it in a sentence, `place` being where: "at 45 degrees", "at the break".
    pub(crate) fn words(&self, place: &str) -> String {
        let Self { control, left, right, reason, .. } = self;
        let mirror = control.words(control.mirrored() * left);
        format!(
            "What differs most between left and right is the {}: {place} the left one is flown with {}, the right \
             one with {}, where its mirror image would have {mirror}; most of the difference is {}.",
            control.title(),
            control.words(*left),
            control.words(*right),
            control.reason_words(*reason),
        )
    }
}

/// What the bank does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Banking {
    /// It grows.
    RollingIn,
    /// It stays.
    Held,
    /// It comes off.
    RollingOut,
    /// Wings level.
    Level,
}

impl Banking {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::RollingIn => "while the bank goes on",
            Self::Held => "with the bank held",
            Self::RollingOut => "while the bank comes off",
            Self::Level => "with the wings level",
        }
    }
}

/// The moment at which a control is furthest one way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Part, from nil.
    pub part: usize,
    /// Progress of the part there, degrees.
    pub progress_deg: f64,
    /// Share of travel.
    pub travel: f64,
    /// What the bank does there.
    pub banking: Banking,
    /// Bank there, degrees, right positive.
    pub bank_deg: f64,
}

/// Where most right pedal is held.
#[must_use]
pub fn right_rudder_peak(flight: &RigidFlight) -> Option<Peak> {
    let pedal = |i: usize| flight.controls[i].pedal_right;
    let at = (0..flight.controls.len()).max_by(|&i, &j| pedal(i).total_cmp(&pedal(j)))?;
    let samples = &flight.samples;
    let (before, after) =
        (&samples[at.saturating_sub(2)], &samples[(at + 2).min(samples.len() - 1)]);
    let rate = (after.bank_rad.abs() - before.bank_rad.abs()) / (after.time_s - before.time_s);
    let bank_deg = samples[at].bank_rad / RAD_PER_DEG;
    let rate_deg = rate / RAD_PER_DEG;
    let banking = if rate_deg > 1.0 {
        Banking::RollingIn
    } else if rate_deg < -1.0 {
        Banking::RollingOut
    } else if bank_deg.abs() < 1.0 {
        Banking::Level
    } else {
        Banking::Held
    };
    let progress_deg = flight.controls[at].progress_rad / RAD_PER_DEG;
    let part = part_of(&flight.controls, at);
    Some(Peak { part, progress_deg, travel: pedal(at), banking, bank_deg })
}

#[cfg(test)]
mod tests;
