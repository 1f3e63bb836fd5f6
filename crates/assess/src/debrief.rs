//! Everything about one recording, in one value.

use crate::attempt::{Attempt, AttemptPart, Finding, Flown, Measure};
use crate::corrections::{self, Correction, Misfit};
use crate::find::{self, Found};
use crate::part::{CUT, MIDDLE, Part};
use crate::trace::Trace;
use crate::{clearing, coach, events, judge, measure};
use base::factors::{M_PER_FT, MPS_PER_KT};
use base::numerics::statistics::median;
use base::written::fixed;
use flight::airplane::Airplane;
use maneuver::standard::{Measured, Row, Standard, bundled};
use motion::Motion;
use recording::{Note, NoteKind, QuantityKind, Recording};

/// What is known besides the motion.
#[derive(Debug, Clone, Copy)]
pub struct DebriefContext<'a> {
    /// The airplane flown, when known.
    pub airplane: Option<&'a Airplane>,
    /// The standard to judge by.
    pub standard: &'a Standard,
    /// Elevation of the ground in the practice area, m above mean sea level, when known.
    pub ground_elevation_m: Option<f64>,
}

/// The debrief of one recording.
#[derive(Debug, Clone)]
pub struct Debrief {
    /// The recording it is about.
    pub recording: Recording,
    /// The motion found.
    pub motion: Motion,
    /// Attempts in time order.
    pub attempts: Vec<Attempt>,
    /// Limits passed anywhere in the flight, and what was looked for.
    pub events: events::Events,
    /// Key and title of the standard.
    pub standard_id: String,
    /// Title of the standard, with its edition.
    pub standard_title: String,
    /// Name of the airplane, when known.
    pub airplane_name: Option<String>,
    /// Notes of reader, reconstruction and assessment, in this order.
    pub notes: Vec<Note>,
}

/// Finds, measures and judges: the debrief of a recording whose motion has been reconstructed. Linear in its length.
#[must_use]
pub fn debrief(recording: Recording, motion: Motion, context: &DebriefContext<'_>) -> Debrief {
    watched(recording, motion, context, &events::Watch::default())
}

/// As [`debrief`], with what is to be watched for in the whole flight.
#[must_use]
pub fn watched(
    recording: Recording,
    motion: Motion,
    context: &DebriefContext<'_>,
    watch: &events::Watch,
) -> Debrief {
    asked(recording, motion, context, watch, &Asked::default()).expect("nothing is corrected")
}

/// What is asked of the search for attempts.
#[derive(Debug, Clone, Copy, Default)]
pub struct Asked<'a> {
    /// Whether plain climbing, descending and standard-rate turns are reported too, and not only those flown as an exercise:
    /// both ways, to a round number of degrees.
    pub plain_turns: bool,
    /// What the user corrected in the attempts found.
    pub corrections: &'a [Correction],
}

/// As [`watched`], with what is asked of the search.
///
/// # Errors
/// A correction that fits nothing.
pub fn asked(
    recording: Recording,
    motion: Motion,
    context: &DebriefContext<'_>,
    watch: &events::Watch,
    asked: &Asked<'_>,
) -> Result<Debrief, Misfit> {
    let mut notes = recording.notes.clone();
    notes.extend(motion.notes.iter().cloned());
    let (mut attempts, mut events) = (Vec::new(), events::Events::default());
    let trace = untrustworthy_wind(&motion).map_or_else(|| Trace::new(&motion), Err);
    match trace {
        Ok(mut trace) => {
            trace.hear(&recording);
            let flight = events::Flight {
                trace: &trace,
                recording: &recording,
                airplane: context.airplane,
                ground_ft: context.ground_elevation_m.map(|height_m| height_m / M_PER_FT),
                watch,
            };
            let mut found = search(&trace, context, asked.plain_turns, &mut notes);
            corrections::apply(&mut found, &trace, asked.corrections)?;
            attempts = attempts_of(&flight, motion.gusts_mps, context, found);
            events = events::find(&flight, &attempts);
        }
        Err(text) => notes.push(Note { kind: NoteKind::Missing, text }),
    }
    Ok(Debrief {
        attempts,
        events,
        standard_id: context.standard.id.clone(),
        standard_title: format!("{}, {}", context.standard.title, context.standard.edition),
        airplane_name: context.airplane.map(|airplane| airplane.name.clone()),
        notes,
        recording,
        motion,
    })
}

/// Wind in which nobody practises maneuvers, kt: found in a track, it says that the track is not to be trusted, or that an airliner flew
/// it (our judgement, no source).
const WIND_MOST_KT: f64 = 100.0;

