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
            crate::brief::place_head(flight),
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
    // behind the shoulder nobody looks
    let near = |sight: &&Sight| {
        sight.window != Window::OutOfSight && sight.direction.azimuth_deg.abs() <= 95.0
    };
    let seen = view.sights.iter().filter(near);
    let references: Vec<String> = seen.map(words).collect();
    [
        crate::brief::place(flight, view.progress_deg),
        horizon,
        signed(view.tips_over_horizon_deg[0], 0),
        signed(view.tips_over_horizon_deg[1], 0),
        references.join("; "),
    ]
    .map(Cell::Text)
    .into()
}

/// "90°: 12° left, under the cowl".
fn words(sight: &Sight) -> String {
    let aside = fixed(sight.direction.azimuth_deg.abs(), 0);
    let side = match sight.direction.azimuth_deg {
        _ if aside == "0" => "straight ahead".into(),
        azimuth if azimuth < 0.0 => format!("{aside}\u{b0} left"),
        _ => format!("{aside}\u{b0} right"),
    };
    let name = sight.name.replace("-degree reference", "\u{b0}").replace(" reference", "");
    match sight.window {
        Window::BehindCowl | Window::BehindWing | Window::Above => {
            format!("{name}: {side}, {}", sight.window.words())
        }
        Window::Ahead | Window::Left | Window::Right | Window::OutOfSight => {
            format!("{name}: {side}")
        }
    }
}
