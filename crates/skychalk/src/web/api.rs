//! What the page asks: lists, briefs, debriefs. Every answer can be had in the formats of the command line, and as a
//! `fragment` for the page. Errors are `skychalk.error/1`. No file of this computer is opened for a request.

use app::airplane_build::{self, BuildAnswer};
use app::answer::Wanted;
use app::brief::Asked;
use app::choose::Airplane;
use app::corrections::Corrections;
use app::debrief::{Brought, Told};
use app::flight::FlightAnswer;
use app::reading::{self, Said};
use app::recording::{self, RecordingAnswer};
use app::typed::Typed;
use app::validate::{self, ValidateAnswer};
use app::{Answer, AppError, answer, brief, choose, debrief, demo, error, lists, questions};
use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::{FromRequest, Path, Query, Request};
use axum::http::StatusCode;
use axum::http::header::CONTENT_TYPE;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use report::render;
use std::time::Duration;

use super::work::{self, Pace, Ready};
use super::{UPLOAD_BYTES_MOST, airplanes};

/// What may be asked, described for programs.
const OPENAPI: &str = include_str!("../../../../docs/reference/openapi.json");
/// What says how an answer is wanted, not what is asked.
const FORM_OF_ANSWER: [&str; 4] = ["format", "paper", "page-size", "shown-in"];
/// The form of an answer that goes into the page.
const FRAGMENT: &str = "fragment";

/// What is given, by name.
type Pair = (String, String);
/// Query of a request: names and texts, in order, names may repeat.
type Given = Query<Vec<Pair>>;
/// The body of a request comes in this time, or the request is given up.
const BODY_MOST: Duration = Duration::from_secs(120);
/// The text of a file of corrections.
const CORRECTIONS: &str = "corrections";

pub(super) fn routes() -> Router {
    known().merge(airplanes()).merge(flights())
}

/// What there is to choose from, and the interface itself.
fn known() -> Router {
    Router::new()
        .route(
            "/api/maneuvers",
            get(async |given: Given| {
                told("maneuvers", given, |given| listed(given, lists::maneuvers)).await
            }),
        )
        .route(
            "/api/airplanes",
            get(async |given: Given| {
                told("airplanes", given, |given| listed(given, lists::airplanes)).await
            }),
        )
        .route(
            "/api/standards",
            get(async |given: Given| {
                told("standards", given, |given| listed(given, lists::standards)).await
            }),
        )
        .route("/api/service", get(service))
        .route("/api/openapi.json", get(async || ([(CONTENT_TYPE, "application/json")], OPENAPI)))
        .route("/api/schemas/{file}", get(schema))
        .route("/api/checks", get(async |given: Given| told("checks", given, checked).await))
}

/// Airplanes: sheets, files, copies, figures of a manual.
fn airplanes() -> Router {
    Router::new()
        .route("/api/airplane", get(async |given: Given| told("airplane", given, airplane).await))
        .route(
            "/api/airplane/check",
            post(async |given: Given, request: Request| {
                uploaded(given, request, airplane_checked).await
            }),
        )
        .route("/api/airplane/file", get(airplane_text))
        .route(
            "/api/airplane/copy",
            post(async |given: Given, request: Request| {
                uploaded(given, request, airplane_copied).await
            }),
        )
        .route("/api/airplane/questions", get(questions))
        .route(
            "/api/airplane/build",
            post(async |given: Given, request: Request| {
                uploaded(given, request, airplane_built).await
            }),
        )
        .route(
            "/api/airplane/fitted",
            get(async |given: Given| told("fitted", given, airplane_fitted).await),
        )
}

/// Briefs, recordings and their debriefs.
fn flights() -> Router {
    Router::new()
        .route("/api/brief", get(async |given: Given| told("brief", given, briefed).await))
        .route("/api/demo", get(async |given: Given| told("demo", given, demonstrated).await))
        .route(
            "/api/demo/flight",
            get(async |given: Given| told("demo/flight", given, demo_flown).await),
        )
        .route(
            "/api/flight",
            post(async |given: Given, request: Request| uploaded(given, request, flown).await),
        )
        .route(
            "/api/demo/recording",
            get(async |given: Given| told("demo/recording", given, demo_shown).await),
        )
        .route(
            "/api/debrief",
            post(async |given: Given, request: Request| uploaded(given, request, debriefed).await),
        )
        .route(
            "/api/recording",
            post(async |given: Given, request: Request| uploaded(given, request, shown).await),
        )
}