/// Why the motion is not looked at for maneuvers and limits: the wind found in it.
fn untrustworthy_wind(motion: &Motion) -> Option<String> {
    let (north, east) = (motion.wind_north_mps.as_ref()?, motion.wind_east_mps.as_ref()?);
    let speeds: Vec<f64> = north
        .value
        .iter()
        .zip(&east.value)
        .map(|(north, east)| base::math::hypot(*north, *east) / MPS_PER_KT)
        .collect();
    let usual_kt = median(&speeds)?;
    (usual_kt > WIND_MOST_KT).then(|| {
        format!(
            "the wind found is {} kt: either the track is not to be trusted (check its times), or no airplane flew it that practises \
             maneuvers; nothing is looked for",
            fixed(usual_kt, 0)
        )
    })
}

/// What is found, and a note about what was not looked at.
fn search(
    trace: &Trace,
    context: &DebriefContext<'_>,
    plain_turns: bool,
    notes: &mut Vec<Note>,
) -> Vec<Found> {
    let (found, left_out) = find::find(trace, context.airplane, plain_turns);
    if left_out > 0 {
        let text = format!(
            "{left_out} stretches of turning were not looked at: the motion there is one that no airplane flies, or too \
             uncertain (check the times and the step of the recording)"
        );
        notes.push(Note { kind: NoteKind::LeftOut, text });
    }
    found
}

fn attempts_of(
    flight: &events::Flight<'_>,
    gusts_mps: Option<f64>,
    context: &DebriefContext<'_>,
    found: Vec<Found>,
) -> Vec<Attempt> {
    let (trace, recording) = (flight.trace, flight.recording);
    let own = bundled::load(bundled::OWN_BANDS).expect("the marking bands are bundled");
    let speeds = [
        QuantityKind::IndicatedAirspeedMps,
        QuantityKind::CalibratedAirspeedMps,
        QuantityKind::TrueAirspeedMps,
    ];
    let airspeed_recorded = speeds.iter().any(|kind| recording.series_of(*kind).is_some());
    let gusts_mps = gusts_mps.unwrap_or(0.0);
    let assessor = Assessor { trace, flight, context, own: &own, airspeed_recorded, gusts_mps };
    let mut attempts: Vec<Attempt> =
        found.into_iter().map(|found| assessor.attempt(found)).collect();
    coach::pair_up(&mut attempts);
    attempts
}

/// What measuring an attempt needs.
struct Assessor<'a> {
    trace: &'a Trace,
    flight: &'a events::Flight<'a>,
    context: &'a DebriefContext<'a>,
    /// Marking bands for maneuvers that the standard has no row for.
    own: &'a Standard,
    airspeed_recorded: bool,
    gusts_mps: f64,
}

impl Assessor<'_> {
    fn attempt(&self, found: Found) -> Attempt {
        let maneuver =
            maneuver::catalog::find(found.maneuver).expect("signatures name catalogue keys");
        let shape = maneuver.shape();
        let mut parts: Vec<Part<'_>> = found
            .parts
            .iter()
            .map(|part| {
                let figure = (maneuver.id(), shape.span_deg);
                Part::new(self.trace, part, figure, self.airspeed_recorded, self.context.airplane)
            })
            .collect();
        let form = form(&parts[0], maneuver);
        parts.iter_mut().for_each(|part| part.form = form);
        let mut notes = Vec::new();
        if parts.len() < shape.parts {
            notes.push(format!("{} of {} parts were flown", parts.len(), shape.parts));
        }
        let rows = self.rows(maneuver.id(), form, &mut notes);
        let (first, last) = (parts[0], parts[parts.len() - 1]);
        if last.is_cut() {
            notes.push(CUT.to_owned());
        }
        notes.extend(events::lines(self.flight, first.start..=last.end));
        let whole = measure::halves::measures(&parts);
        let (halves, of_parts): (Vec<&Row>, Vec<&Row>) =
            rows.iter().partition(|row| row.quantity.is_of_two_halves());
        let findings = halves.iter().map(|row| self.finding(&last, row, &whole)).collect();
        let mut flown: Vec<AttemptPart> =
            parts.iter().map(|part| self.part(part, shape.checkpoints_deg, &of_parts)).collect();
        let pitch_there = self.trace.pitch_deg.is_some();
        notes.extend(
            flown.iter().filter_map(|part| measure::untold(&part.checkpoints, pitch_there)),
        );
        let coaching = coach::coach(&parts, &mut flown, self.context.ground_elevation_m);
        Attempt {
            maneuver: maneuver.id(),
            form,
            direction: first.direction,
            confidence: found.confidence,
            evidence: found.evidence,
            start_s: first.time_s(first.start),
            end_s: last.time_s(last.end),
            parts: flown,
            findings,
            measures: whole,
            clearing: clearing::before(self.trace, first.start),
            flown: Flown::default(),
            coaching,
            notes,
        }
    }
    /// Rows of the standard; and marking bands of our own, labelled, for what it gives no figure for.
    fn rows(&self, maneuver: &str, form: &str, notes: &mut Vec<String>) -> Vec<&Row> {
        let mut rows: Vec<&Row> = rows_for(self.context.standard, maneuver, form);
        let published = rows.len();
        let said = |own: &Row| {
            let same = |row: &&Row| {
                row.id == own.id || (row.quantity, row.place) == (own.quantity, own.place)
            };
            rows.iter().any(same)
        };
        let own: Vec<&Row> =
            rows_for(self.own, maneuver, form).into_iter().filter(|row| !said(row)).collect();
        if published == 0 && !own.is_empty() {
            notes.push(format!(
                "{} has no row for this maneuver: it is held against marking bands of our own, a training aid, no \
                 published standard",
                self.context.standard.title
            ));
        }
        rows.extend(own);
        notes.extend(other_form(form, &rows));
        rows
    }
    fn finding(&self, part: &Part<'_>, row: &Row, measures: &[Measure]) -> Finding {
        let around =
            judge::Around { measures, ground_ft: self.flight.ground_ft, gusts_mps: self.gusts_mps };
        judge::finding(part, row, &around)
    }
    fn part(&self, part: &Part<'_>, checkpoints_deg: &[f64], rows: &[&Row]) -> AttemptPart {
        let measures = measure::measures(part, self.flight.ground_ft);
        let judged = |row: &&Row| -> Finding { self.finding(part, row, &measures) };
        AttemptPart {
            direction: part.direction,
            progress: part.progress,
            start_s: part.time_s(part.start),
            end_s: part.time_s(part.end),
            turned_deg: part.turned(),
            checkpoints: measure::checkpoints(part, checkpoints_deg),
            findings: rows.iter().map(judged).collect(),
            faults: Vec::new(),
            measures,
        }
    }
}

