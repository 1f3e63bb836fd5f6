//! The edits: one cause mended, all else as flown.

use super::Intent;
use super::flown::{FINE_S, Flown};
use super::fly::{OfTurn, Path, Power, Pull, Script, fly};
use super::polar::Polar;
use crate::part::Part;
use base::factors::{MPS_PER_KT, RAD_PER_DEG, STANDARD_GRAVITY_MPS2};
use base::math::{cos, pow, sin};

/// One cause mended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mend {
    /// The roll-out is begun where it ends on the heading.
    RollOut,
    /// The bank is held that the form asks for.
    BankHeld,
    /// The roll-in is as slow as it should be.
    RollRate,
    /// The pitch comes up as paced by the turn, to the height planned.
    PitchPaced,
    /// The nose is raised less, so that the figure ends above the stall.
    PitchPeak,
    /// The nose is held up (or brought up again) in the second half.
    NoseHeld,
    /// Height is held, or comes back to that of entry, by the pull.
    HeightHeld,
    /// Power stays as set.
    PowerHeld,
    /// The ball is kept in the middle.
    Coordination,
}

impl Mend {
    /// Every one.
    pub const ALL: [Self; 9] = [
        Self::RollOut,
        Self::BankHeld,
        Self::RollRate,
        Self::PitchPaced,
        Self::PitchPeak,
        Self::NoseHeld,
        Self::HeightHeld,
        Self::PowerHeld,
        Self::Coordination,
    ];
    /// Stable key.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::RollOut => "roll-out",
            Self::BankHeld => "bank-held",
            Self::RollRate => "roll-rate",
            Self::PitchPaced => "pitch-paced",
            Self::PitchPeak => "pitch-peak",
            Self::NoseHeld => "nose-held",
            Self::HeightHeld => "height-held",
            Self::PowerHeld => "power-held",
            Self::Coordination => "coordination",
        }
    }
    /// What is done otherwise, in words with numbers.
    pub(crate) fn deed(self, subject: &Subject<'_>) -> String {
        let degrees = |angle: f64| angle / RAD_PER_DEG;
        match self {
            Self::RollOut => match subject.held_between().filter(|_| subject.level()) {
                Some((_, until)) => {
                    let flown = subject.flown;
                    let error = flown.turn_rad[flown.len() - 1] - subject.wanted_rad();
                    format!(
                        "roll-out begun at {:.0} instead of {:.0} degrees of turn",
                        degrees(until - error),
                        degrees(until)
                    )
                }
                None => "bank taken off in step with the turn, level on the heading".into(),
            },
            Self::BankHeld => match (subject.bank_wanted_rad(), subject.held_rad()) {
                (Some(wanted), Some(held)) => format!(
                    "bank of {:.0} instead of {:.0} degrees",
                    degrees(wanted),
                    degrees(held)
                ),
                _ => "bank as the form asks".into(),
            },
            Self::RollRate => "bank brought in as slowly as the figure asks".into(),
            Self::PitchPaced => "pitch brought up in step with the turn".into(),
            Self::PitchPeak => "nose raised less".into(),
            Self::NoseHeld if subject.is("chandelle") => {
                "nose held from the 90-degree point on".into()
            }
            Self::NoseHeld => "nose brought back to level by the end".into(),
            Self::HeightHeld if subject.level() => "height held by the pull".into(),
            Self::HeightHeld => "pitch after the 90-degree point set for the entry height".into(),
            Self::PowerHeld if subject.left_at_end_kt().is_some() => {
                "power left as set, and the nose as high as that carries".into()
            }
            Self::PowerHeld => "power left as set".into(),
            Self::Coordination => "ball in the middle".into(),
        }
    }
    /// What was wrong, in words.
    #[must_use]
    pub const fn cause(self) -> &'static str {
        match self {
            Self::RollOut => "where the roll-out was begun",
            Self::BankHeld => "the bank that was held",
            Self::RollRate => "the bank came in too fast",
            Self::PitchPaced => "the pitch was not paced by the turn",
            Self::PitchPeak => "the nose was raised too far",
            Self::NoseHeld => "the nose was low in the second half",
            Self::HeightHeld => "the pull did not keep the height",
            Self::PowerHeld => "power was taken off on the way",
            Self::Coordination => "the ball was out",
        }
    }
    /// The edited controls; `None` when the part leaves nothing of this kind to mend, or the motion does not show it.
    pub(crate) fn script(self, subject: &Subject<'_>) -> Option<Script> {
        let script = subject.null();
        match self {
            Self::RollOut => subject.down_to(subject.roll_out(script)?, subject.meant_m(true)),
            Self::BankHeld => subject.down_to(subject.bank_held(script)?, subject.meant_m(false)),
            Self::RollRate => subject.down_to(subject.roll_rate(script)?, subject.meant_m(false)),
            Self::PitchPaced => {
                subject.down_to(subject.pitch_paced(script)?, subject.meant_m(false))
            }
            Self::PitchPeak => subject.pitch_peak(&script),
            Self::NoseHeld => subject.nose_held(script),
            Self::HeightHeld => subject.height_held(script),
            Self::PowerHeld => subject.power_held(script),
            Self::Coordination => {
                subject.down_to(subject.coordinated(script)?, subject.meant_m(false))
            }
        }
    }
}

