//! Forces and moments by cause: each physical effect adds its own share, can be switched off, and is reported by itself.

use base::frames::{Body, Vec3};

use crate::flow::Flow;

/// A force with its moment about a stated point, expressed in body axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wrench {
    /// Force, N.
    pub force_n: Vec3<Body>,
    /// Moment, N m.
    pub moment_nm: Vec3<Body>,
}

impl Wrench {
    /// Nothing.
    pub const ZERO: Self = Self { force_n: Vec3::ZERO, moment_nm: Vec3::ZERO };

    /// A pure moment.
    #[must_use]
    #[inline]
    pub const fn moment(moment_nm: Vec3<Body>) -> Self {
        Self { force_n: Vec3::ZERO, moment_nm }
    }
    /// A force that acts at a point, `arm_m` from the point that moments are taken about.
    #[must_use]
    #[inline]
    pub const fn at(force_n: Vec3<Body>, arm_m: Vec3<Body>) -> Self {
        Self { force_n, moment_nm: arm_m.cross(force_n) }
    }
    /// The same wrench with moments about another point, from which the old one lies at `arm_m`.
    #[must_use]
    pub fn about(self, arm_m: Vec3<Body>) -> Self {
        Self { force_n: self.force_n, moment_nm: self.moment_nm + arm_m.cross(self.force_n) }
    }
}

impl std::ops::Add for Wrench {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self { force_n: self.force_n + other.force_n, moment_nm: self.moment_nm + other.moment_nm }
    }
}

impl std::ops::Mul<f64> for Wrench {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        Self { force_n: self.force_n * factor, moment_nm: self.moment_nm * factor }
    }
}

macro_rules! causes {
    ($( $(#[$doc:meta])* $name:ident $key:literal $words:literal; )+) => {
        /// What makes a force or a moment.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Cause { $( $(#[$doc])* $name, )+ }

        impl Cause {
            /// Every cause, in the order of the budget.
            pub const ALL: &'static [Self] = &[ $( Self::$name ),+ ];

            /// Stable key: lower-case words with hyphens.
            #[must_use]
            pub const fn key(self) -> &'static str {
                match self { $( Self::$name => $key, )+ }
            }
            /// In words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $( Self::$name => $words, )+ }
            }
        }
    };
}

causes! {
    /// Lift, drag and side force of the airframe at its incidence and sideslip, flaps included; no rates, no controls.
    Airframe "airframe" "incidence and sideslip";
    /// Rolling: damping in roll, and the yaw that comes with it.
    RollRate "roll-rate" "rolling";
    /// Pitching: damping in pitch.
    PitchRate "pitch-rate" "pitching";
    /// Yawing: damping in yaw, and the roll that comes with it (overbanking).
    YawRate "yaw-rate" "yawing";
    /// Changing incidence: lag of the downwash at the tail.
    IncidenceRate "incidence-rate" "changing incidence";
    /// Elevator and its tab.
    Elevator "elevator" "elevator";
    /// Aileron, adverse yaw included.
    Aileron "aileron" "aileron";
    /// Rudder and its tab.
    Rudder "rudder" "rudder";
    /// Pull along the shaft, with the moment of its line.
    Thrust "thrust" "thrust";
    /// Reaction of the engine's torque.
    Torque "torque" "torque";
    /// P-factor: normal force and moment of a propeller that is not met straight.
    NormalForce "normal-force" "P-factor";
    /// Turning the axis of the spinning propeller.
    Gyroscopic "gyroscopic" "gyroscopic precession";
    /// Faster air of the slipstream over tail and inner wing.
    Slipstream "slipstream" "slipstream";
    /// Swirl of the slipstream at the fin.
    Swirl "swirl" "slipstream swirl";
}

/// How many causes there are.
pub const CAUSES: usize = Cause::ALL.len();

/// Which causes act.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Switches(u32);

impl Switches {
    /// Everything acts.
    pub const ALL: Self = Self(u32::MAX);

    /// The same without this cause.
    #[must_use]
    pub const fn without(self, cause: Cause) -> Self {
        Self(self.0 & !(1 << cause as u32))
    }
    /// Whether a cause acts.
    #[must_use]
    #[inline]
    pub const fn acts(self, cause: Cause) -> bool {
        self.0 & (1 << cause as u32) != 0
    }
}

impl Default for Switches {
    fn default() -> Self {
        Self::ALL
    }
}

