//! The page in a real browser: the program serves at a free port, the browser runs the page's own code, and what it shows is
//! read back. Skipped with a printed line where no browser is installed; a failure when `CI=true`.
#![allow(clippy::print_stdout, reason = "a skipped check must be seen in the test output")]

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

const BROWSERS: [&str; 3] = ["chromium", "chromium-browser", "google-chrome"];

/// A serving program; stopped when dropped.
struct Served {
    program: Child,
    address: String,
}

impl Served {
    fn start() -> Self {
        let mut program = Command::new(env!("CARGO_BIN_EXE_skychalk"))
            .args(["serve", "--no-browser", "--listen", "127.0.0.1:0"])
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut line = String::new();
        let stderr = program.stderr.take().expect("standard error is a pipe");
        BufReader::new(stderr).read_line(&mut line).expect("the program says its address");
        let address = line.split_whitespace().find(|word| word.starts_with("http://"));
        let address = address.unwrap_or_else(|| panic!("no address in {line:?}")).to_string();
        Self { program, address }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

fn browser() -> Option<&'static str> {
    let runs = |name: &&&str| {
        let version = Command::new(name).arg("--version").stdout(Stdio::null()).status();
        version.is_ok_and(|status| status.success())
    };
    let found = BROWSERS.iter().find(runs).copied();
    if found.is_none() {
        assert!(std::env::var("CI").as_deref() != Ok("true"), "no browser is installed");
        println!("skipped: no browser is installed ({})", BROWSERS.join(", "));
    }
    found
}

/// What the browser shows at a place of the page, as markup, after the page has settled.
fn shown(browser: &str, address: &str, name: &str) -> String {
    let profile = format!("{}/browser-{name}", env!("CARGO_TARGET_TMPDIR"));
    let output = Command::new(browser)
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--window-size=1280,900"])
        .args(["--virtual-time-budget=20000", "--dump-dom"])
        .arg(format!("--user-data-dir={profile}"))
        .arg(address)
        .output()
        .expect("the browser runs");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

#[test]
fn prop_the_board_is_shown_by_a_browser() {
    let Some(browser) = browser() else { return };
    let served = Served::start();
    let at = |place: &str, name: &str| shown(browser, &format!("{}{place}", served.address), name);

    let board = at("#board?maneuver=wing-over&airplane=sandpiper-550&height=6000ft", "board");
    assert!(board.contains("<title>Wing-over, Sandpiper 550: Skychalk</title>"), "{board}");
    assert!(board.contains("within computed limits, with conditions"), "the verdict is missing");
    // With depth where the browser can (what it paints is looked at by `tests/page`), else flat, as the picture itself says.
    let deep = board.contains("data-drawn=\"depth\"");
    let bands = board.matches("class=\"ribbon reference").count();
    assert!(deep || bands > 20, "the path is missing: {bands} pieces, and no picture with depth");
    assert!(board.matches("class=\"stroke reference").count() > 5, "strokes are missing");
    assert!(board.contains("class=\"nosemark now\""), "the nose is missing");
    // Choices are filled from the program's lists.
    for maneuver in maneuver::catalog::ALL {
        assert!(board.contains(&format!("<option value=\"{}\"", maneuver.id())));
    }
    let wrong = at("#board?maneuver=chandelle&height=4500", "wrong");
    assert!(wrong.contains("height above mean sea level needs a unit"), "{wrong}");
}
