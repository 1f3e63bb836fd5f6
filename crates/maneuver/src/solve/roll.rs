//! A roll from bank to bank whose rate comes on and goes off as a hand moves.

/// Time in which a rate of roll is set up, s: a hand takes the better part of a second to set one up, or to turn one round (common
/// practice, no source).
pub(crate) const RISE_S: f64 = 0.45;

/// A roll through an angle: the rate grows evenly to its greatest and falls evenly to nil, or turns back before where the angle
/// leaves no room for it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Roll {
    angle_rad: f64,
    acceleration_radps2: f64,
    rise_s: f64,
}

impl Roll {
    /// Through an angle (rad, positive) at a greatest rate (rad/s).
    pub(crate) fn new(angle_rad: f64, rate_radps: f64) -> Self {
        let acceleration_radps2 = rate_radps / RISE_S;
        let rise_s = RISE_S.min((angle_rad / acceleration_radps2).sqrt());
        Self { angle_rad, acceleration_radps2, rise_s }
    }
    /// Time from beginning to end, s.
    pub(crate) fn duration_s(&self) -> f64 {
        let rate_radps = self.acceleration_radps2 * self.rise_s;
        if rate_radps > 0.0 { self.angle_rad / rate_radps + self.rise_s } else { 0.0 }
    }
    /// Times since the beginning at which the law changes, s: the rate reached, held no longer, the end.
    pub(crate) fn corners_s(&self) -> [f64; 3] {
        let end_s = self.duration_s();
        [self.rise_s, end_s - self.rise_s, end_s]
    }
    /// Angle rolled at a time since the beginning, rad; held at both ends.
    pub(crate) fn at(&self, time_s: f64) -> f64 {
        let end_s = self.duration_s();
        let half = |since_s: f64| {
            let risen_s = since_s.clamp(0.0, self.rise_s);
            self.acceleration_radps2 * risen_s * (0.5 * risen_s + (since_s - risen_s).max(0.0))
        };
        if time_s < 0.5 * end_s { half(time_s) } else { self.angle_rad - half(end_s - time_s) }
    }
}

/// Angle rolled, rad, at a time since a roll began whose end is not yet known.
pub(crate) fn begun(rate_radps: f64, since_s: f64) -> f64 {
    let risen_s = since_s.clamp(0.0, RISE_S);
    rate_radps * (0.5 * risen_s * risen_s / RISE_S + (since_s - risen_s).max(0.0))
}

/// The lesser of a bank that grows at a rate and one that is held, the roll ended as it began: evenly, over [`RISE_S`].
pub(crate) fn joined(rolled_rad: f64, held_rad: f64, rate_radps: f64) -> f64 {
    let over = over_rad(rate_radps);
    let apart = (rolled_rad - held_rad).abs();
    let less = (over - apart).max(0.0);
    rolled_rad.min(held_rad) - less * less / (4.0 * over)
}

/// How far past the held bank the roll would be where it has ended, rad: see [`joined`].
pub(crate) const fn over_rad(rate_radps: f64) -> f64 {
    0.5 * RISE_S * rate_radps
}

#[cfg(test)]
mod tests {
    use super::{RISE_S, Roll, begun, joined};

    #[test]
    fn prop_a_roll_that_meets_a_bank_is_the_roll_to_it() {
        let (bank, rate) = (0.5, 0.26);
        let roll = Roll::new(bank, rate);
        for i in 0..40 {
            let time_s = 0.08 * f64::from(i);
            let met = joined(begun(rate, time_s), bank, rate);
            checks::assert_near("bank", met, roll.at(time_s), 1e-12);
        }
    }

    #[test]
    fn prop_the_rate_comes_on_and_goes_off_evenly() {
        for (angle_rad, rate_radps) in [(0.6, 0.26), (0.05, 0.26), (3.1, 1.4)] {
            let roll = Roll::new(angle_rad, rate_radps);
            let end_s = roll.duration_s();
            assert!(roll.at(-1.0) == 0.0 && (roll.at(end_s + 1.0) - angle_rad).abs() < 1e-12);
            checks::assert_near("the middle", roll.at(0.5 * end_s), 0.5 * angle_rad, 1e-12);
            let step = 1e-3;
            let most = rate_radps / RISE_S * step * step;
            for i in -5..=(end_s / step) as i32 + 5 {
                let [a, b, c] = [-1.0, 0.0, 1.0].map(|k| roll.at(step * (f64::from(i) + k)));
                assert!((a - 2.0 * b + c).abs() < 1.0001 * most + 1e-15, "{angle_rad} {i}");
                assert!(c - b <= rate_radps * step * 1.0001, "{angle_rad} {i}");
            }
        }
    }
}
