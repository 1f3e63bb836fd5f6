//! Trim of the textbook's F-16: level at sixteen speeds, three centers of gravity, a turn at 0.3 rad/s. Source: SL-2003,
//! tables 3.6-2 and 3.6-3 (quoted with the pages of the 3rd edition in the check files).

use flight::trim::Trim;

use crate::check::Check;
use crate::files::Files;
use crate::table::{Row, Table};
use crate::textbook::{Textbook, degrees, half_digit};

const LEVEL: &str = "f16/table_3_6_2_level_trim.csv";
const COLUMNS: &str = "f16/table_3_6_3_trim.csv";
const SOURCE: &str = "SL-2003, table 3.6-2";
const SOURCE_COLUMNS: &str = "SL-2003, table 3.6-3";
/// Angles agree to this beyond the printed digits, degrees; throttles to this.
const ANGLE_DEG: f64 = 0.01;
const THROTTLE: f64 = 0.001;

pub(super) fn checks(files: &Files<'_>) -> Vec<Check> {
    let book = match Textbook::read(files) {
        Ok(book) => book,
        Err(error) => return vec![Check::skipped("f16-trim-level", SOURCE, error.to_string())],
    };
    let mut checks = Vec::new();
    match files.table(LEVEL) {
        None => checks.push(Check::without_file("f16-trim-level", SOURCE, LEVEL)),
        Some(table) => checks.extend(level(&book, &table)),
    }
    match files.table(COLUMNS) {
        None => checks.push(Check::without_file("f16-trim-columns", SOURCE_COLUMNS, COLUMNS)),
        Some(table) => {
            let published = table.rows().filter(|row| row.text("kind") == "published");
            checks.extend(published.enumerate().flat_map(|(n, row)| column(&book, n, &row)));
        }
    }
    checks
}

fn level(book: &Textbook, table: &Table) -> Vec<Check> {
    let airplane = book.airplane(0.35);
    let mut checks = Vec::new();
    for row in table.rows() {
        let speed = row.number("VT_ft_s");
        let found = book.level(&airplane, speed, 0.0);
        let id = |what: &str| format!("f16-trim-level-{speed:.0}-{what}");
        let angle = |what: &str, column: &str, value: f64| {
            let tolerance = ANGLE_DEG + half_digit(row.text(column));
            let figures = (value, row.number(column), tolerance);
            Check::absolute(id(what), figures, "deg", SOURCE).with_note(found.stop.to_string())
        };
        let throttle = (found.inputs.throttle, row.number("published_throttle"), THROTTLE);
        let elevator = degrees(found.inputs.surfaces.elevator_rad);
        checks.push(Check::absolute(id("throttle"), throttle, "", SOURCE));
        checks.push(angle("alpha", "published_alpha_deg", degrees(found.instant.flow.alpha_rad)));
        checks.push(angle("elevator", "published_elevator_deg", elevator));
    }
    checks
}

/// What a column of the table says, read from a trim.
fn figures(found: &Trim) -> [(&'static str, f64, &'static str); 11] {
    let rates = found.state.rates_radps;
    let surfaces = &found.inputs.surfaces;
    [
        ("alpha", found.instant.flow.alpha_rad, "rad"),
        ("beta", found.instant.flow.beta_rad(), "rad"),
        ("phi", found.bank.to_rad(), "rad"),
        ("theta", found.pitch.to_rad(), "rad"),
        ("P", rates.x, "rad/s"),
        ("Q", rates.y, "rad/s"),
        ("R", rates.z, "rad/s"),
        ("throttle", found.inputs.throttle, ""),
        ("elevator", degrees(surfaces.elevator_rad), "deg"),
        ("aileron", degrees(surfaces.aileron_rad), "deg"),
        ("rudder", degrees(surfaces.rudder_rad), "deg"),
    ]
}

/// One column of the table. Printed with four digits; angles of surfaces agree to 0.001 degrees beyond them.
fn column(book: &Textbook, n: usize, row: &Row<'_>) -> Vec<Check> {
    // The third column repeats the center of gravity in the place of the turn rate: it is straight flight, as its rates say.
    let straight = row.number("Q") == 0.0;
    let turn_radps = if straight { 0.0 } else { row.number("turn_rate") };
    let center = row.text("case").strip_prefix("xcg=").and_then(|text| text.parse().ok());
    let airplane = book.airplane(center.unwrap_or_else(|| row.number("xcg")));
    let found = book.level(&airplane, 502.0, turn_radps);
    let check = |&(name, value, unit): &(&str, f64, &'static str)| {
        let printed = row.number(name);
        let digit = if printed == 0.0 { 0.0 } else { five_of_fifth(printed) };
        let least = if unit == "deg" { 1e-3 } else { 1e-5 };
        let id = format!("f16-trim-column-{}-{}", n + 1, name.to_lowercase());
        Check::absolute(id, (value, printed, digit + least), unit, SOURCE_COLUMNS)
    };
    figures(&found).iter().map(check).collect()
}

/// Half a unit of the fourth significant digit.
fn five_of_fifth(value: f64) -> f64 {
    let size = base::math::log10(value.abs()).floor();
    0.5 * base::math::pow(10.0, size - 3.0)
}
