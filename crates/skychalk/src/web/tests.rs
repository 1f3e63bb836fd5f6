//! Routes, errors, headers, the host rule and uploads, without a port.

use axum::body::Body;
use axum::http::{Request, Response, StatusCode, header};
use http_body_util::BodyExt;
use tower::ServiceExt;

use super::{UPLOAD_BYTES_MOST, router};

struct Answer {
    status: StatusCode,
    media_type: String,
    policy: String,
    text: String,
}

async fn ask(request: Request<Body>) -> Answer {
    let response: Response<Body> = router(None).oneshot(request).await.expect("a router answers");
    let text_of = |name| {
        let value = response.headers().get(name).and_then(|value| value.to_str().ok());
        value.unwrap_or_default().to_string()
    };
    assert_eq!(text_of(header::X_CONTENT_TYPE_OPTIONS), "nosniff");
    assert_eq!(text_of(header::REFERRER_POLICY), "no-referrer");
    let (media_type, policy) =
        (text_of(header::CONTENT_TYPE), text_of(header::CONTENT_SECURITY_POLICY));
    let status = response.status();
    let bytes = response.into_body().collect().await.expect("the body comes").to_bytes();
    Answer { status, media_type, policy, text: String::from_utf8_lossy(&bytes).into_owned() }
}

fn request(method: &str, path: &str, host: &str, body: impl Into<Body>) -> Request<Body> {
    let built = Request::builder().method(method).uri(path).header(header::HOST, host);
    built.body(body.into()).expect("a request")
}

async fn get(path: &str) -> Answer {
    ask(request("GET", path, "127.0.0.1:8640", "")).await
}

async fn post(path: &str, body: impl Into<Body>) -> Answer {
    ask(request("POST", path, "localhost:8640", body)).await
}

#[tokio::test]
async fn prop_the_page_and_its_files_come_from_this_program_alone() {
    for (path, media_type) in [
        ("/", "text/html; charset=utf-8"),
        ("/main.js", "text/javascript; charset=utf-8"),
        ("/core/factors.js", "text/javascript; charset=utf-8"),
        ("/pictures/seat.js", "text/javascript; charset=utf-8"),
        ("/style/tokens.css", "text/css; charset=utf-8"),
        ("/font.woff2", "font/woff2"),
        ("/mark.svg", "image/svg+xml"),
        ("/vendor/three.js", "text/javascript; charset=utf-8"),
        ("/vendor/charts.js", "text/javascript; charset=utf-8"),
        ("/vendor/three.LICENSE.txt", "text/plain; charset=utf-8"),
        ("/vendor/charts.LICENSE.txt", "text/plain; charset=utf-8"),
    ] {
        let answer = get(path).await;
        assert_eq!((answer.status, answer.media_type.as_str()), (StatusCode::OK, media_type));
        assert!(answer.policy.contains("default-src 'none'"), "{path}: {}", answer.policy);
        assert!(!answer.policy.contains("unsafe"), "{path}: {}", answer.policy);
        // The name of a namespace is no address that is loaded.
        let names = ["1999/xhtml", "1999/xlink", "2000/svg", "2000/xmlns/", "XML/1998/namespace"];
        let text = names
            .iter()
            .fold(answer.text, |text, name| text.replace(&format!("http://www.w3.org/{name}"), ""));
        assert!(!text.contains("http:") && !text.contains("https:"), "{path}");
    }
}

/// Each file that the first one tells the browser to fetch is there.
#[tokio::test]
async fn prop_what_the_page_needs_is_told_at_once() {
    let page = get("/").await.text;
    let told = page.lines().filter(|line| line.contains("rel=\"preload\""));
    let told: Vec<&str> =
        told.filter_map(|line| line.split("href=\"").nth(1)?.split('"').next()).collect();
    assert!(told.contains(&"api/maneuvers") && told.contains(&"font.woff2"), "{told:?}");
    for path in told {
        assert_eq!(get(&format!("/{path}")).await.status, StatusCode::OK, "{path}");
    }
}

