//! Tables: columns as wide as their words ask and the page allows, rows that are not parted, the head again on every page.

use std::rc::Rc;

use super::compose::{Composer, Piece, Setting, rule, words};
use super::face::{CAPITAL_EM, Cut};
use super::{Ink, Item, Kind, Placed, lines};
use crate::model::{Align, Cell, Table, Tone};

/// Between columns, ems.
const GAP_EM: f64 = 1.0;
/// Above and below the words of a row, ems.
const PAD_EM: f64 = 0.22;
/// Room for the sign of a verdict, ems.
const SIGN_EM: f64 = 1.35;

/// Letters of a name of a row that stands on one line.
const SHORT_LETTERS: usize = 8;
/// Letters of a name of a row.
const NAME_LETTERS: usize = 24;
/// A table that asks for this share of the room is made as wide as it is.
const STRETCHED: f64 = 0.3;

/// What a table is set with.
struct Grid<'t> {
    table: &'t Table,
    setting: Setting,
    /// Left edge and width of each column.
    columns: Vec<[f64; 2]>,
    width: f64,
    /// Whether the first column names the rows: it holds few letters.
    named: bool,
}

/// The pieces of a table.
pub(super) fn pieces(composer: &mut Composer, out: &mut Vec<Piece>, table: &Table, width: f64) {
    let text = composer.text();
    let setting = Setting { cut: Cut::FIGURES, ..text.times(composer.sheet.table) };
    let columns = columns(composer, table, setting, width);
    let wide = columns.last().map_or(width, |[left, wide]| left + wide);
    let few = |row: &Vec<Cell>| {
        row.first().is_some_and(|cell| cell_words(cell).0.chars().count() <= NAME_LETTERS)
    };
    let named = table.rows.iter().all(few);
    let grid = Grid { table, setting, columns, width: wide, named };
    let element = composer.element(Kind::Table, None);
    if !table.caption.is_empty() {
        let caption = composer.element(Kind::Caption, Some(element));
        let first = out.len();
        composer.paragraph(out, caption, (text.strong(), &table.caption), [0.0, width]);
        out[first..].iter_mut().for_each(|piece| piece.with_next = true);
        if let Some(piece) = out.get_mut(first) {
            piece.gap = 0.8 * text.size;
        }
    }
    let mut head = head(composer, &grid, element);
    let mut again = head.clone();
    again.placed.iter_mut().for_each(|placed| placed.element = 0);
    let again = Rc::new(again);
    head.gap = if table.caption.is_empty() { 0.8 * text.size } else { 0.1 * text.size };
    out.push(head);
    let count = table.rows.len();
    for (index, row) in table.rows.iter().enumerate() {
        let mut piece = one_row(composer, &grid, element, row);
        piece.with_next = count > 1 && (index == 0 || index + 2 == count);
        piece.head = Some(Rc::clone(&again));
        out.push(piece);
    }
}

/// Words of a cell and whether a sign stands before them.
fn cell_words(cell: &Cell) -> (&str, Option<Tone>) {
    (cell.words(), cell.tone())
}

fn strong_if(strong: bool, setting: Setting) -> Setting {
    if strong { setting.strong() } else { setting }
}

/// Left edges and widths: natural ones where there is room, with the rest shared out; else each gives way as far as its longest word
/// allows.
fn columns(composer: &mut Composer, table: &Table, setting: Setting, width: f64) -> Vec<[f64; 2]> {
    let count = table.columns.len();
    let gap = GAP_EM * setting.size;
    let room = width - gap * count.saturating_sub(1) as f64;
    let (mut natural, mut least) = (Vec::new(), Vec::new());
    for (index, column) in table.columns.iter().enumerate() {
        let title = &column.title;
        let word = lines::widest_word(composer.widths, setting.cut, title);
        let short = column.align == Align::Left && title.chars().count() < 12;
        let head = if short { composer.widths.of(setting.cut, title) } else { word };
        let unit = composer.widths.of(setting.cut, column.unit);
        let mut wide = [head.max(unit), word.max(unit)];
        for cell in table.rows.iter().filter_map(|row| row.get(index)) {
            let (text, tone) = cell_words(cell);
            let sign = if tone.is_some() { SIGN_EM } else { 0.0 };
            let whole = composer.widths.of(strong_if(index == 0, setting).cut, text) + sign;
            let cut = strong_if(index == 0, setting).cut;
            let word = lines::widest_word(composer.widths, cut, text) + sign;
            // numbers are not parted, nor a short name of a row: "1: 180°"
            let short = index == 0 && text.chars().count() <= SHORT_LETTERS;
            let least = if column.align == Align::Right || short { whole } else { word };
            wide = [wide[0].max(whole), wide[1].max(least)];
        }
        natural.push(wide[0] * setting.size * 1.002);
        least.push(wide[1] * setting.size * 1.002);
    }
    let widths = shared(&natural, &least, room);
    let mut left = 0.0;
    let place = |wide: f64| {
        let place = [left, wide];
        left += wide + gap;
        place
    };
    widths.into_iter().map(place).collect()
}

