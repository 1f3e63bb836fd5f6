//! What every form of aerodynamic data must keep: mirror symmetry, scaling, numbers everywhere.

use base::frames::{Body, Vec3};
use proptest::prelude::*;

use super::polynomial::{Axes, Coefficient, Frame, Polynomial, Term};
use super::table::{TableAxis, TableFigures, Tables};
use super::{Aerodynamics, Domain, RateLengths, Reference, Variable};
use crate::air::AirState;
use crate::airplane::published;
use crate::airplane::rigid::Form;
use crate::budget::{Budget, Cause, Switches, Wrench};
use crate::controls::Surfaces;
use crate::flow::Flow;
use crate::propulsion::Wash;

/// One instant.
#[derive(Debug, Clone, Copy)]
struct Case {
    velocity_mps: [f64; 3],
    rates_radps: [f64; 3],
    surfaces_rad: [f64; 4],
    pressure_rise_pa: f64,
    density_kgpm3: f64,
    sound_mps: f64,
}

impl Case {
    fn total(&self, form: &dyn Aerodynamics) -> Wrench {
        let ([u, v, w], [p, q, r]) = (self.velocity_mps, self.rates_radps);
        let air = AirState {
            density_kgpm3: self.density_kgpm3,
            pressure_pa: 1e5,
            sound_mps: self.sound_mps,
        };
        let flow = Flow::new(Vec3::new(u, v, w), Vec3::new(p, q, r), air);
        let [elevator_rad, aileron_rad, rudder_rad, flap_rad] = self.surfaces_rad;
        let surfaces = Surfaces { elevator_rad, aileron_rad, rudder_rad, flap_rad };
        let wash = Wash { pressure_rise_pa: self.pressure_rise_pa, ..Wash::default() };
        let mut budget = Budget::new(Switches::ALL);
        form.add(&flow, &surfaces, &wash, &mut budget);
        let sum = Cause::ALL.iter().fold(Wrench::ZERO, |sum, cause| sum + budget.share(*cause));
        assert!(near(sum, budget.total(), 1e-12), "the shares sum: {sum:?} {:?}", budget.total());
        budget.total() + form.incidence_rate(&flow) * 0.1
    }
    fn mirrored(self) -> Self {
        let ([u, v, w], [p, q, r]) = (self.velocity_mps, self.rates_radps);
        let [elevator, aileron, rudder, flap] = self.surfaces_rad;
        Self {
            velocity_mps: [u, -v, w],
            rates_radps: [-p, q, -r],
            surfaces_rad: [elevator, -aileron, -rudder, flap],
            ..self
        }
    }
}

fn near(a: Wrench, b: Wrench, share: f64) -> bool {
    let scale = 1.0 + a.force_n.norm() + a.moment_nm.norm();
    (a.force_n - b.force_n).norm() + (a.moment_nm - b.moment_nm).norm() <= share * scale
}

fn mirror(wrench: Wrench) -> Wrench {
    let (f, m): (Vec3<Body>, Vec3<Body>) = (wrench.force_n, wrench.moment_nm);
    Wrench { force_n: Vec3::new(f.x, -f.y, f.z), moment_nm: Vec3::new(-m.x, m.y, -m.z) }
}

fn cases() -> impl Strategy<Value = Case> {
    let three = |most: f64| [-most..most, -most..most, -most..most];
    let velocity = [0.0..80.0, -20.0..20.0, -20.0..20.0];
    let surfaces = [-0.4..0.4, -0.4..0.4, -0.4..0.4, 0.0..0.6];
    (velocity, three(1.0), surfaces, 0.0..2000.0, 0.3..1.4).prop_map(
        |(velocity_mps, rates_radps, surfaces_rad, pressure_rise_pa, density_kgpm3)| Case {
            velocity_mps,
            rates_radps,
            surfaces_rad,
            pressure_rise_pa,
            density_kgpm3,
            sound_mps: 330.0,
        },
    )
}

fn frame(scale: f64) -> Frame {
    let reference =
        Reference { area_m2: 15.0 * scale * scale, span_m: 10.0 * scale, chord_m: 1.5 * scale };
    Frame {
        reference,
        lengths: RateLengths { roll_m: 5.0 * scale, pitch_m: 0.75 * scale, yaw_m: 5.0 * scale },
        axes: Axes::Stability,
        domain: Domain::SUBSONIC,
        lift_alpha_rate: 1.5,
        pitch_alpha_rate: -4.0,
    }
}

const COEFFICIENTS: [Coefficient; 6] = [
    Coefficient::First,
    Coefficient::Side,
    Coefficient::Third,
    Coefficient::Roll,
    Coefficient::Pitch,
    Coefficient::Yaw,
];

/// Whether the mirror turns the sign.
fn turns(variable: Variable) -> bool {
    use Variable::{Aileron, Beta, RollRate, Rudder, YawRate};
    matches!(variable, Beta | RollRate | YawRate | Aileron | Rudder)
}
fn sign(of: Coefficient, factors: &[Variable]) -> f64 {
    let lateral = matches!(of, Coefficient::Side | Coefficient::Roll | Coefficient::Yaw);
    let odd = factors.iter().filter(|factor| turns(**factor)).count() % 2 == 1;
    if lateral == odd { 1.0 } else { -1.0 }
}

