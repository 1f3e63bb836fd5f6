//! What came of the figures of a flight manual: each beside the fit, contradictions, bands, what would help.

use handbook::evidence::Unit;
use handbook::figures::Figures;
use handbook::file::Built;
use handbook::fit::{Band, Fitted};
use handbook::outlook;

use crate::SAFETY_SENTENCE;
use crate::model::{Block, Cell, ColumnHead, Document, Table, Tone};
use crate::numbers::{fixed, signed, significant};

/// The document.
#[must_use]
pub fn document(figures: &Figures, fitted: &Fitted, built: &Built) -> Document {
    let mut blocks = vec![Block::Caution(SAFETY_SENTENCE.into())];
    blocks.push(verdict(fitted));
    let contradictions: Vec<String> =
        fitted.contradictions().into_iter().map(|i| fitted.contradiction_words(i)).collect();
    if !contradictions.is_empty() {
        blocks.push(Block::Heading(2, "Figures that do not go with the others".into()));
        blocks.push(Block::List(contradictions));
        if fitted.other_reading.as_ref().is_some_and(|other| other.weight > 0.05) {
            let words = "Until that is settled, the bands below hold both readings of it.";
            blocks.push(Block::Paragraph(words.into()));
        }
    }
    blocks.push(Block::Heading(2, "Figures of the manual beside the airplane".into()));
    blocks.push(Block::Table(residuals(fitted)));
    blocks.push(Block::Heading(2, "What it will do, at greatest mass in standard air".into()));
    blocks.push(Block::Table(predictions(figures, fitted)));
    blocks.push(Block::Heading(2, "One more figure that would help".into()));
    blocks.push(Block::List(helpful(figures, fitted)));
    blocks.push(Block::Heading(2, "Fitted".into()));
    blocks.push(Block::Table(unknowns(fitted)));
    let notes: Vec<String> = built.notes.iter().chain(&fitted.notes).cloned().collect();
    if !notes.is_empty() {
        blocks.push(Block::Heading(2, "Not of the manual, or left out".into()));
        blocks.push(Block::List(notes));
    }
    let subtitle = format!("{}: from {}", figures.id, figures.source);
    Document { title: figures.name.clone(), subtitle, blocks }
}

fn verdict(fitted: &Fitted) -> Block {
    match fitted.contradictions().len() {
        0 => Block::Verdict(Tone::Met, "the figures go together within their bands".into()),
        1 => Block::Verdict(Tone::NotMet, "one figure does not go with the others".into()),
        n => Block::Verdict(Tone::NotMet, format!("{n} figures do not go with the others")),
    }
}

pub(crate) fn in_unit(unit: Unit, value_si: f64) -> String {
    fixed(value_si / unit.scale, unit.decimals)
}

pub(crate) fn residuals(fitted: &Fitted) -> Table {
    let of_manual = fitted.evidence.iter().zip(&fitted.residuals).filter(|(one, _)| one.line > 0);
    let rows = of_manual.map(|(one, residual)| {
        let aside = if residual.set_aside { " (left out)" } else { "" };
        let number = |value: f64| Cell::from(in_unit(one.unit, value)).of(one.unit.symbol);
        vec![
            one.line.to_string().into(),
            format!("{}{aside}", one.words).into(),
            Cell::Named(one.unit.symbol, one.unit.symbol.into()),
            number(one.value),
            number(residual.model),
            number(residual.others.value),
            signed(residual.standardized, 1).into(),
        ]
    });
    Table {
        caption: "\"Others\" is what all other figures and the class say; \"off\" is how far the figure lies from that, in standard \
                  deviations"
            .into(),
        columns: vec![
            ColumnHead::number("line", ""),
            ColumnHead::words("figure"),
            ColumnHead::words("unit"),
            ColumnHead::number("handbook", ""),
            ColumnHead::number("model", ""),
            ColumnHead::number("others", ""),
            ColumnHead::number("off", ""),
        ],
        rows: rows.collect(),
    }
}

fn predictions(figures: &Figures, fitted: &Fitted) -> Table {
    let rows = outlook::of(figures, fitted).into_iter().map(|prediction| {
        let (symbol, Band { value, .. }) = (prediction.unit.symbol, prediction.band);
        let (low, high) = prediction.band.ends();
        let number = |value: f64| Cell::from(in_unit(prediction.unit, value)).of(symbol);
        vec![
            prediction.words.into(),
            Cell::Named(symbol, symbol.into()),
            number(value),
            number(low),
            number(high),
        ]
    });
    Table {
        caption: "Bands of 95 %: of airplanes of this class drawn at random, 93 to 97 % of hidden figures lay within theirs".into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::words("unit"),
            ColumnHead::number("value", ""),
            ColumnHead::number("from", ""),
            ColumnHead::number("to", ""),
        ],
        rows: rows.collect(),
    }
}

/// The three most helpful figures.
fn helpful(figures: &Figures, fitted: &Fitted) -> Vec<String> {
    let line = |one: &handbook::fit::Helpful| {
        let share = fixed(100.0 * one.share, 0);
        format!(
            "{}: takes away some {share} % of the doubt of climb, level speed, stall and bank",
            one.words
        )
    };
    fitted.helpful(figures).iter().take(3).map(line).collect()
}

pub(crate) fn unknowns(fitted: &Fitted) -> Table {
    let rows =
        fitted.unknowns.iter().zip(&fitted.values).enumerate().map(|(i, (unknown, value))| {
            let cells = [
                unknown.words.clone(),
                significant(*value, 4),
                fixed(196.0 * fitted.sigma_log(i), 0),
                significant(unknown.usual, 4),
                unknown.source.to_string(),
            ];
            cells.map(Cell::Text).into()
        });
    Table {
        caption:
            "SI units; within: half of the 95 % band; usual: what the class says before any figure"
                .into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("value", ""),
            ColumnHead::number("within", "%"),
            ColumnHead::number("usual", ""),
            ColumnHead::words("source of the usual"),
        ],
        rows: rows.collect(),
    }
}
