//! Homogeneity: nothing in the equations knows the meter, the second or the kilogram.

use base::frames::Vec3;
use flight::air::{AirColumn, AirState};
use flight::controls::Inputs;
use flight::earth::{Earth, Gravitation, Shape};
use flight::vehicle::{COUNT, State, StateArray, World};
use flight::wind::{AirMotion, WindField};
use proptest::prelude::*;

use super::airframes::{Scale, trainer};
use super::{hands, lively};

#[derive(Debug)]
struct Steady(AirMotion);

impl WindField for Steady {
    fn at(&self, _: f64, _: f64) -> AirMotion {
        self.0
    }
}

/// Factor of each component of the state.
fn factors(s: Scale) -> StateArray {
    let (l, v, w) = (s.length, s.speed(), 1.0 / s.time);
    [l, l, l, v, v, v, 1.0, 1.0, 1.0, 1.0, w, w, w, w, 1.0, 1.0, 1.0]
}

fn earth(flat: bool, s: Scale) -> Earth {
    if flat {
        let mps2 = s.speed() / s.time * 9.8;
        return Earth { gravitation: Gravitation::Uniform { mps2 }, ..Earth::FLAT };
    }
    let Earth { shape, gravitation, turn_radps } = Earth::WGS84;
    let Shape::Round { radius_m, flattening } = shape else { unreachable!("it is round") };
    let Gravitation::Oblate { mu_m3ps2, j2, .. } = gravitation else {
        unreachable!("it is oblate")
    };
    let (radius_m, volume) = (radius_m * s.length, s.length * s.length * s.length);
    let mu_m3ps2 = mu_m3ps2 * volume / (s.time * s.time);
    Earth {
        shape: Shape::Round { radius_m, flattening },
        gravitation: Gravitation::Oblate { mu_m3ps2, j2, radius_m },
        turn_radps: turn_radps / s.time,
    }
}

/// Rate of the state, everything rescaled.
fn rate(flat: bool, s: Scale, state: &StateArray, inputs: &Inputs) -> StateArray {
    let density = s.mass / (s.length * s.length * s.length);
    let air = AirColumn::tabulate(-1000.0 * s.length, 2000.0 * s.length, |height_m| {
        let height_m = height_m / s.length;
        AirState {
            density_kgpm3: density * (1.2 - 1e-4 * height_m),
            pressure_pa: density * s.speed() * s.speed() * (101_000.0 - 10.0 * height_m),
            sound_mps: s.speed() * (340.0 - 0.004 * height_m),
        }
    });
    let wind = Steady(AirMotion {
        velocity_mps: Vec3::new(3.0, -2.0, 0.5) * s.speed(),
        rotation_radps: Vec3::new(0.01, 0.02, -0.03) * (1.0 / s.time),
    });
    let world = World { earth: earth(flat, s), air: &air, wind: &wind };
    trainer(1.0, s).rate(&world, 0.0, state, inputs)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn prop_rescaling_rescales_the_rate(
        length in 0.3..30.0_f64, time in 0.2..5.0_f64, mass in 0.01..100.0_f64, flat: bool,
        bank in -1.0..1.0_f64, roll in -0.5..0.5_f64,
    ) {
        let s = Scale { length, time, mass };
        // Below 1 m/s the wash over the wing is left out: the one place that knows a unit.
        prop_assume!(55.0 * s.speed() > 2.0);
        let mut start = State::from_array(&lively(&earth(flat, Scale::ONE)));
        start.rates_radps = start.rates_radps + Vec3::new(roll, 0.1 * bank, 0.0);
        let start = start.to_array();
        let f = factors(s);
        let scaled: StateArray = std::array::from_fn(|i| start[i] * f[i]);
        let (one, other) = (rate(flat, Scale::ONE, &start, &hands()), rate(flat, s, &scaled, &hands()));
        // Over a round earth heights are small differences of large distances: 1e-9 m in 1e7.
        let tolerance = if flat { 1e-11 } else { 1e-8 };
        for i in 0..COUNT {
            let wanted = one[i] * f[i] / s.time;
            let size = (f[i] / s.time).max(wanted.abs());
            prop_assert!((other[i] - wanted).abs() < tolerance * size, "{i}: {} {wanted}", other[i]);
        }
    }
}
