//! The words that come with the program, in our own voice: one file a maneuver and one line in `ALL`.
//!
//! Short sentences: where to look, what hands and feet do, what comes next. No values are written into them; they are filled from
//! the flight. What the words rest on is common practice of the trade, no source.

mod accelerated_stall;
mod aileron_roll;
mod barrel_roll;
mod chandelle;
mod climbing_turn;
mod cuban_eight;
mod descending_turn;
mod eights_on_pylons;
mod half_cuban_eight;
mod immelmann;
mod lazy_eight;
mod loops;
mod power_off_stall;
mod power_on_stall;
mod rectangular_course;
mod rolling_on_a_heading;
mod s_turns;
mod slow_flight;
mod standard_rate_turn;
mod steep_spiral;
mod steep_turn;
mod turns_around_a_point;
mod wing_over;

use crate::definition::{PatterLine, When};

/// Words of a maneuver: its key, the forms they are for (empty for all), the sentences.
type Words = (&'static str, &'static [&'static str], &'static [PatterLine]);

/// Every script. Forms that are shown as history, and figures shown as a hazard, have none.
const ALL: &[Words] = &[
    ("steep-turn", &[], steep_turn::WORDS),
    ("chandelle", &["shallow"], chandelle::SHALLOW),
    ("chandelle", &["steep"], chandelle::STEEP),
    ("lazy-eight", &[], lazy_eight::WORDS),
    ("wing-over", &[], wing_over::WORDS),
    ("steep-spiral", &[], steep_spiral::WORDS),
    ("s-turns", &[], s_turns::WORDS),
    ("turns-around-a-point", &[], turns_around_a_point::WORDS),
    ("rectangular-course", &[], rectangular_course::WORDS),
    ("slow-flight", &[], slow_flight::WORDS),
    ("power-off-stall", &[], power_off_stall::WORDS),
    ("power-on-stall", &[], power_on_stall::WORDS),
    ("accelerated-stall", &[], accelerated_stall::WORDS),
    ("climbing-turn", &[], climbing_turn::WORDS),
    ("descending-turn", &[], descending_turn::WORDS),
    ("standard-rate-turn", &[], standard_rate_turn::WORDS),
    ("eights-on-pylons", &[], eights_on_pylons::WORDS),
    ("rolling-on-a-heading", &[], rolling_on_a_heading::WORDS),
    ("loop", &[], loops::WORDS),
    ("aileron-roll", &[], aileron_roll::WORDS),
    ("barrel-roll", &[], barrel_roll::WORDS),
    ("half-cuban-eight", &[], half_cuban_eight::WORDS),
    ("cuban-eight", &[], cuban_eight::WORDS),
    ("immelmann", &[], immelmann::WORDS),
];

/// What is said in calm air instead, of figures over the ground: words about a wind that is not there would be wrong.
const CALM: &[Words] = &[
    ("steep-spiral", &[], steep_spiral::CALM),
    ("s-turns", &[], s_turns::CALM),
    ("turns-around-a-point", &[], turns_around_a_point::CALM),
    ("rectangular-course", &[], rectangular_course::CALM),
    ("eights-on-pylons", &[], eights_on_pylons::CALM),
];

/// The sentences of a maneuver in a form, in wind or in calm air; none where there is no patter.
#[must_use]
pub fn of(maneuver: &str, form: &str, calm: bool) -> &'static [PatterLine] {
    let fits =
        |(id, forms, _): &&Words| *id == maneuver && (forms.is_empty() || forms.contains(&form));
    let in_calm = CALM.iter().filter(|_| calm).find(fits);
    in_calm.or_else(|| ALL.iter().find(fits)).map_or(&[], |(_, _, lines)| lines)
}

/// Demonstrating, directing, monitoring, short.
type Texts = [&'static str; 4];

/// Said before the figure; values at a progress of the first part.
const fn before(value_at_deg: f64, texts: Texts) -> PatterLine {
    line(When::Before, value_at_deg, texts)
}
/// Said when the part comes to a progress; values from there.
const fn at(progress_deg: f64, texts: Texts) -> PatterLine {
    line(When::At(progress_deg), progress_deg, texts)
}
/// As [`at`], with values of a place to come.
const fn ahead(progress_deg: f64, value_at_deg: f64, texts: Texts) -> PatterLine {
    line(When::At(progress_deg), value_at_deg, texts)
}
/// Said after the part; values at its end.
const fn after(value_at_deg: f64, texts: Texts) -> PatterLine {
    line(When::After, value_at_deg, texts)
}
/// The sentence in the second part.
const fn second(line: PatterLine) -> PatterLine {
    PatterLine { part: 1, ..line }
}
const fn line(when: When, value_at_deg: f64, texts: Texts) -> PatterLine {
    let [demonstrating, directing, monitoring, short] = texts;
    PatterLine { part: 0, when, value_at_deg, demonstrating, directing, monitoring, short }
}