#[tokio::test]
async fn prop_a_request_by_a_foreign_name_is_refused() {
    for path in ["/", "/api/demo"] {
        let answer = ask(request("GET", path, "rebound.example.org", "")).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path}");
        assert!(answer.text.contains("skychalk.error/1"), "{}", answer.text);
    }
}

#[tokio::test]
async fn prop_lists_and_briefs_are_answered() {
    for list in ["maneuvers", "airplanes", "standards"] {
        let answer = get(&format!("/api/{list}")).await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.text.contains("\"schema\": \"skychalk."), "{list}");
    }
    let brief = "/api/brief?maneuver=steep-turn&airplane=plover-160&height=4500ft&wind=270/12kt";
    assert!(get(brief).await.text.contains("skychalk.brief/1"));
    let fragment = get(&format!("{brief}&format=fragment")).await;
    assert!(fragment.text.starts_with("<article>") && fragment.text.contains("<svg"));
    assert!(!fragment.policy.contains("unsafe"));
    let page = get(&format!("{brief}&format=html")).await;
    assert!(page.text.starts_with("<!DOCTYPE html>"));
    assert!(page.policy.contains("style-src 'unsafe-inline'"), "{}", page.policy);
    assert!(!page.policy.contains("script-src"), "{}", page.policy);
}

#[tokio::test]
async fn prop_wrong_requests_get_the_error_and_the_hint() {
    for (path, error, hint) in [
        ("/api/brief?airplane=plover-160", "no maneuver given", "say which maneuver"),
        ("/api/brief?maneuver=chandele&airplane=plover-160", "no maneuver", "mean chandelle?"),
        ("/api/brief?maneuver=chandelle&airplane=plover-160&height=4500", "needs a unit", "4500ft"),
        ("/api/brief?maneuver=chandelle&airplane=plover-160&format=word", "no format", "html"),
        ("/api/brief?maneuver=chandelle&airplane=plover-160&paper=card", "as json", "pdf"),
        (
            "/api/brief?maneuver=chandelle&airplane=plover-160&format=pdf&paper=card&page-size=a4",
            "not made for a4",
            "half-letter",
        ),
        // A misspelled or repeated parameter must not silently count for nothing.
        (
            "/api/brief?maneuver=chandelle&airplane=plover-160&heigth=4500ft",
            "no option",
            "mean height?",
        ),
        ("/api/brief?maneuver=chandelle&maneuver=lazy-eight&airplane=plover-160", "twice", "once"),
        ("/api/maneuvers?key=chandelle", "no option", "known: none"),
        ("/api/demo?wind=bogus", "not a wind", "270/12kt"),
        ("/api/demo?standard=faa", "no standard", "faa-private"),
        // A request never opens a file of this computer.
        ("/api/brief?maneuver=chandelle&airplane=/etc/passwd", "no airplane", "plover-160"),
        ("/api/brief?maneuver=chandelle&airplane=Cargo.toml", "no airplane", "plover-160"),
    ] {
        let answer = get(path).await;
        assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{path}");
        assert_eq!(answer.media_type, "application/json");
        assert!(answer.text.contains(error) && answer.text.contains(hint), "{}", answer.text);
    }
    let answer = get("/no-such-page").await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
    assert!(answer.text.contains("start at /"));
}

/// Another site may not use this server through a visitor's browser.
#[tokio::test]
async fn prop_a_request_from_another_site_is_refused() {
    for (origin, status) in [
        ("https://example.org", StatusCode::FORBIDDEN),
        ("null", StatusCode::FORBIDDEN),
        ("http://127.0.0.1:8640", StatusCode::OK),
    ] {
        let built = Request::builder()
            .method("POST")
            .uri("/api/debrief?name=x.csv")
            .header(header::HOST, "127.0.0.1:8640")
            .header(header::ORIGIN, origin);
        let request = built.body(Body::from(app::demo::recording().bytes)).expect("a request");
        assert_eq!(ask(request).await.status, status, "{origin}");
    }
}

