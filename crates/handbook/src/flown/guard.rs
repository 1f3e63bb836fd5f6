//! Guards against nonsense: a wrong weight, a wrong airspeed or wind, another airplane.

use base::factors::MPS_PER_KT;
use base::frames::{Ned, Vec3};
use base::math::hypot;
use base::numerics::statistics::median;
use base::written::signed;
use flight::wind::Wind;
use motion::Motion;

use super::update::{Problem, TWICE, sigmas};
use crate::fit::Fitted;
use crate::model::Condition;

/// Why flights are not to be believed with these figures.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubtful {
    /// What is wrong, with numbers.
    pub what: String,
    /// What to do about it.
    pub hint: String,
}

/// Stretches that are needed, half overlapping.
const LEAST_STRETCHES: usize = 16;
/// A share of mass or airspeed this many standard deviations from one is wrong.
const SIGMAS: f64 = 3.0;
/// And at least so far from one: mass told, not told; airspeed.
const MASS_OFF: (f64, f64) = (0.07, 0.16);
const SPEED_OFF: f64 = 0.035;
/// How much the priors are widened to look for a wrong one.
const WIDER: (f64, f64) = (8.0, 6.0);
/// Residuals of an airplane that is the one of the figures are seldom larger, as a median in standard deviations.
const MEDIAN_OFF: f64 = 1.6;
/// Full throttle or idle this far from the figures' band, in standard deviations, is another engine or another airplane.
const PREDICTED_OFF: f64 = 4.0;

/// Masses told that no flight has: so far below the empty mass, so far above the greatest, as shares.
const MASS_POSSIBLE: (f64, f64) = (0.95, 1.3);

/// Masses told that are a slip of the unit, before anything is made of them.
fn slips(problem: &Problem<'_>) -> Vec<Doubtful> {
    let masses = &problem.figures.masses;
    let least_kg =
        MASS_POSSIBLE.0 * masses.empty.map_or(0.4 * masses.maximum.to_kg(), |m| m.to_kg());
    let most_kg = MASS_POSSIBLE.1 * masses.maximum.to_kg();
    let slip = |flight: &super::Flight| {
        let told_kg = flight.mass_kg.filter(|kg| *kg < least_kg || *kg > most_kg)?;
        let hint = if told_kg < least_kg { "kg entered as lb?" } else { "lb entered as kg?" };
        Some(Doubtful {
            what: format!(
                "{}: told to weigh {told_kg:.0} kg, of an airplane of {:.0} kg at most",
                flight.name,
                masses.maximum.to_kg()
            ),
            hint: hint.into(),
        })
    };
    problem.flights.iter().filter_map(slip).collect()
}

pub(super) fn doubts(problem: &Problem<'_>, after: &Fitted) -> Vec<Doubtful> {
    let slips = slips(problem);
    if !slips.is_empty() {
        return slips;
    }
    if problem.used.len() < LEAST_STRETCHES {
        return vec![Doubtful {
            what: format!(
                "only {} stretches of {:.0} s were flown with the throttle known to be open, closed or at a recorded rpm: too few",
                problem.used.len(),
                super::update::stretch_s()
            ),
            hint: "fly level decelerations idle, climbs at full throttle, turns; record rpm if you can".into(),
        }];
    }
    let mut out = Vec::new();
    let free_mass = problem.solve(WIDER.0, 1.0);
    let free_speed = problem.solve(1.0, WIDER.1);
    for flight in 0..problem.flights.len() {
        let (mass, speed) = problem.places(flight);
        let by_mass = sigmas(free_mass.values[mass], free_mass.sigma_log(mass));
        let by_speed = sigmas(free_speed.values[speed], free_speed.sigma_log(speed));
        let told = problem.flights[flight].mass_kg.is_some();
        let off = if told { MASS_OFF.0 } else { MASS_OFF.1 };
        let mass_off = by_mass.abs() > SIGMAS && (free_mass.values[mass] - 1.0).abs() > off;
        let speed_off =
            by_speed.abs() > SIGMAS && (free_speed.values[speed] - 1.0).abs() > SPEED_OFF;
        // Where both would explain it, the one that leaves less to explain is named first.
        if mass_off && (!speed_off || misfit(&free_mass) <= misfit(&free_speed)) {
            out.push(weight(problem, &free_mass, flight));
        } else if speed_off {
            out.push(airspeed(problem, &free_speed, flight));
        }
    }
    out.extend(airplane(problem, after));
    out
}