/// What is flown again.
pub(crate) struct Subject<'a> {
    pub(crate) part: &'a Part<'a>,
    pub(crate) flown: &'a Flown,
    pub(crate) other: Option<&'a Flown>,
    pub(crate) polar: &'a Polar,
    pub(crate) intent: Intent,
    /// Attitude of level flight before the figure.
    pub(crate) level_rad: f64,
}

const STANDARD_RATE_RADPS: f64 = 3.0 * RAD_PER_DEG;
pub(super) const QUARTER_RAD: f64 = 90.0 * RAD_PER_DEG;
/// Bank counts as held from and to this share of what is held.
const HELD_SHARE: f64 = 0.85;
/// In the second half bank has come off too soon below this share of what it was at the same distance before the middle.
const MIRROR_SHARE: f64 = 0.8;
/// Share of the steepest bank left at the end of a half that rolls into the next.
const BANK_AT_END_SHARE: f64 = 0.2;
/// Speed over the stall at which a chandelle should end, kt (marking band of our own: 3 to 6).
const OVER_STALL_KT: f64 = 4.5;
/// A chandelle that ends within this of the stall was climbed as far as the speed carried, kt (marking band of our own: 1 to 10).
const CLIMBED_OUT_KT: f64 = 10.0;
/// Greatest pitch of a wing-over and a lazy eight, above entry, where the other half does not say it (common practice, no source).
const WING_OVER_PITCH_RAD: f64 = 24.0 * RAD_PER_DEG;
const LAZY_EIGHT_PITCH_RAD: f64 = 11.0 * RAD_PER_DEG;
/// A figure that ends within this of its entry height was flown to come back to it, m.
const CAME_BACK_M: f64 = 30.0;
/// Mean of power is taken over this time, s.
const POWER_MEAN_S: f64 = 3.0;