/// Where a model writes its shares: a whole [`Budget`], or the bare [`Sum`] of a step.
///
/// A model that is written once for both, generically, is fast in a step (see [`Budget::write`]): parts that are nil are not
/// even added, and how a sum is shared among causes is asked for only where shares are kept.
pub trait Ledger {
    /// Whether a cause acts: spares the work of computing it.
    fn acts(&self, cause: Cause) -> bool;
    /// Adds to a cause, when it acts.
    fn add(&mut self, cause: Cause, wrench: Wrench);
    /// Adds a force at the point that moments are taken about.
    #[inline]
    fn add_force(&mut self, cause: Cause, force_n: Vec3<Body>) {
        self.add(cause, Wrench { force_n, moment_nm: Vec3::ZERO });
    }
    /// Adds a moment alone.
    #[inline]
    fn add_moment(&mut self, cause: Cause, moment_nm: Vec3<Body>) {
        self.add(cause, Wrench::moment(moment_nm));
    }
    /// Adds a pitching moment alone.
    #[inline]
    fn add_pitch(&mut self, cause: Cause, pitch_nm: f64) {
        self.add_moment(cause, Vec3::new(0.0, pitch_nm, 0.0));
    }
    /// Adds a rolling and a yawing moment.
    #[inline]
    fn add_roll_yaw(&mut self, cause: Cause, roll_nm: f64, yaw_nm: f64) {
        self.add_moment(cause, Vec3::new(roll_nm, 0.0, yaw_nm));
    }
    /// Adds rolling and yawing moments about stability axes, each to its cause.
    fn add_turning<const N: usize>(&mut self, flow: &Flow, parts: [(Cause, (f64, f64)); N]);
    /// Adds a wrench in the plane of symmetry whose force has many causes and one place: `shares` gives another at the same place,
    /// and by cause the multiples of it that make up the `whole`.
    fn add_in_plane<const N: usize>(
        &mut self,
        whole: InPlane,
        shares: impl Fn() -> (InPlane, [(Cause, f64); N]),
    );
    /// The same with a wrench across the plane of symmetry.
    fn add_across<const N: usize>(
        &mut self,
        whole: Across,
        shares: impl Fn() -> (Across, [(Cause, f64); N]),
    );
    /// Adds a wrench of many causes, each with a place of its own; `shares` tells them apart.
    fn add_many(&mut self, whole: Wrench, shares: impl Iterator<Item = (Cause, Wrench)>);
}

/// A wrench in the plane of symmetry: what wing and tail give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InPlane {
    /// Force forward, N.
    pub x_n: f64,
    /// Force down, N.
    pub z_n: f64,
    /// Pitching moment, N m.
    pub pitch_nm: f64,
}

impl std::ops::Mul<f64> for InPlane {
    type Output = Self;
    #[inline]
    fn mul(self, factor: f64) -> Self {
        Self { x_n: self.x_n * factor, z_n: self.z_n * factor, pitch_nm: self.pitch_nm * factor }
    }
}

impl InPlane {
    /// The same with all six parts.
    #[must_use]
    #[inline]
    pub const fn wrench(self) -> Wrench {
        Wrench {
            force_n: Vec3::new(self.x_n, 0.0, self.z_n),
            moment_nm: Vec3::new(0.0, self.pitch_nm, 0.0),
        }
    }
}

/// A wrench across the plane of symmetry: what the fin gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Across {
    /// Force to the right, N.
    pub y_n: f64,
    /// Rolling moment, N m.
    pub roll_nm: f64,
    /// Yawing moment, N m.
    pub yaw_nm: f64,
}

impl Across {
    /// The same with all six parts.
    #[must_use]
    #[inline]
    pub const fn wrench(self) -> Wrench {
        Wrench {
            force_n: Vec3::new(0.0, self.y_n, 0.0),
            moment_nm: Vec3::new(self.roll_nm, 0.0, self.yaw_nm),
        }
    }
}

/// The sum of all causes, every one of which acts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sum(Wrench);

