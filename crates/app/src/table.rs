//! Answers as CSV (RFC-4180, line end `\n`): one number a row, or one time a row. Same value, same bytes.

use assess::attempt::{Attempt, AttemptPart, Estimate, Finding, Measure, probability_rounded, way};
use assess::debrief::Debrief;
use assess::events::SafetyEvent;
use wire::number::rounded;
use wire::reconstruction::Reconstruction;
use wire::recording_sheet::{RecordingSheet, SensorOut};
use wire::validation::{CheckOut, Validation};

mod brief;

/// Columns of the numbers of a debrief.
const DEBRIEF_HEAD: [&str; 20] = [
    "attempt",
    "maneuver",
    "form",
    "direction",
    "part",
    "start_s",
    "end_s",
    "kind",
    "key",
    "turn_deg",
    "value",
    "sigma",
    "unit",
    "verdict",
    "tolerance",
    "source",
    "margin",
    "mark",
    "at_s",
    "help",
];

/// The numbers of a debrief, one a row: state at the checkpoints, measures, findings, limits passed.
pub(crate) fn debrief(debrief: &Debrief) -> String {
    written(std::iter::once(strings(&DEBRIEF_HEAD)).chain(debrief_rows(debrief)))
}

/// The head of the table of several flights: the recording comes first.
pub(crate) fn debriefs_head() -> String {
    written([strings(&[&["recording"], DEBRIEF_HEAD.as_slice()].concat())])
}

/// The rows of one of several flights.
pub(crate) fn debrief_of(recording: &str, debrief: &Debrief) -> String {
    let named = |mut row: Vec<String>| {
        row.insert(0, recording.into());
        row
    };
    written(debrief_rows(debrief).into_iter().map(named))
}

fn debrief_rows(debrief: &Debrief) -> Vec<Vec<String>> {
    let mut rows = Vec::new();
    for (index, attempt) in debrief.attempts.iter().enumerate() {
        let help = attempt.flown.help.words();
        let head_of_all = whole(index, attempt);
        rows.extend(numbers_of(&attempt.measures).map(|cells| row(&head_of_all, cells, help)));
        rows.extend(attempt.findings.iter().map(|f| row(&head_of_all, finding_cells(f), help)));
        for (number, part) in attempt.parts.iter().enumerate() {
            let head = head(index, attempt, number + 1, part);
            let of_part = states(part).chain(numbers_of(&part.measures));
            rows.extend(of_part.map(|cells| row(&head, cells, help)));
            rows.extend(part.findings.iter().map(|f| row(&head, finding_cells(f), help)));
            rows.extend(part.faults.iter().map(|fault| {
                let cells = ["fault", fault.id, "", "", "", "", "", &fault.evidence, ""];
                row(&head, strings(&cells), help)
            }));
        }
    }
    rows.extend(debrief.events.events.iter().map(|event| event_row(event, &debrief.attempts)));
    rows
}

/// A limit passed; its own times stand where those of an attempt do.
fn event_row(event: &SafetyEvent, attempts: &[Attempt]) -> Vec<String> {
    let mut head: Head = Head::default();
    if let Some((index, attempt)) = event.attempt.and_then(|k| Some((k, attempts.get(k)?))) {
        head = whole(index, attempt);
    }
    head[5] = rounded(event.begin_s, 3).to_string();
    head[6] = rounded(event.end_s, 3).to_string();
    let [value, sigma] = numbers(Some(event.worst));
    let verdict = if event.sure { "passed" } else { "perhaps passed" };
    let limit = rounded(event.limit, 3).to_string();
    let key = event.kind.key();
    let cells = ["event", key, "", &value, &sigma, event.unit, verdict, &limit, &event.source];
    let mut cells = strings(&cells);
    cells.extend([String::new(), String::new(), rounded(event.worst_s, 3).to_string()]);
    row(&head, cells, "")
}

/// The attempts alone, one a row.
pub(crate) fn found(debrief: &Debrief) -> String {
    let head = ["attempt", "maneuver", "form", "direction", "confidence", "start_s", "end_s"];
    let one = |(index, attempt): (usize, &Attempt)| {
        let [number, maneuver, form, direction, _, start, end] = whole(index, attempt);
        let confidence = probability_rounded(attempt.confidence).to_string();
        vec![number, maneuver, form, direction, confidence, start, end]
    };
    written(std::iter::once(strings(&head)).chain(debrief.attempts.iter().enumerate().map(one)))
}

/// What a recording holds, one quantity a row.
pub(crate) fn recording(sheet: &RecordingSheet) -> String {
    let head = [
        "quantity", "origin", "unit", "count", "rate_hz", "from_s", "to_s", "least", "most",
        "gaps", "gaps_s",
    ];
    let text = |value: Option<f64>| value.map_or(String::new(), |value| value.to_string());
    let one = |sensor: &SensorOut| {
        let missing_s: f64 = sensor.gaps.iter().map(|[from_s, to_s]| to_s - from_s).sum();
        vec![
            sensor.quantity.to_string(),
            sensor.origin.clone(),
            sensor.unit.to_string(),
            sensor.count.to_string(),
            text(sensor.rate_hz),
            sensor.from_s.to_string(),
            sensor.to_s.to_string(),
            text(sensor.least),
            text(sensor.most),
            sensor.gaps.len().to_string(),
            rounded(missing_s, 3).to_string(),
        ]
    };
    written(std::iter::once(strings(&head)).chain(sheet.sensors.iter().map(one)))
}

