//! Hands and feet as a part of a brief: picture, table at the checkpoints, causes, what changes from left to right.

use crate::model::{Block, Cell, ColumnHead, Table};
use crate::numbers::{fixed, signed};
use crate::pictures;
use base::factors::RAD_PER_DEG;
use maneuver::ReferenceFlight;
use maneuver::brief::Brief;
use maneuver::explain;
use maneuver::reference::Checkpoint;
use maneuver::rigid::{ControlSample, NotFlown, RigidFlight};

/// Of one side.
pub(crate) fn section(
    blocks: &mut Vec<Block>,
    reference: &ReferenceFlight,
    flown: &Result<RigidFlight, NotFlown>,
) {
    match flown {
        Ok(flight) => {
            blocks.extend(pictures::hands(reference, flight).map(Block::Figure));
            blocks.push(Block::Table(table(reference, flight)));
            blocks.extend(rudder_peak(reference, flight));
            blocks.push(Block::Paragraph(agreement(flight)));
            blocks.extend(excesses(flight));
            blocks.extend(misses(flight));
        }
        Err(why) => blocks.push(Block::Paragraph(format!(
            "Hands and feet are not computed: {}; {}.",
            why.words(reference),
            why.hint()
        ))),
    }
}

/// What changes from left to right; nothing when it was not computed for both.
pub(crate) fn difference(blocks: &mut Vec<Block>, brief: &Brief) {
    if let Some(explanation) = &brief.difference {
        blocks.push(Block::Heading(2, "Left against right".into()));
        blocks.push(Block::Paragraph(explanation.sentence.clone()));
    }
}

fn table(reference: &ReferenceFlight, flight: &RigidFlight) -> Table {
    let force = |newton: Option<f64>| newton.map_or_else(|| "–".into(), |n| signed(n, 0));
    let row = |(at_deg, sample): (f64, &ControlSample)| -> Vec<Cell> {
        [
            crate::brief::place(reference, at_deg),
            signed(100.0 * sample.stick_back, 0),
            force(sample.stick_back_n),
            signed(100.0 * sample.stick_right, 0),
            force(sample.stick_right_n),
            signed(100.0 * sample.pedal_right, 0),
            force(sample.pedal_right_n),
            fixed(100.0 * sample.throttle, 0),
            signed(sample.sideslip_rad / RAD_PER_DEG, 1),
        ]
        .map(Cell::Text)
        .into()
    };
    Table {
        caption: "Hands and feet at the checkpoints, shares of travel".into(),
        columns: vec![
            crate::brief::place_head(reference),
            ColumnHead::number("stick back", "%"),
            ColumnHead::number("pull", "N"),
            ColumnHead::number("stick right", "%"),
            ColumnHead::number("push right", "N"),
            ColumnHead::number("right pedal", "%"),
            ColumnHead::number("push", "N"),
            ColumnHead::number("throttle", "%"),
            ColumnHead::number("sideslip", "\u{b0}"),
        ],
        rows: at_checkpoints(reference, flight).into_iter().map(row).collect(),
    }
}

/// Hands and feet at a place, in the words of a pilot: "right 21", "back 5".
pub(crate) struct AtPlace {
    pub(crate) place: String,
    pub(crate) feet: String,
    pub(crate) stick: String,
}

/// Hands and feet at the checkpoints, part by part.
pub(crate) fn at_places(reference: &ReferenceFlight, flight: &RigidFlight) -> Vec<AtPlace> {
    let way = |share: f64, more: &str, less: &str| match fixed(100.0 * share.abs(), 0).as_str() {
        "0" => "0".to_string(),
        percent if share > 0.0 => format!("{more} {percent}"),
        percent => format!("{less} {percent}"),
    };
    let part = std::cell::Cell::new((0, f64::NEG_INFINITY));
    let place = |at_deg: f64| {
        // a part begins where the progress begins again
        let (before, last_deg) = part.get();
        let index = if at_deg <= last_deg { before + 1 } else { before };
        part.set((index, at_deg));
        let name = crate::brief::place(reference, at_deg);
        let sign = if reference.phases.is_empty() { reference.progress.sign() } else { "" };
        let part = if index > 0 { format!("{}: ", index + 1) } else { String::new() };
        format!("{part}{name}{sign}")
    };
    let one = |(at_deg, sample): (f64, &ControlSample)| AtPlace {
        place: place(at_deg),
        feet: way(sample.pedal_right, "right", "left"),
        stick: way(sample.stick_right, "right", "left"),
    };
    at_checkpoints(reference, flight).into_iter().map(one).collect()
}

/// The control sample of the moment of each checkpoint, part by part: what the page shows there. At the entry the roll-in is under way,
/// since corners of the schedule are rounded.
fn at_checkpoints<'a>(
    reference: &ReferenceFlight,
    flight: &'a RigidFlight,
) -> Vec<(f64, &'a ControlSample)> {
    let at = |checkpoint: &Checkpoint| {
        let off = |c: &ControlSample| (c.time_s - checkpoint.sample.time_s).abs();
        let nearest = flight.controls.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        nearest.map(|sample| (checkpoint.progress_deg, sample))
    };
    reference.parts.iter().flat_map(|part| &part.checkpoints).filter_map(at).collect()
}

/// Where most right rudder is held, for figures that turn.
fn rudder_peak(reference: &ReferenceFlight, flight: &RigidFlight) -> Option<Block> {
    // less than a fiftieth of the travel is no right rudder to speak of
    let peak = explain::right_rudder_peak(flight).filter(|peak| peak.travel > 0.02)?;
    let (most, whose) = (fixed(100.0 * peak.travel, 0), reference.figure_words());
    Some(Block::Paragraph(format!(
        "Most right rudder {whose}: {most} % of travel {}, {}.",
        reference.place_words_in(peak.part, peak.progress_deg),
        peak.banking.words()
    )))
}

fn agreement(flight: &RigidFlight) -> String {
    let a = &flight.agreement;
    format!(
        "Computed with six degrees of freedom, ball centered; against the coordinated point mass above it differs by at most {} m of \
         height, {} kt and {}\u{b0} of bank. Corners of the schedule are rounded over {} s.",
        fixed(a.height_m.abs(), 1),
        fixed(a.speed_kt.abs(), 1),
        fixed(a.bank_deg.abs(), 1),
        fixed(flight.rounding_s, 1)
    )
}

/// Controls that would have to go further or faster than they can.
fn excesses(flight: &RigidFlight) -> Option<Block> {
    let lines: Vec<String> = flight.excesses.iter().map(ToString::to_string).collect();
    (!lines.is_empty()).then(|| {
        Block::Caution(format!("Beyond the controls of this airplane: {}.", lines.join("; ")))
    })
}

/// What the form asks and is not quite met.
fn misses(flight: &RigidFlight) -> Option<Block> {
    let lines: Vec<String> = flight.misses.iter().map(ToString::to_string).collect();
    (!lines.is_empty()).then(|| {
        Block::Caution(format!(
            "At six degrees of freedom the form is not quite met: {}.",
            lines.join("; ")
        ))
    })
}