#[tokio::test]
async fn prop_the_bundled_and_an_uploaded_recording_give_the_same_debrief() {
    let demo = app::demo::recording();
    let bundled = get(&format!("/api/demo?airplane={}", app::demo::AIRPLANE)).await;
    let path = format!("/api/debrief?name={}&airplane={}", demo.name, app::demo::AIRPLANE);
    let uploaded = post(&path, demo.bytes).await;
    assert_eq!(uploaded.status, StatusCode::OK);
    assert!(bundled.text == uploaded.text, "the same recording is debriefed in two ways");
}

/// The page draws a debrief with the track over the ground and the reference flights; several recordings come in one body.
#[tokio::test]
async fn prop_the_flight_of_one_or_several_recordings_is_drawn_with_its_references() {
    let demo = app::demo::recording();
    let flown = get(&format!("/api/demo/flight?airplane={}", app::demo::AIRPLANE)).await;
    let flown: serde_json::Value = serde_json::from_str(&flown.text).expect("JSON");
    assert_eq!(flown["schema"], "skychalk.flight/1");
    let attempts = flown["debrief"]["attempts"].as_array().expect("attempts");
    assert_eq!(flown["beside"].as_array().expect("one entry an attempt").len(), attempts.len());
    assert!(flown["beside"][0]["reference"]["path"]["time_s"].is_array(), "no reference");
    assert!(flown["ground"]["north_m"].as_array().expect("a track").len() > 100);
    let size = demo.bytes.len();
    let twice = [demo.bytes.clone(), demo.bytes.clone()].concat();
    let path = format!("/api/flight?name=a.csv&bytes={size}&name=b.csv&bytes={size}");
    let joined = post(&path, twice.clone()).await;
    assert_eq!(joined.status, StatusCode::OK, "{}", joined.text);
    let wrong = post(&path.replace(&format!("bytes={size}&name=b"), "bytes=5&name=b"), twice).await;
    assert_eq!(wrong.status, StatusCode::BAD_REQUEST);
    assert!(wrong.text.contains("count of bytes"), "{}", wrong.text);
}

#[tokio::test]
async fn prop_a_name_from_outside_is_text_and_not_markup() {
    let demo = app::demo::recording();
    let path = "/api/debrief?format=fragment&name=%3Cimg%20src%3Dx%20onerror%3Dalert(1)%3E";
    let answer = post(path, demo.bytes).await;
    assert_eq!(answer.status, StatusCode::OK);
    assert!(!answer.text.contains("<img"));
    assert!(answer.text.contains("&lt;img"));
}

#[tokio::test]
async fn prop_a_broken_or_too_large_recording_is_refused_with_a_hint() {
    let answer = post("/api/debrief?name=x.bin", vec![0u8; 100]).await;
    assert_eq!(answer.status, StatusCode::BAD_REQUEST);
    assert!(answer.text.contains("known formats"), "{}", answer.text);
    let demo = app::demo::recording();
    let answer = post("/api/debrief?name=x.csv&unit=nonsense", demo.bytes).await;
    assert_eq!(answer.status, StatusCode::BAD_REQUEST);
    let answer = post("/api/debrief?name=x.csv", vec![b'0'; UPLOAD_BYTES_MOST + 1]).await;
    assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert!(answer.text.contains("cut it into single flights"), "{}", answer.text);
}

