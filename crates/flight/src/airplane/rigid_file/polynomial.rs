//! The block `[polynomial]`: one sub-block a coefficient, one line a term.

use base::typed_toml::Section;

use super::head::{self, Head, Signs};
use crate::aerodynamics::Variable;
use crate::aerodynamics::polynomial::{Axes, Coefficient, FACTORS_MAX, Frame, Polynomial, Term};
use crate::airplane::rigid::Form;

/// Names of the sub-blocks by axes of the forces.
pub(super) const fn blocks(axes: Axes) -> [(&'static str, Coefficient); 6] {
    let [first, third] = match axes {
        Axes::Body => ["force_x", "force_z"],
        Axes::Stability => ["drag", "lift"],
    };
    [
        (first, Coefficient::First),
        ("side", Coefficient::Side),
        (third, Coefficient::Third),
        ("roll", Coefficient::Roll),
        ("pitch", Coefficient::Pitch),
        ("yaw", Coefficient::Yaw),
    ]
}

/// Words for the axes.
pub(super) const AXES: &[(&str, Axes)] = &[("body", Axes::Body), ("stability", Axes::Stability)];

/// Reads the block: the form, and the point that moments refer to.
pub(super) fn read(section: &Section<'_>) -> Option<(Form, f64)> {
    let head = head::read(section);
    let axes = section.choice("axes", AXES);
    let incidence = incidence_rate(section);
    let mut found = Vec::new();
    if let Some(axes) = axes {
        for (key, of) in blocks(axes) {
            if let Some(block) = section.section(key) {
                found.push((block, of));
            }
        }
        section.refuse_unknown();
    }
    let (head, axes) = (head?, axes?);
    let mut terms = Vec::new();
    for (block, of) in &found {
        for (text, number) in block.number_entries() {
            match factors(text) {
                Ok(factors) => terms.push(term(*of, number, factors, &head.signs)),
                Err(Slip { what, hint }) => block.fault(text, what, hint),
            }
        }
    }
    let frame = frame(&head, axes, incidence);
    let built = Polynomial::new(frame, &terms).expect("factors are counted when they are read");
    Some((Form::Polynomial(built), head.moment_reference))
}

/// Optional lift and pitching moment of changing incidence.
pub(super) fn incidence_rate(section: &Section<'_>) -> (f64, f64) {
    let may = |key| section.optional_number(key, -100.0..=100.0).unwrap_or(0.0);
    (may("lift_alpha_rate"), may("pitch_alpha_rate"))
}

/// What the coefficients refer to.
pub(super) const fn frame(head: &Head, axes: Axes, incidence: (f64, f64)) -> Frame {
    Frame {
        reference: head.reference,
        lengths: head.lengths,
        axes,
        domain: head.domain,
        lift_alpha_rate: incidence.0,
        pitch_alpha_rate: incidence.1,
    }
}

/// A term in our signs.
fn term(of: Coefficient, number: f64, factors: Vec<Variable>, signs: &Signs) -> Term {
    let number = factors.iter().fold(number, |number, factor| number * signs.of(*factor));
    Term { of, number, factors }
}

/// A product of variables that cannot be read.
pub(super) struct Slip {
    pub(super) what: String,
    pub(super) hint: String,
}

/// Reads `1` (no factor), `alpha`, `alpha^2 pressure_rise`.
pub(super) fn factors(text: &str) -> Result<Vec<Variable>, Slip> {
    let mut out = Vec::new();
    if text.trim() == "1" {
        return Ok(out);
    }
    for word in text.split_whitespace() {
        let (name, power) = match word.split_once('^') {
            None => (word, 1),
            Some((name, power)) => (name, power.parse().unwrap_or(0)),
        };
        if !(1..=FACTORS_MAX).contains(&power) {
            let what =
                format!("the power in {word:?} is not a whole number from 1 to {FACTORS_MAX}");
            return Err(Slip { what, hint: "write powers as alpha^2".into() });
        }
        let Some(variable) = Variable::from_word(name) else {
            let known: Vec<&str> = Variable::ALL.iter().map(|known| known.word()).collect();
            return Err(Slip {
                what: format!("{name:?} is not a variable"),
                hint: format!("known: {}; factors are parted by blanks", known.join(", ")),
            });
        };
        out.extend(std::iter::repeat_n(variable, power));
    }
    if out.is_empty() || out.len() > FACTORS_MAX {
        let what = format!("{text:?} has {} factors, 1 to {FACTORS_MAX} are read", out.len());
        return Err(Slip { what, hint: "the constant term is written \"1\"".into() });
    }
    Ok(out)
}
