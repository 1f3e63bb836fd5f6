//! What is seen from the seat, as a part of a brief.

use crate::model::{Block, Cell, ColumnHead, Table};
use crate::numbers::{fixed, signed};
use crate::pictures;
use maneuver::ReferenceFlight;
use maneuver::eye::{Eye, SeatSide, Sight, View, Window};

/// Picture, table and the word on parallax.
pub(crate) fn section(blocks: &mut Vec<Block>, flight: &ReferenceFlight, eye: &Eye) {
    blocks.extend(pictures::seat(flight, eye).map(Block::Figure));
    let rows = eye.views.iter().map(|view| row(flight, view)).collect();
    blocks.push(Block::Table(Table {
        caption: format!("Seen from the seat ({})", eye.side.word()),
        columns: vec![
            ColumnHead::number(flight.progress.word(), flight.progress.sign()),
            ColumnHead::number("horizon over cowl", "\u{b0}"),
            ColumnHead::number("left tip over horizon", "\u{b0}"),
            ColumnHead::number("right tip over horizon", "\u{b0}"),
            ColumnHead::words("references"),
        ],
        rows,
    }));
    let (least, most) = eye.views.iter().fold((0.0_f64, 0.0_f64), |(least, most), view| {
        (least.min(view.parallax_deg), most.max(view.parallax_deg))
    });
    if eye.side != SeatSide::Tandem && most - least > 0.5 {
        blocks.push(Block::Paragraph(format!(
            "Parallax: the reference is the point straight ahead of the eye. The middle of the cowl stands {}\u{b0} aside, and in \
             the bank of this figure {}\u{b0} to {}\u{b0} from it in height: who flies by the cowl holds the nose that much wrong.",
            fixed(eye.cowl_middle_azimuth_deg.abs(), 0),
            signed(least, 0),
            signed(most, 0)
        )));
    }
    if !eye.assumed.is_empty() {
        let what = eye.assumed.join(", ");
        blocks.push(Block::Paragraph(format!(
            "Not stated by the airplane file, taken as usual for its class: {what}."
        )));
    }
}

fn row(flight: &ReferenceFlight, view: &View) -> Vec<Cell> {
    let horizon = match view.horizon_over_cowl_deg {
        Some(over) => signed(over, 0),
        None => "not ahead".into(),
    };
    let seen = view.sights.iter().filter(|sight| sight.window != Window::OutOfSight);
    let references: Vec<String> = seen.map(words).collect();
    let _ = flight;
    [
        fixed(view.progress_deg, 0),
        horizon,
        signed(view.tips_over_horizon_deg[0], 0),
        signed(view.tips_over_horizon_deg[1], 0),
        references.join("; "),
    ]
    .map(Cell::Text)
    .into()
}

/// "90-degree reference 12 left, ahead".
fn words(sight: &Sight) -> String {
    let aside = sight.direction.azimuth_deg;
    let side = if aside < 0.0 { "left" } else { "right" };
    let name = sight.name.replace("-degree reference", "\u{b0} reference");
    format!("{name} {}\u{b0} {side}, {}", fixed(aside.abs(), 0), sight.window.words())
}