/// That a standard asks for another bank than that of the form it was flown nearest to; `None` where it asks for the same, or for none.
fn other_form(form: &str, rows: &[&Row]) -> Option<String> {
    /// Banks so near are one, degrees.
    const SAME_DEG: f64 = 2.0;
    // Forms whose key is their bank.
    let bank_deg: f64 = form.parse().ok()?;
    let row =
        rows.iter().find(|row| row.quantity == Measured::BankDeg && !row.is_training_aid())?;
    ((row.target - bank_deg).abs() > SAME_DEG).then(|| {
        let asked = &row.tolerance_text;
        format!("flown nearest to the form of {bank_deg} degrees of bank; the standard asks for another: {asked}, and is what it is held against")
    })
}

fn rows_for<'s>(standard: &'s Standard, maneuver: &str, form: &str) -> Vec<&'s Row> {
    let form_fits = |row: &Row| row.forms.is_empty() || row.forms.iter().any(|known| known == form);
    standard.rows.iter().filter(|row| row.maneuver == maneuver && form_fits(row)).collect()
}

/// The form that fits best.
fn form(part: &Part<'_>, maneuver: &'static dyn maneuver::definition::Maneuver) -> &'static str {
    /// A chandelle steeper than this at the 90-degree point is the steep form.
    const STEEP_FROM_DEG: f64 = 45.0;
    let forms = maneuver.forms();
    let bank = |i| part.bank(i);
    // Forms whose key is their bank.
    let nearest = |bank_deg: f64| {
        let away = |key: &str| {
            key.parse::<f64>().map_or(f64::INFINITY, |wanted| (wanted - bank_deg).abs())
        };
        let nearest = forms.iter().min_by(|a, b| away(a.key).total_cmp(&away(b.key)));
        nearest.map_or(forms[0].key, |form| form.key)
    };
    match maneuver.id() {
        "steep-turn" => {
            let mean = Part::mean(&part.between(MIDDLE.0, MIDDLE.1), bank);
            nearest(mean.map_or(50.0, |mean| mean.value))
        }
        "rolling-on-a-heading" => {
            nearest(part.all().map(|i| bank(i).value.abs()).fold(0.0, f64::max))
        }
        "chandelle" => {
            let steep = part.at_turn(90.0, bank).is_some_and(|bank| bank.value > STEEP_FROM_DEG);
            let wanted = if steep { "steep" } else { "shallow" };
            forms.iter().find(|form| form.key == wanted).map_or(forms[0].key, |form| form.key)
        }
        _ => forms[0].key,
    }
}

#[cfg(test)]
mod tests {
    use super::{other_form, rows_for};
    use maneuver::standard::bundled;

    /// ACS-C asks for about 50 degrees, ACS-P for 45: a turn nearest to the other form says so, one that is asked for does not.
    #[test]
    fn prop_a_turn_of_another_form_says_so() {
        let said = |standard: &str, form: &str| {
            let standard = bundled::load(standard).unwrap();
            other_form(form, &rows_for(&standard, "steep-turn", form))
        };
        assert_eq!(said("faa-commercial", "50"), None);
        assert_eq!(said("faa-private", "45"), None);
        let other = said("faa-commercial", "45").unwrap();
        assert!(other.contains("45 degrees of bank") && other.contains("50°"), "{other}");
        assert!(said("faa-private", "60").is_some());
        // Forms that are no bank, and bands of our own, say nothing.
        assert_eq!(said("faa-commercial", "shallow"), None);
        assert_eq!(said(bundled::OWN_BANDS, "45"), None);
    }
}
