//! Accelerations: gravity that a device has taken off, units by the length of the vector, what a normal load reads at rest.

use super::super::build::Table;
use super::super::meanings::{Dimension, Meaning};
use super::{assume, known};
use crate::normal::assemble::{Draft, median};
use crate::normal::oddities::suspect;
use crate::normal::{NoteKind, QuantityKind as Q};
use base::factors::STANDARD_GRAVITY_MPS2;
use base::math;

/// A device feels one g; where it feels less than this in the median, in g or m/s2, gravity is taken off.
const WITHOUT_GRAVITY: f64 = 0.5;

/// Accelerations from which the device has taken gravity, with its gravity beside them, are whole when added; alone they are
/// of no use, nor is gravity, which follows the whole slowly. Where the whole is recorded, it counts.
pub(super) fn whole_acceleration(table: &mut Table, draft: &mut Draft) {
    let force =
        [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2].map(Meaning::Sensor);
    let whole = force.iter().all(|meaning| table.find(*meaning).is_some());
    let pair = |table: &Table, axis: u8| {
        table.find(Meaning::Linear(axis)).zip(table.find(Meaning::Gravity(axis)))
    };
    let added = !whole && (0..3).all(|axis| pair(table, axis).is_some());
    let mut names = Vec::new();
    for (axis, meaning) in (0..3).zip(force).filter(|_| added) {
        let Some((linear, gravity)) = pair(table, axis) else { continue };
        let sum = table.numbers[linear].iter().zip(&table.numbers[gravity]);
        table.numbers[linear] = sum.map(|(a, g)| a + g).collect();
        table.columns[linear].meaning = meaning;
        names.push(format!("{} and {}", table.columns[linear].name, table.columns[gravity].name));
    }
    if added {
        let names = names.join(", ");
        draft.note(
            NoteKind::Assumed,
            format!("gravity is taken off and written beside: added again ({names})"),
        );
    }
    let mut spare: Vec<usize> = (0..table.columns.len())
        .filter(|&at| matches!(table.columns[at].meaning, Meaning::Linear(_) | Meaning::Gravity(_)))
        .collect();
    if spare.is_empty() {
        return;
    }
    let names: Vec<&str> = spare.iter().map(|&at| table.columns[at].name.as_str()).collect();
    let why = if whole {
        "the whole acceleration is recorded beside them"
    } else {
        "gravity is taken off, or it is gravity alone: of no use for attitude and load"
    };
    if !added {
        draft.note(NoteKind::LeftOut, format!("columns {}: {why}; not used", names.join(", ")));
    }
    leave(table, &mut spare);
}

/// Three device axes together: at rest and over a flight the length of the vector is about one g.
pub(super) fn settle_device_force(table: &mut Table, draft: &mut Draft) {
    let axes = [Q::DeviceForceXMps2, Q::DeviceForceYMps2, Q::DeviceForceZMps2]
        .map(|quantity| table.find(Meaning::Sensor(quantity)));
    let [Some(x), Some(y), Some(z)] = axes else { return };
    let open: Vec<usize> =
        [x, y, z].into_iter().filter(|&at| table.columns[at].unit.is_none()).collect();
    let length = |row: usize| {
        let (a, b, c) = (table.numbers[x][row], table.numbers[y][row], table.numbers[z][row]);
        math::hypot(math::hypot(a, b), c)
    };
    let typical = median((0..table.times_s.len()).map(length).collect()).unwrap_or(0.0);
    // a device that feels nothing most of the time falls freely, or has gravity taken off
    if typical < WITHOUT_GRAVITY && typical > 0.0 {
        let text = format!(
            "columns {}, {} and {} have gravity taken off (together {typical:.2} long in the median): of no use for attitude and load, not used",
            table.columns[x].name, table.columns[y].name, table.columns[z].name
        );
        draft.note(NoteKind::LeftOut, text);
        leave(table, &mut [x, y, z]);
        return;
    }
    if open.is_empty() {
        let gees = typical / STANDARD_GRAVITY_MPS2;
        if !(0.6..1.7).contains(&gees) && typical > 0.0 {
            let what = format!(
                "columns {}, {} and {} are together {gees:.2} g long in the median, where a device feels about one",
                table.columns[x].name, table.columns[y].name, table.columns[z].name
            );
            suspect(draft, &what, mixed_up(gees));
        }
        return;
    }
    let name = match typical {
        t if (0.75..1.4).contains(&t) => "g",
        t if (0.75..1.4).contains(&(t / STANDARD_GRAVITY_MPS2)) => "m/s2",
        _ => return,
    };
    let why = format!(
        "the three axes together are {typical:.2} long (directions and signs as the device has them)"
    );
    for at in open {
        assume(table, at, &known(Dimension::Acceleration, name), &why, draft);
    }
}

/// What mix-up of units makes one g read so many.
fn mixed_up(gees: f64) -> Option<String> {
    let near = |factor: f64| math::ln(gees / factor).abs() < 0.3;
    let cause = match () {
        () if near(STANDARD_GRAVITY_MPS2) => "m/s2 read as g would do that",
        () if near(1.0 / STANDARD_GRAVITY_MPS2) => "g read as m/s2 would do that",
        () => return None,
    };
    Some(cause.to_owned())
}

/// Takes columns out of the table.
fn leave(table: &mut Table, away: &mut [usize]) {
    away.sort_unstable();
    for &at in away.iter().rev() {
        table.numbers.remove(at);
        let column = table.columns.remove(at);
        table.left.push(column);
    }
}

/// Some logs write the normal load less one g, some with the sign of the acceleration. What the user's map says is taken.
pub(super) fn settle_normal_load(table: &mut Table, draft: &mut Draft) {
    let Some(at) = table.find(Meaning::Sensor(Q::NormalLoadG)) else { return };
    let said = table.columns[at].at_rest_g;
    let values = &mut table.numbers[at];
    if let Some(at_rest_g) = said {
        values.iter_mut().for_each(|value| *value += 1.0 - at_rest_g);
        return;
    }
    let Some(typical) = median(values.clone()) else { return };
    let name = table.columns[at].name.clone();
    if typical.abs() < 0.4 {
        values.iter_mut().for_each(|value| *value += 1.0);
        table.columns[at].at_rest_g = Some(0.0);
        let text = format!(
            "column {name} is the normal load less one g (its middle value is {typical:.2}): one added"
        );
        draft.note(NoteKind::Assumed, text);
    } else if (-1.5..=-0.6).contains(&typical) {
        values.iter_mut().for_each(|value| *value = -*value);
        table.columns[at].turned = !table.columns[at].turned;
        table.columns[at].at_rest_g = Some(1.0);
        let text = format!(
            "column {name} counts down as positive (its middle value is {typical:.2}): sign turned"
        );
        draft.note(NoteKind::Assumed, text);
    } else if (0.6..=1.5).contains(&typical) {
        table.columns[at].at_rest_g = Some(1.0);
        let text = format!(
            "column {name} is the whole normal load, one in level flight (its middle value is {typical:.2})"
        );
        draft.note(NoteKind::Assumed, text);
    } else if typical.abs() > 3.0 {
        let what = format!("column {name} reads {typical:.2} g in the median");
        suspect(draft, &what, mixed_up(typical.abs()));
    }
}