/// What the page must know before it asks.
async fn service() -> Response {
    let body = format!(
        "{{\"schema\": \"skychalk.service/1\", \"version\": \"{}\", \"upload_bytes_most\": {UPLOAD_BYTES_MOST}, \"library\": {}, \"sources\": {}}}\n",
        env!("CARGO_PKG_VERSION"),
        lists::library(),
        lists::sources()
    );
    ([(CONTENT_TYPE, "application/json")], body).into_response()
}

/// The JSON Schema of a document.
async fn schema(Path(file): Path<String>) -> Response {
    match lists::schema(&file) {
        Some(text) => ([(CONTENT_TYPE, "application/schema+json")], text).into_response(),
        None => not_found().await,
    }
}

fn airplane(given: &[Pair]) -> Result<lists::ListAnswer, AppError> {
    let typed = typed(given);
    typed.only(&["airplane"])?;
    Ok(lists::airplane_sheet(&*airplanes::find(typed.required("airplane")?)?))
}

/// The text that came with a request.
fn text_of(bytes: Vec<u8>, what: &str) -> Result<String, AppError> {
    let wrong = |_| AppError::request("no text", format!("send {what}, as UTF-8"));
    String::from_utf8(bytes).map_err(wrong)
}

/// The sheet of an airplane file that comes with the request; nothing of it is kept.
fn airplane_checked(given: &[Pair], bytes: Vec<u8>) -> Result<lists::ListAnswer, AppError> {
    typed(given).only(&[])?;
    let text = text_of(bytes, "an airplane file")?;
    Ok(lists::airplane_sheet(&choose::airplane_of_text(&text, "your copy")?))
}

/// As [`airplane_checked`]; the file is kept until the program stops, and named by the key in its sheet.
fn airplane_copied(given: &[Pair], bytes: Vec<u8>) -> Result<lists::ListAnswer, AppError> {
    typed(given).only(&[])?;
    Ok(lists::airplane_sheet(&*airplanes::keep(&text_of(bytes, "an airplane file")?)?))
}

/// An airplane made of the figures of a flight manual that come with the request.
fn airplane_built(given: &[Pair], bytes: Vec<u8>) -> Result<BuildAnswer, AppError> {
    typed(given).only(&[])?;
    airplane_build::build_text(&text_of(bytes, "a file of figures")?, "your figures")
}

/// How the figures of an airplane from public figures go together.
fn airplane_fitted(given: &[Pair]) -> Result<BuildAnswer, AppError> {
    let typed = typed(given);
    typed.only(&["airplane"])?;
    airplane_build::of_key(typed.required("airplane")?)
}

/// What is asked for a file of figures.
async fn questions() -> Response {
    ([(CONTENT_TYPE, "application/json")], questions::json()).into_response()
}

/// The engine held against published figures: of one airplane, or all there are.
fn checked(given: &[Pair]) -> Result<ValidateAnswer, AppError> {
    let typed = typed(given);
    typed.only(&["airplane"])?;
    Ok(typed.text("airplane").map_or_else(validate::without_files, validate::of_airplane))
}

/// The file of an airplane.
async fn airplane_text(Query(given): Given) -> Response {
    let typed = typed(&given);
    match typed.required("airplane").and_then(airplanes::text) {
        Ok(text) => ([(CONTENT_TYPE, "text/plain; charset=utf-8")], text).into_response(),
        Err(error) => failed(&error).into_response(),
    }
}

fn briefed(given: &[Pair]) -> Result<brief::BriefAnswer, AppError> {
    let typed = typed(given);
    choose::maneuver(typed.required("maneuver")?)?;
    let airplane = airplanes::find(typed.required("airplane")?)?;
    Ok(brief::brief(&Asked::read(&typed, Airplane::clone(&airplane))?))
}