impl Ledger for Sum {
    #[inline]
    fn acts(&self, _: Cause) -> bool {
        true
    }
    #[inline]
    fn add(&mut self, _: Cause, wrench: Wrench) {
        self.0 = self.0 + wrench;
    }
    #[inline]
    fn add_force(&mut self, _: Cause, force_n: Vec3<Body>) {
        self.0.force_n = self.0.force_n + force_n;
    }
    #[inline]
    fn add_moment(&mut self, _: Cause, moment_nm: Vec3<Body>) {
        self.0.moment_nm = self.0.moment_nm + moment_nm;
    }
    #[inline]
    fn add_pitch(&mut self, _: Cause, pitch_nm: f64) {
        self.0.moment_nm.y += pitch_nm;
    }
    #[inline]
    fn add_roll_yaw(&mut self, _: Cause, roll_nm: f64, yaw_nm: f64) {
        self.0.moment_nm.x += roll_nm;
        self.0.moment_nm.z += yaw_nm;
    }
    #[inline]
    fn add_turning<const N: usize>(&mut self, flow: &Flow, parts: [(Cause, (f64, f64)); N]) {
        let moment_nm = turning(flow, &parts);
        self.0.moment_nm.x += moment_nm.x;
        self.0.moment_nm.z += moment_nm.z;
    }
    #[inline]
    fn add_in_plane<const N: usize>(
        &mut self,
        whole: InPlane,
        _: impl Fn() -> (InPlane, [(Cause, f64); N]),
    ) {
        let Wrench { force_n, moment_nm } = &mut self.0;
        force_n.x += whole.x_n;
        force_n.z += whole.z_n;
        moment_nm.y += whole.pitch_nm;
    }
    #[inline]
    fn add_across<const N: usize>(
        &mut self,
        whole: Across,
        _: impl Fn() -> (Across, [(Cause, f64); N]),
    ) {
        let Wrench { force_n, moment_nm } = &mut self.0;
        force_n.y += whole.y_n;
        moment_nm.x += whole.roll_nm;
        moment_nm.z += whole.yaw_nm;
    }
    #[inline]
    fn add_many(&mut self, whole: Wrench, _: impl Iterator<Item = (Cause, Wrench)>) {
        self.0 = self.0 + whole;
    }
}

/// Sum of moments about stability axes, in body axes.
#[inline]
fn turning(flow: &Flow, parts: &[(Cause, (f64, f64))]) -> Vec3<Body> {
    let (mut roll_nm, mut yaw_nm) = (0.0, 0.0);
    for &(_, (roll, yaw)) in parts {
        roll_nm += roll;
        yaw_nm += yaw;
    }
    flow.body_from_stability(roll_nm, 0.0, yaw_nm)
}

/// Shares of the forces and moments, by cause. Causes that are switched off are reported as nil.
///
/// Shares are kept about the point they were added about, and moved to another only when read: a step needs their sum alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Budget {
    switches: Switches,
    /// None where only the sum is wanted: a step does not even clear them.
    shares: Option<[Wrench; CAUSES]>,
    sum: Wrench,
    arm_m: Vec3<Body>,
    incidence_rate: Option<InPlane>,
}

/// What writes shares, the same way into any ledger.
pub trait Shares {
    /// What it answers besides.
    type Answer;
    /// Writes them.
    fn write(&self, ledger: &mut impl Ledger) -> Self::Answer;
}

impl Budget {
    /// Nothing yet; shares will be kept by cause.
    #[must_use]
    pub const fn new(switches: Switches) -> Self {
        let shares = Some([Wrench::ZERO; CAUSES]);
        Self { shares, ..Self::sum_only(switches) }
    }
    /// Nothing yet; only the sum will be kept, which is all that a step needs. Every share reads as nil.
    #[must_use]
    #[inline]
    pub const fn sum_only(switches: Switches) -> Self {
        let (sum, arm_m) = (Wrench::ZERO, Vec3::ZERO);
        Self { switches, shares: None, sum, arm_m, incidence_rate: None }
    }
    /// Has shares written: straight into a sum where nothing but the sum is wanted and every cause acts. Same bits either way.
    #[inline]
    pub fn write<S: Shares>(&mut self, shares: &S) -> S::Answer {
        if !self.is_sum() {
            return self.write_shares(shares);
        }
        let mut sum = Sum(self.sum);
        let answer = shares.write(&mut sum);
        self.sum = sum.0;
        answer
    }
    #[inline(never)] // else a step makes room for it
    fn write_shares<S: Shares>(&mut self, shares: &S) -> S::Answer {
        shares.write(self)
    }
    const fn is_sum(&self) -> bool {
        self.shares.is_none() && self.switches.0 == Switches::ALL.0
    }
    /// Adds to a cause, when it acts; moments about the first point, also after [`Self::about`].
    #[inline]
    pub fn add(&mut self, cause: Cause, wrench: Wrench) {
        if self.switches.acts(cause) {
            self.sum = self.sum + wrench;
            self.keep(cause, wrench);
        }
    }
    /// Adds to the share of a cause alone, when it acts and shares are kept.
    #[inline]
    fn keep(&mut self, cause: Cause, wrench: Wrench) {
        if self.switches.acts(cause)
            && let Some(shares) = &mut self.shares
        {
            let share = &mut shares[cause as usize];
            *share = *share + wrench;
        }
    }
    /// Adds a whole that is made of multiples of one wrench, each to its cause; where not all of them act, those that do.
    fn add_whole(&mut self, whole: Wrench, unit: Wrench, parts: &[(Cause, f64)]) {
        for &(cause, multiple) in parts {
            self.keep(cause, unit * multiple);
        }
        let acting = |sum: f64, &(cause, multiple): &(Cause, f64)| {
            if self.switches.acts(cause) { sum + multiple } else { sum }
        };
        let all = self.switches == Switches::ALL;
        let sum = if all { whole } else { unit * parts.iter().fold(0.0, acting) };
        self.sum = self.sum + sum;
    }
    /// Adds a wrench in the plane of symmetry to a cause, when it acts; moments as [`Self::add`] has them.
    #[inline]
    pub fn add_in_plane(&mut self, cause: Cause, share: InPlane) {
        if self.switches.acts(cause) {
            self.sum.force_n.x += share.x_n;
            self.sum.force_n.z += share.z_n;
            self.sum.moment_nm.y += share.pitch_nm;
            self.keep(cause, share.wrench());
        }
    }
    /// Keeps the wrench of one rad/s of changing incidence for the equations of motion, where the model has it at hand.
    #[inline]
    pub const fn keep_incidence_rate(&mut self, unit: InPlane) {
        self.incidence_rate = Some(unit);
    }
    /// What was kept.
    #[must_use]
    #[inline]
    pub const fn incidence_rate(&self) -> Option<&InPlane> {
        self.incidence_rate.as_ref()
    }
    /// Whether a cause acts: spares the work of computing it.
    #[must_use]
    #[inline]
    pub const fn acts(&self, cause: Cause) -> bool {
        self.switches.acts(cause)
    }
    /// Share of one cause.
    #[must_use]
    #[inline]
    pub fn share(&self, cause: Cause) -> Wrench {
        match &self.shares {
            Some(shares) => shares[cause as usize].about(self.arm_m),
            None => Wrench::ZERO,
        }
    }
    /// Sum of all shares.
    #[must_use]
    #[inline]
    pub fn total(&self) -> Wrench {
        self.sum.about(self.arm_m)
    }
    /// From now on read with moments about another point, from which the first one lies at `arm_m`.
    #[inline]
    pub const fn about(&mut self, arm_m: Vec3<Body>) {
        self.arm_m = arm_m;
    }
}

