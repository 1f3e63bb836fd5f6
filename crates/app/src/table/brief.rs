//! A brief as a table: the flight of each side, one time a row.

use base::numerics::interpolation::linear;
use wire::brief::{Brief, Path, Side};
use wire::controls::Controls;
use wire::number::rounded;

/// Columns of a path, in the order they are written.
type PathColumn = (&'static str, fn(&Path) -> &Vec<f64>);
const PATH: [PathColumn; 13] = [
    ("time_s", |path| &path.time_s),
    ("progress_deg", |path| &path.progress_deg),
    ("turn_deg", |path| &path.turn_deg),
    ("north_m", |path| &path.north_m),
    ("east_m", |path| &path.east_m),
    ("height_ft", |path| &path.height_ft),
    ("bank_deg", |path| &path.bank_deg),
    ("pitch_deg", |path| &path.pitch_deg),
    ("heading_deg", |path| &path.heading_deg),
    ("cas_kt", |path| &path.cas_kt),
    ("ias_kt", |path| &path.ias_kt),
    ("load_factor", |path| &path.load_factor),
    ("stall_kt", |path| &path.stall_kt),
];

/// Hands and feet, as shares of their travel.
type ControlColumn = (&'static str, fn(&Controls) -> &Vec<f64>);
const CONTROLS: [ControlColumn; 6] = [
    ("stick_back", |controls| &controls.stick_back),
    ("stick_right", |controls| &controls.stick_right),
    ("pedal_right", |controls| &controls.pedal_right),
    ("throttle", |controls| &controls.throttle),
    ("sideslip_deg", |controls| &controls.sideslip_deg),
    ("ball_deg", |controls| &controls.ball_deg),
];
/// Digits behind the point of hands and feet.
const DIGITS: i32 = 4;

/// The flights of a brief: the head, then one row a sample, side by side. Cells that a side does not have are empty. Linear in the samples.
pub(super) fn rows(brief: &Brief) -> Vec<Vec<String>> {
    let more: Vec<&str> = brief
        .sides
        .first()
        .map_or_else(Vec::new, |side| side.columns.iter().map(|column| column.key).collect());
    let head = ["direction"].into_iter().chain(PATH.iter().map(|column| column.0));
    let head = head.chain(more.iter().copied()).chain(CONTROLS.iter().map(|column| column.0));
    let head: Vec<String> = head.map(Into::into).collect();
    let sides = brief.sides.iter().flat_map(|side| {
        let more = &more;
        (0..side.path.time_s.len()).map(move |index| row(side, more, index))
    });
    std::iter::once(head).chain(sides).collect()
}

fn row(side: &Side, more: &[&str], index: usize) -> Vec<String> {
    let text = |value: Option<f64>| {
        value.filter(|value| value.is_finite()).map_or_else(String::new, |value| value.to_string())
    };
    let mut cells = vec![side.direction.to_string()];
    cells.extend(PATH.iter().map(|(_, of)| text(of(&side.path).get(index).copied())));
    cells.extend(more.iter().map(|key| {
        let column = side.columns.iter().find(|column| column.key == *key);
        text(column.and_then(|column| column.values.get(index).copied().flatten()))
    }));
    let time_s = side.path.time_s[index];
    cells.extend(CONTROLS.iter().map(|(_, of)| {
        text(side.controls.as_ref().map(|c| rounded(linear(&c.time_s, of(c), time_s), DIGITS)))
    }));
    cells
}

#[cfg(test)]
mod tests {
    use super::rows;
    use flight::airplane::bundled;
    use maneuver::brief::{BriefRequest, brief};

    /// One width, one row a sample, the same numbers as in the document.
    #[test]
    fn prop_the_table_is_the_flights() {
        let airplane = bundled::load("plover-160").unwrap();
        let request = BriefRequest { field_told: true, ..BriefRequest::default() };
        for id in ["chandelle", "turns-around-a-point", "power-off-stall"] {
            let told = brief(maneuver::catalog::find(id).unwrap(), &airplane, &request);
            let told = wire::brief::Brief::from(&told);
            let rows = rows(&told);
            let samples: usize = told.sides.iter().map(|side| side.path.time_s.len()).sum();
            assert!(samples > 100);
            assert_eq!(rows.len(), 1 + samples, "{id}");
            assert!(rows.iter().all(|row| row.len() == rows[0].len()), "{id}");
            let column = |name: &str| rows[0].iter().position(|head| head == name).unwrap();
            let (first, path) = (&rows[1], &told.sides[0].path);
            assert_eq!(first[column("direction")], told.sides[0].direction);
            assert_eq!(first[column("ias_kt")], path.ias_kt[0].to_string());
            let pedal: f64 = first[column("pedal_right")].parse().unwrap();
            assert!(pedal.abs() <= 1.0, "{id}: {pedal}");
        }
    }
}
