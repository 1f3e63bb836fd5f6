//! Limits and how near a flight comes to them.

use super::{Brief, FLOOR_ABOVE_GROUND, Limit, LimitSide};
use crate::reference::{Extremes, ReferenceFlight};
use base::factors::{M_PER_FT, MPS_PER_KT};
use flight::airplane::{Airplane, Category};

/// How far the reference stays away from a rule that bites, degrees of bank and of pitch (common practice, no source).
const BANK_MARGIN_DEG: f64 = 10.0;
const PITCH_MARGIN_DEG: f64 = 5.0;

struct Row {
    id: &'static str,
    title: &'static str,
    value: f64,
    limit: f64,
    unit: &'static str,
    side: LimitSide,
    source: &'static str,
    hard: bool,
}

impl Row {
    fn finish(self) -> Limit {
        let Self { id, title, value, limit, unit, side, source, hard } = self;
        let margin = match side {
            LimitSide::Above => limit - value,
            LimitSide::Below => value - limit,
        };
        // Rounding of the solution must not break a limit that the form meets exactly.
        Limit {
            id,
            title,
            value,
            limit,
            unit,
            side,
            margin,
            source,
            kept: margin >= -1e-6 * limit.abs().max(1.0),
            hard,
        }
    }
}

/// Every limit, worst over the flights.
pub(super) fn of(
    flights: &[ReferenceFlight],
    airplane: &Airplane,
    category: &Category,
    brief: &Brief,
) -> Vec<Limit> {
    let greatest = |f: fn(&Extremes) -> f64| {
        flights.iter().map(|flight| f(&flight.extremes)).fold(f64::MIN, f64::max)
    };
    let least = |f: fn(&Extremes) -> f64| {
        flights.iter().map(|flight| f(&flight.extremes)).fold(f64::MAX, f64::min)
    };
    let entry_kt = flights[0].samples[0].indicated_airspeed_mps / MPS_PER_KT;
    let height_low_ft = (brief.height.to_m() + least(|e| e.height_low_m)) / M_PER_FT;
    let floor_ft = (brief.day.field_elevation + FLOOR_ABOVE_GROUND).to_ft();
    let row = |id, title, value, limit, unit, side, source, hard| Row {
        id,
        title,
        value,
        limit,
        unit,
        side,
        source,
        hard,
    };
    let (above, below) = (LimitSide::Above, LimitSide::Below);
    let speeds = &airplane.speeds;
    let maneuvering_kt = airplane.maneuvering_speed(brief.mass).to_kt();
    let load_max = category.load_factor_max.to_g();
    let mut rows = vec![
        row(
            "stall-margin",
            "slowest over stall",
            least(|e| e.stall_margin_min_kt),
            0.0,
            "kt",
            below,
            "common-practice",
            true,
        ),
        row(
            "load-factor",
            "greatest load",
            greatest(|e| e.load_factor_max),
            load_max,
            "g",
            above,
            "14-CFR-23-A",
            true,
        ),
        row(
            "load-factor-least",
            "least load",
            least(|e| e.load_factor_min),
            category.load_factor_min.to_g(),
            "g",
            below,
            "14-CFR-23-A",
            true,
        ),
        row(
            "entry-speed",
            "entry speed to V_A at this weight",
            entry_kt,
            maneuvering_kt,
            "kt",
            above,
            "ACS-C",
            true,
        ),
        row(
            "normal-max",
            "fastest to V_NO",
            greatest(|e| e.speed_max_kt),
            speeds.normal_max.to_kt(),
            "kt",
            above,
            "common-practice",
            false,
        ),
        row(
            "never-exceed",
            "fastest to V_NE",
            greatest(|e| e.speed_max_kt),
            speeds.never_exceed.to_kt(),
            "kt",
            above,
            "common-practice",
            true,
        ),
        row("floor", "lowest to the floor", height_low_ft, floor_ft, "ft", below, "ACS-C", true),
        row(
            "parachute-bank",
            "bank, parachute rule",
            greatest(|e| e.bank_max_deg),
            60.0,
            "deg",
            above,
            "14-CFR-91.307",
            false,
        ),
        row(
            "parachute-nose-up",
            "nose up, parachute rule",
            greatest(|e| e.pitch_max_deg),
            30.0,
            "deg",
            above,
            "14-CFR-91.307",
            false,
        ),
        row(
            "parachute-nose-down",
            "nose down, parachute rule",
            -least(|e| e.pitch_min_deg),
            30.0,
            "deg",
            above,
            "14-CFR-91.307",
            false,
        ),
    ];
    let bank_limit = match category.name.as_str() {
        "normal" => Some(60.0),
        "utility" => Some(90.0),
        _ => None,
    };
    if let Some(limit_deg) = bank_limit {
        let bank = greatest(|e| e.bank_max_deg);
        rows.push(row(
            "category-bank",
            "bank of this category",
            bank,
            limit_deg + 0.5,
            "deg",
            above,
            "14-CFR-23.3",
            true,
        ));
    }
    rows.into_iter().map(Row::finish).collect()
}

/// A limit that is passed, in words with numbers.
pub(super) fn sentence(limit: &Limit) -> String {
    let Limit { title, value, limit, unit, side, .. } = limit;
    let word = match side {
        LimitSide::Above => "above",
        LimitSide::Below => "below",
    };
    format!("{title}: {value:.1} {unit} is {word} the limit of {limit:.1} {unit}")
}

/// What the flight needs although every hard limit is kept, one sentence each.
pub(super) fn needs(flights: &[ReferenceFlight], category: &Category) -> Vec<String> {
    let mut out = Vec::new();
    let greatest = |f: fn(&Extremes) -> f64| {
        flights.iter().map(|flight| f(&flight.extremes)).fold(f64::MIN, f64::max)
    };
    let bank = greatest(|e| e.bank_max_deg);
    let pitch = greatest(|e| e.pitch_max_deg.max(-e.pitch_min_deg));
    if bank > 60.0 - BANK_MARGIN_DEG || pitch > 30.0 - PITCH_MARGIN_DEG {
        let near = if bank > 60.5 || pitch > 30.0 { "beyond" } else { "near" };
        out.push(format!(
            "parachutes for all aboard if anyone but crew is aboard: bank {bank:.0} and pitch {pitch:.0} degrees are {near} \
             60 and 30 (14 CFR 91.307)"
        ));
    }
    let load = greatest(|e| e.load_factor_max);
    let rolling = category.load_factor_max.to_g() * 2.0 / 3.0;
    if load > rolling {
        out.push(format!(
            "care with aileron under load: {load:.1} g is above two thirds ({rolling:.1} g) of the limit, the usual \
             limit while rolling (from memory, to be confirmed in the flight manual)"
        ));
    }
    if greatest(|e| -e.stall_margin_min_kt) > -3.0 {
        out.push(
            "a stall and recovery in hand: the slowest point is within 3 kt of the stall".into(),
        );
    }
    out
}
