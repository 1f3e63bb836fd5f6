//! Parts of the brief beyond the flight itself: window of entry speeds, sensitivities, series and room, clearing turns, sun, the way
//! out.

use crate::model::{Block, Cell, ColumnHead, Table};
use crate::numbers::{SIGMAS_OF_95_PERCENT, fixed, signed};
use base::factors::{M_PER_FT, M_PER_NM, MPS_PER_KT, RAD_PER_DEG};
use maneuver::brief::{
    Banded, Brief, Fit, GLARE_DEG, HOLDABLE_DEG, NOTCH_SHARE, Recovery, Sensitivity, SunSeen,
    Verdict,
};
use maneuver::definition::Progress;
use maneuver::series::Series;

/// Fit, room, sun.
pub(crate) fn sections(blocks: &mut Vec<Block>, brief: &Brief) {
    if let Some(fit) = &brief.fit {
        window(blocks, fit);
        sensitivities(blocks, fit);
        bands(blocks, fit);
    }
    if let Some(series) = &brief.series {
        room(blocks, brief, series);
    }
    if let Some(seen) = &brief.sun {
        sun(blocks, seen);
    }
}

fn window(blocks: &mut Vec<Block>, fit: &Fit) {
    let Some(window) = &fit.window else { return };
    blocks.push(Block::Heading(2, "Entry speed".into()));
    blocks.push(Block::Paragraph(format!(
        "Entered at {} kt indicated. The computed limits are kept from {} to {} kt.",
        fixed(window.used_kt, 0),
        fixed(window.low_kt.ceil(), 0),
        fixed(window.high_kt.floor(), 0)
    )));
    blocks.push(Block::List(vec![
        format!("slower closes with: {}", window.low_why),
        format!("faster closes with: {}", window.high_why),
    ]));
}

fn sensitivities(blocks: &mut Vec<Block>, fit: &Fit) {
    blocks.push(Block::Heading(2, "If it is a little worse than told".into()));
    let number = |value: Option<f64>, decimals: usize| {
        value.map_or_else(|| "–".to_string(), |value| fixed(value, decimals))
    };
    let row = |s: &Sensitivity| -> Vec<Cell> {
        let words = match (s.verdict, s.reason.as_str()) {
            (verdict, "") => verdict.words_alone().to_string(),
            (Verdict::WithinComputedLimitsWith, reason) => {
                format!("{}; {reason}", s.verdict.words_alone())
            }
            (verdict, reason) => format!("{}: {reason}", verdict.words()),
        };
        vec![
            s.change.into(),
            Cell::Verdict(crate::brief::tone(s.verdict), words),
            number(s.margin_kt, 1).into(),
            number(s.gain_ft, 0).into(),
        ]
    };
    blocks.push(Block::Table(Table {
        caption: format!(
            "One thing changed at a time, worst over the sides; a notch of power is {} % of what the engine gives, about 50 rpm or 1 inHg",
            fixed(100.0 * NOTCH_SHARE, 0)
        ),
        columns: vec![
            ColumnHead::words("changed"),
            ColumnHead::words("computed"),
            ColumnHead::number("lowest over stall", "kt"),
            ColumnHead::number("height gained", "ft"),
        ],
        rows: fit.sensitivities.iter().map(row).collect(),
    }));
}

/// What the doubt of the airplane's figures does to the flight.
fn bands(blocks: &mut Vec<Block>, fit: &Fit) {
    if fit.bands.is_empty() {
        return;
    }
    blocks.push(Block::Heading(2, "As far as the airplane is known".into()));
    let row = |band: &Banded| -> Vec<Cell> {
        let decimals =
            usize::from(["kt", "s"].contains(&band.unit)) + 2 * usize::from(band.unit == "g");
        let end = |sign: f64| match band.sigma.is_finite() {
            true => fixed(band.value + sign * SIGMAS_OF_95_PERCENT * band.sigma, decimals),
            false => "–".to_string(),
        };
        vec![
            Cell::Named(band.unit, format!("{} ({})", band.words, band.unit)),
            Cell::from(fixed(band.value, decimals)).of(band.unit),
            Cell::from(end(-1.0)).of(band.unit),
            Cell::from(end(1.0)).of(band.unit),
        ]
    };
    blocks.push(Block::Table(Table {
        caption: "Bands of 95 % from the doubt of the fitted figures of this airplane, linear; worst over the sides. – where within one \
                  standard deviation of its figures it cannot fly it"
            .into(),
        columns: vec![
            ColumnHead::words("what"),
            ColumnHead::number("computed", ""),
            ColumnHead::number("from", ""),
            ColumnHead::number("to", ""),
        ],
        rows: fit.bands.iter().map(row).collect(),
    }));
}

fn room(blocks: &mut Vec<Block>, brief: &Brief, series: &Series) {
    let block = &series.block;
    let heading = match series.flights.len() {
        1 => "Room needed".to_string(),
        _ => {
            let ways: Vec<&str> = series.flights.iter().map(|f| f.direction.word()).collect();
            format!("Room needed, {}", ways.join(" then "))
        }
    };
    blocks.push(Block::Heading(2, heading));
    let nm = |meters: f64| fixed(meters.abs() / M_PER_NM, 1);
    let ft = |meters: f64| fixed(meters / M_PER_FT, 0);
    let [back, ahead] = block.along_m;
    let [left, right] = block.across_m;
    let mut lines = vec![
        match (ft(block.low_m), ft(block.high_m)) {
            (low, high) if low == high => format!("height: {low} ft above sea level throughout"),
            (low, high) => format!("height: {low} to {high} ft above sea level"),
        },
        format!(
            "over the ground from the entry point: {} NM ahead, {} behind, {} left, {} right; farthest {} NM",
            nm(ahead.max(0.0)),
            nm(back.min(0.0)),
            nm(left.min(0.0)),
            nm(right.max(0.0)),
            nm(block.farthest_m)
        ),
        format!("time: {} s{}", fixed(block.seconds, 0), drift_words(brief, series)),
    ];
    for between in series.between.iter().filter(|between| between.seconds > 0.0) {
        lines.push(format!(
            "between the figures: level at full power from {} to {} kt true, {} s and {} NM",
            fixed(between.speed_from_mps / MPS_PER_KT, 0),
            fixed(between.speed_to_mps / MPS_PER_KT, 0),
            fixed(between.seconds, 0),
            nm(between.distance_m)
        ));
    }
    lines.extend(series.stopped.iter().cloned());
    blocks.push(Block::List(lines));
}

