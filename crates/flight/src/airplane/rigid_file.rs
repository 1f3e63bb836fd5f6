//! Reads the six-degree blocks of an airplane file: `[inertia]`, `[controls]`, one of `[derivatives]`, `[polynomial]`, `[tables]`,
//! `[components]`, one of `[propulsion]`, `[steady_thrust]`, `[pressure_rise]`. Either all are there or none.

mod controls;
mod derivatives;
mod head;
mod piston;
mod polynomial;
mod pull;
mod tables;

use base::frames::Vec3;
use base::typed_toml::Section;
use base::units::{Length, Mass, MomentOfInertia};

use super::BlockSource;
use super::component_block;
use super::rigid::{Form, Loading, Rigid};
use crate::vehicle::{Inertia, MassError, MassProperties};

/// Blocks of which exactly one holds the aerodynamic data.
const FORMS: [&str; 4] = ["derivatives", "polynomial", "tables", "components"];

/// Mean chords from the leading edge to the point that moments of `[components]` refer to.
const COMPONENTS_REFERENCE: f64 = 0.25;

/// What the rest of a full airplane file says that the blocks must agree with.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rest<'a> {
    /// Lift and drag of the whole airplane.
    pub(super) aerodynamics: &'a super::Aerodynamics,
    /// Wing area, m2.
    pub(super) area_m2: f64,
    /// Wing span, m.
    pub(super) span_m: f64,
    /// The propeller, when the file has one.
    pub(super) propeller: Option<&'a super::Propeller>,
}

/// Marks the blocks as known without reading them: for a file whose other faults keep them from being read.
pub(super) fn expect(root: &Section<'_>) {
    for key in ["inertia", "controls"].iter().chain(&FORMS).chain(pull::BLOCKS) {
        let _ = root.optional_section(key);
    }
}

/// Reads the blocks when there are any. `rest` is absent in a file that holds nothing but them.
pub(super) fn read(
    root: &Section<'_>,
    rest: Option<&Rest<'_>>,
    sources: &mut Vec<BlockSource>,
) -> Option<Rigid> {
    let mut block = |key: &'static str| {
        let section = root.optional_section(key)?;
        if let Some(source) = section.text("source") {
            sources.push(BlockSource { block: key.into(), source });
        }
        Some((key, section))
    };
    let inertia = block("inertia");
    let controls_block = block("controls");
    let forms: Vec<_> = FORMS.into_iter().filter_map(&mut block).collect();
    let pulls: Vec<_> = pull::BLOCKS.iter().copied().filter_map(&mut block).collect();
    let keys: Vec<&str> = [&inertia, &controls_block]
        .into_iter()
        .flatten()
        .chain(&forms)
        .chain(&pulls)
        .map(|(key, _)| *key)
        .collect();
    let some = *keys.first()?;
    demand(root, some);
    let one_form = only(root, some, &forms, (&FORMS, "what the air does"));
    let one_pull = only(root, some, &pulls, (pull::BLOCKS, "what pulls"));
    let body = inertia.and_then(|(_, section)| body(&section));
    let controls = controls_block.and_then(|(_, section)| controls::read(&section));
    let form = forms
        .first()
        .filter(|_| one_form)
        .and_then(|(key, section)| form(root, (key, section), body.as_ref(), rest));
    let pull = pulls
        .first()
        .filter(|_| one_pull)
        .and_then(|(key, section)| pull::read(key, section, rest));
    let (body, (form, reference_point)) = (body?, form?);
    let ahead = body.center_of_gravity - reference_point;
    let reference_from_center =
        Vec3::new(ahead * form.reference().chord_m, 0.0, -body.reference_above_m);
    let loading = Loading {
        mass: body.mass,
        inertia: body.inertia,
        center_of_gravity: body.center_of_gravity,
        reference_from_center,
    };
    Some(Rigid { loading, form, controls: controls?, pull: pull? })
}

/// The blocks that every set needs; `some` is one that is there.
fn demand(root: &Section<'_>, some: &str) {
    for key in ["inertia", "controls"] {
        if !root.has(key) {
            root.fault(
                some,
                format!("[{some}] needs a block [{key}] beside it"),
                format!(
                    "add [{key}] with its figures and source, or leave all six-degree blocks out"
                ),
            );
        }
    }
}