impl Ledger for Budget {
    fn acts(&self, cause: Cause) -> bool {
        Self::acts(self, cause)
    }
    fn add(&mut self, cause: Cause, wrench: Wrench) {
        Self::add(self, cause, wrench);
    }
    fn add_turning<const N: usize>(&mut self, flow: &Flow, parts: [(Cause, (f64, f64)); N]) {
        for part in parts {
            self.keep(part.0, Wrench::moment(turning(flow, &[part])));
        }
        let acting = parts.map(|(cause, moment)| {
            (cause, if self.switches.acts(cause) { moment } else { (0.0, 0.0) })
        });
        self.sum = self.sum + Wrench::moment(turning(flow, &acting));
    }
    fn add_in_plane<const N: usize>(
        &mut self,
        whole: InPlane,
        shares: impl Fn() -> (InPlane, [(Cause, f64); N]),
    ) {
        let (unit, parts) = shares();
        self.add_whole(whole.wrench(), unit.wrench(), &parts);
    }
    fn add_across<const N: usize>(
        &mut self,
        whole: Across,
        shares: impl Fn() -> (Across, [(Cause, f64); N]),
    ) {
        let (unit, parts) = shares();
        self.add_whole(whole.wrench(), unit.wrench(), &parts);
    }
    fn add_many(&mut self, whole: Wrench, shares: impl Iterator<Item = (Cause, Wrench)>) {
        let mut acting = Wrench::ZERO;
        for (cause, share) in shares {
            self.keep(cause, share);
            if self.switches.acts(cause) {
                acting = acting + share;
            }
        }
        let all = self.switches == Switches::ALL;
        self.sum = self.sum + if all { whole } else { acting };
    }
}

#[cfg(test)]
mod tests {
    use super::{Budget, Cause, Switches, Vec3, Wrench};

    #[test]
    fn shares_sum_and_switch() {
        let force = Wrench::at(Vec3::new(0.0, 0.0, -2.0), Vec3::new(3.0, 0.0, 0.0));
        let mut budget = Budget::new(Switches::ALL.without(Cause::Torque));
        budget.add(Cause::Elevator, force);
        budget.add(Cause::Torque, force);
        assert_eq!(budget.total(), force);
        assert!((force.moment_nm.y - 6.0).abs() < 1e-15, "lift ahead pitches up: {force:?}");
        assert_eq!(budget.share(Cause::Torque), Wrench::ZERO);
        budget.about(Vec3::new(-3.0, 0.0, 0.0));
        let moved = budget.total();
        assert!(moved.moment_nm.norm() < 1e-15);
    }
}