fn terms() -> impl Strategy<Value = Vec<Term>> {
    let variable = (0..Variable::ALL.len()).prop_map(|i| Variable::ALL[i]);
    let factors = proptest::collection::vec(variable, 0..4);
    let of = (0..COEFFICIENTS.len()).prop_map(|i| COEFFICIENTS[i]);
    let term =
        (of, -1.0..1.0, factors).prop_map(|(of, number, factors)| Term { of, number, factors });
    proptest::collection::vec(term, 1..20)
}

/// A table over two variables, times a third; `mirrored` turns the axes that the mirror turns.
fn table(term: &Term, mirrored: bool) -> TableFigures {
    let axis = |over: Variable| TableAxis {
        over,
        scale: if mirrored && turns(over) { -1.0 } else { 1.0 },
        knots: vec![-0.3, 0.1, 0.5],
    };
    let [first, second] = [term.factors.first(), term.factors.get(1)]
        .map(|factor| factor.copied().unwrap_or(Variable::Alpha));
    let times: Vec<Variable> = term.factors.iter().skip(2).copied().collect();
    let number = if mirrored { sign(term.of, &times) } else { 1.0 };
    let values = (0..9).map(|i| term.number * (1.0 + f64::from(i * i % 7))).collect();
    TableFigures { of: term.of, axes: vec![axis(first), axis(second)], values, number, times }
}

fn tables(frame: Frame, terms: &[Term], mirrored: bool) -> Tables {
    let figures: Vec<_> = terms.iter().map(|term| table(term, mirrored)).collect();
    Tables::new(frame, &figures).unwrap()
}

/// The mirrored airplane in the mirrored flow has the mirrored forces, to rounding.
fn mirrored_alike(case: Case, form: &dyn Aerodynamics, other: &dyn Aerodynamics) -> bool {
    near(mirror(case.total(form)), case.mirrored().total(other), 1e-12)
}

/// Lengths, times and masses counted in other units.
fn rescaled(case: Case, [length, time, mass]: [f64; 3]) -> Case {
    Case {
        velocity_mps: case.velocity_mps.map(|v| v * length / time),
        rates_radps: case.rates_radps.map(|rate| rate / time),
        pressure_rise_pa: case.pressure_rise_pa * mass / (length * time * time),
        density_kgpm3: case.density_kgpm3 * mass / (length * length * length),
        sound_mps: case.sound_mps * length / time,
        ..case
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn prop_mirrored_polynomials_and_tables(case in cases(), terms in terms()) {
        let mirrored: Vec<Term> = terms
            .iter()
            .map(|term| Term { number: term.number * sign(term.of, &term.factors), ..term.clone() })
            .collect();
        let polynomial = |terms: &[Term]| Polynomial::new(frame(1.0), terms).unwrap();
        prop_assert!(mirrored_alike(case, &polynomial(&terms), &polynomial(&mirrored)));
        let (one, other) = (tables(frame(1.0), &terms, false), tables(frame(1.0), &terms, true));
        prop_assert!(mirrored_alike(case, &one, &other));
    }

    #[test]
    fn prop_derivatives_are_symmetric(case in cases()) {
        for id in ["navion-nelson", "navion-faa71", "single-230hp"] {
            let Form::Derivatives(set) = published::load(id).unwrap().rigid.form else {
                panic!("{id} is a set of derivatives")
            };
            prop_assert!(mirrored_alike(case, &set, &set), "{}", id);
        }
    }

    /// Units other than SI give the same answer in those units.
    #[test]
    fn prop_forces_rescale(case in cases(), terms in terms()) {
        let units = [3.0, 0.5, 7.0];
        let [length, time, mass] = units;
        let other = rescaled(case, units);
        let force = mass * length / (time * time);
        // The total holds the wrench of 0.1 rad/s of changing incidence, a rate too: left out by a frame without it.
        let still = |scale| Frame { lift_alpha_rate: 0.0, pitch_alpha_rate: 0.0, ..frame(scale) };
        let pairs: [(Box<dyn Aerodynamics>, Box<dyn Aerodynamics>); 2] = [
            (
                Box::new(Polynomial::new(still(1.0), &terms).unwrap()),
                Box::new(Polynomial::new(still(length), &terms).unwrap()),
            ),
            (
                Box::new(tables(still(1.0), &terms, false)),
                Box::new(tables(still(length), &terms, false)),
            ),
        ];
        // Below the least speed the floor, which is in m/s, takes part.
        prop_assume!(case.velocity_mps[0] > 1.0);
        for (one, scaled) in &pairs {
            let Wrench { force_n, moment_nm } = case.total(one.as_ref());
            let expected =
                Wrench { force_n: force_n * force, moment_nm: moment_nm * (force * length) };
            prop_assert!(near(expected, other.total(scaled.as_ref()), 1e-11));
        }
    }

    /// No state gives a force that is no number, at rest and backwards too.
    #[test]
    fn prop_forces_are_numbers(case in cases(), slow in 0.0..1.0_f64) {
        for factor in [1.0, slow, 1e-9, 1e-200, 0.0, -1.0] {
            let case = Case { velocity_mps: case.velocity_mps.map(|v| v * factor), ..case };
            for (id, _) in published::ALL {
                let vehicle_form = published::load(id).unwrap();
                let vehicle = vehicle_form.vehicle(vehicle_form.rigid.loading.mass).unwrap();
                let Wrench { force_n, moment_nm } = case.total(vehicle.aerodynamics.as_ref());
                prop_assert!((force_n.norm() + moment_nm.norm()).is_finite(), "{}", id);
            }
        }
    }
}
