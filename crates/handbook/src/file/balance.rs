//! Weight and balance, and the doubt of the fitted figures.

use flight::airplane::balance::{EnvelopeRow, Station};
use flight::airplane::doubt::FIGURES;
use nalgebra::DMatrix;

use super::Maker;
use super::write::Writer;
use crate::buildup::sizes::Sizes;
use crate::buildup::{lift, longitudinal};
use crate::model::place;

/// Places of the unknowns that are [`FIGURES`], in that order.
const PLACES: [usize; FIGURES.len()] = [
    place::DRAG_ZERO,
    place::DRAG_INDUCED,
    place::EFFICIENCY,
    place::POWER,
    place::IDLE_DRAG,
    place::STATIC_SHARE,
    place::FULL_AT,
    place::SLIPSTREAM,
    place::BEND,
    place::BEST_AT,
    place::LIFT_MAX,
];

pub(super) fn write(maker: &Maker<'_>, out: &mut Writer) {
    stations(maker, out);
    doubt(maker, out);
}

fn stations(maker: &Maker<'_>, out: &mut Writer) {
    let Some(balance) = &maker.figures.balance else { return };
    let sizes = Sizes::of(maker.figures);
    let neutral = longitudinal::pitch(&sizes, &lift(maker.figures), 0.35).neutral_point;
    out.block("balance", &maker.stated_source("neutral point built up from sizes (RAYMER-1992, DATCOM from memory, some 0.05 mean chords)"));
    out.quantity("empty_arm", balance.empty_arm.to_m(), 4, "m", "");
    out.quantity("leading_edge", balance.leading_edge.to_m(), 4, "m", "");
    out.quantity("chord", balance.chord.to_m(), 4, "m", "");
    out.quantity("tail_arm", sizes.tail.arm_m, 3, "m", "");
    let neutral = balance.neutral_point.unwrap_or(neutral);
    out.number("neutral_point", neutral.clamp(0.1, 0.9), 3, "");
    let list =
        |value: fn(&EnvelopeRow) -> f64| balance.envelope.iter().map(value).collect::<Vec<_>>();
    out.finely("mass_kg", &list(|row| row.mass.to_kg()), 2);
    out.finely("forward_m", &list(|row| row.forward.to_m()), 4);
    out.finely("aft_m", &list(|row| row.aft.to_m()), 4);
    for Station { name, arm, mass_max, fuel } in &balance.stations {
        out.rows_alone("station");
        out.text("name", name);
        out.quantity("arm", arm.to_m(), 4, "m", "");
        if let Some(most) = mass_max {
            out.quantity("mass_max", most.to_kg(), 1, "kg", "");
        }
        if *fuel {
            out.flag("fuel");
        }
    }
}

/// The root of the covariance of what the file holds of the unknowns.
fn doubt(maker: &Maker<'_>, out: &mut Writer) {
    let n = maker.fitted.unknowns.len();
    let fixed = !maker.figures.propeller.constant_speed;
    let of_fixed = |place: &usize| [place::STATIC_SHARE, place::FULL_AT].contains(place);
    let used: Vec<usize> = (0..FIGURES.len()).filter(|i| fixed || !of_fixed(&PLACES[*i])).collect();
    let covariance = maker.fitted.covariance();
    let at = |i: usize, j: usize| covariance[PLACES[used[i]] * n + PLACES[used[j]]];
    let whole = DMatrix::from_fn(used.len(), used.len(), |i, j| {
        // A trace on the diagonal keeps it positive definite where figures fix a sum.
        at(i, j) + if i == j { 1e-9 } else { 0.0 }
    });
    let Some(root) = whole.cholesky() else {
        out.note("the doubt of the fit is not carried: its covariance has no root");
        return;
    };
    let root = root.l();
    out.block("doubt", "how far the fitted figures may be off together: root of the covariance of their logarithms, lower triangle row by row; what no airplane of this kind of model has is in it only as far as it moves the fit");
    let names: Vec<String> = used.iter().map(|i| FIGURES[*i].to_string()).collect();
    out.list("figures", &names);
    let entries: Vec<f64> = (0..used.len())
        .flat_map(|i| (0..=i).map(move |j| (i, j)))
        .map(|(i, j)| root[(i, j)].clamp(-2.0, 2.0))
        .collect();
    out.finely("root", &entries, 5);
}