/// The page reads recordings by the same words as the command line, and shows what they hold.
#[tokio::test]
async fn golden_what_a_recording_holds_is_shown_by_the_words_of_the_command_line() {
    let table = "speed of the air,roll left\n80,-10\n81,-11\n82,-12\n";
    let map = "schema%20%3D%20%22skychalk.columns%2F1%22%0A%5B%5Bcolumn%5D%5D%0Aname%20%3D%20%22roll%20left%22%0A\
               meaning%20%3D%20%22bank%22%0Aunit%20%3D%20%22deg%22%0Asign%20%3D%20%22turned%22%0A\
               %5B%5Bcolumn%5D%5D%0Aname%20%3D%20%22speed%20of%20the%20air%22%0Ameaning%20%3D%20%22indicated-airspeed%22%0Aunit%20%3D%20%22kt%22%0A";
    let asked = post(&format!("/api/recording?name=t.csv&columns={map}"), table).await;
    assert_eq!(asked.status, StatusCode::BAD_REQUEST);
    assert!(asked.text.contains("--row-interval 1s"), "{}", asked.text);
    let path = format!("/api/recording?name=t.csv&columns={map}&row-interval=1s&format=csv");
    let shown = post(&path, table).await;
    assert_eq!(shown.status, StatusCode::OK, "{}", shown.text);
    assert!(shown.text.contains("bank,roll left,°,3,1,0,2,10,12"), "{}", shown.text);
    let faulty = post("/api/recording?name=t.csv&columns=%5Btabel%5D", table).await;
    assert!(faulty.text.contains("the column map, line 1: tabel is not known"), "{}", faulty.text);
    let demo = get("/api/demo/recording?format=fragment").await;
    assert_eq!(demo.status, StatusCode::OK);
    assert!(demo.text.contains("When each sensor recorded"), "{}", demo.text);
}

#[tokio::test]
async fn prop_the_fit_can_be_switched_off_on_the_page() {
    let asked = "/api/brief?maneuver=steep-turn&airplane=plover-160&format=fragment";
    let heading = "If it is a little worse than told";
    assert!(get(&format!("{asked}&fit=yes")).await.text.contains(heading));
    assert!(!get(&format!("{asked}&fit=no")).await.text.contains(heading));
    assert_eq!(get(&format!("{asked}&fit=perhaps")).await.status, StatusCode::BAD_REQUEST);
    // So can hands and feet, for the quick answer while a slider moves.
    let quick = get(&format!("{asked}&hands=no&fit=no").replace("fragment", "json")).await.text;
    assert!(quick.contains("\"controls\": null"));
}

/// A copy is named by its content, can be asked for like any airplane, and is measured by its own figures.
#[tokio::test]
async fn prop_an_edited_copy_is_briefed_by_its_own_figures() {
    let text = get("/api/airplane/file?airplane=plover-160").await.text;
    let heavier = text.replace("drag_zero_lift = 0.033", "drag_zero_lift = 0.050");
    assert_ne!(text, heavier);
    let key = |answer: &Answer| {
        let sheet: serde_json::Value = serde_json::from_str(&answer.text).expect("JSON");
        sheet["airplane"]["id"].as_str().expect("a key").to_string()
    };
    let same = key(&post("/api/airplane/copy", text.clone()).await);
    let other = key(&post("/api/airplane/copy", heavier.clone()).await);
    assert!(same.starts_with("copy-") && same != other);
    assert_eq!(key(&post("/api/airplane/copy", heavier.clone()).await), other);
    let brief = async |airplane: &str| {
        get(&format!("/api/brief?maneuver=steep-turn&airplane={airplane}&fit=no")).await
    };
    let plain = brief("plover-160").await.text;
    assert_eq!(brief(&same).await.text.replace(&same, "plover-160"), plain);
    let edited = brief(&other).await;
    assert_eq!(edited.status, StatusCode::OK);
    assert_ne!(edited.text.replace(&other, "plover-160"), plain);
    let file = get(&format!("/api/airplane/file?airplane={other}")).await;
    assert_eq!(file.text, heavier);
    let wrong = post("/api/airplane/copy", text.replace("drag_zero_lift = 0.033", "x = 1")).await;
    assert_eq!(wrong.status, StatusCode::BAD_REQUEST);
    let lost = get("/api/brief?maneuver=steep-turn&airplane=copy-0000000000000000").await;
    assert!(lost.text.contains("open its file on Airplanes"), "{}", lost.text);
}