/// What is asked about a recording that comes with the request.
async fn uploaded<A: Answer + 'static>(
    given: Given,
    request: Request,
    work: fn(&[Pair], Vec<u8>) -> Result<A, AppError>,
) -> Response {
    let body: Result<Bytes, BytesRejection> =
        match tokio::time::timeout(BODY_MOST, Bytes::from_request(request, &())).await {
            Ok(body) => body,
            Err(_) => {
                let what = format!("the recording did not come within {} s", BODY_MOST.as_secs());
                let hint = "send it again, or use the command line";
                return refusal(StatusCode::REQUEST_TIMEOUT, &what, hint);
            }
        };
    let bytes = match body {
        Ok(bytes) => bytes,
        Err(rejection) if rejection.status() == StatusCode::PAYLOAD_TOO_LARGE => {
            let what =
                format!("the recording is larger than {} MiB", UPLOAD_BYTES_MOST / (1024 * 1024));
            let hint = "cut it into single flights, or use the command line";
            return refusal(StatusCode::PAYLOAD_TOO_LARGE, &what, hint);
        }
        Err(rejection) => {
            return refusal(rejection.status(), &rejection.body_text(), "send the recording again");
        }
    };
    let work = move || answered(&given, |given| work(given, bytes.to_vec()));
    work::once(Pace::Long, work).await.map_or_else(panicked, Ready::into_response)
}

fn demo_shown(given: &[Pair]) -> Result<RecordingAnswer, AppError> {
    let Brought { name, bytes, .. } = demo::recording();
    shown(&[&[("name".into(), name)], given].concat(), bytes)
}

fn demonstrated(given: &[Pair]) -> Result<debrief::DebriefAnswer, AppError> {
    let Brought { name, bytes, .. } = demo::recording();
    debriefed(&[&[("name".into(), name)], given].concat(), bytes)
}

fn demo_flown(given: &[Pair]) -> Result<FlightAnswer, AppError> {
    demonstrated(given).map(FlightAnswer::new)
}

fn flown(given: &[Pair], bytes: Vec<u8>) -> Result<FlightAnswer, AppError> {
    debriefed(given, bytes).map(FlightAnswer::new)
}

fn debriefed(given: &[Pair], bytes: Vec<u8>) -> Result<debrief::DebriefAnswer, AppError> {
    let typed = typed_beside_body(given);
    let airplane = typed.text("airplane").map(airplanes::find).transpose()?;
    let standard = typed.text("standard").unwrap_or(choose::usual_standard());
    let plain = typed.clone().without(&[CORRECTIONS]);
    let mut told = Told::read(&plain, airplane.map(|airplane| Airplane::clone(&airplane)))?;
    if let Some(text) = typed.text(CORRECTIONS) {
        told.corrections = Corrections::from_toml(text, "the corrections")?;
    }
    debrief::debrief(brought(given, bytes)?, &told, &choose::known_standard(standard)?)
}

/// What a recording holds. What is said of the flight may stand beside it and is not used.
fn shown(given: &[Pair], bytes: Vec<u8>) -> Result<RecordingAnswer, AppError> {
    typed_beside_body(given).without(&[CORRECTIONS]).only(debrief::OPTIONS)?;
    recording::show(brought(given, bytes)?)
}

/// The recordings that came with a request, one after the other in its body, and how they are to be read. Each has a `name`; when
/// there are several, each has its count of `bytes` too.
fn brought(given: &[Pair], bytes: Vec<u8>) -> Result<Vec<Brought>, AppError> {
    let all = |wanted: &'static str| {
        let texts =
            given.iter().filter(move |(name, text)| name == wanted && !text.trim().is_empty());
        texts.map(|(_, text)| text.as_str())
    };
    let said = Said {
        units: all("unit").collect(),
        columns: all("columns").next().map(|text| ("the column map", text)),
        row_interval: all("row-interval").next(),
        aircraft: all("aircraft").next(),
        entry: all("entry").next(),
    };
    let names: Vec<&str> = all("name").collect();
    let sizes: Vec<usize> = all("bytes").map(|text| text.parse().unwrap_or(usize::MAX)).collect();
    if names.len() < 2 {
        let name = names.first().unwrap_or(&"recording").to_string();
        return Ok(vec![Brought { name, bytes, reading: said.options()? }]);
    }
    let sum = sizes.iter().try_fold(0usize, |sum, size| sum.checked_add(*size));
    if sizes.len() != names.len() || sum != Some(bytes.len()) {
        let what =
            format!("{} recordings came as {} bytes, sizes {sizes:?}", names.len(), bytes.len());
        return Err(AppError::request(what, "send each with its name and its count of bytes"));
    }
    let mut rest = bytes.as_slice();
    let mut out = Vec::with_capacity(names.len());
    for (name, size) in names.iter().zip(sizes) {
        let (own, after) = rest.split_at(size);
        rest = after;
        out.push(Brought {
            name: (*name).to_string(),
            bytes: own.to_vec(),
            reading: said.options()?,
        });
    }
    Ok(out)
}