/// A motion, one time a row; every quantity with one standard deviation beside it.
pub(crate) fn reconstruction(motion: &Reconstruction) -> String {
    let columns = motion.columns();
    let mut head = strings(&["time_s", "airborne"]);
    for (name, _) in &columns {
        head.extend([(*name).to_string(), format!("{name}_sigma")]);
    }
    let one = |(index, time_s): (usize, &f64)| {
        let airborne = motion.airborne.get(index).copied().unwrap_or_default();
        let mut row = vec![time_s.to_string(), u8::from(airborne).to_string()];
        for (name, column) in &columns {
            let value = Reconstruction::in_tables(name, column.value[index]);
            row.extend([value.to_string(), column.sigma[index].to_string()]);
        }
        row
    };
    written(std::iter::once(head).chain(motion.time_s.iter().enumerate().map(one)))
}

/// The checks of the engine, one a row.
pub(crate) fn validation(validation: &Validation) -> String {
    let head = [
        "id",
        "group",
        "value",
        "reference",
        "difference",
        "tolerance",
        "unit",
        "verdict",
        "source",
        "note",
    ];
    let number = |figure: Option<f64>| figure.map_or_else(String::new, |value| value.to_string());
    let one = |check: &CheckOut| {
        let figures = [check.value, check.reference, check.difference, check.tolerance];
        let words = [check.unit, check.verdict, &check.source, &check.note];
        let begin = strings(&[&check.id, check.group]).into_iter();
        begin.chain(figures.map(number)).chain(strings(&words)).collect()
    };
    written(std::iter::once(strings(&head)).chain(validation.checks.iter().map(one)))
}

type Head = [String; 7];

fn whole(index: usize, attempt: &Attempt) -> Head {
    [
        (index + 1).to_string(),
        attempt.maneuver.into(),
        attempt.form.into(),
        way(attempt.direction).into(),
        String::new(),
        rounded(attempt.start_s, 3).to_string(),
        rounded(attempt.end_s, 3).to_string(),
    ]
}

fn head(index: usize, attempt: &Attempt, number: usize, part: &AttemptPart) -> Head {
    let mut head = whole(index, attempt);
    head[3] = way(part.direction).into();
    head[4] = number.to_string();
    head[5] = rounded(part.start_s, 3).to_string();
    head[6] = rounded(part.end_s, 3).to_string();
    head
}

/// Cells of the state at each checkpoint.
fn states(part: &AttemptPart) -> impl Iterator<Item = Vec<String>> {
    part.checkpoints.iter().flat_map(|at| {
        let turn = rounded(at.progress_deg, 1).to_string();
        let quantities = [
            ("bank_deg", at.bank_deg, "deg"),
            ("pitch_deg", at.pitch_deg, "deg"),
            ("pitch_change_deg", at.pitch_change_deg, "deg"),
            ("cas_kt", at.cas_kt, "kt"),
            ("height_ft", at.height_ft, "ft"),
            ("load_factor", at.load_factor, "g"),
        ];
        let time = [("time_s", Some(Estimate { value: at.time_s, sigma: 0.0 }), "s")];
        time.into_iter().chain(quantities).map(move |(key, estimate, unit)| {
            let [value, mut sigma] = numbers(estimate);
            if key == "time_s" {
                sigma.clear();
            }
            let cells = ["checkpoint", key, &turn, &value, &sigma, unit, "", "", ""];
            strings(&cells)
        })
    })
}

fn numbers_of(measures: &[Measure]) -> impl Iterator<Item = Vec<String>> {
    measures.iter().map(|measure| {
        let [value, sigma] = numbers(measure.estimate);
        let unit = measure.quantity.unit();
        strings(&["measure", measure.key, "", &value, &sigma, unit, "", "", ""])
    })
}

fn finding_cells(finding: &Finding) -> Vec<String> {
    let [value, sigma] = numbers(finding.estimate);
    let verdict = finding.verdict.words();
    let (unit, tolerance, source) = (finding.unit, &finding.tolerance, &finding.source);
    let mut cells =
        strings(&["finding", &finding.id, "", &value, &sigma, unit, verdict, tolerance, source]);
    let number = |value: Option<f64>| {
        let finite = value.filter(|value| value.is_finite());
        finite.map_or_else(String::new, |value| rounded(value, 3).to_string())
    };
    cells.extend([
        number(finding.margin),
        finding.mark.unwrap_or_default().into(),
        number(finding.at_s),
    ]);
    cells
}

/// Value and sigma; empty when it could not be measured.
fn numbers(estimate: Option<Estimate>) -> [String; 2] {
    let finite = estimate.filter(|e| e.value.is_finite() && e.sigma.is_finite());
    finite.map_or_else(<[String; 2]>::default, |e| {
        [rounded(e.value, 3).to_string(), rounded(e.sigma, 4).to_string()]
    })
}

/// A row of full width; cells that a kind does not have are empty.
fn row(head: &Head, mut cells: Vec<String>, help: &str) -> Vec<String> {
    /// Kind to `at_s`.
    const CELLS: usize = 12;
    cells.resize(CELLS, String::new());
    cells.push(help.into());
    head.iter().cloned().chain(cells).collect()
}

/// The flights of a brief, one time a row: see [`brief::rows`].
pub(crate) fn of_brief(brief: &wire::brief::Brief) -> String {
    written(brief::rows(brief))
}

fn strings(cells: &[&str]) -> Vec<String> {
    cells.iter().map(|cell| (*cell).to_string()).collect()
}

fn written(rows: impl IntoIterator<Item = Vec<String>>) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        writer.write_record(&row).expect("rows of one length are written to memory");
    }
    let bytes = writer.into_inner().expect("memory takes every byte");
    String::from_utf8(bytes).expect("cells are text")
}