/// What the wind does to the whole.
fn drift_words(brief: &Brief, series: &Series) -> String {
    let [north_m, east_m] = series.block.drift_m;
    let drift_nm = base::math::hypot(north_m, east_m) / M_PER_NM;
    let on_the_ground = brief.maneuver.shape().progress == Progress::Position;
    match brief.sides.first() {
        _ if drift_nm < 0.05 => String::new(),
        Some(_) if on_the_ground => {
            "; fixed to the ground: the wind is flown against and carries nothing away".into()
        }
        _ => format!("; the wind carries the whole {} NM", fixed(drift_nm, 1)),
    }
}

fn sun(blocks: &mut Vec<Block>, seen: &SunSeen) {
    blocks.push(Block::Heading(2, "Sun".into()));
    let elevation_deg = seen.sun.elevation_rad / RAD_PER_DEG;
    let place = format!(
        "true bearing {}°, {}° above the horizon",
        fixed(seen.sun.azimuth_rad / RAD_PER_DEG, 0),
        fixed(elevation_deg, 0)
    );
    if elevation_deg < 0.0 {
        blocks.push(Block::Paragraph(format!("Below the horizon ({place}).")));
        return;
    }
    let azimuth_deg = seen.sun.azimuth_rad / RAD_PER_DEG;
    let glare = seen.glare_half_deg.map_or_else(
        || "too high to lie on a reference at the horizon".to_string(),
        |half_deg| {
            let bearing = |deg: f64| fixed(deg.rem_euclid(360.0), 0);
            format!(
                "a reference within {}° of it cannot be looked at, which on the horizon is from {}° to {}° true (±{}°)",
                fixed(GLARE_DEG, 0),
                bearing(azimuth_deg - half_deg),
                bearing(azimuth_deg + half_deg),
                fixed(half_deg, 0)
            )
        },
    );
    blocks.push(Block::Paragraph(format!("{}; {glare}.", place.replacen('t', "T", 1))));
    if !seen.in_the_sun.is_empty() {
        blocks.push(Block::Caution(format!("In the sun: {}.", seen.in_the_sun.join("; "))));
    }
    let list = |headings: &[[f64; 2]]| {
        let stretch = |[from, to]: &[f64; 2]| format!("{}° to {}°", fixed(*from, 0), fixed(*to, 0));
        headings.iter().map(stretch).collect::<Vec<_>>().join(", ")
    };
    let mut lines: Vec<String> = Vec::new();
    if seen.all_clear {
        lines.push("no entry heading puts a reference of this figure in it".into());
    } else if seen.by_wind {
        lines.push("the wind decides the entry heading of this figure: none is offered".into());
    } else if seen.clear_headings_deg.is_empty() {
        lines.push(format!(
            "no {}° of entry headings in a row keep every reference of this figure out of it",
            fixed(HOLDABLE_DEG, 0)
        ));
    } else {
        let headings = list(&seen.clear_headings_deg);
        lines.push(format!("entry headings that keep every reference out of it: {headings} true"));
    }
    for (side, headings) in seen.clear_by_side_deg.iter().filter(|(_, list)| !list.is_empty()) {
        if seen.clear_headings_deg.is_empty() && !seen.all_clear {
            lines.push(format!("to the {} alone: {} true", side.word(), list(headings)));
        }
    }
    blocks.push(Block::List(lines));
}

/// Clearing turns and the recoveries, in the safety sheet.
pub(crate) fn way_out(blocks: &mut Vec<Block>, brief: &Brief) {
    if !brief.clearing.is_empty() {
        blocks.push(Block::Heading(3, "Clearing turns".into()));
        blocks.push(Block::List(brief.clearing.iter().map(|turns| turns.words()).collect()));
    }
    let Some(recoveries) = &brief.recoveries else { return };
    blocks.push(Block::Heading(
        3,
        "The way out, from the points where it goes lowest and loses most".into(),
    ));
    let row = |(name, recovery): (&str, &Recovery)| -> Vec<Cell> {
        vec![
            name.into(),
            recovery.place().into(),
            fixed(recovery.lost_m / M_PER_FT, 0).into(),
            signed(recovery.lowest_m / M_PER_FT, 0).into(),
            fixed(recovery.fastest_kt, 0).into(),
            fixed(recovery.seconds, 0).into(),
        ]
    };
    let rows = [
        ("at once", &recoveries.prompt),
        ("2 s late", &recoveries.bad),
        ("2 s late, most lost", &recoveries.most_lost),
    ];
    blocks.push(Block::Table(Table {
        caption: "Rolled to the nearest horizon and pulled at half of what is available, power as the speed requires; no stall, no spin".into(),
        columns: vec![
            ColumnHead::words("begun"),
            ColumnHead::words("from"),
            ColumnHead::number("lost", "ft"),
            ColumnHead::number("from entry", "ft"),
            ColumnHead::number("fastest", "kt"),
            ColumnHead::number("takes", "s"),
        ],
        rows: rows.into_iter().map(row).collect(),
    }));
}