/// Every parameter but those that may be repeated or say the form of the answer.
fn typed(given: &[Pair]) -> Typed<'_> {
    let pairs = given.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    Typed::new(
        pairs
            .filter(|(name, _)| !FORM_OF_ANSWER.contains(name) && !reading::OPTIONS.contains(name)),
    )
}

/// As [`typed`], without what says where in the body each recording lies.
fn typed_beside_body(given: &[Pair]) -> Typed<'_> {
    const OF_THE_BODY: [&str; 2] = ["name", "bytes"];
    typed(given).without(&OF_THE_BODY)
}

/// A list takes no parameters.
fn listed(given: &[Pair], list: fn() -> lists::ListAnswer) -> Result<lists::ListAnswer, AppError> {
    typed(given).only(&[])?;
    Ok(list())
}

/// The answer to a question that depends on its parameters alone. `place` is where it was asked.
async fn told<A: Answer + 'static>(
    place: &str,
    Query(given): Given,
    work: impl FnOnce(&[Pair]) -> Result<A, AppError> + Send + 'static,
) -> Response {
    // A brief without hands and fit is drawn while a slider moves.
    let is = |name: &str, word: &str| given.iter().any(|(n, text)| n == name && text == word);
    let quick = place != "brief" || (is("hands", "no") && is("fit", "no"));
    let quick = quick && !place.starts_with("demo") && !["fitted", "checks"].contains(&place);
    let pace = if quick { Pace::Quick } else { Pace::Long };
    let key = format!("{place}?{given:?}");
    let worked = work::shared(key, pace, move || answered(&given, work)).await;
    worked.map_or_else(panicked, Ready::into_response)
}

/// Works an answer out and renders it.
fn answered<A: Answer>(given: &[Pair], work: impl FnOnce(&[Pair]) -> Result<A, AppError>) -> Ready {
    let said = |wanted: &str| {
        let found = given.iter().find(|(name, _)| name == wanted);
        found.map(|(_, text)| text.as_str())
    };
    let wanted = Wanted {
        format: said("format").unwrap_or("json"),
        paper: said("paper"),
        page_size: said("page-size"),
        units: said("shown-in"),
    };
    match work(given).and_then(|answer| rendered(&answer, &wanted)) {
        Ok(ready) => ready,
        Err(error) => failed(&error),
    }
}

fn rendered(answer: &dyn Answer, wanted: &Wanted<'_>) -> Result<Ready, AppError> {
    if wanted.format == FRAGMENT {
        let units = wanted.units()?;
        let document = answer.document().map(|document| units.document(document));
        let document = document.map(|document| render::html_fragment(&document));
        let html = document.ok_or_else(|| AppError::request("no page of this", "ask for json"))?;
        return Ok(Ready {
            status: StatusCode::OK,
            media_type: "text/html; charset=utf-8",
            document: false,
            body: html.into(),
        });
    }
    let (bytes, media_type) = answer::render(answer, wanted)?;
    Ok(Ready { status: StatusCode::OK, media_type, document: true, body: bytes.into() })
}

fn failed(error: &AppError) -> Ready {
    let status = match error {
        AppError::Machine { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        _ => StatusCode::BAD_REQUEST,
    };
    Ready { status, media_type: "application/json", document: false, body: error.to_json().into() }
}

/// A panic is an answer too.
fn panicked() -> Response {
    refusal(
        StatusCode::INTERNAL_SERVER_ERROR,
        "the program failed at this request",
        "report what you asked and the recording, if it may be shown",
    )
}

pub(super) async fn not_found() -> Response {
    refusal(StatusCode::NOT_FOUND, "no such page", "start at /")
}

/// An error that did not come from `app`.
pub(super) fn refusal(status: StatusCode, what: &str, hint: &str) -> Response {
    let exit = if status.is_server_error() { 3 } else { 2 };
    let body = error::failure_json(what, hint, exit);
    (status, [(CONTENT_TYPE, "application/json")], body).into_response()
}