/// Sum of squares of what is off, large ones counted as three standard deviations.
fn misfit(fitted: &Fitted) -> f64 {
    fitted.residuals.iter().map(|one| one.standardized.abs().min(3.0).powi(2)).sum()
}

fn weight(problem: &Problem<'_>, free: &Fitted, flight: usize) -> Doubtful {
    let (place, _) = problem.places(flight);
    let (told, share) = (problem.masses[flight], free.values[place]);
    let sigma = share * free.sigma_log(place);
    let word = if problem.flights[flight].mass_kg.is_some() { "told" } else { "usual" };
    Doubtful {
        what: format!(
            "{}: flown as at {:.0} kg within {:.0}, not at the {word} {told:.0} kg",
            problem.flights[flight].name,
            told * share,
            2.0 * told * sigma
        ),
        hint: "wrong weight? lb entered as kg? tell the mass of that flight with --weight; or another airplane than that of the figures"
            .into(),
    }
}

fn airspeed(problem: &Problem<'_>, free: &Fitted, flight: usize) -> Doubtful {
    let (_, place) = problem.places(flight);
    let share = free.values[place];
    Doubtful {
        what: format!(
            "{}: flown as if true airspeed were {} % of the one found, within {:.0} %",
            problem.flights[flight].name,
            signed(100.0 * (share - 1.0), 0),
            200.0 * share * free.sigma_log(place)
        ),
        hint:
            "wrong wind or temperature, or an airspeed column in another unit (mph entered as kt?)"
                .into(),
    }
}

/// The airplane as a whole: how far full throttle and idle are from what the figures expect.
fn airplane(problem: &Problem<'_>, after: &Fitted) -> Option<Doubtful> {
    let first = after.evidence.len() - problem.used.len();
    let flown = &after.residuals[first..];
    let off: Vec<f64> = flown.iter().map(|one| TWICE * one.standardized.abs()).collect();
    let middle = median(&off).unwrap_or(0.0);
    let mass_kg = problem.figures.masses.maximum.to_kg();
    let height_m = 1000.0;
    let climb = Condition::Climb { height_m, mass_kg, calibrated_mps: None };
    let glide = Condition::GlideRatio { mass_kg };
    let moved = |condition: &Condition| {
        let (was, is) = (problem.before.predict(condition)?, after.predict(condition)?);
        Some((is.value - was.value) / was.sigma)
    };
    let moved = [moved(&climb), moved(&glide)].map(|moved| moved.unwrap_or(0.0));
    if middle < MEDIAN_OFF && moved.iter().all(|moved| moved.abs() < PREDICTED_OFF) {
        return None;
    }
    let what = if middle >= MEDIAN_OFF {
        format!(
            "the flights do not fit any airplane near the figures: half of the stretches are more than {middle:.1} standard deviations off"
        )
    } else {
        format!(
            "the flights move the climb by {} and the glide by {} standard deviations of what the figures allow",
            signed(moved[0], 1),
            signed(moved[1], 1)
        )
    };
    Some(Doubtful {
        what,
        hint: "another airplane than that of the figures, flaps or gear out, or a fault in the figures?".into(),
    })
}

/// The wind told against that of a motion found without it: too far apart to be one wind?
#[must_use]
pub fn wind(name: &str, told: Vec3<Ned>, free: &Motion) -> Option<Doubtful> {
    /// Reports and winds aloft differ by so much without either being wrong.
    const ORDINARY_MPS: f64 = 6.0 * MPS_PER_KT;
    let (north, east) = (free.wind_north_mps.as_ref()?, free.wind_east_mps.as_ref()?);
    let (found_north, found_east) = (median(&north.value)?, median(&east.value)?);
    let sigma = super::track::wind_sigma(free);
    let away = hypot(found_north - told.north(), found_east - told.east());
    if away < ORDINARY_MPS.max(SIGMAS * sigma) {
        return None;
    }
    let words = |wind: Wind| format!("{:03.0}/{:.0} kt", wind.from.to_deg(), wind.speed.to_kt());
    Some(Doubtful {
        what: format!(
            "{name}: the wind told ({}) is not that of its turns and speeds ({} within {:.0} kt)",
            words(Wind::from_velocity(told.north(), told.east())),
            words(Wind::from_velocity(found_north, found_east)),
            2.0 * sigma / MPS_PER_KT
        ),
        hint: "leave out --wind to have it found, or check direction (from, true) and unit".into(),
    })
}