#[tokio::test]
async fn prop_corrections_are_taken_and_their_faults_told_by_line() {
    let text = "[[correction]]\nat = \"60 s\"\nnot_a_maneuver = true\n";
    let encoded =
        |text: &str| text.bytes().map(|byte| format!("%{byte:02X}")).collect::<Vec<_>>().concat();
    let plain: serde_json::Value =
        serde_json::from_str(&get("/api/demo").await.text).expect("JSON");
    let first = &plain["attempts"][0];
    let middle = (first["start_s"].as_f64().unwrap() + first["end_s"].as_f64().unwrap()) / 2.0;
    let text = text.replace("60 s", &format!("{middle:.1} s"));
    let corrected = get(&format!("/api/demo?corrections={}", encoded(&text))).await;
    assert_eq!(corrected.status, StatusCode::OK, "{}", corrected.text);
    let corrected: serde_json::Value = serde_json::from_str(&corrected.text).expect("JSON");
    let count = |debrief: &serde_json::Value| debrief["attempts"].as_array().unwrap().len();
    assert_eq!(count(&corrected) + 1, count(&plain));
    let faulty =
        get(&format!("/api/demo?corrections={}", encoded(&text.replace("at", "att")))).await;
    assert_eq!(faulty.status, StatusCode::BAD_REQUEST);
    assert!(faulty.text.contains("the corrections, line"), "{}", faulty.text);
}

/// A form is made of the questions of the command line; what is answered makes an airplane.
#[tokio::test]
async fn prop_figures_make_an_airplane_and_checks_are_those_of_the_airplane() {
    let asked: serde_json::Value =
        serde_json::from_str(&get("/api/airplane/questions").await.text).expect("JSON");
    assert!(asked["questions"].as_array().expect("questions").len() > 30);
    let wrong = post("/api/airplane/build", "id = \"x\"\n").await;
    assert_eq!(wrong.status, StatusCode::BAD_REQUEST);
    assert!(wrong.text.contains("your figures, line"), "{}", wrong.text);
    let fitted = get("/api/airplane/fitted?airplane=cessna-152").await;
    assert!(fitted.text.contains("skychalk.airplane-build/1"), "{}", fitted.text);
    let of_beaver: serde_json::Value =
        serde_json::from_str(&get("/api/checks?airplane=beaver").await.text).expect("JSON");
    let checks = of_beaver["checks"].as_array().expect("checks");
    assert!(checks.len() > 10 && checks.iter().all(|check| check["group"] == "beaver"));
}

/// What is described is served, and what is served is described.
#[tokio::test]
async fn prop_every_route_of_the_program_is_in_its_description() {
    let described: serde_json::Value =
        serde_json::from_str(&get("/api/openapi.json").await.text).expect("JSON");
    let paths = described["paths"].as_object().expect("paths");
    let source = include_str!("api.rs");
    let served: Vec<&str> = source.split('"').filter(|text| text.starts_with("/api/")).collect();
    for path in &served {
        assert!(paths.contains_key(*path), "{path} is served and not described");
    }
    for path in paths.keys() {
        assert!(served.contains(&path.as_str()), "{path} is described and not served");
    }
    for (path, methods) in paths {
        for parameter in methods.as_object().expect("methods").values() {
            let asked = parameter["parameters"].as_array().expect("parameters");
            let known = |name: &str| {
                app::brief::OPTIONS.contains(&name)
                    || app::debrief::OPTIONS.contains(&name)
                    || app::reading::OPTIONS.contains(&name)
                    || [
                        "format",
                        "paper",
                        "page-size",
                        "shown-in",
                        "name",
                        "bytes",
                        "file",
                        "corrections",
                    ]
                    .contains(&name)
            };
            for name in asked.iter().filter_map(|parameter| parameter["name"].as_str()) {
                assert!(known(name), "{path}: {name}");
            }
        }
    }
}