/// Widths between the least and the natural ones that fill the room.
fn shared(natural: &[f64], least: &[f64], room: f64) -> Vec<f64> {
    let sum = |list: &[f64]| list.iter().sum::<f64>();
    let (wanted, needed) = (sum(natural), sum(least));
    let count = natural.len().max(1) as f64;
    if wanted <= room {
        // a narrow table is not torn apart
        let each =
            if wanted > STRETCHED * room { (room - wanted) / count } else { wanted / count * 0.5 };
        return natural.iter().map(|wide| wide + each).collect();
    }
    if needed < room {
        let share = (room - needed) / (wanted - needed);
        return natural.iter().zip(least).map(|(n, l)| l + share * (n - l)).collect();
    }
    least.iter().map(|wide| wide * room / needed).collect()
}

fn head(composer: &mut Composer, grid: &Grid, table: usize) -> Piece {
    let setting = grid.setting.muted();
    let row = composer.element(Kind::Row, Some(table));
    let mut titles = Vec::new();
    for (column, [_, wide]) in grid.table.columns.iter().zip(&grid.columns) {
        let mut lines = composer.lines(setting, &column.title, *wide);
        if !column.unit.is_empty() {
            lines.push(column.unit.into());
        }
        titles.push(lines);
    }
    let highest = titles.iter().map(Vec::len).max().unwrap_or(0);
    let mut piece = Piece { with_next: true, ..Piece::default() };
    for (index, lines) in titles.iter().enumerate() {
        let element = composer.element(Kind::HeadCell, Some(row));
        // heads stand on the rule
        let top = (highest - lines.len()) as f64 * setting.line();
        set(composer, &mut piece, grid, (index, element), (setting, lines, top));
    }
    piece.height = highest as f64 * setting.line() + PAD_EM * setting.size;
    piece.placed.push(rule([0.0, piece.height], [grid.width, piece.height], 0.8, Ink::Full));
    piece
}

fn one_row(composer: &mut Composer, grid: &Grid, table: usize, row: &[Cell]) -> Piece {
    let element = composer.element(Kind::Row, Some(table));
    let pad = PAD_EM * grid.setting.size;
    let mut piece = Piece::default();
    let mut highest = 1;
    for (index, cell) in row.iter().enumerate().take(grid.columns.len()) {
        let one = composer.element(Kind::Cell, Some(element));
        let (text, tone) = cell_words(cell);
        let sign = if tone.is_some() { SIGN_EM * grid.setting.size } else { 0.0 };
        let setting = strong_if(index == 0 && grid.named, grid.setting);
        let lines = composer.lines(setting, text, grid.columns[index][1] - sign);
        highest = highest.max(lines.len());
        if let Some(tone) = tone {
            let side = grid.setting.size * 0.95;
            let capital = CAPITAL_EM * setting.size;
            let at = [grid.columns[index][0], pad + setting.base() - (capital + side) / 2.0];
            piece.placed.push(Placed { element: one, item: Item::Sign { at, side, tone } });
            for (k, line) in lines.iter().enumerate() {
                let at = [at[0] + sign, pad + setting.base() + k as f64 * setting.line()];
                piece.placed.push(words(one, setting, at, line));
            }
        } else {
            set(composer, &mut piece, grid, (index, one), (setting, &lines, pad));
        }
    }
    piece.height = highest as f64 * grid.setting.line() + 2.0 * pad;
    let ends = ([0.0, piece.height], [grid.width, piece.height]);
    piece.placed.push(rule(ends.0, ends.1, 0.4, Ink::Hairline));
    piece
}

/// Lines in a column, where its cells stand.
fn set(
    composer: &mut Composer,
    piece: &mut Piece,
    grid: &Grid,
    (index, element): (usize, usize),
    (setting, lines, top): (Setting, &[String], f64),
) {
    let [left, wide] = grid.columns[index];
    for (k, line) in lines.iter().enumerate() {
        let free = match grid.table.columns[index].align {
            Align::Left => 0.0,
            Align::Right => wide - composer.width(setting, line),
        };
        let at = [left + free, top + setting.base() + k as f64 * setting.line()];
        piece.placed.push(words(element, setting, at, line));
    }
}
