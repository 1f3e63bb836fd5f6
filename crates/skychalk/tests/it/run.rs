//! Running the program and holding its JSON against the published schemas.

use std::io::Write;
use std::path::PathBuf;
use std::process::{Command, Stdio};

use serde_json::Value;

/// What a run gave.
pub(crate) struct Run {
    pub(crate) status: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Runs the program with these arguments.
pub(crate) fn run(arguments: &[&str]) -> Run {
    run_with_input(arguments, b"")
}

/// Runs the program with bytes on its standard input.
pub(crate) fn run_with_input(arguments: &[&str], input: &[u8]) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_skychalk"))
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut stdin = child.stdin.take().expect("standard input is a pipe");
    // A program that refuses the request does not read its input: that is no failure of the test.
    let _ = stdin.write_all(input);
    drop(stdin);
    let output = child.wait_with_output().expect("the program ends");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("output is UTF-8");
    Run {
        status: output.status.code().expect("the program is not killed"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// A file of the repository.
pub(crate) fn repository(path: &str) -> String {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..");
    root.join(path).to_str().expect("the path is text").to_string()
}

/// The bundled recording.
pub(crate) fn demo_recording() -> String {
    repository("data/demo/saltmarsh-lesson.csv")
}

/// A file in the temporary folder of the tests, with this content.
pub(crate) fn temporary(name: &str, content: &[u8]) -> String {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, content).expect("the temporary folder can be written");
    path.to_str().expect("the path is text").to_string()
}

/// JSON that holds to the published schema of this name.
pub(crate) fn checked(schema: &str, text: &str) -> Value {
    let path = repository(&format!("docs/reference/{schema}.schema.json"));
    let published = std::fs::read_to_string(&path).expect("the schema is published");
    let schema: Value = serde_json::from_str(&published).expect("the schema is JSON");
    let document: Value = serde_json::from_str(text).expect("the document is JSON");
    let validator = jsonschema::validator_for(&schema).expect("the schema is a schema");
    let wrong: Vec<String> =
        validator.iter_errors(&document).map(|error| error.to_string()).collect();
    assert!(wrong.is_empty(), "{path}: {wrong:?}");
    document
}