/// Whether exactly one of some blocks is there; a fault otherwise.
fn only(
    root: &Section<'_>,
    some: &str,
    found: &[(&'static str, Section<'_>)],
    (known, what): (&[&str], &str),
) -> bool {
    if found.len() == 1 {
        return true;
    }
    let at = found.last().map_or(some, |(key, _)| *key);
    let told = match found.len() {
        0 => format!("no block says {what}"),
        _ => format!("more than one block says {what}"),
    };
    root.fault(at, told, format!("give exactly one of [{}]", known.join("], [")));
    false
}

/// What `[inertia]` says.
struct BodyBlock {
    mass: Mass,
    inertia: Inertia,
    center_of_gravity: f64,
    reference_above_m: f64,
}

fn body(section: &Section<'_>) -> Option<BodyBlock> {
    let mass: Option<Mass> = section.positive("mass");
    let moment = |key| section.quantity::<MomentOfInertia>(key).map(MomentOfInertia::to_kgm2);
    let (xx, yy, zz, xz) = (moment("xx"), moment("yy"), moment("zz"), moment("xz"));
    let center_of_gravity = section.number("center_of_gravity", -0.2..=1.0);
    let reference_above: Option<Length> = section.optional_quantity("reference_above");
    section.refuse_unknown();
    let (mass, inertia) = (mass?, Inertia { xx: xx?, yy: yy?, zz: zz?, xz: xz? });
    if let Err(error) = MassProperties::new(mass.to_kg(), inertia) {
        section.fault(faulty_key(&inertia, error), error.to_string(), error.hint());
        return None;
    }
    Some(BodyBlock {
        mass,
        inertia,
        center_of_gravity: center_of_gravity?,
        reference_above_m: reference_above.map_or(0.0, Length::to_m),
    })
}

/// The line to look at first: the moment that is not positive, the product when it is too large, the largest moment.
fn faulty_key(inertia: &Inertia, error: MassError) -> &'static str {
    let Inertia { xx, yy, zz, .. } = *inertia;
    let moments = [("xx", xx), ("yy", yy), ("zz", zz)];
    match error {
        MassError::Mass { .. } => "mass",
        MassError::NotPositive { .. } => {
            moments.iter().find(|(_, moment)| *moment <= 0.0).map_or("xz", |(key, _)| key)
        }
        MassError::Triangle { .. } => {
            moments.iter().max_by(|a, b| a.1.total_cmp(&b.1)).map_or("zz", |(key, _)| key)
        }
    }
}

/// The aerodynamic data and the point their moments refer to, mean chords behind the leading edge.
fn form(
    root: &Section<'_>,
    (key, section): (&str, &Section<'_>),
    body: Option<&BodyBlock>,
    rest: Option<&Rest<'_>>,
) -> Option<(Form, f64)> {
    if key == "components" {
        let Some(rest) = rest else {
            let hint = "wing and body are what tail and trim leave of the whole airplane: give them in a full airplane file";
            root.fault(
                "components",
                "[components] needs [wing] and [aerodynamics] beside it",
                hint,
            );
            return None;
        };
        let whole = component_block::Whole {
            aerodynamics: rest.aerodynamics,
            area_m2: rest.area_m2,
            span_m: rest.span_m,
            center_of_gravity: body?.center_of_gravity,
        };
        let form = component_block::read(section, &whole)?;
        return Some((Form::Components(form), COMPONENTS_REFERENCE));
    }
    let (form, moment_reference) = match key {
        "derivatives" => derivatives::read(section)?,
        "tables" => tables::read(section)?,
        _ => polynomial::read(section)?,
    };
    if let Some(rest) = rest {
        agree(section, &form, rest);
    }
    Some((form, moment_reference))
}

/// Area and span that coefficients refer to must be those of the wing, to the rounding of a table.
fn agree(section: &Section<'_>, form: &Form, rest: &Rest<'_>) {
    let reference = form.reference();
    let pairs =
        [("area", reference.area_m2, rest.area_m2), ("span", reference.span_m, rest.span_m)];
    for (key, here, wing) in pairs {
        if (here / wing - 1.0).abs() > 0.02 {
            section.fault(
                key,
                format!("{key} is {here:.2} here, but {wing:.2} in [wing] (meters)"),
                "both must be those the coefficients refer to",
            );
        }
    }
}

#[cfg(test)]
mod tests;
