//! What a mode is called, by what takes part in it.

use super::Mode;
use crate::linear::Coordinate;

macro_rules! names {
    ($( $(#[$doc:meta])* $name:ident $words:literal; )+) => {
        /// Name of a mode.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum Name { $( $(#[$doc])* $name, )+ }

        impl Name {
            /// In words.
            #[must_use]
            pub const fn words(self) -> &'static str {
                match self { $( Self::$name => $words, )+ }
            }
        }
    };
}

names! {
    /// Fast pitching at nearly constant speed.
    ShortPeriod "short period";
    /// Slow exchange of speed and height at nearly constant incidence.
    Phugoid "phugoid";
    /// One root of a short period that does not oscillate.
    ShortPeriodRoot "short-period root";
    /// One root of a phugoid that does not oscillate.
    PhugoidRoot "phugoid root";
    /// The oscillation that a root of the short period and one of the phugoid make together, with the center of gravity far back.
    ThirdOscillation "third oscillation";
    /// A root that grows in pitch: what is left beside the third oscillation.
    PitchDivergence "pitch divergence";
    /// Rolling that dies out by its damping.
    Roll "roll";
    /// Yawing and rolling that oscillate with sideslip.
    DutchRoll "Dutch roll";
    /// Slow change of bank and heading.
    Spiral "spiral";
    /// The oscillation that roll and spiral make together.
    LateralPhugoid "lateral phugoid";
    /// One root of a Dutch roll that does not oscillate.
    DutchRollRoot "Dutch-roll root";
    /// Heading, which nothing brings back.
    Heading "heading";
    /// Height.
    Height "height";
    /// The engine.
    Engine "engine";
    /// An oscillation of a model that has not all that the names ask for.
    Oscillation "oscillation";
    /// A root of such a model.
    Root "root";
}

const LONGITUDINAL: [Coordinate; 8] = [
    Coordinate::Speed,
    Coordinate::Incidence,
    Coordinate::Forward,
    Coordinate::Down,
    Coordinate::Pitch,
    Coordinate::PitchRate,
    Coordinate::Height,
    Coordinate::Engine,
];
/// What moves in a short period.
const FAST: [Coordinate; 3] = [Coordinate::Incidence, Coordinate::Down, Coordinate::PitchRate];
/// What moves in a Dutch roll.
const YAWING: [Coordinate; 3] = [Coordinate::Sideslip, Coordinate::Right, Coordinate::YawRate];

fn share(mode: &Mode, coordinates: &[Coordinate]) -> f64 {
    coordinates.iter().map(|&coordinate| mode.share(coordinate)).sum()
}

/// Names every mode.
pub(super) fn name(modes: &mut [Mode]) {
    for mode in modes.iter_mut() {
        mode.name = if mode.oscillates() { Name::Oscillation } else { Name::Root };
        let alone = [
            (Coordinate::Heading, Name::Heading),
            (Coordinate::Height, Name::Height),
            (Coordinate::Engine, Name::Engine),
        ];
        for (coordinate, name) in alone {
            if !mode.oscillates() && mode.share(coordinate) > 0.5 {
                mode.name = name;
            }
        }
    }
    let nameless = |mode: &Mode| matches!(mode.name, Name::Oscillation | Name::Root);
    let along = |mode: &Mode| share(mode, &LONGITUDINAL) > 0.5;
    name_longitudinal(modes.iter_mut().filter(|m| nameless(m) && along(m)).collect());
    name_lateral(modes.iter_mut().filter(|m| nameless(m) && !along(m)).collect());
}

/// Pairs and single roots, each in the order given (fastest first).
fn split(modes: Vec<&mut Mode>) -> (Vec<&mut Mode>, Vec<&mut Mode>) {
    modes.into_iter().partition(|mode| mode.oscillates())
}

fn name_longitudinal(modes: Vec<&mut Mode>) {
    let (mut pairs, mut roots) = split(modes);
    let by_fast = |a: &&mut Mode, b: &&mut Mode| share(b, &FAST).total_cmp(&share(a, &FAST));
    match (pairs.as_mut_slice(), roots.as_mut_slice()) {
        ([_, _], []) => {
            pairs.sort_by(by_fast);
            pairs[0].name = Name::ShortPeriod;
            pairs[1].name = Name::Phugoid;
        }
        ([pair], [one, other]) => {
            let grows = one.real_ps.max(other.real_ps) > 0.0;
            let (of_pair, of_roots) = if share(pair, &FAST) > 0.6 {
                (Name::ShortPeriod, Name::PhugoidRoot)
            } else if grows {
                (Name::ThirdOscillation, Name::ShortPeriodRoot)
            } else {
                (Name::Phugoid, Name::ShortPeriodRoot)
            };
            pair.name = of_pair;
            for root in [one, other] {
                let diverges = of_pair == Name::ThirdOscillation && root.real_ps > 0.0;
                root.name = if diverges { Name::PitchDivergence } else { of_roots };
            }
        }
        ([], [_, _, _, _]) => {
            roots.sort_by(by_fast);
            for (i, root) in roots.iter_mut().enumerate() {
                root.name = if i < 2 { Name::ShortPeriodRoot } else { Name::PhugoidRoot };
            }
        }
        ([pair], []) => {
            // A model of two coordinates, or of three with one held.
            pair.name = if share(pair, &FAST) > 0.6 { Name::ShortPeriod } else { Name::Phugoid };
        }
        _ => {}
    }
}

fn name_lateral(modes: Vec<&mut Mode>) {
    let (mut pairs, mut roots) = split(modes);
    let yawing = |mode: &Mode| share(mode, &YAWING);
    match (pairs.as_mut_slice(), roots.as_mut_slice()) {
        ([_, _], []) => {
            pairs.sort_by(|a, b| yawing(b).total_cmp(&yawing(a)));
            pairs[0].name = Name::DutchRoll;
            pairs[1].name = Name::LateralPhugoid;
        }
        ([pair], [one, other]) => {
            let merged = yawing(pair) < 0.4 && yawing(one) > 0.5 && yawing(other) > 0.5;
            if merged {
                pair.name = Name::LateralPhugoid;
                one.name = Name::DutchRollRoot;
                other.name = Name::DutchRollRoot;
            } else {
                pair.name = Name::DutchRoll;
                roots.sort_by(|a, b| rolling(b).total_cmp(&rolling(a)));
                roots[0].name = Name::Roll;
                roots[1].name = Name::Spiral;
            }
        }
        ([], [_, _, _, _]) => {
            roots.sort_by(|a, b| rolling(b).total_cmp(&rolling(a)));
            roots[0].name = Name::Roll;
            let bank = |mode: &Mode| mode.share(Coordinate::Bank);
            roots[1..].sort_by(|a, b| bank(b).total_cmp(&bank(a)));
            roots[1].name = Name::Spiral;
            roots[2].name = Name::DutchRollRoot;
            roots[3].name = Name::DutchRollRoot;
        }
        ([pair], []) => pair.name = Name::DutchRoll,
        _ => {}
    }
}

fn rolling(mode: &Mode) -> f64 {
    mode.share(Coordinate::RollRate)
}