impl Subject<'_> {
    fn is(&self, maneuver: &str) -> bool {
        self.part.maneuver == maneuver
    }
    fn symmetric(&self) -> bool {
        self.is("lazy-eight") || self.is("wing-over")
    }
    /// Figures in which height is held.
    fn level(&self) -> bool {
        !self.symmetric() && !self.is("chandelle") && !self.is("steep-spiral")
    }
    fn wanted_rad(&self) -> f64 {
        self.part.turn_wanted_deg * RAD_PER_DEG
    }
    /// As flown, with what pull and throttle keep.
    pub(crate) fn null(&self) -> Script {
        let pull = if self.level() { Pull::Path } else { Pull::Attitude };
        let governed = self.level() && (self.is("slow-flight") || self.speed_by_power());
        Script::null(self.flown, pull, if governed { Power::Airspeed } else { Power::Lever })
    }
    /// Whether the throttle was moved to keep the speed: left where it was at entry, the speed would have gone off twice as far.
    fn speed_by_power(&self) -> bool {
        const TELLING_MPS: f64 = 1.5 * MPS_PER_KT;
        let flown = self.flown;
        let first = ((POWER_MEAN_S / FINE_S) as usize).min(flown.len());
        let thrust = flown.thrust[..first].iter().sum::<f64>() / first as f64;
        let entry = flown.speed_mps[0];
        let (mut speed, mut left, mut kept) = (entry, 0.0, 0.0);
        for k in 0..flown.len() {
            let pressure = flown.pressure_pa(speed, k as f64, flown.height_m[k]);
            let pulled = thrust * pow(speed / entry, -self.polar.thrust_fall);
            let along = pulled - self.polar.drag(flown.load[k], pressure) - sin(flown.path_rad[k]);
            left += (speed - entry) * (speed - entry);
            kept += (flown.speed_mps[k] - entry) * (flown.speed_mps[k] - entry);
            speed =
                (speed + STANDARD_GRAVITY_MPS2 * along * FINE_S).clamp(0.5 * entry, 2.0 * entry);
        }
        let n = flown.len() as f64;
        (left / n).sqrt() > TELLING_MPS && kept < 0.25 * left
    }
    /// Mean bank between two shares of the turn flown.
    fn bank_held_rad(&self) -> Option<f64> {
        let flown = self.flown;
        let end = flown.turn_rad[flown.len() - 1];
        let (low, high) = if self.is("chandelle") {
            (20.0 * RAD_PER_DEG, 85.0 * RAD_PER_DEG)
        } else if self.symmetric() {
            (QUARTER_RAD - 5.0 * RAD_PER_DEG, QUARTER_RAD + 5.0 * RAD_PER_DEG)
        } else {
            (0.15 * end, 0.85 * end)
        };
        let held: Vec<f64> = (0..flown.len())
            .filter(|&k| (low..=high).contains(&flown.turn_rad[k]))
            .map(|k| flown.bank_rad[k])
            .collect();
        (held.len() >= 4).then(|| held.iter().sum::<f64>() / held.len() as f64)
    }
    /// Turn at which the bank of a level turn is in, and at which the roll-out begins.
    pub(crate) fn held_between(&self) -> Option<(f64, f64)> {
        let line = HELD_SHARE * self.bank_held_rad()?;
        let flown = self.flown;
        let over = |k: &usize| flown.bank_rad[*k] >= line;
        let first = (0..flown.len()).find(over)?;
        let last = (0..flown.len()).rev().find(over)?;
        Some((flown.turn_rad[first], flown.turn_rad[last]))
    }
    fn roll_out(&self, script: Script) -> Option<Script> {
        let flown = self.flown;
        let error = flown.turn_rad[flown.len() - 1] - self.wanted_rad();
        if self.symmetric() && error < 0.0 {
            return self.carried_on(script);
        }
        self.misplaced(script, -error)
    }
    /// The roll-out put so much later, in turn: a figure that holds its bank begins it later, the others take the bank off more slowly
    /// from the 90-degree point on.
    pub(super) fn misplaced(&self, mut script: Script, later_rad: f64) -> Option<Script> {
        let flown = self.flown;
        let end = flown.turn_rad[flown.len() - 1];
        let ends = end + later_rad;
        if !self.level() {
            (end > QUARTER_RAD + 0.3 && ends > QUARTER_RAD + 0.1).then_some(())?;
            script.turn_map = vec![(0.0, 0.0), (QUARTER_RAD, QUARTER_RAD), (ends, end)];
            return Some(script);
        }
        let (from, until) = self.held_between()?;
        let begun = until + later_rad;
        (begun > from + 0.1 && until > from + 0.1).then_some(())?;
        script.turn_map = vec![(0.0, 0.0), (from, from), (begun, until), (ends, end)];
        Some(script)
    }
    /// The second half as the first, mirrored: bank from where it came off too soon, pitch from the lowest on.
    fn carried_on(&self, mut script: Script) -> Option<Script> {
        let flown = self.flown;
        let wanted = self.wanted_rad();
        let turned = flown.turned();
        let end = flown.len() - 1;
        (flown.turn_rad[end] > QUARTER_RAD + 0.2).then_some(())?;
        let least = BANK_AT_END_SHARE * greatest_bank(flown);
        let mirrored = |turn: f64| flown.at_turn(&flown.bank_rad, &turned, wanted - turn);
        let after = (0..=end).find(|&k| turned[k] >= QUARTER_RAD)?;
        let off = (after..=end)
            .find(|&k| flown.bank_rad[k] < MIRROR_SHARE * mirrored(turned[k]).max(least))
            .unwrap_or(end);
        let from = turned[off.saturating_sub(2).max(after)];
        let scale = flown.at_turn(&flown.bank_rad, &turned, from) / mirrored(from);
        let scale = scale.clamp(MIRROR_SHARE, 1.25);
        let grid: Vec<f64> =
            (0..=20).map(|i| from + (wanted - from) * f64::from(i) / 20.0).collect();
        let bank = |turn: &f64| (*turn, (scale * mirrored(*turn)).max(least));
        script.bank_late = Some(OfTurn { from_rad: from, points: grid.iter().map(bank).collect() });
        let lowest = self.lowest_after(after);
        let (low_turn, low) = (turned[lowest].min(from), flown.attitude_rad[lowest]);
        let level = self.level_rad;
        let rise = |i: u32| {
            let share = f64::from(i) / 20.0;
            let down = cos(share * QUARTER_RAD);
            (low_turn + (wanted - low_turn) * share, level + (low - level) * down)
        };
        let points = (0..=20).map(rise).collect();
        script.pitch_late = Some(OfTurn { from_rad: low_turn, points });
        script.end_turn_rad = Some(wanted);
        Some(script)
    }
    fn lowest_after(&self, after: usize) -> usize {
        let attitude = &self.flown.attitude_rad;
        let lower = |a: &usize, b: &usize| attitude[*a].total_cmp(&attitude[*b]);
        (after..attitude.len()).min_by(lower).unwrap_or(after)
    }
    /// Bank that the form asks for, or the other half had.
    fn bank_wanted_rad(&self) -> Option<f64> {
        if let Some(bank_deg) = self.intent.bank_deg {
            return Some(bank_deg * RAD_PER_DEG);
        }
        let form = match (self.part.maneuver, self.part.form) {
            ("steep-turn", "45") => 45.0,
            ("steep-turn", "60") => 60.0,
            ("steep-turn", _) => 50.0,
            ("standard-rate-turn", _) => {
                let speed = self.flown.speed_mps[self.flown.len() / 2];
                let rate = STANDARD_RATE_RADPS * speed / STANDARD_GRAVITY_MPS2;
                return Some(base::math::atan(rate));
            }
            ("chandelle", "shallow") | ("lazy-eight", _) => 30.0,
            ("wing-over", _) => {
                let other = self.other.map(greatest_bank).filter(|bank| *bank > 55.0 * RAD_PER_DEG);
                return Some(other.unwrap_or(60.0 * RAD_PER_DEG));
            }
            _ => return None,
        };
        Some(form * RAD_PER_DEG)
    }
    /// The bank that is held against what the form asks.
    fn held_rad(&self) -> Option<f64> {
        if self.is("wing-over") { Some(greatest_bank(self.flown)) } else { self.bank_held_rad() }
    }
    fn bank_held(&self, mut script: Script) -> Option<Script> {
        let held = self.held_rad()?;
        (held > 0.1).then_some(())?;
        let scale = self.bank_wanted_rad()? / held;
        script.bank_rad.iter_mut().for_each(|bank| *bank *= scale);
        Some(script)
    }
    fn roll_rate(&self, mut script: Script) -> Option<Script> {
        self.symmetric().then_some(())?;
        let flown = self.flown;
        let peak = greatest_bank(flown);
        let turned = flown.turned();
        let planned: Box<dyn Fn(f64) -> f64> = match self.other {
            Some(other) => {
                let (turns, scale) = (other.turned(), peak / greatest_bank(other));
                Box::new(move |turn| scale * other.at_turn(&other.bank_rad, &turns, turn))
            }
            // Half of the bank at half of the way.
            None => Box::new(move |turn| {
                peak * sin(turn.clamp(0.0, QUARTER_RAD)) * sin(turn.clamp(0.0, QUARTER_RAD))
            }),
        };
        for (k, &turn) in turned.iter().enumerate() {
            if turn < QUARTER_RAD {
                script.bank_rad[k] = script.bank_rad[k].min(planned(turn));
            }
        }
        Some(script)
    }
    fn pitch_paced(&self, mut script: Script) -> Option<Script> {
        let flown = self.flown;
        let turned = flown.turned();
        let entry = self.level_rad;
        if self.is("chandelle") {
            let peak = flown.at_turn(&flown.attitude_rad, &turned, QUARTER_RAD);
            for (k, &turn) in turned.iter().enumerate() {
                if turn < QUARTER_RAD {
                    let share = turn.max(0.0) / QUARTER_RAD;
                    script.pitch_rad[k] = script.pitch_rad[k].min(entry + (peak - entry) * share);
                }
            }
            return Some(script);
        }
        self.symmetric().then_some(())?;
        let rise =
            |flown: &Flown| flown.attitude_rad.iter().copied().fold(f64::MIN, f64::max) - entry;
        let own = rise(flown);
        if let Some(other) = self.other.filter(|other| rise(other) < own) {
            let turns = other.turned();
            for (k, &turn) in turned.iter().enumerate() {
                let as_other = other.at_turn(&other.attitude_rad, &turns, turn);
                // Where hardly anything is turned yet the other half is read by its own rise.
                let planned = as_other;
                script.pitch_rad[k] = if turn < QUARTER_RAD {
                    script.pitch_rad[k]
                        .min(entry + (script.pitch_rad[k] - entry) * rise(other) / own)
                } else {
                    planned
                };
            }
            return Some(script);
        }
        let most = if self.is("wing-over") { WING_OVER_PITCH_RAD } else { LAZY_EIGHT_PITCH_RAD };
        (own > most).then_some(())?;
        for pitch in &mut script.pitch_rad {
            *pitch = entry + (*pitch - entry) * most / own;
        }
        Some(script)
    }
    /// The whole climb scaled so that the end is reached above the stall; needs the airplane.
    fn pitch_peak(&self, script: &Script) -> Option<Script> {
        self.is("chandelle").then_some(())?;
        self.climbed_to(script, OVER_STALL_KT)
    }
    /// The climb scaled so that a speed over the stall is left at the end; needs the airplane.
    fn climbed_to(&self, script: &Script, left_kt: f64) -> Option<Script> {
        let entry = self.flown.attitude_rad[0];
        let scaled = |share: f64| {
            let mut script = script.clone();
            for pitch in &mut script.pitch_rad {
                *pitch = entry + (*pitch - entry) * share;
            }
            script
        };
        let over = |share: f64| {
            let path = fly(self.flown, &scaled(share), self.polar);
            let end = end(&path);
            self.over_stall_kt(path.calibrated_mps[end], path.pressure_pa[end])
                .map_or(f64::NAN, |over| over - left_kt)
        };
        self.polar.lift_most_per_pa?;
        Some(scaled(root(over, (1.0, 0.95), (0.4, 1.8), 0.2)?))
    }
    /// Calibrated airspeed over the stall at 1 g, kt.
    fn over_stall_kt(&self, calibrated_mps: f64, pressure_pa: f64) -> Option<f64> {
        let stall_share = (1.0 / (self.polar.lift_most_per_pa? * pressure_pa)).sqrt();
        Some(calibrated_mps * (1.0 - stall_share) / MPS_PER_KT)
    }
    /// What was left over the stall at the end of a chandelle that was climbed as far as the speed carried.
    fn left_at_end_kt(&self) -> Option<f64> {
        let flown = self.flown;
        let last = flown.len() - 1;
        let height = flown.height_m[last];
        let calibrated = flown.speed_mps[last] * flown.calibrated_share(last as f64, height);
        let pressure = flown.pressure_pa(flown.speed_mps[last], last as f64, height);
        let over = self.over_stall_kt(calibrated, pressure)?;
        (self.is("chandelle") && (0.0..=CLIMBED_OUT_KT).contains(&over)).then_some(over)
    }
    fn nose_held(&self, mut script: Script) -> Option<Script> {
        let flown = self.flown;
        let turned = flown.turned();
        let end = flown.len() - 1;
        let after = (0..=end).find(|&k| turned[k] >= QUARTER_RAD)?;
        if self.is("chandelle") {
            let held = flown.attitude_rad[after];
            script.pitch_rad[after..].fill(held);
            return Some(script);
        }
        self.symmetric().then_some(())?;
        let lowest = self.lowest_after(after);
        (end > lowest + 4).then_some(())?;
        let missing = self.level_rad - flown.attitude_rad[end];
        let span = (turned[end] - turned[lowest]).max(0.05);
        for k in lowest..=end {
            let share = (turned[k] - turned[lowest]) / span;
            script.pitch_rad[k] += missing * share;
        }
        Some(script)
    }
    fn height_held(&self, mut script: Script) -> Option<Script> {
        if self.level() {
            script.height_held = true;
            return Some(script);
        }
        self.symmetric().then_some(())?;
        self.down_to(script, Some(0.0))
    }
    /// Height change at the end that the student meant in a figure that comes back to its height: that of the attempt when it came
    /// back, that of entry when the figure was broken off. `None` when it was missed, and for other figures.
    fn meant_m(&self, broken_off: bool) -> Option<f64> {
        let height = &self.flown.height_m;
        let flown = height[height.len() - 1] - height[0];
        if !self.symmetric() {
            return None;
        }
        // Who missed the height had no hold of it: the dive stays as flown.
        if broken_off { Some(0.0) } else { Some(flown).filter(|flown| flown.abs() < CAME_BACK_M) }
    }
    /// The second half flown down to a height: whoever comes to its start higher or lower dives more or less, as in the attempt.
    fn down_to(&self, script: Script, meant_m: Option<f64>) -> Option<Script> {
        let Some(meant_m) = meant_m else { return Some(script) };
        let flown = self.flown;
        let turned = flown.turned();
        let late = |turn: f64| sin(2.0 * (turn - QUARTER_RAD).clamp(0.0, QUARTER_RAD));
        let raised = |more: f64| {
            let mut script = script.clone();
            for (k, &turn) in turned.iter().enumerate() {
                script.pitch_rad[k] += more * late(turn);
            }
            if let Some(pitch) = &mut script.pitch_late {
                pitch.points.iter_mut().for_each(|(turn, pitch)| *pitch += more * late(*turn));
            }
            script
        };
        let height = |more: f64| {
            let path = fly(flown, &raised(more), self.polar);
            path.height_m[path.height_m.len() - 1] - flown.height_m[0] - meant_m
        };
        let (one, most) = (RAD_PER_DEG, 15.0 * RAD_PER_DEG);
        Some(root(height, (0.0, one), (-most, most), 1.0).map_or(script.clone(), raised))
    }
    fn power_held(&self, mut script: Script) -> Option<Script> {
        let flown = self.flown;
        let entry = flown.speed_mps[0];
        let mean = lever(flown, self.polar);
        let set = power_set(&mean)?;
        for k in set..flown.len() {
            let held = mean[set] * pow(flown.speed_mps[k] / entry, -self.polar.thrust_fall);
            script.thrust[k] = script.thrust[k].max(held);
        }
        script.power = Power::Lever;
        // Who climbs as far as the speed carries climbs farther with more power.
        if let Some(left) = self.left_at_end_kt() {
            return self.climbed_to(&script, left).or(Some(script));
        }
        Some(script)
    }
    fn coordinated(&self, mut script: Script) -> Option<Script> {
        let flown = self.flown;
        flown.lateral_seen.then_some(())?;
        for k in 0..flown.len() {
            script.side[k] -= flown.lateral[k];
            if script.pull == Pull::Attitude {
                // The nose stands where it stood; without sideslip less of it is to the side.
                script.pitch_rad[k] += flown.sideslip_rad[k] * sin(flown.bank_rad[k]);
            }
            script.drag_off[k] = (flown.lateral[k] * flown.sideslip_rad[k]).abs();
        }
        Some(script)
    }
}

