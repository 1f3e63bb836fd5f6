//! The conversion factors of the page, as a module of its language: one place for factors, whatever shows them.

use base::factors as f;

/// A module of the page's language with the factors it counts with.
#[must_use]
pub fn module() -> String {
    let factors = [
        ("M_PER_FT", f::M_PER_FT),
        ("M_PER_NM", f::M_PER_NM),
        ("MPS_PER_KT", f::MPS_PER_KT),
        ("MPS_PER_KMH", f::MPS_PER_KMH),
        ("KG_PER_LB", f::KG_PER_LB),
    ];
    let line = |(name, value): (&str, f64)| format!("export const {name} = {value:?};\n");
    factors.into_iter().map(line).collect()
}