/// Thrust over weight as it would be at the speed of entry, mean over [`POWER_MEAN_S`]: where the lever stands.
fn lever(flown: &Flown, polar: &Polar) -> Vec<f64> {
    let entry = flown.speed_mps[0];
    let at = |k: usize| flown.thrust[k] * pow(flown.speed_mps[k] / entry, polar.thrust_fall);
    let lever: Vec<f64> = (0..flown.len()).map(at).collect();
    crate::trace::smooth(&lever, (0.5 * POWER_MEAN_S / FINE_S) as usize)
}

/// Where the lever stands highest in the first part of the figure.
fn power_set(lever: &[f64]) -> Option<usize> {
    let half = (0.5 * POWER_MEAN_S / FINE_S) as usize;
    let early = (0.4 * lever.len() as f64) as usize;
    (half..early.max(half + 1)).max_by(|a, b| lever[*a].total_cmp(&lever[*b]))
}

/// Over so many seconds a throttle is moved.
const POWER_MOVED_S: f64 = 5.0;
/// What is set up in this share of the figure belongs to its entry.
const POWER_SET_SHARE: f64 = 0.15;

/// Where the lever stood before and after it fell most within a few seconds, as thrust over weight; the entry left out.
pub(crate) fn power(flown: &Flown, polar: &Polar) -> Option<(f64, f64)> {
    let lever = lever(flown, polar);
    let apart = (POWER_MOVED_S / FINE_S) as usize;
    let half = (0.5 * POWER_MEAN_S / FINE_S) as usize;
    let first = half.max((POWER_SET_SHARE * lever.len() as f64) as usize);
    let last = lever.len().checked_sub(apart + half)?;
    let share = |k: &usize| lever[*k + apart] / lever[*k].max(0.02);
    let most = (first..last).min_by(|a, b| share(a).total_cmp(&share(b)))?;
    (lever[most] > 0.05).then_some((lever[most], lever[most + apart]))
}

pub(super) fn greatest_bank(flown: &Flown) -> f64 {
    flown.bank_rad.iter().copied().fold(f64::MIN, f64::max).max(0.05)
}

/// Root of a smooth monotone function to `within`, by secants from two guesses, inside a range; `None` when it is not found there.
fn root(
    f: impl Fn(f64) -> f64,
    (guess, next): (f64, f64),
    (low, high): (f64, f64),
    within: f64,
) -> Option<f64> {
    const STEPS: usize = 8;
    let (mut a, mut b) = (guess, next);
    let (mut at_a, mut at_b) = (f(a), f(b));
    for _ in 0..STEPS {
        if at_a.abs() < within {
            return Some(a);
        }
        if at_b.abs() < within {
            return Some(b);
        }
        let x = (b - at_b * (b - a) / (at_b - at_a)).clamp(low, high);
        if !x.is_finite() || (x - b).abs() < f64::EPSILON {
            return None;
        }
        (a, at_a) = (b, at_b);
        (b, at_b) = (x, f(x));
    }
    (at_b.abs() < 3.0 * within).then_some(b)
}

/// The last place of a path.
pub(crate) fn end(path: &Path) -> usize {
    path.speed_mps.len() - 1
}
